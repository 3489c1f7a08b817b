// [[hook]].
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <system_error>

#include "config/sections.h"

namespace frisket::config {
namespace {

// What keeps a program from being run, or nothing.
std::string obstacle(const std::filesystem::path& program, struct stat& status) {
  if (!program.is_absolute()) return "not absolute";
  if (::stat(program.c_str(), &status) != 0) return std::generic_category().message(errno);
  if (!S_ISREG(status.st_mode)) return "not a regular file";
  if (::faccessat(AT_FDCWD, program.c_str(), X_OK, AT_EACCESS) != 0) return "not executable";
  return {};
}

std::filesystem::path read_program(Section& section) {
  std::filesystem::path program = section.text("program");
  if (program.empty()) return program;
  struct stat status {};
  const auto trouble = obstacle(program, status);
  if (!trouble.empty())
    section.refuse("program", in_quotes(program.string()) + " (" + trouble + ")",
                   "the absolute path of an executable file");
  else if (status.st_mode & S_IWOTH)
    section.warn("program",
                 in_quotes(program.string()) + " can be changed by everybody on this machine; chmod o-w ends that");
  return program;
}

std::vector<std::string> texts(std::vector<Entry> entries) {
  std::vector<std::string> list;
  for (auto& entry : entries) list.push_back(std::move(entry.text));
  return list;
}

}  // namespace

std::vector<Hook> read_hooks(Reading& reading) {
  std::vector<Hook> hooks;
  Names names("hook");
  for (const auto* table : repeated(reading, "hook")) {
    Section section(*table, "hook", reading.findings);
    Hook hook;
    hook.name = section.text("name");
    names.add(section, hook.name);
    section.text("type");  // the only one there is
    hook.program = read_program(section);
    hook.arguments = texts(section.list("arguments"));
    hook.time_limit = std::chrono::duration_cast<Seconds>(section.duration("time_limit"));
    hook.parallel = static_cast<int>(section.integer("parallel"));
    hook.kinds = texts(section.list("kinds"));
    hook.severity = model::severity_from(section.text("severity"));
    for (auto& [name, place] : section.list("sites"))
      if (reading.sites.check("hook.sites", name, place, reading.findings)) hook.sites.push_back(std::move(name));
    hooks.push_back(std::move(hook));
  }
  return hooks;
}

}  // namespace frisket::config
