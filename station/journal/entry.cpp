#include "station/journal/entry.h"

#include "station/json/canonical.h"
#include "station/json/utc_text.h"

namespace crimpgate {
namespace {

namespace json = boost::json;

constexpr std::int64_t format_version = 1;
constexpr std::size_t member_count = 10;

Result<std::string> text_member(const json::object& object, std::string_view name) {
    const auto* value = object.if_contains(name);
    if (!value || !value->is_string()) return refuse(message("entry.member").with("name", name));
    return std::string(value->get_string());
}

Result<std::int64_t> whole_member(const json::object& object, std::string_view name) {
    const auto* value = object.if_contains(name);
    if (!value || !value->is_int64()) return refuse(message("entry.member").with("name", name));
    return value->get_int64();
}

}  // namespace

Entry make_entry(std::int64_t seq, std::string station, Draft draft, Stamp stamp) {
    Entry entry;
    entry.seq = seq;
    entry.station = std::move(station);
    entry.type = std::move(draft.type);
    entry.who = std::move(draft.who);
    entry.time = utc_text(stamp.utc_ms);
    stamp.mono_ns -= stamp.mono_ns % 1000;
    entry.stamp = std::move(stamp);
    json::object all;
    all["v"] = format_version;
    all["seq"] = entry.seq;
    all["station"] = entry.station;
    all["time"] = entry.time;
    all["mono_us"] = entry.stamp.mono_ns / 1000;
    all["boot"] = entry.stamp.boot_id;
    all["clock"] = entry.stamp.clock_synced ? "synced" : "unsynced";
    all["type"] = entry.type;
    all["who"] = entry.who;
    all["body"] = std::move(draft.body);
    entry.bytes = canonical(all);
    entry.body = std::move(all["body"].as_object());
    entry.hash = leaf_hash(entry.bytes);
    return entry;
}

Result<Entry> read_entry(std::string_view bytes) {
    auto parsed = parse_strict_object(bytes);
    if (!parsed) return refuse(std::move(parsed.error()));
    json::object& all = *parsed;
    if (canonical(all) != bytes) return refuse(message("entry.not_canonical"));

    Entry entry;
    const auto version = whole_member(all, "v");
    if (!version) return refuse(version.error());
    if (*version != format_version || all.size() != member_count)
        return refuse(message("entry.member").with("name", "v"));
    const auto seq = whole_member(all, "seq");
    const auto mono_us = whole_member(all, "mono_us");
    for (const auto* number : {&seq, &mono_us})
        if (!*number) return refuse(number->error());
    entry.seq = *seq;
    entry.stamp.mono_ns = *mono_us * 1000;
    const std::pair<std::string_view, std::string*> texts[] = {{"station", &entry.station},
                                                               {"type", &entry.type},
                                                               {"who", &entry.who},
                                                               {"time", &entry.time},
                                                               {"boot", &entry.stamp.boot_id}};
    for (const auto& [name, place] : texts) {
        auto text = text_member(all, name);
        if (!text) return refuse(std::move(text.error()));
        *place = std::move(*text);
    }
    const auto clock = text_member(all, "clock");
    if (!clock) return refuse(clock.error());
    if (*clock != "synced" && *clock != "unsynced") return refuse(message("entry.member").with("name", "clock"));
    entry.stamp.clock_synced = *clock == "synced";
    const auto utc_ms = parse_utc_text(entry.time);
    if (!utc_ms) return refuse(utc_ms.error());
    entry.stamp.utc_ms = *utc_ms;
    auto* body = all.if_contains("body");
    if (!body || !body->is_object()) return refuse(message("entry.member").with("name", "body"));
    entry.body = std::move(body->get_object());
    entry.bytes = bytes;
    entry.hash = leaf_hash(bytes);
    return entry;
}

}  // namespace crimpgate
