# Puts the page's files into the program, as page_files.h declares them.
#
# frisket_embed(<target> <folder> [FUNCTION <name>] <files>...) adds a source to the target that is written
# again whenever one of the files changes. Run as a script (cmake -P), this file is what
# writes it: every octet becomes an escape, so that no file can break out of its literal.

if(CMAKE_SCRIPT_MODE_FILE)
  set(entries "")
  foreach(file ${FILES})
    file(READ ${FOLDER}/${file} octets HEX)
    string(REGEX REPLACE "(..)" "\\\\x\\1" escaped "${octets}")
    string(REPLACE "\\x0a" "\\x0a\"\n        \"" lines "${escaped}")
    file(SIZE ${FOLDER}/${file} size)
    file(SHA256 ${FOLDER}/${file} hash)
    string(SUBSTRING ${hash} 0 24 tag) # 12 octets: nobody finds two contents with the same
    string(APPEND entries "    PageFile{\"${file}\", std::string_view(\n        \"${lines}\", ${size}),\n        \"\\\"${tag}\\\"\"},\n")
  endforeach()
  file(WRITE ${OUTPUT} "// Written by page/embed.cmake; do not edit.
#include \"daemon/http/page_files.h\"

#include <array>

namespace frisket::http {
namespace {

constexpr std::array kFiles = {
${entries}};

}  // namespace

std::span<const PageFile> ${FUNCTION}() { return kFiles; }

}  // namespace frisket::http
")
  return()
endif()

set(FRISKET_EMBED_SCRIPT ${CMAKE_CURRENT_LIST_FILE})
function(frisket_embed target folder)
  cmake_parse_arguments(EMBED "" "FUNCTION" "" ${ARGN})
  if(NOT EMBED_FUNCTION)
    set(EMBED_FUNCTION page_files)
  endif()
  set(files ${EMBED_UNPARSED_ARGUMENTS})
  set(folder ${PROJECT_SOURCE_DIR}/${folder})
  set(output ${PROJECT_BINARY_DIR}/${target}_${EMBED_FUNCTION}.cpp)
  list(TRANSFORM files PREPEND ${folder}/ OUTPUT_VARIABLE paths)
  add_custom_command(OUTPUT ${output}
    COMMAND ${CMAKE_COMMAND} "-DFILES=${files}" -DFOLDER=${folder} -DFUNCTION=${EMBED_FUNCTION} -DOUTPUT=${output} -P ${FRISKET_EMBED_SCRIPT}
    DEPENDS ${paths} ${FRISKET_EMBED_SCRIPT}
    COMMENT "Embedding ${folder}" VERBATIM)
  target_sources(${target} PRIVATE ${output})
endfunction()
