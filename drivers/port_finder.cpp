#include "drivers/port_finder.h"

#include <sys/stat.h>
#include <sys/sysmacros.h>

#include <algorithm>
#include <map>

namespace crimpgate {

namespace fs = std::filesystem;

namespace {

// device -> its links in one of the two folders, sorted, so that the choice does not depend on the folder's order.
std::map<std::string, std::vector<std::string>> links_in(const fs::path& folder) {
    std::map<std::string, std::vector<std::string>> found;
    std::error_code ec;
    for (fs::directory_iterator it(folder, ec), end; !ec && it != end; it.increment(ec)) {
        if (!it->is_symlink(ec)) continue;
        const fs::path device = fs::canonical(it->path(), ec);
        if (ec) {  // a link left over from a port that is gone
            ec.clear();
            continue;
        }
        found[device.string()].push_back(it->path().string());
    }
    for (auto& [device, links] : found)
        std::sort(links.begin(), links.end(), [](const std::string& a, const std::string& b) {
            return a.size() != b.size() ? a.size() < b.size()
                                        : a < b;  // "usb-" before "usbv2-": older udev has only it
        });
    return found;
}

bool is_usb(const FoundPort& port) {
    return port.by_path.find("-usb") != std::string::npos;
}

}  // namespace

std::vector<FoundPort> find_ports(const fs::path& dev) {
    std::map<std::string, FoundPort> ports;
    for (const auto& [device, links] : links_in(dev / "serial/by-id"))
        ports[device].by_id = links.front();
    for (const auto& [device, links] : links_in(dev / "serial/by-path"))
        ports[device].by_path = links.front();

    // A USB port without a by-id name has lost it to a twin, which may be any of the others.
    const bool id_contested = std::any_of(ports.begin(), ports.end(),
                                          [](const auto& p) { return is_usb(p.second) && p.second.by_id.empty(); });

    std::vector<FoundPort> list;
    for (auto& [device, port] : ports) {
        port.device = device;
        const bool use_id = !port.by_id.empty() && (!id_contested || port.by_path.empty());
        port.key = use_id ? port.by_id : port.by_path;
        if (use_id)
            port.advice = message("port.name_follows_adapter");
        else if (is_usb(port))
            port.advice = message("port.name_follows_socket_twins");
        else
            port.advice = message("port.name_follows_socket");
        port.advice.with("name", port.key).with("device", device);
        list.push_back(port);
    }
    return list;
}

std::optional<Message> doubt_about_name(const std::string& path, const std::vector<FoundPort>& ports) {
    for (const FoundPort& port : ports) {
        if (path == port.key) return std::nullopt;
        if (path == port.by_id) return message("port.name_shared_by_twins").with("name", path).with("better", port.key);
        if (path == port.by_path) return std::nullopt;
        if (path == port.device) return message("port.name_may_change").with("name", path).with("better", port.key);
    }
    return std::nullopt;
}

Result<void> only_a_port(const std::string& path) {
    struct stat st {};
    if (stat(path.c_str(), &st) != 0) return {};
    const auto refused = refuse(message("port.not_a_port").with("path", path));
    if (!S_ISCHR(st.st_mode)) return refused;
    const auto major_number = major(st.st_rdev);
    if (major_number >= 136 && major_number <= 143) return {};  // UNIX98 pseudo-terminals (Linux's devices.txt)
    const auto device = std::to_string(major_number) + ":" + std::to_string(minor(st.st_rdev));
    std::error_code ec;
    const auto kind = fs::canonical("/sys/dev/char/" + device + "/subsystem", ec);
    if (ec || kind.filename() != "tty") return refused;
    return {};
}

bool same_port(const std::string& a, const std::string& b) {
    if (a == b) return true;
    std::error_code no_a, no_b;
    const auto one = fs::canonical(a, no_a), other = fs::canonical(b, no_b);
    return !no_a && !no_b && one == other;
}

}  // namespace crimpgate
