#include "tests/support/catch.h"

#include "tests/audit/small_facts.h"

using namespace audit_test;

TEST_CASE("waiting counts for what came next, a long gap is a pause, and a shift's start ends nothing") {
    SmallFacts f;
    auto& a = f.assembly("S1");  // entry 1 at second 1
    a.passed_seq = 60;
    a.passed_ms = f.at(1) + 45'000;
    f.end("S1", "a", 25'000_um);      // 2, 3: readings, 4: judged, a second apart each
    f.facts.ends.back().ms += 5'000;  // the judgement six seconds after the reading
    f.shift("2025-11-26/1", 70).started_ms = f.at(50'000);
    ReadingFact r;
    r.seq = 80;
    r.ms = f.at(50'000) + 31 * 60'000;
    r.purpose = "setup";
    f.facts.readings.push_back(r);
    const Audit audit = make_audit(f.facts);
    const Sheet& times = sheet_of(audit, "times");
    REQUIRE(times.rows.size() == 4);
    CHECK(times.rows[0] == std::vector<std::string>{"start_to_pass", "1", "45.0", "45.0", "45.0"});
    // By time lost: the pause 31 min; judgement 6 s and, from then (9 s) to the pass (46 s), 37 s: median 21.5, 90 % 6
    // + 0.9 x 31; readings 1 s and 1 s.
    CHECK(times.rows[1] == std::vector<std::string>{"pause", "1", "1860.0", "1860.0", "1860.0"});
    CHECK(times.rows[2] == std::vector<std::string>{"judgement", "2", "21.5", "33.9", "43.0"});
    CHECK(times.rows[3] == std::vector<std::string>{"reading", "2", "1.0", "1.0", "2.0"});
}

TEST_CASE("somebody whose ends read alike in every place, far more often than others', is pointed to") {
    SmallFacts f;
    f.facts.streams[0].places = 3;
    f.assembly("S1");
    for (int i = 0; i < 60; ++i) {
        const bool ben = i % 2 == 0;
        f.end("S1", "a", 25'000_um, ben || i % 10 == 1 ? 0_um : 20_um, "conforms", {}, i + 1).person =
            ben ? "ben" : "ana";
        ReadingFact third = f.facts.readings.back();
        third.flat = 3;
        third.seq -= 1;
        third.ms += 2'000;
        f.facts.readings.push_back(third);
    }
    const Audit audit = make_audit(f.facts);
    const Sheet& alike = sheet_of(audit, "too_alike");
    // ana: 6 of 30 by chance; ben: 30 of 30 where 6.5 / 31 = 21 % were to be expected, p = 0.21^30.
    CHECK(cell(alike, 0, "person") == "ana");
    CHECK(cell(alike, 0, "count") == "6");
    CHECK(cell(alike, 0, "conspicuous") == "no");
    CHECK(cell(alike, 1, "person") == "ben");
    CHECK(cell(alike, 1, "share_pct") == "100.0");
    CHECK(cell(alike, 1, "others_pct") == "20.0");
    CHECK(cell(alike, 1, "conspicuous") == "yes");
}

TEST_CASE(
    "somebody who confirms faster than what was asked can be done and seen is pointed to; two seconds are enough") {
    SmallFacts f;
    const auto confirm = [&](const std::string& person, std::int64_t ms) {
        ConfirmationFact c;
        c.seq = f.next();
        c.ms = eight_o_clock + ms;
        c.person = person;
        c.serial = "S1";
        c.end = "a";
        c.what = "mark_after";
        f.facts.confirmations.push_back(c);
    };
    // 31 of each, in turns, so that it is one's own last one that counts and not the other's: ana's follow after 2.0 s
    // exactly, ben's after 1.999 and then after 10 s, by turns.
    std::int64_t ben = 0;
    for (int i = 0; i < 31; ++i) {
        confirm("ana", 2'000 * i);
        confirm("ben", ben);
        ben += i % 2 == 0 ? 1'999 : 10'000;
    }
    const Audit audit = make_audit(f.facts);
    const Sheet& alike = sheet_of(audit, "too_alike");
    REQUIRE(alike.rows.size() == 2);
    CHECK(cell(alike, 0, "kind") == "confirmed_fast");
    CHECK(cell(alike, 0, "person") == "ana");
    CHECK(cell(alike, 0, "count") == "0");
    CHECK(cell(alike, 0, "of_count") == "30");
    CHECK(cell(alike, 0, "conspicuous") == "no");
    // ben: 15 of 30 where 0.5 / 31 = 1.6 % were to be expected, p = 2e-19.
    CHECK(cell(alike, 1, "person") == "ben");
    CHECK(cell(alike, 1, "count") == "15");
    CHECK(cell(alike, 1, "of_count") == "30");
    CHECK(cell(alike, 1, "conspicuous") == "yes");
    const Sheet& open = sheet_of(audit, "open_points");
    REQUIRE(open.rows.size() == 1);
    CHECK(cell(open, 0, "what").find("audit.open.confirmed_fast") != std::string::npos);
    CHECK(cell(open, 0, "what").find("ben") != std::string::npos);
}
