// Documents and whole lists from the daemon.
//
// Blocks for as long as the Server does. One thread.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "daemon/client/fields.h"
#include "daemon/client/server.h"

namespace frisket::client {

// One JSON document. Errors as error_of() and parse_json() have them.
model::Result<Json> get_document(Server& server, const std::string& path);

// Posts a JSON document, and gives the one that comes back. Errors as get_document() has them.
model::Result<Json> post_document(Server& server, const std::string& path, const Json& document);

// One list with all its items: its `next` is followed until it is null, and the items of all
// parts stand in the object of the first. Kind nonsense if a part is no list, or if `next`
// does not get anywhere.
model::Result<Json> get_list(Server& server, const std::string& path,
                             std::vector<std::pair<std::string, std::string>> query);

}  // namespace frisket::client
