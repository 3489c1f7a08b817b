// The fields that incidents and device memories have in common. Inside daemon/store only.
//
// A new field is one line here, under a name that was never used before for anything else.
#pragma once

#include "daemon/incidents/incident.h"
#include "daemon/store/kept_values.h"

namespace frisket::store {

template <>
struct Fields<model::Subunit> {
  static auto of(auto& subunit) { return std::tuple(field("kind", subunit.kind), field("index", subunit.index)); }
};

template <>
struct Fields<incidents::Witness> {
  static auto of(auto& witness) {
    return std::tuple(field("source", witness.source),  //
                      field("says", witness.says),      //
                      field("contradicts", witness.contradicts));
  }
};

template <>
struct Fields<incidents::Condition> {
  static auto of(auto& condition) {
    return std::tuple(field("keyword", condition.keyword),      //
                      field("severity", condition.severity),    //
                      field("training", condition.training),    //
                      field("subunit", condition.subunit),      //
                      field("place", condition.place),          //
                      field("since", condition.since),          //
                      field("witnesses", condition.witnesses),  //
                      field("device_text", condition.device_text));
  }
};

}  // namespace frisket::store
