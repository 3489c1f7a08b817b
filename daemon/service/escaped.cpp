#include "daemon/service/escaped.h"

#include <spdlog/spdlog.h>

namespace frisket::service {

void log_escaped(const std::string& task, std::exception_ptr what) {
  try {
    std::rethrow_exception(what);
  } catch (const std::exception& failure) {
    spdlog::error("[task-ended] {} ended by an internal error: {}", task, failure.what());
  }
}

}  // namespace frisket::service
