// Reads, the stream of entries, and the care of the journal.
#include <boost/json.hpp>
#include <charconv>
#include <filesystem>

#include "station/daemon/shown_bench.h"
#include "station/daemon/shown_holds.h"
#include "station/http/api.h"
#include "station/http/describe_commands.h"
#include "station/journal/queries.h"
#include "station/json/canonical.h"
#include "station/json/reflect.h"
#include "station/words/catalogue.h"

namespace crimpgate {

extern const std::string_view openapi_text;  // made from openapi.json at build time

namespace {

namespace json = boost::json;

HttpAnswer listed(const char* name, Result<json::array> list) {
    if (!list) return refusal_of(list.error());
    return ok({{name, std::move(*list)}});
}

// Where a stream begins: after Last-Event-ID, at ?from=, or with what comes next.
Result<std::int64_t> first_wanted(const ApiCall& call, std::int64_t last) {
    const auto from = call.number("from", last + 1, json_integer_limit);
    if (!from) return from;
    const std::string& id = call.request.last_event_id;
    if (id.empty()) return std::max<std::int64_t>(*from, 1);
    std::int64_t seen = 0;
    const auto [end, ec] = std::from_chars(id.data(), id.data() + id.size(), seen);
    if (ec != std::errc{} || end != id.data() + id.size() || seen < 0 || seen >= json_integer_limit)
        return refuse(message("api.bad_number")
                          .with("name", "Last-Event-ID")
                          .with("found", id)
                          .with("most", std::to_string(json_integer_limit)));
    return seen + 1;
}

// Further behind than this a page is better off reading everything anew.
constexpr std::int64_t page_reach = 500;

// With the last entry's number as its id: a browser that comes back afterwards goes on from there.
StreamEvent resync(std::int64_t last) {
    return {last, "resync", "{\"last_seq\":" + std::to_string(last) + "}"};
}

}  // namespace

namespace handlers {

HttpAnswer health(ApiCall& call) {
    const auto last = call.api.journal().last_seq();
    if (!last) return refusal_of(last.error());
    return ok({{"station", call.api.journal().station()},
               {"version", call.api.parts().version},
               {"last_seq", *last},
               {"people", !call.api.desk().state().people.empty()}});
}

HttpAnswer openapi(ApiCall&) {
    HttpResponse response;
    response.body = std::string(openapi_text);
    return response;
}

HttpAnswer bench(ApiCall& call) {
    return ok(shown_bench(call.api.desk(), call.api.parts().shop));
}

HttpAnswer orders_list(ApiCall& call) {
    return listed("orders", orders(call.api.journal()));
}

HttpAnswer holds_list(ApiCall& call) {
    const auto found = call.request.query.find("all");
    const bool all = found != call.request.query.end() && found->second == "true";
    const auto shown = shown_holds(call.api.desk(), call.api.journal(), all);
    if (!shown) return refusal_of(shown.error());
    return ok(*shown);
}

HttpAnswer assembly(ApiCall& call) {
    const auto known = shown_assembly(call.api.desk(), call.api.journal(), call.value);
    if (!known) return refusal_of(known.error());
    return ok(*known);
}

HttpAnswer gauges_list(ApiCall& call) {
    return listed("gauges", gauges(call.api.journal()));
}

HttpAnswer entries_list(ApiCall& call) {
    const auto from = call.number("from", 1, json_integer_limit);
    if (!from) return refusal_of(from.error());
    const auto limit = call.number("limit", 100, 1000);
    if (!limit) return refusal_of(limit.error());
    const auto found = call.api.journal().entries_from(std::max<std::int64_t>(*from, 1), *limit);
    if (!found) return refusal_of(found.error());
    // Put together as text: each entry goes out in the very bytes that its hash stands for.
    HttpResponse response;
    response.body = "{\"entries\":[";
    for (const auto& entry : *found) {
        if (response.body.back() != '[') response.body += ',';
        response.body += open_bytes(entry, call.api.desk().state());
    }
    response.body += "]}";
    return response;
}

HttpAnswer events(ApiCall& call) {
    auto& journal = call.api.journal();
    const auto last = journal.last_seq();
    if (!last) return refusal_of(last.error());
    const auto from = first_wanted(call, *last);
    if (!from) return error_response(400, from.error());
    // A page asks for names=no: every entry under the one name that it listens to. It shows what is and not what was,
    // so it is told when it is too far behind; a program that reads the record gets every entry, however many.
    const auto names = call.request.query.find("names");
    const bool page = names != call.request.query.end() && names->second == "no";
    EventStream stream;
    stream.next = *from;
    if (*from > *last + 1) {
        // An id of another journal, or of one that was restored from a backup: what the client shows is not this one.
        stream.next = *last + 1;
        stream.first.push_back(resync(*last));
    }
    const BenchState& state = call.api.desk().state();
    stream.read = [&journal, &state, page](std::int64_t next, std::int64_t limit) -> Result<std::vector<StreamEvent>> {
        if (page) {
            const auto now = journal.last_seq();
            if (!now) return refuse(now.error());
            if (*now - next >= page_reach) return std::vector<StreamEvent>{resync(*now)};
        }
        const auto entries = journal.entries_from(next, limit);
        if (!entries) return refuse(entries.error());
        std::vector<StreamEvent> out;
        for (const auto& entry : *entries)
            out.push_back({entry.seq, page ? "entry" : entry.type, open_bytes(entry, state)});
        return out;
    };
    return stream;
}

HttpAnswer verify_journal(ApiCall& call) {
    LaterAnswer later;
    // Kept, so that audits say how far and when the journal was read through.
    const auto kept = std::make_shared<std::optional<ReadThrough>>();
    later.then = [kept, &api = call.api](HttpResponse worked) {
        if (*kept) api.was_read_through(std::move(**kept));
        return worked;
    };
    later.work = [kept, at_ms = call.api.desk().now().utc_ms, file = call.api.journal().file(),
                  station = call.api.journal().station()] {
        const auto journal = second_look(file, station);
        if (!journal) return refusal_of(journal.error());
        const auto verified = journal->verify();
        if (!verified) return refusal_of(verified.error());
        *kept = ReadThrough{at_ms, *verified};
        json::object body{{"sound", verified->sound()}, {"entries", verified->entries}};
        if (verified->damage) {
            auto damage = reflect::write(*verified->damage).as_object();
            damage["words"] = say(*verified->damage);
            body["damage"] = std::move(damage);
            body["damaged_seq"] = verified->damaged_seq;
        }
        return ok(body);
    };
    return later;
}

// On the loop, since only the writer may: the bench waits for it.
HttpAnswer rebuild_views(ApiCall& call) {
    if (auto done = call.api.journal().rebuild_views(); !done) return refusal_of(done.error());
    return ok({{"rebuilt", true}});
}

HttpAnswer back_up_journal(ApiCall& call) {
    auto read = reflect::from_json<api::BackupBody>(call.body);
    if (!read) return error_response(400, read.error());
    const std::filesystem::path to(read->to);
    if (!to.is_absolute() || !to.has_filename()) return error_response(400, message("api.backup_place"));
    LaterAnswer later;
    later.work = [file = call.api.journal().file(), station = call.api.journal().station(), to] {
        const auto journal = second_look(file, station);
        if (!journal) return refusal_of(journal.error());
        if (auto done = journal->back_up(to); !done) return refusal_of(done.error());
        return ok({{"file", to.string()}});
    };
    return later;
}

}  // namespace handlers
}  // namespace crimpgate
