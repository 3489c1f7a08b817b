frisket_layer(frisket_model FOLDER probes/model
  SOURCES alert_enums.cpp audit.cpp channel_enums.cpp designation.cpp device.cpp enum_names.cpp enums.cpp identity.cpp
          interface.cpp ipp_target.cpp lpd.cpp merged.cpp quantity.cpp queue.cpp
          reading.cpp severity.cpp status.cpp subunit.cpp text.cpp time.cpp url_source.cpp
  PRIVATE_LIBS Boost::headers)

find_package(OpenSSL REQUIRED)
frisket_layer(frisket_config FOLDER config
  SOURCES certificate.cpp config.cpp credential_section.cpp daemon_section.cpp device_section.cpp findings.cpp hook_filters.cpp
          hook_receivers.cpp hook_section.cpp ipp_keys.cpp keys.cpp loader.cpp local_clock.cpp maintenance_section.cpp notifications_section.cpp print_services_section.cpp program_key.cpp rules_section.cpp upkeep_sections.cpp
          secret_file.cpp secret_key.cpp section.cpp sections.cpp
          site_section.cpp syntax.cpp time_zones.cpp token.cpp
  USES frisket_model
  PRIVATE_LIBS tomlplusplus::tomlplusplus date::date-tz OpenSSL::Crypto)

frisket_layer(frisket_clock FOLDER probes/clock
  SOURCES clock.cpp resolve.cpp
  USES frisket_model
  LIBS Boost::headers)

frisket_layer(frisket_snmp FOLDER probes/snmp
  SOURCES address.cpp admission.cpp answer_tail.cpp codec.cpp conversation.cpp decode.cpp device_probe.cpp exchange.cpp
          gate.cpp listener.cpp net_snmp.cpp network.cpp notification.cpp notification_codec.cpp notification_pdu.cpp oid.cpp
          pdu.cpp peek.cpp plan.cpp request_table.cpp standing_messages.cpp standing_request.cpp table_walk.cpp usm.cpp usm_codec.cpp
          usm_dialogue.cpp usm_notification_codec.cpp usm_slot.cpp values.cpp watch.cpp
  USES frisket_model frisket_config frisket_clock
  LIBS Boost::headers
  PRIVATE_LIBS PkgConfig::NETSNMP)

# Finding printers: what `frisketd discover` does.
frisket_layer(frisket_discovery FOLDER probes/discovery
  SOURCES agent_read.cpp command.cpp found.cpp naming.cpp progress.cpp report.cpp scan.cpp targets.cpp
  USES frisket_model frisket_config frisket_clock frisket_snmp
  LIBS Boost::headers
  PRIVATE_LIBS nlohmann_json::nlohmann_json tomlplusplus::tomlplusplus)

# libcups as codec, OpenSSL for ipps; CMake's own modules find both.
find_package(Cups REQUIRED)
find_package(OpenSSL REQUIRED)
frisket_layer(frisket_ipp FOLDER probes/ipp
  SOURCES client.cpp codec.cpp connection.cpp device_decode.cpp device_probe.cpp key_value.cpp message.cpp names.cpp
          operations.cpp queue_decode.cpp queue_probe.cpp reason_alert.cpp shape.cpp state_reasons.cpp
          subscription.cpp transport.cpp
  USES frisket_model frisket_clock
  LIBS Boost::headers
  PRIVATE_LIBS Cups::Cups OpenSSL::SSL)

# What an old print server says of its queues, by RFC 1179.
frisket_layer(frisket_lpd FOLDER probes/lpd
  SOURCES answer.cpp queue_probe.cpp queue_state.cpp target.cpp
  USES frisket_model frisket_clock
  LIBS Boost::headers)

# g++ 12 with optimisation sees ghosts: an operator delete of Asio's coroutine frames that
# it takes for mismatched, and a copy of a small_vector that it takes for longer than it is.
if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU" AND CMAKE_CXX_COMPILER_VERSION VERSION_LESS 13)
  target_compile_options(frisket_snmp PRIVATE -Wno-mismatched-new-delete -Wno-stringop-overread)
  target_compile_options(frisket_ipp PRIVATE -Wno-mismatched-new-delete)
  target_compile_options(frisket_lpd PRIVATE -Wno-mismatched-new-delete)
  target_compile_options(frisket_clock PRIVATE -Wno-mismatched-new-delete)
  # And std::string's operator+ for an overlapping copy (GCC bug 105651).
  target_compile_options(frisket_discovery PRIVATE -Wno-mismatched-new-delete -Wno-stringop-overread -Wno-restrict)
endif()
