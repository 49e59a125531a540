#include "station/http/response_text.h"

#include <algorithm>
#include <array>
#include <string_view>
#include <utility>

#include "station/http/guard.h"

namespace crimpgate {
namespace {

// RFC 9110 section 15; the words are for people who look at the line and for nobody else.
std::string_view reason_of(int status) {
    static constexpr std::array<std::pair<int, std::string_view>, 17> reasons = {{
        {200, "OK"},
        {201, "Created"},
        {204, "No Content"},
        {400, "Bad Request"},
        {401, "Unauthorized"},
        {403, "Forbidden"},
        {404, "Not Found"},
        {405, "Method Not Allowed"},
        {409, "Conflict"},
        {413, "Content Too Large"},
        {415, "Unsupported Media Type"},
        {421, "Misdirected Request"},
        {422, "Unprocessable Content"},
        {429, "Too Many Requests"},
        {431, "Request Header Fields Too Large"},
        {500, "Internal Server Error"},
        {503, "Service Unavailable"},
    }};
    for (const auto& [code, text] : reasons)
        if (code == status) return text;
    return "Answer";
}

bool same_name(std::string_view a, std::string_view b) {
    const auto lower = [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; };
    return std::equal(a.begin(), a.end(), b.begin(), b.end(), [&](char x, char y) { return lower(x) == lower(y); });
}

void add(std::string& out, std::string_view name, std::string_view value) {
    const auto put = [&](std::string_view text) {
        for (const char c : text)
            if (static_cast<unsigned char>(c) >= 0x20 && c != 0x7F) out += c;
    };
    put(name);
    out += ": ";
    put(value);
    out += "\r\n";
}

std::string head_of(const HttpResponse& answer, const ResponseForm& form) {
    std::string out =
        "HTTP/1.1 " + std::to_string(answer.status) + ' ' + std::string(reason_of(answer.status)) + "\r\n";
    const auto replaced = [&](std::string_view name) {
        return std::any_of(answer.headers.begin(), answer.headers.end(),
                           [&](const auto& own) { return same_name(own.first, name); });
    };
    if (answer.status != 204) add(out, "Content-Type", answer.content_type);
    for (const auto& [name, value] : safety_headers())
        if (!replaced(name)) add(out, name, value);
    if (form.secure)
        if (const auto value = transport_security(form.host); !value.empty())
            add(out, "Strict-Transport-Security", value);
    for (const auto& [name, value] : answer.headers)
        add(out, name, value);
    if (!form.keep_alive) add(out, "Connection", "close");
    return out;
}

}  // namespace

std::string response_text(HttpResponse answer, const ResponseForm& form) {
    std::string out = head_of(answer, form);
    // RFC 9110 section 8.6: never with 204.
    if (answer.status != 204) add(out, "Content-Length", std::to_string(answer.body.size()));
    out += "\r\n";
    if (!form.without_body && answer.status != 204) out += answer.body;
    return out;
}

std::string stream_head(const ResponseForm& form) {
    HttpResponse answer;
    answer.content_type = "text/event-stream; charset=utf-8";
    ResponseForm last = form;
    last.keep_alive = false;
    return head_of(answer, last) + "\r\n";
}

std::string event_text(const StreamEvent& event) {
    std::string out;
    if (event.id != 0) out += "id: " + std::to_string(event.id) + "\n";
    return out + "event: " + event.event + "\ndata: " + event.data + "\n\n";
}

}  // namespace crimpgate
