// How a device is asked: over SNMP, over IPP, or both ways at once.
//
// On the io_context's thread.
#pragma once

#include <memory>

#include "daemon/service/pollers.h"

namespace frisket::service {

// Asks over IPP; a device that says the same again gives the same snapshot again, so that everybody downstream sees at
// a glance that nothing changed.
class SameAgain final : public Probe {
 public:
  explicit SameAgain(std::unique_ptr<Probe> probe) : probe_(std::move(probe)) {}
  boost::asio::awaitable<model::DeviceReading> poll() override;

 private:
  std::unique_ptr<Probe> probe_;
  std::shared_ptr<const model::DeviceSnapshot> last_;
};

// One device, two witnesses. The first counts; the second fills what it leaves open (merged.h). One poll that the
// first missed is a missed poll, as datagrams get lost; once it has missed `enough` in a row, the second speaks for
// the device alone, and the reading's gaps say that the first is mute.
class BothWays final : public Probe {
 public:
  BothWays(std::unique_ptr<Probe> first, std::unique_ptr<Probe> second, int enough)
      : first_(std::move(first)), second_(std::move(second)), enough_(enough) {}
  boost::asio::awaitable<model::DeviceReading> poll() override;

 private:
  using Snapshot = std::shared_ptr<const model::DeviceSnapshot>;

  model::DeviceReading both(model::DeviceReading first, model::DeviceReading second);
  model::DeviceReading second_alone(const model::DeviceReading& first, model::DeviceReading second);

  std::unique_ptr<Probe> first_;
  std::unique_ptr<Probe> second_;
  int enough_;
  int first_missed_ = 0;
  int second_missed_ = 0;
  // What the last merged snapshot was made of.
  Snapshot of_first_;
  Snapshot of_second_;
  std::string mute_;
  Snapshot merged_;
};

}  // namespace frisket::service
