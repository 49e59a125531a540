#include "station/json/canonical.h"

#include <algorithm>
#include <stdexcept>
#include <vector>

#include <boost/json.hpp>

namespace crimpgate {
namespace {

namespace json = boost::json;

void write_string(std::string& out, std::string_view text) {
    if (!is_utf8(text)) throw std::logic_error("canonical: text is not UTF-8");
    constexpr char hex[] = "0123456789abcdef";
    out += '"';
    for (const char c : text) {
        switch (c) {
            case '"':
                out += "\\\"";
                break;
            case '\\':
                out += "\\\\";
                break;
            case '\b':
                out += "\\b";
                break;
            case '\t':
                out += "\\t";
                break;
            case '\n':
                out += "\\n";
                break;
            case '\f':
                out += "\\f";
                break;
            case '\r':
                out += "\\r";
                break;
            default: {
                const auto byte = static_cast<unsigned char>(c);
                if (byte < 0x20) {
                    out += "\\u00";
                    out += hex[byte >> 4];
                    out += hex[byte & 15];
                } else {
                    out += c;
                }
            }
        }
    }
    out += '"';
}

void write(std::string& out, const json::value& value);

void write_object(std::string& out, const json::object& object) {
    std::vector<const json::key_value_pair*> members;
    members.reserve(object.size());
    for (const auto& member : object)
        members.push_back(&member);
    std::sort(members.begin(), members.end(), [](const auto* a, const auto* b) {
        return before_in_utf16({a->key().data(), a->key().size()}, {b->key().data(), b->key().size()});
    });
    out += '{';
    bool first = true;
    for (const auto* member : members) {
        if (!first) out += ',';
        first = false;
        write_string(out, {member->key().data(), member->key().size()});
        out += ':';
        write(out, member->value());
    }
    out += '}';
}

void write_integer(std::string& out, std::int64_t n) {
    if (n > json_integer_limit || n < -json_integer_limit) throw std::logic_error("canonical: integer beyond 2^53 - 1");
    out += std::to_string(n);
}

void write(std::string& out, const json::value& value) {
    switch (value.kind()) {
        case json::kind::object:
            return write_object(out, value.get_object());
        case json::kind::array: {
            out += '[';
            bool first = true;
            for (const auto& item : value.get_array()) {
                if (!first) out += ',';
                first = false;
                write(out, item);
            }
            out += ']';
            return;
        }
        case json::kind::string:
            return write_string(out, {value.get_string().data(), value.get_string().size()});
        case json::kind::bool_:
            out += value.get_bool() ? "true" : "false";
            return;
        case json::kind::int64:
            return write_integer(out, value.get_int64());
        case json::kind::uint64:
            if (value.get_uint64() > static_cast<std::uint64_t>(json_integer_limit))
                throw std::logic_error("canonical: integer beyond 2^53 - 1");
            return write_integer(out, static_cast<std::int64_t>(value.get_uint64()));
        case json::kind::null:
            throw std::logic_error("canonical: null has no place in a record");
        case json::kind::double_:
            throw std::logic_error("canonical: a fraction has no place in a record");
    }
}

}  // namespace

std::string canonical(const json::value& value) {
    std::string out;
    write(out, value);
    return out;
}

std::string canonical(const json::object& object) {
    std::string out;
    write_object(out, object);
    return out;
}

// In UTF-8 a character beyond U+FFFF starts with F0 to F4; in UTF-16 it starts with a surrogate, D800 to DBFF, which
// sorts before U+E000 to U+FFFF (UTF-8 lead bytes EE and EF). All other orders are the same, so only those two kinds
// of lead bytes change places.
bool before_in_utf16(std::string_view a, std::string_view b) {
    const auto [at_a, at_b] = std::mismatch(a.begin(), a.end(), b.begin(), b.end());
    if (at_a == a.end() || at_b == b.end()) return at_b != b.end();
    const auto x = static_cast<unsigned char>(*at_a);
    const auto y = static_cast<unsigned char>(*at_b);
    const bool x_beyond = x >= 0xF0;
    const bool y_beyond = y >= 0xF0;
    if (x_beyond && !y_beyond) return y >= 0xEE;
    if (y_beyond && !x_beyond) return x < 0xEE;
    return x < y;
}

bool is_utf8(std::string_view text) {
    std::size_t i = 0;
    const auto byte = [&](std::size_t at) { return static_cast<unsigned char>(text[at]); };
    while (i < text.size()) {
        const unsigned char lead = byte(i);
        if (lead < 0x80) {
            ++i;
            continue;
        }
        std::size_t more = 0;
        unsigned char low = 0x80;
        unsigned char high = 0xBF;
        if (lead >= 0xC2 && lead <= 0xDF) {
            more = 1;
        } else if (lead >= 0xE0 && lead <= 0xEF) {
            more = 2;
            if (lead == 0xE0) low = 0xA0;   // overlong
            if (lead == 0xED) high = 0x9F;  // surrogates
        } else if (lead >= 0xF0 && lead <= 0xF4) {
            more = 3;
            if (lead == 0xF0) low = 0x90;   // overlong
            if (lead == 0xF4) high = 0x8F;  // above U+10FFFF
        } else {
            return false;
        }
        if (text.size() - i <= more) return false;
        if (byte(i + 1) < low || byte(i + 1) > high) return false;
        for (std::size_t k = 2; k <= more; ++k)
            if (byte(i + k) < 0x80 || byte(i + k) > 0xBF) return false;
        i += more + 1;
    }
    return true;
}

}  // namespace crimpgate
