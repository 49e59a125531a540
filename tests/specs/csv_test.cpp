#include "specs/csv.h"

#include <rapidcheck.h>

#include <string>
#include <vector>

#include "specs/csv_write.h"
#include "specs/shown_text.h"
#include "tests/support/catch.h"

using namespace crimpgate;

namespace {

using Cells = std::vector<std::vector<std::string>>;

Cells cells(std::string_view text) {
    const auto file = read_csv(text);
    INFO((file.errors.empty() ? "" : file.errors.front().why.code));
    CHECK(file.errors.empty());
    Cells all;
    for (const auto& row : file.rows) {
        all.emplace_back();
        for (const auto& field : row.fields)
            all.back().push_back(field.text);
    }
    return all;
}

// "line:ordinal code" of every error.
std::vector<std::string> errors(std::string_view text) {
    std::vector<std::string> all;
    for (const auto& e : read_csv(text).errors)
        all.push_back(std::to_string(e.line) + ":" + std::to_string(e.ordinal) + " " + e.why.code);
    return all;
}

using Lines = std::vector<std::string>;

}  // namespace

// Source: RFC 4180 section 2, rules 1 to 7 with the RFC's own examples.
TEST_CASE("A table reads as RFC 4180 rules 1 to 7 have it") {
    const Cells two = {{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}};
    CHECK(cells("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n") == two);          // rule 1
    CHECK(cells("aaa,bbb,ccc\r\nzzz,yyy,xxx") == two);              // rule 2: no end on the last line
    CHECK(cells("\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx") == two);  // rule 5
    CHECK(cells("\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx") ==    // rule 6
          Cells{{"aaa", "b\r\nbb", "ccc"}, {"zzz", "yyy", "xxx"}});
    CHECK(cells("\"aaa\",\"b\"\"bb\",\"ccc\"") == Cells{{"aaa", "b\"bb", "ccc"}});  // rule 7
    CHECK(cells("a b, c ,\"d,e\"") == Cells{{"a b", " c ", "d,e"}});  // rule 4: blanks belong to the field
}

TEST_CASE("A spreadsheet's habits are no errors: byte order mark, LF, empty lines at the end, empty cells") {
    CHECK(cells("\xEF\xBB\xBF"
                "a,b\n1,2\n") == Cells{{"a", "b"}, {"1", "2"}});
    CHECK(cells("\xEF\xBB\xBF\"a\",b") == Cells{{"a", "b"}});
    CHECK(cells("a,b\r\n1,2\n3,4\r\n\r\n\n") == Cells{{"a", "b"}, {"1", "2"}, {"3", "4"}});
    CHECK(cells("a,b,c\n,,\n\"\",,\"\"") == Cells{{"a", "b", "c"}, {"", "", ""}, {"", "", ""}});
    CHECK(cells("a\n\"\"\n") == Cells{{"a"}, {""}});
    CHECK(cells("Gr\xC3\xB6\xC3\x9F"
                "e,\xE3\x81\x82") == Cells{{"Gr\xC3\xB6\xC3\x9F"
                                            "e",
                                            "\xE3\x81\x82"}});
    CHECK(cells("").empty());
    CHECK(cells("\xEF\xBB\xBF").empty());
}

TEST_CASE("Every field knows the line that it starts on, also after a field with line ends inside") {
    const auto file = read_csv("a,b\r\n\"1\n\n2\",\"x\r\ny\"\n\n3,4\n");
    REQUIRE(file.errors.empty());
    REQUIRE(file.rows.size() == 3);
    CHECK(file.rows[1].line == 2);
    CHECK(file.rows[1].fields[0] == CsvField{"1\n\n2", 2, 1});
    CHECK(file.rows[1].fields[1] == CsvField{"x\r\ny", 4, 2});
    CHECK(file.rows[2].fields[0] == CsvField{"3", 7, 1});
}

TEST_CASE("Each way of breaking a table is named, with its line and field") {
    CHECK(errors("a,b\n1,2\"3\n") == Lines{"2:2 csv.bare_quote"});
    CHECK(errors("a,b\n 1, \"2\"\n") == Lines{"2:2 csv.bare_quote"});
    CHECK(errors("a,b\n\"1\"x,2\n") == Lines{"2:1 csv.text_after_quote"});
    CHECK(errors("a,b\n\"1\" ,2\n") == Lines{"2:1 csv.text_after_quote"});
    CHECK(errors("a,b\n\"\"x,2\n") == Lines{"2:1 csv.text_after_quote"});
    CHECK(errors("a,b\n1,\"2\n3,4\n") == Lines{"2:2 csv.unterminated_quote"});
    CHECK(errors("a\n\"") == Lines{"2:1 csv.unterminated_quote"});
    CHECK(errors("a,b\n1\n1,2,3\n") == Lines{"2:0 csv.uneven", "3:0 csv.uneven"});
    CHECK(errors("a,b\n1,2\r3,4\n") == Lines{"2:2 csv.lone_cr", "2:0 csv.uneven"});
    CHECK(errors("a,b\n1,\"2\r3\"\n") == Lines{"2:2 csv.lone_cr"});
    CHECK(errors("a,b\n1,2\r") == Lines{"2:2 csv.lone_cr"});
    CHECK(errors(std::string_view("a,b\n1,\0\n", 8)) == Lines{"2:2 csv.nul"});
    CHECK(errors("\xFF\xFE"
                 "a") == Lines{"1:0 csv.utf16"});
    CHECK(errors(std::string(17U * 1024 * 1024, 'x')) == Lines{"1:0 csv.file_too_large"});
}

// Source: RFC 3629 section 3 (the ranges that no byte sequence may take) and section 10 (overlong forms).
TEST_CASE("Text that is not UTF-8 is refused, not guessed at") {
    for (const std::string bad : {"\x80", "\xC0\xAF", "\xC1\xBF", "\xE0\x80\xAF", "\xED\xA0\x80", "\xF0\x80\x80\xAF",
                                  "\xF4\x90\x80\x80", "\xF5\x80\x80\x80", "\xFF", "\xC3", "\xE2\x82",
                                  "Gr\xF6\xDF"
                                  "e"}) {
        INFO(shown_text(bad));
        CHECK(errors("a,b\n1," + bad + "\n") == Lines{"2:2 csv.invalid_utf8"});
    }
    for (const std::string good : {"\x7F", "\xC2\x80", "\xDF\xBF", "\xE0\xA0\x80", "\xED\x9F\xBF", "\xEE\x80\x80",
                                   "\xEF\xBF\xBF", "\xF0\x90\x80\x80", "\xF4\x8F\xBF\xBF"})
        CHECK(errors("a,b\n1," + good + "\n").empty());
}

TEST_CASE("All faults of a file are told at once, and its sound rows are still handed over") {
    const auto file = read_csv("a,b\n1,2\n\"x\"y,2\n3,4\n5\n6,\xFF\n7,8");
    CHECK(errors("a,b\n1,2\n\"x\"y,2\n3,4\n5\n6,\xFF\n7,8") ==
          Lines{"3:1 csv.text_after_quote", "5:0 csv.uneven", "6:2 csv.invalid_utf8"});
    std::vector<bool> sound;
    for (const auto& row : file.rows)
        sound.push_back(row.sound);
    CHECK(sound == std::vector<bool>{true, true, false, true, false, false, true});
}

TEST_CASE("A cell that a spreadsheet would run as a formula is written as text") {
    CHECK(csv_field("=1+1") == "'=1+1");
    CHECK(csv_field("@SUM(A1)") == "'@SUM(A1)");
    CHECK(csv_field("+cmd|' /C calc'!A0") == "'+cmd|' /C calc'!A0");
    CHECK(csv_field("-2+3") == "'-2+3");
    CHECK(csv_field("  =1+1") == "'  =1+1");
    CHECK(csv_field("\t=1+1") == "\"'\t=1+1\"");
    CHECK(csv_field("=HYPERLINK(\"http://x\",\"y\")") == "\"'=HYPERLINK(\"\"http://x\"\",\"\"y\"\")\"");
    CHECK(csv_field("-0.20") == "-0.20");
    CHECK(csv_field("+25.50") == "+25.50");
    CHECK(csv_field("-") == "'-");
    CHECK(csv_field("1;2;3;4") == "\"1;2;3;4\"");
    CHECK(csv_field("") == "");
    CHECK(csv_row({"a", "", "b,c"}) == "a,,\"b,c\"\r\n");
    CHECK(csv_row({""}) == "\"\"\r\n");
}

TEST_CASE("What is written is read back, save for the apostrophe before a formula") {
    CHECK(rc::check([] {
        const auto letter = rc::gen::element<std::string>("a", "=", "-", ",", ";", "\"", "\n", "\r\n", " ", "'", "5",
                                                          "\xC3\xBC", "\xE3\x81\x82");
        const auto cell = rc::gen::map(rc::gen::container<std::vector<std::string>>(letter), [](const auto& parts) {
            std::string all;
            for (const auto& part : parts)
                all += part;
            return all;
        });
        const auto width = *rc::gen::inRange<std::size_t>(1, 6);
        const auto table = *rc::gen::container<std::vector<std::vector<std::string>>>(
            rc::gen::container<std::vector<std::string>>(width, cell));
        std::string text;
        for (const auto& row : table)
            text += csv_row(row);
        const auto file = read_csv(text);
        RC_ASSERT(file.errors.empty());
        RC_ASSERT(file.rows.size() == table.size());
        for (std::size_t r = 0; r < table.size(); ++r)
            for (std::size_t c = 0; c < width; ++c) {
                const auto& back = file.rows[r].fields[c].text;
                RC_ASSERT(back == table[r][c] || back == "'" + table[r][c]);
            }
    }));
}

TEST_CASE("No bytes whatever make the reader do anything but read or report, and a reported row is marked") {
    CHECK(rc::check([] {
        const auto text = *rc::gen::container<std::string>(
            rc::gen::element('a', ',', '"', '\n', '\r', '\0', '\xC3', '\xBC', '\xFF', ' '));
        const auto file = read_csv(text);
        bool all_sound = true;
        for (const auto& row : file.rows)
            all_sound = all_sound && row.sound;
        RC_ASSERT(all_sound == file.errors.empty());
    }));
}
