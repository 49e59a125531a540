#include "drivers/gauge_line.h"

#include <netinet/tcp.h>
#include <sys/socket.h>

#include <algorithm>
#include <array>
#include <optional>
#include <utility>

#include <boost/asio/buffer.hpp>
#include <boost/asio/connect.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/write.hpp>

#include "drivers/serial_port.h"

namespace crimpgate {

namespace asio = boost::asio;
using boost::system::error_code;

namespace {

// Silence and stillness are told at this pace; the decoder judges by the clock, so the pace decides nothing.
constexpr std::chrono::milliseconds tick_interval{50};

// A converter whose cable was pulled says nothing: the kernel asks it every few seconds and gives up after about ten.
void notice_silent_peers(int fd) {
    const auto set = [fd](int level, int name, int value) { setsockopt(fd, level, name, &value, sizeof value); };
    set(SOL_SOCKET, SO_KEEPALIVE, 1);
    set(IPPROTO_TCP, TCP_KEEPIDLE, 4);
    set(IPPROTO_TCP, TCP_KEEPINTVL, 2);
    set(IPPROTO_TCP, TCP_KEEPCNT, 3);
    set(IPPROTO_TCP, TCP_USER_TIMEOUT, 10'000);
    set(IPPROTO_TCP, TCP_NODELAY, 1);
}

}  // namespace

// Every handler keeps the Impl alive and carries the number of the connection that it belongs to: what comes from an
// earlier connection, or after stop(), is dropped.
class GaugeLine::Impl : public std::enable_shared_from_this<Impl> {
  public:
    Impl(asio::io_context& io, GaugeLineSettings settings, const Clock& clock, OnEvent on_event, OnState on_state)
        : settings_(std::move(settings)),
          clock_(clock),
          on_event_(std::move(on_event)),
          on_state_(std::move(on_state)),
          decoder_(settings_.profile),
          stream_(io),
          socket_(io),
          resolver_(io),
          pause_timer_(io),
          tick_timer_(io),
          poll_timer_(io),
          pause_(settings_.first_pause) {}

    void start() {
        if (running_) return;
        running_ = true;
        reported_.reset();
        pause_ = settings_.first_pause;
        asio::post(stream_.get_executor(), [self = shared_from_this(), mine = connection_] {
            if (self->running_ && mine == self->connection_) self->open();
        });
    }

    void stop() {
        running_ = false;
        up_ = false;
        close();
        decoder_.reset(clock_.now());
    }

    bool ask() {
        const auto request = decoder_.request();
        if (!up_ || !request) return false;
        if (writing_) return true;  // the one before is still on its way
        writing_ = true;
        request_ = *request;
        ++counters_.requests;
        asio::async_write(stream_, asio::buffer(request_),
                          [self = shared_from_this(), mine = connection_](error_code ec, std::size_t) {
                              if (mine != self->connection_) return;
                              self->writing_ = false;
                              if (ec) self->lost(self->failed(ec));
                          });
        return true;
    }

    void tap(OnBytes listener) { on_bytes_ = std::move(listener); }

    bool up() const { return up_; }
    const LineState& state() const { return state_; }
    const LineCounters& counters() const { return counters_; }
    const DecoderCounters& decoder_counters() const { return decoder_.counters(); }

  private:
    void open() {
        ++connection_;
        ++counters_.opens;
        if (settings_.address.path.empty()) {
            resolve();
            return;
        }
        auto port = open_serial_port(settings_.address.path, settings_.profile.line);
        if (!port) {
            lost(port.error());
            return;
        }
        is_port_ = true;
        connected(port->fd.release(), std::move(port->notes));
    }

    void resolve() {
        pause_timer_.expires_after(settings_.connect_timeout);
        pause_timer_.async_wait([self = shared_from_this(), mine = connection_](error_code ec) {
            if (!ec && mine == self->connection_) self->lost(self->unreachable("no answer"));
        });
        resolver_.async_resolve(settings_.address.host, std::to_string(settings_.address.port),
                                [self = shared_from_this(), mine = connection_](error_code ec, auto found) {
                                    if (mine != self->connection_) return;
                                    if (ec)
                                        self->lost(self->unreachable(ec.message()));
                                    else
                                        self->connect(found);
                                });
    }

    void connect(const asio::ip::tcp::resolver::results_type& found) {
        asio::async_connect(socket_, found,
                            [self = shared_from_this(), mine = connection_](error_code ec, const auto&) {
                                if (mine != self->connection_) return;
                                if (ec) {
                                    self->lost(self->unreachable(ec.message()));
                                    return;
                                }
                                self->pause_timer_.cancel();
                                notice_silent_peers(self->socket_.native_handle());
                                self->is_port_ = false;
                                self->connected(self->socket_.release(), {});
                            });
    }

    void connected(int fd, std::vector<Message> notes) {
        OwnedFd owned(fd);
        error_code ec;
        stream_.assign(owned.get(), ec);
        if (ec) {
            lost(failed(ec));
            return;
        }
        owned.release();
        up_ = true;
        writing_ = false;
        bytes_this_time_ = false;
        up_since_ns_ = clock_.mono_ns();
        ++counters_.connections;
        const auto mine = connection_;
        report({LineState::Kind::connected, message("line.connected").with("address", settings_.address.text()),
                std::move(notes), clock_.now()});
        if (mine != connection_) return;  // stopped by the callback
        read();
        tick();
        if (const auto* polled = std::get_if<Polled>(&settings_.profile.trigger); polled && polled->interval_ms > 0)
            poll(std::chrono::milliseconds(polled->interval_ms));
    }

    void read() {
        stream_.async_read_some(
            asio::buffer(buffer_), [self = shared_from_this(), mine = connection_](error_code ec, std::size_t n) {
                if (mine != self->connection_) return;
                ++self->counters_.reads;
                if (ec == asio::error::eof || (!ec && n == 0)) {
                    self->lost(message("line.closed").with("address", self->settings_.address.text()));
                    return;
                }
                if (ec) {
                    self->lost(self->failed(ec));
                    return;
                }
                const Arrival now = self->clock_.now();
                self->counters_.last_bytes = now;
                self->bytes_this_time_ = true;
                if (self->on_bytes_) self->on_bytes_({self->buffer_.data(), n}, now);
                if (self->deliver(self->decoder_.feed({self->buffer_.data(), n}, now), mine)) self->read();
            });
    }

    void tick() {
        tick_timer_.expires_after(tick_interval);
        tick_timer_.async_wait([self = shared_from_this(), mine = connection_](error_code ec) {
            if (ec || mine != self->connection_) return;
            const Arrival now = self->clock_.now();
            if (self->on_bytes_) self->on_bytes_({}, now);
            if (self->deliver(self->decoder_.tick(now), mine)) self->tick();
        });
    }

    void poll(std::chrono::milliseconds interval) {
        ask();
        poll_timer_.expires_after(interval);
        poll_timer_.async_wait([self = shared_from_this(), mine = connection_, interval](error_code ec) {
            if (!ec && mine == self->connection_) self->poll(interval);
        });
    }

    // False when a callback has stopped the line meanwhile.
    bool deliver(const std::vector<GaugeEvent>& events, std::uint64_t mine) {
        for (const GaugeEvent& event : events) {
            on_event_(event);
            if (mine != connection_) return false;
        }
        return true;
    }

    void lost(Message why) {
        const bool was_up = std::exchange(up_, false);
        close();
        const auto mine = connection_;
        const Arrival now = clock_.now();
        if (!deliver(decoder_.reset(now), mine)) return;
        report({LineState::Kind::lost, std::move(why), {}, now});
        if (mine != connection_ || !running_) return;

        // A connection that was of use starts the pauses over; one that breaks again at once does not, or a port that
        // opens and hangs up would be opened for ever at the shortest pause.
        const auto lasted = std::chrono::nanoseconds(now.mono_ns - up_since_ns_);
        if (was_up && (bytes_this_time_ || lasted >= settings_.longest_pause)) pause_ = settings_.first_pause;
        pause_timer_.expires_after(pause_);
        pause_ = std::min(pause_ * 2, settings_.longest_pause);
        pause_timer_.async_wait([self = shared_from_this(), mine](error_code ec) {
            if (!ec && mine == self->connection_) self->open();
        });
    }

    void report(LineState state) {
        state_ = std::move(state);
        if (reported_ == state_.kind) return;
        reported_ = state_.kind;
        on_state_(LineState(state_));  // a copy: the callback may stop and start the line
    }

    void close() {
        ++connection_;
        pause_timer_.cancel();
        tick_timer_.cancel();
        poll_timer_.cancel();
        resolver_.cancel();
        error_code ignored;  // the descriptor is gone whatever close says
        socket_.close(ignored);
        if (!stream_.is_open()) return;
        if (is_port_) give_up_serial_port(stream_.native_handle());
        stream_.close(ignored);
    }

    Message failed(error_code ec) const {
        return message("line.failed").with("address", settings_.address.text()).with("reason", ec.message());
    }
    Message unreachable(std::string_view reason) const {
        return message("line.unreachable").with("address", settings_.address.text()).with("reason", reason);
    }

    const GaugeLineSettings settings_;
    const Clock& clock_;
    const OnEvent on_event_;
    const OnState on_state_;
    OnBytes on_bytes_;
    Decoder decoder_;

    asio::posix::stream_descriptor stream_;
    asio::ip::tcp::socket socket_;
    asio::ip::tcp::resolver resolver_;
    asio::steady_timer pause_timer_;  // before the next attempt, and how long an attempt may take
    asio::steady_timer tick_timer_;
    asio::steady_timer poll_timer_;

    std::array<char, 512> buffer_{};
    std::string request_;
    bool running_ = false;
    bool up_ = false;
    bool is_port_ = false;
    bool writing_ = false;
    bool bytes_this_time_ = false;
    std::int64_t up_since_ns_ = 0;
    std::uint64_t connection_ = 0;
    std::chrono::milliseconds pause_;
    LineState state_;
    std::optional<LineState::Kind> reported_;
    LineCounters counters_;
};

GaugeLine::GaugeLine(asio::io_context& io, GaugeLineSettings settings, const Clock& clock, OnEvent on_event,
                     OnState on_state)
    : impl_(std::make_shared<Impl>(io, std::move(settings), clock, std::move(on_event), std::move(on_state))) {}

GaugeLine::~GaugeLine() {
    impl_->stop();
}

void GaugeLine::start() {
    impl_->start();
}
void GaugeLine::stop() {
    impl_->stop();
}
bool GaugeLine::ask() {
    return impl_->ask();
}
void GaugeLine::tap(OnBytes listener) {
    impl_->tap(std::move(listener));
}
bool GaugeLine::connected() const {
    return impl_->up();
}
const LineState& GaugeLine::state() const {
    return impl_->state();
}
const LineCounters& GaugeLine::counters() const {
    return impl_->counters();
}
const DecoderCounters& GaugeLine::decoder_counters() const {
    return impl_->decoder_counters();
}

}  // namespace crimpgate
