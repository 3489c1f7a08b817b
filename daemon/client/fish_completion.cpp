// The script for fish: one `complete` for each thing that may be said.
#include "daemon/client/completion.h"

namespace frisket::client {
namespace {

constexpr const char* kHead = R"sh(# fish completion for frisket; written by `frisket --completion fish`

# What the daemon knows: the first column of a list.
function __frisket_known
    timeout 2 frisket $argv[1] 2>/dev/null </dev/null | tail -n +2 | cut -f1
end

# Whether what is being typed belongs to that verb ("": none yet) and, if one is named, stands in that place.
function __frisket_at
    set -l said
    set -l skip 0
    for word in (commandline -opc)[2..-1]
        if test $skip = 1
            set skip 0
        else if contains -- $word $__frisket_valued
            set skip 1
        else if not string match -q -- '-*' $word
            set -a said $word
        end
    end
    if test -z "$argv[1]"
        test (count $said) -eq 0
    else if test "$said[1]" != "$argv[1]"
        return 1
    else if set -q argv[2]
        test (count $said) -eq (math $argv[2] + 1)
    end
end

complete -c frisket -f
complete -c frisket -n '__frisket_at ""' -l help -d 'Explain, and end'
complete -c frisket -n '__frisket_at ""' -l version -d 'Tell the version, and end'
)sh";

std::string in_quotes(const std::string& text) {
  std::string out = "'";
  for (const char octet : text) {
    if (octet == '\'' || octet == '\\') out += '\\';
    out += octet;
  }
  return out + "'";
}

// The words that may stand there, as the argument of -a.
std::string words_of(const CompletedOption& option) {
  const auto lister = lister_of(option.source);
  if (!lister.empty()) return "'(__frisket_known " + std::string(lister) + ")'";
  std::string words;
  for (const std::string& value : option.values) words += (words.empty() ? "" : " ") + value;
  return words.empty() ? "" : in_quotes(words);
}

std::string complete_option(const CompletedVerb& verb, const CompletedOption& option) {
  std::string out = "complete -c frisket -n '__frisket_at " + verb.name + "' -l " + option.name.substr(2) + " -d " +
                    in_quotes(option.does);
  if (!option.takes_value) return out + "\n";
  if (option.source == Source::files) return out + " -r -F\n";
  const std::string words = words_of(option);
  return out + " -x" + (words.empty() ? "" : " -a " + words) + "\n";
}

}  // namespace

std::string fish_completion(const std::vector<CompletedVerb>& verbs) {
  std::string out = kHead;
  std::string valued;
  for (const CompletedVerb& verb : verbs)
    for (const CompletedOption& option : verb.options)
      if (option.takes_value && (valued + " ").find(" " + option.name + " ") == std::string::npos)
        valued += " " + option.name;
  out += "set -g __frisket_valued" + valued + "\n";
  for (const CompletedVerb& verb : verbs) {
    out += "\ncomplete -c frisket -n '__frisket_at \"\"' -a " + verb.name + " -d " + in_quotes(verb.does) + "\n";
    for (const CompletedOption& option : verb.options) out += complete_option(verb, option);
    for (std::size_t i = 0; i < verb.places.size(); ++i) {
      const std::string words = words_of(verb.places[i]);
      if (words.empty()) continue;
      out += "complete -c frisket -n '__frisket_at " + verb.name + " " + std::to_string(i) + "' -a " + words + " -d " +
             in_quotes(verb.places[i].does) + "\n";
    }
  }
  return out;
}

}  // namespace frisket::client
