#include "tools/year/bench_hand.h"

#include <stdexcept>

#include <fmt/format.h>

namespace crimpgate::year {

using namespace commands;

void BenchHand::run(const Command& command, const std::string& who) {
    auto done = recorder_.run(command, who);
    if (!done) throw Stopped(std::move(done.error()));
    for (const auto& body : *done) {
        if (const auto* held = std::get_if<entries::AssemblyHeld>(&body)) {
            ++made_.holds;
            const double minutes = 4 + 12 * dice_.uniform();
            waiting.push_back({held->serial, recorder_.now().utc_ms + static_cast<std::int64_t>(minutes * 60'000)});
        }
        if (const auto* passed = std::get_if<entries::AssemblyPassed>(&body)) tag(passed->serial);
        if (std::holds_alternative<entries::DriftWarned>(body)) ++made_.warnings;
        if (const auto* setup = std::get_if<entries::SetupJudged>(&body)) {
            ++made_.setups;
            if (setup->passed) continue;
            crimper_.turn(static_cast<double>(setup->correction.nm()) / 1000);
            recorder_.pass(90);
            const SpecRow& row = *row_in_work(state());
            // 4.20 is the table's; the scale goes with the diameter.
            run(ConfirmDie{row.die_set, row.crimper, fmt::format("{:.2f}", 4.20 + crimper_.setting() / 1000)}, person);
        }
    }
}

void BenchHand::press(const std::string& gauge, Length value) {
    Reading reading;
    reading.value = value;
    reading.resolution = 10_um;
    // Of the profile ascii_header_mm: two decimals in a field of eight.
    const std::int64_t hundredths = value.nm() / 10'000;
    reading.raw = fmt::format("01A+{:05}.{:02}\r", hundredths / 100, hundredths % 100);
    reading.arrival = {recorder_.now().utc_ms, recorder_.now().mono_ns};
    run(GaugeSaid{gauge, reading}, {});
}

void BenchHand::plug_in_all() {
    for (const auto& gauge : calipers)
        if (!state().gauges.at(gauge).connected) run(GaugeReturned{gauge}, {});
}

void BenchHand::prove(const std::string& gauge) {
    recorder_.pass(15 + 10 * dice_.uniform());
    run(ProveGauge{gauge, ring}, person);
    recorder_.pass(5 + 4 * dice_.uniform());
    press(gauge, crimper_.shown(25'000_um, 0, low[gauge], 2.5));
}

void BenchHand::prove_all() {
    for (const auto& gauge : calipers)
        prove(gauge);
}

// One caliper for a part, whichever lies nearer.
const std::string& BenchHand::gauge_in_hand() {
    const std::string part =
        state().current.empty() ? fmt::format("after {}", state().serial_counter) : state().current;
    if (gauge_.empty() || (part != gauge_for_ && state().current.empty()))
        gauge_ = calipers[static_cast<std::size_t>(dice_.between(0, 1))];
    gauge_for_ = part;
    if (!gauge_ready(state().gauges.at(gauge_), recorder_.now())) prove(gauge_);
    return gauge_;
}

namespace {

std::string key_of(const BenchState& state, const std::string& serial, End end) {
    const auto at = state.assemblies.find(serial);
    const std::int64_t attempt = at == state.assemblies.end() ? 1 : at->second.at(end).attempt;
    return fmt::format("{} {} {}", serial, end == End::a ? 'a' : 'b', attempt);
}

}  // namespace

Piece& BenchHand::piece_of(const NextStep& step) {
    const bool setup = step.ask == Ask::setup;
    const auto key = setup ? fmt::format("set-up {}", made_.setups) : key_of(state(), step.serial, step.end);
    const auto known = pieces_.find(key);
    if (known != pieces_.end()) return known->second;
    return pieces_[key] = crimper_.crimp(affairs, setup);
}

void BenchHand::next_part() {
    if (waiting.empty()) pieces_.clear();
}

void BenchHand::mark_anew(const std::string& serial, End end) {
    const auto known = pieces_.find(key_of(state(), serial, end));
    if (known == pieces_.end() || known->second.mishap != Mishap::short_mark) return;
    known->second.mishap = Mishap::none;
    known->second.depth = 200 + dice_.normal(110);
}

void BenchHand::measure(const NextStep& step) {
    Piece& piece = piece_of(step);
    const std::string gauge = gauge_in_hand();
    const SpecRow& row = *row_in_work(state());
    recorder_.pass(5 + 7 * dice_.uniform());
    const bool crimp = step.what == Characteristic::crimp_diameter;
    const double off = crimp ? crimper_.flat(piece, step.flat, affairs.bad_lot) : piece.depth;
    press(gauge, crimper_.shown(crimp ? row.crimp.nominal : row.depth.nominal, off, low[gauge]));
    if (step.ask == Ask::setup || state().current.empty()) return;
    // The jaws slipped: what conforms may be voided by whoever measured, and is taken again.
    const auto& records = state().assemblies.at(state().current).at(step.end).records;
    if (!dice_.chance(0.002) || records.empty() || records.back().verdict != Verdict::conforms) return;
    recorder_.pass(8);
    run(VoidLast{"jaws were not square on the flat"}, person);
}

void BenchHand::answer(const NextStep& step) {
    recorder_.pass(3 + 4 * dice_.uniform());
    if (step.what == Characteristic::mark_after) recorder_.pass(20 + 15 * dice_.uniform());
    if (recorder_.next().ask != Ask::confirm) return;  // the calipers' proof has just run out
    const Piece& piece = piece_of(step);
    if (step.what == Characteristic::mark_before || step.what == Characteristic::mark_after) {
        const bool moved = step.what == Characteristic::mark_after && piece.mishap == Mishap::moved;
        run(Confirm{step.what, std::nullopt, moved ? MarkSeen::gap : MarkSeen::at_edge}, person);
    } else {
        run(Confirm{step.what, true, std::nullopt}, person);
    }
}

void BenchHand::disturb(const NextStep& step) {
    if (step.ask == Ask::confirm && dice_.chance(0.002)) {
        // Pressed too early: the bench asks for something else first.
        press(gauge_in_hand(), crimper_.shown(row_in_work(state())->crimp.nominal, 0, 0));
    } else if (step.ask == Ask::measure && dice_.chance(0.0008)) {
        Refusal refusal;
        refusal.raw = "01A+0002";
        refusal.why = message("driver.half_frame").with("found", refusal.raw);
        refusal.arrival = {recorder_.now().utc_ms, recorder_.now().mono_ns};
        run(GaugeSaid{gauge_in_hand(), refusal}, {});
        recorder_.pass(6);
    } else if (step.ask == Ask::measure && dice_.chance(0.00004)) {
        const std::string gauge = gauge_in_hand();
        run(GaugeGone{gauge, message("port.missing").with("path", "/dev/gauge-" + gauge)}, {});
        recorder_.pass(60 + 300 * dice_.uniform());
        run(GaugeReturned{gauge}, {});
    }
}

bool BenchHand::step() {
    const auto step = recorder_.next();
    switch (step.ask) {
        case Ask::quarantine:
            recorder_.pass(20);
            run(PutInQuarantine{step.serial}, person);
            return true;
        case Ask::proof:
        case Ask::proof_reading:
            prove_all();
            return true;
        case Ask::die: {
            const SpecRow& row = *row_in_work(state());
            recorder_.pass(240 + 120 * dice_.uniform());
            crimper_.mount();
            run(ConfirmDie{row.die_set, row.crimper, fmt::format("{:.2f}", 4.20 + crimper_.setting() / 1000)}, person);
            return true;
        }
        case Ask::setup:
            if (!state().setup) recorder_.pass(40);
            measure(step);
            return true;
        case Ask::measure:
        case Ask::again:
            disturb(step);
            measure(step);
            return true;
        case Ask::confirm:
            disturb(step);
            answer(step);
            return true;
        case Ask::order_done:
            return false;
        case Ask::clock:
        case Ask::sign_in:
        case Ask::shift:
        case Ask::gauge:
        case Ask::order:
        case Ask::lots:
        case Ask::study:
        case Ask::sample:
        case Ask::proof_test:
        case Ask::returned:
            break;
    }
    throw std::logic_error("the bench asks for what the year does not know");
}

// No PDF is made: the entries have a file's name and no hash.
void BenchHand::tag(const std::string& serial) {
    const auto print = [&](std::int64_t copy, const std::string& reason, const std::string& who) {
        entries::TagPrinting printing;
        printing.serial = serial;
        printing.copy = copy;
        printing.reason = reason;
        printing.file = serial + (copy > 0 ? fmt::format("-{}", copy) : "") + ".pdf";
        printing.printer = "tags";
        run(RecordTag{printing}, who);
        recorder_.pass(4);
        run(RecordTag{entries::TagPrinted{serial, copy, fmt::format("tags-{}", state().last_seq)}}, {});
    };
    const auto& a = state().assemblies.at(serial);
    recorder_.pass(1);
    print(a.tag == TagState::none ? 0 : a.tag_copy + 1, "", {});
    if (!dice_.chance(0.003)) return;
    recorder_.pass(30);
    print(state().assemblies.at(serial).tag_copy + 1, "torn when it was tied on", person);
}

}  // namespace crimpgate::year
