// Who we are to senders of SNMPv3 informs: an engine id, and how often the daemon has started.
//
// Kept in the state folder, since senders remember both: a number of boots that goes back would let
// old messages pass for new ones (RFC 3414 section 2.2.2), so it is written before it is used. Where
// it cannot be kept, every start is a new engine, which is as safe, and costs senders a discovery.
#pragma once

#include <filesystem>

#include "probes/model/result.h"
#include "probes/snmp/usm_notification_codec.h"

namespace frisket::service {

// The engine of this start, by the file "engine" in the folder, which is written anew. Fails (local)
// when it cannot be.
model::Result<snmp::LocalEngine> next_engine(const std::filesystem::path& state_dir);

// One that nobody has met.
snmp::LocalEngine new_engine();

}  // namespace frisket::service
