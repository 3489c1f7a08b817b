// [[spooler]] and [[queue]].
#include <algorithm>
#include <map>
#include <utility>

#include "config/hook_parts.h"
#include "config/ipp_keys.h"
#include "config/program_key.h"
#include "config/sections.h"

namespace frisket::config {
namespace {

constexpr std::string_view kCuredKinds[] = {"queue-stopped", "job-stuck"};

std::chrono::seconds seconds_in(Section& section, std::string_view key) {
  return std::chrono::duration_cast<std::chrono::seconds>(section.duration(key));
}

// The site that the key names; else that of what it belongs to, else the only one there is.
std::string site_of(Reading& reading, Section& section, std::string otherwise) {
  if (section.has("site")) {
    auto site = section.text("site");
    if (!site.empty()) reading.sites.check(section.name() + ".site", site, section.place("site"), reading.findings);
    return site;
  }
  if (!otherwise.empty()) return otherwise;
  if (const auto only = reading.sites.only()) return *only;
  section.error("site", "missing, allowed: the name of a [[site]], since there are several");
  return {};
}

// Two names for one service would be polled and told twice.
class Targets {
 public:
  void take(Section& section, const model::IppTarget& target, const std::string& name) {
    const auto key = target.endpoint() + " " + target.path;
    const auto [entry, fresh] = taken_.try_emplace(key, name);
    if (!fresh)
      section.refuse("uri", in_quotes(target.uri),
                     "a service of its own; " + in_quotes(entry->second) + " has it already");
  }

 private:
  std::map<std::string, std::string> taken_;
};

// A queue by LPD only. The rights and cures of IPP mean nothing there.
void read_lpd(Section& section, const std::string& uri, Queue& queue) {
  for (const auto* key : {"user", "password_file", "certificate", "automatic"})
    if (section.has(key)) section.error(key, "of no use with a URI that begins with lpd:, which is only read");
  auto target = model::lpd_target_of(uri);
  if (!target) {
    section.refuse("uri", shown_uri(uri) + " (" + target.error().what + ")",
                   "a URI such as \"lpd://print.example.org/office\"");
    return;
  }
  queue.target.uri = model::uri_of(*target);
  queue.target.host = target->host;
  queue.target.port = target->port;
  queue.target.path = "/" + target->queue;
  queue.lpd = std::move(*target);
}

AutomaticCures automatic_from(Reading& reading, Section& section) {
  AutomaticCures cures;
  for (auto& entry : section.list("automatic")) {
    if (std::ranges::find(kCuredKinds, entry.text) != std::end(kCuredKinds))
      cures.kinds.push_back(std::move(entry.text));
    else
      reading.findings.error(entry.place, "queue.automatic: found " + in_quotes(entry.text) +
                                              ", allowed: \"queue-stopped\" or \"job-stuck\"");
  }
  cures.per_day = static_cast<int>(section.integer("automatic_per_day"));
  cures.job_age = seconds_in(section, "automatic_job_age");
  return cures;
}

}  // namespace

std::vector<Spooler> read_spoolers(Reading& reading) {
  std::vector<Spooler> spoolers;
  Targets targets;
  for (const auto* table : repeated(reading, "spooler")) {
    Section section(*table, "spooler", reading.findings);
    Spooler spooler;
    spooler.name = section.text("name");
    reading.spoolers.add(section, spooler.name);
    if (auto target = ipp_target_from(section, "uri")) spooler.target = model::root_of(std::move(*target));
    if (const auto socket = section.text("socket"); !socket.empty()) spooler.target.socket = reading.resolved(socket);
    read_ipp_rights(reading, section, spooler.target);
    if (!spooler.target.host.empty()) targets.take(section, spooler.target, spooler.name);
    spooler.site = site_of(reading, section, {});
    spooler.all_queues = section.flag("all_queues");
    spooler.poll_interval = seconds_in(section, "poll_interval");
    spooler.default_location = section.text("default_location");
    spooler.restart_program = program_from(section, "restart_program");
    spooler.restart_arguments = texts(section.list("restart_arguments"));
    if (spooler.restart_program.empty() && section.has("restart_arguments"))
      section.error("restart_arguments", "of no use without restart_program");
    spoolers.push_back(std::move(spooler));
  }
  return spoolers;
}

std::vector<Queue> read_queues(Reading& reading, const std::vector<Spooler>& spoolers,
                               const std::vector<Device>& devices) {
  std::vector<Queue> queues;
  Targets targets;
  for (const auto* table : repeated(reading, "queue")) {
    Section section(*table, "queue", reading.findings);
    Queue queue;
    queue.name = section.text("name");
    reading.queues.add(section, queue.name);
    const auto uri = section.text("uri");
    if (uri.starts_with("lpd:")) {
      read_lpd(section, uri, queue);
    } else {
      if (auto target = ipp_target_in(section, "uri", uri)) queue.target = std::move(*target);
      read_ipp_rights(reading, section, queue.target);
    }
    std::string site;
    if (section.has("device")) {
      queue.device = section.text("device");
      const auto place = section.place("device");
      if (!queue.device.empty() && reading.devices.check("queue.device", queue.device, place, reading.findings))
        site = std::ranges::find(devices, queue.device, &Device::name)->site;
    }
    if (const auto* spooler = spooler_of(queue, spoolers)) {
      if (site.empty()) site = spooler->site;
      queue.target.socket = spooler->target.socket;
      if (!section.has("user")) queue.target.credentials = spooler->target.credentials;
      if (!section.has("certificate")) queue.target.pinned_certificate = spooler->target.pinned_certificate;
    }
    if (!queue.target.host.empty()) targets.take(section, queue.target, queue.name);
    queue.site = site_of(reading, section, std::move(site));
    queue.poll_interval = seconds_in(section, "poll_interval");
    queue.automatic = automatic_from(reading, section);
    queues.push_back(std::move(queue));
  }
  return queues;
}

}  // namespace frisket::config
