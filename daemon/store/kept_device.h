// The fields of a device's subunits. Inside daemon/store only.
//
// A new field is one line here, under a name that was never used before for anything else. The packed
// values of the Printer MIB are kept as the standard packs them.
#pragma once

#include "daemon/store/kept_values.h"
#include "probes/model/device.h"

namespace frisket::store {

template <>
inline constexpr bool kOpenEnumeration<model::HostDeviceStatus> = true;
template <>
inline constexpr bool kOpenEnumeration<model::HostPrinterStatus> = true;
template <>
inline constexpr bool kOpenEnumeration<model::CoverStatus> = true;
template <>
inline constexpr bool kOpenEnumeration<model::CapacityUnit> = true;
template <>
inline constexpr bool kOpenEnumeration<model::InputType> = true;
template <>
inline constexpr bool kOpenEnumeration<model::OutputType> = true;
template <>
inline constexpr bool kOpenEnumeration<model::MarkTech> = true;
template <>
inline constexpr bool kOpenEnumeration<model::CounterUnit> = true;
template <>
inline constexpr bool kOpenEnumeration<model::SupplyType> = true;
template <>
inline constexpr bool kOpenEnumeration<model::SupplyClass> = true;
template <>
inline constexpr bool kOpenEnumeration<model::SupplyUnit> = true;
template <>
inline constexpr bool kOpenEnumeration<model::ColorantRole> = true;
template <>
inline constexpr bool kOpenEnumeration<model::MediaPathType> = true;
template <>
inline constexpr bool kOpenEnumeration<model::SpeedUnit> = true;
template <>
inline constexpr bool kOpenEnumeration<model::LightColor> = true;
template <>
inline constexpr bool kOpenEnumeration<model::ChannelType> = true;
template <>
inline constexpr bool kOpenEnumeration<model::ChannelState> = true;
template <>
inline constexpr bool kOpenEnumeration<model::LangFamily> = true;
template <>
inline constexpr bool kOpenEnumeration<model::AlertSeverity> = true;
template <>
inline constexpr bool kOpenEnumeration<model::AlertTraining> = true;
template <>
inline constexpr bool kOpenEnumeration<model::AlertGroup> = true;
template <>
inline constexpr bool kOpenEnumeration<model::AlertCode> = true;
template <>
inline constexpr bool kOpenEnumeration<model::InterfaceStatus> = true;
template <>
inline constexpr bool kOpenEnumeration<model::Charset> = true;

// RFC 3805: -1 no restriction, -2 unknown, -3 some left, else the count.
template <>
struct Kept<model::Level> {
  static Json to(const model::Level& level);
  static void from(const Json& json, model::Level& level, Misfit& misfit);
};

template <>
struct Kept<model::Capacity> {
  static Json to(const model::Capacity& capacity);
  static void from(const Json& json, model::Capacity& capacity, Misfit& misfit);
};

// PrtSubUnitStatusTC, as the standard packs it.
template <>
struct Kept<model::SubunitStatus> {
  static Json to(const model::SubunitStatus& status);
  static void from(const Json& json, model::SubunitStatus& status, Misfit& misfit);
};

// As the list of the bits' words.
template <>
struct Kept<model::ErrorBits> {
  static Json to(const model::ErrorBits& bits);
  static void from(const Json& json, model::ErrorBits& bits, Misfit& misfit);
};

template <>
struct Fields<model::Interface> {
  static auto of(auto& interface) {
    return std::tuple(field("index", interface.index),                //
                      field("description", interface.description),    //
                      field("type", interface.type),                  //
                      field("speed", interface.speed),                //
                      field("status", interface.status),              //
                      field("in_discards", interface.in_discards),    //
                      field("in_errors", interface.in_errors),        //
                      field("out_discards", interface.out_discards),  //
                      field("out_errors", interface.out_errors));
  }
};

template <>
struct Fields<model::System> {
  static auto of(auto& system) {
    return std::tuple(field("description", system.description),  //
                      field("object_id", system.object_id),      //
                      field("up_time", system.up_time),          //
                      field("name", system.name),                //
                      field("location", system.location),        //
                      field("contact", system.contact));
  }
};

template <>
struct Fields<model::HostStatus> {
  static auto of(auto& host) {
    return std::tuple(field("description", host.description),  //
                      field("device", host.device),            //
                      field("printer", host.printer),          //
                      field("errors", host.errors),            //
                      field("index", host.index));
  }
};

template <>
struct Fields<model::General> {
  static auto of(auto& general) {
    return std::tuple(field("config_changes", general.config_changes),              //
                      field("critical_events", general.critical_events),            //
                      field("all_events", general.all_events),                      //
                      field("printer_name", general.printer_name),                  //
                      field("serial_number", general.serial_number),                //
                      field("current_localization", general.current_localization),  //
                      field("console_localization", general.console_localization));
  }
};

template <>
struct Fields<model::Localization> {
  static auto of(auto& localization) {
    return std::tuple(field("index", localization.index),        //
                      field("language", localization.language),  //
                      field("country", localization.country),    //
                      field("charset", localization.charset));
  }
};

template <>
struct Fields<model::Cover> {
  static auto of(auto& cover) {
    return std::tuple(field("index", cover.index),              //
                      field("description", cover.description),  //
                      field("status", cover.status));
  }
};

template <>
struct Fields<model::Input> {
  static auto of(auto& input) {
    return std::tuple(field("index", input.index),                  //
                      field("type", input.type),                    //
                      field("unit", input.unit),                    //
                      field("max_capacity", input.max_capacity),    //
                      field("current_level", input.current_level),  //
                      field("status", input.status),                //
                      field("name", input.name),                    //
                      field("description", input.description),      //
                      field("media_name", input.media_name),        //
                      field("media_type", input.media_type),        //
                      field("media_color", input.media_color),      //
                      field("media_weight", input.media_weight));
  }
};

template <>
struct Fields<model::Output> {
  static auto of(auto& output) {
    return std::tuple(field("index", output.index),                            //
                      field("type", output.type),                              //
                      field("unit", output.unit),                              //
                      field("max_capacity", output.max_capacity),              //
                      field("remaining_capacity", output.remaining_capacity),  //
                      field("status", output.status),                          //
                      field("name", output.name),                              //
                      field("description", output.description));
  }
};

template <>
struct Fields<model::Marker> {
  static auto of(auto& marker) {
    return std::tuple(field("index", marker.index),                    //
                      field("mark_tech", marker.mark_tech),            //
                      field("counter_unit", marker.counter_unit),      //
                      field("life_count", marker.life_count),          //
                      field("power_on_count", marker.power_on_count),  //
                      field("status", marker.status));
  }
};

template <>
struct Fields<model::Colorant> {
  static auto of(auto& colorant) {
    return std::tuple(field("index", colorant.index),                //
                      field("marker_index", colorant.marker_index),  //
                      field("role", colorant.role),                  //
                      field("value", colorant.value));
  }
};

template <>
struct Fields<model::Supply> {
  static auto of(auto& supply) {
    return std::tuple(field("index", supply.index),                    //
                      field("marker_index", supply.marker_index),      //
                      field("colorant_index", supply.colorant_index),  //
                      field("supply_class", supply.supply_class),      //
                      field("type", supply.type),                      //
                      field("description", supply.description),        //
                      field("colorant", supply.colorant),              //
                      field("unit", supply.unit),                      //
                      field("max_capacity", supply.max_capacity),      //
                      field("level", supply.level));
  }
};

template <>
struct Fields<model::MediaPath> {
  static auto of(auto& path) {
    return std::tuple(field("index", path.index),              //
                      field("type", path.type),                //
                      field("description", path.description),  //
                      field("max_speed", path.max_speed),      //
                      field("speed_unit", path.speed_unit),    //
                      field("status", path.status));
  }
};

template <>
struct Fields<model::Channel> {
  static auto of(auto& channel) {
    return std::tuple(field("index", channel.index),                                //
                      field("type", channel.type),                                  //
                      field("protocol_version", channel.protocol_version),          //
                      field("state", channel.state),                                //
                      field("status", channel.status),                              //
                      field("information", channel.information),                    //
                      field("current_job_language", channel.current_job_language),  //
                      field("default_page_language", channel.default_page_language));
  }
};

template <>
struct Fields<model::Interpreter> {
  static auto of(auto& interpreter) {
    return std::tuple(field("index", interpreter.index),                        //
                      field("family", interpreter.family),                      //
                      field("level", interpreter.level),                        //
                      field("language_version", interpreter.language_version),  //
                      field("description", interpreter.description),            //
                      field("version", interpreter.version));
  }
};

template <>
struct Fields<model::ConsoleLine> {
  static auto of(auto& line) {
    return std::tuple(field("index", line.index),  //
                      field("text", line.text));
  }
};

template <>
struct Fields<model::ConsoleLight> {
  static auto of(auto& light) {
    return std::tuple(field("index", light.index),              //
                      field("description", light.description),  //
                      field("color", light.color),              //
                      field("on_time", light.on_time),          //
                      field("off_time", light.off_time));
  }
};

template <>
struct Fields<model::Alert> {
  static auto of(auto& alert) {
    return std::tuple(field("index", alert.index),              //
                      field("severity", alert.severity),        //
                      field("training", alert.training),        //
                      field("group", alert.group),              //
                      field("group_index", alert.group_index),  //
                      field("location", alert.location),        //
                      field("code", alert.code),                //
                      field("description", alert.description),  //
                      field("time", alert.time));
  }
};

template <>
struct Fields<model::DeviceIdRow> {
  static auto of(auto& row) {
    return std::tuple(field("index", row.index),  //
                      field("text", row.text),    //
                      field("host_index", row.host_index));
  }
};

template <>
struct Fields<model::DeviceSnapshot> {
  static auto of(auto& snapshot) {
    return std::tuple(field("system", snapshot.system),                          //
                      field("host", snapshot.host),                              //
                      field("general", snapshot.general),                        //
                      field("localizations", snapshot.localizations),            //
                      field("covers", snapshot.covers),                          //
                      field("inputs", snapshot.inputs),                          //
                      field("outputs", snapshot.outputs),                        //
                      field("markers", snapshot.markers),                        //
                      field("colorants", snapshot.colorants),                    //
                      field("supplies", snapshot.supplies),                      //
                      field("media_paths", snapshot.media_paths),                //
                      field("channels", snapshot.channels),                      //
                      field("interpreters", snapshot.interpreters),              //
                      field("console", snapshot.console),                        //
                      field("lights", snapshot.lights),                          //
                      field("interfaces", snapshot.interfaces),                  //
                      field("device_ids", snapshot.device_ids),                  //
                      field("alerts", snapshot.alerts),                          //
                      field("colour_impressions", snapshot.colour_impressions),  //
                      field("gaps", snapshot.gaps));
  }
};

}  // namespace frisket::store
