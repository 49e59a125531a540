#include "station/http/pages.h"

#include <algorithm>
#include <array>
#include <fstream>
#include <iterator>
#include <utility>

#include "station/people/pins.h"

namespace crimpgate {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view prefix = "/pages/";
constexpr std::string_view words_folder = "words/";
constexpr std::string_view foreign_folder = "foreign/";  // what the build took from the system

HttpResponse no_page(const std::string& path) {
    return error_response(404, message("http.no_page").with("path", path));
}

// Names as the project gives them: nothing hidden, no empty part, no character that a file system reads otherwise.
bool is_plain(std::string_view path) {
    bool starts = true;
    for (const char c : path) {
        const bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_';
        if (starts ? !letter : !(letter || c == '-' || c == '.' || c == '/')) return false;
        starts = c == '/';
    }
    return !starts;
}

std::optional<std::string> read_file(const fs::path& file) {
    std::error_code ec;
    if (!fs::is_regular_file(file, ec)) return std::nullopt;
    std::ifstream in(file, std::ios::binary);
    std::string text((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
    if (!in.is_open() || in.bad()) return std::nullopt;
    return text;
}

// A link that leads out of the folder is no way out of it.
std::optional<std::string> read_inside(const fs::path& folder, const std::string& path) {
    std::error_code ec;
    const auto root = fs::canonical(folder, ec);
    if (ec) return std::nullopt;
    const auto file = fs::canonical(folder / path, ec);
    if (ec) return std::nullopt;
    const auto [end, unused] = std::mismatch(root.begin(), root.end(), file.begin(), file.end());
    if (end != root.end()) return std::nullopt;
    return read_file(file);
}

std::string replaced(std::string text, std::string_view from, std::string_view to) {
    for (auto at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size()))
        text.replace(at, from.size(), to);
    return text;
}

}  // namespace

std::string_view content_type_of(std::string_view path) {
    static constexpr std::array<std::pair<std::string_view, std::string_view>, 9> types = {{
        {".html", "text/html; charset=utf-8"},
        {".js", "text/javascript; charset=utf-8"},
        {".css", "text/css; charset=utf-8"},
        {".json", "application/json; charset=utf-8"},
        {".svg", "image/svg+xml; charset=utf-8"},
        {".webmanifest", "application/manifest+json; charset=utf-8"},
        {".png", "image/png"},
        {".woff2", "font/woff2"},
        {".txt", "text/plain; charset=utf-8"},
    }};
    for (const auto& [ending, type] : types)
        if (path.ends_with(ending)) return type;
    return {};
}

Pages::Pages(std::vector<PageFile> files) {
    std::string all;
    for (const auto& file : files)
        files_.emplace(std::string(file.path), file.text);
    // With lengths, so that no text can pass for the next file's name.
    for (const auto& [path, text] : files_)
        all += path + '\n' + std::to_string(text.size()) + '\n' + std::string(text);
    hash_ = sha256_hex(all).substr(0, 16);
}

Result<Pages> Pages::from_folder(const fs::path& folder) {
    Pages pages;
    pages.folder_ = folder;
    pages.hash_ = "draft";
    for (const auto& file : built_pages())
        if (file.path.starts_with(words_folder) || file.path.starts_with(foreign_folder))
            pages.files_.emplace(std::string(file.path), file.text);
    if (!pages.text_of("index.html")) return refuse(message("http.pages_unreadable").with("folder", folder.string()));
    return pages;
}

std::optional<std::string> Pages::text_of(const std::string& path) const {
    if (!is_plain(path) || content_type_of(path).empty()) return std::nullopt;
    if (!folder_.empty()) {
        if (auto text = read_inside(folder_, path)) return text;
        if (path.starts_with(words_folder))
            if (auto text = read_inside(folder_ / ".." / words_folder, path.substr(words_folder.size()))) return text;
    }
    const auto found = files_.find(path);
    return found == files_.end() ? std::nullopt : std::optional(std::string(found->second));
}

std::string Pages::text(const std::string& path) const {
    return text_of(path).value_or(std::string());
}

std::string Pages::served_under() const {
    return std::string(prefix) + hash_ + "/";
}

HttpResponse Pages::index() const {
    auto text = text_of("index.html");
    if (!text) return no_page("/index.html");
    HttpResponse response;
    response.content_type = content_type_of("index.html");
    response.body = replaced(std::move(*text), "/pages/HASH/", std::string(prefix) + hash_ + "/");
    return response;
}

HttpResponse Pages::check_page() const {
    HttpResponse response;
    response.content_type = content_type_of("check.html");
    response.body =
        check_page_served([&](const std::string& path) { return text_of(path).value_or(std::string()); },
                          std::string(prefix) + hash_ + "/", check_keys_ ? check_keys_() : std::vector<CheckKey>());
    return response;
}

std::optional<HttpResponse> Pages::answer(const HttpRequest& request) const {
    const std::string& path = request.path;
    if (path == "/api" || path.starts_with("/api/")) return std::nullopt;
    if (request.method != "GET" && request.method != "HEAD") {
        auto response =
            error_response(405, message("api.wrong_method").with("path", path).with("allowed", "GET, HEAD"));
        response.headers.emplace_back("Allow", "GET, HEAD");
        return response;
    }
    if (path.starts_with(prefix)) {
        const auto own = std::string(prefix) + hash_ + "/";
        if (!path.starts_with(own)) return no_page(path);
        const std::string name = path.substr(own.size());
        auto text = text_of(name);
        if (!text) return no_page(path);
        HttpResponse response;
        response.content_type = content_type_of(name);
        response.body = std::move(*text);
        if (folder_.empty()) response.headers.emplace_back("Cache-Control", "public, max-age=31536000, immutable");
        return response;
    }
    if (path == "/favicon.ico") {  // asked for by old habit; the page names its own
        HttpResponse response;
        response.status = 204;
        return response;
    }
    if (path == "/C" || path.starts_with("/C/")) return check_page();
    if (path == "/pages" || path.find('.') != std::string::npos) return no_page(path);
    return index();
}

}  // namespace crimpgate
