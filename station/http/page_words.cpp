#include "station/http/page_words.h"

#include <boost/json.hpp>
#include <map>

#include "station/http/pages.h"
#include "station/words/catalogue.h"
#include "station/words/fill.h"

namespace crimpgate {
namespace {

using Sentences = std::map<std::string, std::string, std::less<>>;

// words/de.json and its like, as they were built into the program.
std::map<std::string, Sentences, std::less<>> read_all() {
    constexpr std::string_view folder = "words/", ending = ".json";
    std::map<std::string, Sentences, std::less<>> out;
    for (const auto& file : built_pages()) {
        if (!file.path.starts_with(folder) || !file.path.ends_with(ending)) continue;
        const auto language = file.path.substr(folder.size(), file.path.size() - folder.size() - ending.size());
        auto& sentences = out[std::string(language)];
        const auto parsed = boost::json::parse(file.text);
        for (const auto& [code, text] : parsed.as_object())
            sentences.emplace(std::string(code), std::string(text.as_string()));
    }
    return out;
}

}  // namespace

std::string say_in(std::string_view language, const Message& message) {
    static const auto all = read_all();
    const auto sentences = all.find(language);
    if (sentences == all.end()) return say(message);
    const auto found = sentences->second.find(message.code);
    return found == sentences->second.end() ? say(message) : filled(found->second, message);
}

}  // namespace crimpgate
