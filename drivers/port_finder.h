// Which serial ports there are, and by which name a gauge should be configured.
//
// /dev/ttyUSB0 is a number given in the order of plugging in: after a replug the same gauge may be ttyUSB1. Linux keeps
// two stable names, /dev/serial/by-id (follows the adapter) and /dev/serial/by-path (follows the socket). Two adapters
// of one model without serial numbers claim the same by-id name and only one of them has it at a time, so by-id is
// used only where every USB port has one of its own; otherwise by-path, with the word that the gauge then belongs to
// that socket.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "specs/message.h"

namespace crimpgate {

struct FoundPort {
    std::string device;   // "/dev/ttyUSB0"
    std::string by_id;    // full path, empty when there is none
    std::string by_path;  // full path, empty when there is none
    std::string key;      // the name to configure: by_id or by_path
    Message advice;       // why that name, for the person who sets the station up
    bool operator==(const FoundPort&) const = default;
};

// All ports with a stable name, in the order of their device names. `dev` is /dev, except in tests. A machine without
// serial ports gives an empty list, not an error.
std::vector<FoundPort> find_ports(const std::filesystem::path& dev = "/dev");

// A word to the one who configured `path`: nullopt when the name is stable and its own, otherwise what may go wrong and
// which name to take instead.
std::optional<Message> doubt_about_name(const std::string& path, const std::vector<FoundPort>& ports);

// Whether opening `path` may open anything but a serial port or a pseudo-terminal: opening alone does things to some
// devices. Looks without opening; a path with nothing there is fine, since an adapter may be unplugged.
// "port.not_a_port" (path).
Result<void> only_a_port(const std::string& path);

// Two names of one port: the same text, or links to the same device.
bool same_port(const std::string& a, const std::string& b);

}  // namespace crimpgate
