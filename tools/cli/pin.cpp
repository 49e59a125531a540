#include "tools/cli/pin.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <termios.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <string_view>

#include "tools/cli/files.h"

namespace crimpgate::cli {

namespace {

// Gives the terminal its echo back, whatever happens.
class WithoutEcho {
  public:
    explicit WithoutEcho(int fd) : fd_(fd) {
        if (tcgetattr(fd_, &before_) != 0) return;
        termios quiet = before_;
        quiet.c_lflag &= ~static_cast<tcflag_t>(ECHO);
        quiet.c_lflag |= ICANON;
        set_ = tcsetattr(fd_, TCSAFLUSH, &quiet) == 0;
    }
    ~WithoutEcho() {
        if (set_) tcsetattr(fd_, TCSAFLUSH, &before_);
    }
    WithoutEcho(const WithoutEcho&) = delete;
    WithoutEcho& operator=(const WithoutEcho&) = delete;
    bool set() const { return set_; }

  private:
    int fd_;
    termios before_{};
    bool set_ = false;
};

void tell(int fd, std::string_view text) {
    while (!text.empty()) {
        const auto n = ::write(fd, text.data(), text.size());
        if (n <= 0) return;
        text.remove_prefix(static_cast<std::size_t>(n));
    }
}

}  // namespace

Result<std::string> pin_from_file(const std::string& file) {
    struct stat about {};
    if (::stat(file.c_str(), &about) == 0 && (about.st_mode & (S_IRGRP | S_IROTH)) != 0)
        return refuse(message("cli.pin_file_open_to_all").with("file", file));
    auto text = read_file(file);
    if (!text) return refuse(text.error());
    return text->substr(0, text->find_first_of("\r\n"));
}

Result<std::string> pin_from_terminal(const std::string& person) {
    const int fd = ::open("/dev/tty", O_RDWR | O_CLOEXEC | O_NOCTTY);
    if (fd < 0) return refuse(message("cli.no_terminal").with("reason", std::strerror(errno)));
    std::string pin;
    bool ended = false;
    {
        const WithoutEcho quiet(fd);
        if (quiet.set()) {
            tell(fd, "PIN or passphrase of " + person + ": ");
            for (char c = 0; pin.size() < 1024;) {
                const auto n = ::read(fd, &c, 1);
                if (n < 0 && errno == EINTR) continue;
                ended = n == 1 && c == '\n';
                if (n != 1 || ended) break;
                pin += c;
            }
            tell(fd, "\n");
        }
    }
    ::close(fd);
    if (!ended) return refuse(message("cli.no_terminal").with("reason", "nothing was typed"));
    return pin;
}

}  // namespace crimpgate::cli
