// What becomes of an exception that leaves one of the service's tasks.
#pragma once

#include <exception>
#include <string>

namespace frisket::service {

// One line in the log: an internal error ended the task. For TaskGroup.
void log_escaped(const std::string& task, std::exception_ptr what);

}  // namespace frisket::service
