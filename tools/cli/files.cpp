#include "tools/cli/files.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstdio>
#include <cstring>

namespace crimpgate::cli {

namespace {

constexpr std::size_t largest = 64u << 20;

Message no_file(const std::string& file, const char* reason) {
    return message("cli.no_file").with("file", file).with("reason", reason);
}

}  // namespace

Result<std::string> read_file(const std::string& file) {
    const int fd = ::open(file.c_str(), O_RDONLY | O_CLOEXEC);
    if (fd < 0) return refuse(no_file(file, std::strerror(errno)));
    std::string text;
    std::array<char, 65536> piece{};
    const char* trouble = nullptr;
    while (trouble == nullptr) {
        const auto n = ::read(fd, piece.data(), piece.size());
        if (n == 0) break;
        if (n > 0)
            text.append(piece.data(), static_cast<std::size_t>(n));
        else if (errno != EINTR)
            trouble = std::strerror(errno);
        if (text.size() > largest) trouble = "it is larger than 64 MiB";
    }
    ::close(fd);
    if (trouble != nullptr) return refuse(no_file(file, trouble));
    return text;
}

Result<void> write_file(const std::string& file, std::string_view bytes) {
    const std::string new_file = file + ".new";
    const auto failed = [&file](int error) {
        return refuse(message("cli.not_written").with("file", file).with("reason", std::strerror(error)));
    };
    const int fd = ::open(new_file.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0644);
    if (fd < 0) return failed(errno);
    int trouble = 0;
    while (trouble == 0 && !bytes.empty()) {
        const auto n = ::write(fd, bytes.data(), bytes.size());
        if (n >= 0)
            bytes.remove_prefix(static_cast<std::size_t>(n));
        else if (errno != EINTR)
            trouble = errno;
    }
    if (trouble == 0 && ::fsync(fd) != 0) trouble = errno;
    if (::close(fd) != 0 && trouble == 0) trouble = errno;
    if (trouble == 0 && ::rename(new_file.c_str(), file.c_str()) != 0) trouble = errno;
    if (trouble == 0) return {};
    ::unlink(new_file.c_str());
    return failed(trouble);
}

}  // namespace crimpgate::cli
