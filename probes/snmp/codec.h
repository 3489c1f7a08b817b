// Requests to bytes and bytes to answers in SNMPv1 and v2c, by net-snmp (SNMPv3: usm_codec.h).
//
// Knows net-snmp, as notification_codec.cpp does (net_snmp.h). It is used as a codec alone: it opens no socket,
// reads no configuration, loads no MIB, writes no state and logs nothing. Its state is
// global and not re-entrant: use every Codec of a process on one thread.
#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <string>

#include "config/config.h"
#include "probes/model/result.h"
#include "probes/snmp/pdu.h"

namespace frisket::snmp {

class Codec {
 public:
  Codec();
  ~Codec();
  Codec(const Codec&) = delete;
  Codec& operator=(const Codec&) = delete;

  // The message as it goes on the wire. Fails (invalid) for a version that is not spoken
  // here, for GETBULK in SNMPv1, and for what cannot be encoded (an empty name, ...).
  model::Result<std::string> encode(const Request& request, const config::Credential& credential,
                                    std::int32_t request_id);

  // Fails (nonsense) for anything but a whole Response-PDU of the credential's version and
  // community. Whatever the octets are: no crash, no output. The codec may write to the
  // octets while it works.
  model::Result<Response> decode(std::span<unsigned char> datagram, const config::Credential& credential);

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace frisket::snmp
