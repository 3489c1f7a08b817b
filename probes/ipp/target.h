// Where an IPP service is, under the names that this folder uses (probes/model/ipp_target.h).
#pragma once

#include "probes/model/ipp_target.h"

namespace frisket::ipp {

using Credentials = model::IppCredentials;
using Target = model::IppTarget;
using model::beside;
using model::root_of;
using model::without_user;

inline model::Result<Target> target_of(std::string_view uri) { return model::ipp_target_of(uri); }

}  // namespace frisket::ipp
