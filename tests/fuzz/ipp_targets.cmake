# Octets of an IPP answer. Seeds: the examples of RFC 8010 Appendix A, as tests/fuzz/ipp_seeds.py writes them.
#   tests/fuzz/ipp_seeds.py SEEDS && build/fuzz/tests/fuzz/ipp_decode_fuzz -runs=1000000 NEW_CORPUS SEEDS
add_executable(ipp_decode_fuzz ipp_decode_fuzz.cpp)
target_link_libraries(ipp_decode_fuzz PRIVATE frisket_ipp frisket_flags)
target_link_options(ipp_decode_fuzz PRIVATE -fsanitize=fuzzer)
