#include "daemon/store/kept_memory.h"

#include "daemon/store/kept_condition.h"

namespace frisket::store {

template <>
std::string_view word_of(incidents::Stage stage) {
  switch (stage) {
    case incidents::Stage::fine:
      return "fine";
    case incidents::Stage::low:
      return "low";
    case incidents::Stage::nearly_empty:
      return "nearly-empty";
    case incidents::Stage::empty:
      return "empty";
  }
  return "fine";
}

template <>
struct Fields<incidents::Ended> {
  static auto of(auto& ended) { return std::tuple(field("at", ended.at), field("impressions", ended.impressions)); }
};

template <>
struct Fields<incidents::Replacement> {
  static auto of(auto& replacement) {
    return std::tuple(field("device", replacement.device),                  //
                      field("supply", replacement.supply),                  //
                      field("description", replacement.description),        //
                      field("colorant", replacement.colorant),              //
                      field("at", replacement.at),                          //
                      field("percent_before", replacement.percent_before),  //
                      field("percent_after", replacement.percent_after),    //
                      field("impressions", replacement.impressions));
  }
};

template <>
struct Fields<incidents::ReachMemory> {
  static auto of(auto& reach) {
    return std::tuple(field("missed", reach.missed),                                  //
                      field("missed_since", reach.missed_since),                      //
                      field("last", reach.last),                                      //
                      field("detail", reach.detail),                                  //
                      field("interruptions", reach.interruptions),                    //
                      field("interface_errors", reach.interface_errors),              //
                      field("interface_errors_since", reach.interface_errors_since),  //
                      field("interface_errors_grew", reach.interface_errors_grew));
  }
};

template <>
struct Fields<incidents::DeviceMemory> {
  static auto of(auto& memory) {
    return std::tuple(field("stages", memory.stages),          //
                      field("conditions", memory.conditions),  //
                      field("unary_rows", memory.unary_rows),  //
                      field("jams", memory.jams),              //
                      field("ended", memory.ended),            //
                      field("percent", memory.percent),        //
                      field("at_work", memory.at_work),        //
                      field("replaced", memory.replaced),      //
                      field("reach", memory.reach));
  }
};

std::string kept_text(const incidents::DeviceMemory& memory) { return text_of(memory); }

model::Result<incidents::DeviceMemory> memory_from(std::string_view text) {
  return value_of<incidents::DeviceMemory>(text, "a kept device memory");
}

}  // namespace frisket::store
