// Who may do what: the rules as a table. The syntax of Authorization is RFC 6750 section 2.1 (b64token) and RFC 9110
// section 11 (schemes in any case); the challenges are RFC 6750 section 3.
#include "daemon/http/access.h"

#include <catch2/catch.hpp>

#include "daemon/http/token_text.h"

using namespace frisket;
using namespace frisket::http;
using config::Right;

namespace {

const std::string kRead = "reader-reader-reader-reader-reader-reader-1";
const std::string kOperate = "operate-operate-operate-operate-operate-op2";
const std::string kAdminister = "administer-administer-administer-administer";

Tokens three() {
  return std::vector<config::Token>{{"desk-screen", Right::read, hash_of(kRead)},
                                    {"desk", Right::operate, hash_of(kOperate)},
                                    {"it", Right::administer, hash_of(kAdminister)}};
}

Origin unix_socket() { return {.unix_socket = true, .uid = 1000, .address = "", .loopback = true}; }
Origin here() { return {}; }
Origin elsewhere() { return {.unix_socket = false, .uid = {}, .address = "192.0.2.7", .loopback = false}; }
// This machine, but at a listener that others reach too: a proxy may stand between.
Origin here_by_open_listener() { return {.unix_socket = false, .uid = {}, .address = "127.0.0.1", .loopback = false}; }

// "desk operate", or "403 desk".
std::string said(const Decision& decision) {
  if (const auto* access = std::get_if<Access>(&decision))
    return access->who + ' ' + std::string(to_text(access->right));
  const auto& refusal = std::get<Refusal>(decision);
  return std::to_string(refusal.status) + ' ' + refusal.who;
}

std::string decided(const Origin& origin, Right needed, const std::string& token, const Tokens& tokens) {
  std::vector<std::string> fields;
  if (!token.empty()) fields.push_back("Bearer " + token);
  return said(decide(origin, needed, fields, tokens));
}

}  // namespace

TEST_CASE("who may do what follows from where he comes from, his token and what is configured") {
  struct Row {
    const char* name;
    Origin origin;
    bool tokens;  // a file of tokens is configured
    std::string token;
    const char* to_read;
    const char* to_operate;
    const char* to_administer;
  };
  const std::string unknown = "no-such-token";
  const char* const all_by_socket = "unix:1000 administer";
  const char* const all_by_loopback = "loopback administer";
  const Row rows[] = {
      {"UNIX socket", unix_socket(), true, "", all_by_socket, all_by_socket, all_by_socket},
      {"UNIX socket, no file", unix_socket(), false, "", all_by_socket, all_by_socket, all_by_socket},
      {"UNIX socket, wrong token", unix_socket(), true, unknown, all_by_socket, all_by_socket, all_by_socket},
      {"loopback, no file", here(), false, "", all_by_loopback, all_by_loopback, all_by_loopback},
      {"loopback, no file, a token", here(), false, kRead, all_by_loopback, all_by_loopback, all_by_loopback},
      {"loopback", here(), true, "", "loopback read", "401 nobody", "401 nobody"},
      {"loopback, wrong token", here(), true, unknown, "401 nobody", "401 nobody", "401 nobody"},
      {"loopback, reader", here(), true, kRead, "desk-screen read", "403 desk-screen", "403 desk-screen"},
      {"loopback, operator", here(), true, kOperate, "desk operate", "desk operate", "403 desk"},
      {"loopback, administrator", here(), true, kAdminister, "it administer", "it administer", "it administer"},
      {"beyond, no file", elsewhere(), false, "", "401 nobody", "401 nobody", "401 nobody"},
      {"beyond, no file, a token", elsewhere(), false, kAdminister, "401 nobody", "401 nobody", "401 nobody"},
      {"beyond", elsewhere(), true, "", "401 nobody", "401 nobody", "401 nobody"},
      {"beyond, wrong token", elsewhere(), true, unknown, "401 nobody", "401 nobody", "401 nobody"},
      {"beyond, reader", elsewhere(), true, kRead, "desk-screen read", "403 desk-screen", "403 desk-screen"},
      {"beyond, operator", elsewhere(), true, kOperate, "desk operate", "desk operate", "403 desk"},
      {"beyond, administrator", elsewhere(), true, kAdminister, "it administer", "it administer", "it administer"},
      {"open listener from here", here_by_open_listener(), true, "", "401 nobody", "401 nobody", "401 nobody"},
      {"open listener from here, no file", here_by_open_listener(), false, "", "401 nobody", "401 nobody",
       "401 nobody"},
  };
  for (const auto& row : rows) {
    CAPTURE(row.name);
    const auto tokens = row.tokens ? three() : Tokens{};
    CHECK(decided(row.origin, Right::read, row.token, tokens) == row.to_read);
    CHECK(decided(row.origin, Right::operate, row.token, tokens) == row.to_operate);
    CHECK(decided(row.origin, Right::administer, row.token, tokens) == row.to_administer);
  }
}

TEST_CASE("what the Authorization fields say is read strictly") {
  struct Row {
    std::vector<std::string> fields;
    const char* said;
  };
  const Row rows[] = {
      {{}, "401 nobody"},
      {{"Bearer " + kOperate}, "desk operate"},
      {{"bearer " + kOperate}, "desk operate"},
      {{"BEARER   " + kOperate}, "desk operate"},
      {{"Bearer " + kOperate, "Bearer " + kOperate}, "400 nobody"},
      {{"Bearer " + kOperate, "Basic eDp5"}, "400 nobody"},
      {{"Basic eDp5"}, "401 nobody"},  // another scheme shows no token
      {{"Bearers " + kOperate}, "401 nobody"},
      {{kOperate}, "401 nobody"},
      {{""}, "401 nobody"},
      {{"Bearer"}, "400 nobody"},
      {{"Bearer "}, "400 nobody"},
      {{"Bearer\t" + kOperate}, "401 nobody"},
      {{"Bearer " + kOperate + " "}, "400 nobody"},
      {{"Bearer " + kOperate + " " + kRead}, "400 nobody"},
      {{"Bearer " + kOperate + "," + kRead}, "400 nobody"},
      {{"Bearer \"" + kOperate + "\""}, "400 nobody"},
      {{"Bearer " + std::string("\xc3\xa9")}, "400 nobody"},
      {{"Bearer " + std::string("a\0b", 3)}, "400 nobody"},
      {{"Bearer ="}, "400 nobody"},
      {{"Bearer a=b"}, "400 nobody"},
      {{"Bearer " + kOperate + "="}, "401 nobody"},  // well written, and another token
      {{"Bearer " + kOperate.substr(1)}, "401 nobody"},
      {{"Bearer " + std::string(15'000, 'x')}, "401 nobody"},
  };
  for (const auto& row : rows) {
    CAPTURE(row.fields);
    CHECK(said(decide(here(), Right::operate, row.fields, three())) == row.said);
  }
}

TEST_CASE("a refusal challenges as RFC 6750 has it, says what right is needed, and never shows a token") {
  const auto refusal = [](const std::string& token, Right needed) {
    std::vector<std::string> fields;
    if (!token.empty()) fields.push_back("Bearer " + token);
    return std::get<Refusal>(decide(here(), needed, fields, three()));
  };
  CHECK(refusal("", Right::operate).challenge == R"(Bearer realm="frisket", scope="operate")");
  CHECK(refusal("", Right::operate).detail == "this needs a token with the right operate");
  const auto unknown = refusal("unknown-token", Right::administer);
  CHECK(unknown.challenge == R"(Bearer realm="frisket", error="invalid_token")");
  CHECK(unknown.detail == "the token is not known here; this needs a token with the right administer");
  const auto small = refusal(kRead, Right::operate);
  CHECK(small.challenge == R"(Bearer realm="frisket", error="insufficient_scope", scope="operate")");
  CHECK(small.detail == "the token desk-screen has the right read; this needs operate");
  CHECK(refusal("a b", Right::read).challenge == R"(Bearer realm="frisket", error="invalid_request")");
}

TEST_CASE("personal fields are for those who may operate") {
  CHECK_FALSE(Access{"loopback", Right::read, ""}.may_see_personal());
  CHECK_FALSE(Access{"loopback", Right::administer, ""}.may_see_personal());
  CHECK(Access{"desk", Right::operate, ""}.may_see_personal());
  CHECK(Access{"it", Right::administer, ""}.may_see_personal());
}

TEST_CASE("a file without tokens lets nobody change anything") {
  const Tokens none = std::vector<config::Token>{};
  CHECK(decided(here(), Right::read, "", none) == "loopback read");
  CHECK(decided(here(), Right::operate, kOperate, none) == "401 nobody");
}

TEST_CASE("a token's hash is the SHA-256 of its text") {
  // FIPS 180-4's example of "abc".
  config::Token token{"desk", Right::read, hash_of("abc")};
  CHECK(token_line(token) == "desk read ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
}

TEST_CASE("new tokens are 43 characters of base64url, and none comes twice") {
  std::vector<std::string> made;
  for (int i = 0; i < 200; ++i) {
    const auto token = new_token();
    REQUIRE(token);
    CHECK(token->size() == 43);  // 256 bits, 6 a character
    CHECK(token->find_first_not_of("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_") ==
          std::string::npos);
    CHECK(std::ranges::find(made, *token) == made.end());
    const Tokens tokens = std::vector<config::Token>{{"new", Right::read, hash_of(*token)}};
    CHECK(decided(elsewhere(), Right::read, *token, tokens) == "new read");
    made.push_back(*token);
  }
  // Every character comes up; that one does not has less than one chance in 10^50.
  std::string all;
  for (const auto& token : made) all += token;
  for (const char c : {'-', '_', 'A', 'z', '0', '9'}) CHECK(all.find(c) != std::string::npos);
}
