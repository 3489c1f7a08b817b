include(GNUInstallDirs)
install(TARGETS frisketd DESTINATION ${CMAKE_INSTALL_SBINDIR})
install(TARGETS frisket DESTINATION ${CMAKE_INSTALL_BINDIR})
# The service unit, once there is one, grants CAP_NET_BIND_SERVICE (AmbientCapabilities=), so that
# [notifications] listen can be SNMP's port 162 without root. Nothing else of the daemon needs a capability.
