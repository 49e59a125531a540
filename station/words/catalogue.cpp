#include "station/words/catalogue.h"

#include <boost/json.hpp>
#include <map>

namespace crimpgate {

extern const std::string_view english_words;  // made from en.json at build time

namespace {

using Sentences = std::map<std::string, std::string, std::less<>>;

Sentences read() {
    Sentences out;
    const auto parsed = boost::json::parse(english_words);
    for (const auto& [code, text] : parsed.as_object())
        out.emplace(std::string(code), std::string(text.as_string()));
    return out;
}

const Sentences& sentences() {
    static const Sentences words = read();
    return words;
}

}  // namespace

std::string_view sentence(std::string_view code) {
    const auto found = sentences().find(code);
    return found == sentences().end() ? std::string_view() : std::string_view(found->second);
}

std::string say(const Message& message) {
    const std::string_view text = sentence(message.code);
    std::string out;
    if (text.empty()) {
        out = message.code;
        for (const auto& d : message.details)
            out += " " + d.name + "=" + d.text;
        return out;
    }
    // The catalogue's lengths are in millimetres; in a shop that shows inches the message says so beside its figures.
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
