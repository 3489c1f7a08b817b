#include "daemon/http/access.h"

#include <openssl/crypto.h>

#include <algorithm>

#include "daemon/http/token_text.h"
#include "probes/model/ascii.h"

namespace frisket::http {
namespace {

using config::Right;

constexpr std::string_view kChallenge = "Bearer realm=\"frisket\"";

std::string quoted(std::string_view name, std::string_view value) {
  return ", " + std::string(name) + "=\"" + std::string(value) + '"';
}

// RFC 6750 section 2.1: b64token.
bool is_token_text(std::string_view text) {
  const auto body = text.substr(0, text.find('='));
  const auto padding = text.substr(body.size());
  const auto fits = [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
           std::string_view("-._~+/").find(c) != std::string_view::npos;
  };
  return !body.empty() && std::ranges::all_of(body, fits) &&
         std::ranges::all_of(padding, [](char c) { return c == '='; });
}

// What the fields show of a token.
struct Shown {
  bool nonsense = false;
  std::optional<std::string_view> token;  // nothing: none; another scheme than Bearer is not for us
};

Shown shown_in(std::span<const std::string> fields) {
  if (fields.empty()) return {};
  if (fields.size() > 1) return {true, {}};
  const std::string_view field = fields.front();
  const auto scheme = field.substr(0, field.find(' '));
  if (model::in_lower_case(scheme) != "bearer") return {};
  auto text = field.substr(scheme.size());
  text.remove_prefix(std::min(text.find_first_not_of(' '), text.size()));
  if (!is_token_text(text)) return {true, {}};
  return {false, text};
}

// Looks at every token, and as long at each, so that the time taken tells nothing.
const config::Token* find(const std::vector<config::Token>& tokens, std::string_view text) {
  const auto hash = hash_of(text);
  const config::Token* found = nullptr;
  for (const auto& token : tokens)
    if (CRYPTO_memcmp(token.hash.data(), hash.data(), hash.size()) == 0) found = &token;
  return found;
}

std::string a_token_for(Right needed) { return "a token with the right " + std::string(to_text(needed)); }

Refusal nonsense() {
  return {400, "the request must have one Authorization field, with one token",
          std::string(kChallenge) + quoted("error", "invalid_request"), std::string(config::kNobodyName)};
}

Refusal missing(Right needed) {
  return {401, "this needs " + a_token_for(needed), std::string(kChallenge) + quoted("scope", to_text(needed)),
          std::string(config::kNobodyName)};
}

Refusal unknown(Right needed) {
  return {401, "the token is not known here; this needs " + a_token_for(needed),
          std::string(kChallenge) + quoted("error", "invalid_token"), std::string(config::kNobodyName)};
}

Refusal too_little(const config::Token& token, Right needed) {
  return {403,
          "the token " + token.name + " has the right " + std::string(to_text(token.right)) + "; this needs " +
              std::string(to_text(needed)),
          std::string(kChallenge) + quoted("error", "insufficient_scope") + quoted("scope", to_text(needed)),
          token.name};
}

}  // namespace

std::string Origin::text() const {
  if (!unix_socket) return address;
  return "unix:" + (uid ? std::to_string(*uid) : "?");
}

Decision decide(const Origin& origin, Right needed, std::span<const std::string> authorization, const Tokens& tokens) {
  if (origin.unix_socket) return Access{origin.text(), Right::administer, origin.text()};
  if (!tokens) {
    if (!origin.loopback) return missing(needed);
    return Access{std::string(config::kLoopbackName), Right::administer, origin.text()};
  }
  const auto shown = shown_in(authorization);
  if (shown.nonsense) return nonsense();
  if (shown.token) {
    const auto* token = find(*tokens, *shown.token);
    if (token == nullptr) return unknown(needed);
    if (token->right < needed) return too_little(*token, needed);
    return Access{token->name, token->right, origin.text()};
  }
  if (!origin.loopback || needed > Right::read) return missing(needed);
  return Access{std::string(config::kLoopbackName), Right::read, origin.text()};
}

}  // namespace frisket::http
