#include "tests/simfleet/daemon_config.h"

#include <algorithm>
#include <fstream>
#include <sstream>

#include "tests/simfleet/toml_reader.h"

namespace frisket::simfleet {
namespace {

// A TOML basic string.
std::string quoted(const std::string& text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') out += '\\';
    out += static_cast<unsigned char>(c) < 0x20 ? ' ' : c;
  }
  return out + "\"";
}

void write_private(const std::filesystem::path& file, const std::string& text) {
  std::ofstream out(file, std::ios::binary | std::ios::trunc);
  std::filesystem::permissions(file, std::filesystem::perms::owner_read | std::filesystem::perms::owner_write);
  out << text;
  if (!out.flush()) throw FileError(file.string() + ": cannot be written");
}

std::string credential_of(const Device& device, std::vector<std::string>& communities) {
  const auto& community = device.identity().community;
  auto found = std::find(communities.begin(), communities.end(), community);
  if (found == communities.end()) found = communities.insert(communities.end(), community);
  return "sim-" + std::to_string(found - communities.begin() + 1);
}

}  // namespace

std::string daemon_config(const Fleet& fleet, std::uint16_t port, const DaemonWishes& wishes,
                          const std::string& secret_prefix, std::vector<std::string>& communities) {
  std::ostringstream devices;
  for (const auto& device : fleet.devices) {
    const auto& identity = device->identity();
    devices << "\n[[device]]\nname = " << quoted(identity.name)
            << "\naddress = " << quoted(address_text(identity.address)) << "\nport = " << port
            << "\nsite = " << quoted(identity.site) << "\nlocation = " << quoted(identity.location)
            << "\ncredentials = [" << quoted(credential_of(*device, communities))
            << "]\npoll_interval = " << quoted(wishes.poll_interval) << "\n";
  }
  std::ostringstream out;
  out << "# Written by simfleet for the fleet it serves.\n\n[daemon]\n";
  if (!wishes.listen.empty()) out << "listen = " << quoted(wishes.listen) << "\n";
  if (!wishes.state_dir.empty()) out << "state_dir = " << quoted(wishes.state_dir) << "\n";
  const auto socket = !wishes.socket.empty()      ? wishes.socket
                      : !wishes.state_dir.empty() ? (std::filesystem::path(wishes.state_dir) / "frisket.sock").string()
                                                  : std::string();
  if (!socket.empty()) out << "socket = " << quoted(socket) << "\n";
  for (const auto& site : fleet.sites) {
    out << "\n[[site]]\nname = " << quoted(site.name) << "\ntime_zone = " << quoted(site.time_zone) << "\n";
  }
  for (std::size_t i = 1; i <= communities.size(); ++i) {
    out << "\n[[credential]]\nname = \"sim-" << i
        << "\"\nversion = \"2c\"\ncommunity_file = " << quoted(secret_prefix + std::to_string(i)) << "\n";
  }
  out << devices.str();
  if (!wishes.hook_program.empty()) {
    out << "\n[[hook]]\nname = \"desk\"\ntype = \"exec\"\nprogram = " << quoted(wishes.hook_program) << "\n";
    if (!wishes.hook_kinds.empty()) {
      out << "kinds = [";
      for (std::size_t i = 0; i < wishes.hook_kinds.size(); ++i)
        out << (i == 0 ? "" : ", ") << quoted(wishes.hook_kinds[i]);
      out << "]\n";
    }
  }
  return out.str();
}

void write_daemon_config(const std::filesystem::path& file, const Fleet& fleet, std::uint16_t port,
                         const DaemonWishes& wishes) {
  std::vector<std::string> communities;
  // Relative names: the daemon takes them from the configuration's own folder.
  const std::string prefix = file.filename().string() + ".community-";
  const auto text = daemon_config(fleet, port, wishes, prefix, communities);
  for (std::size_t i = 0; i < communities.size(); ++i) {
    write_private(file.parent_path() / (prefix + std::to_string(i + 1)), communities[i] + "\n");
  }
  write_private(file, text);
}

}  // namespace frisket::simfleet
