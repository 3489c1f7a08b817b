// One request and its answer.
#pragma once

#include <boost/asio/awaitable.hpp>
#include <cstddef>
#include <optional>
#include <vector>

#include "probes/model/result.h"
#include "probes/snmp/network.h"
#include "probes/snmp/pdu.h"
#include "probes/snmp/request_table.h"

namespace frisket::snmp {

// Sends, waits, sends again; ends with the answer or with what took its place:
// - silent: no answer in any attempt; also when the network was stopped;
// - nonsense: what came from the device was not an answer to this, and nothing better came;
// - invalid: the request cannot be sent with this credential.
// An answer with an error status is an answer. Waits in line while too many requests are
// outstanding. Throws only when the coroutine is cancelled; the request is then forgotten.
// The network must outlive the wait. `patience`: the network's own when absent.
boost::asio::awaitable<model::Result<Response>> exchange(Network& network, Endpoint peer, config::Credential credential,
                                                         Request request,
                                                         std::optional<Patience> patience = std::nullopt);

// The same question with several credentials at once, for a device of which it is not
// known which one it takes. They are sent in the order given and the first answer that is not a
// refusal counts; so a device that is off costs no more time than with one credential.
struct FirstAnswer {
  model::Result<Response> response;
  std::size_t credential = 0;  // place in the list; meaningful with a response
};
boost::asio::awaitable<FirstAnswer> exchange_first(Network& network, Endpoint peer,
                                                   std::vector<config::Credential> credentials, Request request,
                                                   std::optional<Patience> patience = std::nullopt);

}  // namespace frisket::snmp
