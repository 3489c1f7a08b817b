#include "daemon/service/upkeep_desk.h"

#include <spdlog/spdlog.h>

#include <algorithm>
#include <atomic>
#include <boost/asio/post.hpp>
#include <boost/asio/thread_pool.hpp>
#include <map>
#include <utility>

#include "daemon/http/incident_shelf.h"
#include "daemon/json/forms.h"
#include "daemon/service/upkeep_setup.h"
#include "daemon/upkeep/supply_kinds.h"
#include "probes/model/designation.h"

namespace frisket::service {
namespace {

using namespace std::chrono_literals;
using model::Error;
using model::WallTime;

constexpr auto kFirstLook = 5s;     // most devices have answered by then
constexpr auto kSecondLook = 2min;  // and the others by then
constexpr int kShare = 60;          // of the time; the rest of it is for others
constexpr auto kOften = 1h;
constexpr auto kSeldom = 24h;
constexpr std::chrono::weeks kRestated = upkeep::kRestatedEvery + std::chrono::weeks{1};
constexpr std::chrono::days kShown{90};
constexpr std::chrono::days kSameComplaint{30};
// Fewer sheets without more jams than elsewhere say nothing (common practice, no source).
constexpr double kEnoughSheets = 2000;
constexpr int kMostOfPart = 1'000'000;
constexpr const char* kSelf = "frisketd";

constexpr const char* kTooMany = "that is more than a million of one part";

Error cannot_be(std::string why) { return {Error::Kind::invalid, "keeping the books", "", std::move(why)}; }

upkeep::Trouble trouble_of(const incidents::Incident& incident) {
  upkeep::Trouble trouble;
  trouble.incident = incident.id;
  trouble.summary = incident.summary;
  trouble.severity = incident.severity;
  trouble.training = incident.training;
  if (incident.subunit && incident.subunit->kind == model::Subunit::Kind::supply)
    trouble.supply = incident.subunit->index;
  trouble.cautions = incident.remedy.cautions;
  trouble.steps = incident.remedy.steps;
  for (const auto& part : incident.remedy.carry)
    trouble.carry.push_back({part.part, part.maker, part.colorant, part.count});
  return trouble;
}

// By device; of queues those that print on one.
std::map<std::string, std::vector<upkeep::Trouble>> troubles_in(const incidents::Correlator& correlator) {
  std::map<std::string, std::vector<upkeep::Trouble>> troubles;
  for (const auto* incident : correlator.incidents()) {
    if (!http::is_open(*incident)) continue;
    auto device = incident->device.value_or("");
    if (device.empty() && incident->queue)
      if (const auto* queue = correlator.queue(*incident->queue)) device = queue->device;
    if (!device.empty()) troubles[device].push_back(trouble_of(*incident));
  }
  return troubles;
}

// When something that goes on paper was replaced last: a new waste box has no seal that was left in.
std::optional<WallTime> last_on_paper(const std::vector<incidents::Replacement>& replacements,
                                      const incidents::DeviceStatus* status) {
  if (status == nullptr || !status->snapshot) return std::nullopt;
  const auto goes_on_paper = [&](const incidents::Replacement& replacement) {
    const auto& supplies = status->snapshot->supplies;
    const auto found = std::ranges::find(supplies, replacement.supply, &model::Supply::index);
    return found != supplies.end() && upkeep::is_put_on_paper(found->type);
  };
  const auto last = std::ranges::find_if(replacements.rbegin(), replacements.rend(), goes_on_paper);
  return last == replacements.rend() ? std::nullopt : std::optional(last->at);
}

bool is_open_kind(const incidents::Incident& incident, std::string_view kind) {
  return http::is_open(incident) && incident.kind == kind;
}

}  // namespace

struct UpkeepDesk::Job {
  std::shared_ptr<const upkeep::OutlookSetup> setup;
  std::shared_ptr<const upkeep::Outlook> before;
  std::set<std::string> devices;  // with `all` not set
  bool all = false;
  WallTime now;
};

struct UpkeepDesk::Made {
  std::shared_ptr<const upkeep::OutlookSetup> setup;
  std::shared_ptr<const upkeep::Outlook> outlook;
  std::shared_ptr<const upkeep::FleetReliability> reliability;  // null: as before
  bool all = false;
  std::string trouble;  // of the history, the first
};

// Has the history to itself.
class UpkeepDesk::Thread {
 public:
  explicit Thread(std::unique_ptr<store::HistorySource> source) : source_(std::move(source)) {}
  ~Thread() {
    stopping_ = true;
    pool_.join();
  }
  Thread(const Thread&) = delete;
  Thread& operator=(const Thread&) = delete;

  template <class Done>
  void run(Job job, Done done) {
    boost::asio::post(pool_, [this, job = std::move(job), done = std::move(done)]() mutable {
      auto made = make(job);
      if (!stopping_) done(std::move(made));
    });
  }

 private:
  Made make(const Job& job) {
    Made made{job.setup, nullptr, nullptr, job.all, ""};
    const upkeep::HistoryOf history_of = [&](const std::string& device) -> upkeep::Changes {
      if (stopping_) return {};  // then the rest goes fast, and nobody asks for it
      auto changes = source_->history(device, WallTime{});
      if (changes) return std::move(*changes);
      if (made.trouble.empty()) made.trouble = changes.error().text();
      return {};
    };
    if (job.all) {
      made.outlook = std::make_shared<const upkeep::Outlook>(upkeep::look_ahead(*job.setup, history_of, job.now));
      if (const auto past = source_->incidents_since(job.now - upkeep::kLately))
        made.reliability =
            std::make_shared<const upkeep::FleetReliability>(upkeep::fleet_reliability(*made.outlook, *past, job.now));
      else
        made.trouble = past.error().text();
      return made;
    }
    auto outlook = *job.before;
    for (const auto& device : job.devices)
      outlook = upkeep::look_again(outlook, *job.setup, device, history_of, job.now);
    if (job.devices.empty()) outlook.order = upkeep::order_of(*job.setup, outlook.devices, job.now);
    made.outlook = std::make_shared<const upkeep::Outlook>(std::move(outlook));
    return made;
  }

  std::unique_ptr<store::HistorySource> source_;
  std::atomic<bool> stopping_ = false;
  boost::asio::thread_pool pool_{1};
};

UpkeepDesk::UpkeepDesk(boost::asio::any_io_executor executor, Around around)
    : executor_(std::move(executor)), around_(around) {}

UpkeepDesk::~UpkeepDesk() { stop(); }

void UpkeepDesk::start() {
  books_ = around_.ledger.take_books();
  reestimate();
  std::uint64_t last = 0;
  for (const auto& complaint : books_.complaints) last = std::max(last, incidents::id_number(complaint.id).value_or(0));
  complaint_ids_ = incidents::IncidentIds(last);
  if (auto source = around_.ledger.take_history_source()) thread_ = std::make_unique<Thread>(std::move(source));
  look_at_ = around_.clock.steady_now() + kFirstLook;
}

void UpkeepDesk::configure() {
  reconfigured_ = true;
  look_at_ = std::min(look_at_, around_.clock.steady_now() + kFirstLook);
}

void UpkeepDesk::stop() { thread_.reset(); }

void UpkeepDesk::tick() {
  if (!thread_ || looking_) return;
  const bool all = around_.clock.steady_now() >= look_at_;
  if (all || (outlook_ && !reconfigured_ && (!look_again_.empty() || count_again_))) look();
}

void UpkeepDesk::look() {
  const auto now = around_.clock.wall_now();
  const auto snapshot_of = [&](const std::string& device) -> const model::DeviceSnapshot* {
    const auto* status = around_.correlator.device(device);
    return status == nullptr ? nullptr : status->snapshot.get();
  };
  Job job;
  job.all = around_.clock.steady_now() >= look_at_ || !outlook_;
  job.setup = outlook_setup(around_.config, snapshot_of, books_, now);
  job.before = outlook_;
  job.devices = std::exchange(look_again_, {});
  job.now = now;
  count_again_ = false;
  if (job.all) reconfigured_ = false;
  looking_ = true;
  began_ = around_.clock.steady_now();
  thread_->run(std::move(job), [this, executor = executor_](Made made) {
    boost::asio::post(executor, [this, made = std::move(made)]() mutable {
      if (thread_) take(std::move(made));
    });
  });
}

void UpkeepDesk::take(Made made) {
  const auto now = around_.clock.steady_now();
  const auto took = now - began_;
  looking_ = false;
  setup_ = std::move(made.setup);
  outlook_ = std::move(made.outlook);
  if (made.reliability) reliability_ = std::move(made.reliability);
  if (!made.trouble.empty()) spdlog::warn("[upkeep-trouble] {}", made.trouble);
  around_.board.publish_outlook(*outlook_);
  if (!made.all) return;
  look_at_ =
      now + (++looks_ == 1 ? kSecondLook : std::clamp<model::SteadyTime::duration>(kShare * took, kOften, kSeldom));
  spdlog::info("[upkeep-outlook] {} devices, {} parts, in {} ms", outlook_->devices.size(), outlook_->order.size(),
               std::chrono::duration_cast<model::Milliseconds>(took).count());
}

upkeep::RoundPlan UpkeepDesk::round(const http::RoundAsked& asked) const {
  auto troubles = troubles_in(around_.correlator);
  std::vector<upkeep::VisitedDevice> devices;
  for (const auto& device : around_.config.devices) {
    if (!asked.site.empty() && device.site != asked.site) continue;
    upkeep::VisitedDevice visited{device.name, device.location, {}, nullptr, {}};
    if (const auto found = troubles.find(device.name); found != troubles.end())
      visited.troubles = std::move(found->second);
    if (outlook_) {
      const auto found = outlook_->devices.find(device.name);
      const auto* known = setup_->device(device.name);
      if (found != outlook_->devices.end()) visited.outlook = found->second.get();
      if (known != nullptr && known->tasks) visited.tasks = *known->tasks;
    }
    devices.push_back(std::move(visited));
  }
  const auto now = around_.clock.wall_now();
  upkeep::RoundLimits limits;
  if (asked.minutes) limits.minutes = *asked.minutes;
  return upkeep::plan_round(upkeep::stops_of(devices, now, now + std::chrono::days{asked.days}), limits);
}

void UpkeepDesk::history(http::HistoryAsked asked, HistoryTold done) {
  const auto* device = around_.config.find_device(asked.device);
  const auto* site = device == nullptr ? nullptr : around_.config.find_site(device->site);
  auto calendar = upkeep::Calendar::of(site == nullptr ? "UTC" : site->time_zone);
  if (!calendar) calendar = upkeep::Calendar::of("UTC");
  if (!calendar) return done(calendar.error());
  const auto now = around_.clock.wall_now();
  const auto to = std::min(now, asked.to.value_or(now));
  const upkeep::Span span{asked.from.value_or(to - kShown), to};
  around_.ledger.read<upkeep::Changes>(
      [device = asked.device, since = span.from - kRestated](store::Store& store) {
        return store.history(device, since);
      },
      [span, resolution = asked.resolution, calendar = *calendar,
       done = std::move(done)](const model::Result<upkeep::Changes>& changes) {
        if (!changes) return done(changes.error());
        auto lines = upkeep::past_lines(*changes, span, resolution, calendar);
        if (!lines)
          return done(cannot_be("these are too many points: ask for a shorter time, or a coarser resolution"));
        done(http::ToldHistory{span, std::move(*lines)});
      });
}

void UpkeepDesk::keep_stock(const upkeep::StockLevel& level, std::function<void()> kept) {
  books_.stock[level.part] = level.stock;
  count_again_ = true;
  store::Batch batch;
  batch.stock = {level};
  around_.ledger.keep(std::move(batch), std::move(kept));
}

void UpkeepDesk::stock(http::StockAct act, StockTold done) {
  using What = http::StockAct::What;
  upkeep::StockLevel level{act.part, {}};
  if (const auto found = books_.stock.find(act.part); found != books_.stock.end()) level.stock = found->second;
  auto& stock = level.stock;
  switch (act.what) {
    case What::set:
      stock = {act.count, act.on_order.value_or(stock.on_order)};
      break;
    case What::order:
      if (act.count > kMostOfPart - stock.on_order) return done(cannot_be(kTooMany));
      stock.on_order += act.count;
      break;
    case What::receive:
      if (act.count > kMostOfPart - stock.on_shelf) return done(cannot_be(kTooMany));
      stock.on_shelf += act.count;
      stock.on_order = std::max(0, stock.on_order - act.count);
      break;
    case What::use:
      if (act.count > stock.on_shelf)
        return done(
            cannot_be("only " + std::to_string(stock.on_shelf) + " are on the shelf; set says how many there are"));
      stock.on_shelf -= act.count;
      break;
  }
  keep_stock(level, [level, done = std::move(done)] { done(level); });
}

// What was put in lay on the shelf before.
void UpkeepDesk::replaced(const incidents::Replacement& replacement) {
  look_again_.insert(replacement.device);
  const auto part = model::part_number_in(replacement.description);
  const auto found = books_.stock.find(part);
  if (part.empty() || found == books_.stock.end() || found->second.on_shelf == 0) return;
  upkeep::StockLevel level{part, found->second};
  --level.stock.on_shelf;
  keep_stock(level, {});
  model::AuditRecord record;
  record.at = around_.clock.wall_now();
  record.who = kSelf;
  record.peer = kSelf;
  record.what = "stock";
  record.target = part;
  record.detail = json::text_of({{"act", "use"}, {"count", 1}, {"device", replacement.device}});
  around_.ledger.record(std::move(record));
}

void UpkeepDesk::serviced(upkeep::ServiceDone done, ServiceTold told) {
  const auto place = std::ranges::upper_bound(books_.done, done.at, {}, &upkeep::ServiceDone::at);
  books_.done.insert(place, done);
  look_again_.insert(done.device);
  // Until it is looked at again: nothing of its interval has run out.
  upkeep::TaskStatus status;
  status.key = done.task;
  status.last = std::make_shared<const upkeep::TaskDone>(upkeep::TaskDone{done.task, done.at, done.by, 0, {}});
  status.days = upkeep::days_between(done.at, around_.clock.wall_now());
  if (outlook_) {
    auto outlook = std::make_shared<upkeep::Outlook>(*outlook_);
    if (const auto found = outlook->devices.find(done.device); found != outlook->devices.end()) {
      auto device = std::make_shared<upkeep::DeviceOutlook>(*found->second);
      for (auto& task : device->tasks)
        if (task.key == done.task) task = status;
      found->second = std::move(device);
      outlook_ = std::move(outlook);
    }
  }
  store::Batch batch;
  batch.done = {std::move(done)};
  around_.ledger.keep(std::move(batch), [status, told = std::move(told)] { told(status); });
}

upkeep::DeviceNow UpkeepDesk::now_of(const upkeep::Complaint& complaint, WallTime now) const {
  upkeep::DeviceNow device;
  if (const auto* status = around_.correlator.device(complaint.device)) {
    device.heard = status->snapshot != nullptr;
    device.silent = status->state == incidents::DeviceState::silent;
    device.stopped = status->state == incidents::DeviceState::stopped;
    if (status->snapshot) device.supplies = supplies_of(*status->snapshot, status->conditions);
  }
  const auto incidents = around_.correlator.incidents();
  const auto is_any = [&](std::string_view kind, const auto& concerns) {
    return std::ranges::any_of(
        incidents, [&](const auto* incident) { return is_open_kind(*incident, kind) && concerns(*incident); });
  };
  const auto of_device = [&](const incidents::Incident& incident) { return incident.device == complaint.device; };
  device.tray_misload = is_any("tray-misload", of_device);
  for (const auto* queue : around_.correlator.queues()) {
    if (queue->device != complaint.device) continue;
    const auto of_queue = [&](const incidents::Incident& incident) { return incident.queue == queue->name; };
    auto& queues = device.queues ? *device.queues : device.queues.emplace();
    queues.stopped = queues.stopped || state_word(*queue) == "stopped";
    queues.driver_mismatch = queues.driver_mismatch || is_any("driver-mismatch", of_queue);
    if (queue->snapshot)
      queues.jobs_waiting = queues.jobs_waiting || std::ranges::any_of(queue->snapshot->jobs, [](const auto& job) {
                              return job.state == model::JobState::pending;
                            });
  }
  if (reliability_)
    if (const auto found = reliability_->devices.find(complaint.device);
        found != reliability_->devices.end() && found->second.jam &&
        (found->second.jam->worse || found->second.sheets >= kEnoughSheets))
      device.jams_above_fleet = found->second.jam->worse;
  device.complained_before = std::ranges::any_of(books_.complaints, [&](const auto& before) {
    return before.device == complaint.device && before.symptom == complaint.symptom && before.closed_at &&
           now - *before.closed_at <= kSameComplaint;
  });
  if (outlook_)
    if (const auto found = outlook_->devices.find(complaint.device); found != outlook_->devices.end())
      device.outlook = found->second.get();
  return device;
}

void UpkeepDesk::complain(upkeep::Complaint complaint, ComplaintTold told) {
  around_.ledger.read<std::vector<incidents::Replacement>>(
      [device = complaint.device](store::Store& store) { return store.replacements(device); },
      [this, complaint = std::move(complaint), told = std::move(told)](const auto& replacements) mutable {
        const auto now = around_.clock.wall_now();
        auto device = now_of(complaint, now);
        if (replacements)
          device.replaced_at = last_on_paper(*replacements, around_.correlator.device(complaint.device));
        // A person who looked knows better.
        complaint.known.merge(upkeep::known_of(device, now));
        const auto open = std::ranges::find_if(books_.complaints, [&](const auto& before) {
          return before.device == complaint.device && before.symptom == complaint.symptom && before.cause.empty() &&
                 now - before.at <= kSameComplaint;
        });
        const bool again = open != books_.complaints.end();  // the same complaint, of which more is known now
        complaint.id = again ? open->id : complaint_ids_.next(now);
        if (again) {
          complaint.at = open->at;
          complaint.known.merge(upkeep::Known(open->known));
        }
        const auto diagnosis = upkeep::diagnose(table_, complaint.symptom, complaint.known);
        if (!diagnosis) return told(cannot_be("there is no such symptom"));
        if (again)
          *open = complaint;
        else
          books_.complaints.push_back(complaint);
        if (books_.complaints.size() > store::kComplaintsKept) books_.complaints.erase(books_.complaints.begin());
        store::Batch batch;
        batch.complaints = {complaint};
        around_.ledger.keep(std::move(batch), [complaint, diagnosis = *diagnosis, told = std::move(told)] {
          told(http::ToldComplaint{complaint, diagnosis});
        });
      });
}

void UpkeepDesk::outcome(const std::string& complaint, upkeep::Outcome outcome, OutcomeTold told) {
  const auto found = std::ranges::find(books_.complaints, complaint, &upkeep::Complaint::id);
  if (found == books_.complaints.end()) return told(cannot_be("there is no complaint of this id"));
  found->cause = std::move(outcome.cause);
  for (const auto& [observation, so] : outcome.known) found->known[observation] = so;
  found->closed_at = around_.clock.wall_now();
  reestimate();
  store::Batch batch;
  batch.complaints = {*found};
  around_.ledger.keep(std::move(batch), [closed = *found, told = std::move(told)] { told(closed); });
}

void UpkeepDesk::reestimate() {
  std::vector<upkeep::Outcome> outcomes;
  for (const auto& complaint : books_.complaints)
    if (!complaint.cause.empty()) outcomes.push_back({complaint.symptom, complaint.cause, complaint.known});
  table_ = upkeep::reestimated(upkeep::default_complaints(), outcomes);
}

}  // namespace frisket::service
