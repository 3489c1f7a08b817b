#include "probes/snmp/pdu.h"

namespace frisket::snmp {

std::string to_text(ErrorStatus status) {
  switch (status) {
    case ErrorStatus::no_error:
      return "noError";
    case ErrorStatus::too_big:
      return "tooBig";
    case ErrorStatus::no_such_name:
      return "noSuchName";
    case ErrorStatus::bad_value:
      return "badValue";
    case ErrorStatus::read_only:
      return "readOnly";
    case ErrorStatus::gen_err:
      return "genErr";
    case ErrorStatus::no_access:
      return "noAccess";
    case ErrorStatus::authorization_error:
      return "authorizationError";
  }
  return "error status " + std::to_string(static_cast<std::int32_t>(status));
}

}  // namespace frisket::snmp
