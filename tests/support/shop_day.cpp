#include "tests/station/shop_day.h"

namespace journal_kit {

SpecRow invented_row(const std::string& revision) {
    SpecRow row;
    row.spec_id = "NH2-12/A";
    row.revision = revision;
    row.hose = {"Nordhose", "N2", 12, "EN 853 2SN", *Rating::parse("215", PressureUnit::bar), 240_um * 1000, -40, 100};
    row.fitting = {"Nordhose",
                   "F7",
                   "ISO 12151-2",
                   "24 deg cone, female swivel",
                   12,
                   "20S",
                   *Rating::parse("250", PressureUnit::bar),
                   31500_um};
    row.die_set = "D31";
    row.crimper = "C1";
    row.setting = "4.2";
    row.die_segments = 8;
    row.crimp = {31000_um, 150_um, 150_um};
    row.flats = {1, 3};
    row.spread_limit = 200_um;
    row.depth = {42000_um, 500_um, 500_um};
    row.mark_edge_limit = 1000_um;
    row.source = "invented for tests";
    return row;
}

namespace {

// Writes the day down, entry by entry.
class DayBook {
  public:
    std::vector<Draft> drafts;

    DayBook() {
        open_the_shop();
        prove("G1", true);
        start_assembly("K100A", 1);
        measure("K100A", End::a, Characteristic::depth, 0, 42100_um, Verdict::conforms);
        confirm("K100A", End::a, Characteristic::mark_before, MarkSeen::at_edge);
        measure("K100A", End::a, Characteristic::crimp_diameter, 1, 31020_um, Verdict::conforms);
        entries::ReadingVoided voided{"K100A", End::a, Characteristic::crimp_diameter,
                                      1,       last(), "slipped off the flat"};
        add(voided);
        measure("K100A", End::a, Characteristic::crimp_diameter, 1, 31030_um, Verdict::conforms);
        judge("K100A", End::a, Verdict::conforms);
        judge("K100A", End::b, Verdict::conforms);
        add(entries::AssemblyPassed{"K100A", "O-1001", "", 0}, "OP-7");
        tag("K100A", 0, "");
        tag("K100A", 1, "torn");
        recrimped_after_oversize();
        scrapped_after_undersize();
        conceded_after_uncertain();
        the_lead_looks();
        the_record_leaves_the_house();
        gauge_fails_and_holds();
        add(entries::ShiftEnded{"2025-03-04/1"}, "OP-7");
        add(entries::ShiftSignedOff{"2025-03-04/1", "one scrapped, seen", last()}, "LD-1");
        add(entries::SignedOut{"OP-7"}, "OP-7");
        add(entries::StationStopped{"signal"}, "");
    }

  private:
    void add(const EntryBody& body, const std::string& who = "OP-7") { drafts.push_back(draft(body, who)); }
    std::int64_t last() const { return static_cast<std::int64_t>(drafts.size()); }  // seq of the entry added last

    void change_people() {
        add(entries::SessionBegun{"LD-1", Secret::passphrase, false}, "LD-1");
        entries::PersonAdded gone{"OP-9", "Juno Vell", Role::operator_, "$argon2id$invented3"};
        gone.badge = "B-900";
        gone.language = "de";
        add(gone, "LD-1");
        add(entries::SecretSet{"OP-9", Secret::pin, "$argon2id$invented4"}, "LD-1");
        add(entries::RoleGiven{"OP-9", Role::auditor}, "LD-1");
        add(entries::BadgeGiven{"OP-9", "B-901"}, "LD-1");
        add(entries::LanguageChosen{"OP-9", "en"}, "OP-9");
        add(entries::PersonRetired{"OP-9", "left the shop"}, "LD-1");
        add(entries::GaugeLineSet{"G1", "/dev/serial/by-id/g1", "signed-decimal-line", std::string(64, 'b')}, "LD-1");
        add(entries::PrinterChosen{"tags", "100x50", 300}, "LD-1");
        add(entries::ScreenSet{254, false}, "LD-1");
        add(entries::LimitsSet{}, "LD-1");
        entries::TableProposed proposed{"draft", std::string(64, 'd'), {invented_row("0")}, {}};
        add(proposed, "LD-1");
        add(entries::ProposalDropped{last(), "the maker withdrew it"}, "LD-1");
        add(entries::SessionEnded{"LD-1"}, "LD-1");
    }

    void open_the_shop() {
        add(entries::StationStarted{"0.1.0", std::string(64, 'a'), "Europe/Berlin"}, "");
        add(entries::ClockStepped{100, 5100, true}, "");
        add(entries::ClockAccepted{5100}, "LD-1");
        add(entries::PersonAdded{"LD-1", "Ida Lind", Role::lead, "$argon2id$invented"}, "LD-1");
        add(entries::PersonAdded{"OP-7", "Pål Ø", Role::operator_, "$argon2id$invented2"}, "LD-1");
        change_people();
        entries::GaugeRegistered gauge;
        gauge.gauge = "G1";
        gauge.profile = "signed-decimal-line";
        gauge.profile_sha256 = std::string(64, 'b');
        gauge.resolution = 10_um;
        gauge.uncertainty = 12_um;
        gauge.proof_limit = 20_um;
        gauge.calibrated = "2025-01-10";
        gauge.calibration_due = "2026-01-10";
        gauge.certificate = "CAL-88";
        add(gauge, "LD-1");
        gauge.gauge = "G2";
        add(gauge, "LD-1");
        add(entries::GaugeWithdrawn{"G2", "dropped"}, "LD-1");
        add(entries::ReferenceRegistered{"R30", "setting ring", 30001_um, "CAL-90", "2026-02-01"}, "LD-1");
        entries::TableAdopted table{"invented", std::string(64, 'c'), {invented_row("1")}, {}};
        add(table, "LD-1");
        table.rows = {invented_row("2")};
        table.warnings = {message("hose.rated_above_standard").with("hose", "N2")};
        add(table, "LD-1");
        entries::OrderOpened order;
        order.order = "O-1001";
        order.customer = "Hafen Nord";
        order.customer_part = "HN-77";
        order.quantity = 8;
        order.spec_a = "NH2-12/A";
        order.spec_b = "NH2-12/A";
        order.overall_length = 1200_um * 1000;
        order.length_rule = "DIN 20066";
        order.orientation_deg = 90;
        order.hose_lots = {{"H-1", "4Q24"}, {"H-2", ""}};
        order.fitting_a_lots = {{"FA-1", ""}};
        order.fitting_b_lots = {{"FB-1", ""}};
        order.needed_pressure = Pressure::from_bar(200);
        add(order, "LD-1");
        order.order = "O-1002";
        order.orientation_deg.reset();
        order.needed_pressure.reset();
        add(order, "LD-1");
        add(entries::SignInRefused{"OP-9"}, "");
        add(entries::SignedIn{"OP-7"});
        entries::ShiftStarted shift;
        shift.shift = "2025-03-04/1";
        shift.date = "2025-03-04";
        shift.number = 1;
        add(shift);
        add(entries::GaugeLost{"G1", message("driver.gone")}, "");
        add(entries::GaugeBack{"G1", true}, "");
        add(entries::OrderTaken{"O-1001"});
        add(entries::LotsConfirmed{"O-1001", "H-1", "FA-1", "FB-1"});
        add(entries::DieConfirmed{"D31", "C1", "4.2"});
        entries::SetupJudged setup;
        setup.key = "NH2-12/A|2|C1|D31|H-1";
        setup.spec_id = "NH2-12/A";
        setup.revision = "2";
        setup.readings = {{1, 31000_um}, {3, 31010_um}};
        setup.mean = 31005_um;
        setup.correction = -5_um;
        setup.passed = true;
        add(setup);
    }
    void prove(const std::string& gauge, bool passed) {
        add(entries::ProofBegun{gauge, "R30"});
        entries::ReadingTaken reading;
        reading.purpose = Purpose::proof;
        reading.gauge = gauge;
        reading.value = passed ? 30000_um : 30050_um;
        reading.raw_hex = "2b33302e30300d0a";
        add(reading);
        const auto error = reading.value - 30001_um;
        add(entries::GaugeProved{gauge, "R30", last(), 30001_um, reading.value, error, 20_um, passed,
                                 1'741'080'000'000});
        if (passed) proof_seq_ = last();
    }
    void start_assembly(const std::string& serial, std::int64_t counter) {
        entries::AssemblyStarted a;
        a.serial = serial;
        a.counter = counter;
        a.order = "O-1001";
        a.customer = "Hafen Nord";
        a.customer_part = "HN-77";
        a.hose_lot = "H-1";
        a.fitting_a_lot = "FA-1";
        a.fitting_b_lot = "FB-1";
        a.row_a = a.row_b = invented_row("2");
        a.working_pressure = Pressure::from_bar(215);
        a.overall_length = 1200_um * 1000;
        a.cut_length = 1137_um * 1000;
        a.length_rule = "DIN 20066";
        a.orientation_deg = 90;
        a.shift = "2025-03-04/1";
        add(a);
    }
    void measure(const std::string& serial, End end, Characteristic what, std::int64_t flat, Length value,
                 Verdict verdict) {
        entries::ReadingTaken r;
        r.serial = serial;
        r.end = end;
        r.what = what;
        r.flat = flat;
        r.gauge = "G1";
        r.proof_seq = proof_seq_;
        r.value = value;
        r.resolution = 10_um;
        r.raw_hex = "2b33312e30320d0a";
        r.arrived_utc_ms = 1'741'064'767'000;
        r.lower = 30850_um;
        r.upper = 31150_um;
        r.guard = 20_um;
        r.uncertainty = 12_um;
        r.verdict = verdict;
        r.side = verdict == Verdict::conforms ? Side::none : Side::above;
        add(r);
    }
    void confirm(const std::string& serial, End end, Characteristic what, MarkSeen seen) {
        entries::StepConfirmed step;
        step.serial = serial;
        step.end = end;
        step.what = what;
        step.seen = seen;
        add(step);
    }
    void judge(const std::string& serial, End end, Verdict verdict) {
        entries::EndJudged judged;
        judged.serial = serial;
        judged.end = end;
        judged.verdict = verdict;
        judged.findings = {Finding{
            Characteristic::crimp_diameter, 1, verdict, Side::none, {}, 31020_um, 30850_um, 31150_um, 20_um, 130_um}};
        judged.mean = 31020_um;
        judged.spread = 10_um;
        judged.conformity_ppm = 999'999;
        add(judged);
    }
    void tag(const std::string& serial, std::int64_t copy, const std::string& reason) {
        add(entries::TagPrinting{serial, copy, reason, std::string(64, 'd'), serial + ".pdf", "label"});
        add(entries::TagPrinted{serial, copy, "label-41"}, "");
    }
    void hold(const std::string& serial, HoldCause cause) {
        entries::AssemblyHeld held;
        held.serial = serial;
        held.cause = cause;
        held.end = End::a;
        held.made_by = "OP-7";
        held.recrimp_possible = cause == HoldCause::failed;
        add(held);
        held_seq_ = last();
    }
    void settle(const std::string& serial, Settlement how, const std::string& customer_reference = "") {
        add(entries::HoldSettled{serial, how, "seen by the lead", customer_reference, held_seq_}, "LD-1");
    }
    void recrimped_after_oversize() {
        start_assembly("K100B", 2);
        measure("K100B", End::a, Characteristic::crimp_diameter, 1, 31300_um, Verdict::fails);
        judge("K100B", End::a, Verdict::fails);
        hold("K100B", HoldCause::failed);
        add(entries::PartQuarantined{"K100B"});
        settle("K100B", Settlement::recrimp);
        add(entries::AssemblyTakenUp{"K100B"});
        add(entries::AssemblyPassed{"K100B", "O-1001", "", 1});
        add(entries::TagPrinting{"K100B", 0, "", std::string(64, 'd'), "K100B.pdf", "label"});
        add(entries::TagFailed{"K100B", 0, message("printer.gone").with("printer", "label")}, "");
    }
    void scrapped_after_undersize() {
        start_assembly("K100C", 3);
        entries::ReadingRefused refused{"G1", message("driver.wrong_unit").with("unit", "in"), "312e3232696e0d0a",
                                        1'741'064'767'000, "K100C"};
        add(refused, "");
        hold("K100C", HoldCause::failed);
        settle("K100C", Settlement::scrap);
    }
    void conceded_after_uncertain() {
        start_assembly("K100D", 4);
        hold("K100D", HoldCause::uncertain);
        settle("K100D", Settlement::concession, "HN mail of 4 March");
        add(entries::AssemblyPassed{"K100D", "O-1001", "HN mail of 4 March", 0}, "LD-1");
        add(entries::TagPrinting{"K100D", 0, "", std::string(64, 'd'), "K100D.pdf", ""});
        add(entries::TagInDoubt{"K100D", 0}, "");
        add(entries::TagDoubtSettled{"K100D", 0, true});
    }
    // Charts, the drift watch, a gauge study and a sample measured again.
    void the_lead_looks() {
        const std::string stream = "NH2-12/A|2|C1|D31";
        entries::LimitsFrozen limits;
        limits.stream = stream;
        limits.to_seq = last();
        limits.points = 2;
        limits.centre = 31010_um;
        limits.lower = 30980_um;
        limits.upper = 31040_um;
        limits.sigma = 10_um;
        limits.reason = "first weeks";
        add(limits, "LD-1");
        add(entries::LimitsReleased{stream, ChartOf::means, "new die set"}, "LD-1");
        add(entries::WatchSet{}, "LD-1");
        entries::DriftWarned drift;
        drift.key = stream + "|H-1";
        drift.spec_id = "NH2-12/A";
        drift.revision = "2";
        drift.crimper = "C1";
        drift.die_set = "D31";
        drift.hose_lot = "H-1";
        drift.signals = {{"beyond_three_sigma", {last()}}};
        drift.points = 24;
        drift.level = 31040_um;
        drift.sigma = 10_um;
        drift.correction = -40_um;
        drift.share_ppm = 1200;
        drift.share_limit_ppm = 10'000;
        add(drift, "");
        entries::StudyPlanned study;
        study.study = "GS-1";
        study.gauge = "G1";
        study.pieces = {{"P1", {}}, {"P2", 31005_um}};
        study.people = {"OP-7"};
        study.trials = 2;
        study.lower = 30850_um;
        study.upper = 31150_um;
        study.seed = "00000000000000c5";
        study.turns = {{"OP-7", "P2", 1}, {"OP-7", "P1", 1}};
        add(study, "LD-1");
        add(entries::StudyBegun{"GS-1"});
        entries::StudyMeasured measured;
        measured.study = "GS-1";
        measured.turn = 1;
        measured.piece = "P2";
        measured.gauge = "G1";
        measured.proof_seq = proof_seq_;
        measured.value = 31010_um;
        measured.resolution = 10_um;
        measured.raw_hex = "2b33312e30310d0a";
        add(measured);
        add(entries::StudyTurnVoided{"GS-1", 1, "wrong piece"});
        add(entries::StudyLeft{"GS-1"});
        add(entries::StudyDropped{"GS-1", "pieces lost"}, "LD-1");
        entries::UncertaintySet uncertainty;
        uncertainty.gauge = "G1";
        uncertainty.uncertainty = 11_um;
        uncertainty.before = 12_um;
        uncertainty.study = "GS-1";
        uncertainty.parts = {{"resolution", 3_um}, {"repeatability", 8_um}};
        uncertainty.expanded = 22_um;
        uncertainty.degrees_of_freedom = 40;
        uncertainty.reason = "study of the week";
        add(uncertainty, "LD-1");
        entries::SampleDrawn sample;
        sample.sample = "RM-1";
        sample.shift = "2025-03-04/1";
        sample.plan = "zero_acceptance";
        sample.quality_ppm = 50'000;
        sample.confidence_permille = 950;
        sample.lot_size = 3;
        sample.seed = "00000000000000c6";
        sample.serials = {"K100A"};
        add(sample, "LD-1");
        add(entries::SampleBegun{"RM-1"});
        entries::SampleMeasured again;
        again.sample = "RM-1";
        again.serial = "K100A";
        again.flat = 1;
        again.gauge = "G1";
        again.value = 31040_um;
        again.first_value = 31030_um;
        again.first_gauge = "G1";
        again.raw_hex = "2b33312e30340d0a";
        add(again);
        add(entries::SampleLeft{"RM-1"});
        entries::SampleJudged judged;
        judged.sample = "RM-1";
        judged.compared = 1;
        judged.accepted = true;
        judged.mean_difference = 10_um;
        add(judged, "");
    }
    void the_record_leaves_the_house() {
        add(entries::KeyMade{"test-station", "test-station+00000001+AQ", "AA=="});
        add(entries::CheckpointSigned{last(), "cm9vdA==", "a note", "shift_end"});
        add(entries::WitnessKnown{"lead-desk+00000002+BA", "the lead's own computer"}, "LD-1");
        add(entries::CheckpointCountersigned{last() - 2, "lead-desk+00000002+BA", "a line", 1741104000});
        add(entries::WitnessForgotten{"lead-desk+00000002+BA", "computer sold"}, "LD-1");
        add(entries::RecoveryPrinted{"test-station+00000001+AQ"}, "LD-1");
        add(entries::KeyHandedOver{"test-station", "test-station+00000001+AQ", "test-station+00000003+AQ",
                                   "AQ==", "a note by the old key", "the old machine was sold"},
            "LD-1");
        add(entries::ApplicationOverridden{"O-1001", {"application.bend_too_tight"}, "the designer confirmed it"},
            "LD-1");
        entries::ProofTested tested;
        tested.serial = "K100A";
        tested.asked = {Pressure::from_kpa(43'000), 30, "water"};
        tested.reached = Pressure::from_kpa(43'100);
        tested.held_s = 31;
        tested.medium = "water";
        tested.seen = "nothing";
        tested.manometer = "PM-1";
        tested.passed = true;
        add(tested);
        entries::DeliverySent sent;
        sent.delivery = "DL-1";
        sent.customer = "Hafen Nord";
        sent.note_number = "4711";
        sent.date = "2025-03-05";
        sent.to = "yard 2";
        sent.serials = {"K100A"};
        add(sent, "LD-1");
        add(entries::DeliveryTakenBack{"DL-1", {"K100A"}, "the lorry was full"}, "LD-1");
        entries::CertificateIssued certificate;
        certificate.certificate = "CF-1";
        certificate.subject = "serial";
        certificate.subject_id = "K100A";
        certificate.customer = "Hafen Nord";
        certificate.serials = {"K100A"};
        certificate.statement = "declaration";
        certificate.releaser = "Ilse Marr";
        certificate.function = "QC lead";
        certificate.paper = "a4";
        certificate.language = "en";
        certificate.checkpoint_size = 3;
        add(certificate, "LD-1");
        add(entries::LinkMade{"TL-1", std::string(64, 'e'), "Hafen Nord", "", ""}, "LD-1");
        add(entries::LinkLooked{"TL-1", Looked::record, "K100A"}, "");
        add(entries::LinkRevoked{"TL-1", "sent to the wrong address"}, "LD-1");
        entries::RecallDrawn recall;
        recall.recall = "RC-1";
        recall.reason = "lot in doubt";
        recall.criteria = {{"hose_lot", "H-1"}};
        recall.assemblies = 1;
        recall.list_sha256 = std::string(64, 'f');
        add(recall, "LD-1");
        entries::ReturnOpened returned;
        returned.return_ = "RT-1";
        returned.serial = "K100A";
        returned.customer = "Hafen Nord";
        returned.received = "2025-06-02";
        returned.reported = "oil at the shell";
        returned.read_off = {{"date_code", "2503"}};
        add(returned, "LD-1");
        add(entries::ReturnAnswered{"RT-1", "where", "at_shell", ""}, "LD-1");
        add(entries::ReturnBegun{"RT-1"});
        entries::ReturnMeasured measured;
        measured.return_ = "RT-1";
        measured.flat = 1;
        measured.gauge = "G1";
        measured.value = 31050_um;
        add(measured);
        add(entries::ReturnLeft{"RT-1"});
        add(entries::ReturnConcluded{"RT-1", {{"crimp_too_large", 3}}, "crimp_too_large", "seen", "", ""}, "LD-1");
        add(entries::ReturnReopened{"RT-1", "the customer sent pictures"}, "LD-1");
    }
    void gauge_fails_and_holds() {
        prove("G1", false);
        hold("K100A", HoldCause::suspect);
        start_assembly("K100E", 5);
        hold("K100E", HoldCause::person);
    }

    std::int64_t proof_seq_ = 0;
    std::int64_t held_seq_ = 0;
};

}  // namespace

ShopDay::ShopDay() : drafts(DayBook().drafts) {}

}  // namespace journal_kit
