// What is understood of the text with which a print server describes a queue. Pure; any thread.
#pragma once

#include <string_view>

#include "probes/model/lpd.h"

namespace frisket::lpd {

// Fills everything of the reading but queue and time from the whole answer, whatever octets it holds.
//
// Understood is the practice that RFC 2569 sections 3.3 and 3.4 write down, in both forms:
// - "no entries" on a line by itself;
// - a row "active|1st|2nd|... OWNER JOB FILES N bytes", where JOB is a number;
// - a description "OWNER: active|1st|... [job JOB HOST]" with a line "FILE N bytes" behind it, which may end in a
// remark. Beyond that a few phrases, before the first job only, since the names of files could hold them: that the
// queue accepts jobs or does not, that there is no such queue, that we may not ask. They are the server's own words,
// which no standard fixes.
//
// reach is nonsense if the octets are no text (RFC 1179: ASCII lines; other charsets are let pass), silent if there are
// none.
void understand(std::string_view octets, model::LpdReading& reading);

}  // namespace frisket::lpd
