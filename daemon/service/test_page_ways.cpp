#include "daemon/service/test_page_ways.h"

#include <utility>

#include "daemon/service/raw_port.h"
#include "probes/ipp/client.h"
#include "probes/ipp/operations.h"
#include "probes/ipp/state_reasons.h"

namespace frisket::service {
namespace {

using http::TestPrintOutcome;
using Kind = model::Error::Kind;

constexpr std::size_t kMostOffered = 128;

void bound(std::vector<std::string>& texts) {
  if (texts.size() > kMostOffered) texts.resize(kMostOffered);
}

std::uint32_t per_inch(std::int32_t dots, std::int8_t units) {
  constexpr std::int8_t kPerCentimetre = 4;  // RFC 8011 section 5.1.16
  if (dots <= 0) return 0;
  const auto wide = static_cast<std::uint32_t>(dots);
  return units == kPerCentimetre ? static_cast<std::uint32_t>(wide * 2.54 + 0.5) : wide;
}

std::vector<testpage::Resolution> resolutions_of(const ipp::Attribute* attribute) {
  std::vector<testpage::Resolution> found;
  if (attribute == nullptr) return found;
  for (const auto& value : attribute->values) {
    const auto* resolution = std::get_if<ipp::Resolution>(&value);
    if (resolution == nullptr || found.size() >= kMostOffered) continue;
    found.push_back(
        {per_inch(resolution->cross_feed, resolution->units), per_inch(resolution->feed, resolution->units)});
  }
  return found;
}

model::Result<PageWanted> page_for(const ipp::Group& printer) {
  testpage::Offered offered;
  offered.document_formats = printer.texts("document-format-supported");
  offered.raster_types = printer.texts("pwg-raster-document-type-supported");
  offered.raster_resolutions = resolutions_of(printer.find("pwg-raster-document-resolution-supported"));
  bound(offered.document_formats);
  bound(offered.raster_types);
  auto format = choose_format(offered);
  if (!format) return format.error();
  return PageWanted{*format, testpage::sheet_of(printer.text("media-default"))};
}

class IppWay final : public TestPageWay {
 public:
  IppWay(ipp::Transport& transport, model::IppTarget target, std::string queue)
      : queue_(std::move(queue)), client_(transport, std::move(target)) {}

  TestPrintOutcome::Way kind() const override {
    return queue_.empty() ? TestPrintOutcome::Way::own_service : TestPrintOutcome::Way::queue;
  }
  std::string to() const override { return client_.target().uri; }
  std::string queue() const override { return queue_; }

  Awaitable<model::Result<PageWanted>> wanted() override {
    std::vector<std::string> names{"document-format-supported", "pwg-raster-document-type-supported",
                                   "pwg-raster-document-resolution-supported", "media-default"};
    const auto reply = co_await ipp::get_printer_attributes(client_, std::move(names));
    if (!reply) co_return reply.error();
    if (!reply->ok()) co_return error_of(*reply, "Get-Printer-Attributes", to());
    const auto* printer = reply->message.first(ipp::GroupTag::printer);
    if (printer == nullptr)
      co_return model::Error{Kind::nonsense, "Get-Printer-Attributes", to(), "its answer says nothing about a printer"};
    co_return page_for(*printer);
  }

  Awaitable<model::Result<std::optional<std::int32_t>>> send(std::string job_name, std::string format,
                                                             std::string octets) override {
    ipp::Control control(client_);
    ipp::Document document{std::move(job_name), std::move(format), std::move(octets)};
    auto job = co_await control.print(std::move(document));
    if (!job) co_return job.error();
    co_return std::optional<std::int32_t>(*job);
  }

  Awaitable<model::Result<model::Job>> look(std::int32_t job) override { return ipp::get_job(client_, job); }

  Awaitable<std::vector<std::string>> reasons() override {
    std::vector<std::string> names{"printer-state-reasons"};
    const auto reply = co_await ipp::get_printer_attributes(client_, std::move(names));
    std::vector<std::string> keywords;
    const auto* printer = reply && reply->ok() ? reply->message.first(ipp::GroupTag::printer) : nullptr;
    if (printer == nullptr) co_return keywords;
    for (auto& reason : ipp::state_reasons_of(printer->find("printer-state-reasons")))
      keywords.push_back(std::move(reason.keyword));
    co_return keywords;
  }

 private:
  std::string queue_;
  ipp::Client client_;
};

class RawPortWay final : public TestPageWay {
 public:
  RawPortWay(Clock& clock, std::string host, std::uint16_t port) : clock_(clock), host_(std::move(host)), port_(port) {}

  TestPrintOutcome::Way kind() const override { return TestPrintOutcome::Way::raw_port; }
  std::string to() const override { return host_ + " port " + std::to_string(port_); }

  // Whether anybody listens is not tried: some printers print an empty connection as an empty page.
  Awaitable<model::Result<PageWanted>> wanted() override {
    PageWanted page;
    page.format.kind = testpage::PageFormat::Kind::plain_text;
    co_return page;
  }

  Awaitable<model::Result<std::optional<std::int32_t>>> send(std::string, std::string, std::string octets) override {
    const auto sent = co_await write_to_raw_port(clock_, host_, port_, std::move(octets));
    if (!sent) co_return sent.error();
    co_return std::optional<std::int32_t>();
  }

  Awaitable<model::Result<model::Job>> look(std::int32_t) override {
    co_return model::Error{Kind::invalid, "looking at a job", to(), "a raw port has none"};
  }
  Awaitable<std::vector<std::string>> reasons() override { co_return std::vector<std::string>(); }

 private:
  Clock& clock_;
  std::string host_;
  std::uint16_t port_;
};

}  // namespace

std::vector<std::unique_ptr<TestPageWay>> ways_to(const config::Config& config, const config::Device& device,
                                                  ipp::Transport& transport, Clock& clock) {
  std::vector<std::unique_ptr<TestPageWay>> ways;
  if (device.ipp) ways.push_back(std::make_unique<IppWay>(transport, *device.ipp, std::string()));
  for (const auto& queue : config.queues)
    if (queue.device == device.name && !queue.lpd)
      ways.push_back(std::make_unique<IppWay>(transport, queue.target, queue.name));
  if (device.raw_port) ways.push_back(std::make_unique<RawPortWay>(clock, device.address, *device.raw_port));
  return ways;
}

}  // namespace frisket::service
