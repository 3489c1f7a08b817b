#include "probes/model/reading.h"

namespace frisket::model {

std::string_view to_text(Reach reach) {
  switch (reach) {
    case Reach::answered:
      return "answered";
    case Reach::silent:
      return "silent";
    case Reach::refused:
      return "refused";
    case Reach::unknown_user:
      return "unknown-user";
    case Reach::wrong_key:
      return "wrong-key";
    case Reach::nonsense:
      return "nonsense";
  }
  return "nonsense";
}

}  // namespace frisket::model
