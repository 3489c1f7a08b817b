// SNMPv3 by another hand: OpenSSL and the simulated fleet's BER, after the standards.
//
// Shares no line with the codec under test: RFC 3412 section 6 (message), RFC 3414 (security parameters,
// keys, DES), RFC 3826 (AES), RFC 7860 (SHA-2), draft-blumenthal-aes-usm-04 (AES-192 and AES-256).
#pragma once

#include <openssl/evp.h>
#include <openssl/hmac.h>

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "config/config.h"
#include "scripted_agent.h"

namespace frisket::testing {

struct Hash {
  const EVP_MD* digest;
  std::size_t tag;  // octets of the HMAC that are sent: RFC 3414 section 6.3.1, RFC 7860 section 4.2.1
};

inline Hash hash_of(config::Authentication authentication) {
  using config::Authentication;
  switch (authentication) {
    case Authentication::md5:
      return {EVP_md5(), 12};
    case Authentication::sha:
      return {EVP_sha1(), 12};
    case Authentication::sha_224:
      return {EVP_sha224(), 16};
    case Authentication::sha_256:
      return {EVP_sha256(), 24};
    case Authentication::sha_384:
      return {EVP_sha384(), 32};
    default:
      return {EVP_sha512(), 48};
  }
}

inline std::string hash(const EVP_MD* digest, std::string_view text) {
  std::array<unsigned char, EVP_MAX_MD_SIZE> out{};
  unsigned length = 0;
  EVP_Digest(text.data(), text.size(), out.data(), &length, digest, nullptr);
  return {reinterpret_cast<const char*>(out.data()), length};
}

// RFC 3414 section 2.6: a megabyte of the password, hashed; then hashed with the engine's id in between.
inline std::string key_for(config::Authentication authentication, std::string_view password, std::string_view engine) {
  std::string megabyte;
  while (megabyte.size() < 1048576) megabyte += password;
  megabyte.resize(1048576);
  const auto* digest = hash_of(authentication).digest;
  const auto master = hash(digest, megabyte);
  return hash(digest, master + std::string(engine) + master);
}

inline std::string cipher_key(config::Authentication authentication, config::Privacy privacy, std::string_view password,
                              std::string_view engine) {
  using config::Privacy;
  auto key = key_for(authentication, password, engine);
  const std::size_t wanted = privacy == Privacy::aes_256 ? 32 : privacy == Privacy::aes_192 ? 24 : 16;
  while (key.size() < wanted) key += hash(hash_of(authentication).digest, key);
  return key.substr(0, wanted);
}

inline std::string big_endian(std::uint32_t value) {
  std::string out;
  for (const unsigned shift : {24U, 16U, 8U, 0U}) out += static_cast<char>(value >> shift & 0xffU);
  return out;
}

inline std::string run_cipher(config::Privacy privacy, std::string key, std::string_view salt, std::uint32_t boots,
                              std::uint32_t time, std::string text, bool encrypt) {
  using config::Privacy;
  const EVP_CIPHER* cipher = nullptr;
  std::string start;
  if (privacy == Privacy::des) {
    // Single DES is triple DES with one key three times; the library's own is not there by default.
    for (std::size_t i = 0; i < 8; ++i) start += static_cast<char>(key[8 + i] ^ salt[i]);
    key = key.substr(0, 8);
    key = key + key + key;
    cipher = EVP_des_ede3_cbc();
    while (text.size() % 8 != 0) text += '\0';
  } else {
    start = big_endian(boots) + big_endian(time) + std::string(salt);
    cipher = privacy == Privacy::aes_256   ? EVP_aes_256_cfb128()
             : privacy == Privacy::aes_192 ? EVP_aes_192_cfb128()
                                           : EVP_aes_128_cfb128();
  }
  auto* context = EVP_CIPHER_CTX_new();
  const auto* octets = reinterpret_cast<const unsigned char*>(text.data());
  std::string out(text.size() + 32, '\0');
  auto* into = reinterpret_cast<unsigned char*>(out.data());
  int first = 0;
  int last = 0;
  EVP_CipherInit_ex(context, cipher, nullptr, reinterpret_cast<const unsigned char*>(key.data()),
                    reinterpret_cast<const unsigned char*>(start.data()), encrypt ? 1 : 0);
  EVP_CIPHER_CTX_set_padding(context, 0);
  EVP_CipherUpdate(context, into, &first, octets, static_cast<int>(text.size()));
  EVP_CipherFinal_ex(context, into + first, &last);
  EVP_CIPHER_CTX_free(context);
  out.resize(static_cast<std::size_t>(first + last));
  return out;
}

// One message, open.
struct UsmMessage {
  std::int64_t id = 0;
  unsigned flags = 0;  // 1 digest, 2 encrypted, 4 may be answered by a report
  std::string engine_id;
  std::uint32_t boots = 0;
  std::uint32_t time = 0;
  std::string user;
  bool digest_right = false;
  // The scoped PDU.
  std::string context_engine_id;
  std::string context;
  std::uint8_t pdu = 0;
  std::int64_t request_id = 0;
  std::int64_t errors[2] = {0, 0};  // or non-repeaters and max-repetitions
  std::string variables;            // the body of the list

  std::vector<snmp::Oid> names() const {
    std::vector<snmp::Oid> found;
    simfleet::ber::Reader list(variables);
    while (const auto binding = list.next(simfleet::ber::sequence)) {
      simfleet::Oid name;
      simfleet::ber::decode_oid(simfleet::ber::Reader(binding->body).next()->body, name);
      found.emplace_back(snmp::OidView(name));
    }
    return found;
  }
};

inline std::string hmac(config::Authentication authentication, std::string_view key, std::string_view text) {
  std::array<unsigned char, EVP_MAX_MD_SIZE> out{};
  unsigned length = 0;
  HMAC(hash_of(authentication).digest, key.data(), static_cast<int>(key.size()),
       reinterpret_cast<const unsigned char*>(text.data()), text.size(), out.data(), &length);
  return {reinterpret_cast<const char*>(out.data()), hash_of(authentication).tag};
}

inline bool read_scoped(std::string_view octets, UsmMessage& message) {
  namespace ber = simfleet::ber;
  const auto scoped = ber::Reader(octets).next(ber::sequence);
  if (!scoped) return false;
  ber::Reader fields(scoped->body);
  const auto engine = fields.next(ber::octet_string);
  const auto context = fields.next(ber::octet_string);
  const auto pdu = fields.next();
  if (!engine || !context || !pdu) return false;
  message.context_engine_id = engine->body;
  message.context = context->body;
  message.pdu = pdu->tag;
  ber::Reader body(pdu->body);
  const auto id = body.next(ber::integer);
  const auto first = body.next(ber::integer);
  const auto second = body.next(ber::integer);
  const auto variables = body.next(ber::sequence);
  if (!id || !first || !second || !variables) return false;
  message.request_id = ber::decode_integer(id->body).value_or(-1);
  message.errors[0] = ber::decode_integer(first->body).value_or(-1);
  message.errors[1] = ber::decode_integer(second->body).value_or(-1);
  message.variables = variables->body;
  return true;
}

// `user` as the one who reads has it; nothing for what is no message, or is not encrypted for him.
inline std::optional<UsmMessage> open_message(std::string datagram, const config::User& user) {
  namespace ber = simfleet::ber;
  const auto whole = ber::Reader(datagram).next(ber::sequence);
  if (!whole) return std::nullopt;
  ber::Reader outer(whole->body);
  outer.next(ber::integer);
  const auto global = outer.next(ber::sequence);
  const auto security = outer.next(ber::octet_string);
  if (!global || !security) return std::nullopt;
  UsmMessage message;
  ber::Reader header(global->body);
  message.id = ber::decode_integer(header.next(ber::integer)->body).value_or(-1);
  header.next(ber::integer);
  message.flags = static_cast<unsigned char>(header.next(ber::octet_string)->body.at(0));
  ber::Reader parameters(ber::Reader(security->body).next(ber::sequence)->body);
  message.engine_id = parameters.next(ber::octet_string)->body;
  message.boots = static_cast<std::uint32_t>(ber::decode_integer(parameters.next(ber::integer)->body).value_or(0));
  message.time = static_cast<std::uint32_t>(ber::decode_integer(parameters.next(ber::integer)->body).value_or(0));
  message.user = parameters.next(ber::octet_string)->body;
  const auto digest = parameters.next(ber::octet_string)->body;
  const auto salt = parameters.next(ber::octet_string)->body;
  std::string scoped(outer.rest());
  if ((message.flags & 1U) != 0) {
    const std::string said(digest);
    std::string blank = datagram;
    blank.replace(static_cast<std::size_t>(digest.data() - datagram.data()), digest.size(), digest.size(), '\0');
    message.digest_right =
        said ==
        hmac(user.authentication, key_for(user.authentication, user.authentication_password, message.engine_id), blank);
  }
  if ((message.flags & 2U) != 0) {
    const auto encrypted = ber::Reader(scoped).next(ber::octet_string);
    if (!encrypted) return std::nullopt;
    const auto key = cipher_key(user.authentication, user.privacy, user.privacy_password, message.engine_id);
    scoped = run_cipher(user.privacy, key, salt, message.boots, message.time, std::string(encrypted->body), false);
  }
  if (!read_scoped(scoped, message)) return std::nullopt;
  return message;
}

inline std::string seal_message(const UsmMessage& message, const config::User& user) {
  namespace ber = simfleet::ber;
  std::string pdu;
  ber::append_integer(pdu, message.request_id);
  ber::append_integer(pdu, message.errors[0]);
  ber::append_integer(pdu, message.errors[1]);
  ber::append_octets(pdu, message.variables, ber::sequence);
  std::string fields;
  ber::append_octets(fields, message.context_engine_id);
  ber::append_octets(fields, message.context);
  ber::append_octets(fields, pdu, message.pdu);
  std::string scoped;
  ber::append_octets(scoped, fields, ber::sequence);
  std::string salt;
  if ((message.flags & 2U) != 0) {
    salt = big_endian(message.boots) + big_endian(static_cast<std::uint32_t>(message.id));
    const auto key = cipher_key(user.authentication, user.privacy, user.privacy_password, message.engine_id);
    const auto encrypted = run_cipher(user.privacy, key, salt, message.boots, message.time, scoped, true);
    scoped.clear();
    ber::append_octets(scoped, encrypted);
  }
  const auto whole = [&](const std::string& digest) {
    std::string parameters;
    ber::append_octets(parameters, message.engine_id);
    ber::append_integer(parameters, message.boots);
    ber::append_integer(parameters, message.time);
    ber::append_octets(parameters, message.user);
    ber::append_octets(parameters, digest);
    ber::append_octets(parameters, salt);
    std::string security;
    ber::append_octets(security, parameters, ber::sequence);
    std::string header;
    ber::append_integer(header, message.id);
    ber::append_integer(header, 65507);
    ber::append_octets(header, std::string(1, static_cast<char>(message.flags)));
    ber::append_integer(header, 3);
    std::string body;
    ber::append_integer(body, 3);
    ber::append_octets(body, header, ber::sequence);
    ber::append_octets(body, security);
    body += scoped;
    std::string datagram;
    ber::append_octets(datagram, body, ber::sequence);
    return datagram;
  };
  if ((message.flags & 1U) == 0) return whole("");
  const auto key = key_for(user.authentication, user.authentication_password, message.engine_id);
  return whole(hmac(user.authentication, key, whole(std::string(hash_of(user.authentication).tag, '\0'))));
}

}  // namespace frisket::testing
