#include "daemon/http/device_entry.h"

#include "daemon/http/upkeep_form.h"
#include "daemon/json/forms.h"

namespace frisket::http {
namespace {

using incidents::DeviceStatus;

bool same_snapshot(const DeviceStatus& a, const DeviceStatus& b) {
  if (a.snapshot == b.snapshot) return true;
  return a.snapshot && b.snapshot && *a.snapshot == *b.snapshot;
}

bool same_state(const DeviceStatus& a, const DeviceStatus& b) {
  return a.state == b.state && a.reach == b.reach && a.detail == b.detail && a.conditions == b.conditions;
}

// What a person looks at, as opposed to counters.
bool looks_the_same(const DeviceStatus& a, const DeviceStatus& b) {
  if (a.snapshot == b.snapshot) return true;
  if (!a.snapshot || !b.snapshot) return false;
  const auto& x = *a.snapshot;
  const auto& y = *b.snapshot;
  return x.supplies == y.supplies && x.inputs == y.inputs && x.outputs == y.outputs && x.covers == y.covers &&
         x.console == y.console && x.lights == y.lights && x.alerts == y.alerts && x.gaps == y.gaps;
}

}  // namespace

void DeviceEntry::configure(const config::Device& device) {
  if (device == device_) return;
  device_ = device;
  outdate();
}

void DeviceEntry::outdate() {
  stale_ = true;
  revision_ = revisions_.next();
}

void DeviceEntry::expect(std::shared_ptr<const upkeep::DeviceOutlook> outlook) {
  if (outlook == outlook_) return;
  outlook_ = std::move(outlook);
  outdate();
}

bool DeviceEntry::publish(const DeviceStatus& status) {
  const bool same = same_state(status, status_);
  if (same && stale_ && status.snapshot == status_.snapshot) {
    status_.last_reading_at = status.last_reading_at;
    return false;
  }
  const bool changed = !same || !looks_the_same(status, status_);
  // The usual poll brings nothing new but its time.
  const bool only_time = !stale_ && same && status.last_reading_at && same_snapshot(status, status_);
  status_ = status;
  if (!only_time || !form_.set_last_reading(*status.last_reading_at)) outdate();
  return changed;
}

const KeptForm& DeviceEntry::form() const {
  refresh();
  return form_;
}

const std::vector<DeviceEntry::SupplyItem>& DeviceEntry::supplies() const {
  refresh();
  return supplies_;
}

const DeviceMetrics& DeviceEntry::metrics() const {
  if (measured_ != revision_) metrics_ = device_metrics(device_, status_);
  measured_ = revision_;
  return metrics_;
}

void DeviceEntry::refresh() const {
  if (!stale_) return;
  auto form = json::device_form(device_, status_);
  for (auto& supply : form.at("supplies")) {
    const auto* expected = outlook_ ? outlook_->supply(supply.at("index")) : nullptr;
    const auto now = status_.last_reading_at.value_or(outlook_ ? outlook_->seen : model::WallTime{});
    add_dates(supply, expected == nullptr ? nullptr : &expected->forecast, now);
  }
  form_ = KeptForm(form);
  supplies_.clear();
  for (const auto& supply : form.at("supplies")) {
    supplies_.push_back({supply.at("index"), supply.at("low"), KeptForm(json::supply_item_form(device_, supply))});
  }
  stale_ = false;
}

}  // namespace frisket::http
