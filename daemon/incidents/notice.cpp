#include "daemon/incidents/notice.h"

namespace frisket::incidents {

std::string_view to_text(Notice::Reason reason) {
  switch (reason) {
    case Notice::Reason::raised:
      return "raised";
    case Notice::Reason::changed:
      return "changed";
    case Notice::Reason::cleared:
      return "cleared";
    case Notice::Reason::operator_action:
      return "operator-action";
    case Notice::Reason::reminder:
      return "reminder";
    case Notice::Reason::escalated:
      return "escalated";
    case Notice::Reason::test:
      return "test";
  }
  return "changed";
}

std::string_view to_text(Notice::State state) {
  switch (state) {
    case Notice::State::waiting:
      return "waiting";
    case Notice::State::delivered:
      return "delivered";
    case Notice::State::parked:
      return "parked";
    case Notice::State::dropped:
      return "dropped";
  }
  return "waiting";
}

}  // namespace frisket::incidents
