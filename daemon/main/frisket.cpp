// The frisket client: reads the command line, wires, ends with the status of its contract.

#include <curl/curl.h>

#include <iostream>
#include <optional>

#include "daemon/client/address.h"
#include "daemon/client/arguments.h"
#include "daemon/client/client.h"
#include "daemon/client/http_server.h"
#include "daemon/client/terminal.h"
#include "daemon/client/test_print_verb.h"
#include "daemon/client/token_file.h"
#include "probes/clock/clock.h"

namespace {

using namespace frisket::client;

// Only watch takes Ctrl-C into its own hands; it ends every other verb at once.
struct NoPause final : Pause {
  bool wait(std::chrono::milliseconds) override { return false; }
};

ExitStatus ask(const Request& request) {
  std::vector<Address> addresses = usual_addresses();
  if (!request.server.empty()) {
    const auto address = address_from(request.server);
    if (!address) {
      std::cerr << "frisket: " << address.error().text() << '\n';
      return exit_status_of(address.error());
    }
    addresses = {*address};
  }
  std::string token;
  if (!request.token_file.empty()) {
    auto found = token_in(request.token_file);
    if (!found) {
      std::cerr << "frisket: " << found.error().text() << '\n';
      return exit_status_of(found.error());
    }
    token = std::move(*found);
  }
  std::optional<SignalPause> signals;
  NoPause none;
  if (request.verb == Verb::watch) signals.emplace();
  HttpServer::Bounds bounds;
  if (request.verb == Verb::testprint) bounds.whole_ms = kTestPrintMs;
  HttpServer server(addresses, signals ? signals->descriptor() : -1, std::move(token), bounds);
  const Terminal terminal = standard_output();
  const frisket::SystemClock clock;
  Surroundings around{.server = server,
                      .pause = signals ? static_cast<Pause&>(*signals) : none,
                      .out = std::cout,
                      .err = std::cerr,
                      .terminal = terminal.is_terminal,
                      .colour = terminal.colour,
                      .width = terminal.width,
                      .now = [&clock] { return clock.wall_now(); },
                      .zone = system_zone(),
                      .user = user_name(),
                      .ask = can_ask() ? std::function<bool(const std::string&)>(ask_for_yes) : nullptr};
  return run(request, around);
}

}  // namespace

int main(int argc, char** argv) {
  const Arguments arguments = read_arguments(argc, argv);
  std::cout << arguments.out;
  std::cerr << arguments.err;
  if (!arguments.request) return static_cast<int>(arguments.status);
  curl_global_init(CURL_GLOBAL_DEFAULT);
  const ExitStatus status = ask(*arguments.request);
  curl_global_cleanup();
  return static_cast<int>(status);
}
