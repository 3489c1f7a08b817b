#include "daemon/store/store.h"

#include <algorithm>

namespace frisket::store {
namespace {

template <class T>
void append_to(std::vector<T>& list, const std::vector<T>& more) {
  list.insert(list.end(), more.begin(), more.end());
}

}  // namespace

std::size_t records_in(const Batch& batch) {
  return batch.transitions.size() + batch.notices.size() + batch.audit.size() + batch.stock.size() + batch.done.size() +
         batch.complaints.size();
}

void append(Batch& batch, const Batch& later) {
  append_to(batch.transitions, later.transitions);
  for (const auto& [name, memory] : later.devices) batch.devices[name] = memory;
  append_to(batch.notices, later.notices);
  append_to(batch.replacements, later.replacements);
  append_to(batch.readings, later.readings);
  append_to(batch.audit, later.audit);
  append_to(batch.history, later.history);
  append_to(batch.stock, later.stock);
  append_to(batch.done, later.done);
  append_to(batch.complaints, later.complaints);
  batch.watched_until = std::max(batch.watched_until, later.watched_until);
  batch.last_id = std::max(batch.last_id, later.last_id);
}

}  // namespace frisket::store
