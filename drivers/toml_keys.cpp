// Getters for one TOML table, each with an error that names the line, the key, what was found and what was expected.
#include "drivers/toml_keys.h"

#include <algorithm>

namespace crimpgate {
namespace {

std::string line_of(const toml::node& node) {
    return std::to_string(node.source().begin.line);
}

int hex_digit(char c) {
    if (c >= '0' && c <= '9') return c - '0';
    if (c >= 'a' && c <= 'f') return c - 'a' + 10;
    if (c >= 'A' && c <= 'F') return c - 'A' + 10;
    return -1;
}

std::string joined(const std::vector<std::string_view>& words) {
    std::string out;
    for (const auto word : words) {
        if (!out.empty()) out += ", ";
        out += word;
    }
    return out;
}

const toml::table& empty_table() {
    static const toml::table nothing;
    return nothing;
}

}  // namespace

TomlKeys::TomlKeys(const toml::table& table, std::string path, TomlErrors& errors)
    : table_(table), path_(std::move(path)), errors_(errors) {}

const toml::node* TomlKeys::take(std::string_view key) {
    asked_.emplace(key);
    return table_.get(key);
}

const toml::node* TomlKeys::need(std::string_view key, std::string_view expected) {
    const auto* node = take(key);
    if (!node) {
        errors_.others.push_back(message("profile.missing_key")
                                     .with("line", line_of(table_))
                                     .with("key", path_ + std::string(key))
                                     .with("expected", expected));
    }
    return node;
}

void TomlKeys::bad(std::string_view key, std::string_view found, std::string_view expected) {
    const auto* node = table_.get(key);
    errors_.others.push_back(message("profile.bad_value")
                                 .with("line", node ? line_of(*node) : line_of(table_))
                                 .with("key", path_ + std::string(key))
                                 .with("found", found)
                                 .with("expected", expected));
}

void TomlKeys::pattern_error(std::string_view what) {
    errors_.others.push_back(message("profile.pattern").with("line", line_of(table_)).with("what", what));
}

std::string TomlKeys::text(std::string_view key) {
    const auto* node = need(key, "text");
    if (!node) return {};
    if (const auto* value = node->as_string()) return value->get();
    bad(key, "something else", "text in quotes");
    return {};
}

std::string TomlKeys::decode_bytes(std::string_view key, const std::string& text) {
    if (!text.starts_with("hex:")) {
        const bool plain =
            std::all_of(text.begin(), text.end(), [](char c) { return static_cast<unsigned char>(c) < 0x80; });
        if (!plain) bad(key, text, "characters up to 0x7F; bytes above are written as \"hex: 80 ff\"");
        return text;
    }
    std::string digits = text.substr(4);
    digits.erase(std::remove(digits.begin(), digits.end(), ' '), digits.end());
    std::string out;
    if (digits.size() % 2 != 0) bad(key, text, "pairs of hexadecimal digits");
    for (std::size_t i = 0; i + 1 < digits.size(); i += 2) {
        const int high = hex_digit(digits[i]), low = hex_digit(digits[i + 1]);
        if (high < 0 || low < 0) {
            bad(key, text, "pairs of hexadecimal digits");
            return {};
        }
        out += static_cast<char>(high * 16 + low);
    }
    return out;
}

std::string TomlKeys::bytes(std::string_view key) {
    return decode_bytes(key, text(key));
}

std::vector<std::string> TomlKeys::texts(std::string_view key) {
    std::vector<std::string> out;
    const auto* node = take(key);
    if (!node) return out;
    if (const auto* one = node->as_string()) return {one->get()};
    const auto* list = node->as_array();
    if (!list) bad(key, "something else", "text, or a list of texts");
    for (std::size_t i = 0; list && i < list->size(); ++i) {
        if (const auto* entry = list->get(i)->as_string()) {
            out.push_back(entry->get());
        } else {
            bad(key, "something else in the list", "texts only");
        }
    }
    return out;
}

std::vector<std::string> TomlKeys::byte_texts(std::string_view key) {
    auto out = texts(key);
    for (auto& entry : out)
        entry = decode_bytes(key, entry);
    return out;
}

int TomlKeys::integer(std::string_view key, int least, int most) {
    const auto expected = "a whole number from " + std::to_string(least) + " to " + std::to_string(most);
    const auto* node = need(key, expected);
    if (!node) return least;
    const auto* value = node->as_integer();
    if (!value) {
        bad(key, "something else", expected);
        return least;
    }
    if (value->get() < least || value->get() > most) {
        bad(key, std::to_string(value->get()), expected);
        return least;
    }
    return static_cast<int>(value->get());
}

bool TomlKeys::boolean(std::string_view key) {
    const auto* node = need(key, "true or false");
    if (!node) return false;
    if (const auto* value = node->as_boolean()) return value->get();
    bad(key, "something else", "true or false");
    return false;
}

Length TomlKeys::length(std::string_view key, LengthUnit unit) {
    const std::string_view expected =
        unit == LengthUnit::mm ? "a length in mm, in quotes" : "a length in inches, in quotes";
    const auto* node = need(key, expected);
    if (!node) return {};
    const auto* value = node->as_string();
    const auto parsed = Length::parse(value ? value->get() : std::string(), unit);
    if (!parsed) {
        bad(key, value ? value->get() : "no text", expected);
        return {};
    }
    return *parsed;
}

std::size_t TomlKeys::choice(std::string_view key, const std::vector<std::string_view>& words) {
    const auto* node = need(key, joined(words));
    if (!node) return 0;
    const auto* value = node->as_string();
    const auto found =
        std::find(words.begin(), words.end(), value ? std::string_view(value->get()) : std::string_view());
    if (found == words.end()) {
        bad(key, value ? value->get() : "no text", joined(words));
        return 0;
    }
    return static_cast<std::size_t>(found - words.begin());
}

TomlKeys TomlKeys::table(std::string_view key) {
    const auto* node = need(key, "a table");
    const auto* found = node ? node->as_table() : nullptr;
    if (node && !found) bad(key, "something else", "a table");
    return {found ? *found : empty_table(), path_ + std::string(key) + ".", errors_};
}

std::vector<TomlKeys> TomlKeys::tables(std::string_view key) {
    std::vector<TomlKeys> out;
    const auto* node = take(key);
    if (!node) return out;
    const auto* list = node->as_array();
    if (!list) bad(key, "something else", "a list of tables");
    for (std::size_t i = 0; list && i < list->size(); ++i) {
        const auto path = path_ + std::string(key) + "[" + std::to_string(i + 1) + "].";
        if (const auto* entry = list->get(i)->as_table()) {
            out.emplace_back(*entry, path, errors_);
        } else {
            bad(key, "something else in the list", "tables only");
        }
    }
    return out;
}

void TomlKeys::finish() {
    for (const auto& [key, node] : table_) {
        if (asked_.count(key.str()) > 0) continue;
        errors_.unknown.push_back(message("profile.unknown_key")
                                      .with("line", std::to_string(key.source().begin.line))
                                      .with("key", path_ + std::string(key.str())));
    }
}

}  // namespace crimpgate
