// Text for a terminal or a pipe: made inert, measured in columns, cut and wrapped.
//
// Widths are the C library's wcwidth() in its built-in UTF-8 locale, whatever the user's
// locale is: a CJK character takes two columns, a combining one none. Pure; any thread.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace frisket::client {

// What a text means to the eye. A tone never stands alone: the word is always printed too.
enum class Tone { plain, heading, critical, major, minor, warning };

// The text as one harmless line: control characters and line ends become a space,
// direction overrides vanish (probes/model/text.h). Text beyond about 4000 bytes is cut.
std::string inert(std::string_view text);

// JSON text in which everything that a terminal could obey is written as \uXXXX. What
// the JSON means does not change.
std::string inert_json(std::string_view json);

// Columns that the text takes on a terminal.
std::size_t columns(std::string_view text);

// Exactly `width` columns: filled up with spaces, or cut with "…" at the end.
std::string fitted(std::string_view text, std::size_t width);

// Lines of at most `width` columns, broken at spaces where possible; a word that is longer
// than a line is broken inside. At least one line. A single character wider than the
// width gets a line to itself.
std::vector<std::string> wrapped(std::string_view text, std::size_t width);

// The text between the escape sequences (ECMA-48 SGR) of its tone; unchanged when colour is off.
std::string toned(std::string_view text, Tone tone, bool colour);

// The longest beginning of the text, whole characters, that fits into `limit` bytes.
std::string_view cut_to_bytes(std::string_view text, std::size_t limit);

}  // namespace frisket::client
