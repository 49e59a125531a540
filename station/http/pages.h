// The station's own pages: index.html, scripts, styles and the sentences, as they were built into the program or from
// a folder for those who work on them.
//
// Every file but index.html lives under /pages/<hash>/, the hash being over all of them: a new build is a new name, so
// a browser may keep what it has for ever and never mixes two builds. index.html is never kept and names the hash; it
// answers at "/" and at every path without a dot that is not the API's, so that an address typed by hand finds it.
// Nobody needs to be signed in: pages hold no record. /C and /C/<statement>, where the link on a tag leads, is a page
// of its own that checks the tag (check_page.h).
#pragma once

#include <filesystem>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "specs/message.h"
#include "station/http/check_page.h"
#include "station/http/http_types.h"

namespace crimpgate {

struct PageFile {
    std::string_view path;  // "kit/dom.js", "index.html", "words/en.json"
    std::string_view text;
};

// What the build found in station/web and station/words, sorted by path.
std::vector<PageFile> built_pages();

// "text/javascript; charset=utf-8" by the name's ending; empty for what is no part of a page.
std::string_view content_type_of(std::string_view path);

class Pages {
  public:
    // The texts must outlive the pages.
    explicit Pages(std::vector<PageFile> files);

    // From `folder`, read anew for each request (hash "draft", kept by no cache); sentences from the folder words
    // beside it where there is one. "http.pages_unreadable" (folder) when it has no index.html.
    static Result<Pages> from_folder(const std::filesystem::path& folder);

    // First 16 hex digits of the SHA-256 over every path and text; "draft" for a folder.
    const std::string& hash() const { return hash_; }

    // For pages that are put together elsewhere: a file's text (empty when there is none) and the path that files are
    // served under, "/pages/<hash>/".
    std::string text(const std::string& path) const;
    std::string served_under() const;

    // The keys that tags are signed with, asked for at each request; the newest first.
    void check_tags_with(std::function<std::vector<CheckKey>()> keys) { check_keys_ = std::move(keys); }

    // Nothing when the path is the API's.
    std::optional<HttpResponse> answer(const HttpRequest& request) const;

  private:
    Pages() = default;
    std::optional<std::string> text_of(const std::string& path) const;
    HttpResponse index() const;
    HttpResponse check_page() const;

    std::map<std::string, std::string_view, std::less<>> files_;
    std::filesystem::path folder_;  // empty: built in
    std::string hash_;
    std::function<std::vector<CheckKey>()> check_keys_;
};

}  // namespace crimpgate
