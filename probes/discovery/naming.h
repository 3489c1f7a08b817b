// Names for what was found, fit for the configuration. Pure; any thread.
#pragma once

#include <set>
#include <string>
#include <string_view>

#include "probes/discovery/found.h"

namespace frisket::discovery {

// Letters (made lower-case), digits, '.', '-' and '_' are kept, everything else turns into one '-';
// at most 64. Empty when nothing is left. The result is empty or a name by config/syntax.h.
std::string name_from(std::string_view text);

// From sysName without its domain, else prtGeneralPrinterName, else model and serial number, else the
// address.
std::string name_for(const Found& printer);

// Hands out each name once: "copier", "copier-2", ...
class UniqueNames {
 public:
  // A name that the configuration has already.
  void reserve(std::string name) { taken_.insert(std::move(name)); }
  std::string unique(std::string name);

 private:
  std::set<std::string> taken_;
};

}  // namespace frisket::discovery
