// verify, rebuild-views and back-up on sound and on damaged journals.
#include "tests/tools/cli_kit.h"

using namespace cli_kit;

namespace json = boost::json;

namespace {

struct Shop {
    Folder folder;
    std::string file = (folder / "journal.sqlite").string();
    Shop() { make_journal(file); }

    // A copy that somebody has been at.
    std::string damaged(const std::string& sql) const {
        const auto copy = folder / "damaged.sqlite";
        std::filesystem::copy_file(file, copy, std::filesystem::copy_options::overwrite_existing);
        behind_its_back(copy, std::string(without_guards) + sql);
        return copy.string();
    }
};

// How long it took is never the same twice: the last line for people, a member for machines.
std::string without_times(std::string out) {
    if (!out.starts_with('{')) {
        const auto at = out.find(" MB of entries in ");
        REQUIRE(at != std::string::npos);
        return out.substr(0, out.rfind('\n', at));
    }
    auto told = json::parse(out).as_object();
    REQUIRE(told.erase("entries_us") == 1);
    return json::serialize(told);
}

}  // namespace

TEST_CASE("R3: a sound journal is sound up to its last entry, whose hash can be written down elsewhere") {
    const Shop shop;
    const auto entries = all_entries(shop.file);
    const auto told = run({"verify", "--journal", shop.file});
    CHECK(told.code == 0);
    CHECK(has(told.out, "sound up to entry " + std::to_string(entries.size()) + ":"));
    CHECK(has(told.out, "hash " + to_hex(entries.back().hash)));
}

TEST_CASE("R10: the first damaged entry is named, with what to do, and the program ends with 1") {
    const Shop shop;
    // 31.02 mm made 31.03 mm.
    const auto copy = shop.damaged(
        "UPDATE entries SET bytes = replace(bytes, '\"value_nm\":31020000', '\"value_nm\":31030000') "
        "WHERE seq = (SELECT min(seq) FROM entries WHERE bytes LIKE '%\"value_nm\":31020000%');");
    std::int64_t seq = 0;
    for (const auto& entry : all_entries(shop.file))
        if (seq == 0 && has(entry.bytes, "\"value_nm\":31020000")) seq = entry.seq;
    REQUIRE(seq > 1);
    const auto told = run({"verify", "--journal", copy});
    CHECK(told.code == 1);
    CHECK(has(told.out, "NOT SOUND. Entries 1 to " + std::to_string(seq - 1) + " are as they were written"));
    CHECK(has(told.out, "the first that is not is entry " + std::to_string(seq) + "."));
    CHECK(has(told.out, "Stop the line"));
    const auto machine = run({"verify", "--json", "--journal", copy});
    CHECK(machine.code == 1);
    CHECK(json::parse(machine.out).at("damaged_seq").as_int64() == seq);
    CHECK(run({"verify", "--journal", shop.file}).code == 0);  // the journal itself is as it was
}

TEST_CASE("R10: journal verify FILE is verify --journal FILE, of a sound journal and of a damaged one") {
    const Shop shop;
    const auto damaged = shop.damaged("DELETE FROM entries WHERE seq = 9;");
    for (const auto& [file, code] : {std::pair{shop.file, 0}, {damaged, 1}})
        for (const auto& more : {std::vector<std::string>{}, {"--json"}}) {
            std::vector<std::string> long_way{"verify", "--journal", file}, named{"journal", "verify"};
            long_way.insert(long_way.end(), more.begin(), more.end());
            named.insert(named.end(), more.begin(), more.end());
            auto with_option = named;
            named.push_back(file);
            with_option.insert(with_option.end(), {"--journal", file});
            const auto told = run(long_way);
            CHECK(told.code == code);
            for (const auto& words : {named, with_option}) {
                const auto same = run(words);
                CHECK(same.code == told.code);
                CHECK(without_times(same.out) == without_times(told.out));
                CHECK(same.err == told.err);
            }
        }
    CHECK(run({"journal", "verify", shop.file, "--checkpoint", (shop.folder / "none").string()}).code == 3);
    // What it asks for is said where it is missing.
    for (const auto& words : {std::vector<std::string>{"journal"}, {"journal", "verify"}}) {
        const auto told = run(words);
        CHECK(told.code == 2);
        CHECK(has(told.err, "crimpgate journal verify FILE"));
    }
    CHECK(run({"journal", "mend", shop.file}).code == 2);
    CHECK(has(run({"help", "journal"}).out, "crimpgate journal verify FILE"));
}

TEST_CASE("R10: an entry taken out of the middle is missed") {
    const Shop shop;
    const auto told = run({"verify", "--journal", shop.damaged("DELETE FROM entries WHERE seq = 9;")});
    CHECK(told.code == 1);
    CHECK(has(told.out, "Entry 9 is missing"));
}

TEST_CASE("R10: a journal whose pages are damaged is not called sound") {
    const Shop shop;
    const auto copy = shop.folder / "pages.sqlite";
    std::string bytes = read_file(shop.file);
    REQUIRE(bytes.size() > 3 * 4096);
    for (std::size_t i = 4096; i < bytes.size(); ++i)
        bytes[i] = static_cast<char>(bytes[i] ^ 0x5a);
    std::ofstream(copy, std::ios::binary) << bytes;
    const auto told = run({"verify", "--journal", copy.string()});
    CHECK(told.code == 1);
    CHECK(has(told.err + told.out, "damaged"));
}

TEST_CASE("A table for search that tells otherwise than the entries is found, and built again") {
    const Shop shop;
    const auto copy = shop.damaged("UPDATE assemblies SET stage = 'passed' WHERE stage = 'scrapped';");
    CHECK(has(run({"trace", serial('C'), "--journal", copy}).out, "PASSED"));  // a view can be made to lie ...
    const auto told = run({"verify", "--journal", copy});                      // ... and verify tells
    CHECK(told.code == 1);
    CHECK(has(told.out, "All " + std::to_string(all_entries(shop.file).size()) + " entries are as they were written"));
    CHECK(has(told.out, "assemblies"));
    CHECK(run({"rebuild-views", "--journal", copy}).code == 0);
    CHECK(run({"verify", "--journal", copy}).code == 0);
    CHECK(has(run({"trace", serial('C'), "--journal", copy}).out, "SCRAPPED"));
}

TEST_CASE("Views are not rebuilt under a station that holds the journal") {
    const Shop shop;
    const Journal writer = open_journal(shop.file);
    const auto told = run({"rebuild-views", "--journal", shop.file});
    CHECK(told.code == 3);
    CHECK(has(told.err, "already open for writing"));
    CHECK(run({"verify", "--journal", shop.file}).code == 0);  // reading goes on beside it
}

TEST_CASE("A back-up is made beside a working station, is sound by itself, and never replaces a file") {
    const Shop shop;
    Journal writer = open_journal(shop.file);
    fill(writer, 2);  // still in the write-ahead log
    const auto to = (shop.folder / "copy.sqlite").string();
    const auto made = run({"back-up", to, "--journal", shop.file});
    INFO(made.out << made.err);
    CHECK(made.code == 0);
    const auto n = std::to_string(must(writer.last_seq()));
    CHECK(has(made.out, "sound up to entry " + n + "."));
    const auto verified = run({"verify", "--journal", to});
    CHECK(verified.code == 0);
    CHECK(has(verified.out, "sound up to entry " + n + ":"));

    const auto before = read_file(to);
    const auto again = run({"back-up", to, "--journal", shop.file});
    CHECK(again.code == 3);
    CHECK(has(again.err, "never replaces one"));
    CHECK(read_file(to) == before);
}

TEST_CASE("A back-up of a damaged journal is not called good") {
    const Shop shop;
    const auto copy = shop.damaged(
        "UPDATE entries SET bytes = replace(bytes, '\"hose_lot\":\"H-1\"', '\"hose_lot\":\"H-9\"') WHERE type = "
        "'lots.confirmed';");
    const auto made = run({"back-up", (shop.folder / "b.sqlite").string(), "--journal", copy});
    CHECK(made.code == 1);
    CHECK(has(made.out, "NOT SOUND"));
}

TEST_CASE("An answer that could not be written whole is not called done") {
    const Shop shop;
    const int status =
        std::system((quoted(program) + " entries --journal " + quoted(shop.file) + " >/dev/full 2>/dev/null").c_str());
    REQUIRE(WIFEXITED(status));
    CHECK(WEXITSTATUS(status) == 3);
}
