#include "reports/epcis.h"

#include <fmt/format.h>

#include <chrono>

#include "specs/dates.h"

namespace crimpgate {
namespace {

// Of a document of the standard, which is looked up nowhere here.
constexpr const char* context = "https://ref.gs1.org/standards/epcis/2.0.0/epcis-context.jsonld";
// A name for the members that are ours, the same for ever; there is nothing to fetch.
constexpr const char* own_members = "urn:uuid:6f1d3c52-8a0e-4c7b-9d24-5b7c61e0a9f3#";

std::string quoted(std::string_view text) {
    std::string out = "\"";
    for (const char c : text) {
        if (c == '"' || c == '\\') {
            out += '\\';
            out += c;
        } else if (static_cast<unsigned char>(c) < 0x20) {
            out += fmt::format("\\u{:04x}", static_cast<unsigned>(c));
        } else {
            out += c;
        }
    }
    return out + '"';
}

// A whole number over a power of ten, exact and without trailing noughts.
std::string decimal(std::int64_t whole, int places) {
    std::uint64_t scale = 1;
    for (int i = 0; i < places; ++i)
        scale *= 10;
    const std::uint64_t size = whole < 0 ? 0 - static_cast<std::uint64_t>(whole) : static_cast<std::uint64_t>(whole);
    auto out = fmt::format("{}{}", whole < 0 ? "-" : "", size / scale);
    if (size % scale == 0) return out;
    out += fmt::format(".{:0{}}", size % scale, places);
    while (out.ends_with('0'))
        out.pop_back();
    return out;
}

std::string metres(Length length) {
    return decimal(length.nm(), 9);
}
std::string millimetres(std::int64_t nm) {
    return decimal(nm, 6);
}
std::string bar(Pressure pressure) {
    return decimal(pressure.kpa(), 2);
}

std::string iso(std::int64_t ms) {
    const std::chrono::sys_time<std::chrono::milliseconds> at{std::chrono::milliseconds(ms)};
    const auto day = std::chrono::floor<std::chrono::days>(at);
    const auto left = (at - day).count();
    return fmt::format("{}T{:02}:{:02}:{:02}.{:03}Z", to_text(std::chrono::year_month_day(day)), left / 3'600'000,
                       left / 60'000 % 60, left / 1000 % 60, left % 1000);
}

class Writer {
  public:
    explicit Writer(const EpcisMaker& maker) : maker_(maker) {}

    std::string document(const EpcisFacts& facts) {
        for (const auto& assembly : facts.assemblies) {
            made(assembly);
            inspected(assembly);
        }
        for (const auto& delivery : facts.deliveries)
            sent(delivery);
        std::string list;
        for (const auto& event : events_)
            list += (list.empty() ? "" : ",") + event;
        return fmt::format(
            "{{\"@context\":[{},{{\"crimpgate\":{}}}],\"type\":\"EPCISDocument\",\"schemaVersion\":\"2.0\","
            "\"creationDate\":{},\"epcisBody\":{{\"eventList\":[{}]}}}}",
            quoted(context), quoted(own_members), quoted(iso(maker_.created_ms)), list);
    }

  private:
    std::string uri(const char* kind, const std::string& id) const { return quoted(maker_.uri(kind, id)); }

    // What every event starts with.
    std::string head(const char* type, std::int64_t at_ms) const {
        const auto offset = maker_.offset_minutes ? maker_.offset_minutes(at_ms) : 0;
        const auto size = offset < 0 ? -offset : offset;
        return fmt::format("{{\"type\":\"{}\",\"eventTime\":{},\"eventTimeZoneOffset\":\"{}{:02}:{:02}\"", type,
                           quoted(iso(at_ms)), offset < 0 ? '-' : '+', size / 60, size % 60);
    }
    std::string place() const { return fmt::format(",\"readPoint\":{{\"id\":{}}}", uri("station", maker_.station)); }
    std::string order(const EpcisAssembly& a) const {
        return fmt::format(",\"bizTransactionList\":[{{\"type\":\"prodorder\",\"bizTransaction\":{}}}]",
                           uri("order", a.order));
    }
    static std::string own(const EpcisAssembly& a) {
        auto out = fmt::format(",\"crimpgate:serial\":{},\"crimpgate:order\":{},\"crimpgate:entry\":{}",
                               quoted(a.serial), quoted(a.order), a.entry);
        if (!a.customer_part.empty()) out += fmt::format(",\"crimpgate:customerPart\":{}", quoted(a.customer_part));
        return out;
    }

    void made(const EpcisAssembly& a) {
        std::string inputs = fmt::format("{{\"epcClass\":{},\"quantity\":{},\"uom\":\"MTR\"}}", uri("lot", a.hose_lot),
                                         metres(a.cut_length));
        // A quantity without a unit of measure is a count.
        if (a.fitting_lots[0] == a.fitting_lots[1]) {
            inputs += fmt::format(",{{\"epcClass\":{},\"quantity\":2}}", uri("lot", a.fitting_lots[0]));
        } else {
            for (const auto& lot : a.fitting_lots)
                inputs += fmt::format(",{{\"epcClass\":{},\"quantity\":1}}", uri("lot", lot));
        }
        events_.push_back(
            fmt::format("{},\"inputQuantityList\":[{}],\"outputEPCList\":[{}],\"bizStep\":\"assembling\","
                        "\"disposition\":\"in_progress\"{}{}{},\"crimpgate:hoseLot\":{}}}",
                        head("TransformationEvent", a.started_ms), inputs, uri("serial", a.serial), place(), order(a),
                        own(a), quoted(a.hose_lot)));
    }

    void inspected(const EpcisAssembly& a) {
        if (!a.passed_ms) return;
        std::string sensors;
        for (const auto& end : a.ends) {
            const auto& spec = a.specs[end.end == "b" ? 1 : 0];
            sensors += fmt::format(
                "{}{{\"sensorMetadata\":{{\"time\":{},\"deviceID\":{},\"bizRules\":{}}},\"sensorReport\":["
                "{{\"type\":\"Length\",\"minValue\":{},\"maxValue\":{},\"meanValue\":{},\"uom\":\"MMT\",\"component\":{"
                "}}}"
                "]}}",
                sensors.empty() ? "" : ",", quoted(iso(end.at_ms)), uri("gauge", end.gauge), uri("spec", spec),
                millimetres(end.least.nm()), millimetres(end.most.nm()), millimetres(end.mean_nm),
                uri("what", "crimp-diameter-end-" + end.end));
        }
        if (a.proof_pressure)
            sensors += fmt::format(
                "{}{{\"sensorReport\":[{{\"type\":\"Pressure\",\"value\":{},\"uom\":\"BAR\",\"component\":{}}}]}}",
                sensors.empty() ? "" : ",", bar(*a.proof_pressure), uri("what", "proof-pressure"));
        const bool fine = a.state == "passed";
        auto event = fmt::format(
            "{},\"action\":\"OBSERVE\",\"epcList\":[{}],\"bizStep\":\"inspecting\",\"disposition\":\"{}\"{}{}",
            head("ObjectEvent", *a.passed_ms), uri("serial", a.serial), fine ? "conformant" : "non_conformant", place(),
            order(a));
        if (!sensors.empty()) event += fmt::format(",\"sensorElementList\":[{}]", sensors);
        event += own(a) + fmt::format(",\"crimpgate:state\":{},\"crimpgate:workingPressureKpa\":{}", quoted(a.state),
                                      a.working_pressure.kpa());
        if (!a.concession.empty()) event += fmt::format(",\"crimpgate:concession\":{}", quoted(a.concession));
        events_.push_back(event + "}");
    }

    void sent(const EpcisDelivery& d) {
        if (d.serials.empty()) return;
        std::string list;
        for (const auto& serial : d.serials)
            list += (list.empty() ? "" : ",") + uri("serial", serial);
        auto event = fmt::format(
            "{},\"action\":\"OBSERVE\",\"epcList\":[{}],\"bizStep\":\"shipping\",\"disposition\":"
            "\"in_transit\"{},\"bizTransactionList\":[{{\"type\":\"desadv\",\"bizTransaction\":{}}}],"
            "\"crimpgate:delivery\":{}",
            head("ObjectEvent", d.sent_ms), list, place(), uri("delivery", d.delivery), quoted(d.delivery));
        if (!d.note_number.empty()) event += fmt::format(",\"crimpgate:deliveryNote\":{}", quoted(d.note_number));
        events_.push_back(event + "}");
    }

    const EpcisMaker& maker_;
    std::vector<std::string> events_;
};

}  // namespace

std::string epcis_json(const EpcisFacts& facts, const EpcisMaker& maker) {
    return Writer(maker).document(facts);
}

}  // namespace crimpgate
