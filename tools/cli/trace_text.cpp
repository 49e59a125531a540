// A trace for people. The sections stand in the order in which a customer asks: what is it, does it hold, to what was
// it made, what was measured, with what, and who says so.
#include <algorithm>
#include <optional>

#include <fmt/format.h>
#include <boost/json.hpp>

#include "station/entries/entry_json.h"
#include "station/words/catalogue.h"
#include "station/words/finding_words.h"
#include "tools/cli/commands.h"
#include "tools/cli/spec_row_text.h"
#include "tools/cli/text_table.h"

namespace crimpgate::cli {

namespace {

namespace json = boost::json;

const json::array& list(const json::object& trace, std::string_view name) {
    static const json::array none;
    const auto* value = trace.if_contains(name);
    return value != nullptr && value->is_array() ? value->get_array() : none;
}

std::string n(const json::object& row, std::string_view name) {
    return std::to_string(number_in(row, name));
}

// The entries of one type, read back.
template <class T>
std::vector<std::pair<std::int64_t, T>> entries_of(const json::object& trace) {
    std::vector<std::pair<std::int64_t, T>> out;
    for (const auto& value : list(trace, "entries")) {
        const auto& entry = value.as_object();
        if (text_in(entry, "type") != T::type) continue;
        const auto body = entry_body(T::type, entry.at("body").as_object());
        if (body) out.emplace_back(number_in(entry, "seq"), std::get<T>(*body));
    }
    return out;
}

std::string stage_words(const std::string& stage) {
    if (stage == "passed") return "PASSED";
    if (stage == "on_hold") return "ON HOLD";
    if (stage == "scrapped") return "SCRAPPED";
    if (stage == "to_be_taken_up") return "SETTLED, TO BE TAKEN UP AGAIN";
    return "IN WORK";
}

std::string what_words(const std::string& what) {
    if (what == "crimp_diameter") return "crimp";
    if (what == "mark_before") return "mark before";
    if (what == "mark_after") return "mark after";
    if (what == "skive_outer") return "outer skive";
    if (what == "skive_inner") return "inner skive";
    if (what == "bore_pin") return "bore pin";
    return what;
}

std::string void_words(const json::object& row) {
    if (!row.contains("voided_seq")) return {};
    return fmt::format("VOIDED in entry {}: {}", number_in(row, "voided_seq"), text_in(row, "void_reason"));
}

std::string head(const json::object& a, const Lengths& lengths) {
    std::string out = fmt::format("{}   {}", text_in(a, "serial"), stage_words(text_in(a, "stage")));
    if (const auto reference = text_in(a, "concession_reference"); !reference.empty())
        out += fmt::format("   CONCESSION {}", reference);
    if (const auto times = number_in(a, "recrimps"); times > 0)
        out += times == 1 ? "   RE-CRIMPED" : fmt::format("   RE-CRIMPED {} times", times);
    out += fmt::format("\n    started {} UTC by {}, shift {} (entry {})\n", short_time(text_in(a, "time")),
                       text_in(a, "who"), text_in(a, "shift"), number_in(a, "seq"));
    if (a.contains("passed_seq"))
        out += fmt::format("    passed {} UTC by {} (entry {})\n", short_time(text_in(a, "passed")),
                           text_in(a, "passed_by"), number_in(a, "passed_seq"));
    if (yes_in(a, "quarantined")) out += "    lies in the quarantine place\n";

    const auto pressure = Pressure::from_kpa(number_in(a, "working_pressure_kpa"));
    out += fmt::format("\nOrder {} for {}, customer's part {}\n", text_in(a, "order"), text_in(a, "customer"),
                       text_in(a, "customer_part"));
    out += fmt::format("    hose lot {}, fitting lots {} (end A) and {} (end B)\n", text_in(a, "hose_lot"),
                       text_in(a, "fitting_a_lot"), text_in(a, "fitting_b_lot"));
    out += fmt::format("    working pressure {} bar, {} MPa, {} psi\n", pressure.to_bar_text(1),
                       pressure.to_mpa_text(2), pressure.to_psi_text());
    out += fmt::format("    overall length {} {} ({}), hose cut to {} {}", lengths.in(a, "overall_length_nm"),
                       lengths.name(), text_in(a, "length_rule"), lengths.in(a, "cut_length_nm"), lengths.name());
    if (a.contains("orientation_deg")) out += fmt::format(", orientation {} degrees", number_in(a, "orientation_deg"));
    return out + "\n";
}

std::string spec_rows(const json::object& trace, const Lengths& lengths) {
    const auto started = entries_of<entries::AssemblyStarted>(trace);
    if (started.empty()) return {};
    const auto& a = started.front().second;
    std::string out = fmt::format("\nSpec rows, as they were when the assembly was started ({})\n", lengths.name());
    if (a.row_a == a.row_b) return out + "  Both ends: " + spec_row_text(a.row_a, lengths);
    return out + "  End A: " + spec_row_text(a.row_a, lengths) + "  End B: " + spec_row_text(a.row_b, lengths);
}

// A reading's value, band and guard, with places enough to see on which side of its limits it lies.
struct Figures {
    std::string value, lower, upper, guard;
};

Figures figures(const json::object& reading, Lengths lengths) {
    lengths.resolution = resolution_in(reading, lengths.resolution);
    Figures out{lengths.in(reading, "value_nm"), lengths.in(reading, "lower_nm"), lengths.in(reading, "upper_nm"),
                lengths.in(reading, "guard_nm")};
    const auto value = length_in(reading, "value_nm");
    const auto lower = length_in(reading, "lower_nm");
    const auto upper = length_in(reading, "upper_nm");
    if (lengths.unit == LengthUnit::mm || !value || !upper) return out;
    const auto band = shown_band(lower.value_or(Length{}), *upper, lengths.unit, lengths.resolution, value);
    out.value = to_text(*value, lengths.unit, band.places);
    if (lower) out.lower = band.lower;
    out.upper = band.upper;
    if (const auto guard = length_in(reading, "guard_nm")) out.guard = to_text(*guard, lengths.unit, band.places + 1);
    return out;
}

std::string readings(const json::object& trace, const Lengths& lengths) {
    TextTable table({"entry", "time (UTC)", "end", "what", "flat", "try", "value", "from", "to", "guard", "verdict",
                     "gauge", "proof", "by", ""});
    for (const auto& value : list(trace, "readings")) {
        const auto& r = value.as_object();
        const auto shown = figures(r, lengths);
        table.add({n(r, "seq"), short_time(text_in(r, "time")), end_in(r), what_words(text_in(r, "what")),
                   number_in(r, "flat") > 0 ? n(r, "flat") : "", n(r, "attempt"), shown.value, shown.lower, shown.upper,
                   shown.guard, text_in(r, "verdict"), text_in(r, "gauge"), n(r, "proof_seq"), text_in(r, "who"),
                   void_words(r)});
    }
    std::string out = fmt::format("\nReadings ({})\n", lengths.name()) + (table.empty() ? "    none\n" : table.text(4));
    TextTable seen({"entry", "time (UTC)", "end", "what", "try", "answer", "verdict", "by", ""});
    for (const auto& value : list(trace, "confirmations")) {
        const auto& c = value.as_object();
        std::string answer = text_in(c, "seen");
        if (answer == "at_edge") answer = "at the edge";
        if (c.contains("yes")) answer = yes_in(c, "yes") ? "yes" : "no";
        seen.add({n(c, "seq"), short_time(text_in(c, "time")), end_in(c), what_words(text_in(c, "what")),
                  n(c, "attempt"), answer, text_in(c, "verdict"), text_in(c, "who"), void_words(c)});
    }
    if (!seen.empty()) out += "\nConfirmed by a person\n" + seen.text(4);
    return out;
}

std::string judgements(const json::object& trace, const Lengths& lengths, ShownUnit unit) {
    // A mean is finer than what the gauge shows.
    const int places =
        places_of(lengths.unit == LengthUnit::mm ? Length::from_um(10) : lengths.resolution, lengths.unit);
    std::string out = "\nJudgements\n";
    const auto all = entries_of<entries::EndJudged>(trace);
    if (all.empty()) return out + "    none yet\n";
    for (const auto& [seq, judged] : all) {
        out += fmt::format("    End {}, try {} (entry {}): {}", judged.end == End::a ? "A" : "B", judged.attempt, seq,
                           judged.verdict == Verdict::conforms ? "CONFORMS"
                           : judged.verdict == Verdict::fails  ? "FAILS"
                                                               : "UNCERTAIN");
        if (judged.mean)
            out += fmt::format("; mean {} {}", to_text(*judged.mean, lengths.unit, places + 1), lengths.name());
        if (judged.spread) out += fmt::format(", spread {} {}", lengths.text(*judged.spread), lengths.name());
        out += "\n";
        for (const auto& finding : judged.findings)
            out +=
                fmt::format("        {}\n", say(words_of(finding, unit == ShownUnit::mm ? places + 1 : places, unit)));
    }
    return out;
}

std::string holds_and_tags(const json::object& trace, ShownUnit unit) {
    std::string out;
    for (const auto& hold : list(trace, "holds")) {
        if (out.empty()) out = "\nHolds\n";
        std::string_view text;
        const std::string whole = hold_text(hold.as_object(), unit);
        for (text = whole; !text.empty(); text.remove_prefix(text.find('\n') + 1))
            out += fmt::format("    {}\n", text.substr(0, text.find('\n')));
    }
    TextTable tags({"tag", "state", "time (UTC)", "by", "file", "printer", "SHA-256 of the PDF", ""});
    for (const auto& value : list(trace, "tags")) {
        const auto& tag = value.as_object();
        std::string state = text_in(tag, "state");
        if (state == "in_doubt") state = "IN DOUBT: look for it";
        tags.add({number_in(tag, "copy") == 0 ? "tag" : "REPRINT " + n(tag, "copy"), state,
                  short_time(text_in(tag, "time")), text_in(tag, "who"), text_in(tag, "file"),
                  text_in(tag, "printer").empty() ? "-" : text_in(tag, "printer"), text_in(tag, "pdf_sha256"),
                  text_in(tag, "reason")});
    }
    return out + "\nTags\n" + (tags.empty() ? "    none\n" : tags.text(4));
}

std::string gauges(const json::object& trace, const Lengths& lengths) {
    std::string out =
        fmt::format("\nGauges that measured it, and the proofs that their readings stand on ({})\n", lengths.name());
    // Uncertainties, references and proofs are finer than what a gauge shows.
    Lengths fine = lengths;
    fine.resolution = Length::from_um(1);
    for (const auto& value : list(trace, "gauges")) {
        const auto& g = value.as_object();
        out += fmt::format(
            "    {} ({}): standard uncertainty {}, proof limit {}, calibrated {}, due {}, certificate {}{}\n",
            text_in(g, "gauge"), text_in(g, "profile"), fine.in(g, "uncertainty_nm"), fine.in(g, "proof_limit_nm"),
            text_in(g, "calibrated"), text_in(g, "calibration_due"), text_in(g, "certificate"),
            yes_in(g, "withdrawn") ? "; WITHDRAWN since" : "");
    }
    TextTable table({"entry", "time (UTC)", "gauge", "reference", "size", "read", "error", "limit", "", "by"});
    for (const auto& value : list(trace, "proofs")) {
        const auto& p = value.as_object();
        table.add({n(p, "seq"), short_time(text_in(p, "time")), text_in(p, "gauge"), text_in(p, "reference"),
                   fine.in(p, "size_nm"), fine.in(p, "value_nm"), fine.in(p, "error_nm"), fine.in(p, "limit_nm"),
                   yes_in(p, "passed") ? "good" : "FAILED", text_in(p, "who")});
    }
    return out + (table.empty() ? "    no readings, no proofs\n" : table.text(4));
}

std::string all_entries(const json::object& trace, ShownUnit unit) {
    std::string out = "\nEntries of the journal that speak of it (crimpgate verify says whether they are sound)\n";
    for (const auto& value : list(trace, "entries")) {
        const auto& entry = value.as_object();
        const std::string who = text_in(entry, "who");
        out += fmt::format("    {}  {} UTC  {}  {}\n        {}\n", number_in(entry, "seq"),
                           short_time(text_in(entry, "time")), who.empty() ? "-" : who, text_in(entry, "hash"),
                           entry_sentence(entry, unit));
    }
    return out;
}

// In the shop's unit, with the places of the finest gauge that measured it.
Lengths lengths_of(const json::object& trace, ShownUnit unit) {
    Lengths out{length_unit(unit)};
    std::optional<Length> finest;
    for (const auto& reading : list(trace, "readings")) {
        const auto resolution = resolution_in(reading.as_object(), out.resolution);
        finest = finest ? std::min(*finest, resolution) : resolution;
    }
    out.resolution = finest.value_or(out.resolution);
    return out;
}

}  // namespace

std::string trace_text(const json::object& trace, ShownUnit unit) {
    const auto* assembly = trace.if_contains("assembly");
    if (assembly == nullptr || !assembly->is_object()) return {};
    const auto lengths = lengths_of(trace, unit);
    return head(assembly->get_object(), lengths) + spec_rows(trace, lengths) + readings(trace, lengths) +
           judgements(trace, lengths, unit) + holds_and_tags(trace, unit) + gauges(trace, lengths) +
           all_entries(trace, unit);
}

}  // namespace crimpgate::cli
