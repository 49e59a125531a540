// Reading the configuration. toml++ keeps the line of everything, which is what the errors need.
#include "station/daemon/config.h"
#include "specs/serial.h"

#define TOML_EXCEPTIONS 0
#include <toml++/toml.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>
#include <fstream>
#include <iterator>
#include <set>

#include "drivers/gauge_line.h"
#include "station/daemon/local_time.h"
#include "station/proof/signing_key.h"

namespace crimpgate {
namespace {

using Errors = std::vector<ConfigError>;

std::int64_t line_of(const toml::node& node) {
    return node.source().begin.line;
}

std::string shown(const toml::node& node) {
    if (const auto* text = node.as_string()) return text->get();
    if (const auto* number = node.as_integer()) return std::to_string(number->get());
    if (const auto* flag = node.as_boolean()) return flag->get() ? "true" : "false";
    return node.is_table() ? "a table" : node.is_array() ? "a list" : "something else";
}

// One table, key by key; whatever nobody asked for is told by finish().
class Keys {
  public:
    Keys(const toml::table* table, std::string path, Errors& errors)
        : table_(table), path_(std::move(path)), errors_(errors) {}

    void text(std::string_view key, std::string& out, bool needed) {
        const auto* node = take(key);
        if (node == nullptr) {
            if (needed) missing(key);
        } else if (const auto* value = node->as_string()) {
            out = value->get();
            if (needed && out.empty()) bad(key, "a text that is not empty");
        } else {
            bad(key, "a text in quotes");
        }
    }
    void texts(std::string_view key, std::vector<std::string>& out) {
        const auto* node = take(key);
        if (node == nullptr) return;
        const auto* list = node->as_array();
        for (std::size_t i = 0; list != nullptr && i < list->size(); ++i) {
            const auto* value = list->get(i)->as_string();
            if (value == nullptr || value->get().empty()) return bad(key, "a list of texts in quotes");
            out.push_back(value->get());
        }
        if (list == nullptr) bad(key, "a list of texts in quotes");
    }
    void whole(std::string_view key, std::int64_t& out, std::int64_t least, std::int64_t most) {
        const auto* node = take(key);
        if (node == nullptr) return;
        const auto* value = node->as_integer();
        if (value != nullptr && value->get() >= least && value->get() <= most)
            out = value->get();
        else
            bad(key, "a whole number from " + std::to_string(least) + " to " + std::to_string(most));
    }
    void flag(std::string_view key, bool& out) {
        const auto* node = take(key);
        if (node == nullptr) return;
        if (const auto* value = node->as_boolean())
            out = value->get();
        else
            bad(key, "true or false");
    }
    const toml::table* table(std::string_view key) {
        const auto* node = take(key);
        if (node == nullptr) return nullptr;
        if (!node->is_table()) bad(key, "a table");
        return node->as_table();
    }
    const toml::node* take(std::string_view key) {
        asked_.emplace(key);
        return table_ == nullptr ? nullptr : table_->get(key);
    }
    void bad(std::string_view key, std::string_view expected) {
        const auto* node = table_ == nullptr ? nullptr : table_->get(key);
        const std::int64_t line = node == nullptr ? own_line() : line_of(*node);
        add(line, key,
            message("config.bad_value")
                .with("found", node == nullptr ? "nothing" : shown(*node))
                .with("expected", expected));
    }
    void add(std::int64_t line, std::string_view key, Message why) {
        const std::string full = path_ + std::string(key);
        errors_.push_back({line, full, std::move(why).with("line", std::to_string(line)).with("key", full)});
    }
    std::int64_t line(std::string_view key) const {
        const auto* node = table_ == nullptr ? nullptr : table_->get(key);
        return node == nullptr ? own_line() : line_of(*node);
    }
    void finish() {
        if (table_ == nullptr) return;
        for (const auto& [key, node] : *table_)
            if (!asked_.contains(key.str()))
                add(static_cast<std::int64_t>(key.source().begin.line), key.str(), message("config.unknown_key"));
    }

  private:
    std::int64_t own_line() const { return table_ == nullptr ? 0 : line_of(*table_); }
    void missing(std::string_view key) { add(own_line(), key, message("config.missing_key")); }

    const toml::table* table_;
    std::string path_;
    Errors& errors_;
    std::set<std::string, std::less<>> asked_;
};

bool is_loopback(const std::string& address) {
    return address.starts_with("127.") || address == "::1";
}

void read_station(Keys keys, Config::Station& out) {
    keys.text("id", out.id, true);
    keys.text("shop", out.shop, true);
    keys.text("time_zone", out.time_zone, true);
    if (!out.time_zone.empty() && !check_time_zone(out.time_zone))
        keys.bad("time_zone", "an IANA name such as Europe/Berlin");
    keys.text("serial_prefix", out.serial_prefix, true);
    keys.text("profiles", out.profiles, false);
    keys.text("address", out.address, false);
    keys.text("place", out.place, false);
    // The same check as where serials are made: one that slipped through here would stop the bench at its first part.
    if (!out.serial_prefix.empty() && !check_serial_prefix(out.serial_prefix))
        keys.bad("serial_prefix", "one to three digits or capital letters, without I, L, O and U");
    keys.finish();
}

void read_bench(Keys keys, Config::Bench& out) {
    keys.whole("proof_interval_min", out.proof_interval_min, 1, 7 * 24 * 60);
    keys.whole("repeats_allowed", out.repeats_allowed, 0, 10);
    keys.flag("prove_after_reconnect", out.prove_after_reconnect);
    keys.flag("own_hold_may_be_settled", out.own_hold_may_be_settled);
    keys.whole("hose_age_years", out.hose_age_years, 1, 20);
    keys.whole("sign_out_after_min", out.sign_out_after_min, 0, 8 * 60);
    keys.finish();
}

void read_http(Keys keys, Config::Http& out) {
    keys.text("address", out.address, false);
    keys.whole("port", out.port, 0, 65535);
    keys.flag("allow_other_addresses", out.allow_other_addresses);
    keys.text("certificate", out.certificate, false);
    keys.text("key", out.key, false);
    keys.texts("names", out.names);
    const bool tls = !out.certificate.empty() && !out.key.empty();
    if (!tls && !(out.certificate.empty() && out.key.empty())) {
        const std::string_view given = out.key.empty() ? "certificate" : "key";
        keys.add(keys.line(given), given,
                 message("config.half_tls").with("missing", out.key.empty() ? "http.key" : "http.certificate"));
    }
    if (!is_loopback(out.address) && !tls && !out.allow_other_addresses)
        keys.add(keys.line("address"), "address", message("config.other_address").with("found", out.address));
    keys.finish();
}

void read_tag(Keys keys, Config::Tag& out) {
    keys.text("folder", out.folder, true);
    keys.text("size", out.size, false);
    constexpr std::array<std::string_view, 3> sizes = {"100x150", "100x50", "a6"};
    if (std::find(sizes.begin(), sizes.end(), out.size) == sizes.end()) keys.bad("size", "100x150, 100x50 or a6");
    keys.whole("dpi", out.dpi, 150, 1200);
    keys.text("printer", out.printer, false);
    keys.text("fonts", out.fonts, false);
    keys.finish();
}

// In a tag's code it stands in capitals, and in letters of which a code holds many.
bool is_tag_link(std::string_view link) {
    constexpr std::string_view head = "https://";
    if (!link.starts_with(head) || link.size() == head.size() || link.size() > 60) return false;
    return std::all_of(link.begin() + head.size(), link.end(), [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '.' || c == '-' ||
               c == '/' || c == ':';
    });
}

void read_record(Keys keys, Config::Record& out, const std::string& station) {
    keys.text("name", out.name, false);
    // A station's id may hold what a key's name may not.
    const std::string& name = out.name.empty() ? station : out.name;
    if (!name.empty() && !is_key_name(name))
        keys.bad("name", "a name of letters, digits and signs, without blanks and without +");
    keys.text("key", out.key, false);
    keys.text("checkpoints", out.checkpoints, false);
    keys.text("second_folder", out.second_folder, false);
    keys.flag("hourly", out.hourly);
    keys.text("link", out.link, false);
    if (!out.link.empty() && !is_tag_link(out.link))
        keys.bad(
            "link",
            "https:// and a host, perhaps with a path, that may be written in capitals: letters, digits and . - /");
    keys.finish();
}

void read_gauges(Keys& top, Config& config, Errors& errors) {
    const auto* node = top.take("gauge");
    if (node == nullptr) return;
    const auto* list = node->as_array();
    if (list == nullptr) return top.bad("gauge", "a list of tables, [[gauge]]");
    std::set<std::string> ids, ports;
    for (std::size_t i = 0; i < list->size(); ++i) {
        const auto* table = list->get(i)->as_table();
        if (table == nullptr) return top.bad("gauge", "a list of tables, [[gauge]]");
        Keys keys(table, "gauge[" + std::to_string(i + 1) + "].", errors);
        GaugeConfig gauge;
        keys.text("id", gauge.id, true);
        keys.text("port", gauge.port, true);
        keys.text("profile", gauge.profile, true);
        if (!gauge.id.empty() && !ids.insert(gauge.id).second) keys.bad("id", "an id that no other gauge has");
        if (!gauge.port.empty() && !GaugeAddress::parse(gauge.port))
            keys.bad("port", "a path such as /dev/serial/by-id/..., or tcp://host:port");
        else if (!gauge.port.empty() && !ports.insert(gauge.port).second)
            keys.bad("port", "a port that no other gauge has");
        keys.finish();
        config.gauges.push_back(std::move(gauge));
    }
}

std::string quoted(std::string_view text) {
    std::string out = "\"";
    for (const char c : text) {
        if (c == '"' || c == '\\') out += '\\';
        if (c == '\n')
            out += "\\n";
        else
            out += c;
    }
    return out + '"';
}

}  // namespace

tl::expected<Config, std::vector<ConfigError>> parse_config(std::string_view toml_text) {
    Errors errors;
    const auto parsed = toml::parse(toml_text);
    if (!parsed) {
        const auto line = static_cast<std::int64_t>(parsed.error().source().begin.line);
        errors.push_back(
            {line,
             {},
             message("config.malformed").with("line", std::to_string(line)).with("why", parsed.error().description())});
        return tl::unexpected<Errors>(std::move(errors));
    }
    Config config;
    Keys top(&parsed.table(), "", errors);
    read_station(Keys(top.table("station"), "station.", errors), config.station);
    Keys journal(top.table("journal"), "journal.", errors);
    journal.text("file", config.journal.file, true);
    journal.finish();
    read_bench(Keys(top.table("bench"), "bench.", errors), config.bench);
    read_http(Keys(top.table("http"), "http.", errors), config.http);
    read_tag(Keys(top.table("tag"), "tag.", errors), config.tag);
    read_record(Keys(top.table("record"), "record.", errors), config.record, config.station.id);
    read_gauges(top, config, errors);
    top.finish();
    if (errors.empty()) return config;
    std::stable_sort(errors.begin(), errors.end(),
                     [](const ConfigError& a, const ConfigError& b) { return a.line < b.line; });
    return tl::unexpected<Errors>(std::move(errors));
}

tl::expected<Config, std::vector<ConfigError>> load_config(const std::string& file) {
    std::ifstream in(file, std::ios::binary);
    const std::string text((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
    if (in.is_open() && !in.bad()) return parse_config(text);
    const std::string reason = std::strerror(errno);
    Errors errors;
    errors.push_back({0, {}, message("config.unreadable").with("file", file).with("reason", reason)});
    return tl::unexpected<Errors>(std::move(errors));
}

std::string canonical_text(const Config& c) {
    std::string out;
    const auto text = [&](std::string_view key, std::string_view value) {
        out += std::string(key) + " = " + quoted(value) + "\n";
    };
    const auto whole = [&](std::string_view key, std::int64_t value) {
        out += std::string(key) + " = " + std::to_string(value) + "\n";
    };
    const auto flag = [&](std::string_view key, bool value) {
        out += std::string(key) + (value ? " = true\n" : " = false\n");
    };
    text("station.id", c.station.id);
    text("station.shop", c.station.shop);
    text("station.time_zone", c.station.time_zone);
    text("station.serial_prefix", c.station.serial_prefix);
    text("station.profiles", c.station.profiles);
    text("station.address", c.station.address);
    text("station.place", c.station.place);
    text("journal.file", c.journal.file);
    whole("bench.proof_interval_min", c.bench.proof_interval_min);
    whole("bench.repeats_allowed", c.bench.repeats_allowed);
    flag("bench.prove_after_reconnect", c.bench.prove_after_reconnect);
    flag("bench.own_hold_may_be_settled", c.bench.own_hold_may_be_settled);
    whole("bench.hose_age_years", c.bench.hose_age_years);
    whole("bench.sign_out_after_min", c.bench.sign_out_after_min);
    text("http.address", c.http.address);
    whole("http.port", c.http.port);
    flag("http.allow_other_addresses", c.http.allow_other_addresses);
    text("http.certificate", c.http.certificate);
    text("http.key", c.http.key);
    for (std::size_t i = 0; i < c.http.names.size(); ++i)
        text("http.names[" + std::to_string(i + 1) + "]", c.http.names[i]);
    text("tag.folder", c.tag.folder);
    text("tag.size", c.tag.size);
    whole("tag.dpi", c.tag.dpi);
    text("tag.printer", c.tag.printer);
    text("tag.fonts", c.tag.fonts);
    text("record.name", c.record.name);
    text("record.key", c.record.key);
    text("record.checkpoints", c.record.checkpoints);
    text("record.second_folder", c.record.second_folder);
    flag("record.hourly", c.record.hourly);
    text("record.link", c.record.link);
    for (std::size_t i = 0; i < c.gauges.size(); ++i) {
        const std::string path = "gauge[" + std::to_string(i + 1) + "].";
        text(path + "id", c.gauges[i].id);
        text(path + "port", c.gauges[i].port);
        text(path + "profile", c.gauges[i].profile);
    }
    return out;
}

BenchRules bench_rules(const Config& c) {
    BenchRules rules;
    rules.station = c.station.id;
    rules.serial_prefix = c.station.serial_prefix;
    rules.proof_interval_ms = c.bench.proof_interval_min * 60 * 1000;
    rules.repeats_allowed = c.bench.repeats_allowed;
    rules.prove_after_reconnect = c.bench.prove_after_reconnect;
    rules.own_hold_may_be_settled = c.bench.own_hold_may_be_settled;
    rules.hose_age_years = c.bench.hose_age_years;
    rules.sign_out_after_ms = c.bench.sign_out_after_min * 60 * 1000;
    return rules;
}

}  // namespace crimpgate
