#include "tests/support/bench_fixture.h"

#include <stdexcept>

#include "station/entries/entry_json.h"

namespace crimpgate::test {

using namespace commands;

SpecRow bench_row(const std::string& spec_id) {
    SpecRow row;
    row.spec_id = spec_id;
    row.revision = "1";
    row.hose.maker = "Nordhaven";
    row.hose.type = "Brisk 2";
    row.hose.dash = 8;
    row.hose.standard = "EN 853 2SN";
    row.hose.working_pressure = {Pressure::from_bar(275), "275 bar"};
    row.hose.bend_radius = 180'000_um;
    row.fitting.maker = "Nordhaven";
    row.fitting.series = "Tern";
    row.fitting.dash = 8;
    row.fitting.working_pressure = {Pressure::from_bar(400), "400 bar"};
    row.fitting.cut_off = 31'000_um;
    row.die_set = "D-26";
    row.crimper = "C-1";
    row.setting = "4.2";
    row.die_segments = 8;
    row.crimp = {25'500_um, 200_um, 200_um};
    row.flats = {1, 3, 4};
    row.spread_limit = 150_um;
    row.depth = {38'000_um, 500_um, 1'000_um};
    row.mark_edge_limit = 1'000_um;
    row.lubricant = "soap water";
    row.bore_pin = 10'000_um;
    row.recrimps_allowed = 1;
    row.source = "invented";
    return row;
}

entries::OrderOpened bench_order(const std::string& order, const std::string& spec_a, const std::string& spec_b) {
    entries::OrderOpened o;
    o.order = order;
    o.customer = "Marlow Quarry";
    o.customer_part = "MQ-7";
    o.quantity = 3;
    o.spec_a = spec_a;
    o.spec_b = spec_b;
    o.overall_length = 800'000_um;
    o.length_rule = "SAE J517";
    o.hose_lots = {{"H-1", "2Q26"}, {"H-2", ""}};
    o.fitting_a_lots = {{"FA-1", ""}};
    o.fitting_b_lots = {{"FB-1", ""}};
    o.needed_pressure = Pressure::from_bar(250);
    return o;
}

entries::GaugeRegistered caliper(const std::string& gauge, Length uncertainty) {
    entries::GaugeRegistered g;
    g.gauge = gauge;
    g.profile = "line_header_mm";
    g.resolution = 10_um;
    g.uncertainty = uncertainty;
    g.proof_limit = 20_um;
    g.calibrated = "2026-03-01";
    g.calibration_due = "2027-02-28";
    g.certificate = "K-17";
    return g;
}

Bench::Bench() {
    rules.station = "bench-1";
    now.utc_ms = 1'795'000'000'000;  // in November 2026
    now.mono_ns = 1'000'000'000;
    now.local_date = "2026-11-25";
}

Bench Bench::set_up() {
    Bench b;
    const auto person = [&](const char* id, const char* name, Role role) {
        b.ask(AddPerson{id, name, role, "hash"}, b.state.people.empty() ? "" : "SET");
    };
    person("SET", "Sela Tarn", Role::setter);
    person("LEA", "Lea Quill", Role::lead);
    person("LEB", "Lebo Marsh", Role::lead);
    person("OPA", "Opal Reed", Role::operator_);
    person("OPB", "Opi Bram", Role::operator_);
    b.ask(RegisterGauge{caliper()}, "SET");
    b.ask(GaugeReturned{"CAL-1"}, "");
    b.ask(RegisterReference{{"RING-25", "setting ring", 25'000_um, "K-3", "2027-06-30"}}, "SET");
    b.adopt({bench_row()}, "nordhaven.csv");
    b.ask(OpenOrder{bench_order()}, "SET");
    return b;
}

Bench Bench::ready() {
    return ready(bench_row(), bench_row());
}

Bench Bench::ready(const SpecRow& row_a, const SpecRow& row_b) {
    Bench b = set_up();
    b.adopt({row_a, row_b}, "other.csv");
    if (row_a.spec_id != "NH-2SN-08" || row_b.spec_id != "NH-2SN-08")
        b.ask(OpenOrder{bench_order("A-200", row_a.spec_id, row_b.spec_id)}, "SET");
    b.ask(SignIn{}, "OPA");
    b.ask(StartShift{}, "OPA");
    b.prove();
    b.ask(TakeOrder{b.state.orders.contains("A-200") ? "A-200" : "A-100"}, "OPA");
    b.ask(ConfirmLots{"H-1", "FA-1", "FB-1"}, "OPA");
    b.ask(ConfirmDie{row_a.die_set, row_a.crimper, row_a.setting}, "OPA");
    b.good_setup();
    const auto step = b.next();
    if (step.ask != Ask::measure || !step.begins)
        throw std::logic_error("the bench is not ready: " + dump(step) + (b.refusal ? b.refusal->code : ""));
    return b;
}

Outcome Bench::run(const Command& command, const std::string& who) {
    now.utc_ms += 1000;
    now.mono_ns += 1'000'000'000;
    auto seq = state.last_seq;
    auto outcome = decide(state, rules, command, who, now);
    for (const auto& entry : outcome.entries)
        log.push_back({Facts{++seq, now.utc_ms, entry.who}, entry.body});
    refusal = outcome.refusal;
    return outcome;
}

std::string Bench::adopt(const std::vector<SpecRow>& rows, const std::string& table) {
    if (auto code = ask(ProposeTable{table, "00", rows, {}, false}, "SET"); !code.empty()) return code;
    return ask(AdoptProposal{state.last_seq}, "LEA");
}

std::string Bench::ask(const Command& command, const std::string& who) {
    run(command, who);
    return refusal ? refusal->code : "";
}

std::string Bench::press(const std::string& mm, const std::string& gauge) {
    Reading reading;
    reading.value = Length::parse_mm(mm).value();
    reading.resolution = 10_um;
    reading.raw = "01A+" + mm + "\r\n";
    reading.arrival = {now.utc_ms, now.mono_ns};
    const auto outcome = run(GaugeSaid{gauge, reading}, "");
    for (const auto& entry : outcome.entries)
        if (const auto* refused = std::get_if<entries::ReadingRefused>(&entry.body)) return refused->why.code;
    return "";
}

std::string Bench::yes(Characteristic what, bool answer, const std::string& who) {
    return ask(Confirm{what, answer, std::nullopt}, who);
}

std::string Bench::see(Characteristic what, MarkSeen seen, const std::string& who) {
    return ask(Confirm{what, std::nullopt, seen}, who);
}

void Bench::prove(const std::string& gauge, const std::string& mm) {
    ask(ProveGauge{gauge, "RING-25"}, state.person);
    press(mm, gauge);
}

void Bench::good_setup() {
    while (next().ask == Ask::setup)
        good_step();
}

bool Bench::good_step() {
    const auto step = next();
    switch (step.ask) {
        case Ask::setup:
        case Ask::measure:
        case Ask::again:
            break;
        case Ask::confirm:
            if (step.what == Characteristic::mark_before || step.what == Characteristic::mark_after)
                see(step.what, MarkSeen::at_edge, state.person);
            else
                yes(step.what, true, state.person);
            return true;
        case Ask::proof_test: {
            const auto asked = *assembly(step.serial).started.proof_test;
            ask(TestProof{asked.pressure, asked.hold_s, asked.medium, "nothing", "M-1"}, state.person);
            return true;
        }
        case Ask::die: {
            const auto& row = *row_in_work(state);
            ask(ConfirmDie{row.die_set, row.crimper, row.setting}, state.person);
            return true;
        }
        default:
            return false;
    }
    // The middle of the band to the gauge's step; a one-sided band is best near zero.
    Length good = step.band->middle();
    if (step.what == Characteristic::mark_before || step.what == Characteristic::mark_after) good = 100_um;
    good = Length::from_nm(good.nm() / 10'000 * 10'000);
    for (const auto& [id, gauge] : state.gauges)
        if (gauge_ready(gauge, now)) {
            press(good.to_mm_text(2), id);
            return true;
        }
    return false;
}

void Bench::work_to(Characteristic what, End end, std::int64_t flat) {
    for (;;) {
        const auto step = next();
        const bool there = (step.ask == Ask::measure || step.ask == Ask::confirm) && step.what == what &&
                           step.end == end && (flat == 0 || step.flat == flat);
        if (there) return;
        if (!good_step()) throw std::logic_error("the bench stands: " + dump(step));
    }
}

void Bench::finish() {
    const std::string working = state.current;
    while (state.current == working && good_step()) {
    }
}

std::string Bench::good_assembly() {
    while (state.current.empty() && good_step()) {
    }
    const std::string made = state.current;
    finish();
    return made;
}

void Bench::press_crimps(const std::vector<std::string>& mm) {
    for (const auto& value : mm)
        press(value);
}

void Bench::quarantine(const std::string& serial) {
    ask(PutInQuarantine{serial.empty() ? state.stopped : serial}, state.person);
}

void Bench::settle_ok(const std::string& serial, Settlement how, const std::string& who) {
    const auto code = ask(SettleHold{serial, how, "looked at it", how == Settlement::concession ? "MQ-C-5" : ""}, who);
    if (!code.empty()) throw std::logic_error("the hold was not settled: " + code);
}

bool Bench::was_passed(const std::string& serial) const {
    for (const auto& entry : log)
        if (const auto* passed = std::get_if<entries::AssemblyPassed>(&entry.body); passed && passed->serial == serial)
            return true;
    return false;
}

}  // namespace crimpgate::test
