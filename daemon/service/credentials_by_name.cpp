#include "daemon/service/credentials_by_name.h"

#include <memory>
#include <utility>

namespace frisket::service {

const config::Credentials& CredentialsByName::of(const std::vector<std::string>& names) {
  auto& made = made_[names];
  if (made) return made;
  std::vector<config::Credential> found;
  for (const auto& name : names)
    if (const auto* credential = config_.find_credential(name)) found.push_back(*credential);
  return made = std::make_shared<const std::vector<config::Credential>>(std::move(found));
}

}  // namespace frisket::service
