#include "daemon/http/queue_acts.h"

namespace frisket::http {

std::string_view to_text(QueueAct::What what) {
  switch (what) {
    case QueueAct::What::pause:
      return "pause";
    case QueueAct::What::resume:
      return "resume";
    case QueueAct::What::cancel_job:
      return "cancel-job";
    case QueueAct::What::cancel_waiting:
      return "cancel-waiting";
    case QueueAct::What::move_waiting:
      return "move-waiting";
    case QueueAct::What::restart:
      return "restart";
  }
  return "";
}

}  // namespace frisket::http
