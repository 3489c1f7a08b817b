// Asks a print server for the state of one queue (RFC 1179), and does nothing else: read only.
//
// One connection for each question, as the RFC wants it (section 5); the answer ends where the peer closes. The RFC
// asks for a source port from 721 to 731, which takes root and proves nothing: today's practice, and ours, is any port.
// Berkeley's server as Debian has it answers so, as does the LPD service of a spooler of today; one that insists is
// read as refusing only if it says so in words that answer.h knows.
#pragma once

#include <boost/asio/awaitable.hpp>
#include <cstddef>

#include "probes/clock/clock.h"
#include "probes/lpd/target.h"
#include "probes/model/lpd.h"

namespace frisket::lpd {

struct Limits {
  model::Milliseconds connect{4'000};    // resolving and connecting together
  model::Milliseconds silence{8'000};    // without one octet moving
  model::Milliseconds exchange{30'000};  // the whole
  std::size_t octets = std::size_t{256} << 10;
};

// Always ends with a reading, within Limits::exchange:
//   answered  the answer came to its end
//   absent    the server says that it has no such queue
//   refused   the server says that we may not ask
//   silent    nobody there, a deadline passed, the connection broke off, or not one octet came
//   nonsense  the answer is too long or no text
// On the io_context's thread. The clock must outlive the coroutine.
boost::asio::awaitable<model::LpdReading> read_queue_state(Clock& clock, Target target, Form form, Limits limits = {});

}  // namespace frisket::lpd
