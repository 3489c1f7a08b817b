# Octets of an IPP answer. Seeds: the examples of RFC 8010 Appendix A, as ipp_seeds.py writes them.
fuzz_code(fuzz_ipp frisket_ipp
  "client|connection|device_probe|operations|queue_probe|subscription|transport"
  fuzz_model Cups::Cups)
fuzz_target(ipp_decode fuzz_ipp)
