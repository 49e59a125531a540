#include "station/http/wire.h"

#include <algorithm>
#include <array>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/use_awaitable.hpp>

namespace crimpgate {

namespace asio = boost::asio;

// Lives on in the timer's handler: one that was on its way when its call ended finds another round, or no socket.
struct Wire::Alarm {
    Socket* socket = nullptr;
    std::uint64_t round = 0;
};

Wire::Wire(Socket socket)
    : socket_(std::move(socket)), timer_(socket_.get_executor()), alarm_(std::make_shared<Alarm>()) {
    alarm_->socket = &socket_;
    Error ec;
    peer_ = socket_.remote_endpoint(ec).address();
    socket_.set_option(asio::ip::tcp::no_delay(true), ec);
}

Wire::~Wire() {
    alarm_->socket = nullptr;
}

Wire::Watch::Watch(Wire& wire, Time deadline) : wire_(wire) {
    if (deadline == Time::max()) return;
    wire.timer_.expires_at(deadline);
    wire.timer_.async_wait([alarm = wire.alarm_, round = wire.alarm_->round](const Error& ec) {
        Error ignored;
        if (!ec && alarm->socket != nullptr && alarm->round == round) alarm->socket->cancel(ignored);
    });
}

Wire::Watch::~Watch() {
    ++wire_.alarm_->round;
    wire_.timer_.cancel();
}

void Wire::cancel() {
    Error ec;
    socket_.cancel(ec);
}

void Wire::close() {
    Error ec;
    socket_.close(ec);
}

Wire::Awaitable<void> Wire::drain(std::size_t most, Time deadline) {
    Error ec;
    const Watch watch(*this, deadline);
    socket_.shutdown(asio::ip::tcp::socket::shutdown_send, ec);
    std::array<char, 16384> rest;
    for (std::size_t taken = 0; !ec && taken < most;)
        taken += co_await socket_.async_read_some(asio::buffer(rest), asio::redirect_error(asio::use_awaitable, ec));
}

namespace {

class PlainWire : public Wire {
  public:
    explicit PlainWire(Socket socket) : Wire(std::move(socket)) {}

    Awaitable<void> open(Time, Error& ec) override {
        ec = {};
        co_return;
    }

    Awaitable<std::size_t> read_some(asio::mutable_buffer to, Time deadline, Error& ec) override {
        const Watch watch(*this, deadline);
        co_return co_await socket_.async_read_some(to, asio::redirect_error(asio::use_awaitable, ec));
    }

    Awaitable<void> write_all(std::string_view text, Time deadline, Error& ec) override {
        const Watch watch(*this, deadline);
        ec = {};
        while (!ec && !text.empty())
            text.remove_prefix(
                co_await socket_.async_write_some(asio::buffer(text), asio::redirect_error(asio::use_awaitable, ec)));
    }

    Awaitable<void> shutdown(Time) override {
        Error ec;
        socket_.shutdown(asio::ip::tcp::socket::shutdown_send, ec);
        co_return;
    }
};

}  // namespace

std::unique_ptr<Wire> plain_wire(Wire::Socket socket) {
    return std::make_unique<PlainWire>(std::move(socket));
}

}  // namespace crimpgate
