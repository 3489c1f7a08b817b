// The credentials that devices, and whoever else, name in a configuration. On any one thread.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "config/config.h"

namespace frisket::service {

class CredentialsByName {
 public:
  // The configuration must outlive it.
  explicit CredentialsByName(const config::Config& config) : config_(config) {}

  // Those of these names, in their order; the same object for all who name the same. Never null.
  const config::Credentials& of(const std::vector<std::string>& names);

 private:
  const config::Config& config_;
  std::map<std::vector<std::string>, config::Credentials> made_;
};

}  // namespace frisket::service
