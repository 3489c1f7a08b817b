// The built program itself: how it ends, seen from outside.
#include <fcntl.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include "canned_daemon.h"
#include "fixture.h"

namespace frisket::client {
namespace {

// A running frisket with its standard output in a pipe.
class Program {
 public:
  explicit Program(std::vector<std::string> words) {
    words.insert(words.begin(), FRISKET_PROGRAM);
    std::vector<char*> argv;
    for (std::string& word : words) argv.push_back(word.data());
    argv.push_back(nullptr);
    int ends[2];
    REQUIRE(::pipe(ends) == 0);
    pid_ = ::fork();
    REQUIRE(pid_ >= 0);
    if (pid_ == 0) {
      const int nothing = ::open("/dev/null", O_WRONLY);
      ::dup2(ends[1], STDOUT_FILENO);
      ::dup2(nothing, STDERR_FILENO);
      ::close(ends[0]);
      ::execv(FRISKET_PROGRAM, argv.data());
      ::_exit(127);
    }
    ::close(ends[1]);
    out_ = ends[0];
  }
  ~Program() {
    ::close(out_);
    if (pid_ > 0) {
      ::kill(pid_, SIGKILL);
      ::waitpid(pid_, nullptr, 0);
    }
  }
  Program(const Program&) = delete;
  Program& operator=(const Program&) = delete;

  // The next line of its output; waits for it.
  std::string line() {
    std::string text;
    for (char octet = 0; ::read(out_, &octet, 1) == 1 && octet != '\n';) text += octet;
    return text;
  }

  void signal(int number) const { ::kill(pid_, number); }

  // Its exit status, once it has ended; 128 and more if a signal ended it.
  int wait() {
    int status = 0;
    ::waitpid(pid_, &status, 0);
    pid_ = -1;
    return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
  }

 private:
  ::pid_t pid_ = -1;
  int out_ = -1;
};

int status_of(std::vector<std::string> words) { return Program(std::move(words)).wait(); }

std::string http(const std::string& status, const std::string& body) {
  return "HTTP/1.1 " + status + "\r\nContent-Length: " + std::to_string(body.size()) + "\r\nConnection: close\r\n\r\n" +
         body;
}

}  // namespace

TEST_CASE("the program ends with 3 where nobody listens") {
  CHECK(status_of({"status", "--server", "http://127.0.0.1:1"}) == 3);
  CHECK(status_of({"devices", "--server", "unix:/nonexistent/frisket.sock"}) == 3);
  CHECK(status_of({"watch", "--server", "http://127.0.0.1:1"}) == 3);
}

TEST_CASE("the program ends with 2 on bad usage and with 0 on help") {
  CHECK(status_of({}) == 2);
  CHECK(status_of({"bogus"}) == 2);
  CHECK(status_of({"device"}) == 2);
  CHECK(status_of({"status", "--fail-on", "dire"}) == 2);
  CHECK(status_of({"status", "--server", "ftp://127.0.0.1"}) == 2);
  CHECK(status_of({"--help"}) == 0);
  CHECK(status_of({"--version"}) == 0);
}

TEST_CASE("the program prints what a daemon serves, or ends with 4 where it is refused") {
  CannedDaemon daemon({http("200 OK", list_of({kCopier})), http("403 Forbidden", "{}")});
  Program devices({"devices", "--server", daemon.url()});
  CHECK(devices.line().starts_with("name\tstate\tsite"));
  CHECK(devices.line().starts_with("herbarium-copier\tstopped\tglasshouse\t"));
  CHECK(devices.wait() == 0);
  CHECK(status_of({"devices", "--server", daemon.url()}) == 4);
}

TEST_CASE("watch prints a change as it comes, and ends with 0 on SIGINT and on SIGTERM") {
  for (const int number : {SIGINT, SIGTERM}) {
    std::string jam = kJam;
    std::erase(jam, '\n');
    CannedDaemon daemon(
        {"HTTP/1.1 200 OK\r\nContent-Type: text/event-stream\r\nConnection: close\r\n\r\n"
         "retry: 30000\nid: 1\nevent: notice\ndata: {\"notice\": \"raised\", \"at\": "
         "\"2026-11-25T08:12:00Z\", \"incident\": " +
         jam + "}\n\n"});
    Program watch({"watch", "--server", daemon.url()});
    CHECK(watch.line().starts_with("at\tnotice\tseverity"));
    CHECK(watch.line().starts_with("2026-11-25T08:12:00.000Z\traised\tcritical\tmedia-jam"));
    watch.signal(number);
    CHECK(watch.wait() == 0);
  }
}

}  // namespace frisket::client
