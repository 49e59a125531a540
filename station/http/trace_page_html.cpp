#include "station/http/trace_page_html.h"

#include <boost/json.hpp>

namespace crimpgate {
namespace {

namespace json = boost::json;

constexpr std::string_view sentences = "page.trace.";
constexpr std::string_view policy =
    "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src data:; base-uri 'none'; "
    "form-action 'none'; frame-ancestors 'none'";

json::object words_of(const std::string& file) {
    json::object out;
    boost::system::error_code ec;
    const auto all = json::parse(file, ec);
    if (ec || !all.is_object()) return out;
    for (const auto& [code, sentence] : all.get_object())
        if (std::string_view(code).starts_with(sentences)) out[code.substr(sentences.size())] = sentence;
    return out;
}

std::string replaced(std::string text, std::string_view from, const std::string& to) {
    const auto at = text.find(from);
    return at == std::string::npos ? text : text.replace(at, from.size(), to);
}

// No "<" stands in it, so nothing in it can end the block.
std::string block(const std::string& id, const std::string& data) {
    std::string safe;
    for (const char c : data)
        if (c == '<')
            safe += "\\u003c";
        else
            safe += c;
    return "<script type=\"application/json\" id=\"" + id + "\">" + safe + "</script>\n";
}

}  // namespace

HttpResponse trace_page_html(const PageText& text, const std::string& prefix, const std::string& shown) {
    const auto words =
        json::serialize(json::object{{"en", words_of(text("words/en.json"))}, {"de", words_of(text("words/de.json"))}});
    const std::string head =
        "<link rel=\"icon\" href=\"data:,\">\n<link rel=\"stylesheet\" href=\"" + prefix + "trace/trace.css\">";
    const std::string foot = block("words", words) + block("shown", shown) + "<script type=\"module\" src=\"" + prefix +
                             "trace/page.js\"></script>";
    HttpResponse response;
    response.content_type = "text/html; charset=utf-8";
    response.body = replaced(replaced(text("trace/trace.html"), "<!--HEAD-->", head), "<!--FOOT-->", foot);
    response.headers.emplace_back("Content-Security-Policy", std::string(policy));
    return response;
}

}  // namespace crimpgate
