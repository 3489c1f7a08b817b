// What a shell offers when a person presses Tab behind `frisket`.
//
// Written out of the command line's own description, so that no verb and no option can be forgotten: the package
// writes the files with `frisket --completion SHELL`. Pure. One thread.
#pragma once

#include <CLI/App.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace frisket::client {

// A script for "bash", "zsh" or "fish"; nothing for another shell.
std::optional<std::string> completion(const CLI::App& app, std::string_view shell);

// Where the words come from that may stand in a place.
enum class Source { none, values, files, devices, queues, incidents };

// An option, or a word with a place of its own, as the scripts need it.
struct CompletedOption {
  std::string name;  // "--site"; of a place what it is called, "NAME"
  std::string does;
  bool takes_value = false;
  Source source = Source::none;
  std::vector<std::string> values;
};

struct CompletedVerb {
  std::string name;
  std::string does;
  std::vector<CompletedOption> options;  // those that every verb has among them
  std::vector<CompletedOption> places;   // in order
};

std::vector<CompletedVerb> completed_verbs(const CLI::App& app);

// The verb of the client whose first column lists what there is; "" if none does.
std::string_view lister_of(Source source);

// The scripts. Words go into them only behind the shell's own quotes.
std::string bash_completion(const std::vector<CompletedVerb>& verbs);
std::string zsh_completion(const std::vector<CompletedVerb>& verbs);
std::string fish_completion(const std::vector<CompletedVerb>& verbs);

}  // namespace frisket::client
