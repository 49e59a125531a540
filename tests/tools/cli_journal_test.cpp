// The commands that read a journal's file, on an invented shop's day.
#include <regex>

#include "tests/tools/cli_kit.h"

using namespace cli_kit;

namespace json = boost::json;

namespace {

struct Shop {
    Folder folder;
    std::string file = (folder / "journal.sqlite").string();
    Shop() { make_journal(file); }
};

std::vector<std::string> lines(const std::string& text) {
    std::vector<std::string> out;
    for (std::size_t at = 0; at < text.size();) {
        const auto end = std::min(text.find('\n', at), text.size());
        out.push_back(text.substr(at, end - at));
        at = end + 1;
    }
    return out;
}

// The line that holds all of these, or "".
std::string line_with(const std::string& text, const std::vector<std::string>& parts) {
    for (const auto& line : lines(text)) {
        bool all = true;
        for (const auto& part : parts)
            all = all && has(line, part);
        if (all) return line;
    }
    return {};
}

}  // namespace

TEST_CASE("R6: a trace has the spec row as it was, the lots, every reading with its band, and who tagged it") {
    const Shop shop;
    const auto traced = run({"trace", serial('A'), "--journal", shop.file});
    INFO(traced.out << traced.err);
    REQUIRE(traced.code == 0);
    for (const char* part :
         {"Order O-1001 for Hafen Nord, customer's part HN-77", "hose lot H-1, fitting lots FA-1 (end A) and FB-1",
          "working pressure 215.0 bar, 21.50 MPa, 3118 psi", "hose cut to 1137.00 mm", "orientation 90 degrees",
          "NH2-12/A revision 2", "31.00 -0.15/+0.15 across flats 1, 3", "42.00 -0.50/+0.50", "invented for tests",
          "guarded acceptance, 1.65 standard uncertainties", "CAL-88", "standard uncertainty 0.012"})
        CHECK(has(traced.out, part));
    CHECK_FALSE(line_with(traced.out, {"crimp", "31.03", "30.85", "31.15", "conforms", "G1", "OP-7"}).empty());
    // R3: the voided reading is still there and marked.
    CHECK_FALSE(line_with(traced.out, {"crimp", "31.02", "VOIDED in entry", "slipped off the flat"}).empty());
    CHECK_FALSE(line_with(traced.out, {"REPRINT 1", "printed", "torn"}).empty());
    // The gauge's good proof that the readings stand on, not the one that failed afterwards.
    CHECK_FALSE(line_with(traced.out, {"R30", "30.001", "30.00", "-0.001", "good"}).empty());
    CHECK(line_with(traced.out, {"R30", "30.001", "FAILED"}).empty());
    // It was put on hold when that gauge failed.
    CHECK(has(traced.out, serial('A') + "   ON HOLD"));
    CHECK(has(traced.out, "why: suspect, since gauge "));
}

namespace {

// The same day at a shop whose setter then chose inches.
struct InchShop : Shop {
    InchShop() {
        Journal journal = open_journal(file);
        entries::LimitsSet limits;
        limits.shown_unit = ShownUnit::inch;
        must(journal.append({draft(limits, "SE-1")}, at(9000)));
    }
};

}  // namespace

TEST_CASE(
    "A shop that shows inches reads its traces in inches, with the places of the gauge; the record stays as it is") {
    const Shop millimetres;
    const InchShop shop;
    const auto traced = run({"trace", serial('A'), "--journal", shop.file});
    INFO(traced.out << traced.err);
    REQUIRE(traced.code == 0);
    // Over 25.4: 31.03 mm is 1.221654 in, 30.85 mm 1.214567, 31.15 mm 1.226378; 0.0198 mm of guard are 0.00078.
    CHECK_FALSE(line_with(traced.out, {"crimp", "1.2217", "1.2146", "1.2264", "conforms", "G1", "OP-7"}).empty());
    // 1137 mm are 44.763780 in, 31.00 mm 1.220472, 0.15 mm 0.005906, 42.00 mm 1.653543, 0.50 mm 0.019685.
    for (const char* part :
         {"hose cut to 44.7638 in", "1.2205 -0.0059/+0.0059 across flats 1, 3", "1.6535 -0.0197/+0.0197",
          "Readings (in)", "guarded acceptance, 1.65 standard uncertainties", "inside 1.2146 to 1.2264 in.",
          "standard uncertainty 0.00047,"})
        CHECK(has(traced.out, part));
    // 30.001 mm are 1.181142 in, 0.001 mm is 0.000039.
    CHECK_FALSE(line_with(traced.out, {"R30", "1.18114", "1.18110", "-0.00004", "good"}).empty());
    // Pressures keep their units, and nothing is left in millimetres.
    CHECK(has(traced.out, "215.0 bar, 21.50 MPa, 3118 psi"));
    CHECK_FALSE(has(traced.out, " mm"));
    CHECK_FALSE(has(traced.out, "(mm)"));
    CHECK_FALSE(has(traced.out, "31.03"));

    const auto told = run({"entries", "--journal", shop.file});
    CHECK(has(told.out, "crimp diameter across flat 1 1.2217 in, conforms"));
    CHECK_FALSE(has(told.out, " mm"));
    // Machines read nanometres, the same in both shops.
    for (const std::vector<std::string>& asked :
         {std::vector<std::string>{"trace", serial('A'), "--json"}, {"holds", "--all", "--json"}}) {
        auto here = asked, there = asked;
        here.insert(here.end(), {"--journal", shop.file});
        there.insert(there.end(), {"--journal", millimetres.file});
        CHECK(run(here).out == run(there).out);
    }

    {
        entries::AssemblyHeld held;
        held.serial = serial('A');
        held.cause = HoldCause::suspect;
        held.gauge = "G1";
        held.gauge_error = 40_um;  // 0.001575 in
        Journal journal = open_journal(shop.file);
        must(journal.append({draft(held)}, at(9002)));
    }
    CHECK(has(run({"holds", "--journal", shop.file}).out, "gauge G1 then failed its proof by 0.0016 in"));
    CHECK(has(run({"entries", "--journal", shop.file}).out, "gauge G1 failed its proof by 0.0016 in."));
}

TEST_CASE("The last word on the unit counts, and without one it is millimetres") {
    const InchShop shop;
    {
        Journal journal = open_journal(shop.file);
        must(journal.append({draft(entries::LimitsSet{}, "SE-1")}, at(9001)));
    }
    CHECK(has(run({"trace", serial('A'), "--journal", shop.file}).out, "hose cut to 1137.00 mm"));
    const Folder folder;
    const auto fresh = (folder / "fresh.sqlite").string();
    {
        Journal journal = open_journal(fresh);
        entries::GaugeProved proved;
        proved.gauge = "G1";
        proved.error = 40_um;
        proved.limit = 20_um;
        must(journal.append({draft(proved)}, at(0)));
    }
    CHECK(has(run({"entries", "--journal", fresh}).out, "0.040 mm off, 0.020 mm allowed"));
}

TEST_CASE(
    "R3: the hashes of a trace are SHA-256 of a zero byte and the entry's bytes, as another program computes them") {
    const Shop shop;
    const auto traced = run({"trace", serial('A'), "--journal", shop.file});
    std::size_t compared = 0;
    for (const auto& entry : all_entries(shop.file)) {
        if (!has(entry.bytes, "\"serial\":\"" + serial('A') + "\"")) continue;
        std::ofstream(shop.folder / "leaf", std::ios::binary) << '\0' << entry.bytes;
        const auto sum = shop.folder / "sum";
        REQUIRE(std::system(
                    ("sha256sum " + quoted((shop.folder / "leaf").string()) + " >" + quoted(sum.string())).c_str()) ==
                0);
        const std::string hash = read_file(sum).substr(0, 64);
        INFO("entry " << entry.seq);
        CHECK_FALSE(line_with(traced.out, {"    " + std::to_string(entry.seq) + "  ", hash}).empty());
        ++compared;
    }
    CHECK(compared >= 10);
}

TEST_CASE("R7: a trace says RE-CRIMPED, CONCESSION with its reference, and SCRAPPED, and who settled each hold") {
    const Shop shop;
    const auto again = run({"trace", serial('B'), "--journal", shop.file});
    CHECK(has(again.out, serial('B') + "   PASSED   RE-CRIMPED\n"));
    CHECK_FALSE(line_with(again.out, {"settled", "by LD-1", "crimp again", "seen by the lead"}).empty());
    CHECK(has(again.out, "31.02"));
    CHECK(has(again.out, "oversize"));
    const auto conceded = run({"trace", serial('D'), "--journal", shop.file});
    CHECK(has(conceded.out, "PASSED   CONCESSION HN mail of 4 March"));
    CHECK_FALSE(line_with(conceded.out, {"by LD-1", "customer's reference HN mail of 4 March"}).empty());
    CHECK(has(run({"trace", serial('C'), "--journal", shop.file}).out, serial('C') + "   SCRAPPED"));
}

TEST_CASE("A serial may be typed as people type; a mistyped one is told from one that was never made") {
    const Shop shop;
    const std::string good = serial('A');
    std::string typed;
    for (const char c : good) {
        typed += c == '0' ? 'o' : c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
        if (typed.size() == 3) typed += " -";
    }
    const auto found = run({"trace", typed, "--journal", shop.file});
    CHECK(found.code == 0);
    CHECK(found.out == run({"trace", good, "--journal", shop.file}).out);

    std::string wrong = good;
    wrong[3] = wrong[3] == '7' ? '8' : '7';
    const auto mistyped = run({"trace", wrong, "--journal", shop.file});
    CHECK(mistyped.code == 2);
    CHECK(has(mistyped.err, "mistyped or misread"));
    const auto never = run({"trace", serial('Z'), "--journal", shop.file});
    CHECK(never.code == 3);
    CHECK(has(never.err, "No assembly with the serial " + serial('Z')));
    CHECK(never.out.empty());
}

TEST_CASE("Holds: what waits, and with --all how the others were settled") {
    const Shop shop;
    const auto open = run({"holds", "--journal", shop.file});
    CHECK(open.code == 0);
    CHECK(count(open.out, "on hold since") == 2);
    CHECK(has(open.out, serial('A')));
    CHECK(has(open.out, serial('E')));
    CHECK_FALSE(has(open.out, "settled"));
    const auto all = run({"holds", "--all", "--journal", shop.file});
    CHECK(count(all.out, "on hold since") == 5);
    CHECK(count(all.out, "by LD-1") == 3);
    const auto machine = json::parse(run({"holds", "--all", "--json", "--journal", shop.file}).out).as_object();
    CHECK(machine.at("holds").as_array().size() == 5);
}

TEST_CASE("Orders: how far each of them is, and its lots") {
    const Shop shop;
    const auto told = run({"orders", "--journal", shop.file});
    CHECK(told.code == 0);
    // 8 wanted; B and D passed, A and E on hold, C scrapped.
    const auto line = line_with(told.out, {"O-1001", "Hafen Nord", "HN-77"});
    CHECK(std::regex_search(line, std::regex(R"(\s8\s+2\s+0\s+2\s+0\s+1\b)")));
    CHECK(has(told.out, "hose H-1 (4Q24), hose H-2"));
}

TEST_CASE("Entries in sentences, from any number on, and never a PIN's hash") {
    const Shop shop;
    const auto entries = all_entries(shop.file);
    const auto told = run({"entries", "--journal", shop.file});
    CHECK(told.code == 0);
    CHECK(lines(told.out).size() == entries.size());
    CHECK(has(told.out, "Order O-1001 is opened: 8 assemblies for Hafen Nord."));
    const auto last = run({"entries", "--from", std::to_string(entries.size()), "--journal", shop.file});
    CHECK(lines(last.out).size() == 1);
    CHECK(has(last.out, "The station stops."));
    CHECK(lines(run({"entries", "--from", "3", "--count", "4", "--journal", shop.file}).out).size() == 4);
    const auto machine = run({"entries", "--json", "--journal", shop.file});
    const auto whole = lines(machine.out);
    REQUIRE(whole.size() == entries.size());
    for (std::size_t i = 0; i < whole.size(); ++i)
        CHECK(json::parse(whole[i]).at("hash").as_string() == std::string_view(to_hex(entries[i].hash)));
    for (const auto& run_ : {told, machine})
        CHECK_FALSE(has(run_.out, "argon2id"));
}

TEST_CASE("R3: reading commands leave the journal's file as it is, and make none where there is none") {
    const Shop shop;
    const auto before = read_file(shop.file);
    for (const std::vector<std::string>& command :
         {std::vector<std::string>{"trace", serial('A')}, {"holds"}, {"orders"}, {"entries"}, {"verify"}}) {
        auto arguments = command;
        arguments.insert(arguments.end(), {"--journal", shop.file});
        CHECK(run(arguments).code == 0);
        CHECK(read_file(shop.file) == before);
        arguments.back() = (shop.folder / "none.sqlite").string();
        CHECK(run(arguments).code == 3);
        CHECK_FALSE(std::filesystem::exists(arguments.back()));
    }
    CHECK(run({"rebuild-views", "--journal", (shop.folder / "none.sqlite").string()}).code == 3);
    CHECK_FALSE(std::filesystem::exists(shop.folder / "none.sqlite"));
    std::ofstream(shop.folder / "other") << "no journal";
    // A file that is none could be a journal whose first page is gone: never sound.
    CHECK(run({"verify", "--journal", (shop.folder / "other").string()}).code == 1);
}
