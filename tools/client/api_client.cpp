// Asynchronous operations run to their end one by one, since only those have deadlines.
#include "tools/client/api_client.h"

#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/core/tcp_stream.hpp>
#include <boost/beast/http.hpp>
#include <boost/json.hpp>

namespace crimpgate {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = boost::beast::http;
using tcp = asio::ip::tcp;
using error_code = boost::system::error_code;

namespace {

std::string text_at(const boost::json::object& object, std::string_view name) {
    const auto* found = object.if_contains(name);
    return found != nullptr && found->is_string() ? std::string(found->get_string()) : std::string();
}

Message unreachable(const std::string& host, std::uint16_t port, const error_code& ec) {
    return message("client.unreachable")
        .with("host", host)
        .with("port", std::to_string(port))
        .with("reason", ec.message());
}

}  // namespace

std::string ApiReply::code() const {
    return text_at(json, "code");
}

std::string ApiReply::words() const {
    return text_at(json, "words");
}

std::string ApiReply::header(const std::string& lower_case_name) const {
    for (const auto& [name, value] : headers)
        if (name == lower_case_name) return value;
    return {};
}

struct ApiClient::Line {
    asio::io_context io;
    beast::tcp_stream stream{io};
    beast::flat_buffer buffer;
    bool open = false;

    template <class Start>
    error_code wait(std::chrono::milliseconds deadline, Start start) {
        error_code result;
        stream.expires_after(deadline);
        start([&result](error_code ec, auto&&...) { result = ec; });
        io.restart();
        io.run();
        return result;
    }
};

ApiClient::ApiClient(std::string host, std::uint16_t port, std::chrono::milliseconds deadline)
    : host_(std::move(host)), port_(port), deadline_(deadline) {}
ApiClient::~ApiClient() = default;
ApiClient::ApiClient(ApiClient&&) noexcept = default;
ApiClient& ApiClient::operator=(ApiClient&&) noexcept = default;

Result<ApiReply> ApiClient::get(const std::string& target) {
    return request("GET", target, {});
}

Result<ApiReply> ApiClient::post(const std::string& target, const boost::json::object& body) {
    return request("POST", target, boost::json::serialize(body));
}

Result<ApiReply> ApiClient::request(const std::string& method, const std::string& target, const std::string& body,
                                    const Headers& headers) {
    http::request<http::string_body> out;
    out.version(11);
    out.method_string(method);
    out.target(target);
    const bool v6 = host_.find(':') != std::string::npos;
    out.set(http::field::host, (v6 ? '[' + host_ + ']' : host_) + ':' + std::to_string(port_));
    if (!token_.empty()) out.set(http::field::authorization, "Bearer " + token_);
    if (!body.empty()) out.set(http::field::content_type, "application/json");
    for (const auto& [name, value] : headers)
        out.set(name, value);
    out.body() = body;
    out.prepare_payload();

    error_code ec;
    // A connection that was kept may have been closed by the station meanwhile: one more try on a new one, but only
    // where nothing of the request can have been acted on (the write failed, or not a byte came back to a GET).
    for (const bool kept : {true, false}) {
        if (kept && (!line_ || !line_->open)) continue;
        if (!kept) {
            line_ = std::make_unique<Line>();
            const auto address = asio::ip::make_address(host_ == "localhost" ? "127.0.0.1" : host_, ec);
            if (ec) return refuse(unreachable(host_, port_, ec));
            const tcp::endpoint endpoint(address, port_);
            ec = line_->wait(deadline_, [&](auto done) { line_->stream.async_connect(endpoint, done); });
            if (ec) return refuse(unreachable(host_, port_, ec));
            line_->open = true;
        }
        const error_code wrote =
            line_->wait(deadline_, [&](auto done) { http::async_write(line_->stream, out, done); });
        if (wrote && kept) {
            line_->open = false;
            continue;
        }
        http::response_parser<http::string_body> parser;
        parser.body_limit(256u << 20);
        ec = line_->wait(deadline_, [&](auto done) { http::async_read(line_->stream, line_->buffer, parser, done); });
        if (ec && kept && method == "GET" && !parser.got_some()) {
            line_->open = false;
            continue;
        }
        if (ec) {
            line_->open = false;
            return refuse(unreachable(host_, port_, ec));
        }
        const auto in = parser.release();
        ApiReply reply;
        reply.status = static_cast<int>(in.result_int());
        reply.text = in.body();
        for (const auto& field : in) {
            std::string name(field.name_string());
            for (char& c : name)
                if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
            reply.headers.emplace_back(std::move(name), std::string(field.value()));
        }
        auto value = boost::json::parse(reply.text, ec);
        if (!ec && value.is_object()) reply.json = std::move(value.get_object());
        line_->open = in.keep_alive();
        return reply;
    }
    return refuse(unreachable(host_, port_, ec));
}

Result<ApiReply> ApiClient::sign_in(const std::string& person, const std::string& secret,
                                    std::optional<bool> at_bench) {
    const bool digits = secret.find_first_not_of("0123456789") == std::string::npos;
    boost::json::object body{{"person", person}, {digits ? "pin" : "passphrase", secret}};
    if (at_bench) body["at_bench"] = *at_bench;
    auto reply = post("/api/sign-in", body);
    if (reply && reply->ok()) token_ = text_at(reply->json, "token");
    return reply;
}

struct EventReader::Line {
    asio::io_context io;
    tcp::socket socket{io};
    std::string text;
    bool ended = false;

    // One more piece of the stream; false when none came in time or it is over.
    bool more(std::chrono::steady_clock::time_point until) {
        const auto left = until - std::chrono::steady_clock::now();
        if (ended || left <= left.zero()) return false;
        char piece[16384];
        std::size_t got = 0;
        bool done = false;
        socket.async_read_some(asio::buffer(piece), [&](error_code ec, std::size_t n) {
            done = true;
            got = n;
            if (ec && ec != asio::error::operation_aborted) ended = true;
        });
        io.restart();
        io.run_for(std::chrono::duration_cast<std::chrono::milliseconds>(left) + std::chrono::milliseconds(1));
        if (!done) {
            error_code ec;
            socket.cancel(ec);
            io.restart();
            io.run();
        }
        text.append(piece, got);
        return got > 0;
    }
};

EventReader::EventReader(std::unique_ptr<Line> line) : line_(std::move(line)) {}
EventReader::~EventReader() = default;
EventReader::EventReader(EventReader&&) noexcept = default;
EventReader& EventReader::operator=(EventReader&&) noexcept = default;

Result<EventReader> EventReader::open(const std::string& host, std::uint16_t port, const std::string& target,
                                      const std::string& last_event_id) {
    auto line = std::make_unique<Line>();
    error_code ec;
    const auto address = asio::ip::make_address(host == "localhost" ? "127.0.0.1" : host, ec);
    if (!ec) line->socket.connect(tcp::endpoint(address, port), ec);
    std::string request = "GET " + target + " HTTP/1.1\r\nHost: " + host + ":" + std::to_string(port) + "\r\n";
    if (!last_event_id.empty()) request += "Last-Event-ID: " + last_event_id + "\r\n";
    request += "\r\n";
    if (!ec) line->socket.send(asio::buffer(request), 0, ec);
    if (ec) return refuse(unreachable(host, port, ec));
    const auto until = std::chrono::steady_clock::now() + std::chrono::seconds(10);
    while (line->text.find("\r\n\r\n") == std::string::npos && line->more(until)) {
    }
    const auto end = line->text.find("\r\n\r\n");
    if (end == std::string::npos || !line->text.starts_with("HTTP/1.1 200 "))
        return refuse(message("client.no_stream").with("answer", line->text.substr(0, line->text.find('\r'))));
    line->text.erase(0, end + 4);
    return EventReader(std::move(line));
}

bool EventReader::ended() const {
    return line_->ended;
}

std::optional<ApiEvent> EventReader::next(std::chrono::milliseconds wait) {
    const auto until = std::chrono::steady_clock::now() + wait;
    std::size_t end = 0;
    while ((end = line_->text.find("\n\n")) == std::string::npos)
        if (!line_->more(until)) return std::nullopt;
    ApiEvent event;
    for (std::size_t at = 0; at < end;) {
        const auto stop = std::min(line_->text.find('\n', at), end);
        const std::string_view field(line_->text.data() + at, stop - at);
        if (field.starts_with("event: ")) event.event = field.substr(7);
        if (field.starts_with("data: ")) event.data = field.substr(6);
        if (field.starts_with("id: "))
            for (const char c : field.substr(4))
                event.id = event.id * 10 + (c - '0');
        at = stop + 1;
    }
    line_->text.erase(0, end + 2);
    return event;
}

}  // namespace crimpgate
