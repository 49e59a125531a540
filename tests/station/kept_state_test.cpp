#include "station/daemon/kept_state.h"

#include "station/bench/state_json.h"
#include "tests/station/desk_kit.h"
#include "tests/station/shop_day.h"
#include "tests/support/recall_from_log.h"

using namespace crimpgate;
using namespace crimpgate::test;
using journal_kit::must;

namespace {

// A bench at the end of its first shift: one assembly passed and tagged, one on hold, one scrapped.
Bench after_a_shift(const std::string& small = "25.10") {
    Bench bench = Bench::ready();
    const auto print = [&](const std::string& serial) {
        bench.run(commands::RecordTag{entries::TagPrinting{serial, 0, "", "0", "f", ""}}, "");
        bench.run(commands::RecordTag{entries::TagPrinted{serial, 0, ""}}, "");
    };
    print(bench.good_assembly());
    bench.work_to(Characteristic::crimp_diameter);
    bench.press_crimps({small, small, small});
    bench.quarantine();
    bench.prove();  // a shift ends only with gauges that prove themselves again
    return bench;
}

std::string text_of(const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

void write(const std::filesystem::path& file, const std::string& text) {
    std::ofstream(file, std::ios::binary | std::ios::trunc) << text;
}

}  // namespace

TEST_CASE("R2: the bench's state goes through JSON and back as it was, every kind of entry in it") {
    BenchState state;
    std::int64_t seq = 0;
    for (const auto& draft : journal_kit::ShopDay().drafts) {
        const Facts facts{++seq, 1'741'064'767'000 + seq * 1000, draft.who};
        apply(state, facts, must(entry_body(draft.type, draft.body)));
        if (seq % 10 != 0) continue;
        const auto back = must(state_of_json(state_json(state)));
        REQUIRE(dump(back) == dump(state));
        REQUIRE(state_json(back) == state_json(state));
    }
    CHECK(state.assemblies.size() > 3);
    CHECK_FALSE(state.record.links.empty());
    CHECK_FALSE(state.record.returns.empty());
}

TEST_CASE("R2: a start from the kept state leads to the same bench as a start from the first entry") {
    DeskKit kit(after_a_shift());
    REQUIRE_FALSE(kit.desk->run(commands::EndShift{}, "OPA").refusal);
    REQUIRE(std::filesystem::exists(kept_state_file(kit.journal)));
    kit.desk->run(commands::SignOut{}, "OPA");

    const auto kept = must(kept_state(kit.journal));
    CHECK(kept.last_seq == must(kit.journal.last_seq()) - 1);
    CHECK(dump(must(folded(kit.journal))) == dump(must(folded(kit.journal, false))));
    kit.open();
    CHECK(dump_of_loud(kit.desk->state()) == dump_of_loud(must(folded(kit.journal, false))));
}

TEST_CASE("R3: a kept state that was changed, cut off, or is of another journal or program is not used") {
    DeskKit kit(after_a_shift());
    REQUIRE_FALSE(kit.desk->run(commands::EndShift{}, "OPA").refusal);
    const auto file = kept_state_file(kit.journal);
    const auto good = text_of(file);
    REQUIRE(must(kept_state(kit.journal)).last_seq > 0);
    CHECK((std::filesystem::status(file).permissions() & std::filesystem::perms::others_read) ==
          std::filesystem::perms::none);
    const auto truth = dump(must(folded(kit.journal, false)));

    const auto refused = [&](std::string text, std::string_view why) {
        write(file, text);
        const auto kept = kept_state(kit.journal);
        REQUIRE_FALSE(kept);
        CHECK(kept.error().code == "state.not_usable");
        CHECK(kept.error().detail("why") == why);
        CHECK(dump(must(folded(kit.journal))) == truth);
    };
    auto changed = good;
    changed[changed.find("\"needs_proof\":") + 14] = 'x';
    refused(changed, "it is damaged");
    refused(good.substr(0, good.size() / 2), "it is damaged");
    refused("", "there is none");
    refused("not JSON\n{}\n", "its head cannot be read");
    auto other_program = good;
    other_program.replace(other_program.find(state_program()), 4, "0000");
    refused(other_program, "another version of the program wrote it");

    DeskKit other(Bench::ready());
    write(kept_state_file(other.journal), good);
    CHECK(kept_state(other.journal).error().detail("why") == "it is of another journal");

    // As long as this one, and with another reading in it.
    DeskKit twin(after_a_shift("25.11"));
    REQUIRE_FALSE(twin.desk->run(commands::EndShift{}, "OPA").refusal);
    REQUIRE(must(twin.journal.last_seq()) == must(kit.journal.last_seq()));
    CHECK(kept_state(twin.journal).has_value());
    write(kept_state_file(twin.journal), good);
    CHECK(kept_state(twin.journal).error().detail("why") == "it is of another journal");
}

TEST_CASE("What is quiet is forgotten at the end of the shift and recalled from the journal when it is named") {
    DeskKit kit(after_a_shift());
    const auto before = kit.desk->state();
    REQUIRE(before.assemblies.size() == 2);
    const std::string passed = before.assemblies.begin()->first;
    REQUIRE(before.assemblies.at(passed).stage == Stage::passed);
    REQUIRE_FALSE(kit.desk->run(commands::EndShift{}, "OPA").refusal);
    CHECK(kit.desk->state().assemblies.size() == 1);  // the one on hold

    // A lead puts the passed one aside: it is found, with everything that it was.
    REQUIRE_FALSE(kit.desk->run(commands::HoldAssembly{"the customer rang", passed}, "LEA").refusal);
    const auto& recalled = kit.desk->state().assemblies.at(passed);
    CHECK(recalled.stage == Stage::on_hold);
    CHECK(recalled.number == before.assemblies.at(passed).number);
    CHECK(recalled.at(End::a).records.size() == before.assemblies.at(passed).at(End::a).records.size());
    CHECK(kit.desk->state().orders.begin()->second.passed == 0);
    kit.open();
    CHECK(kit.desk->state().assemblies.at(passed).stage == Stage::on_hold);

    // A serial that was never given stays unknown.
    CHECK(kit.desk->run(commands::HoldAssembly{"?", "K9999"}, "LEA").refusal->code == "bench.no_serial");
}

TEST_CASE("A sample of a shift that is long over is drawn from all that it made") {
    DeskKit kit(after_a_shift());
    const std::string shift = kit.desk->state().shift;
    REQUIRE_FALSE(kit.desk->run(commands::EndShift{}, "OPA").refusal);
    CHECK(kit.desk->state().assemblies.of_shift(shift).size() == 2);
    commands::DrawSample draw;
    draw.sample.shift = shift;
    draw.sample.plan = "zero_acceptance";
    draw.sample.quality_ppm = 50'000;
    draw.sample.confidence_permille = 950;
    draw.sample.seed = "00000000000000c6";
    REQUIRE_FALSE(kit.desk->run(draw, "LEA").refusal);
    CHECK(kit.desk->state().samples.begin()->second.drawn.lot_size == 1);  // one passed, one is on hold
}
