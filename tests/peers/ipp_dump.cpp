// The IPP probe on the command line, for the tests against real spoolers and printers. Not installed.
//
//   ipp_dump [--socket PATH] [--pin SHA256] [--user NAME [--password WORD]] URI
//
// Reads one command a line from standard input, writes one JSON object a line: queue, spooler, device,
// job ID, pause, resume, cancel ID, hold ID, release ID, cancel-all ID..., move ID URI, print NAME FORMAT FILE,
// subscribe EVENT..., fetch, renew, unsubscribe, counters. Trust on first use lasts as long as the process.
#include <array>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <fstream>
#include <functional>
#include <iostream>
#include <map>
#include <nlohmann/json.hpp>
#include <sstream>

#include "probes/clock/clock.h"
#include "probes/ipp/device_probe.h"
#include "probes/ipp/operations.h"
#include "probes/ipp/queue_probe.h"

namespace frisket::ipp {
namespace {

using Json = nlohmann::json;

template <class T>
Json or_null(const std::optional<T>& value) {
  return value ? Json(*value) : Json(nullptr);
}
Json or_null(const std::optional<model::Seconds>& value) { return value ? Json(value->count()) : Json(nullptr); }

Json form(const model::Level& level) {
  if (std::holds_alternative<model::Unknown>(level)) return "unknown";
  if (std::holds_alternative<model::Unlimited>(level)) return "unlimited";
  if (std::holds_alternative<model::SomeLeft>(level)) return "some";
  return std::get<model::Amount>(level).units;
}

Json form(const model::Capacity& capacity) {
  if (std::holds_alternative<model::Unknown>(capacity)) return "unknown";
  if (std::holds_alternative<model::Unlimited>(capacity)) return "unlimited";
  return std::get<model::Amount>(capacity).units;
}

Json form(const std::vector<model::StateReason>& reasons) {
  Json list = Json::array();
  for (const auto& reason : reasons)
    list.push_back({{"keyword", reason.keyword}, {"mark", std::string(to_text(reason.mark))}, {"cut", reason.cut}});
  return list;
}

Json form(const model::Job& job) {
  return {{"id", job.id},
          {"state", model::label(job.state)},
          {"reasons", job.reasons},
          {"age", or_null(job.age)},
          {"processing_for", or_null(job.processing_for)},
          {"k_octets", or_null(job.k_octets)},
          {"impressions_completed", or_null(job.impressions_completed)},
          {"name", job.personal.name},
          {"owner", job.personal.owner}};
}

Json form(const model::QueueSnapshot& queue) {
  Json jobs = Json::array();
  for (const auto& job : queue.jobs) jobs.push_back(form(job));
  return {{"uri", queue.uri},
          {"name", queue.name},
          {"state", queue.state ? Json(model::label(*queue.state)) : Json(nullptr)},
          {"reasons", form(queue.reasons)},
          {"message", queue.message},
          {"accepting", or_null(queue.accepting)},
          {"queued_count", or_null(queue.queued_count)},
          {"up_time", or_null(queue.up_time)},
          {"make_and_model", queue.make_and_model},
          {"location", queue.location},
          {"info", queue.info},
          {"device_uri", queue.device_uri},
          {"is_default", queue.is_default},
          {"document_formats", queue.document_formats},
          {"jobs", jobs},
          {"jobs_known", queue.jobs_known},
          {"waiting", queue.waiting()},
          {"held", queue.held()},
          {"head", queue.head_job() != nullptr ? Json(queue.head_job()->id) : Json(nullptr)},
          {"gaps", queue.gaps}};
}

Json form(const model::DeviceSnapshot& device) {
  Json supplies = Json::array();
  for (const auto& each : device.supplies)
    supplies.push_back({{"index", each.index},
                        {"type", model::label(each.type)},
                        {"class", model::label(each.supply_class)},
                        {"description", each.description},
                        {"colorant", each.colorant},
                        {"unit", model::label(each.unit)},
                        {"max_capacity", form(each.max_capacity)},
                        {"level", form(each.level)}});
  Json inputs = Json::array();
  for (const auto& each : device.inputs)
    inputs.push_back({{"index", each.index},
                      {"type", model::label(each.type)},
                      {"name", each.name},
                      {"max_capacity", form(each.max_capacity)},
                      {"level", form(each.current_level)},
                      {"media", each.media_name}});
  Json alerts = Json::array();
  for (const auto& each : device.alerts)
    alerts.push_back({{"code", model::label(each.code)},
                      {"severity", model::label(each.severity)},
                      {"group", model::label(each.group)},
                      {"group_index", each.group_index},
                      {"description", each.description}});
  Json interpreters = Json::array();
  for (const auto& each : device.interpreters) interpreters.push_back(model::label(each.family));
  Json console = Json::array();
  for (const auto& each : device.console) console.push_back(each.text);
  return {{"description", device.host.description},
          {"device_status", device.host.device ? Json(model::label(*device.host.device)) : Json(nullptr)},
          {"colour_impressions", or_null(device.colour_impressions)},
          {"printer_status", device.host.printer ? Json(model::label(*device.host.printer)) : Json(nullptr)},
          {"printer_name", device.general.printer_name},
          {"location", device.system.location},
          {"supplies", supplies},
          {"inputs", inputs},
          {"alerts", alerts},
          {"interpreters", interpreters},
          {"console", console},
          {"gaps", device.gaps}};
}

template <class Reading>
Json frame(const Reading& reading) {
  return {{"at", model::to_rfc3339(reading.at)}, {"reach", to_text(reading.reach)}, {"detail", reading.detail}};
}

template <class T>
Json outcome(const model::Result<T>& result, const std::function<Json(const T&)>& value) {
  if (result) return {{"ok", true}, {"value", value(*result)}};
  // In the order of Error::Kind.
  constexpr std::array kKinds = {"silent", "refused", "unknown-user", "wrong-key", "nonsense", "local", "invalid"};
  static_assert(kKinds.size() == static_cast<std::size_t>(model::Error::Kind::invalid) + 1);
  return {{"ok", false}, {"kind", kKinds[static_cast<int>(result.error().kind)]}, {"error", result.error().text()}};
}

Json outcome(const model::Result<model::Done>& result) {
  return outcome<model::Done>(result, [](const model::Done&) { return Json(nullptr); });
}

class Shell {
 public:
  explicit Shell(Target target)
      : client_(transport_, target),
        control_(client_),
        queue_(transport_, clock_, "queue", target),
        spooler_(transport_, clock_, "spooler", target),
        device_(transport_, clock_, "device", target) {}

  Json run(const std::string& line) {
    std::istringstream words(line);
    std::string verb;
    words >> verb;
    std::int32_t id = 0;
    if (verb == "queue") {
      const auto reading = await(queue_.poll());
      auto json = frame(reading);
      json["queue"] = reading.snapshot ? form(*reading.snapshot) : Json(nullptr);
      return json;
    }
    if (verb == "spooler") {
      const auto reading = await(spooler_.poll());
      auto json = frame(reading);
      json["queues"] = Json::array();
      for (const auto& queue : reading.queues) json["queues"].push_back(form(*queue));
      json["gaps"] = reading.gaps;
      return json;
    }
    if (verb == "device") {
      const auto reading = await(device_.poll());
      auto json = frame(reading);
      json["device"] = reading.snapshot ? form(*reading.snapshot) : Json(nullptr);
      return json;
    }
    if (verb == "job") {
      words >> id;
      return outcome<model::Job>(await(get_job(client_, id)), [](const model::Job& job) { return form(job); });
    }
    if (verb == "counters") {
      Json json = transport_.counters();
      json["open"] = transport_.open_connections();
      return json;
    }
    if (verb == "subscribe" || verb == "fetch" || verb == "renew" || verb == "unsubscribe") return events(verb, words);
    return change(verb, words);
  }

 private:
  Json change(const std::string& verb, std::istringstream& words) {
    std::int32_t id = 0;
    if (verb == "pause") return outcome(await(control_.pause()));
    if (verb == "resume") return outcome(await(control_.resume()));
    if (verb == "print") {
      Document document;
      std::string file;
      words >> document.job_name >> document.format >> file;
      std::ifstream in(file, std::ios::binary);
      document.octets.assign(std::istreambuf_iterator<char>(in), {});
      return outcome<std::int32_t>(await(control_.print(document)), [](std::int32_t job) { return Json(job); });
    }
    if (verb == "cancel-all") {
      std::vector<std::int32_t> jobs;
      while (words >> id) jobs.push_back(id);
      return outcome(await(control_.cancel_all_of(jobs)));
    }
    words >> id;
    if (verb == "cancel") return outcome(await(control_.cancel(id)));
    if (verb == "hold") return outcome(await(control_.hold(id)));
    if (verb == "release") return outcome(await(control_.release(id)));
    if (verb == "move") {
      std::string uri;
      words >> uri;
      return outcome(await(control_.move(id, uri)));
    }
    return {{"ok", false}, {"error", "no such command: " + verb}};
  }

  Json events(const std::string& verb, std::istringstream& words) {
    if (verb == "subscribe") {
      std::vector<std::string> wanted;
      for (std::string word; words >> word;) wanted.push_back(word);
      auto made = await(subscribe(client_, wanted, model::Seconds(600)));
      if (made) subscription_ = *made;
      return outcome<Subscription>(made, [](const Subscription& it) {
        return Json{{"id", it.id}, {"lease", it.lease.count()}};
      });
    }
    if (verb == "renew") return outcome(await(renew(client_, subscription_, model::Seconds(900))));
    if (verb == "unsubscribe") return outcome(await(unsubscribe(client_, subscription_)));
    return outcome<Events>(await(fetch_events(client_, subscription_)), [](const Events& got) {
      Json list = Json::array();
      for (const auto& event : got.events)
        list.push_back(
            {{"what", event.what},
             {"sequence", event.sequence},
             {"printer", event.printer_name},
             {"job", or_null(event.job_id)},
             {"printer_state", event.printer_state ? Json(model::label(*event.printer_state)) : Json(nullptr)},
             {"reasons", form(event.printer_reasons)}});
      return Json{{"events", list}, {"missed", got.missed}, {"ended", got.ended}};
    });
  }

  template <class T>
  T await(boost::asio::awaitable<T> work) {
    std::optional<T> value;
    std::exception_ptr failure;
    boost::asio::co_spawn(context_, keep(std::move(work), value),
                          [&failure](std::exception_ptr what) { failure = what; });
    context_.restart();
    context_.run();
    if (failure) std::rethrow_exception(failure);
    return std::move(*value);
  }

  template <class T>
  static boost::asio::awaitable<void> keep(boost::asio::awaitable<T> work, std::optional<T>& value) {
    value.emplace(co_await std::move(work));
  }

  boost::asio::io_context context_;
  SystemClock clock_;
  std::map<std::string, std::string> trusted_;
  Transport transport_{context_.get_executor(),
                       clock_,
                       {},
                       {[this](const std::string& endpoint) {
                          const auto found = trusted_.find(endpoint);
                          return found != trusted_.end() ? std::optional(found->second) : std::nullopt;
                        },
                        [this](const std::string& endpoint, const std::string& print) { trusted_[endpoint] = print; }}};
  Client client_;
  Control control_;
  QueueProbe queue_;
  SpoolerProbe spooler_;
  DeviceProbe device_;
  Subscription subscription_;
};

int main_of(const std::vector<std::string>& arguments) {
  std::map<std::string, std::string> options;
  std::string uri;
  for (std::size_t i = 0; i < arguments.size(); ++i) {
    if (arguments[i].starts_with("--") && i + 1 < arguments.size()) {
      options[arguments[i].substr(2)] = arguments[i + 1];
      ++i;
    } else {
      uri = arguments[i];
    }
  }
  auto target = target_of(uri);
  if (!target) {
    std::cerr << target.error().text() << "\n";
    return 2;
  }
  target->socket = options["socket"];
  target->pinned_certificate = options["pin"];
  if (options.contains("user")) {
    const bool password = options.contains("password");
    target->credentials = {password ? Credentials::Scheme::basic : Credentials::Scheme::peer, options["user"],
                           options["password"]};
  }
  Shell shell(*target);
  for (std::string line; std::getline(std::cin, line);) {
    const auto begin = std::chrono::steady_clock::now();
    auto json = shell.run(line);
    json["took_ms"] = std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - begin).count();
    std::cout << json.dump() << std::endl;
  }
  return 0;
}

}  // namespace
}  // namespace frisket::ipp

int main(int count, char** words) { return frisket::ipp::main_of({words + 1, words + count}); }
