#include "tests/simfleet/process.h"

#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cstdio>
#include <cstring>
#include <fstream>
#include <sstream>
#include <stdexcept>

extern char** environ;

namespace frisket::simfleet {
namespace {

struct Spawned {
  pid_t pid;
  int in;
  int out;
};

Spawned spawn(const std::vector<std::string>& command) {
  int to_child[2], from_child[2];
  if (pipe2(to_child, O_CLOEXEC) != 0 || pipe2(from_child, O_CLOEXEC) != 0) throw std::runtime_error("no pipe");
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_adddup2(&actions, to_child[0], STDIN_FILENO);
  posix_spawn_file_actions_adddup2(&actions, from_child[1], STDOUT_FILENO);
  std::vector<char*> argv;
  for (const auto& word : command) argv.push_back(const_cast<char*>(word.c_str()));
  argv.push_back(nullptr);
  pid_t pid = -1;
  const int error = posix_spawnp(&pid, argv[0], &actions, nullptr, argv.data(), environ);
  posix_spawn_file_actions_destroy(&actions);
  close(to_child[0]);
  close(from_child[1]);
  if (error != 0) {
    close(to_child[1]);
    close(from_child[0]);
    throw std::runtime_error("cannot start " + command[0] + ": " + std::strerror(error));
  }
  return {pid, to_child[1], from_child[0]};
}

// More bytes, or an end of them. Throws after ten seconds of nothing.
bool read_more(int descriptor, std::string& into, const std::string& who) {
  pollfd waiting{descriptor, POLLIN, 0};
  if (poll(&waiting, 1, 10'000) <= 0) throw std::runtime_error(who + " says nothing");
  char buffer[65536];
  const auto count = read(descriptor, buffer, sizeof buffer);
  if (count <= 0) return false;
  into.append(buffer, static_cast<std::size_t>(count));
  return true;
}

}  // namespace

FleetProcess::FleetProcess(const std::string& program, std::vector<std::string> arguments) {
  arguments.insert(arguments.begin(), program);
  arguments.push_back("--until-eof");
  const auto child = spawn(arguments);
  pid_ = child.pid;
  in_ = child.in;
  out_ = child.out;
  unsigned port = 0;
  if (std::sscanf(read_line().c_str(), "ready %zu devices on port %u", &devices_, &port) != 2) {
    wait();
    throw std::runtime_error("simfleet is not ready");
  }
  port_ = static_cast<std::uint16_t>(port);
}

FleetProcess::~FleetProcess() {
  if (pid_ > 0) end_by(SIGTERM);
  if (out_ >= 0) close(out_);
}

std::string FleetProcess::read_line() {
  std::size_t end = 0;
  while ((end = pending_.find('\n')) == std::string::npos) {
    if (!read_more(out_, pending_, "simfleet")) return {};
  }
  std::string line = pending_.substr(0, end);
  pending_.erase(0, end + 1);
  return line;
}

std::string FleetProcess::say(const std::string& command) {
  const std::string line = command + "\n";
  if (write(in_, line.data(), line.size()) != static_cast<ssize_t>(line.size()))
    throw std::runtime_error("simfleet does not listen");
  return read_line();
}

int FleetProcess::wait() {
  if (in_ >= 0) close(in_);
  in_ = -1;
  // A child that will not go is told again, harder: a hung test would tell less.
  int status = 0;
  for (int tenths = 0; waitpid(pid_, &status, WNOHANG) == 0; ++tenths) {
    if (tenths == 100) kill(pid_, SIGKILL);
    poll(nullptr, 0, 100);
  }
  pid_ = -1;
  return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

int FleetProcess::close_input() { return wait(); }

int FleetProcess::end_by(int signal) {
  kill(pid_, signal);
  const int kept = in_;
  in_ = -1;  // so that it is the signal that ends it
  const int status = wait();
  close(kept);
  return status;
}

double FleetProcess::cpu_seconds() const {
  std::ifstream stat("/proc/" + std::to_string(pid_) + "/stat");
  std::string text((std::istreambuf_iterator<char>(stat)), {});
  std::istringstream fields(text.substr(text.rfind(')') + 1));  // the name may hold spaces
  std::string skipped;
  for (int i = 0; i < 11; ++i) fields >> skipped;
  double user = 0, system = 0;
  fields >> user >> system;
  return (user + system) / static_cast<double>(sysconf(_SC_CLK_TCK));
}

std::size_t FleetProcess::resident() const {
  std::ifstream statm("/proc/" + std::to_string(pid_) + "/statm");
  std::size_t total = 0, resident = 0;
  statm >> total >> resident;
  return resident * static_cast<std::size_t>(sysconf(_SC_PAGESIZE));
}

std::string output_of(const std::vector<std::string>& command) {
  const auto child = spawn(command);
  close(child.in);
  std::string output;
  try {
    while (read_more(child.out, output, command[0])) {
    }
  } catch (...) {
    kill(child.pid, SIGKILL);
    close(child.out);
    waitpid(child.pid, nullptr, 0);
    throw;
  }
  close(child.out);
  int status = 0;
  waitpid(child.pid, &status, 0);
  if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) throw std::runtime_error(command[0] + " failed: " + output);
  return output;
}

}  // namespace frisket::simfleet
