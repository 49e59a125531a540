// The server's connections, each a coroutine. Message structs are named before they are awaited: g++ 12 frees a
// temporary aggregate inside a co_await expression twice.
#include "station/http/server.h"

#include <array>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/thread_pool.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/asio/write.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/core/tcp_stream.hpp>
#include <boost/beast/http.hpp>
#include <optional>
#include <set>

#include "station/http/guard.h"

namespace crimpgate {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = boost::beast::http;
using tcp = asio::ip::tcp;
using error_code = boost::system::error_code;

namespace {

struct Connection {
    explicit Connection(tcp::socket socket) : wake(socket.get_executor()), stream(std::move(socket)) {}
    asio::steady_timer wake;
    beast::tcp_stream stream;
    bool answering = false;
    bool streaming = false;
};

using Text = http::string_body;
using Parser = http::request_parser<Text>;
using Response = http::response<Text>;

HttpRequest plain(const http::request<Text>& in, Target target, bool from_here) {
    const auto header = [&](http::field name) { return std::string(in[name]); };
    HttpRequest out;
    out.method = std::string(in.method_string());
    out.path = std::move(target.path);
    out.query = std::move(target.query);
    out.authorization = header(http::field::authorization);
    out.host = header(http::field::host);
    out.origin = header(http::field::origin);
    out.last_event_id = std::string(in["Last-Event-ID"]);
    out.body = in.body();
    out.from_here = from_here;
    return out;
}

Response packed(HttpResponse answer, bool keep_alive) {
    Response out(static_cast<http::status>(answer.status), 11);
    out.set(http::field::content_type, answer.content_type);
    for (const auto& [name, value] : safety_headers())
        out.set(name, value);
    for (const auto& [name, value] : answer.headers)
        out.set(name, value);
    out.keep_alive(keep_alive);
    out.body() = std::move(answer.body);
    out.prepare_payload();
    return out;
}

// What a request that could not be read is answered with; nothing when the other end is gone or too slow.
std::optional<HttpResponse> answer_to(const error_code& ec, const HttpLimits& limits) {
    if (ec == http::error::body_limit)
        return error_response(413, message("http.body_too_large").with("limit", std::to_string(limits.body_bytes)));
    if (ec == http::error::header_limit || ec == http::error::buffer_overflow)
        return error_response(431, message("http.header_too_large").with("limit", std::to_string(limits.header_bytes)));
    if (ec == http::error::end_of_stream || ec == http::error::partial_message) return std::nullopt;
    if (ec.category() == http::make_error_code(http::error::bad_method).category())
        return error_response(400, message("http.malformed").with("why", ec.message()));
    return std::nullopt;
}

std::string event_text(const StreamEvent& event) {
    std::string out;
    if (event.id != 0) out += "id: " + std::to_string(event.id) + "\n";
    return out + "event: " + event.event + "\ndata: " + event.data + "\n\n";
}

asio::awaitable<HttpResponse> work_out(std::function<HttpResponse()> work) {
    co_return work();
}

}  // namespace

struct HttpServer::Core : std::enable_shared_from_this<HttpServer::Core> {
    Core(asio::io_context& loop, HttpLimits given, HttpHandler answers)
        : io(loop), limits(given), handler(std::move(answers)), acceptor(loop), grace(loop), pause(loop) {}

    asio::io_context& io;
    HttpLimits limits;
    HttpHandler handler;
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
    asio::awaitable<bool> send(Connection& c, HttpResponse answer, bool keep_alive);
    asio::awaitable<void> stream(Connection& c, EventStream events);
    asio::awaitable<void> drain(Connection& c);
    HttpAnswer answer(const http::request<Text>& in, const Connection& c) const;
    void turn_away(tcp::socket socket) const;
    void close_all();
};

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
        if (open.size() >= limits.connections) {
            turn_away(std::move(socket));
            continue;
        }
        socket.set_option(tcp::no_delay(true), ec);
        auto connection = std::make_unique<Connection>(std::move(socket));
        open.insert(connection.get());
        asio::co_spawn(io, serve(std::move(connection)), [](std::exception_ptr fault) {
            // A bug: the bench's state may be half changed, and the journal is right. Down, and up again from it.
            if (fault) std::rethrow_exception(fault);
        });
    }
}

// Said in one go into an empty socket buffer, so that nothing waits for a client that may not even read.
void HttpServer::Core::turn_away(tcp::socket socket) const {
    const auto body = error_response(503, message("http.too_many").with("limit", std::to_string(limits.connections)));
    const std::string text =
        "HTTP/1.1 503 Service Unavailable\r\nContent-Type: application/json\r\nConnection: close\r\n"
        "Content-Length: " +
        std::to_string(body.body.size()) + "\r\n\r\n" + body.body;
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
    co_await talk(*connection);
    error_code ec;
    connection->stream.socket().shutdown(tcp::socket::shutdown_both, ec);
}

asio::awaitable<void> HttpServer::Core::talk(Connection& c) {
    beast::flat_buffer buffer(limits.header_bytes + (64u << 10));
    while (!stopping) {
        Parser parser;
        parser.header_limit(static_cast<std::uint32_t>(limits.header_bytes));
        parser.body_limit(limits.body_bytes);
        error_code ec;
        c.stream.expires_after(limits.idle);
        co_await http::async_read_header(c.stream, buffer, parser, asio::redirect_error(asio::use_awaitable, ec));
        if (!ec && beast::iequals(parser.get()[http::field::expect], "100-continue")) {
            static constexpr std::string_view go_on = "HTTP/1.1 100 Continue\r\n\r\n";
            co_await asio::async_write(c.stream, asio::buffer(go_on), asio::redirect_error(asio::use_awaitable, ec));
        }
        if (!ec && !parser.is_done()) {
            c.stream.expires_after(limits.idle);
            co_await http::async_read(c.stream, buffer, parser, asio::redirect_error(asio::use_awaitable, ec));
        }
        if (ec) {
            auto words = answer_to(ec, limits);
            if (!words || stopping) co_return;
            c.answering = true;
            const bool sent = co_await send(c, std::move(*words), false);
            if (sent) co_await drain(c);
            co_return;
        }
        c.answering = true;
        const auto request = parser.release();
        HttpAnswer given = answer(request, c);
        if (auto* events = std::get_if<EventStream>(&given)) {
            co_await stream(c, std::move(*events));
            co_return;
        }
        HttpResponse response;
        if (auto* later = std::get_if<LaterAnswer>(&given)) {
            std::function<HttpResponse()> work = std::move(later->work);
            response = co_await asio::co_spawn(pool, work_out(std::move(work)), asio::use_awaitable);
        } else {
            response = std::move(std::get<HttpResponse>(given));
        }
        const bool keep_alive = request.keep_alive() && !stopping;
        const bool sent = co_await send(c, std::move(response), keep_alive);
        c.answering = false;
        if (!sent || !keep_alive) co_return;
    }
}

HttpAnswer HttpServer::Core::answer(const http::request<Text>& in, const Connection& c) const {
    const auto text = in.target();
    auto target = parse_target(std::string_view(text.data(), text.size()));
    if (!target) return error_response(400, target.error());
    error_code ec;
    const auto peer = c.stream.socket().remote_endpoint(ec);
    const HttpRequest request = plain(in, std::move(*target), !ec && peer.address().is_loopback());
    if (auto ours = from_our_pages(request, hosts); !ours)
        return error_response(ours.error().code == "http.strange_host" ? 421 : 403, ours.error());
    return handler(request);
}

asio::awaitable<bool> HttpServer::Core::send(Connection& c, HttpResponse answer, bool keep_alive) {
    Response response = packed(std::move(answer), keep_alive);
    error_code ec;
    c.stream.expires_after(limits.idle);
    co_await http::async_write(c.stream, response, asio::redirect_error(asio::use_awaitable, ec));
    co_return !ec;
}

// Closing on bytes that nobody read would reset the connection and could take the answer with it.
asio::awaitable<void> HttpServer::Core::drain(Connection& c) {
    error_code ec;
    c.stream.socket().shutdown(tcp::socket::shutdown_send, ec);
    std::array<char, 16384> rest;
    c.stream.expires_after(std::min<std::chrono::milliseconds>(limits.idle, std::chrono::seconds(2)));
    std::size_t taken = 0;
    while (!ec && !stopping && taken < 4 * limits.body_bytes)
        taken += co_await c.stream.async_read_some(asio::buffer(rest), asio::redirect_error(asio::use_awaitable, ec));
}

asio::awaitable<void> HttpServer::Core::stream(Connection& c, EventStream events) {
    c.streaming = true;
    std::string text = "HTTP/1.1 200 OK\r\nContent-Type: text/event-stream; charset=utf-8\r\nConnection: close\r\n";
    for (const auto& [name, value] : safety_headers())
        text += name + ": " + value + "\r\n";
    text += "\r\n";
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
            c.stream.expires_after(limits.idle);
            co_await asio::async_write(c.stream, asio::buffer(text), asio::redirect_error(asio::use_awaitable, ec));
            if (ec) co_return;
            text.clear();
            if (!batch->empty()) continue;
        }
        if (stopping) break;
        c.stream.expires_never();
        c.wake.expires_after(limits.beat);
        co_await c.wake.async_wait(asio::redirect_error(asio::use_awaitable, ec));
        beat = !ec;
    }
}

void HttpServer::Core::close_all() {
    for (auto* c : open) {
        c->wake.cancel();
        c->stream.close();
    }
}

HttpServer::HttpServer(asio::io_context& io, HttpLimits limits, HttpHandler handler)
    : core_(std::make_shared<Core>(io, limits, std::move(handler))) {}

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
        if (!c->answering) c->stream.cancel();
    }
    if (core_->open.empty()) return;
    core_->grace.expires_after(core_->limits.grace);
    core_->grace.async_wait([core = core_](error_code aborted) {
        if (!aborted) core->close_all();
    });
}

}  // namespace crimpgate
