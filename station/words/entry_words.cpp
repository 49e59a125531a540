#include "station/words/entry_words.h"

#include "station/words/catalogue.h"
#include "station/words/finding_words.h"
#include "station/words/tell_record.h"

namespace crimpgate {

using namespace entries;

namespace {

// With the places of a gauge of that resolution, where it is known, and `more`.
std::string shown(Length length, ShownUnit unit, Length resolution = {}, int more = 0) {
    return to_text(length, length_unit(unit), places_of(resolution, length_unit(unit)) + more);
}
std::string letter(std::optional<End> end) {
    return !end ? "-" : *end == End::a ? "A" : "B";
}

std::string role_text(Role role) {
    switch (role) {
        case Role::operator_:
            return "operator";
        case Role::lead:
            return "lead";
        case Role::setter:
            return "setter";
        case Role::auditor:
            break;
    }
    return "auditor";
}

Message reading_words(const ReadingTaken& e, ShownUnit unit) {
    const std::string value = shown(e.value, unit, e.resolution);
    if (e.purpose == Purpose::proof) return message("told.reading_proof").with("gauge", e.gauge).with("value", value);
    if (e.purpose == Purpose::setup)
        return message("told.reading_setup").with("flat", std::to_string(e.flat)).with("value", value);
    Message m = message("told.reading_depth");
    switch (e.what.value_or(Characteristic::depth)) {
        case Characteristic::crimp_diameter:
            m = message("told.reading_crimp").with("flat", std::to_string(e.flat));
            break;
        case Characteristic::skive_outer:
            m = message("told.reading_skive_outer");
            break;
        case Characteristic::skive_inner:
            m = message("told.reading_skive_inner");
            break;
        case Characteristic::mark_before:
        case Characteristic::mark_after:
            m = message("told.reading_mark");
            break;
        default:
            break;
    }
    m.with("serial", e.serial).with("end", letter(e.end)).with("value", value);
    m.with("verdict", e.verdict == Verdict::conforms ? "conforms"
                      : e.verdict == Verdict::fails  ? "fails"
                                                     : "uncertain");
    return m;
}

Message confirmed_words(const StepConfirmed& e) {
    Message m = message("told.confirmed_mark");
    if (e.what == Characteristic::lubricant)
        m = e.yes.value_or(false) ? message("told.lubricated") : message("told.not_lubricated");
    else if (e.what == Characteristic::bore_pin)
        m = e.yes.value_or(false) ? message("told.pin_passed") : message("told.pin_stopped");
    else if (e.seen == MarkSeen::gap)
        m = message("told.mark_gap");
    else if (e.seen == MarkSeen::hidden)
        m = message("told.mark_hidden");
    return std::move(m).with("serial", e.serial).with("end", letter(e.end));
}

Message held_words(const AssemblyHeld& e, ShownUnit unit) {
    Message m = message("told.held_failed");
    switch (e.cause) {
        case HoldCause::failed:
            break;
        case HoldCause::uncertain:
            m = message("told.held_uncertain");
            break;
        case HoldCause::suspect:
            m = message("told.held_suspect").with("gauge", e.gauge).with("error", shown(e.gauge_error, unit));
            break;
        case HoldCause::person:
            m = message("told.held_person").with("reason", e.reason);
            break;
        case HoldCause::overturned:
            m = message("told.held_overturned");
            break;
        case HoldCause::proof_test:
            return message("told.held_proof_test").with("serial", e.serial);
    }
    m.with("serial", e.serial);
    if (e.cause != HoldCause::suspect) m.with("end", letter(e.end));
    return m;
}

Message settled_words(const HoldSettled& e, const std::string& who) {
    Message m = message("told.settled_scrap");
    if (e.how == Settlement::recrimp) m = message("told.settled_recrimp");
    if (e.how == Settlement::remeasure) m = message("told.settled_remeasure");
    if (e.how == Settlement::concession) m = message("told.settled_concession").with("reference", e.customer_reference);
    return std::move(m).with("serial", e.serial).with("who", who).with("reason", e.reason);
}

// What the QC lead does, apart since there is much of it.
struct TellAudit {
    const std::string& who;
    ShownUnit unit;

    Message operator()(const LimitsFrozen& e) const {
        return (e.chart == ChartOf::means ? message("told.limits_frozen_means") : message("told.limits_frozen_spreads"))
            .with("stream", e.stream)
            .with("points", std::to_string(e.points))
            .with("lower", shown(e.lower, unit))
            .with("upper", shown(e.upper, unit))
            .with("who", who);
    }
    Message operator()(const LimitsReleased& e) const {
        return message("told.limits_released").with("stream", e.stream).with("who", who).with("reason", e.reason);
    }
    Message operator()(const WatchSet& e) const {
        return (e.on ? message("told.watch_on") : message("told.watch_off"))
            .with("points", std::to_string(e.points))
            .with("who", who);
    }
    Message operator()(const DriftWarned& e) const {
        return (e.correction < Length{} ? message("told.drift_close") : message("told.drift_open"))
            .with("spec", e.spec_id)
            .with("level", shown(e.level, unit))
            .with("by", shown(e.correction.abs(), unit));
    }
    Message operator()(const ShiftSignedOff& e) const {
        return message("told.shift_signed_off")
            .with("shift", e.shift)
            .with("who", who)
            .with("remark", e.remark.empty() ? "-" : e.remark);
    }
    Message operator()(const StudyPlanned& e) const {
        return message("told.study_planned")
            .with("study", e.study)
            .with("gauge", e.gauge)
            .with("turns", std::to_string(e.turns.size()));
    }
    Message operator()(const StudyBegun& e) const { return message("told.study_begun").with("study", e.study); }
    Message operator()(const StudyLeft& e) const { return message("told.study_left").with("study", e.study); }
    // Without the value: whoever measures next is to be blind to it.
    Message operator()(const StudyMeasured& e) const {
        return message("told.study_measured").with("study", e.study).with("turn", std::to_string(e.turn));
    }
    Message operator()(const StudyTurnVoided& e) const {
        return message("told.study_turn_voided")
            .with("study", e.study)
            .with("turn", std::to_string(e.turn))
            .with("reason", e.reason);
    }
    Message operator()(const StudyDropped& e) const {
        return message("told.study_dropped").with("study", e.study).with("reason", e.reason);
    }
    Message operator()(const UncertaintySet& e) const {
        return message("told.uncertainty_set")
            .with("gauge", e.gauge)
            .with("before", e.before.to_mm_text(4))
            .with("uncertainty", e.uncertainty.to_mm_text(4))
            .with("who", who);
    }
    Message operator()(const SampleDrawn& e) const {
        return message("told.sample_drawn")
            .with("sample", e.sample)
            .with("shift", e.shift)
            .with("size", std::to_string(e.serials.size()))
            .with("lot", std::to_string(e.lot_size));
    }
    Message operator()(const SampleBegun& e) const { return message("told.sample_begun").with("sample", e.sample); }
    Message operator()(const SampleLeft& e) const { return message("told.sample_left").with("sample", e.sample); }
    Message operator()(const SampleMeasured& e) const {
        return message("told.sample_measured")
            .with("sample", e.sample)
            .with("serial", e.serial)
            .with("end", letter(e.end))
            .with("flat", std::to_string(e.flat))
            .with("value", shown(e.value, unit))
            .with("first", shown(e.first_value, unit));
    }
    Message operator()(const SampleJudged& e) const {
        return (e.accepted ? message("told.sample_accepted") : message("told.sample_rejected"))
            .with("sample", e.sample)
            .with("overturned", std::to_string(e.overturned.size()));
    }
};

struct Tell : TellAudit, TellRecord {
    using TellAudit::operator();
    using TellRecord::operator();
    Tell(const std::string& w, ShownUnit u) : TellAudit{w, u}, TellRecord(w, u) {}

    Message operator()(const StationStarted& e) const {
        return message("told.station_started").with("version", e.version);
    }
    Message operator()(const StationStopped&) const { return message("told.station_stopped"); }
    Message operator()(const ClockStepped& e) const {
        return message("told.clock_stepped").with("ms", std::to_string(e.found_utc_ms - e.expected_utc_ms));
    }
    Message operator()(const ClockAccepted&) const { return message("told.clock_accepted").with("who", who); }
    Message operator()(const SecretSet& e) const {
        return (e.secret == Secret::pin ? message("told.pin_set") : message("told.passphrase_set"))
            .with("person", e.person);
    }
    Message operator()(const RoleGiven& e) const {
        return message("told.role_given").with("person", e.person).with("role", role_text(e.role));
    }
    Message operator()(const BadgeGiven& e) const { return message("told.badge_given").with("person", e.person); }
    Message operator()(const PersonRetired& e) const {
        return message("told.person_retired").with("person", e.person).with("reason", e.reason);
    }
    Message operator()(const LanguageChosen& e) const {
        return message("told.language_chosen").with("person", e.person).with("language", e.language);
    }
    Message operator()(const SessionBegun& e) const {
        return (e.from_here ? message("told.session_here") : message("told.session_elsewhere"))
            .with("person", e.person);
    }
    Message operator()(const SessionEnded& e) const { return message("told.session_ended").with("person", e.person); }
    Message operator()(const GaugeLineSet& e) const {
        return message("told.line_set").with("gauge", e.gauge).with("port", e.port).with("profile", e.profile);
    }
    Message operator()(const PrinterChosen& e) const {
        return message("told.printer_chosen").with("printer", e.printer.empty() ? "-" : e.printer).with("size", e.size);
    }
    Message operator()(const ScreenSet&) const { return message("told.screen_set"); }
    Message operator()(const LimitsSet&) const { return message("told.limits_set").with("who", who); }
    Message operator()(const TableProposed& e) const {
        return message("told.table_proposed").with("table", e.table).with("rows", std::to_string(e.rows.size()));
    }
    Message operator()(const ProposalDropped& e) const {
        return message("told.proposal_dropped").with("reason", e.reason);
    }
    Message operator()(const PersonAdded& e) const { return message("told.person_added").with("name", e.name); }
    Message operator()(const SignedIn& e) const { return message("told.signed_in").with("person", e.person); }
    Message operator()(const SignedOut& e) const { return message("told.signed_out").with("person", e.person); }
    Message operator()(const SignInRefused& e) const {
        return message("told.sign_in_refused").with("person", e.person);
    }
    Message operator()(const GaugeRegistered& e) const {
        return message("told.gauge_registered")
            .with("gauge", e.gauge)
            .with("uncertainty", shown(e.uncertainty, unit, {}, 2))
            .with("due", e.calibration_due);
    }
    Message operator()(const ReferenceRegistered& e) const {
        return message("told.reference_registered")
            .with("reference", e.reference)
            .with("size", shown(e.size, unit, {}, 2));
    }
    Message operator()(const ProofBegun& e) const {
        return message("told.proof_begun").with("gauge", e.gauge).with("reference", e.reference);
    }
    Message operator()(const GaugeProved& e) const {
        // One more than a gauge shows, since references have it; and enough to see that the error is beyond the limit.
        const int least = places_of({}, length_unit(unit)) + 1;
        const int places = places_apart(e.error.abs(), e.limit, length_unit(unit), least);
        return (e.passed ? message("told.proved") : message("told.proof_failed"))
            .with("gauge", e.gauge)
            .with("error", to_text(e.error, length_unit(unit), places))
            .with("limit", to_text(e.limit, length_unit(unit), places));
    }
    Message operator()(const GaugeWithdrawn& e) const {
        return message("told.gauge_withdrawn").with("gauge", e.gauge).with("reason", e.reason);
    }
    Message operator()(const GaugeLost& e) const { return message("told.gauge_lost").with("gauge", e.gauge); }
    Message operator()(const GaugeBack& e) const {
        return (e.needs_proof ? message("told.gauge_back_unproved") : message("told.gauge_back"))
            .with("gauge", e.gauge);
    }
    Message operator()(const TableAdopted& e) const {
        return message("told.table_adopted")
            .with("table", e.table)
            .with("rows", std::to_string(e.rows.size()))
            .with("who", who);
    }
    Message operator()(const OrderOpened& e) const {
        return message("told.order_opened")
            .with("order", e.order)
            .with("quantity", std::to_string(e.quantity))
            .with("customer", e.customer);
    }
    Message operator()(const ShiftStarted& e) const { return message("told.shift_started").with("shift", e.shift); }
    Message operator()(const ShiftEnded& e) const { return message("told.shift_ended").with("shift", e.shift); }
    Message operator()(const OrderTaken& e) const { return message("told.order_taken").with("order", e.order); }
    Message operator()(const LotsConfirmed& e) const {
        return message("told.lots")
            .with("hose", e.hose_lot)
            .with("fitting_a", e.fitting_a_lot)
            .with("fitting_b", e.fitting_b_lot);
    }
    Message operator()(const DieConfirmed& e) const {
        return message("told.die").with("die_set", e.die_set).with("crimper", e.crimper).with("setting", e.setting);
    }
    Message operator()(const SetupJudged& e) const {
        if (e.passed) return message("told.setup_good").with("mean", shown(e.mean, unit)).with("spec", e.spec_id);
        return (e.correction < Length{} ? message("told.setup_close") : message("told.setup_open"))
            .with("mean", shown(e.mean, unit))
            .with("by", shown(e.correction.abs(), unit))
            .with("spec", e.spec_id);
    }
    Message operator()(const AssemblyStarted& e) const {
        return message("told.started").with("serial", e.serial).with("order", e.order);
    }
    Message operator()(const ReadingTaken& e) const { return reading_words(e, unit); }
    Message operator()(const ReadingRefused& e) const {
        return message("told.reading_refused").with("gauge", e.gauge).with("why", say(e.why));
    }
    Message operator()(const ReadingVoided& e) const {
        return message("told.voided")
            .with("seq", std::to_string(e.voided_seq))
            .with("who", who)
            .with("reason", e.reason);
    }
    Message operator()(const StepConfirmed& e) const { return confirmed_words(e); }
    Message operator()(const EndJudged& e) const {
        Message m = e.verdict == Verdict::conforms ? message("told.end_conforms")
                    : e.verdict == Verdict::fails  ? message("told.end_fails")
                                                   : message("told.end_uncertain");
        return std::move(m).with("serial", e.serial).with("end", letter(e.end));
    }
    Message operator()(const AssemblyHeld& e) const { return held_words(e, unit); }
    Message operator()(const PartQuarantined& e) const { return message("told.quarantined").with("serial", e.serial); }
    Message operator()(const HoldSettled& e) const { return settled_words(e, who); }
    Message operator()(const AssemblyTakenUp& e) const { return message("told.taken_up").with("serial", e.serial); }
    Message operator()(const AssemblyPassed& e) const {
        Message m = message("told.passed");
        if (!e.concession_reference.empty())
            m = message("told.passed_concession").with("reference", e.concession_reference);
        else if (e.recrimps > 0)
            m = message("told.passed_recrimped");
        return std::move(m).with("serial", e.serial);
    }
    Message operator()(const TagPrinting& e) const { return message("told.tag_printing").with("file", e.file); }
    Message operator()(const TagPrinted& e) const {
        return e.copy == 0
                   ? message("told.tag_printed").with("serial", e.serial)
                   : message("told.tag_reprinted").with("serial", e.serial).with("copy", std::to_string(e.copy));
    }
    Message operator()(const TagFailed& e) const {
        return message("told.tag_failed").with("serial", e.serial).with("why", say(e.why));
    }
    Message operator()(const TagInDoubt& e) const { return message("told.tag_in_doubt").with("serial", e.serial); }
    Message operator()(const TagDoubtSettled& e) const {
        return (e.found ? message("told.tag_found") : message("told.tag_not_found"))
            .with("serial", e.serial)
            .with("who", who);
    }
};

}  // namespace

Message words_of(const EntryBody& body, const std::string& who, ShownUnit unit) {
    Message m = std::visit(Tell(who, unit), body);
    if (unit == ShownUnit::inch) m.with("unit", "in");
    return m;
}

}  // namespace crimpgate
