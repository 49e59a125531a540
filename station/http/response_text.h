// Answers as the bytes that go out: status line, headers, body (RFC 9112), and events (WHATWG HTML, server-sent
// events).
#pragma once

#include <string>

#include "station/http/http_types.h"

namespace crimpgate {

struct ResponseForm {
    bool keep_alive = false;
    bool without_body = false;  // HEAD: the length that it would have, and no body
    bool secure = false;        // through TLS: says also that it always shall be
    std::string host;           // that the station was asked for under
};

// What no header may hold is left out of names and values, so that no text can become a header of its own.
std::string response_text(HttpResponse answer, const ResponseForm& form);

// The head of an answer that goes on until the connection ends.
std::string stream_head(const ResponseForm& form);
std::string event_text(const StreamEvent& event);

}  // namespace crimpgate
