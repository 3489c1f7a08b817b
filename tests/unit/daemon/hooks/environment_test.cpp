#include "daemon/hooks/environment.h"

#include <signal.h>
#include <stdlib.h>
#include <unistd.h>

#include <algorithm>

#include "fixture.h"

namespace frisket::hooks {
namespace {

using Strings = std::vector<std::string>;

Strings sorted_lines(const std::string& text) {
  Strings lines;
  std::istringstream stream(text);
  for (std::string line; std::getline(stream, line);) lines.push_back(line);
  std::ranges::sort(lines);
  return lines;
}

TEST_CASE("the environment is a fixed list") {
  CHECK(environment_for({planned(notice("7"))}) ==
        Strings{"PATH=/usr/local/sbin:/usr/local/bin:/usr/sbin:/usr/bin:/sbin:/bin", "LANG=C.UTF-8",
                "FRISKET_HOOK=desk", "FRISKET_NOTICE=raised", "FRISKET_NOTICE_ID=7-1-desk", "FRISKET_REASON=raised",
                "FRISKET_INCIDENT=7", "FRISKET_KIND=input-tray-missing", "FRISKET_SEVERITY=major",
                "FRISKET_SITE=glasshouse", "FRISKET_DEVICE=herbarium-copier"});
}

TEST_CASE("a digest has nothing of an incident in its environment") {
  const auto found = environment_for({planned(notice("7")), planned(notice("8"))});
  CHECK(found == Strings{found[0], found[1], "FRISKET_HOOK=desk", "FRISKET_NOTICE=digest"});
}

TEST_CASE("a value that is not plain ASCII is left out rather than passed on") {
  for (const auto& kind : {std::string("a b"), std::string("a\nb"), std::string("$(reboot)"), std::string("\xC3\xA9"),
                           std::string(), std::string(256, 'a'), std::string("a\0b", 3)}) {
    auto transition = notice("7");
    transition.incident.kind = kind;
    for (const auto& entry : environment_for({planned(transition)})) CHECK_FALSE(entry.starts_with("FRISKET_KIND"));
  }
}

TEST_CASE("a program finds exactly that environment, nothing of ours, in the root folder") {
  ::setenv("FRISKET_SECRET", "hidden", 1);
  Desk desk;
  auto hook = desk.script("desk", "/usr/bin/env > $1/environment; /bin/pwd > $1/folder");
  desk.configure({hook});
  desk.tell(notice("7"));
  REQUIRE(desk.run_until_told());
  auto found = sorted_lines(desk.folder.read("environment"));
  std::erase_if(found,
                [](const auto& line) { return line.starts_with("PWD=") || line.starts_with("_="); });  // dash's own
  auto expected = environment_for({planned(notice("7"))});
  std::ranges::sort(expected);
  CHECK(found == expected);
  CHECK(desk.folder.read("folder") == "/\n");
}

TEST_CASE("a program has its three descriptors and no other, and arguments as they are configured") {
  Desk desk;
  const int inheritable = ::dup(0);  // without O_CLOEXEC, as a careless library would leave it
  REQUIRE(inheritable > 2);
  auto hook = desk.script("desk", "ls /proc/self/fd > $1/descriptors; shift; printf '<%s>' \"$@\" > $0.arguments");
  hook.arguments = {desk.folder.path().string(), "two words", "", "$(reboot)", "`x`;\"'\n*"};
  desk.configure({hook});
  desk.tell(notice("7"));
  REQUIRE(desk.run_until_told());
  ::close(inheritable);
  CHECK(desk.folder.read("descriptors") == "0\n1\n2\n3\n");  // 3 is ls reading the folder
  CHECK(desk.folder.read("desk.arguments") == "<two words><><$(reboot)><`x`;\"'\n*>");
}

TEST_CASE("a program starts with default signals, whatever the daemon ignores or blocks") {
  Desk desk;
  desk.configure({desk.script("desk", "grep -E '^Sig(Blk|Ign)' /proc/self/status > $1/signals")});
  const auto before = ::signal(SIGPIPE, SIG_IGN);
  sigset_t blocked;
  sigset_t mask_before;
  ::sigemptyset(&blocked);
  ::sigaddset(&blocked, SIGTERM);
  ::pthread_sigmask(SIG_BLOCK, &blocked, &mask_before);
  desk.tell(notice("7"));
  const bool told = desk.run_until_told();
  ::pthread_sigmask(SIG_SETMASK, &mask_before, nullptr);
  ::signal(SIGPIPE, before);
  REQUIRE(told);
  std::istringstream lines(desk.folder.read("signals"));
  std::string name;
  unsigned long long signals = 0;
  int seen = 0;
  // The standard signals, 1 to 31; glibc has two of its own above them and ignores those.
  for (; lines >> name >> std::hex >> signals; ++seen) CHECK((signals & 0x7FFF'FFFFU) == 0);
  CHECK(seen == 2);
}

}  // namespace
}  // namespace frisket::hooks
