#include "station/journal/evidence_entries.h"

#include <algorithm>
#include <map>
#include <optional>
#include <set>
#include <utility>

#include "station/journal/database.h"

namespace crimpgate {
namespace {

namespace json = boost::json;

std::string text(const json::object& body, const char* name) {
    const auto* value = body.if_contains(name);
    return value != nullptr && value->is_string() ? std::string(value->get_string()) : std::string();
}

std::int64_t whole(const json::object& body, const char* name) {
    const auto* value = body.if_contains(name);
    return value != nullptr && value->is_int64() ? value->get_int64() : 0;
}

// The numbers of entries of a kind that come now and then, by what they are about: which was in force at an entry.
class InForce {
  public:
    void add(const std::string& about, std::int64_t seq) { seqs_[about].push_back(seq); }
    // The last one before that entry.
    std::optional<std::int64_t> at(const std::string& about, std::int64_t seq) const {
        const auto found = seqs_.find(about);
        if (found == seqs_.end()) return std::nullopt;
        const auto after = std::lower_bound(found->second.begin(), found->second.end(), seq);
        if (after == found->second.begin()) return std::nullopt;
        return *std::prev(after);
    }

  private:
    std::map<std::string, std::vector<std::int64_t>> seqs_;
};

class Gathering {
  public:
    Gathering(Database& database, const std::string& customer, std::int64_t upto)
        : database_(database), customer_(customer), upto_(upto) {
        happenings("gauge.registered", "$.body.gauge", gauges_);
        happenings("gauge.uncertainty_set", "$.body.gauge", uncertainties_);
        happenings("reference.registered", "$.body.reference", references_);
        happenings("order.opened", "$.body.order", orders_);
        happenings("application.overridden", "$.body.order", overrides_);
        each("SELECT seq, '' FROM shifts WHERE seq <= ? ORDER BY seq", shifts_);
        each("SELECT seq, crimper FROM mountings WHERE seq <= ? ORDER BY seq", mountings_);
        each("SELECT seq, \"key\" FROM setups WHERE passed_yn AND seq <= ? ORDER BY seq", setups_);
        database_.each(
            "SELECT seq, ended_seq FROM shifts WHERE ended_seq <= ?",
            [&](SQLite::Statement& row) { shift_ends_[row.getColumn(0).getInt64()] = row.getColumn(1).getInt64(); },
            upto_);
        database_.each(
            "SELECT seq FROM station_keys WHERE seq <= ?",
            [&](SQLite::Statement& row) { wanted_.insert(row.getColumn(0).getInt64()); }, upto_);
    }

    Result<void> assembly(const std::string& serial) {
        json::object started;
        bool other = false;
        database_.each(
            "SELECT e.bytes FROM serial_entries s JOIN entries e ON e.seq = s.seq WHERE s.serial = ? AND s.seq <= ? "
            "ORDER BY s.seq",
            [&](SQLite::Statement& row) {
                const auto entry = must_read(row.getColumn(0).getString());
                if (entry.type == "assembly.started") {
                    started = entry.body;
                    other = text(started, "customer") != customer_;
                }
                if (!other && may_be_evidence(entry.type)) speaks(entry, started);
            },
            serial, upto_);
        if (started.empty()) return refuse(message("trace.no_serial").with("serial", serial));
        if (other) return refuse(message("certificate.other_customer").with("serial", serial));
        return {};
    }

    std::vector<Entry> entries() {
        std::vector<Entry> out;
        for (const auto seq : wanted_) {
            const auto bytes = database_.text("SELECT bytes FROM entries WHERE seq = ?", seq);
            if (!bytes || seq > upto_) continue;
            auto entry = must_read(*bytes);
            if (may_be_evidence(entry.type) && !names_another_customer(entry, customer_))
                out.push_back(std::move(entry));
        }
        return out;
    }

  private:
    static Entry must_read(const std::string& bytes) {
        auto entry = read_entry(bytes);
        if (!entry) throw SQLite::Exception("an entry cannot be read: " + entry.error().code);
        return std::move(*entry);
    }

    void happenings(const char* type, const char* about, InForce& into) {
        database_.each(
            "SELECT h.seq, json_extract(e.bytes, ?) FROM happenings h JOIN entries e USING(seq) WHERE h.type = ? AND "
            "h.seq <= ? ORDER BY h.seq",
            [&](SQLite::Statement& row) { into.add(row.getColumn(1).getString(), row.getColumn(0).getInt64()); },
            std::string(about), std::string(type), upto_);
    }
    void each(const char* sql, InForce& into) {
        database_.each(
            sql, [&](SQLite::Statement& row) { into.add(row.getColumn(1).getString(), row.getColumn(0).getInt64()); },
            upto_);
    }
    void want(std::optional<std::int64_t> seq) {
        if (seq) wanted_.insert(*seq);
    }

    void speaks(const Entry& entry, const json::object& started) {
        wanted_.insert(entry.seq);
        if (const auto shift = shifts_.at("", entry.seq)) {
            wanted_.insert(*shift);
            if (const auto end = shift_ends_.find(*shift); end != shift_ends_.end()) wanted_.insert(end->second);
        }
        if (entry.type == "assembly.started") {
            const auto order = text(entry.body, "order");
            want(orders_.at(order, entry.seq));
            want(overrides_.at(order, entry.seq));
        }
        if (entry.type == "reading.taken" || entry.type == "sample.measured") measured(entry, started);
    }

    void measured(const Entry& entry, const json::object& started) {
        const auto gauge = text(entry.body, "gauge");
        want(gauges_.at(gauge, entry.seq));
        want(uncertainties_.at(gauge, entry.seq));
        proof(whole(entry.body, "proof_seq"));
        if (text(entry.body, "what") != "crimp_diameter") return;
        const auto* row = started.if_contains(text(entry.body, "end") == "b" ? "row_b" : "row_a");
        if (row == nullptr || !row->is_object()) return;
        const auto& spec = row->get_object();
        want(mountings_.at(text(spec, "crimper"), entry.seq));
        // As setup_key of station/bench/state.h has it.
        want(setups_.at(text(spec, "spec_id") + "|" + text(spec, "revision") + "|" + text(spec, "crimper") + "|" +
                            text(spec, "die_set") + "|" + text(started, "hose_lot"),
                        entry.seq));
    }

    void proof(std::int64_t seq) {
        if (seq <= 0 || !wanted_.insert(seq).second) return;
        database_.each(
            "SELECT reading_seq, reference FROM proofs WHERE seq = ?",
            [&](SQLite::Statement& row) {
                wanted_.insert(row.getColumn(0).getInt64());
                want(references_.at(row.getColumn(1).getString(), seq));
            },
            seq);
    }

    Database& database_;
    const std::string& customer_;
    std::int64_t upto_;
    InForce gauges_, uncertainties_, references_, orders_, overrides_, shifts_, mountings_, setups_;
    std::map<std::int64_t, std::int64_t> shift_ends_;
    std::set<std::int64_t> wanted_;
};

// Wherever in a body it stands.
bool names_other(const json::value& value, const std::string& customer, std::string_view member) {
    if (value.is_object()) {
        for (const auto& [name, inner] : value.get_object())
            if (names_other(inner, customer, name)) return true;
    } else if (value.is_array()) {
        for (const auto& inner : value.get_array())
            if (names_other(inner, customer, member)) return true;
    } else if (value.is_string()) {
        return (member == "customer" || member == "customers") && std::string_view(value.get_string()) != customer;
    }
    return false;
}

}  // namespace

bool may_be_evidence(std::string_view type) {
    static const std::set<std::string_view> types = {
        "assembly.started", "reading.taken",         "reading.refused",       "reading.voided", "step.confirmed",
        "end.judged",       "assembly.held",         "part.quarantined",      "hold.settled",   "assembly.taken_up",
        "assembly.passed",  "assembly.proof_tested", "tag.printing",          "tag.printed",    "tag.failed",
        "tag.in_doubt",     "tag.doubt_settled",     "sample.measured",       "delivery.sent",  "delivery.taken_back",
        "order.opened",     "gauge.registered",      "gauge.uncertainty_set", "gauge.proved",   "shift.started",
        "shift.ended",      "reference.registered",  "die.confirmed",         "setup.judged",   "key.made",
        "key.handed_over",  "application.overridden"};
    return types.contains(type);
}

bool names_another_customer(const Entry& entry, const std::string& customer) {
    return names_other(entry.body, customer, {});
}

Result<std::vector<Entry>> evidence_entries(const Journal& journal, const std::vector<std::string>& serials,
                                            const std::string& customer, std::int64_t upto_seq) {
    return guarded([&]() -> Result<std::vector<Entry>> {
        Database& database = journal.database();
        const Snapshot snapshot(database);
        Gathering gathering(database, customer, upto_seq);
        for (const auto& serial : serials)
            if (auto done = gathering.assembly(serial); !done) return refuse(std::move(done.error()));
        return gathering.entries();
    });
}

Result<CertificateSubject> certificate_subject(const Journal& journal, const std::string& kind, const std::string& id) {
    return guarded([&]() -> Result<CertificateSubject> {
        Database& database = journal.database();
        const Snapshot snapshot(database);
        CertificateSubject out;
        out.kind = kind;
        out.id = id;
        const char* sql = "SELECT serial, customer, stage FROM assemblies WHERE serial = ?";
        if (kind == "order") {
            sql = "SELECT serial, customer, stage FROM assemblies WHERE \"order\" = ? ORDER BY seq";
            if (database.number("SELECT count(*) FROM orders WHERE \"order\" = ?", id) == 0)
                return refuse(message("certificate.no_order").with("order", id));
            out.ordered = database.number("SELECT quantity FROM orders WHERE \"order\" = ?", id);
        } else if (kind == "delivery") {
            sql = "SELECT serial, customer, stage FROM assemblies WHERE delivery = ? ORDER BY seq";
            const auto note = database.text("SELECT note_number FROM deliveries WHERE delivery = ?", id);
            if (!note) return refuse(message("delivery.no_delivery").with("delivery", id));
            out.note_number = *note;
            out.date = database.text("SELECT date FROM deliveries WHERE delivery = ?", id).value_or("");
        }
        bool scrapped = false;
        database.each(
            sql,
            [&](SQLite::Statement& row) {
                const auto serial = row.getColumn(0).getString(), stage = row.getColumn(2).getString();
                out.customer = row.getColumn(1).getString();
                if (stage == "scrapped") {
                    scrapped = true;
                    return;  // it goes nowhere, and nothing is said of it
                }
                out.serials.push_back(serial);
                if (stage != "passed") out.in_way.emplace_back(serial, stage);
            },
            id);
        if (out.serials.empty() && scrapped && kind == "serial")
            return refuse(message("certificate.scrapped").with("serial", id));
        if (out.serials.empty() && kind == "serial") return refuse(message("trace.no_serial").with("serial", id));
        if (out.serials.empty()) return refuse(message("certificate.nothing").with("id", id));
        return out;
    });
}

}  // namespace crimpgate
