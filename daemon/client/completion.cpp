#include "daemon/client/completion.h"

#include <algorithm>

namespace frisket::client {
namespace {

// CLI11 keeps a list of allowed words only in what the help shows of it: "STATE:{ready,busy}".
std::vector<std::string> values_of(const CLI::Option& option) {
  const std::string shown = option.get_type_name();
  const auto begin = shown.find('{');
  const auto end = shown.find('}');
  std::vector<std::string> values;
  if (begin == std::string::npos || end == std::string::npos || end < begin) return values;
  std::string word;
  for (const char octet : shown.substr(begin + 1, end - begin - 1) + ",") {
    if (octet == ',')
      values.push_back(std::exchange(word, ""));
    else
      word += octet;
  }
  return values;
}

// The words ID and DEVICE say by themselves what is meant; NAME depends on whose it is.
Source source_of(const std::string& verb, const std::string& name, const std::string& type) {
  if (type == "FILE") return Source::files;
  if (type == "ID" || name == "ID") return Source::incidents;
  if (name == "DEVICE" || name == "--device") return Source::devices;
  if (name == "--queue" || name == "--to") return Source::queues;
  if (name == "NAME" && verb == "device") return Source::devices;
  if (name == "NAME" && verb == "queue") return Source::queues;
  return Source::none;
}

CompletedOption described(const std::string& verb, const CLI::Option& option) {
  CompletedOption out;
  const bool has_name = !option.get_lnames().empty();
  out.name = has_name ? "--" + option.get_lnames().front() : option.get_name(true);
  out.does = option.get_description();
  out.takes_value = option.get_items_expected_max() > 0;
  const std::string type = option.get_type_name();
  out.values = values_of(option);
  out.source = out.values.empty() ? source_of(verb, out.name, type.substr(0, type.find(':'))) : Source::values;
  return out;
}

}  // namespace

std::vector<CompletedVerb> completed_verbs(const CLI::App& app) {
  std::vector<CompletedVerb> verbs;
  for (const CLI::App* each : app.get_subcommands([](const CLI::App*) { return true; })) {
    CompletedVerb verb{each->get_name(), each->get_description(), {}, {}};
    for (const CLI::Option* option : each->get_options([](const CLI::Option*) { return true; }))
      (option->get_lnames().empty() ? verb.places : verb.options).push_back(described(verb.name, *option));
    verbs.push_back(std::move(verb));
  }
  return verbs;
}

std::string_view lister_of(Source source) {
  if (source == Source::devices) return "devices";
  if (source == Source::queues) return "queues";
  if (source == Source::incidents) return "incidents";
  return "";
}

std::optional<std::string> completion(const CLI::App& app, std::string_view shell) {
  const auto verbs = completed_verbs(app);
  if (shell == "bash") return bash_completion(verbs);
  if (shell == "zsh") return zsh_completion(verbs);
  if (shell == "fish") return fish_completion(verbs);
  return std::nullopt;
}

}  // namespace frisket::client
