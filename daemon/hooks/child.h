// Starting one program as a child of its own process group.
//
// Boost.Process was looked at first and does not fit in Debian's 1.81: v1 forks the whole
// daemon, waits by a SIGCHLD handler of its own and cannot close what others left open; v2 has
// no process groups, its default launcher forks too, and its vfork launcher tells Asio of the
// fork from within the child, which then still shares the parent's memory. posix_spawn() of
// glibc 2.36 does all of it without copying the daemon (it is a vfork inside), reports a failed
// exec as its own result, and pidfd_open(2) gives a descriptor that Asio can wait for.
//
// Linux 5.3 or later (pidfd_open). Any thread; blocks for as long as exec takes.
#pragma once

#include <sys/types.h>

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "probes/model/result.h"

namespace frisket::hooks {

struct Program {
  std::filesystem::path file;
  std::vector<std::string> arguments;    // without the program's own name
  std::vector<std::string> environment;  // all of it, "NAME=value"
  std::string input;                     // what standard input holds before its end
};

// The caller owns both descriptors, and has to reap `pid`.
struct Child {
  pid_t pid = -1;   // of the process and of its group
  int exit = -1;    // readable once the process has ended
  int output = -1;  // standard output and standard error, in the order written; does not block
};

// Standard input is a file in memory, so that a program may read it late, partly or not at all,
// and nobody ever waits to write. Working directory "/", signals as at login, no other descriptor
// open. On failure nothing is left behind.
model::Result<Child> start(const Program& program);

}  // namespace frisket::hooks
