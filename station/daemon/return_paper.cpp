#include "station/daemon/return_paper.h"

#include <algorithm>

#include "specs/shown_length.h"
#include "station/daemon/local_time.h"

namespace crimpgate {

namespace {

class Maker {
  public:
    Maker(const ReturnFound& found, const ReturnPaperAsked& asked) : found_(found), asked_(asked) {}

    ReturnReport make() {
        ReturnReport out;
        const auto& o = found_.returned.opened;
        out.number = o.return_;
        out.serial = o.serial;
        out.customer = o.customer;
        out.opened_ms = found_.returned.opened_utc_ms;
        out.for_customer = asked_.for_customer;
        if (!asked_.for_customer) out.notices = found_.notices;
        if (found_.assembly) {
            const auto& s = found_.assembly->started;
            out.described = s.row_a.hose.maker + " " + s.row_a.hose.type + " -" + std::to_string(s.row_a.hose.dash) +
                            "; " + s.row_a.fitting.series + ", " + s.row_a.fitting.end_form + "; " +
                            s.row_b.fitting.series + ", " + s.row_b.fitting.end_form;
            out.order = s.order;
        } else {
            for (const auto& one : o.read_off)
                out.described += (out.described.empty() ? "" : "; ") + say(read_off_words(one.what)) + ": " + one.value;
        }
        if (const auto& c = found_.returned.concluded) {
            out.concluded_ms = concluded_ms_;
            out.cause = c->cause;
            out.remark = c->remark;
            out.bench_action = c->bench_action;
            out.application_action = c->application_action;
        }
        out.answers = found_.answers;
        out.ranking = found_.ranking;
        facts(out.record, found_.record);
        if (!asked_.for_customer)
            for (const auto& h : found_.happened)
                out.record.push_back({local_time_text(h.at_ms, asked_.time_zone).substr(0, 16), say(h.what)});
        facts(out.measured, found_.measured);
        for (const auto& group : found_.groups)
            if (group.group && group.at_risk) out.siblings.push_back(siblings(group));
        return out;
    }

    void concluded_at(std::int64_t ms) { concluded_ms_ = ms; }

  private:
    std::string say(const Message& m) const { return asked_.say ? asked_.say(m) : m.code; }

    static Message read_off_words(std::string_view what) {
        if (what == "maker") return message("returned.read_off.maker");
        if (what == "standard") return message("returned.read_off.standard");
        if (what == "dash") return message("returned.read_off.dash");
        if (what == "pressure") return message("returned.read_off.pressure");
        if (what == "date_code") return message("returned.read_off.date_code");
        if (what == "fitting") return message("returned.read_off.fitting");
        return message("returned.read_off.other");
    }

    static Message place_words(Characteristic what) {
        switch (what) {
            case Characteristic::skive_outer:
                return message("returned.place.skive_outer");
            case Characteristic::skive_inner:
                return message("returned.place.skive_inner");
            case Characteristic::depth:
                return message("returned.place.depth");
            case Characteristic::lubricant:
                return message("returned.place.lubricant");
            case Characteristic::mark_before:
                return message("returned.place.mark_before");
            case Characteristic::crimp_diameter:
                return message("returned.place.crimp_diameter");
            case Characteristic::spread:
                return message("returned.place.spread");
            case Characteristic::mark_after:
                return message("returned.place.mark_after");
            case Characteristic::bore_pin:
                return message("returned.place.bore_pin");
        }
        return message("returned.place.crimp_diameter");
    }

    static Message seen_words(MarkSeen seen) {
        return seen == MarkSeen::at_edge ? message("returned.seen.mark_at_edge")
               : seen == MarkSeen::gap   ? message("returned.seen.mark_gap")
                                         : message("returned.seen.mark_hidden");
    }

    // In the unit of the shop, with the digits that the gauge had.
    std::string length(Length value, const ReturnReading& r) const {
        const auto unit = asked_.inches ? LengthUnit::inch : LengthUnit::mm;
        const auto places = r.resolution > Length{} ? places_of(r.resolution, unit) : (asked_.inches ? 4 : 2);
        return to_text(value, unit, places) + (asked_.inches ? " in" : " mm");
    }

    void facts(std::vector<ReturnFact>& out, const std::vector<ReturnReading>& readings) const {
        for (const auto& r : readings) {
            ReturnFact fact;
            fact.label =
                say(place_words(r.what).with("end", r.end == End::a ? "A" : "B").with("flat", std::to_string(r.flat)));
            if (r.value) {
                fact.value = length(*r.value, r);
                if (r.lower && r.upper)
                    fact.value += " (" + length(*r.lower, r) + " \u2013 " + length(*r.upper, r) + ")";
                else if (r.upper)
                    fact.value += " (\u2264 " + length(*r.upper, r) + ")";
                if (r.siblings_mean)
                    fact.value +=
                        "; " + say(message("returned.paper.siblings_mean").with("value", length(*r.siblings_mean, r)));
            } else if (r.seen) {
                fact.value = say(seen_words(*r.seen));
            } else if (r.yes) {
                fact.value = *r.yes ? say(message("returned.paper.yes")) : say(message("returned.paper.no"));
            }
            if (!r.gauge.empty()) fact.value += "; " + r.gauge;
            if (r.conceded) fact.value += "; " + say(message("returned.paper.conceded"));
            if (!r.counts) fact.value += "; " + say(message("returned.paper.measured_again"));
            if (r.doubted) fact.value += "; " + say(message("returned.paper.doubted"));
            out.push_back(std::move(fact));
        }
    }

    FoundSiblings siblings(const ReturnGroup& group) const {
        FoundSiblings out;
        out.group = *group.group;
        out.key = group.key;
        out.count = group.shared.assemblies;
        out.serials = group.shared.serials;
        if (!asked_.for_customer) {
            for (const auto& [customer, share] : group.shared.customers)
                if (share.delivered > 0)
                    out.where += (out.where.empty() ? "" : ", ") + customer + " " + std::to_string(share.delivered);
            out.where = say(message("returned.paper.out_at")
                                .with("count", std::to_string(group.shared.delivered))
                                .with("customers", out.where.empty() ? "-" : out.where));
            return out;
        }
        // A customer reads how many there are and which are their own. Whose hands it were, and which orders of others,
        // stays in the house.
        if (group.code == "operator_shift") out.key = found_.assembly->started.shift;
        const auto own = group.shared.customers.find(found_.returned.opened.customer);
        const auto theirs = own == group.shared.customers.end() ? RecallShare{} : own->second;
        out.where = say(message("returned.paper.out_with_you")
                            .with("count", std::to_string(group.shared.delivered))
                            .with("yours", std::to_string(theirs.delivered)));
        if (own == group.shared.customers.end()) out.serials.clear();
        return out;
    }

    const ReturnFound& found_;
    const ReturnPaperAsked& asked_;
    std::optional<std::int64_t> concluded_ms_;
};

}  // namespace

Result<void> customers_copy_allowed(const ReturnFound& found, const std::vector<std::string>& all_customers) {
    const auto& sender = found.returned.opened.customer;
    if (sender.empty()) return refuse(message("returned.no_sender").with("return", found.returned.opened.return_));
    if (found.went && found.went->customer != sender)
        return refuse(message("returned.not_their_hose").with("customer", sender));
    if (!found.returned.concluded) return {};
    const auto& c = *found.returned.concluded;
    for (const auto& [field, text] : {std::pair{"remark", &c.remark}, std::pair{"bench_action", &c.bench_action},
                                      std::pair{"application_action", &c.application_action}})
        for (const auto& customer : all_customers)
            if (customer != sender && !customer.empty() && text->find(customer) != std::string::npos)
                return refuse(message("returned.names_other").with("field", field));
    return {};
}

ReturnReport return_report_of(const ReturnFound& found, const ReturnPaperAsked& asked) {
    Maker maker(found, asked);
    if (found.concluded_ms) maker.concluded_at(*found.concluded_ms);
    auto out = maker.make();
    if (!asked.for_customer && found.returned.concluded) {
        const auto name = found.people.find(found.concluded_by);
        out.concluded_by = name == found.people.end() ? found.concluded_by : name->second;
    }
    return out;
}

}  // namespace crimpgate
