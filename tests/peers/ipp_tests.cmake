# The IPP probe against a private print spooler and the reference IPP printer.
add_executable(ipp_dump ipp_dump.cpp)
target_link_libraries(ipp_dump PRIVATE frisket_ipp frisket_flags nlohmann_json::nlohmann_json)
set_target_properties(ipp_dump PROPERTIES RUNTIME_OUTPUT_DIRECTORY ${PROJECT_BINARY_DIR}/tests/peers)
frisket_peer_test(spooler_table)
frisket_peer_test(spooler_control)
frisket_peer_test(spooler_many)
frisket_peer_test(ipp_printer)
frisket_peer_test(ipp_wire)
