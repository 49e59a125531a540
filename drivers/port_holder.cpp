#include "drivers/port_holder.h"

#include <sys/stat.h>
#include <sys/sysmacros.h>
#include <unistd.h>

#include <array>
#include <charconv>
#include <filesystem>
#include <fstream>
#include <string_view>
#include <vector>

namespace crimpgate {

namespace fs = std::filesystem;

namespace {

template <class T>
std::optional<T> number(std::string_view text, int base) {
    T value{};
    const auto [end, ec] = std::from_chars(text.data(), text.data() + text.size(), value, base);
    if (ec != std::errc{} || end != text.data() + text.size()) return std::nullopt;
    return value;
}

PortHolder holder(pid_t pid) {
    PortHolder found{pid, {}};
    std::ifstream comm("/proc/" + std::to_string(pid) + "/comm");
    std::getline(comm, found.program);
    return found;
}

std::vector<std::string_view> split(std::string_view text, std::string_view separators) {
    std::vector<std::string_view> parts;
    while (true) {
        const auto from = text.find_first_not_of(separators);
        if (from == std::string_view::npos) return parts;
        text.remove_prefix(from);
        const auto to = std::min(text.find_first_of(separators), text.size());
        parts.push_back(text.substr(0, to));
        text.remove_prefix(to);
    }
}

}  // namespace

std::optional<PortHolder> lock_holder(int fd) {
    struct stat st {};
    if (fstat(fd, &st) != 0) return std::nullopt;
    // proc(5), /proc/locks:   1: FLOCK ADVISORY WRITE 6901 00:1a:3 0 EOF      (pid, major:minor:inode; hex, hex,
    // decimal)
    std::ifstream locks("/proc/locks");
    for (std::string line; std::getline(locks, line);) {
        const auto words = split(line, " ");
        if (words.size() < 6 || words[1] != "FLOCK") continue;
        const auto file = split(words[5], ":");
        const auto pid = number<pid_t>(words[4], 10);
        if (file.size() != 3 || !pid) continue;
        if (number<unsigned>(file[0], 16) == major(st.st_dev) && number<unsigned>(file[1], 16) == minor(st.st_dev) &&
            number<ino_t>(file[2], 10) == st.st_ino)
            return holder(*pid);
    }
    return std::nullopt;
}

std::optional<PortHolder> open_elsewhere(const std::string& path) {
    struct stat port {};
    if (stat(path.c_str(), &port) != 0) return std::nullopt;
    std::error_code ec;
    for (fs::directory_iterator process("/proc", ec), end; !ec && process != end; process.increment(ec)) {
        const auto pid = number<pid_t>(process->path().filename().string(), 10);
        if (!pid || *pid == getpid()) continue;
        std::error_code denied;
        for (fs::directory_iterator fd(process->path() / "fd", denied); !denied && fd != end; fd.increment(denied)) {
            struct stat st {};
            if (stat(fd->path().c_str(), &st) == 0 && S_ISCHR(st.st_mode) && st.st_rdev == port.st_rdev)
                return holder(*pid);
        }
    }
    return std::nullopt;
}

}  // namespace crimpgate
