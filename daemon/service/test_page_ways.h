// The real ways of a test page: IPP, and a raw port.
//
// On the io_context's thread. Clock and transport must outlive a way.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "config/config.h"
#include "daemon/service/test_page_way.h"
#include "probes/clock/clock.h"
#include "probes/ipp/transport.h"

namespace frisket::service {

// Those that the configuration has to the device, in the order in which they are tried: its own print service, the
// queues that name it, its raw port.
std::vector<std::unique_ptr<TestPageWay>> ways_to(const config::Config& config, const config::Device& device,
                                                  ipp::Transport& transport, Clock& clock);

}  // namespace frisket::service
