#include "tools/caliper/wire.h"

#include <arpa/inet.h>
#include <linux/sockios.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <poll.h>
#include <sys/ioctl.h>
#include <sys/socket.h>

#include <array>
#include <cerrno>
#include <system_error>

namespace crimpgate {

namespace {

Result<OwnedFd> listen_on(std::uint16_t& port) {
    OwnedFd fd(socket(AF_INET, SOCK_STREAM | SOCK_NONBLOCK | SOCK_CLOEXEC, 0));
    const int yes = 1;
    setsockopt(fd.get(), SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);  // to be plugged in again at the same port
    sockaddr_in at{};
    at.sin_family = AF_INET;
    at.sin_port = htons(port);
    at.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    socklen_t length = sizeof at;
    auto* const address = reinterpret_cast<sockaddr*>(&at);
    if (!fd || bind(fd.get(), address, sizeof at) != 0 || listen(fd.get(), 4) != 0 ||
        getsockname(fd.get(), address, &length) != 0)
        return refuse(message("caliper.port_failed")
                          .with("port", std::to_string(port))
                          .with("reason", std::generic_category().message(errno)));
    port = ntohs(at.sin_port);
    return fd;
}

}  // namespace

Result<Wire> Wire::on_pty(std::string link) {
    Wire wire;
    wire.link_ = std::move(link);
    if (auto plugged = wire.plug(); !plugged) return refuse(plugged.error());
    return wire;
}

Result<Wire> Wire::on_tcp(std::uint16_t port) {
    Wire wire;
    auto listener = listen_on(port);
    if (!listener) return refuse(listener.error());
    wire.port_ = port;
    wire.listener_ = std::move(*listener);
    return wire;
}

std::string Wire::address() const {
    if (port_ != 0) return "tcp://127.0.0.1:" + std::to_string(port_);
    return !link_.empty() || !pty_ ? link_ : pty_->device();
}

Result<void> Wire::plug() {
    if (plugged()) return {};
    if (port_ != 0) {
        auto listener = listen_on(port_);
        if (!listener) return refuse(listener.error());
        listener_ = std::move(*listener);
        return {};
    }
    auto pty = Pty::open(link_);
    if (!pty) return refuse(pty.error());
    pty_.emplace(std::move(*pty));
    return {};
}

void Wire::unplug() {
    pty_.reset();
    client_.close();
    listener_.close();
}

void Wire::accept_newest() {
    while (listener_) {
        OwnedFd next(accept4(listener_.get(), nullptr, nullptr, SOCK_NONBLOCK | SOCK_CLOEXEC));
        if (!next) break;
        const int yes = 1;
        setsockopt(next.get(), IPPROTO_TCP, TCP_NODELAY, &yes, sizeof yes);
        client_ = std::move(next);
    }
    pollfd p{client_.get(), POLLRDHUP, 0};
    if (client_ && poll(&p, 1, 0) > 0 && (p.revents & (POLLRDHUP | POLLHUP | POLLERR)) != 0) client_.close();
}

bool Wire::listened_to() {
    if (pty_) return pty_->in_use();
    accept_newest();
    return static_cast<bool>(client_);
}

int Wire::waiting() const {
    if (pty_) return pty_->waiting();
    int count = 0;
    return client_ && ioctl(client_.get(), SIOCOUTQ, &count) == 0 ? count : 0;
}

bool Wire::write(std::string_view bytes) {
    if (pty_) return pty_->write(bytes);
    accept_newest();
    while (client_ && !bytes.empty()) {
        const ssize_t n = send(client_.get(), bytes.data(), bytes.size(), MSG_NOSIGNAL);
        if (n > 0) {
            bytes.remove_prefix(static_cast<std::size_t>(n));
        } else if (n < 0 && errno == EAGAIN) {
            pollfd p{client_.get(), POLLOUT, 0};
            if (poll(&p, 1, 1000) <= 0) return false;
        } else if (!(n < 0 && errno == EINTR)) {
            client_.close();
        }
    }
    return static_cast<bool>(client_);
}

std::string Wire::read() {
    if (!pty_) accept_newest();
    const int fd = pty_ ? pty_->master() : client_.get();
    std::array<char, 512> buffer{};
    const ssize_t n = fd < 0 ? 0 : ::read(fd, buffer.data(), buffer.size());
    return n > 0 ? std::string(buffer.data(), static_cast<std::size_t>(n)) : std::string();
}

}  // namespace crimpgate
