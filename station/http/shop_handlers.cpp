// The shop's devices and limits: references, ports, profiles, lines, printers, the screen. What is set is an entry;
// what follows from it (a line opened, tags to another printer) is the station's to do when it hears of the entry.
#include <algorithm>
#include <boost/json.hpp>
#include <filesystem>
#include <set>

#include "drivers/port_finder.h"
#include "drivers/printer.h"
#include "drivers/serial_port.h"
#include "station/daemon/gauge_lines.h"
#include "station/http/api.h"
#include "station/http/describe_commands.h"
#include "station/json/canonical.h"
#include "station/json/reflect.h"
#include "station/words/catalogue.h"

namespace crimpgate {
namespace {

namespace json = boost::json;

json::object told(const Message& m) {
    auto out = reflect::write(m).as_object();
    out["words"] = say(m);
    return out;
}

HttpResponse no_lines() {
    return error_response(503, message("api.no_lines"));
}

// A name such as usb-Adapter_0042-if00 is all that is known of what hangs on a port.
std::string description_of(const FoundPort& port) {
    return std::filesystem::path(port.by_id.empty() ? port.by_path : port.by_id).filename().string();
}

const LineInUse* line_at(const std::vector<LineInUse>& lines, const std::string& path) {
    for (const auto& line : lines)
        if (same_port(line.port, path)) return &line;
    return nullptr;
}

void add_line(json::object& out, const LineInUse& line) {
    out["gauge"] = line.gauge;
    out["profile"] = line.profile;
    out["set_here"] = line.set_here;
    out["connected"] = line.connected;
    if (!line.why.code.empty()) out["why"] = told(line.why);
}

const char* sends_word(const Profile& profile) {
    if (std::holds_alternative<OnPress>(profile.trigger)) return "on_press";
    return std::holds_alternative<Continuous>(profile.trigger) ? "continuous" : "when_asked";
}

const char* unit_word(const Profile& profile) {
    switch (profile.unit_policy) {
        case UnitPolicy::fixed_mm:
            return "mm";
        case UnitPolicy::fixed_inch:
            return "in";
        case UnitPolicy::as_sent:
            return "as_sent";
    }
    return "";
}

json::object profile_object(const KnownProfile& known) {
    const auto& p = known.profile;
    json::object out{{"profile", p.id},         {"title", p.title},
                     {"unit", unit_word(p)},    {"sends", sends_word(p)},
                     {"sha256", known.sha256},  {"baud", static_cast<std::int64_t>(p.line.baud)},
                     {"line", describe(p.line)}};
    if (p.mm) out["resolution_nm"] = p.mm->resolution.nm();
    if (p.inch) out["resolution_in_nm"] = p.inch->resolution.nm();
    return out;
}

std::string query_text(const ApiCall& call, const char* name) {
    const auto found = call.request.query.find(name);
    return found == call.request.query.end() ? std::string() : found->second;
}

// What CUPS takes for a queue's name (its own rule: printable, without blanks, slash and hash, at most 127 bytes).
bool may_be_queue(const std::string& name) {
    return name.size() <= 127 && std::all_of(name.begin(), name.end(), [](char c) {
               return c > ' ' && c != 127 && c != '/' && c != '#' && c != '\\' && c != '?' && c != '\'' && c != '"';
           });
}

HttpResponse printers_told(const entries::PrinterChosen& in_use) {
    json::object out{{"in_use", reflect::write(in_use)}};
    json::array names, details;
    const auto found = find_printers();
    if (!found) {
        out["why"] = told(found.error());
    } else {
        for (const auto& printer : *found) {
            names.push_back(json::string(printer.name));
            details.push_back(json::object{{"printer", printer.name},
                                           {"info", printer.info},
                                           {"state", printer.state},
                                           {"accepting", printer.accepting},
                                           {"said", printer.said}});
        }
        if (found->empty()) out["why"] = told(message("printer.none"));
    }
    out["printers"] = std::move(names);
    out["details"] = std::move(details);
    return ok(out);
}

}  // namespace

namespace handlers {

HttpAnswer references_list(ApiCall& call) {
    json::array list;
    for (const auto& [id, reference] : call.api.desk().state().references)
        list.push_back(reflect::write(reference));
    return ok({{"references", std::move(list)}});
}

HttpAnswer ports_list(ApiCall& call) {
    const auto* lines = call.api.parts().lines;
    if (lines == nullptr) return no_lines();
    const auto in_use = lines->in_use();
    const auto found = find_ports();
    json::array list;
    std::set<std::string> shown;
    for (const auto& port : found) {
        json::object one{{"path", port.key},
                         {"device", port.device},
                         {"description", description_of(port)},
                         {"advice", told(port.advice)}};
        if (const auto* line = line_at(in_use, port.device)) {
            add_line(one, *line);
            shown.insert(line->gauge);
            if (const auto doubt = doubt_about_name(line->port, found)) one["doubt"] = told(*doubt);
        }
        list.push_back(std::move(one));
    }
    // Converters on the network, pseudo-terminals, and ports that are not there now.
    for (const auto& line : in_use) {
        if (shown.contains(line.gauge)) continue;
        json::object one{{"path", line.port}, {"device", line.port}, {"description", ""}};
        add_line(one, line);
        list.push_back(std::move(one));
    }
    return ok({{"ports", std::move(list)}});
}

HttpAnswer profiles_list(ApiCall& call) {
    const auto* lines = call.api.parts().lines;
    if (lines == nullptr) return no_lines();
    json::array list, unusable;
    for (const auto& listed : lines->profiles().all()) {
        if (listed.known)
            list.push_back(profile_object(*listed.known));
        else
            unusable.push_back(json::object{{"file", listed.file}, {"why", told(listed.known.error())}});
    }
    return ok({{"profiles", std::move(list)}, {"unusable", std::move(unusable)}});
}

HttpAnswer set_gauge_line(ApiCall& call) {
    auto read = reflect::from_json<api::LineBody>(call.body);
    if (!read) return error_response(400, read.error());
    auto* lines = call.api.parts().lines;
    if (lines == nullptr) return no_lines();
    if (auto fine = call.api.check_texts(call.body, ""); !fine) return error_response(400, fine.error());
    commands::SetGaugeLine set;
    set.line.gauge = read->gauge;
    set.line.port = read->port;
    set.line.profile = read->profile;
    // What is empty is the bench's to refuse, by name.
    if (!read->gauge.empty() && !read->port.empty() && !read->profile.empty()) {
        if (auto free = lines->may_use(read->gauge, read->port); !free) return refusal_of(free.error());
        auto known = lines->profiles().find(read->profile);
        if (!known) return refusal_of(known.error());
        set.line.profile_sha256 = known->sha256;
    }
    return answer_of(call.api.desk().run(set, call.who));
}

HttpAnswer listen_to_line(ApiCall& call) {
    auto* lines = call.api.parts().lines;
    if (lines == nullptr) return no_lines();
    auto wake = call.api.parts().wake;
    if (!wake) wake = [] {};
    const auto listening = lines->listen(query_text(call, "port"), query_text(call, "profile"), std::move(wake));
    if (!listening)
        return listening.error().code == "line.too_many_listen" ? error_response(429, listening.error())
                                                                : refusal_of(listening.error());
    EventStream stream;
    stream.next = 1;
    stream.read = [listener = *listening](std::int64_t from, std::int64_t limit) -> Result<std::vector<StreamEvent>> {
        return listener->read(from, limit);
    };
    return stream;
}

HttpAnswer printers_list(ApiCall& call) {
    const auto& chosen = call.api.desk().state().printer;
    LaterAnswer later;  // a print server that is dead may take its time to be so
    later.work = [in_use = chosen ? *chosen : call.api.parts().printer] { return printers_told(in_use); };
    return later;
}

HttpAnswer choose_printer(ApiCall& call) {
    auto read = reflect::from_json<entries::PrinterChosen>(call.body);
    if (!read) return error_response(400, read.error());
    if (!may_be_queue(read->printer))
        return error_response(400, message("printer.bad_name").with("printer", read->printer));
    return answer_of(call.api.desk().run(commands::ChoosePrinter{std::move(*read)}, call.who));
}

HttpAnswer limits(ApiCall& call) {
    const auto& desk = call.api.desk();
    return ok(reflect::write_struct(limits_of(rules_in_force(desk.rules(), desk.state()))));
}

HttpAnswer set_limits(ApiCall& call) {
    auto read = reflect::from_json<entries::LimitsSet>(call.body);
    if (!read) return error_response(400, read.error());
    return answer_of(call.api.desk().run(commands::SetLimits{std::move(*read)}, call.who));
}

HttpAnswer set_screen(ApiCall& call) {
    auto read = reflect::from_json<entries::ScreenSet>(call.body);
    if (!read) return error_response(400, read.error());
    return answer_of(call.api.desk().run(commands::SetScreen{*read}, call.who));
}

HttpAnswer retry_tags(ApiCall& call) {
    if (auto read = reflect::from_json<api::NoBody>(call.body); !read) return error_response(400, read.error());
    if (!call.api.parts().retry_tags) return error_response(503, message("api.no_printer"));
    return answer_of(call.api.parts().retry_tags(call.who));
}

}  // namespace handlers
}  // namespace crimpgate
