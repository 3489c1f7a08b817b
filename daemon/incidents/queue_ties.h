// Which device a print queue prints on.
//
// By configuration; else by the queue's device URI, when it is a device's own print service or names the address of
// exactly one device; else by the serial number in its IEEE 1284 device id. Never by a guess from a name. Pure.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "config/config.h"
#include "probes/model/queue.h"

namespace frisket::incidents {

class QueueTies {
 public:
  void configure(const std::vector<config::Device>& devices);

  // As a reading told it; empty: it did not.
  void learn_serial(const std::string& device, const std::string& serial);

  // The device's name; empty: not known. Ambiguous is not known.
  std::string device_of(const config::Queue& queue, const model::QueueSnapshot& snapshot) const;

 private:
  std::map<std::string, std::vector<std::string>> by_service_;  // "host|port|path" of its own print service
  std::map<std::string, std::vector<std::string>> by_address_;
  std::map<std::string, std::string> has_service_;  // "host|port" of devices' own print services, by device
  std::map<std::string, std::string> serials_;      // by device
};

// Whether both are the same host. Both spellings of this machine count as one.
std::string host_key(std::string_view host);

}  // namespace frisket::incidents
