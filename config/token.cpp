#include "config/token.h"

#include <algorithm>
#include <map>

#include "config/findings.h"
#include "config/syntax.h"

namespace frisket::config {
namespace {

constexpr std::array<std::string_view, 3> kRights = {"read", "operate", "administer"};
constexpr std::string_view kBlanks = " \t\r";

// Longer than any right or reasonable name, shorter than any token.
constexpr std::size_t kMostShown = 24;

std::vector<std::string_view> words_of(std::string_view line) {
  std::vector<std::string_view> words;
  line = line.substr(0, line.find('#'));
  while (true) {
    line.remove_prefix(std::min(line.find_first_not_of(kBlanks), line.size()));
    if (line.empty()) return words;
    words.push_back(line.substr(0, line.find_first_of(kBlanks)));
    line.remove_prefix(words.back().size());
  }
}

// A word may be a token in the wrong place.
std::string shown(std::string_view word) {
  return word.size() > kMostShown ? "a long word that is not shown" : in_quotes(word);
}

std::optional<int> digit_of(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  if (c >= 'a' && c <= 'f') return c - 'a' + 10;
  if (c >= 'A' && c <= 'F') return c - 'A' + 10;
  return std::nullopt;
}

std::optional<TokenHash> hash_from(std::string_view text) {
  TokenHash hash{};
  if (text.size() != 2 * hash.size()) return std::nullopt;
  for (std::size_t i = 0; i < hash.size(); ++i) {
    const auto high = digit_of(text[2 * i]);
    const auto low = digit_of(text[2 * i + 1]);
    if (!high || !low) return std::nullopt;
    hash[i] = static_cast<std::uint8_t>(*high * 16 + *low);
  }
  return hash;
}

// What is wrong with a line's words; empty: nothing, and the token has been read.
std::string read_line(const std::vector<std::string_view>& words, Token& token) {
  if (words.size() != 3)
    return "found " + std::to_string(words.size()) + (words.size() == 1 ? " word" : " words") +
           ", allowed: a name, a right and a SHA-256";
  if (!is_token_name(words[0]))
    return "found the name " + shown(words[0]) + ", allowed: 1 to 64 letters, digits, '.', '-' and '_', but not " +
           in_quotes(kLoopbackName) + " or " + in_quotes(kNobodyName);
  const auto right = right_from(words[1]);
  if (!right)
    return "found the right " + shown(words[1]) + ", allowed: " + any_of(kRights) + suggestion(words[1], kRights);
  const auto hash = hash_from(words[2]);
  if (!hash)
    return "found a hash of " + std::to_string(words[2].size()) +
           " characters that is not shown, allowed: a SHA-256 as 64 hexadecimal digits";
  token = {std::string(words[0]), *right, *hash};
  return {};
}

}  // namespace

std::string_view to_text(Right right) { return kRights.at(static_cast<std::size_t>(right)); }

std::optional<Right> right_from(std::string_view word) {
  const auto found = std::ranges::find(kRights, word);
  if (found == kRights.end()) return std::nullopt;
  return static_cast<Right>(found - kRights.begin());
}

bool is_token_name(std::string_view name) { return is_name(name) && name != kLoopbackName && name != kNobodyName; }

std::string token_line(const Token& token) {
  std::string line = token.name + ' ' + std::string(to_text(token.right)) + ' ';
  for (const auto octet : token.hash) {
    line += "0123456789abcdef"[octet >> 4U];
    line += "0123456789abcdef"[octet & 0xFU];
  }
  return line;
}

TokenLines parse_tokens(std::string_view text) {
  TokenLines found;
  std::map<std::string, int, std::less<>> lines_of_names;
  std::map<TokenHash, int> lines_of_hashes;
  for (int number = 1; !text.empty(); ++number) {
    const auto line = text.substr(0, text.find('\n'));
    text.remove_prefix(std::min(line.size() + 1, text.size()));
    const auto words = words_of(line);
    if (words.empty()) continue;
    Token token;
    auto what = read_line(words, token);
    if (what.empty()) {
      const auto [name, new_name] = lines_of_names.emplace(token.name, number);
      const auto [hash, new_hash] = lines_of_hashes.emplace(token.hash, number);
      if (!new_name)
        what = "found the name " + in_quotes(token.name) + ", allowed: a name of its own; line " +
               std::to_string(name->second) + " has it already";
      else if (!new_hash)
        what = "found the hash of line " + std::to_string(hash->second) + ", allowed: a token of its own for each name";
    }
    if (what.empty())
      found.tokens.push_back(std::move(token));
    else
      found.troubles.push_back({number, std::move(what)});
  }
  return found;
}

}  // namespace frisket::config
