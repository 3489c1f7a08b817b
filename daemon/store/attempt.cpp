#include "daemon/store/attempt.h"

#include <sqlite3.h>

namespace frisket::store {

model::Error::Kind kind_of(const SQLite::Exception& failure) {
  switch (failure.getErrorCode() & 0xff) {  // the primary code of an extended one
    case SQLITE_CONSTRAINT:
    case SQLITE_TOOBIG:
    case SQLITE_MISMATCH:
      return model::Error::Kind::invalid;
    default:
      return model::Error::Kind::local;
  }
}

bool is_damage(const SQLite::Exception& failure) {
  const int code = failure.getErrorCode() & 0xff;
  return code == SQLITE_CORRUPT || code == SQLITE_NOTADB;
}

}  // namespace frisket::store
