#include "station/http/check_page.h"

#include <boost/json.hpp>

#include "station/http/pages.h"
#include "station/proof/hash.h"
#include "station/proof/signing_key.h"

namespace crimpgate {
namespace {

namespace json = boost::json;

constexpr std::string_view sentences = "page.check.";

std::string replaced(std::string text, std::string_view from, const std::string& to) {
    const auto at = text.find(from);
    return at == std::string::npos ? text : text.replace(at, from.size(), to);
}

json::object words_of(const std::string& file) {
    json::object out;
    boost::system::error_code ec;
    const auto all = json::parse(file, ec);
    if (ec || !all.is_object()) return out;
    for (const auto& [code, sentence] : all.get_object())
        if (std::string_view(code).starts_with(sentences)) out[code] = sentence;
    return out;
}

// Keys and sentences, as a block that is no script. No "<" stands in it, so nothing in it can end it.
enum class From { station, file };
std::string given(const PageText& text, const std::vector<CheckKey>& keys, From from) {
    json::array list;
    for (const auto& key : keys)
        list.push_back(json::object{{"key", key.key}, {"retired", key.retired}});
    const json::object all{
        {"keys", std::move(list)},
        {"served", from == From::station},
        {"words", json::object{{"en", words_of(text("words/en.json"))}, {"de", words_of(text("words/de.json"))}}}};
    std::string block;
    for (const char c : json::serialize(all))
        if (c == '<')
            block += "\\u003c";
        else
            block += c;
    return "<script type=\"application/json\" id=\"given\">" + block + "</script>\n";
}

// Modules as one: their imports of each other go, their exports are plain.
std::string without_seams(const std::string& module) {
    std::string out;
    for (std::size_t from = 0; from < module.size();) {
        const auto end = std::min(module.find('\n', from), module.size());
        std::string_view line = std::string_view(module).substr(from, end - from);
        from = end + 1;
        if (line.starts_with("import ")) continue;
        if (line.starts_with("export ")) line.remove_prefix(7);
        out += line;
        out += '\n';
    }
    return out;
}

std::string source_hash(const std::string& inline_text) {
    return "'sha256-" + to_base64(sha256(inline_text)) + "'";
}

}  // namespace

Result<CheckKey> check_key(const std::string& name, std::string_view tag_key_base64, bool retired) {
    const auto bytes = from_base64(tag_key_base64);
    const auto key = bytes ? as_array<32>(*bytes) : std::nullopt;
    if (!key) return refuse(message("key.malformed").with("why", "base64"));
    if (!is_key_name(name)) return refuse(message("key.malformed").with("why", "name"));
    return CheckKey{VerifierKey{name, KeyType::ed25519, *key}.text(), retired};
}

Result<std::vector<CheckKey>> check_keys(const std::vector<StationKey>& known) {
    std::vector<CheckKey> keys;
    for (auto one = known.rbegin(); one != known.rend(); ++one) {
        auto key = check_key(one->name, one->tag_key, one != known.rbegin());
        if (!key) return refuse(std::move(key.error()));
        keys.push_back(std::move(*key));
    }
    return keys;
}

std::string check_page_served(const PageText& text, std::string_view prefix, const std::vector<CheckKey>& keys) {
    const std::string base(prefix);
    const std::string head = "<link rel=\"icon\" type=\"image/svg+xml\" href=\"" + base +
                             "mark.svg\">\n<link rel=\"stylesheet\" href=\"" + base + "check/check.css\">";
    const std::string foot = given(text, keys, From::station) + "<script src=\"" + base +
                             "foreign/nacl.js\"></script>\n" + "<script type=\"module\" src=\"" + base +
                             "check/page.js\"></script>";
    return replaced(replaced(text("check/check.html"), "<!--HEAD-->", head), "<!--FOOT-->", foot);
}

std::string check_page_alone(const std::vector<CheckKey>& keys) {
    const auto files = built_pages();
    const PageText text = [&](const std::string& path) {
        for (const auto& file : files)
            if (file.path == path) return std::string(file.text);
        return std::string();
    };
    const std::string style = "\n" + text("check/check.css");
    const std::string nacl = "\n" + text("foreign/nacl.js") + "\n";
    const std::string script = "\n" + without_seams(text("check/statement.js")) + without_seams(text("check/page.js"));
    const std::string policy = "default-src 'none'; script-src " + source_hash(nacl) + " " + source_hash(script) +
                               "; style-src " + source_hash(style) +
                               "; img-src data:; base-uri 'none'; form-action 'none'";
    const std::string head = "<meta http-equiv=\"Content-Security-Policy\" content=\"" + policy +
                             "\">\n<link rel=\"icon\" href=\"data:,\">\n<style>" + style + "</style>";
    const std::string foot = given(text, keys, From::file) + "<script>" + nacl + "</script>\n<script type=\"module\">" +
                             script + "</script>";
    return replaced(replaced(text("check/check.html"), "<!--HEAD-->", head), "<!--FOOT-->", foot);
}

}  // namespace crimpgate
