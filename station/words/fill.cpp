#include "station/words/fill.h"

namespace crimpgate {

std::string filled(std::string_view text, const Message& message) {
    std::string out;
    if (text.empty()) {
        out = message.code;
        for (const auto& d : message.details)
            out += " " + d.name + "=" + d.text;
        return out;
    }
    const bool inches = message.detail("unit") == "in";
    constexpr std::string_view millimetres = " mm";
    for (std::size_t at = 0; at < text.size();) {
        const auto open = text.find('{', at);
        const auto close = open == std::string_view::npos ? open : text.find('}', open);
        if (close == std::string_view::npos) {
            out += text.substr(at);
            break;
        }
        out += text.substr(at, open - at);
        out += message.detail(text.substr(open + 1, close - open - 1));
        at = close + 1;
        if (inches && text.substr(at).starts_with(millimetres)) {
            out += " in";
            at += millimetres.size();
        }
    }
    return out;
}

}  // namespace crimpgate
