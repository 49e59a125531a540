// A client that says what it likes, when it likes: for what a proper one would not do.
#pragma once

#include <arpa/inet.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <chrono>
#include <cstdint>
#include <stdexcept>
#include <string>

namespace crimpgate::test {

class RawClient {
  public:
    // From a given address of this machine (127.0.0.0/8 are all its own); a receive buffer of so many bytes, 0: as is.
    explicit RawClient(std::uint16_t port, const char* from = nullptr, int buffer = 0)
        : fd_(::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0)) {
        if (buffer > 0) ::setsockopt(fd_, SOL_SOCKET, SO_RCVBUF, &buffer, sizeof buffer);
        sockaddr_in own{}, to{};
        own.sin_family = to.sin_family = AF_INET;
        to.sin_port = htons(port);
        to.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
        if (from != nullptr) {
            ::inet_pton(AF_INET, from, &own.sin_addr);
            if (::bind(fd_, reinterpret_cast<const sockaddr*>(&own), sizeof own) != 0) fail();
        }
        if (::connect(fd_, reinterpret_cast<const sockaddr*>(&to), sizeof to) != 0) fail();
    }
    ~RawClient() { ::close(fd_); }
    RawClient(const RawClient&) = delete;
    RawClient& operator=(const RawClient&) = delete;

    // False when the other end has closed.
    bool send(const std::string& bytes) {
        std::size_t sent = 0;
        while (sent < bytes.size()) {
            const auto n = ::send(fd_, bytes.data() + sent, bytes.size() - sent, MSG_NOSIGNAL);
            if (n <= 0) return false;
            sent += static_cast<std::size_t>(n);
        }
        return true;
    }
    // Whether the other end closed within that time; takes what comes meanwhile.
    bool ended_within(std::chrono::milliseconds wait) {
        pollfd ready{fd_, POLLIN, 0};
        return ::poll(&ready, 1, static_cast<int>(wait.count())) > 0 && !take() && ended_;
    }
    // Until that text has come; false when the connection ends before.
    bool until(const std::string& text) {
        while (got_.find(text) == std::string::npos)
            if (!take()) return false;
        return true;
    }
    // Until the other end closes; false when it does not.
    bool until_end() {
        while (take()) {
        }
        return ended_;
    }
    const std::string& got() const { return got_; }

  private:
    [[noreturn]] void fail() {
        ::close(fd_);
        throw std::runtime_error("no connection");
    }
    // Waits a minute at most: nothing that works takes so long.
    bool take() {
        char piece[16384];
        pollfd ready{fd_, POLLIN, 0};
        if (::poll(&ready, 1, 60'000) <= 0) return false;
        const auto n = ::recv(fd_, piece, sizeof piece, 0);
        ended_ = n <= 0;
        if (ended_) return false;
        got_.append(piece, static_cast<std::size_t>(n));
        return true;
    }

    int fd_;
    std::string got_;
    bool ended_ = false;
};

}  // namespace crimpgate::test
