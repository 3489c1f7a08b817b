// The file of tokens: what a line says, and everything that can be wrong with the file.
#include "config/token.h"

#include <sys/stat.h>

#include "fixture.h"

namespace frisket::config {
namespace {

using Catch::Matchers::Contains;

// SHA-256 of nothing and of "abc": FIPS 180-4's examples.
const std::string kNothing = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855";
const std::string kAbc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";

// "2: found ..." of the only trouble; "" if there is none.
std::string trouble(const std::string& text) {
  const auto troubles = parse_tokens(text).troubles;
  if (troubles.empty()) return {};
  REQUIRE(troubles.size() == 1);
  return std::to_string(troubles[0].line) + ": " + troubles[0].what;
}

TEST_CASE("a line of the file is a name, a right and a hash, and comments and blanks say nothing") {
  const auto lines = parse_tokens("# who may do what\r\n\r\n  \t# none\ndesk operate " + kAbc +
                                  " # the desk's\n\tit\tadminister   " + kNothing + "\r\n");
  CHECK(lines.troubles.empty());
  REQUIRE(lines.tokens.size() == 2);
  CHECK(lines.tokens[0].name == "desk");
  CHECK(lines.tokens[0].right == Right::operate);
  CHECK(lines.tokens[0].hash.front() == 0xba);
  CHECK(lines.tokens[0].hash.back() == 0xad);
  CHECK(lines.tokens[1].name == "it");
  CHECK(lines.tokens[1].right == Right::administer);
  CHECK(parse_tokens("").tokens.empty());
}

TEST_CASE("a token's line is read as it was written") {
  for (const auto right : {Right::read, Right::operate, Right::administer}) {
    Token token{"desk.2-b_c", right, {}};
    for (std::size_t i = 0; i < token.hash.size(); ++i) token.hash[i] = static_cast<std::uint8_t>(7 * i + 3);
    const auto lines = parse_tokens(token_line(token));
    CHECK(lines.tokens == std::vector{token});
    CHECK(lines.troubles.empty());
  }
}

TEST_CASE("what is wrong with a line is said with its number and with what is allowed") {
  const std::string well = "it administer " + kNothing + "\n";
  CHECK(trouble(well + "desk\n") == "2: found 1 word, allowed: a name, a right and a SHA-256");
  CHECK(trouble(well + "\ndesk operate " + kAbc + " x\n") ==
        "3: found 4 words, allowed: a name, a right and a SHA-256");
  CHECK(trouble("d/sk operate " + kAbc) ==
        "1: found the name \"d/sk\", allowed: 1 to 64 letters, digits, '.', '-' and '_', but not \"loopback\" or "
        "\"nobody\"");
  CHECK_THAT(trouble("loopback operate " + kAbc), Contains("found the name \"loopback\""));
  CHECK_THAT(trouble("nobody operate " + kAbc), Contains("found the name \"nobody\""));
  CHECK(trouble("desk opperate " + kAbc) ==
        "1: found the right \"opperate\", allowed: \"read\", \"operate\" or \"administer\"; did you mean \"operate\"?");
  CHECK_THAT(trouble("desk Operate " + kAbc), Contains("found the right \"Operate\""));
  CHECK(trouble("desk operate " + kAbc.substr(1)) ==
        "1: found a hash of 63 characters that is not shown, allowed: a SHA-256 as 64 hexadecimal digits");
  CHECK_THAT(trouble("desk operate g" + kAbc.substr(1)), Contains("found a hash of 64 characters"));
  CHECK(trouble(well + "it read " + kAbc) ==
        "2: found the name \"it\", allowed: a name of its own; line 1 has it already");
  CHECK(trouble(well + "desk read " + kNothing) ==
        "2: found the hash of line 1, allowed: a token of its own for each name");
}

TEST_CASE("hashes may be written in capitals") {
  std::string capitals = kAbc;
  for (auto& c : capitals)
    if (c >= 'a') c = static_cast<char>(c - 'a' + 'A');
  CHECK(parse_tokens("a read " + capitals).tokens == parse_tokens("a read " + kAbc).tokens);
}

TEST_CASE("no message shows what may be a token that was put in the wrong place") {
  const std::string token = "q7Jm0cVh3mXnY8s9D2fLk5RtW1zBpGa6UeHvQoIxTyE";
  for (const auto& text : {token, token + " desk operate", "desk " + token + " operate", "desk operate " + token,
                           "/" + token + " operate " + kAbc}) {
    const auto said = trouble(text);
    CHECK_FALSE(said.empty());
    CHECK(said.find(token.substr(0, 12)) == std::string::npos);
  }
}

std::string with_tokens(const std::string& file) { return "[daemon]\ntokens = \"" + file + "\"\n"; }

TEST_CASE("the file of tokens is found from the configuration's folder, and everything wrong with it is a finding") {
  const Garden garden;
  garden.folder.write("tokens", "desk operate " + kAbc + "\n");
  const auto loaded = garden.load_with_all_said(with_tokens("tokens"));
  CHECK(loaded.findings.empty());
  REQUIRE(loaded.config.tokens);
  CHECK(loaded.config.tokens->size() == 1);

  garden.folder.write("tokens", "desk\nit operate " + kAbc + "\nit read " + kNothing + "\n");
  CHECK(
      garden.findings(with_tokens("tokens")) ==
      std::vector<std::string>{"2:10: error: daemon.tokens: \"tokens\" line 1: found 1 word, allowed: a name, a right "
                               "and a SHA-256",
                               "2:10: error: daemon.tokens: \"tokens\" line 3: found the name \"it\", allowed: a name "
                               "of its own; line 2 has it already"});
}

TEST_CASE("a file of tokens that is missing, odd, too large or open to all is refused") {
  const Garden garden;
  REQUIRE(::mkfifo((garden.folder.path() / "fifo").c_str(), 0600) == 0);
  CHECK(garden.finding(with_tokens("missing")) ==
        "2:10: error: daemon.tokens: found \"missing\" (No such file or directory), allowed: a regular file of at most "
        "65536 bytes that can be read");
  CHECK_THAT(garden.finding(with_tokens("fifo")), Contains("(not a regular file)"));
  garden.folder.write("large", std::string(65537, '#'));
  CHECK_THAT(garden.finding(with_tokens("large")), Contains("(larger than 65536 bytes)"));
  garden.folder.write("open", "desk operate " + kAbc + "\n", 0646);
  CHECK(garden.finding(with_tokens("open")) ==
        "2:10: error: daemon.tokens: found \"open\", which everybody on this machine may change, allowed: a file that "
        "others may not write; chmod o-w ends that");
  garden.folder.write("readable", "desk operate " + kAbc + "\n", 0644);  // hashes help nobody
  CHECK(garden.findings(with_tokens("readable")).empty());
  CHECK_THAT(garden.finding("[daemon]\ntokens = 7\n"), Contains("error: daemon.tokens: found 7"));
  CHECK_THAT(garden.finding("[daemon]\ntokens = \"\"\n"), Contains("error: daemon.tokens: found \"\""));
}

TEST_CASE("a file without a token is a warning, since nobody may then change anything over TCP") {
  const Garden garden;
  garden.folder.write("tokens", "# none yet\n");
  const auto loaded = garden.load(with_tokens("tokens"));
  REQUIRE(loaded.findings.size() == 1);
  CHECK_THAT(loaded.findings[0].text(), Contains("2:10: warning: daemon.tokens: \"tokens\" has no token"));
  REQUIRE(loaded.config.tokens);
  CHECK(loaded.config.tokens->empty());
}

TEST_CASE("a configuration without a file of tokens is told, once, that everybody here may operate") {
  const Garden garden;
  for (const auto* text : {"", "[daemon]\nlog_level = \"info\"\n"}) {
    const auto findings = garden.load_with_all_said(text).findings;
    REQUIRE(findings.size() == 1);
    CHECK(findings[0].gravity == Finding::Gravity::warning);
    CHECK_THAT(findings[0].text(), Contains(kNoTokens));
  }
}

TEST_CASE("with tokens a listener may be beyond loopback, and is told that it has no TLS") {
  const Garden garden;
  garden.folder.write("tokens", "desk operate " + kAbc + "\n");
  for (const auto* listen : {"192.0.2.1:9640", "0.0.0.0:9640", "[::]:9640"})
    CHECK(
        garden.finding("[daemon]\nlisten = \"" + std::string(listen) + "\"\ntokens = \"tokens\"\n") ==
        "2:10: warning: daemon.listen: reached from beyond this machine without TLS: tokens and all that is read "
        "travel "
        "in clear; certificate_file and key_file end that, or let it listen on loopback, behind a proxy that has TLS");
  CHECK(garden.findings("[daemon]\nlisten = \"127.8.0.1:80\"\ntokens = \"tokens\"\n").empty());
  // A file that is wrong is one mistake, not two.
  CHECK(garden.findings("[daemon]\nlisten = \"0.0.0.0:9640\"\ntokens = \"missing\"\n").size() == 2);
}

}  // namespace
}  // namespace frisket::config
