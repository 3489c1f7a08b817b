# The pure middle: values and a time in, values out. No Asio, no JSON, no logger.
frisket_layer(frisket_incidents FOLDER daemon/incidents
  SOURCES keywords.cpp
  USES frisket_model frisket_config)

# The public JSON forms of what the middle speaks in; every edge writes through them.
frisket_layer(frisket_json FOLDER daemon/json
  SOURCES device_form.cpp incident_form.cpp
  USES frisket_model frisket_config frisket_incidents
  LIBS nlohmann_json::nlohmann_json)

# The edges. None may include another.
frisket_layer(frisket_http FOLDER daemon/http
  SOURCES routes.cpp
  USES frisket_model frisket_config frisket_clock frisket_incidents frisket_json
  LIBS Boost::headers
  PRIVATE_LIBS spdlog::spdlog)

frisket_layer(frisket_hooks FOLDER daemon/hooks
  SOURCES exec_hook.cpp
  USES frisket_model frisket_config frisket_clock frisket_incidents frisket_json
  LIBS Boost::headers
  PRIVATE_LIBS spdlog::spdlog)

frisket_layer(frisket_client FOLDER daemon/client
  SOURCES client.cpp
  USES frisket_model
  PRIVATE_LIBS nlohmann_json::nlohmann_json CLI11::CLI11 CURL::libcurl)

# Wiring.
frisket_layer(frisket_service FOLDER daemon/service
  SOURCES pollers.cpp schedule.cpp service.cpp
  USES frisket_model frisket_config frisket_clock frisket_snmp frisket_incidents frisket_json frisket_http frisket_hooks
  LIBS Boost::headers
  PRIVATE_LIBS spdlog::spdlog)

add_executable(frisketd daemon/main/frisketd.cpp)
target_link_libraries(frisketd PRIVATE frisket_service frisket_flags CLI11::CLI11 spdlog::spdlog)
target_compile_definitions(frisketd PRIVATE FRISKET_VERSION="${PROJECT_VERSION}")

add_executable(frisket daemon/main/frisket.cpp)
target_link_libraries(frisket PRIVATE frisket_client frisket_flags)
