# The Debian package: `cmake --build BUILD --target deb` builds what is in it and calls cpack.
set(system_folder /lib/systemd/system)

# The configuration as installed is the sample with its file of tokens on: nobody changes anything over TCP at first.
file(READ ${PROJECT_SOURCE_DIR}/config/frisket.toml sample)
string(REPLACE "#tokens = \"/etc/frisket/tokens\"" "tokens = \"/etc/frisket/tokens\"" installed "${sample}")
if(installed STREQUAL sample)
  message(FATAL_ERROR "config/frisket.toml has no line that packaging/cpack.cmake could turn on: #tokens = ...")
endif()
file(CONFIGURE OUTPUT ${made}/frisket.toml CONTENT "${installed}" @ONLY)
set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS
  ${PROJECT_SOURCE_DIR}/config/frisket.toml ${PROJECT_SOURCE_DIR}/LICENSE packaging/debian/copyright.in)

# debian/copyright wants the licence's text indented, and a dot for an empty line.
file(STRINGS ${PROJECT_SOURCE_DIR}/LICENSE licence_lines)
file(READ ${PROJECT_SOURCE_DIR}/LICENSE licence)
string(REGEX REPLACE "^MIT License\n\n[^\n]*\n\n" "" licence "${licence}")
string(REGEX REPLACE "\n$" "" licence "${licence}")
string(REPLACE "\n\n" "\n.\n" licence "${licence}")
string(REPLACE "\n" "\n " licence "${licence}")
set(LICENCE_TEXT " ${licence}")
configure_file(packaging/debian/copyright.in ${made}/copyright @ONLY)

add_custom_command(OUTPUT ${made}/changelog.gz DEPENDS ${PROJECT_SOURCE_DIR}/packaging/debian/changelog VERBATIM
  COMMAND sh -c "gzip -9nc \"$1\" >\"$2\"" sh ${PROJECT_SOURCE_DIR}/packaging/debian/changelog ${made}/changelog.gz)
add_custom_target(frisket_changelog ALL DEPENDS ${made}/changelog.gz)

install(FILES packaging/systemd/frisketd.service DESTINATION ${system_folder} COMPONENT system EXCLUDE_FROM_ALL)
install(FILES packaging/systemd/sysusers.conf DESTINATION /usr/lib/sysusers.d RENAME frisket.conf
  COMPONENT system EXCLUDE_FROM_ALL)
install(FILES packaging/systemd/tmpfiles.conf DESTINATION /usr/lib/tmpfiles.d RENAME frisket.conf
  COMPONENT system EXCLUDE_FROM_ALL)
install(FILES ${made}/frisket.toml packaging/debian/tokens DESTINATION /etc/frisket COMPONENT system EXCLUDE_FROM_ALL)
install(FILES ${made}/copyright ${made}/changelog.gz DESTINATION /usr/share/doc/frisket COMPONENT system EXCLUDE_FROM_ALL)

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME frisket)
set(CPACK_PACKAGE_VENDOR "The Frisket authors")
set(CPACK_PACKAGE_CONTACT "The Frisket authors <frisket@frisket.invalid>")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_PACKAGE_DIRECTORY ${PROJECT_BINARY_DIR})
set(CPACK_VERBATIM_VARIABLES ON)
set(CPACK_STRIP_FILES ON)
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS
  OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE WORLD_READ WORLD_EXECUTE)
set(CPACK_COMPONENTS_ALL programs system)
set(CPACK_COMPONENTS_GROUPING ALL_COMPONENTS_IN_ONE)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_COMPRESSION_TYPE xz)
set(CPACK_DEBIAN_PACKAGE_SECTION net)
set(CPACK_DEBIAN_PACKAGE_PRIORITY optional)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
# The user and the folders are made by systemd's own tools, also where systemd itself is not. tzdata: time zones of sites.
# fonts-dejavu-core: the lettering of the test page.
set(CPACK_DEBIAN_PACKAGE_DEPENDS "systemd | systemd-standalone-sysusers | systemd-sysusers, \
systemd | systemd-standalone-tmpfiles | systemd-tmpfiles, tzdata, fonts-dejavu-core")
set(CPACK_DEBIAN_PACKAGE_SUGGESTS "python3")
set(CPACK_DEBIAN_PACKAGE_CONTROL_EXTRA
  ${PROJECT_SOURCE_DIR}/packaging/debian/postinst ${PROJECT_SOURCE_DIR}/packaging/debian/prerm
  ${PROJECT_SOURCE_DIR}/packaging/debian/postrm ${PROJECT_SOURCE_DIR}/packaging/debian/conffiles)
set(CPACK_DEBIAN_PACKAGE_CONTROL_STRICT_PERMISSION ON)
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "watches office printers and says what to do about them")
set(CPACK_PACKAGE_DESCRIPTION "Frisket keeps an office's printers printing. Its daemon asks every printer
how it is, over SNMP (RFC 3805) and IPP (RFC 8011), turns what they answer
into incidents that a person can act on, and tells the right programs the
moment something changes.
.
This package has the daemon, frisketd, with its page and its HTTP service on
loopback, and frisket, the client for technicians and scripts.")
include(CPack)

add_custom_target(deb DEPENDS frisketd frisket frisket_extras frisket_changelog VERBATIM
  COMMAND ${CMAKE_CPACK_COMMAND} -G DEB --config ${PROJECT_BINARY_DIR}/CPackConfig.cmake)
