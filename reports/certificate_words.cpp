#include "reports/certificate_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>

#include "specs/dates.h"

namespace crimpgate::certificate_words {

namespace {

std::string joined(const std::vector<std::string>& parts, std::string_view between) {
    std::string out;
    for (const auto& part : parts) {
        if (part.empty()) continue;
        if (!out.empty()) out += between;
        out += part;
    }
    return out;
}

std::string number(std::size_t n) {
    return std::to_string(n);
}

// Each once, in the order of coming.
template <class T>
void note(std::vector<T>& all, const T& one) {
    if (std::find(all.begin(), all.end(), one) == all.end()) all.push_back(one);
}

// Probability of a normal posterior at the guard to lie inside that limit, in per cent, cut to whole ones: Phi(factor),
// JCGM 106:2012 clause 7. For show.
std::string percent_inside(std::int64_t thousandths) {
    const double factor = static_cast<double>(thousandths) / 1000;
    return std::to_string(static_cast<int>(std::floor(100 * 0.5 * std::erfc(-factor / std::sqrt(2.0)))));
}

std::string factor_text(std::int64_t thousandths) {
    auto text = fmt::format("{}.{:03}", thousandths / 1000, thousandths % 1000);
    while (text.back() == '0')
        text.pop_back();
    if (text.back() == '.') text.pop_back();
    return text;
}

}  // namespace

std::string Words::word(std::string_view code) const {
    return audit::word_for("audit.value." + std::string(code), code, paper_.reader);
}

std::size_t Words::conceded() const {
    return static_cast<std::size_t>(std::count_if(data_.assemblies.begin(), data_.assemblies.end(),
                                                  [](const auto& a) { return a.on_concession(); }));
}

std::string Words::title() const {
    switch (data_.statement) {
        case CertificateStatement::declaration:
            return say(message("certificate.paper.title.declaration"));
        case CertificateStatement::manner_2_2:
            return say(message("certificate.paper.title.manner_2_2"));
        case CertificateStatement::manner_3_1:
            return say(message("certificate.paper.title.manner_3_1"));
    }
    return {};
}

std::string Words::manner() const {
    switch (data_.statement) {
        case CertificateStatement::declaration:
            return say(message("certificate.paper.manner.declaration"));
        case CertificateStatement::manner_2_2:
            return say(message("certificate.paper.manner.manner_2_2"));
        case CertificateStatement::manner_3_1:
            return say(message("certificate.paper.manner.manner_3_1"));
    }
    return {};
}

std::vector<Labelled> Words::head() const {
    std::vector<Labelled> out;
    const auto add = [&](const Message& label, const std::string& value) {
        if (!value.empty()) out.push_back({say(label), value});
    };
    add(message("certificate.paper.number"), data_.number);
    add(message("certificate.paper.issuer"), joined({data_.shop, data_.address}, ", "));
    add(message("certificate.paper.place"),
        joined({data_.place, data_.issued_date}, ", ") + " (" + time(data_.issued_ms) + ")");
    add(message("certificate.paper.customer"), data_.customer);
    if (data_.subject == "delivery") {
        add(message("certificate.paper.delivery"), data_.subject_id);
        add(message("certificate.paper.delivered"), data_.delivered);
        add(message("certificate.paper.note"), data_.delivery_note);
    }
    std::vector<std::string> orders, parts;
    for (const auto& item : data_.items) {
        note(orders, item.order);
        note(parts, item.customer_part);
    }
    add(message("certificate.paper.order"), joined(orders, ", "));
    add(message("certificate.paper.part"), joined(parts, ", "));
    add(message("certificate.paper.object"),
        data_.assemblies.size() == 1
            ? say(message("certificate.paper.object_one").with("serial", data_.assemblies.front().serial))
            : say(message("certificate.paper.object_many").with("count", number(data_.assemblies.size()))));
    if (data_.ordered && data_.subject == "order")
        add(message("certificate.paper.quantity"), say(message("certificate.paper.quantity_of")
                                                           .with("count", number(data_.assemblies.size()))
                                                           .with("ordered", std::to_string(*data_.ordered))));
    add(message("certificate.paper.station"), data_.station);
    return out;
}

std::string Words::concession_title() const {
    const auto count = conceded();
    if (count == 0) return {};
    return say(message("certificate.paper.concession")
                   .with("count", number(count))
                   .with("all", number(data_.assemblies.size())));
}

std::vector<std::string> Words::concessions(std::size_t most) const {
    std::vector<std::string> out;
    std::size_t untold = 0;
    for (const auto& assembly : data_.assemblies) {
        if (!assembly.on_concession()) continue;
        if (out.size() == most) {
            ++untold;
            continue;
        }
        std::vector<std::string> what;
        for (std::size_t i = 0; i < 2; ++i)
            for (const auto& reading : assembly.ends[i].readings)
                if (reading.conceded)
                    what.push_back(
                        say(message("certificate.paper.conceded_reading")
                                .with("end", end(i))
                                .with("what", this->what(reading))
                                .with("value", value(reading))
                                .with("verdict", word(reading.verdict == Verdict::fails       ? "fails"
                                                      : reading.verdict == Verdict::uncertain ? "uncertain"
                                                                                              : "conforms"))));
        std::vector<std::string> who, why;
        for (const auto& one : assembly.concessions) {
            note(who, joined({one.by, one.second}, ", "));
            note(why, one.reason);
        }
        out.push_back(
            say(message("certificate.paper.conceded")
                    .with("serial", assembly.serial)
                    .with("what", what.empty() ? say(message("certificate.paper.conceded_hold")) : joined(what, "; "))
                    .with("reference", assembly.concession_reference)
                    .with("who", joined(who, ", "))
                    .with("reason", joined(why, "; "))));
    }
    if (untold > 0) out.push_back(say(message("certificate.paper.conceded_more").with("count", number(untold))));
    return out;
}

std::vector<std::string> Words::statement() const {
    std::vector<std::string> out;
    const auto count = number(data_.assemblies.size());
    out.push_back(conceded() == 0 ? say(message("certificate.paper.states").with("count", count))
                                  : say(message("certificate.paper.states_but").with("count", count)));
    if (data_.independent)
        out.push_back(say(message("certificate.paper.independent")
                              .with("releaser", data_.releaser)
                              .with("function", data_.function)));
    return out;
}

std::vector<std::string> Words::requirements() const {
    std::vector<std::string> out;
    for (const auto& item : data_.items)
        for (const auto* row : {&item.row_a, &item.row_b})
            note(out, say(message("certificate.paper.row")
                              .with("spec", row->spec_id)
                              .with("revision", row->revision)
                              .with("source", row->source)));
    for (const auto& item : data_.items) {
        if (item.length_rule == "sae_j517")
            note(out, say(message("certificate.paper.length_sae")));
        else
            note(out, say(message("certificate.paper.length_din")));
        note(out, item.needed_pressure ? say(message("certificate.paper.order_pressure")
                                                 .with("order", item.order)
                                                 .with("bar", bar(*item.needed_pressure)))
                                       : say(message("certificate.paper.order_asks").with("order", item.order)));
    }
    for (const auto& assembly : data_.assemblies)
        for (const auto& test : assembly.proof_tests)
            note(out, say(message("certificate.paper.proof_asked")
                              .with("bar", bar(test.asked))
                              .with("seconds", std::to_string(test.asked_s))));
    return out;
}

std::string Words::rule_text(const DecisionRule& rule) const {
    if (rule.kind == RuleKind::simple) return say(message("certificate.paper.rule_simple"));
    if (rule.guard_factor_thousandths == DecisionRule{}.guard_factor_thousandths)
        return say(message("certificate.paper.rule_iso"));
    return say(message("certificate.paper.rule_guarded")
                   .with("factor", figure(factor_text(rule.guard_factor_thousandths)))
                   .with("percent", percent_inside(rule.guard_factor_thousandths)));
}

std::vector<std::string> Words::rules() const {
    std::vector<DecisionRule> rules;
    for (const auto& item : data_.items)
        for (const auto* row : {&item.row_a, &item.row_b})
            note(rules, row->rule);
    std::vector<std::string> out;
    for (const auto& rule : rules)
        out.push_back(rule_text(rule));
    return out;
}

std::vector<std::string> Words::limitations() const {
    std::vector<std::string> out = {say(message("certificate.paper.limits"))};
    if (std::any_of(data_.assemblies.begin(), data_.assemblies.end(), [](const auto& a) { return a.clock_unsynced; }))
        out.push_back(say(message("certificate.paper.clock")));
    return out;
}

std::string Words::caution() const {
    return say(message("certificate.paper.caution"));
}

std::vector<Labelled> Words::record() const {
    std::vector<Labelled> out;
    out.push_back({say(message("certificate.paper.record_hash")), data_.record_sha256.substr(0, 16)});
    out.push_back({say(message("certificate.paper.record_whole")), data_.record_sha256});
    // Entry n is leaf n - 1 of the log's tree.
    out.push_back({say(message("certificate.paper.log_index")),
                   data_.assemblies.size() == 1 ? std::to_string(data_.assemblies.front().passed_seq - 1)
                                                : say(message("certificate.paper.log_index_below"))});
    out.push_back({say(message("certificate.paper.log_size")), std::to_string(data_.log_size)});
    out.push_back({say(message("certificate.paper.log_root")), data_.log_root});
    out.push_back({say(message("certificate.paper.log_key")), data_.log_key});
    return out;
}

std::string Words::link() const {
    if (data_.link->valid_until.empty()) return say(message("certificate.paper.link_open"));
    return say(message("certificate.paper.link_until").with("until", data_.link->valid_until));
}

std::string Words::link_holder() const {
    return say(message("certificate.paper.link_holder"));
}

std::string Words::released() const {
    return say(message("certificate.paper.released")
                   .with("releaser", data_.releaser)
                   .with("function", data_.function)
                   .with("time", time(data_.issued_ms)));
}

std::string Words::hose(const SpecRow& row) const {
    return joined({row.hose.maker, row.hose.type, fmt::format("-{}", row.hose.dash), row.hose.standard}, " ");
}

std::string Words::fitting(const SpecRow& row) const {
    return joined({row.fitting.maker, row.fitting.series, row.fitting.end_form, row.fitting.end_size,
                   row.fitting.end_family.empty() ? "" : "(" + row.fitting.end_family + ")"},
                  " ");
}

std::string Words::item_title(std::size_t index, std::size_t count) const {
    return data_.items.size() == 1
               ? say(message("certificate.paper.item_only").with("count", number(count)))
               : say(message("certificate.paper.item").with("item", number(index + 1)).with("count", number(count)));
}

std::vector<Labelled> Words::item(const CertificateItem& item) const {
    std::vector<Labelled> out;
    const auto add = [&](const Message& label, const std::string& value) {
        if (!value.empty()) out.push_back({say(label), value});
    };
    if (data_.items.size() > 1) {
        add(message("certificate.paper.order"), item.order);
        add(message("certificate.paper.part"), item.customer_part);
    }
    const auto lot = [&](const std::string& name, const std::string& made) {
        if (made.empty()) return say(message("certificate.paper.lot").with("lot", name));
        return say(message("certificate.paper.lot_made").with("lot", name).with("made", made));
    };
    add(message("certificate.paper.hose"), joined({hose(item.row_a), lot(item.hose_lot, item.hose_made)}, ", "));
    add(message("certificate.paper.fitting_a"), joined({fitting(item.row_a), lot(item.fitting_a_lot, "")}, ", "));
    add(message("certificate.paper.fitting_b"), joined({fitting(item.row_b), lot(item.fitting_b_lot, "")}, ", "));
    add(message("certificate.paper.pressure"),
        say(message("certificate.paper.bar").with("bar", bar(item.working_pressure))));
    const auto u = unit();
    std::string overall = length(item.overall_length) + " " + u;
    if (item.length_band)
        overall += fmt::format(" (+{} / -{})", length(item.length_band->plus), length(item.length_band->minus));
    add(message("certificate.paper.overall"), overall);
    add(message("certificate.paper.cut"), length(item.cut_length) + " " + u);
    if (item.orientation_deg)
        add(message("certificate.paper.orientation"),
            say((item.orientation_rule == "a_down_counter_clockwise" ? message("certificate.paper.orientation_a_down")
                                                                     : message("certificate.paper.orientation_plain"))
                    .with("degrees", std::to_string(*item.orientation_deg))));
    std::vector<std::string> made_on;
    for (const auto* row : {&item.row_a, &item.row_b})
        note(made_on, say(message("certificate.paper.made_on")
                              .with("spec", row->spec_id)
                              .with("revision", row->revision)
                              .with("crimper", row->crimper)
                              .with("die_set", row->die_set)));
    add(message("certificate.paper.crimped_on"), joined(made_on, "; "));
    std::vector<std::string> approvals;
    for (const auto* row : {&item.row_a, &item.row_b})
        note(approvals, row->pairing_approval);
    add(message("certificate.paper.pairing"), joined(approvals, "; "));
    return out;
}

std::string Words::foot() const {
    return say(message("certificate.paper.foot")
                   .with("number", data_.number)
                   .with("shop", data_.shop)
                   .with("hash", data_.record_sha256.substr(0, 16)));
}

std::string Words::page_of(std::size_t page, std::size_t pages) const {
    return say(message("audit.paper.page_of").with("page", number(page)).with("pages", number(pages)));
}

std::string Words::time(std::int64_t ms) const {
    if (paper_.reader.local_time) return paper_.reader.local_time(ms);
    const std::chrono::sys_time<std::chrono::milliseconds> at{std::chrono::milliseconds(ms)};
    const auto day = std::chrono::floor<std::chrono::days>(at);
    const auto seconds = std::chrono::duration_cast<std::chrono::seconds>(at - day).count();
    return fmt::format("{} {:02}:{:02}:{:02} UTC", to_text(std::chrono::year_month_day(day)), seconds / 3600,
                       seconds / 60 % 60, seconds % 60);
}

std::string Words::length(Length value, Length resolution) const {
    return figure(shown_length(value, length_unit(), resolution));
}

std::string Words::bar(Pressure pressure) const {
    return figure(pressure.to_bar_text(pressure.kpa() % 100 == 0 ? 0 : 1));
}

std::string Words::what(const CertificateReading& reading) const {
    auto out = word(code_of(reading.what));
    if (reading.flat > 0)
        out = say(message("certificate.paper.at_flat").with("what", out).with("flat", std::to_string(reading.flat)));
    return out;
}

std::string Words::value(const CertificateReading& reading) const {
    if (reading.value) return length(*reading.value, reading.resolution);
    if (reading.yes) return word(*reading.yes ? "yes" : "no");
    if (!reading.seen) return {};
    switch (*reading.seen) {
        case MarkSeen::at_edge:
            return say(message("certificate.paper.mark_at_edge"));
        case MarkSeen::gap:
            return say(message("certificate.paper.mark_gap"));
        case MarkSeen::hidden:
            return say(message("certificate.paper.mark_hidden"));
    }
    return {};
}

std::string Words::verdict(const CertificateReading& reading) const {
    if (reading.conceded) return say(message("certificate.paper.verdict_conceded"));
    switch (reading.verdict) {
        case Verdict::conforms:
            return word("conforms");
        case Verdict::fails:
            return word("fails");
        case Verdict::uncertain:
            return word("uncertain");
    }
    return {};
}

std::string Words::verdict(const CertificateAssembly& assembly) const {
    return assembly.on_concession() ? say(message("certificate.paper.verdict_concession")) : word("conforms");
}

}  // namespace crimpgate::certificate_words
