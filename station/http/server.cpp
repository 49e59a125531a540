// The server's connections, each a coroutine. Structs are named before they are awaited: g++ 12 frees a temporary
// aggregate inside a co_await expression twice.
#include "station/http/server.h"

#include <algorithm>
#include <array>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/thread_pool.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <set>

#include "station/http/guard.h"
#include "station/http/request_reader.h"
#include "station/http/response_text.h"
#include "station/http/tls_wire.h"
#include "station/http/wire.h"

namespace crimpgate {

namespace asio = boost::asio;
using tcp = asio::ip::tcp;
using error_code = boost::system::error_code;
using Clock = std::chrono::steady_clock;

namespace {

struct Connection {
    Connection(std::unique_ptr<Wire> bytes, asio::io_context& io) : wake(io), wire(std::move(bytes)) {}
    asio::steady_timer wake;
    std::unique_ptr<Wire> wire;
    bool answering = false;
    bool streaming = false;
};

asio::awaitable<HttpResponse> work_out(std::function<HttpResponse()> work) {
    co_return work();
}

}  // namespace

struct HttpServer::Core : std::enable_shared_from_this<HttpServer::Core> {
    Core(asio::io_context& loop, HttpLimits given, HttpHandler answers, HttpDoor way)
        : io(loop),
          limits(given),
          handler(std::move(answers)),
          door(std::move(way)),
          make_wire(door.tls ? door.tls->maker() : plain_wire),
          acceptor(loop),
          grace(loop),
          pause(loop) {}

    asio::io_context& io;
    HttpLimits limits;
    HttpHandler handler;
    HttpDoor door;
    MakeWire make_wire;
    tcp::acceptor acceptor;
    asio::steady_timer grace;
    asio::steady_timer pause;
    std::uint16_t port = 0;
    std::vector<std::string> hosts;
    std::set<Connection*> open;
    bool stopping = false;
    asio::thread_pool pool{1};

    asio::awaitable<void> accept_all();
    asio::awaitable<void> serve(std::unique_ptr<Connection> connection);
    asio::awaitable<void> talk(Connection& c);
    asio::awaitable<bool> arrive(Connection& c, RequestReader& reader);
    asio::awaitable<bool> send(Connection& c, HttpResponse answer, ResponseForm form);
    asio::awaitable<void> stream(Connection& c, EventStream events, ResponseForm form);
    HttpAnswer answer(RequestReader::Read& in, const Connection& c) const;
    bool has_room_for(const asio::ip::address& peer) const;
    void turn_away(tcp::socket socket) const;
    void close_all();
};

bool HttpServer::Core::has_room_for(const asio::ip::address& peer) const {
    std::size_t same = 0, others = 0;
    for (const auto* c : open) {
        if (c->wire->peer() == peer) ++same;
        if (!c->wire->peer().is_loopback()) ++others;
    }
    return has_room(limits, open.size(), same, others, peer.is_loopback());
}

asio::awaitable<void> HttpServer::Core::accept_all() {
    const auto self = shared_from_this();
    while (!stopping) {
        error_code ec;
        tcp::socket socket = co_await acceptor.async_accept(asio::redirect_error(asio::use_awaitable, ec));
        if (stopping) break;
        if (ec) {  // out of descriptors, most likely: not at full speed
            pause.expires_after(std::chrono::milliseconds(100));
            co_await pause.async_wait(asio::redirect_error(asio::use_awaitable, ec));
            continue;
        }
        const auto peer = socket.remote_endpoint(ec).address();
        if (ec) continue;  // gone already
        if (!has_room_for(peer)) {
            turn_away(std::move(socket));
            continue;
        }
        auto connection = std::make_unique<Connection>(make_wire(std::move(socket)), io);
        open.insert(connection.get());
        asio::co_spawn(io, serve(std::move(connection)), [](std::exception_ptr fault) {
            // A bug: the bench's state may be half changed, and the journal is right. Down, and up again from it.
            if (fault) std::rethrow_exception(fault);
        });
    }
}

// Said in one go into an empty socket buffer, so that nothing waits for a client that may not even read. Who comes to
// speak TLS could not read it.
void HttpServer::Core::turn_away(tcp::socket socket) const {
    if (door.tls) return;
    auto words = error_response(503, message("http.too_many").with("limit", std::to_string(limits.connections)));
    const std::string text = response_text(std::move(words), ResponseForm{});
    error_code ec;
    socket.non_blocking(true, ec);
    socket.write_some(asio::buffer(text), ec);
    socket.shutdown(tcp::socket::shutdown_send, ec);
}

asio::awaitable<void> HttpServer::Core::serve(std::unique_ptr<Connection> connection) {
    const auto self = shared_from_this();
    struct Leave {
        Core& core;
        Connection* connection;
        ~Leave() {
            core.open.erase(connection);
            if (core.stopping && core.open.empty()) core.grace.cancel();
        }
    } leave{*this, connection.get()};
    error_code ec;
    co_await connection->wire->open(Clock::now() + limits.head, ec);
    if (!ec && !stopping) {
        co_await talk(*connection);
        co_await connection->wire->shutdown(Clock::now() + limits.idle);
    }
    connection->wire->close();
}

// Until the reader has a request or a reason to refuse it; false when the other end is gone, too slow or silent.
asio::awaitable<bool> HttpServer::Core::arrive(Connection& c, RequestReader& reader) {
    std::array<char, 16384> piece;
    auto deadline = Clock::now() + (reader.begun() ? limits.head : limits.idle);
    bool begun = reader.begun();
    for (auto state = reader.take({}); !stopping;) {
        if (state == RequestReader::State::ready || state == RequestReader::State::refused) co_return true;
        error_code ec;
        if (state == RequestReader::State::head) {
            deadline = Clock::now() + limits.idle;
            if (reader.wants_continue()) co_await c.wire->write_all("HTTP/1.1 100 Continue\r\n\r\n", deadline, ec);
            if (ec) co_return false;
            state = reader.take({});
            continue;
        }
        // A head has its time from its first byte: one byte a second would otherwise keep a connection for ever.
        if (!begun && reader.begun()) {
            begun = true;
            deadline = Clock::now() + limits.head;
        }
        const auto got = co_await c.wire->read_some(asio::buffer(piece), deadline, ec);
        if (ec) co_return false;
        state = reader.take(std::string_view(piece.data(), got));
    }
    co_return false;
}

asio::awaitable<void> HttpServer::Core::talk(Connection& c) {
    const RequestLimits bounds{limits.body_bytes, limits.header_bytes};
    RequestReader reader(bounds);
    while (!stopping) {
        const bool arrived = co_await arrive(c, reader);
        if (!arrived || stopping) co_return;
        c.answering = true;
        ResponseForm form;
        form.secure = door.tls != nullptr;
        if (auto refusal = reader.refusal()) {
            const bool sent = co_await send(c, std::move(*refusal), form);
            if (!sent || stopping) co_return;
            const auto soon = Clock::now() + std::min<std::chrono::milliseconds>(limits.idle, std::chrono::seconds(2));
            co_await c.wire->shutdown(soon);
            co_await c.wire->drain(4 * limits.body_bytes, soon);
            co_return;
        }
        RequestReader::Read request = reader.request();
        form.host = request.request.host;
        form.without_body = request.request.method == "HEAD";
        HttpAnswer given = answer(request, c);
        if (auto* events = std::get_if<EventStream>(&given)) {
            EventStream taken = std::move(*events);
            co_await stream(c, std::move(taken), form);
            co_return;
        }
        HttpResponse response;
        if (auto* later = std::get_if<LaterAnswer>(&given)) {
            std::function<HttpResponse()> work = std::move(later->work);
            const std::function<HttpResponse(HttpResponse)> then = std::move(later->then);
            response = co_await asio::co_spawn(pool, work_out(std::move(work)), asio::use_awaitable);
            if (then) response = then(std::move(response));
        } else {
            response = std::move(std::get<HttpResponse>(given));
        }
        form.keep_alive = request.keep_alive && !stopping;
        const bool sent = co_await send(c, std::move(response), form);
        c.answering = false;
        if (!sent || !form.keep_alive) co_return;
    }
}

HttpAnswer HttpServer::Core::answer(RequestReader::Read& in, const Connection& c) const {
    auto target = parse_target(in.target);
    if (!target) return error_response(400, target.error());
    HttpRequest& request = in.request;
    request.path = std::move(target->path);
    request.query = std::move(target->query);
    request.from_here = c.wire->peer().is_loopback();
    request.peer = c.wire->peer().to_string();
    request.secure = door.tls != nullptr;
    // RFC 9110 section 9.3.2: HEAD is GET without the content.
    if (request.method == "HEAD") request.method = "GET";
    if (auto ours = from_our_pages(request, hosts); !ours)
        return error_response(ours.error().code == "http.strange_host" ? 421 : 403, ours.error());
    return handler(request);
}

asio::awaitable<bool> HttpServer::Core::send(Connection& c, HttpResponse answer, ResponseForm form) {
    const std::string text = response_text(std::move(answer), form);
    error_code ec;
    co_await c.wire->write_all(text, Clock::now() + limits.idle, ec);
    co_return !ec;
}

asio::awaitable<void> HttpServer::Core::stream(Connection& c, EventStream events, ResponseForm form) {
    c.streaming = true;
    std::string text = stream_head(form);
    if (form.without_body) {
        error_code ec;
        co_await c.wire->write_all(text, Clock::now() + limits.idle, ec);
        co_return;
    }
    for (const auto& event : events.first)
        text += event_text(event);
    bool beat = false;
    while (!stopping) {
        auto batch = events.read(events.next, limits.stream_batch);
        if (!batch) co_return;  // the client comes back and asks again
        for (const auto& event : *batch) {
            text += event_text(event);
            events.next = event.id + 1;
        }
        if (text.empty() && beat)
            text = event_text(StreamEvent{0, "beat", "{\"last_seq\":" + std::to_string(events.next - 1) + "}"});
        beat = false;
        error_code ec;
        if (!text.empty()) {
            co_await c.wire->write_all(text, Clock::now() + limits.idle, ec);
            if (ec) co_return;
            text.clear();
            if (!batch->empty()) continue;
        }
        if (stopping) break;
        c.wake.expires_after(limits.beat);
        co_await c.wake.async_wait(asio::redirect_error(asio::use_awaitable, ec));
        beat = !ec;
    }
}

void HttpServer::Core::close_all() {
    for (auto* c : open) {
        c->wake.cancel();
        c->wire->close();
    }
}

// Three machines that take all they can get must not lock the bench's own screen out.
bool has_room(const HttpLimits& limits, std::size_t open, std::size_t same, std::size_t others, bool here) {
    if (open >= limits.connections || same >= limits.per_peer) return false;
    return here || others + limits.per_peer < limits.connections;
}

HttpServer::HttpServer(asio::io_context& io, HttpLimits limits, HttpHandler handler, HttpDoor door)
    : core_(std::make_shared<Core>(io, limits, std::move(handler), std::move(door))) {}

HttpServer::~HttpServer() {
    stop();
    core_->close_all();
    core_->grace.cancel();
    core_->handler = nullptr;
}

Result<void> HttpServer::start(const std::string& address, std::uint16_t port) {
    error_code ec;
    const auto ip = asio::ip::make_address(address, ec);
    const tcp::endpoint endpoint(ip, port);
    auto& acceptor = core_->acceptor;
    if (!ec) acceptor.open(endpoint.protocol(), ec);
    if (!ec) acceptor.set_option(tcp::acceptor::reuse_address(true), ec);
    if (!ec) acceptor.bind(endpoint, ec);
    if (!ec) acceptor.listen(128, ec);
    if (ec) {
        error_code ignored;
        acceptor.close(ignored);
        return refuse(message("http.cannot_listen")
                          .with("address", address)
                          .with("port", std::to_string(port))
                          .with("reason", ec.message()));
    }
    core_->port = acceptor.local_endpoint().port();
    core_->hosts = host_names_of(address);
    const auto also = [&](const std::vector<std::string>& names) {
        core_->hosts.insert(core_->hosts.end(), names.begin(), names.end());
    };
    also(core_->door.names);
    if (core_->door.tls) also(core_->door.tls->names());
    asio::co_spawn(core_->io, core_->accept_all(), asio::detached);
    return {};
}

std::uint16_t HttpServer::port() const {
    return core_->port;
}

std::size_t HttpServer::connections() const {
    return core_->open.size();
}

void HttpServer::wake_streams() {
    for (auto* c : core_->open)
        if (c->streaming) c->wake.cancel();
}

void HttpServer::stop() {
    if (core_->stopping) return;
    core_->stopping = true;
    error_code ec;
    core_->acceptor.close(ec);
    core_->pause.cancel();
    for (auto* c : core_->open) {
        c->wake.cancel();
        if (!c->answering) c->wire->cancel();
    }
    if (core_->open.empty()) return;
    core_->grace.expires_after(core_->limits.grace);
    core_->grace.async_wait([core = core_](error_code aborted) {
        if (!aborted) core->close_all();
    });
}

}  // namespace crimpgate
