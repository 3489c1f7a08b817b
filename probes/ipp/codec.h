// IPP messages to and from octets: the only place that knows libcups.
//
// libcups is the codec alone: it opens no connection and is handed octets that shape.h has found
// whole and bounded. On one thread: libcups keeps its string pool for the process.
#pragma once

#include <string>
#include <string_view>

#include "probes/ipp/message.h"
#include "probes/ipp/shape.h"
#include "probes/model/result.h"

namespace frisket::ipp {

struct Decoded {
  Message message;
  std::size_t octets = 0;  // how many the message took; document data may follow
};

// Fails with Kind::nonsense. Values of types that no edition of the standard lists are left out.
// Attributes of a name that the group already has are kept: find() gives the first.
model::Result<Decoded> decode(std::string_view octets, const Bounds& bounds = {});

// Fails with Kind::invalid for a message that cannot be written: a value that is not of its tag's
// type, a name or text too long, an attribute without a value.
model::Result<std::string> encode(const Message& message);

}  // namespace frisket::ipp
