frisket_layer(frisket_model FOLDER probes/model
  SOURCES alert_enums.cpp channel_enums.cpp designation.cpp device.cpp enum_names.cpp enums.cpp quantity.cpp reading.cpp
          severity.cpp status.cpp subunit.cpp text.cpp time.cpp)

frisket_layer(frisket_config FOLDER config
  SOURCES config.cpp loader.cpp
  USES frisket_model
  PRIVATE_LIBS tomlplusplus::tomlplusplus)

frisket_layer(frisket_clock FOLDER probes/clock
  SOURCES clock.cpp
  USES frisket_model
  LIBS Boost::headers)

frisket_layer(frisket_snmp FOLDER probes/snmp
  SOURCES codec.cpp
  USES frisket_model frisket_config frisket_clock
  LIBS Boost::headers
  PRIVATE_LIBS PkgConfig::NETSNMP)
