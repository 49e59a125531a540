#include "tools/cli/secret_file.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

#include "tools/cli/files.h"

namespace crimpgate::cli {

Result<void> write_secret(const std::string& file, std::string_view text) {
    const int fd = ::open(file.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, 0600);
    if (fd < 0) {
        if (errno == EEXIST) return refuse(message("secret.exists").with("file", file));
        return refuse(message("cli.not_written").with("file", file).with("reason", std::strerror(errno)));
    }
    int trouble = 0;
    while (trouble == 0 && !text.empty()) {
        const auto n = ::write(fd, text.data(), text.size());
        if (n >= 0)
            text.remove_prefix(static_cast<std::size_t>(n));
        else if (errno != EINTR)
            trouble = errno;
    }
    if (trouble == 0 && ::fsync(fd) != 0) trouble = errno;
    if (::close(fd) != 0 && trouble == 0) trouble = errno;
    if (trouble == 0) return {};
    ::unlink(file.c_str());
    return refuse(message("cli.not_written").with("file", file).with("reason", std::strerror(trouble)));
}

Result<std::string> read_secret(const std::string& file) {
    struct stat about = {};
    if (::stat(file.c_str(), &about) == 0 && (about.st_mode & 077) != 0) {
        std::string mode;
        for (int shift = 6; shift >= 0; shift -= 3)
            mode += static_cast<char>('0' + (about.st_mode >> shift & 7));
        return refuse(message("secret.open_to_all").with("file", file).with("mode", mode));
    }
    return read_file(file);
}

}  // namespace crimpgate::cli
