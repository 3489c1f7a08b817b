# The pure middle: values and a time in, values out. No Asio, no JSON, no logger.
frisket_layer(frisket_incidents FOLDER daemon/incidents
  SOURCES alarm_load.cpp alert_rows.cpp causes.cpp claims.cpp conditions.cpp correlator.cpp correlator_devices.cpp
          correlator_life.cpp correlator_operators.cpp correlator_outages.cpp correlator_queues.cpp
          correlator_reach.cpp correlator_services.cpp
          device_state.cpp error_bits.cpp findings.cpp
          history.cpp incident.cpp incident_id.cpp keywords.cpp kinds.cpp levels.cpp matching.cpp notice.cpp place.cpp
          planned_work.cpp queue_agreement.cpp queue_conditions.cpp queue_remedies.cpp queue_status.cpp queue_ties.cpp reach.cpp remedies.cpp remedy_texts.cpp second_voices.cpp standing.cpp running_out.cpp
  USES frisket_model frisket_config)

# What will run out, what to order, what to service, where to go: values in, values out.
frisket_layer(frisket_upkeep FOLDER daemon/upkeep
  SOURCES calendar.cpp complaint.cpp complaint_table.cpp consumption.cpp depletion.cpp device_forecast.cpp
          distributions.cpp fleet_reliability.cpp location.cpp median.cpp meter.cpp observations.cpp ordering.cpp outlook.cpp outlook_order.cpp recorder.cpp reliability.cpp robust_line.cpp round.cpp season.cpp
          segments.cpp series.cpp service_plan.cpp site_course.cpp spans.cpp told_history.cpp use_forecast.cpp visit.cpp weeks.cpp
  USES frisket_model frisket_config
  PRIVATE_LIBS Boost::headers)

# The sheet of paper that proves a printer prints: values in, the octets of a document out.
pkg_check_modules(CAIRO REQUIRED IMPORTED_TARGET cairo cairo-pdf)
frisket_layer(frisket_testpage FOLDER daemon/testpage
  SOURCES drawing.cpp format.cpp lettering.cpp page.cpp pdf.cpp plain_text.cpp raster.cpp
  USES frisket_model
  PRIVATE_LIBS PkgConfig::CAIRO Cups::Cups)

# The public JSON forms of what the middle speaks in; every edge writes through them.
frisket_layer(frisket_json FOLDER daemon/json
  SOURCES alarm_load_form.cpp audit_form.cpp device_form.cpp incident_form.cpp queue_form.cpp
  USES frisket_model frisket_config frisket_incidents
  LIBS nlohmann_json::nlohmann_json)

# What outlives the daemon.
find_package(SQLite3 REQUIRED)
find_package(SQLiteCpp REQUIRED)
frisket_layer(frisket_store FOLDER daemon/store
  SOURCES attempt.cpp backup.cpp connection.cpp damaged.cpp history_rows.cpp kept_books.cpp kept_history.cpp kept_incident.cpp kept_memory.cpp kept_snapshot.cpp
          memory_store.cpp misfit.cpp recovery.cpp row_reader.cpp row_writer.cpp schema.cpp sqlite_rows.cpp
          sqlite_store.cpp store.cpp store_writer.cpp write_thread.cpp
  USES frisket_model frisket_config frisket_incidents frisket_upkeep
  LIBS Boost::headers SQLiteCpp nlohmann_json::nlohmann_json SQLite::SQLite3)

# The edges. None may include another.
frisket_layer(frisket_http FOLDER daemon/http
  SOURCES access.cpp body.cpp body_members.cpp call.cpp device_entry.cpp device_metrics.cpp entity_tags.cpp event_log.cpp fleet_board.cpp fleet_metrics.cpp fleet_summary.cpp
          answer_head.cpp gate.cpp host_check.cpp incident_shelf.cpp kept_form.cpp message.cpp open_metrics.cpp parameters.cpp queue_act_body.cpp queue_acts.cpp
          queue_board.cpp queue_entry.cpp queue_routes.cpp refusal_limit.cpp request_limit.cpp routes.cpp selection.cpp server.cpp session.cpp target.cpp
          test_print_form.cpp test_print_routes.cpp test_prints.cpp tls.cpp token_text.cpp unix_socket.cpp upkeep_bodies.cpp upkeep_form.cpp upkeep_routes.cpp wire.cpp
  USES frisket_model frisket_config frisket_clock frisket_incidents frisket_upkeep frisket_json
  LIBS Boost::headers
  PRIVATE_LIBS OpenSSL::SSL OpenSSL::Crypto spdlog::spdlog)
include(daemon/http/page/embed.cmake)
frisket_embed(frisket_http daemon/http/page
  index.html mark.svg sprig.svg page.css sheets.css paper.css
  page.js acts.js causes.js complain.js complaints.js device.js devices.js dialog.js dom.js fleet.js inks.js later.js load.js mend.js
  order.js plot.js queues.js round.js service.js sheet.js shelf.js supplies.js wire.js words.js)

frisket_embed(frisket_http daemon/http/openapi FUNCTION openapi_files openapi.json)

frisket_layer(frisket_hooks FOLDER daemon/hooks
  SOURCES base64.cpp child.cpp connection.cpp conversations.cpp curl_loop.cpp curl_transfer.cpp delivery.cpp
          delivery_desk.cpp environment.cpp exec_transport.cpp filter.cpp hooks.cpp mail_message.cpp mail_text.cpp
          mail_transport.cpp notice_body.cpp planner.cpp planner_state.cpp program_run.cpp quiet_times.cpp
          signature.cpp smtp_session.cpp syslog_message.cpp syslog_transport.cpp webhook_transport.cpp
  USES frisket_model frisket_config frisket_clock frisket_incidents frisket_json
  LIBS Boost::headers CURL::libcurl OpenSSL::SSL
  PRIVATE_LIBS spdlog::spdlog)

frisket_layer(frisket_client FOLDER daemon/client
  SOURCES address.cpp answers.cpp arguments.cpp bash_completion.cpp client.cpp complain_verb.cpp
          complaint_answers.cpp complaint_view.cpp completion.cpp csv.cpp device_view.cpp display.cpp
          event_stream_parser.cpp fields.cpp fish_completion.cpp history_view.cpp http_server.cpp incident_view.cpp
          list_views.cpp listing.cpp load_view.cpp meter_view.cpp moments.cpp order_view.cpp pause.cpp
          queue_answers.cpp queue_jobs_view.cpp queue_verb.cpp queue_view.cpp queue_words.cpp reliability_answers.cpp reliability_view.cpp round_answers.cpp
          round_view.cpp server.cpp service_view.cpp status_view.cpp table.cpp terminal.cpp test_print_verb.cpp
          token_file.cpp upkeep_answers.cpp upkeep_arguments.cpp upkeep_verbs.cpp upkeep_words.cpp view_parts.cpp
          watch.cpp words.cpp zsh_completion.cpp
  USES frisket_model
  LIBS nlohmann_json::nlohmann_json
  PRIVATE_LIBS CLI11::CLI11 CURL::libcurl)
target_compile_definitions(frisket_client PRIVATE FRISKET_VERSION="${PROJECT_VERSION}")

# Wiring.
frisket_layer(frisket_service FOLDER daemon/service
  SOURCES automatic_cures.cpp credentials_by_name.cpp device_addresses.cpp device_probes.cpp escaped.cpp kept_readings.cpp ledger.cpp
          local_engine.cpp notifications.cpp poll_limiter.cpp poll_tasks.cpp pollers.cpp queue_cure.cpp queue_desk.cpp
          queue_hand.cpp queue_pollers.cpp raw_port.cpp schedule.cpp service.cpp service_manager.cpp spooler_restart.cpp test_page_ways.cpp
          test_print.cpp test_printer.cpp trusted_certificates.cpp
          unknown_senders.cpp upkeep_desk.cpp upkeep_setup.cpp whole_file.cpp
  USES frisket_model frisket_config frisket_clock frisket_snmp frisket_ipp frisket_lpd frisket_testpage frisket_incidents frisket_upkeep frisket_json frisket_http frisket_hooks frisket_store
  LIBS Boost::headers
  PRIVATE_LIBS spdlog::spdlog)

# g++ 12 with optimisation takes the operator delete of Asio's coroutine frames for a mismatched one.
if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU" AND CMAKE_CXX_COMPILER_VERSION VERSION_LESS 13)
  target_compile_options(frisket_service PRIVATE -Wno-mismatched-new-delete)
endif()

add_executable(frisketd daemon/main/frisketd.cpp)
target_link_libraries(frisketd PRIVATE frisket_service frisket_discovery frisket_flags CLI11::CLI11 spdlog::spdlog)
target_compile_definitions(frisketd PRIVATE FRISKET_VERSION="${PROJECT_VERSION}")

add_executable(frisket daemon/main/frisket.cpp)
target_link_libraries(frisket PRIVATE frisket_client frisket_clock frisket_flags CURL::libcurl)
