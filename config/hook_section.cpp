// [[hook]].
#include <array>

#include "config/hook_parts.h"
#include "config/program_key.h"

namespace frisket::config {
namespace {

// The keys of one type alone: with another they would do nothing, and whoever wrote them thinks that they do.
struct OwnKey {
  std::string_view key;
  std::string_view types;
};
constexpr std::array<OwnKey, 15> kOwnKeys = {{
    {"program", "exec"},
    {"arguments", "exec"},
    {"url", "webhook"},
    {"insecure", "webhook"},
    {"secret_file", "webhook"},
    {"server", "mail, syslog"},
    {"port", "mail, syslog"},
    {"security", "mail"},
    {"user", "mail"},
    {"password_file", "mail"},
    {"from", "mail"},
    {"to", "mail"},
    {"cc", "mail"},
    {"transport", "syslog"},
    {"facility", "syslog"},
}};

void refuse_keys_of_others(Section& section, std::string_view type) {
  for (const auto& [key, types] : kOwnKeys)
    if (section.has(key) && types.find(type) == types.npos)
      section.error(key, "of no use with type = " + in_quotes(type) + "; it belongs to " + std::string(types));
  if (type == "exec" && section.has("ca_file"))
    section.error("ca_file", "of no use with type = \"exec\"; it belongs to webhook, mail, syslog");
  if (type == "syslog" && section.has("digest")) section.error("digest", "of no use with type = \"syslog\"");
}

void read_receiver(Reading& reading, Section& section, std::string_view type, Hook& hook) {
  if (type == "webhook") {
    hook.type = Hook::Type::webhook;
    read_webhook(reading, section, hook.webhook);
  } else if (type == "mail") {
    hook.type = Hook::Type::mail;
    read_mail(reading, section, hook.mail);
  } else if (type == "syslog") {
    hook.type = Hook::Type::syslog;
    read_syslog(reading, section, hook.syslog);
  } else {
    if (!section.has("program")) section.error("program", "missing, allowed: the absolute path of an executable file");
    hook.program = program_from(section, "program");
    hook.arguments = texts(section.list("arguments"));
  }
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
    read_hook_filters(reading, section, hook);
    if (const auto type = section.text("type"); !type.empty()) {
      refuse_keys_of_others(section, type);
      read_receiver(reading, section, type, hook);
    }
    hooks.push_back(std::move(hook));
  }
  return hooks;
}

}  // namespace frisket::config
