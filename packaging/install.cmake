# What is installed where. Component "programs" goes below any prefix; "system" belongs to a machine, and only the
# package installs it (packaging/cpack.cmake).
include(GNUInstallDirs)
install(TARGETS frisketd DESTINATION ${CMAKE_INSTALL_SBINDIR} COMPONENT programs)
install(TARGETS frisket DESTINATION ${CMAKE_INSTALL_BINDIR} COMPONENT programs)
install(PROGRAMS config/examples/hooks/tell-desk config/examples/hooks/keep-notices
  DESTINATION ${CMAKE_INSTALL_DATADIR}/frisket/hooks COMPONENT programs)
file(GLOB documents CONFIGURE_DEPENDS docs/*.md)
install(FILES README.md ${documents} DESTINATION ${CMAKE_INSTALL_DOCDIR} COMPONENT programs)
install(DIRECTORY config/examples docs/samples docs/guide DESTINATION ${CMAKE_INSTALL_DOCDIR} COMPONENT programs
  PATTERN hooks EXCLUDE)

# What a shell offers behind `frisket` is written by the program itself: nothing can be forgotten.
set(made ${PROJECT_BINARY_DIR}/packaging)
file(MAKE_DIRECTORY ${made})
set(completions)
foreach(shell bash zsh fish)
  add_custom_command(OUTPUT ${made}/frisket.${shell} DEPENDS frisket VERBATIM
    COMMAND sh -c "\"$1\" --completion \"$2\" >\"$3\"" sh $<TARGET_FILE:frisket> ${shell} ${made}/frisket.${shell})
  list(APPEND completions ${made}/frisket.${shell})
endforeach()
install(FILES ${made}/frisket.bash DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions RENAME frisket
  COMPONENT programs)
install(FILES ${made}/frisket.zsh DESTINATION ${CMAKE_INSTALL_DATADIR}/zsh/vendor-completions RENAME _frisket
  COMPONENT programs)
install(FILES ${made}/frisket.fish DESTINATION ${CMAKE_INSTALL_DATADIR}/fish/vendor_completions.d COMPONENT programs)

# Manual pages, out of the documents that tests hold against the code. Without pandoc there are none, and no package.
find_program(PANDOC pandoc)
if(NOT PANDOC)
  message(STATUS "pandoc is not here: no manual pages, no package (packaging/prerequisites package)")
endif()
set(manual)
# frisket_manual(NAME SECTION <sources>): a page of the manual out of Markdown.
function(frisket_manual name section)
  list(TRANSFORM ARGN PREPEND ${PROJECT_SOURCE_DIR}/ OUTPUT_VARIABLE sources)
  set(page ${made}/${name}.${section}.gz)
  set(filter ${PROJECT_SOURCE_DIR}/packaging/man/man.lua)
  string(TOUPPER ${name} title)
  add_custom_command(OUTPUT ${page} DEPENDS ${sources} ${filter} VERBATIM
    COMMAND ${PANDOC} --standalone --from markdown-smart-yaml_metadata_block --to man --lua-filter ${filter}
      --metadata title=${title} --metadata section=${section} --metadata header=Frisket
      --metadata "footer=Frisket ${PROJECT_VERSION}" --output ${made}/${name}.${section} ${sources}
    COMMAND gzip -9nf ${made}/${name}.${section})
  install(FILES ${page} DESTINATION ${CMAKE_INSTALL_MANDIR}/man${section} COMPONENT programs)
  set(manual ${manual} ${page} PARENT_SCOPE)
endfunction()
if(PANDOC)
  frisket_manual(frisketd 8 packaging/man/frisketd.8.md)
  frisket_manual(frisket 1 packaging/man/frisket.1.md docs/client.md packaging/man/frisket.1.end.md)
  frisket_manual(frisket.toml 5 packaging/man/frisket.toml.5.md docs/configuration.md packaging/man/frisket.toml.5.end.md)
endif()
add_custom_target(frisket_extras ALL DEPENDS ${completions} ${manual})

include(packaging/cpack.cmake)
