// The script for bash. What the daemon names reaches no `compgen -W`, which would expand it like a command line.
#include "daemon/client/completion.h"

namespace frisket::client {
namespace {

constexpr const char* kHead = R"sh(# bash completion for frisket; written by `frisket --completion bash`

# Offers those of the words that begin as what is being typed.
_frisket_words() {
  local word
  for word; do
    [[ $word == "$typed"* ]] && COMPREPLY+=("$word")
  done
}

# Likewise what the daemon knows: the first column of a list.
_frisket_known() {
  local word
  while IFS= read -r word; do
    [[ $word == "$typed"* ]] && COMPREPLY+=("$(printf '%q' "$word")")
  done < <(timeout 2 frisket "$1" 2>/dev/null </dev/null | tail -n +2 | cut -f1)
}

_frisket() {
  # Words as they were typed: bash would divide QUEUE@SPOOLER.
  local -a words
  read -ra words <<<"${COMP_LINE:0:COMP_POINT}"
  [[ ${COMP_LINE:COMP_POINT-1:1} == ' ' ]] && words+=('')
  local last=$((${#words[@]} - 1)) verb='' place=0 i
  local typed=${words[last]} before=${words[last - 1]}
  COMPREPLY=()
  for ((i = 1; i < last; i++)); do
    case ${words[i]} in
)sh";

constexpr const char* kMiddle = R"sh(      -*) ;;
      *) if [[ -z $verb ]]; then verb=${words[i]}; else ((place++)); fi ;;
    esac
  done
  _frisket_offer
  # Of a word that bash divides, it wants the last part.
  local divided=${typed%"${typed##*[@:=]}"}
  COMPREPLY=("${COMPREPLY[@]#"$divided"}")
}

_frisket_offer() {
  case $verb:$before in
)sh";

std::string in_quotes(const std::string& word) {
  std::string out = "'";
  for (const char octet : word) {
    if (octet == '\'')
      out += "'\\''";
    else
      out += octet;
  }
  return out + "'";
}

// The command that offers what may stand there.
std::string offer(const CompletedOption& option) {
  const auto lister = lister_of(option.source);
  if (!lister.empty()) return "_frisket_known " + std::string(lister);
  if (option.source == Source::files) return "compopt -o default";
  std::string words;
  for (const std::string& value : option.values) words += " " + in_quotes(value);
  return words.empty() ? ":" : "_frisket_words" + words;
}

std::string valued_options(const std::vector<CompletedVerb>& verbs) {
  std::string names;
  for (const CompletedVerb& verb : verbs)
    for (const CompletedOption& option : verb.options)
      if (option.takes_value && ("|" + names + "|").find("|" + option.name + "|") == std::string::npos)
        names += (names.empty() ? "" : "|") + option.name;
  return names;
}

}  // namespace

std::string bash_completion(const std::vector<CompletedVerb>& verbs) {
  std::string out = kHead;
  out += "      " + valued_options(verbs) + ") ((i++)) ;;\n";
  out += kMiddle;
  std::string names;
  for (const CompletedVerb& verb : verbs) {
    names += " " + in_quotes(verb.name);
    for (const CompletedOption& option : verb.options)
      if (option.takes_value) out += "    " + verb.name + ":" + option.name + ") " + offer(option) + "; return ;;\n";
  }
  out += "  esac\n  case $verb:$typed in\n";
  out += "    :-*) _frisket_words --help --version; return ;;\n    :*) _frisket_words" + names + "; return ;;\n";
  for (const CompletedVerb& verb : verbs) {
    out += "    " + verb.name + ":-*) _frisket_words";
    for (const CompletedOption& option : verb.options) out += " " + in_quotes(option.name);
    out += "; return ;;\n";
  }
  out += "  esac\n  case $verb:$place in\n";
  for (const CompletedVerb& verb : verbs)
    for (std::size_t i = 0; i < verb.places.size(); ++i)
      out += "    " + verb.name + ":" + std::to_string(i) + ") " + offer(verb.places[i]) + " ;;\n";
  return out + "  esac\n}\n\ncomplete -F _frisket frisket\n";
}

}  // namespace frisket::client
