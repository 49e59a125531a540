// What leaves the house: deliveries. Only what passed goes, and only to whom it was made for; a delivery that was
// written down wrongly is taken back by a further entry (R3).
#include <set>

#include "specs/dates.h"
#include "station/bench/decider.h"
#include "station/bench/record_steps.h"

namespace crimpgate {

using namespace entries;

namespace {

// The reasons in the order in which they are asked and told.
class Faults {
  public:
    void add(const char* code, const std::string& serial) {
        for (auto& fault : found_)
            if (fault.code == code) {
                fault.serials.push_back(serial);
                return;
            }
        found_.push_back({code, {serial}});
    }
    std::vector<DeliveryFault> all() { return std::move(found_); }

  private:
    std::vector<DeliveryFault> found_;
};

std::string some_of(const std::vector<std::string>& serials) {
    std::string out;
    for (std::size_t i = 0; i < serials.size() && i < serials_named; ++i)
        out += (out.empty() ? "" : ", ") + serials[i];
    return serials.size() > serials_named ? out + ", ..." : out;
}

// "delivery.refused": how many of how many, the first by name.
Result<void> none_of(const std::vector<DeliveryFault>& faults, std::size_t of) {
    if (faults.empty()) return {};
    std::vector<std::string> serials;
    for (const auto& fault : faults)
        serials.insert(serials.end(), fault.serials.begin(), fault.serials.end());
    return refuse(message("delivery.refused")
                      .with("count", std::to_string(serials.size()))
                      .with("of", std::to_string(of))
                      .with("serials", some_of(serials)));
}

Message named(const std::string& code) {
    if (code == "delivery.not_known") return message("delivery.not_known");
    if (code == "delivery.twice") return message("delivery.twice");
    if (code == "delivery.other_customer") return message("delivery.other_customer");
    if (code == "delivery.on_hold") return message("delivery.on_hold");
    if (code == "delivery.not_passed") return message("delivery.not_passed");
    if (code == "delivery.gone_already") return message("delivery.gone_already");
    if (code == "delivery.tag_not_printed") return message("delivery.tag_not_printed");
    return message("delivery.not_in_it");
}

Result<void> filled_in(const char* field, const std::string& text) {
    if (text.empty()) return refuse(message("bench.field_empty").with("field", field));
    return {};
}

}  // namespace

Message DeliveryFault::told() const {
    return named(code).with("count", std::to_string(serials.size())).with("serials", some_of(serials));
}

std::vector<DeliveryFault> delivery_faults(const BenchState& s, const std::string& customer,
                                           const std::vector<std::string>& serials) {
    Faults faults;
    std::set<std::string> seen;
    for (const auto& serial : serials) {
        if (!seen.insert(serial).second) {
            faults.add("delivery.twice", serial);
            continue;
        }
        const auto found = s.assemblies.find(serial);
        if (found == s.assemblies.end()) {
            faults.add("delivery.not_known", serial);
            continue;
        }
        const AssemblyState& a = found->second;
        if (a.started.customer != customer)
            faults.add("delivery.other_customer", serial);  // R12
        else if (a.stage == Stage::on_hold)
            faults.add("delivery.on_hold", serial);
        else if (a.stage != Stage::passed)
            faults.add("delivery.not_passed", serial);  // R1
        else if (!a.delivery.empty())
            faults.add("delivery.gone_already", serial);
        else if (a.tag != TagState::printed || tag_outdated(a))
            faults.add("delivery.tag_not_printed", serial);
    }
    return faults.all();
}

std::vector<DeliveryFault> take_back_faults(const BenchState& s, const std::string& delivery,
                                            const std::vector<std::string>& serials) {
    Faults faults;
    std::set<std::string> seen;
    for (const auto& serial : serials) {
        const auto found = s.assemblies.find(serial);
        if (!seen.insert(serial).second)
            faults.add("delivery.twice", serial);
        else if (found == s.assemblies.end())
            faults.add("delivery.not_known", serial);
        else if (found->second.delivery != delivery)
            faults.add("delivery.not_in_it", serial);
    }
    return faults.all();
}

Result<void> Decider::operator()(const commands::SendDelivery& c) {
    if (auto ok = must_be(Role::lead); !ok) return ok;
    if (s_.clock_doubted) return refuse(message("bench.clock_in_doubt"));
    if (auto ok = filled_in("customer", c.customer); !ok) return ok;
    // Where it went is what a recall needs; a shop without a paper of its own has no number.
    if (auto ok = filled_in("to", c.to); !ok) return ok;
    const std::string date = c.date.empty() ? now_.local_date : c.date;
    if (auto read = parse_date(date); !read) return refuse(read.error());
    if (date > now_.local_date)
        return refuse(message("delivery.in_future").with("date", date).with("today", now_.local_date));
    if (c.serials.empty()) return refuse(message("delivery.nothing_in_it"));
    if (auto ok = none_of(delivery_faults(s_, c.customer, c.serials), c.serials.size()); !ok) return ok;
    DeliverySent sent;
    sent.delivery = "DL-" + std::to_string(s_.record.deliveries + 1);
    sent.customer = c.customer;
    sent.note_number = c.note_number;
    sent.date = date;
    sent.to = c.to;
    sent.serials = c.serials;
    emit(std::move(sent));
    return {};
}

Result<void> Decider::operator()(const commands::TakeBackDelivery& c) {
    if (auto ok = must_be(Role::lead); !ok) return ok;
    if (s_.clock_doubted) return refuse(message("bench.clock_in_doubt"));
    if (auto ok = filled_in("delivery", c.delivery); !ok) return ok;
    if (auto ok = filled_in("reason", c.reason); !ok) return ok;
    if (c.serials.empty()) return refuse(message("delivery.nothing_in_it"));
    if (auto ok = none_of(take_back_faults(s_, c.delivery, c.serials), c.serials.size()); !ok) return ok;
    emit(DeliveryTakenBack{c.delivery, c.serials, c.reason});
    return {};
}

// The list is the shell's, read from the journal; who it reaches and why is the lead's.
Result<void> Decider::operator()(const commands::DrawRecall& c) {
    if (auto ok = must_be(Role::lead); !ok) return ok;
    if (s_.clock_doubted) return refuse(message("bench.clock_in_doubt"));
    if (auto ok = filled_in("reason", c.recall.reason); !ok) return ok;
    if (c.recall.assemblies == 0) return refuse(message("recall.nothing_found"));
    RecallDrawn drawn = c.recall;
    drawn.recall = "RC-" + std::to_string(s_.record.recalls + 1);
    emit(std::move(drawn));
    return {};
}

}  // namespace crimpgate
