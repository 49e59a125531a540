#include "drivers/pty.h"

#include <fcntl.h>
#include <poll.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/stat.h>
#include <termios.h>

#include <array>
#include <cerrno>
#include <filesystem>

namespace crimpgate {

namespace fs = std::filesystem;

namespace {

Message failed(std::string_view step) {
    return message("pty.failed").with("step", step).with("reason", strerror(errno));
}

// By a temporary name and rename, so that whoever opens the link finds the old device or the new one, never none.
Result<void> put_link(const std::string& device, const std::string& link) {
    std::error_code ec;
    const auto there = fs::symlink_status(link, ec);
    if (fs::exists(there) && !fs::is_symlink(there)) return refuse(message("pty.link_taken").with("path", link));
    const std::string fresh = link + ".new";
    fs::remove(fresh, ec);
    fs::create_symlink(device, fresh, ec);
    if (!ec) fs::rename(fresh, link, ec);
    if (ec) return refuse(message("pty.link_failed").with("path", link).with("reason", ec.message()));
    return {};
}

}  // namespace

Result<Pty> Pty::open(std::string link) {
    Pty pty;
    pty.master_ = OwnedFd(posix_openpt(O_RDWR | O_NOCTTY | O_CLOEXEC | O_NONBLOCK));
    if (!pty.master_ || grantpt(pty.master()) != 0 || unlockpt(pty.master()) != 0)
        return refuse(failed("posix_openpt"));
    std::array<char, 128> name{};
    if (ptsname_r(pty.master(), name.data(), name.size()) != 0) return refuse(failed("ptsname"));
    pty.device_ = name.data();

    // Opened and closed once: only then does the master report a far side that is not open (POLLHUP).
    const OwnedFd slave(::open(pty.device_.c_str(), O_RDWR | O_NOCTTY | O_CLOEXEC));
    termios mode{};
    if (!slave || tcgetattr(slave.get(), &mode) != 0) return refuse(failed("tcgetattr"));
    cfmakeraw(&mode);
    if (tcsetattr(slave.get(), TCSANOW, &mode) != 0) return refuse(failed("tcsetattr"));

    if (!link.empty()) {
        if (auto put = put_link(pty.device_, link); !put) return refuse(put.error());
        pty.link_ = std::move(link);
    }
    return pty;
}

Pty& Pty::operator=(Pty&& other) noexcept {
    if (this != &other) {
        drop_link();
        master_ = std::move(other.master_);
        device_ = std::move(other.device_);
        link_ = std::exchange(other.link_, {});
    }
    return *this;
}

Pty::~Pty() {
    drop_link();
}

void Pty::drop_link() {
    if (!master_ || link_.empty()) return;
    std::error_code ec;
    if (fs::read_symlink(link_, ec) == device_) fs::remove(link_, ec);  // by now it may be another's
}

bool Pty::in_use() const {
    pollfd p{master(), POLLOUT, 0};
    return poll(&p, 1, 0) >= 0 && (p.revents & POLLHUP) == 0;
}

int Pty::waiting() const {
    const OwnedFd slave(::open(device_.c_str(), O_RDWR | O_NOCTTY | O_CLOEXEC | O_NONBLOCK));
    int count = 0;
    return slave && ioctl(slave.get(), FIONREAD, &count) == 0 ? count : 0;
}

bool Pty::write(std::string_view bytes) {
    while (!bytes.empty()) {
        const ssize_t n = ::write(master(), bytes.data(), bytes.size());
        if (n > 0) {
            bytes.remove_prefix(static_cast<std::size_t>(n));
        } else if (n < 0 && errno == EAGAIN) {
            pollfd p{master(), POLLOUT, 0};
            if (poll(&p, 1, 1000) <= 0) return false;
        } else if (!(n < 0 && errno == EINTR)) {
            return false;
        }
    }
    return true;
}

}  // namespace crimpgate
