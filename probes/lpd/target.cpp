#include "probes/lpd/target.h"

namespace frisket::lpd {

std::string command(Form form, const Target& target) {
  return (form == Form::brief ? '\3' : '\4') + target.queue + '\n';
}

}  // namespace frisket::lpd
