# The test page, read by programs that know nothing of us.
add_executable(testpage_dump testpage_dump.cpp)
target_link_libraries(testpage_dump PRIVATE frisket_testpage frisket_flags)
set_target_properties(testpage_dump PROPERTIES RUNTIME_OUTPUT_DIRECTORY ${PROJECT_BINARY_DIR}/tests/peers)
frisket_peer_test(testpage)
# A test print from the client to the paper.
frisket_peer_test(testprint)
