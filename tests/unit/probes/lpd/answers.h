// What print servers say.
#pragma once

#include <string>

namespace frisket::lpd::testing {

// The examples of RFC 2569, short form (section 3.3).
inline const std::string kBrief =
    "killtree is ready and printing\n"
    "Rank   Owner      Job          Files             Total Size\n"
    "active fred       123          stuff             1204 bytes\n"
    "1st    smith      124          resume, foo       34576 bytes\n"
    "2nd    fred       125          more              99 bytes\n"
    "3rd    mary       126          mydoc             378 bytes\n"
    "4th    jones      127          statistics.ps     4567 bytes\n"
    "5th    fred       128          data.txt          9 bytes\n";

// Long form (section 3.4).
inline const std::string kFull =
    "killtree is ready and printing\n"
    "\n"
    "fred: active                        [job 123 tiger]\n"
    "        2 copies of stuff           602 bytes\n"
    "\n"
    "smith: 1st                          [job 124 snail]\n"
    "        2 copies of resume          7088 bytes\n"
    "        2 copies of foo             10200 bytes\n"
    "\n"
    "fred: 2nd                           [job 125 tiger]\n"
    "        more                        99 bytes\n";

// What Berkeley's server says (Debian's lpr 2008.05.17.3, asked on the loopback with two jobs in its spool), in both
// forms, of a queue that prints nothing and takes nothing.
inline const std::string kBerkeleyBrief =
    "Warning: fern is down: \n"
    "Warning: fern queue is turned off\n"
    "Warning: no daemon present\n"
    "Rank   Owner      Job  Files                                 Total Size\n"
    "1st    moss       2    list.txt                              100 bytes\n"
    "2nd    moss       1    list.txt                              100 bytes\n";
inline const std::string kBerkeleyFull =
    "Warning: fern is down: \n"
    "Warning: fern queue is turned off\n"
    "Warning: no daemon present\n"
    "\n"
    "moss: 1st                                [job 002fernhouse]\n"
    "\tlist.txt                              100 bytes -- Thu Nov 26 04:19:43 2026\n"
    "\n"
    "moss: 2nd                                [job 001fernhouse]\n"
    "\tlist.txt                              100 bytes -- Thu Nov 26 04:19:43 2026\n";

}  // namespace frisket::lpd::testing
