#include "daemon/service/queue_hand.h"

namespace frisket::service {
namespace {

using What = http::QueueAct::What;

ipp::Operation operation_of(What what) {
  switch (what) {
    case What::pause:
      return ipp::Operation::pause_printer;
    case What::resume:
      return ipp::Operation::resume_printer;
    case What::move_waiting:
      return ipp::Operation::spooler_move_job;
    default:
      return ipp::Operation::cancel_job;
  }
}

}  // namespace

QueueHand::Awaitable<model::Result<bool>> IppQueueHand::offers(What what) {
  return control_.offers(operation_of(what));
}

}  // namespace frisket::service
