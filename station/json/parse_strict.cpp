// The strict reader of canonical.h, on the event parser of Boost.JSON: that library's own value builder would take a
// name that stands twice (the last one wins), null and fractions without a word.
#include <optional>
#include <string>
#include <vector>

#include <boost/json.hpp>
#include <boost/json/basic_parser_impl.hpp>

#include "station/json/canonical.h"

namespace crimpgate {
namespace {

namespace json = boost::json;

constexpr std::size_t deepest = 32;

// Takes the parser's events and builds the value; the first thing that the profile does not hold stops it.
struct Builder {
    static constexpr std::size_t max_object_size = json::object::max_size();
    static constexpr std::size_t max_array_size = json::array::max_size();
    static constexpr std::size_t max_key_size = json::string::max_size();
    static constexpr std::size_t max_string_size = json::string::max_size();

    struct Level {
        json::value container;
        std::string name;  // of the member whose value comes next
    };
    std::vector<Level> open;
    json::value result;
    std::string text;
    std::optional<Message> refusal;

    bool stop(Message m, json::error_code& ec) {
        refusal = std::move(m);
        ec = json::error::exception;
        return false;
    }
    bool put(json::value value) {
        if (open.empty()) {
            result = std::move(value);
        } else if (auto* array = open.back().container.if_array()) {
            array->push_back(std::move(value));
        } else {
            open.back().container.get_object().emplace(open.back().name, std::move(value));
        }
        return true;
    }
    bool close() {
        json::value done = std::move(open.back().container);
        open.pop_back();
        return put(std::move(done));
    }
    bool whole(std::int64_t n, json::error_code& ec) {
        if (n > json_integer_limit || n < -json_integer_limit) return stop(message("json.integer_too_large"), ec);
        return put(n);
    }

    bool on_document_begin(json::error_code&) { return true; }
    bool on_document_end(json::error_code&) { return true; }
    bool on_object_begin(json::error_code&) {
        open.push_back({json::object(), {}});
        return true;
    }
    bool on_object_end(std::size_t, json::error_code&) { return close(); }
    bool on_array_begin(json::error_code&) {
        open.push_back({json::array(), {}});
        return true;
    }
    bool on_array_end(std::size_t, json::error_code&) { return close(); }
    bool on_key_part(json::string_view part, std::size_t, json::error_code&) {
        text.append(part.data(), part.size());
        return true;
    }
    bool on_key(json::string_view part, std::size_t, json::error_code& ec) {
        text.append(part.data(), part.size());
        if (open.back().container.get_object().contains(text))
            return stop(message("json.name_twice").with("name", text), ec);
        open.back().name = std::move(text);
        text.clear();
        return true;
    }
    bool on_string_part(json::string_view part, std::size_t, json::error_code&) {
        text.append(part.data(), part.size());
        return true;
    }
    bool on_string(json::string_view part, std::size_t, json::error_code&) {
        text.append(part.data(), part.size());
        json::string whole_text(text);
        text.clear();
        return put(std::move(whole_text));
    }
    bool on_number_part(json::string_view, json::error_code&) { return true; }
    bool on_int64(std::int64_t n, json::string_view, json::error_code& ec) { return whole(n, ec); }
    bool on_uint64(std::uint64_t, json::string_view, json::error_code& ec) {
        return stop(message("json.integer_too_large"), ec);  // only told of numbers beyond int64
    }
    bool on_double(double, json::string_view, json::error_code& ec) { return stop(message("json.not_an_integer"), ec); }
    bool on_bool(bool b, json::error_code&) { return put(b); }
    bool on_null(json::error_code& ec) { return stop(message("json.null"), ec); }
    bool on_comment_part(json::string_view, json::error_code&) { return true; }
    bool on_comment(json::string_view, json::error_code&) { return true; }
};

}  // namespace

Result<json::value> parse_strict(std::string_view text) {
    json::parse_options options;  // no comments, no trailing commas, UTF-8 is checked: the defaults
    options.max_depth = deepest;
    json::basic_parser<Builder> parser(options);
    json::error_code ec;
    const std::size_t used = parser.write_some(false, text.data(), text.size(), ec);
    const std::string at = std::to_string(used);
    if (parser.handler().refusal) return refuse(std::move(*parser.handler().refusal).with("byte", at));
    if (ec == json::error::too_deep)
        return refuse(message("json.too_deep").with("levels", std::to_string(deepest)).with("byte", at));
    if (ec) return refuse(message("json.malformed").with("byte", at).with("why", ec.message()));
    if (used != text.size()) return refuse(message("json.malformed").with("byte", at).with("why", "more follows"));
    return std::move(parser.handler().result);
}

Result<json::object> parse_strict_object(std::string_view text) {
    auto value = parse_strict(text);
    if (!value) return refuse(std::move(value.error()));
    if (!value->is_object()) return refuse(message("json.not_an_object"));
    return std::move(value->get_object());
}

}  // namespace crimpgate
