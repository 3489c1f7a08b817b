# The LPD probe against a print server's LPD service.
add_executable(lpd_dump lpd_dump.cpp)
target_link_libraries(lpd_dump PRIVATE frisket_lpd frisket_flags nlohmann_json::nlohmann_json)
set_target_properties(lpd_dump PROPERTIES RUNTIME_OUTPUT_DIRECTORY ${PROJECT_BINARY_DIR}/tests/peers)
frisket_peer_test(lpd)
