#include "specs/csv.h"

#include <cstddef>
#include <set>
#include <utility>

#include "specs/shown_text.h"

namespace crimpgate {

namespace {

constexpr std::size_t largest_file = 16U * 1024 * 1024;

// Walks the text once, character by character; a row is closed when its line ends outside quotes.
class Reader {
  public:
    explicit Reader(std::string_view text) : rest_(text) {}

    CsvFile read() {
        while (!rest_.empty()) {
            if (const auto end = line_end(); end > 0) {  // nothing on this line
                take(end);
                continue;
            }
            read_row();
        }
        return std::move(file_);
    }

  private:
    // The length of the line end that the rest starts with, or 0.
    std::size_t line_end() const {
        if (rest_.front() == '\n') return 1;
        if (rest_.size() > 1 && rest_[0] == '\r' && rest_[1] == '\n') return 2;
        return 0;
    }

    void take(std::size_t size) {
        if (rest_[size - 1] == '\n') ++line_;
        rest_.remove_prefix(size);
    }

    void error(std::string_view code_seen, Message why) {
        if (!seen_in_field_.emplace(code_seen).second) return;
        row_.sound = false;
        file_.errors.push_back({row_.fields.back().line, row_.fields.back().ordinal, std::move(why)});
    }

    void read_row() {
        row_ = CsvRow{line_, true, {}};
        do {
            row_.fields.push_back({{}, line_, static_cast<int>(row_.fields.size()) + 1});
            seen_in_field_.clear();
        } while (read_field());
        if (file_.rows.empty()) {
            width_ = row_.fields.size();
        } else if (row_.fields.size() != width_) {
            row_.sound = false;
            auto why = message("csv.uneven")
                           .with("found", std::to_string(row_.fields.size()))
                           .with("expected", std::to_string(width_));
            file_.errors.push_back({row_.line, 0, std::move(why)});
        }
        file_.rows.push_back(std::move(row_));
    }

    // True when another field follows on the same row.
    bool read_field() {
        const bool quoted = !rest_.empty() && rest_.front() == '"';
        if (quoted) {
            take(1);
            if (!read_quoted()) return false;
        }
        return read_plain(quoted);
    }

    // Up to the closing quote; false when the text ends first.
    bool read_quoted() {
        while (!rest_.empty()) {
            if (rest_.front() != '"') {
                keep_character();
                continue;
            }
            take(1);
            if (rest_.empty() || rest_.front() != '"') return true;
            row_.fields.back().text += '"';
            take(1);
        }
        error("unterminated", message("csv.unterminated_quote").with("found", "").with("expected", "\""));
        return false;
    }

    // Up to the comma or line end that closes the field; after a closing quote nothing may stand before it.
    bool read_plain(bool quoted) {
        while (!rest_.empty()) {
            if (rest_.front() == ',') {
                take(1);
                return true;
            }
            if (const auto end = line_end(); end > 0) {
                take(end);
                return false;
            }
            if (quoted)
                error("after", message("csv.text_after_quote")
                                   .with("found", shown_text(rest_.substr(0, 1)))
                                   .with("expected", ","));
            else if (rest_.front() == '"')
                error("bare", message("csv.bare_quote").with("found", "\"").with("expected", "\"\""));
            keep_character();
        }
        return false;
    }

    void keep_character() {
        const std::size_t size = utf8_character(rest_);
        if (size == 0)
            error("utf8",
                  message("csv.invalid_utf8").with("found", shown_text(rest_.substr(0, 1))).with("expected", "UTF-8"));
        else if (rest_.front() == '\0')
            error("nul", message("csv.nul").with("found", "\\x00").with("expected", "UTF-8"));
        else if (rest_.front() == '\r' && line_end() == 0)
            error("cr", message("csv.lone_cr").with("found", "CR").with("expected", "CRLF | LF"));
        const std::size_t step = size == 0 ? 1 : size;
        row_.fields.back().text.append(rest_.substr(0, step));
        take(step);
    }

    std::string_view rest_;
    int line_ = 1;
    std::size_t width_ = 0;
    CsvRow row_;
    std::set<std::string, std::less<>> seen_in_field_;
    CsvFile file_;
};

CsvFile refused(Message why) {
    return {{}, {{1, 0, std::move(why)}}};
}

}  // namespace

CsvFile read_csv(std::string_view text) {
    if (text.size() > largest_file)
        return refused(message("csv.file_too_large")
                           .with("found", std::to_string(text.size()))
                           .with("expected", std::to_string(largest_file)));
    const auto start = text.substr(0, 2);
    if (start == "\xFF\xFE" || start == "\xFE\xFF")
        return refused(message("csv.utf16").with("found", "UTF-16").with("expected", "UTF-8"));
    if (text.substr(0, 3) == "\xEF\xBB\xBF") text.remove_prefix(3);
    return Reader(text).read();
}

}  // namespace crimpgate
