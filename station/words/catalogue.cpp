#include "station/words/catalogue.h"

#include <boost/json.hpp>
#include <map>

#include "station/words/fill.h"

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
    return filled(sentence(message.code), message);
}

}  // namespace crimpgate
