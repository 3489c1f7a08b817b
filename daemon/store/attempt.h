// Where SQLite's exceptions end and Results begin. Inside daemon/store only.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <exception>
#include <string>
#include <utility>

#include "probes/model/result.h"

namespace frisket::store {

// invalid for what a retry cannot help (a constraint, a text beyond SQLite's limits), else local.
model::Error::Kind kind_of(const SQLite::Exception& failure);

// Whether it says that the file itself is damaged, or no database at all.
bool is_damage(const SQLite::Exception& failure);

// What `action` (a Result<T>) gives, or the error that stands for what it threw.
template <class Action>
auto attempt(const std::string& doing, const std::string& whom, Action action) -> decltype(action()) {
  try {
    return action();
  } catch (const SQLite::Exception& failure) {
    return model::Error{kind_of(failure), doing, whom, failure.what()};
  } catch (const std::exception& failure) {  // no memory, a file system's complaint
    return model::Error{model::Error::Kind::local, doing, whom, failure.what()};
  }
}

}  // namespace frisket::store
