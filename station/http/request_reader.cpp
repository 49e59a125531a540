// Beast's parser, fed by hand: it never sees a socket.
#include "station/http/request_reader.h"

#include <boost/asio/buffer.hpp>
#include <boost/beast/core/string.hpp>
#include <boost/beast/http/error.hpp>
#include <boost/beast/http/parser.hpp>
#include <boost/beast/http/string_body.hpp>

#include "station/http/guard.h"

namespace crimpgate {

namespace http = boost::beast::http;
using Error = boost::system::error_code;

struct RequestReader::Parser {
    explicit Parser(const RequestLimits& limits) {
        reader.header_limit(static_cast<std::uint32_t>(limits.header_bytes));
        reader.body_limit(limits.body_bytes);
    }
    http::request_parser<http::string_body> reader;
};

RequestReader::RequestReader(RequestLimits limits) : limits_(limits), parser_(std::make_unique<Parser>(limits)) {}
RequestReader::~RequestReader() = default;

bool RequestReader::begun() const {
    return !left_.empty() || parser_->reader.got_some();
}

RequestReader::State RequestReader::refused(HttpResponse why) {
    refusal_ = std::move(why);
    return State::refused;
}

RequestReader::State RequestReader::take(std::string_view bytes) {
    if (refusal_) return State::refused;
    left_ += bytes;
    auto& reader = parser_->reader;
    Error ec;
    while (!ec && !reader.is_done() && !left_.empty()) {
        reader.eager(reader.is_header_done());
        const auto used = reader.put(boost::asio::buffer(left_), ec);
        left_.erase(0, used);
        if (reader.is_header_done() && !head_told_ && !ec && !reader.is_done()) {
            head_told_ = true;
            return State::head;
        }
    }
    if (ec == http::error::body_limit)
        return refused(
            error_response(413, message("http.body_too_large").with("limit", std::to_string(limits_.body_bytes))));
    if (ec == http::error::header_limit || ec == http::error::buffer_overflow)
        return refused(
            error_response(431, message("http.header_too_large").with("limit", std::to_string(limits_.header_bytes))));
    if (ec && ec != http::error::need_more)
        return refused(error_response(400, message("http.malformed").with("why", ec.message())));
    if (!reader.is_done()) return State::more;
    // RFC 9112 section 3.2: two of them are one too many to know what was meant.
    if (reader.get().count(http::field::host) > 1)
        return refused(error_response(400, message("http.malformed").with("why", "more than one Host")));
    return State::ready;
}

bool RequestReader::wants_continue() const {
    return boost::beast::iequals(parser_->reader.get()[http::field::expect], "100-continue");
}

RequestReader::Read RequestReader::request() {
    auto in = parser_->reader.release();
    parser_ = std::make_unique<Parser>(limits_);
    head_told_ = false;
    const auto header = [&](http::field name) { return std::string(in[name]); };
    Read out;
    out.target = std::string(in.target());
    out.keep_alive = in.version() >= 11 && in.keep_alive();
    out.request.method = std::string(in.method_string());
    out.request.authorization = header(http::field::authorization);
    out.request.host = header(http::field::host);
    out.request.origin = header(http::field::origin);
    out.request.fetch_site = std::string(in["Sec-Fetch-Site"]);
    out.request.last_event_id = std::string(in["Last-Event-ID"]);
    const auto cookies = in[http::field::cookie];
    out.request.cookies = parse_cookies(std::string_view(cookies.data(), cookies.size()));
    out.request.from_page = in["X-Crimpgate"] == "page";
    out.request.body = std::move(in.body());
    return out;
}

}  // namespace crimpgate
