// Bytes to requests, without a socket: the one place that knows how HTTP/1.1 is parsed (RFC 9112).
//
// Takes what has come, in pieces of any size, and keeps what belongs to the next request. Limits hold before anything
// is stored: a head or a body that is too large is refused as soon as its size is known.
#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "station/http/http_types.h"

namespace crimpgate {

struct RequestLimits {
    std::size_t body_bytes = 4u << 20;
    std::size_t header_bytes = 16u << 10;
};

class RequestReader {
  public:
    explicit RequestReader(RequestLimits limits);
    ~RequestReader();
    RequestReader(const RequestReader&) = delete;
    RequestReader& operator=(const RequestReader&) = delete;

    enum class State {
        more,    // another piece is needed
        head,    // told once, when the head is here and the body is not: now is the time to say "100 Continue"
        ready,   // request() has it
        refused  // refusal() says why; nothing more can be read
    };

    // Continues with what was left over, and with `bytes` behind it.
    State take(std::string_view bytes);
    // Something of a request is here: whoever sent it is not idle.
    bool begun() const;

    // After State::head.
    bool wants_continue() const;
    // After State::ready; makes room for the next one. `target` is the raw one: parse_target reads it.
    struct Read {
        HttpRequest request;  // without path and query
        std::string target;
        bool keep_alive = false;
    };
    Read request();
    std::optional<HttpResponse> refusal() const { return refusal_; }

  private:
    struct Parser;
    State refused(HttpResponse why);

    RequestLimits limits_;
    std::unique_ptr<Parser> parser_;
    std::string left_;
    bool head_told_ = false;
    std::optional<HttpResponse> refusal_;
};

}  // namespace crimpgate
