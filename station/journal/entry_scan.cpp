#include "station/journal/entry_scan.h"

#include "station/json/canonical.h"
#include "station/json/utc_text.h"

namespace crimpgate {
namespace {

constexpr int deepest = 16;  // half of what the reader allows: nothing that is written here nests deeper

class Scanner {
  public:
    explicit Scanner(std::string_view text) : at_(text.data()), end_(text.data() + text.size()) {}

    bool at_end() const { return at_ == end_; }

    bool take(std::string_view expected) {
        if (!std::string_view(at_, left()).starts_with(expected)) return false;
        at_ += expected.size();
        return true;
    }

    bool value(int depth) {
        if (at_ == end_ || depth > deepest) return false;
        switch (*at_) {
            case '{':
                return object(depth);
            case '[':
                return array(depth);
            case '"':
                return string();
            case 't':
                return take("true");
            case 'f':
                return take("false");
            default:
                return number(nullptr);
        }
    }

    // The text between the quotes, when none of it is escaped.
    std::optional<std::string_view> plain_string() {
        const char* begin = at_;
        bool escaped = false;
        if (!string(&escaped) || escaped) return std::nullopt;
        return std::string_view(begin + 1, static_cast<std::size_t>(at_ - begin) - 2);
    }

    bool number(std::int64_t* out) {
        const bool negative = take("-");
        const char* begin = at_;
        std::int64_t value = 0;
        while (at_ != end_ && *at_ >= '0' && *at_ <= '9' && at_ - begin < 17)
            value = value * 10 + (*at_++ - '0');
        if (at_ == begin || (*begin == '0' && (negative || at_ - begin > 1)) || value > json_integer_limit)
            return false;
        if (at_ != end_ && (*at_ == '.' || *at_ == 'e' || *at_ == 'E' || (*at_ >= '0' && *at_ <= '9'))) return false;
        if (out != nullptr) *out = negative ? -value : value;
        return true;
    }

  private:
    std::size_t left() const { return static_cast<std::size_t>(end_ - at_); }

    bool object(int depth) {
        ++at_;
        if (take("}")) return true;
        std::string_view before;
        for (bool first = true;; first = false) {
            const auto name = plain_string();
            // Among names of ASCII alone the order of bytes is that of UTF-16 (RFC 8785 section 3.2.3).
            if (!name || high_ || (!first && !(before < *name)) || !take(":") || !value(depth + 1)) return false;
            if (take("}")) return true;
            if (!take(",")) return false;
            before = *name;
        }
    }

    bool array(int depth) {
        ++at_;
        if (take("]")) return true;
        for (;;) {
            if (!value(depth + 1)) return false;
            if (take("]")) return true;
            if (!take(",")) return false;
        }
    }

    bool string(bool* escaped = nullptr) {
        if (!take("\"")) return false;
        const char* begin = at_;
        high_ = false;
        for (; at_ != end_; ++at_) {
            const auto c = static_cast<unsigned char>(*at_);
            if (c == '"') {
                const std::string_view words(begin, static_cast<std::size_t>(at_ - begin));
                ++at_;
                return !high_ || is_utf8(words);
            }
            if (c < 0x20) return false;
            if (c >= 0x80) high_ = true;
            if (c != '\\') continue;
            if (escaped != nullptr) *escaped = true;
            ++at_;
            if (!escape()) return false;
        }
        return false;
    }

    // Behind a backslash; ends on the escape's last character.
    bool escape() {
        if (at_ == end_) return false;
        if (std::string_view("\"\\bfnrt").find(*at_) != std::string_view::npos) return true;
        // The other control characters, as \u00 and two lower-case digits.
        if (left() < 5 || !std::string_view(at_, 5).starts_with("u00") || (at_[3] != '0' && at_[3] != '1'))
            return false;
        const auto low = std::string_view("0123456789abcdef").find(at_[4]);
        if (low == std::string_view::npos) return false;
        const auto code = static_cast<std::size_t>(at_[3] - '0') * 16 + low;
        if (code == 8 || code == 9 || code == 10 || code == 12 || code == 13) return false;  // have a shorter escape
        at_ += 4;
        return true;
    }

    const char* at_;
    const char* end_;
    bool high_ = false;  // the last string held something beyond ASCII
};

}  // namespace

bool scan_canonical(std::string_view text) {
    Scanner scanner(text);
    return scanner.value(0) && scanner.at_end();
}

std::optional<EntryScan> scan_entry(std::string_view bytes) {
    Scanner scanner(bytes);
    EntryScan out;
    std::string_view boot;
    std::string_view clock;
    std::int64_t mono_us = 0;
    const auto text = [&](std::string_view before, std::string_view& place) {
        const auto words = scanner.take(before) ? scanner.plain_string() : std::nullopt;
        if (words) place = *words;
        return words.has_value();
    };
    const auto whole = [&](std::string_view before, std::int64_t& place) {
        return scanner.take(before) && scanner.number(&place);
    };
    const bool good = bytes.starts_with("{\"body\":{") && scanner.take("{\"body\":") && scanner.value(1) &&
                      text(",\"boot\":", boot) && text(",\"clock\":", clock) && whole(",\"mono_us\":", mono_us) &&
                      whole(",\"seq\":", out.seq) && text(",\"station\":", out.station) &&
                      text(",\"time\":", out.time) && text(",\"type\":", out.type) &&
                      scanner.take(",\"v\":1,\"who\":") && text("", out.who) && scanner.take("}") && scanner.at_end() &&
                      (clock == "synced" || clock == "unsynced") && parse_utc_text(out.time);
    return good ? std::optional(out) : std::nullopt;
}

}  // namespace crimpgate
