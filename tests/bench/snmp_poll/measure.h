// What is measured, and of what. Not part of the product.
#pragma once

#include <sys/resource.h>

#include <chrono>
#include <cstddef>
#include <cstdint>
#include <string>

namespace frisket::bench {

// Exchanges outstanding at once, as the product's default has it.
inline constexpr std::size_t kWindow = 256;

struct Fleet {
  std::uint16_t port = 0;
  std::size_t devices = 0;

  // As simfleet numbers them: 127.16.0.1 and on, last octets 0 and 255 left out. Host order.
  std::uint32_t address(std::size_t device) const {
    return 0x7F100001U + static_cast<std::uint32_t>(device + 2 * (device / 254));
  }
};

// This thread's time on a core, system time included: what the machine's other work does not change much.
struct Cpu {
  double user = 0;
  double system = 0;
  double sum() const { return user + system; }
};
inline Cpu cpu_seconds(int who = RUSAGE_THREAD) {
  rusage usage{};
  ::getrusage(who, &usage);
  const auto seconds = [](const timeval& time) {
    return static_cast<double>(time.tv_sec) + static_cast<double>(time.tv_usec) * 1e-6;
  };
  return {seconds(usage.ru_utime), seconds(usage.ru_stime)};
}

struct Figures {
  std::uint64_t exchanges = 0;
  double cpu = 0;
  double system = 0;  // the kernel's part of it
  double seconds = 0;
  std::uint64_t octets = 0;    // both ways, UDP payload; 0: not counted
  std::uint64_t requests = 0;  // 0: one for each exchange
  double cpu_us() const { return exchanges == 0 ? 0 : cpu / static_cast<double>(exchanges) * 1e6; }
};

// Measures from its construction on.
class Stopwatch {
 public:
  double seconds() const { return std::chrono::duration<double>(std::chrono::steady_clock::now() - start_).count(); }
  void read(Figures& figures) const {
    const auto now = cpu_seconds();
    figures.cpu = now.sum() - cpu_start_.sum();
    figures.system = now.system - cpu_start_.system;
    figures.seconds = seconds();
  }

 private:
  std::chrono::steady_clock::time_point start_ = std::chrono::steady_clock::now();
  Cpu cpu_start_ = cpu_seconds();
};

}  // namespace frisket::bench
