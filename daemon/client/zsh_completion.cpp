// The script for zsh, by its own _arguments and _describe.
#include "daemon/client/completion.h"

namespace frisket::client {
namespace {

constexpr const char* kHead = R"sh(#compdef frisket
# zsh completion for frisket; written by `frisket --completion zsh`

# What the daemon knows: the first column of a list.
_frisket_known() {
  local -a known
  known=("${(@f)$(timeout 2 frisket "$1" 2>/dev/null </dev/null | tail -n +2 | cut -f1)}")
  compadd -a known
}

_frisket() {
  local context state state_descr line
  local -a verbs
  typeset -A opt_args
  verbs=(
)sh";

constexpr const char* kMiddle = R"sh(  )
  _arguments -C '--help[Explain, and end]' '--version[Tell the version, and end]' '1:verb:->verb' '*::word:->words'
  case $state in
    verb) _describe verb verbs ;;
    words)
      case $line[1] in
)sh";

// Inside single quotes, and with a backslash before what means something in a specification.
std::string escaped(const std::string& text) {
  std::string out;
  for (const char octet : text) {
    if (octet == '\'') {
      out += "'\\''";
      continue;
    }
    if (octet == '[' || octet == ']' || octet == ':' || octet == '\\') out += '\\';
    out += octet;
  }
  return out;
}

std::string action(const CompletedOption& option) {
  const auto lister = lister_of(option.source);
  if (!lister.empty()) return "_frisket_known " + std::string(lister);
  if (option.source == Source::files) return "_files";
  std::string words;
  for (const std::string& value : option.values) words += (words.empty() ? "" : " ") + escaped(value);
  return words.empty() ? " " : "(" + words + ")";
}

}  // namespace

std::string zsh_completion(const std::vector<CompletedVerb>& verbs) {
  std::string out = kHead;
  for (const CompletedVerb& verb : verbs) out += "    '" + escaped(verb.name) + ":" + escaped(verb.does) + "'\n";
  out += kMiddle;
  for (const CompletedVerb& verb : verbs) {
    out += "        " + verb.name + ")\n          _arguments";
    for (const CompletedOption& option : verb.options) {
      out += " \\\n            '" + option.name + "[" + escaped(option.does) + "]";
      if (option.takes_value) out += ":" + escaped(option.name.substr(2)) + ":" + action(option);
      out += "'";
    }
    for (std::size_t i = 0; i < verb.places.size(); ++i)
      out += " \\\n            '" + std::to_string(i + 1) + ":" + escaped(verb.places[i].name) + ":" +
             action(verb.places[i]) + "'";
    out += "\n          ;;\n";
  }
  return out + "      esac\n      ;;\n  esac\n}\n\n_frisket \"$@\"\n";
}

}  // namespace frisket::client
