// The fast look at an entry's bytes against the slow one: what it takes, the other takes, too.
#include "station/journal/entry_scan.h"

#include <rapidcheck.h>

#include "station/json/canonical.h"
#include "tests/station/shop_day.h"

using namespace journal_kit;

namespace {

namespace json = boost::json;

bool is_canonical(const std::string& text) {
    const auto value = parse_strict(text);
    return value && canonical(*value) == text;
}

json::value random_value(int depth) {
    switch (*rc::gen::inRange(0, depth > 3 ? 4 : 6)) {
        case 0:
            return *rc::gen::arbitrary<bool>();
        case 1:
            return *rc::gen::inRange<std::int64_t>(-json_integer_limit, json_integer_limit + 1);
        case 2:
            return *rc::gen::inRange<std::int64_t>(-20, 20);
        case 3: {
            std::string text;
            for (const int part : *rc::gen::container<std::vector<int>>(rc::gen::inRange(0, 12)))
                text += std::vector<std::string>{"a",    "\"",       "\\",
                                                 "\n",   "\x01",     "\x1f",
                                                 "\x7f", "\xC3\xA4", "\xF0\x9F\x94\xA7",
                                                 "/",    " ",        "\t"}[static_cast<std::size_t>(part)];
            return json::value(text);
        }
        case 4: {
            json::array array;
            for (int n = *rc::gen::inRange(0, 4); n > 0; --n)
                array.push_back(random_value(depth + 1));
            return array;
        }
        default: {
            json::object object;
            for (int n = *rc::gen::inRange(0, 4); n > 0; --n)
                object[std::string(1, static_cast<char>('a' + *rc::gen::inRange(0, 26)))] = random_value(depth + 1);
            return object;
        }
    }
}

}  // namespace

TEST_CASE("every entry of a shop's day is read at a glance, with the members that its columns show") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    live_through(journal);
    must(journal.for_each([](const Entry& entry) {
        const auto scan = scan_entry(entry.bytes);
        INFO(entry.bytes);
        REQUIRE(scan);
        CHECK(scan->seq == entry.seq);
        CHECK(scan->station == entry.station);
        CHECK(scan->time == entry.time);
        CHECK(scan->type == entry.type);
        CHECK(scan->who == entry.who);
        return true;
    }));
}

TEST_CASE("R3: canonical bytes are taken, and with one byte changed only what the slow reader takes") {
    CHECK(rc::check("fast and slow agree", [] {
        const std::string text = canonical(random_value(0));
        RC_ASSERT(scan_canonical(text));
        std::string other = text;
        const auto at = *rc::gen::inRange<std::size_t>(0, text.size());
        const std::string bytes = "\"\\{}[],:09-tfn.eE \x01\x7f\x80\xFFu";
        switch (*rc::gen::inRange(0, 3)) {
            case 0:
                other[at] = bytes[*rc::gen::inRange<std::size_t>(0, bytes.size())];
                break;
            case 1:
                other.insert(at, 1, bytes[*rc::gen::inRange<std::size_t>(0, bytes.size())]);
                break;
            default:
                other.erase(at, 1);
                break;
        }
        if (scan_canonical(other)) RC_ASSERT(is_canonical(other));
    }));
}

TEST_CASE("spellings that are not the one canonical one are not taken") {
    for (const char* bad : {"",
                            " 1",
                            "1 ",
                            "01",
                            "-0",
                            "-",
                            "1.0",
                            "1e3",
                            "9007199254740992",
                            "-9007199254740992",
                            "null",
                            "tru",
                            "\"",
                            "\"\n\"",
                            "\"\\/\"",
                            "\"\\u000a\"",
                            "\"\\u0041\"",
                            "\"\\u001F\"",
                            "\"\\u00e4\"",
                            "\"\xC3\"",
                            "\"\xC0\xAF\"",
                            "[1,]",
                            "[,1]",
                            "[1 ,2]",
                            "{\"b\":1,\"a\":2}",
                            "{\"a\":1,\"a\":2}",
                            "{\"a\": 1}",
                            "{\"a\":1,}",
                            "{a:1}",
                            "[1",
                            "{\"a\":1",
                            "99999999999999999999999999",
                            "1x"}) {
        INFO(bad);
        CHECK_FALSE(scan_canonical(bad));
        CHECK_FALSE(is_canonical(bad));
    }
    for (const char* good : {"9007199254740991", "-9007199254740991", "0", "\"\\u001f\\b\\\"\\\\\"", "{}", "[]", "true",
                             "{\"a\":{\"b\":[1,false]},\"b\":\"\xC3\xA4\"}"}) {
        INFO(good);
        CHECK(scan_canonical(good));
        CHECK(is_canonical(good));
    }
}

TEST_CASE("R3: what the glance takes for an entry, the slow reader takes, member by member") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    fill(journal, 1);
    const std::string bytes = must(journal.entry(1))->bytes;
    const auto taken = [](const std::string& text) { return scan_entry(text).has_value(); };
    REQUIRE(taken(bytes));
    const std::string spellings = "\"\\{}[],:09-tfn. \x01\x7f\xFF";
    std::int64_t both = 0;
    for (std::size_t i = 0; i < bytes.size(); ++i) {
        CHECK_FALSE(taken(bytes.substr(0, i)));
        for (const char c : spellings) {
            std::string other = bytes;
            other[i] = c;
            if (!taken(other)) continue;
            ++both;
            INFO(other);
            CHECK(read_entry(other));
        }
    }
    CHECK(both > 50);  // other digits, other letters in texts: still entries, and only their hash tells
    const auto with = [&](const std::string& what, const std::string& by) {
        std::string other = bytes;
        return other.replace(other.find(what), what.size(), by);
    };
    for (const auto& other : {with("\"v\":1", "\"v\":2"), with("\"synced\"", "\"perhaps\""), with("T", " "),
                              with("\"body\":{", "\"body\":[{"), with(",\"v\":1", ",\"u\":1,\"v\":1"), bytes + " ",
                              with("\"seq\":1", "\"seq\":\"1\"")}) {
        INFO(other);
        CHECK_FALSE(taken(other));
        CHECK_FALSE(read_entry(other));
    }
}
