// One request and its answer.
#pragma once

#include <boost/asio/awaitable.hpp>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "probes/model/result.h"
#include "probes/snmp/network.h"
#include "probes/snmp/pdu.h"
#include "probes/snmp/request_table.h"
#include "probes/snmp/usm.h"

namespace frisket::snmp {

// Sends, waits, sends again; ends with the answer or with what took its place:
// - silent: no answer in any attempt; also when the network was stopped;
// - nonsense: what came from the device was not an answer to this, and nothing better came;
// - unknown_user, wrong_key, refused: what the SNMPv3 engine has against the user; wrong_key also when the
//   engine says who it is, and then no more;
// - invalid: the request cannot be sent with this credential.
// An answer with an error status is an answer. Waits in line while too many requests are
// outstanding. Throws only when the coroutine is cancelled; the request is then forgotten.
// The network must outlive the wait. `patience`: the network's own when absent.
//
// `usm`: what is known of the device's SNMPv3 engine with this credential, kept from one question to the
// next; it must outlive the wait. Absent, every question begins with discovery. Engine time that has
// moved, an engine that was restarted, reset or replaced: found out and put right within the question.
boost::asio::awaitable<model::Result<Response>> exchange(Network& network, Endpoint peer, config::Credential credential,
                                                         Request request,
                                                         std::optional<Patience> patience = std::nullopt,
                                                         UsmPeer* usm = nullptr);

// The same question with several credentials at once, for a device of which it is not
// known which one it takes. They are sent in the order given and the first answer that is not a
// refusal counts; so a device that is off costs no more time than with one credential. Only a
// community waits for every SNMPv3 user that stands before it: what was meant to be protected is
// not to go in clear because that is faster.
struct FirstAnswer {
  model::Result<Response> response;
  std::size_t credential = 0;  // place in the list; meaningful with a response
};
// `usm`: one for each credential, or none at all.
boost::asio::awaitable<FirstAnswer> exchange_first(Network& network, Endpoint peer,
                                                   std::vector<config::Credential> credentials, Request request,
                                                   std::optional<Patience> patience = std::nullopt,
                                                   std::span<UsmPeer> usm = {});

}  // namespace frisket::snmp
