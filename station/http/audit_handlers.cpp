// The audit as JSON, CSV and PDF, made on another thread with a journal of its own: a year's audit must not keep the
// bench waiting; so are limits reckoned that a lead freezes. What the lead decides runs on the loop, as every command
// does.
#include "station/http/audit_handlers.h"

#include <memory>
#include <optional>

#include <boost/json.hpp>

#include "reports/audit/audit_csv.h"
#include "reports/audit_pdf.h"
#include "station/daemon/audit_json.h"
#include "station/daemon/audit_source.h"
#include "station/daemon/chart_limits.h"
#include "station/daemon/local_time.h"
#include "station/http/api.h"
#include "station/http/audit_query.h"
#include "station/http/describe_audit.h"
#include "station/http/page_words.h"
#include "station/journal/queries.h"
#include "station/json/reflect.h"

namespace crimpgate {
namespace {

// Everything that another thread needs, without the loop's own things.
struct AuditWork {
    std::filesystem::path file;
    std::string station;
    AuditWanted wanted;
    AuditSetting setting;
    audit::Choices choices;
};

AuditWork work_for(const ApiCall& call, AuditWanted wanted) {
    const auto& desk = call.api.desk();
    AuditWork out;
    out.file = call.api.journal().file();
    out.station = call.api.journal().station();
    out.wanted = std::move(wanted);
    out.setting.time_zone = desk.time_zone();
    out.setting.now_ms = desk.now().utc_ms;
    out.setting.unit = desk.rules().shown_unit;
    out.setting.read_through = call.api.read_through();
    return out;
}

Result<audit::Audit> made(const AuditWork& work) {
    const auto journal = second_look(work.file, work.station);
    if (!journal) return refuse(journal.error());
    return audit_of(*journal, work.wanted, work.setting, work.choices);
}

// 400: what was asked; 404: of something that is not there. Of a study or a sample what the bench would say.
HttpResponse audit_refused(const Message& why) {
    const std::string_view code = why.code;
    const bool not_there = code.starts_with("audit.no_");
    if (!not_there && !code.starts_with("audit.") && !code.starts_with("api.") && !code.starts_with("date."))
        return refusal_of(why);
    return error_response(not_there ? 404 : 400, why);
}

// "audit-2026-11-25-1-made.csv", "study-GS-1.pdf": letters, digits and dashes, whatever the order is called.
std::string file_name(const audit::Audit& audit, const std::string& sheet, const char* ending) {
    std::string out = !audit.study.empty() ? "study" : !audit.sample.empty() ? "sample" : "audit";
    for (const auto* part : {&audit.title, &sheet}) {
        if (part->empty()) continue;
        out += '-';
        for (const char c : *part) {
            const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_';
            if (plain)
                out += c;
            else if (out.back() != '-')
                out += '-';
        }
    }
    return out + ending;
}

HttpResponse as_file(std::string bytes, const char* type, const std::string& name) {
    HttpResponse response;
    response.content_type = type;
    response.body = std::move(bytes);
    response.headers.emplace_back("Content-Disposition", "attachment; filename=\"" + name + "\"");
    return response;
}

HttpAnswer whole(ApiCall& call, bool as_download) {
    auto query = audit_query(call.request.query, {"charts"});
    if (!query) return audit_refused(query.error());
    const auto charts = word_of(*query, "charts", {"yes", "no"});
    if (!charts) return audit_refused(charts.error());
    auto work = work_for(call, std::move(query->wanted));
    work.choices.charts = *charts == "yes";
    LaterAnswer later;
    later.work = [work = std::move(work), as_download] {
        const auto audit = made(work);
        if (!audit) return audit_refused(audit.error());
        auto response = ok(audit_json(*audit));
        if (as_download) return as_file(std::move(response.body), "application/json", file_name(*audit, "", ".json"));
        return response;
    };
    return later;
}

}  // namespace

namespace handlers {

HttpAnswer audit_whole(ApiCall& call) {
    return whole(call, false);
}

HttpAnswer audit_file(ApiCall& call) {
    return whole(call, true);
}

HttpAnswer audit_sheet(ApiCall& call) {
    auto query = audit_query(call.request.query, {"sheet"});
    if (!query) return audit_refused(query.error());
    if (query->more["sheet"].empty()) return audit_refused(message("api.no_sheet"));
    auto work = work_for(call, std::move(query->wanted));
    work.choices.charts = false;
    LaterAnswer later;
    later.work = [work = std::move(work), id = query->more["sheet"]] {
        const auto audit = made(work);
        if (!audit) return audit_refused(audit.error());
        const auto* sheet = audit::find_sheet(*audit, id);
        if (sheet == nullptr) return error_response(404, message("audit.no_sheet").with("sheet", id));
        return as_file(audit::sheet_csv(*sheet), "text/csv; charset=utf-8", file_name(*audit, id, ".csv"));
    };
    return later;
}

HttpAnswer audit_paper(ApiCall& call) {
    auto query = audit_query(call.request.query, {"paper", "language"});
    if (!query) return audit_refused(query.error());
    const auto size = word_of(*query, "paper", {"a4", "letter"});
    if (!size) return audit_refused(size.error());
    const auto language = word_of(*query, "language", {"en", "de"});
    if (!language) return audit_refused(language.error());
    AuditPaper paper;
    paper.size = *size == "letter" ? PaperSize::letter : PaperSize::a4;
    paper.shop = call.api.parts().shop;
    const auto& people = call.api.desk().state().people;
    if (const auto person = people.find(call.who); person != people.end()) paper.made_by = person->second.name;
    paper.reader.language = *language;
    paper.reader.say = [language = *language](const Message& m) { return say_in(language, m); };
    paper.reader.local_time = [zone = call.api.desk().time_zone()](std::int64_t ms) {
        return local_time_text(ms, zone);
    };
    LaterAnswer later;
    later.work = [work = work_for(call, std::move(query->wanted)), paper = std::move(paper)] {
        const auto audit = made(work);
        if (!audit) return audit_refused(audit.error());
        auto pdf = audit_pdf(*audit, paper);
        if (!pdf) return error_response(500, pdf.error());
        return as_file(std::move(*pdf), "application/pdf", file_name(*audit, "", ".pdf"));
    };
    return later;
}

HttpAnswer shifts_list(ApiCall& call) {
    auto list = shifts(call.api.journal());
    if (!list) return refusal_of(list.error());
    boost::json::object out{{"shifts", std::move(*list)}};
    if (const auto& running = call.api.desk().state().shift; !running.empty()) out["running"] = running;
    return ok(out);
}

HttpAnswer freeze_limits(ApiCall& call) {
    auto read = reflect::from_json<api::FreezeBody>(call.body);
    if (!read) return error_response(400, read.error());
    if (auto fine = call.api.check_texts(call.body, ""); !fine) return error_response(400, fine.error());
    const auto& person = call.api.desk().state().people.at(call.who);
    // Before anything is reckoned: whoever may not freeze them is not told what they would be.
    if (person.role != Role::lead) return refusal_of(message("bench.not_a_lead").with("person", person.name));
    LimitsAsked asked;
    asked.stream = read->stream;
    asked.chart = read->chart;
    asked.from_seq = read->from_seq;
    asked.to_seq = read->to_seq;
    asked.left_out = std::move(read->left_out);
    asked.reason = std::move(read->reason);
    // A year's limits take seconds, which the bench must not wait for; they are frozen on the loop like every command,
    // which looks once more whether that person may.
    const auto limits = std::make_shared<std::optional<entries::LimitsFrozen>>();
    LaterAnswer later;
    later.work = [limits, asked = std::move(asked), file = call.api.journal().file(),
                  station = call.api.journal().station()] {
        const auto journal = second_look(file, station);
        if (!journal) return refusal_of(journal.error());
        auto reckoned = reckon_limits(*journal, asked);
        if (!reckoned) return refusal_of(reckoned.error());
        *limits = std::move(*reckoned);
        return HttpResponse{};
    };
    later.then = [limits, &api = call.api, who = call.who](HttpResponse refused) {
        if (!*limits) return refused;
        return answer_of(api.desk().run(commands::FreezeLimits{std::move(**limits)}, who));
    };
    return later;
}

HttpAnswer watch(ApiCall& call) {
    return ok(reflect::write_struct(call.api.desk().state().watch.value_or(entries::WatchSet{})));
}

HttpAnswer set_watch(ApiCall& call) {
    auto read = reflect::from_json<entries::WatchSet>(call.body);
    if (!read) return error_response(400, read.error());
    return answer_of(call.api.desk().run(commands::SetWatch{std::move(*read)}, call.who));
}

}  // namespace handlers
}  // namespace crimpgate
