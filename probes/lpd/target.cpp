#include "probes/lpd/target.h"

#include <algorithm>
#include <utility>

namespace frisket::lpd {
namespace {

constexpr std::size_t kMaxQueueName = 127;

model::Error invalid(std::string what) {
  return {model::Error::Kind::invalid, "addressing a queue over LPD", "", std::move(what)};
}

}  // namespace

model::Result<Target> target_of(std::string_view host, std::uint16_t port, std::string_view queue) {
  if (host.empty()) return invalid("no host");
  if (port == 0) return invalid("port 0");
  if (queue.empty()) return invalid("no name of a queue");
  if (queue.size() > kMaxQueueName) return invalid("the name of the queue is longer than 127 characters");
  if (!std::ranges::all_of(queue, [](char c) { return c > 0x20 && c < 0x7F; }))
    return invalid("the name of the queue has blanks or characters that are not ASCII");
  return Target{std::string(host), port, std::string(queue)};
}

std::string command(Form form, const Target& target) {
  return (form == Form::brief ? '\3' : '\4') + target.queue + '\n';
}

}  // namespace frisket::lpd
