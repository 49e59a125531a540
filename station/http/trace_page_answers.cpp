#include "station/http/trace_page_answers.h"

#include <chrono>
#include <fstream>
#include <iterator>
#include <set>

#include <fmt/format.h>
#include <boost/json.hpp>

#include "specs/csv_write.h"
#include "specs/length.h"
#include "station/daemon/certificate_data.h"
#include "station/daemon/evidence_source.h"
#include "station/daemon/local_time.h"
#include "station/http/api.h"
#include "station/http/results_file.h"
#include "station/http/trace_page_record.h"
#include "station/journal/evidence_entries.h"
#include "station/json/utc_text.h"
#include "station/proof/evidence.h"
#include "station/proof/hash.h"

namespace crimpgate {
namespace {

namespace json = boost::json;

constexpr std::int64_t most_listed = 100'000;
constexpr std::int64_t most_shown = 200;     // on the page; the list has them all
constexpr std::int64_t most_events = 5'000;  // assemblies in one file

HttpResponse refused(const Message& why) {
    if (why.code == "trace_page.not_there") return error_response(404, why);
    if (why.code == "trace_page.too_many") return error_response(413, why);
    if (why.code == "trace_page.no_results") return error_response(409, why);
    return refusal_of(why);
}

HttpResponse file(std::string type, const std::string& name, std::string bytes) {
    HttpResponse response;
    response.content_type = std::move(type);
    response.body = std::move(bytes);
    response.headers.emplace_back("Content-Disposition", "attachment; filename=\"" + name + "\"");
    return response;
}

// Who made it, for whom, and until when the link is good.
json::object about(const TraceAsked& asked) {
    json::object out{{"shop", asked.shop},      {"address", asked.address},         {"station", asked.station},
                     {"zone", asked.time_zone}, {"customer", asked.scope.customer}, {"at", utc_text(asked.now_ms)}};
    if (!asked.scope.delivery.empty()) out["delivery"] = asked.scope.delivery;
    if (!asked.scope.valid_until.empty()) out["valid_until"] = asked.scope.valid_until;
    if (!asked.scope.serial.empty()) out["by_tag"] = asked.scope.serial;
    return out;
}

// With the key that proofs are checked with, so that it can be compared with the one that the shop gives elsewhere.
Result<void> add_key(const Journal& journal, json::object& out) {
    const auto keys = station_keys(journal);
    if (!keys) return refuse(keys.error());
    if (!keys->empty()) out["key"] = keys->back().key;
    return {};
}

HttpResponse overview(const Journal& journal, const TraceAsked& asked) {
    auto found = customer_overview(journal, asked.scope);
    if (!found) return refused(found.error());
    CustomerFilter filter;
    filter.limit = most_shown;
    auto some = customer_assemblies(journal, asked.scope, filter);
    if (!some) return refused(some.error());
    auto certificates = customer_certificates(journal, asked.scope, "");
    if (!certificates) return refused(certificates.error());
    auto out = about(asked);
    out["counts"] = std::move(*found);
    out["list"] = std::move(*some);
    out["certificates"] = std::move(*certificates);
    if (auto added = add_key(journal, out); !added) return refused(added.error());
    return ok(out);
}

// `asked` must outlive what comes back.
std::function<std::string(const std::string&)> printed_names(const TraceAsked& asked) {
    return [&asked](const std::string& person) {
        const auto known = asked.names.find(person);
        return known == asked.names.end() ? person : known->second;
    };
}

HttpResponse record(const Journal& journal, const TraceAsked& asked) {
    auto row = customer_assembly(journal, asked.scope, asked.serial);
    if (!row) return refused(row.error());
    auto certificates = customer_certificates(journal, asked.scope, asked.serial);
    if (!certificates) return refused(certificates.error());
    auto out = about(asked);
    if (auto added = add_key(journal, out); !added) return refused(added.error());
    out["assembly"] = std::move(*row);
    out["certificates"] = std::move(*certificates);
    const auto last = journal.last_seq();
    if (!last) return refused(last.error());
    const auto entries = evidence_entries(journal, {asked.serial}, asked.scope.customer, *last);
    if (!entries) return refused(entries.error());
    const CertificateGathering gathering{{asked.serial}, printed_names(asked)};
    // R1: what is in question or withdrawn has no readings to stand on, and none are shown as if it had.
    auto data = certificate_data(*entries, gathering);
    if (data) {
        out["record"] = trace_record(*data);
    } else if (data.error().code != "certificate.not_passed") {
        return refused(data.error());
    }
    return ok(out);
}

HttpResponse listed(const Journal& journal, const TraceAsked& asked) {
    CustomerFilter filter;
    filter.order = asked.order;
    filter.lot = asked.lot;
    filter.limit = most_listed + 1;
    auto list = customer_assemblies(journal, asked.scope, filter);
    if (!list) return refused(list.error());
    if (static_cast<std::int64_t>(list->size()) > most_listed)
        return refused(message("trace_page.too_many").with("most", std::to_string(most_listed)));
    auto out = about(asked);
    if (!asked.order.empty()) out["order"] = asked.order;
    if (!asked.lot.empty()) out["lot"] = asked.lot;
    out["list"] = std::move(*list);
    return ok(out);
}

std::string cell(const json::object& row, const char* name) {
    const auto* value = row.if_contains(name);
    if (value == nullptr) return {};
    return value->is_string() ? std::string(value->get_string()) : json::serialize(*value);
}

std::string cell_mm(const json::object& row, const char* name) {
    const auto* value = row.if_contains(name);
    if (value == nullptr || !value->is_int64()) return {};
    return Length::from_nm(value->get_int64()).to_mm_text(3);
}

HttpResponse sheet(const Journal& journal, const TraceAsked& asked) {
    CustomerFilter filter;
    filter.limit = most_listed + 1;
    const auto list = customer_assemblies(journal, asked.scope, filter);
    if (!list) return refused(list.error());
    if (static_cast<std::int64_t>(list->size()) > most_listed)
        return refused(message("trace_page.too_many").with("most", std::to_string(most_listed)));
    std::string out = "\xEF\xBB\xBF" + csv_row({"serial", "order", "customer_part", "state", "concession", "passed_utc",
                                                "delivery", "delivered", "hose_lot", "fitting_a_lot", "fitting_b_lot",
                                                "spec_a", "revision_a", "spec_b", "revision_b", "working_pressure_bar",
                                                "overall_length_mm", "cut_length_mm", "recrimps"});
    for (const auto& value : *list) {
        const auto& a = value.as_object();
        const auto kpa = a.at("working_pressure_kpa").as_int64();
        out += csv_row({cell(a, "serial"), cell(a, "order"), cell(a, "customer_part"), cell(a, "state"),
                        cell(a, "concession_reference"), cell(a, "passed"), cell(a, "delivery"), cell(a, "delivered"),
                        cell(a, "hose_lot"), cell(a, "fitting_a_lot"), cell(a, "fitting_b_lot"), cell(a, "spec_a"),
                        cell(a, "revision_a"), cell(a, "spec_b"), cell(a, "revision_b"),
                        fmt::format("{}.{:02}", kpa / 100, kpa % 100), cell_mm(a, "overall_length_nm"),
                        cell_mm(a, "cut_length_nm"), cell(a, "recrimps")});
    }
    return file("text/csv; charset=utf-8", "assemblies.csv", std::move(out));
}

// A link to one delivery says nothing of others, not even that there were some.
bool other_delivery(const Entry& entry, const LinkScope& scope) {
    if (scope.delivery.empty() || (entry.type != "delivery.sent" && entry.type != "delivery.taken_back")) return false;
    const auto* delivery = entry.body.if_contains("delivery");
    return delivery == nullptr || !delivery->is_string() ||
           std::string_view(delivery->get_string()) != std::string_view(scope.delivery);
}

// Behind a tag there is one assembly: an entry that is about others, too (a delivery's list), stays inside.
bool names_other_serial(const json::value& value, std::string_view serial, std::string_view member) {
    if (value.is_object()) {
        for (const auto& [name, inner] : value.get_object())
            if (names_other_serial(inner, serial, name)) return true;
    } else if (value.is_array()) {
        for (const auto& inner : value.get_array())
            if (names_other_serial(inner, serial, member)) return true;
    } else if (value.is_string()) {
        const std::string_view text = value.get_string();
        return (member == "serial" || member == "serials") && !text.empty() && text != serial;
    }
    return false;
}

bool other_assembly(const Entry& entry, const LinkScope& scope) {
    return !scope.serial.empty() && names_other_serial(entry.body, scope.serial, {});
}

HttpResponse evidence(const Journal& journal, const TraceAsked& asked) {
    auto gathered = evidence_of(journal, {asked.serial}, asked.scope.customer, asked.checkpoint);
    if (!gathered) return refused(gathered.error());
    std::set<std::int64_t> left_out;
    for (const auto& entry : gathered->entries)
        if (other_delivery(entry, asked.scope) || other_assembly(entry, asked.scope)) left_out.insert(entry.seq);
    std::erase_if(gathered->evidence.entries, [&](const auto& entry) { return left_out.contains(entry.seq); });
    return file("application/json", asked.serial + "-evidence.json", write_evidence(gathered->evidence));
}

// Percent-encoded for a URI's path (RFC 3986 section 2.3: what is unreserved stays).
std::string encoded(const std::string& text) {
    std::string out;
    for (const char c : text) {
        const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' ||
                           c == '.' || c == '_' || c == '~';
        out += plain ? std::string(1, c) : fmt::format("%{:02X}", static_cast<unsigned>(static_cast<unsigned char>(c)));
    }
    return out;
}

// By how much the shop's wall clock was ahead of UTC.
std::int64_t offset_minutes(std::int64_t ms, const std::string& zone) {
    const auto local = local_time_text(ms, zone);
    const auto same = parse_utc_text(local.substr(0, 10) + "T" + local.substr(11) + ".000Z");
    return same ? (*same - ms / 1000 * 1000) / 60'000 : 0;
}

HttpResponse events(const Journal& journal, const TraceAsked& asked) {
    const auto facts = customer_events(journal, asked.scope, asked.serial, most_events);
    if (!facts) return refused(facts.error());
    const auto space = uuid_space(journal);
    if (!space) return refused(space.error());
    EpcisMaker maker;
    maker.station = asked.station;
    maker.created_ms = asked.now_ms;
    maker.uri = [&](const std::string& kind, const std::string& id) {
        // A shop without an address has names of its own all the same.
        if (asked.link.empty()) return "urn:uuid:" + named_uuid(*space, kind, id);
        auto base = asked.link;
        while (base.ends_with('/'))
            base.pop_back();
        return base + "/id/" + kind + "/" + encoded(id);
    };
    maker.offset_minutes = [&](std::int64_t ms) { return offset_minutes(ms, asked.time_zone); };
    return file("application/ld+json", (asked.serial.empty() ? "events" : asked.serial + "-events") + ".jsonld",
                epcis_json(*facts, maker));
}

HttpResponse results(const Journal& journal, const TraceAsked& asked) {
    const auto text =
        results_of(journal, asked.serial, asked.scope.customer, {asked.shop, asked.address, printed_names(asked)});
    if (!text) return refused(text.error());
    return file("application/xml", asked.serial + ".qif", *text);
}

}  // namespace

TraceWork trace_work(const CustomerRoute& route, const std::string& rest) {
    switch (route.looked) {
        case Looked::overview:
            return &overview;
        case Looked::record:
            return route.path.starts_with("/results/") ? &results : &record;
        case Looked::evidence:
            return &evidence;
        case Looked::events:
            return &events;
        case Looked::list:
        case Looked::certificate:
            break;
    }
    if (rest.ends_with(".csv") && route.about.empty()) return &sheet;
    return &listed;
}

Result<KeptCheckpoint> checkpoint_over(Api& api, const std::string& serial) {
    const auto last = api.journal().last_seq();
    if (!last) return refuse(last.error());
    const auto own = last_entry_of(api.journal(), serial);
    if (!own) return refuse(own.error());
    auto found = last_checkpoint(api.journal());
    if (!found) return refuse(found.error());
    if (*found && (*found)->size >= *own) return std::move(**found);
    const auto& sign = api.parts().certificates.sign;
    if (!sign) return refuse(message("evidence.no_key"));
    return sign("asked", {});
}

TraceWork certificate_results(std::string evidence, const json::object& known) {
    return [evidence = std::move(evidence), number = std::string(known.at("certificate").as_string()),
            issued = std::string(known.at("time").as_string())](const Journal& journal, const TraceAsked& asked) {
        const auto issued_ms = parse_utc_text(issued);
        if (!issued_ms) return refused(issued_ms.error());
        const auto text = results_of_certificate(journal, evidence, number, asked.scope.customer, *issued_ms,
                                                 {asked.shop, asked.address, printed_names(asked)});
        if (!text) return refused(text.error());
        return file("application/xml", number + ".qif", *text);
    };
}

HttpResponse certificate_for(Api& api, const json::object& known, bool paper) {
    const auto& given = api.parts().certificates.folder;
    const auto folder = given.empty() ? api.journal().file().parent_path() / "certificates" : given;
    const std::string number(known.at("certificate").as_string());
    const std::string ending = paper ? ".pdf" : ".json";
    std::ifstream in(folder / (number + ending), std::ios::binary);
    std::string bytes((std::istreambuf_iterator<char>(in)), {});
    const std::string_view wanted = known.at(paper ? "pdf_sha256" : "evidence_sha256").as_string();
    // Lost or altered since: the shop's to mend, and nothing that a customer should take for the real one.
    if (!in.is_open() || in.bad() || to_hex(sha256(bytes)) != wanted)
        return error_response(500, message("trace_page.file_lost").with("number", number));
    return file(paper ? "application/pdf" : "application/json", number + ending, std::move(bytes));
}

}  // namespace crimpgate
