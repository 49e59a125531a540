// Recalls: the list on another thread with a journal of its own, so that a million assemblies do not keep the bench
// waiting; drawing one runs on the loop, as every command does. Letters are made of a drawn recall alone, and only
// while its list is still the one that was written down.
#include <algorithm>
#include <limits>
#include <memory>
#include <optional>

#include <boost/json.hpp>

#include "reports/recall_csv.h"
#include "station/daemon/local_time.h"
#include "station/daemon/recall_source.h"
#include "station/http/api.h"
#include "station/http/body_members.h"
#include "station/http/delivery_routes.h"
#include "station/http/describe_commands.h"
#include "station/http/describe_deliveries.h"
#include "station/http/page_words.h"
#include "station/json/reflect.h"
#include "station/json/utc_text.h"

namespace crimpgate {
namespace {

namespace json = boost::json;

constexpr std::size_t all_rows = std::numeric_limits<std::size_t>::max();

HttpResponse recall_refused(const Message& why) {
    const std::string_view code = why.code;
    if (code == "recall.no_recall" || code == "recall.none_delivered") return error_response(404, why);
    if (code == "recall.not_known" || code == "recall.bad_criterion" || code == "recall.nothing_asked" ||
        code == "recall.bad_time" || code.starts_with("api."))
        return error_response(400, why);
    return refusal_of(why);
}

// ?hose_lot=H-1&from=2026-11-01&...; `more` are members of this route beside them.
Result<RecallAsked> asked_in(ApiCall& call, std::initializer_list<std::string_view> more = {}) {
    RecallWanted wanted;
    const auto& names = recall_criteria();
    for (const auto& [name, value] : call.request.query) {
        if (std::find(more.begin(), more.end(), name) != more.end()) continue;
        if (value.empty()) return refuse(message("api.empty_parameter").with("name", name));
        if (name == "from")
            wanted.from = value;
        else if (name == "to")
            wanted.to = value;
        else if (std::find(names.begin(), names.end(), name) != names.end())
            wanted.criteria.push_back({name, value});
        else
            return refuse(message("api.unknown_parameter").with("name", name));
    }
    return recall_asked(wanted, call.api.desk().time_zone());
}

struct Where {
    std::filesystem::path file;
    std::string station;
};
Where journal_of(ApiCall& call) {
    return {call.api.journal().file(), call.api.journal().station()};
}

HttpResponse as_file(std::string bytes, const char* type, const std::string& name) {
    HttpResponse response;
    response.content_type = type;
    response.body = std::move(bytes);
    response.headers.emplace_back("Content-Disposition", "attachment; filename=\"" + name + "\"");
    return response;
}

HttpAnswer recall_list(ApiCall& call) {
    const auto limit = call.number("limit", 500, 1'000'000);
    if (!limit) return recall_refused(limit.error());
    const auto asked = asked_in(call, {"limit"});
    if (!asked) return recall_refused(asked.error());
    LaterAnswer later;
    later.work = [asked = *asked, where = journal_of(call), limit = *limit] {
        const auto journal = second_look(where.file, where.station);
        if (!journal) return refusal_of(journal.error());
        const auto made = make_recall(*journal, asked, static_cast<std::size_t>(limit));
        if (!made) return recall_refused(made.error());
        return ok(recall_json(*made));
    };
    return later;
}

HttpAnswer recall_file(ApiCall& call) {
    const auto asked = asked_in(call);
    if (!asked) return recall_refused(asked.error());
    LaterAnswer later;
    later.work = [asked = *asked, where = journal_of(call)] {
        const auto journal = second_look(where.file, where.station);
        if (!journal) return refusal_of(journal.error());
        std::string csv = recall_csv_head();
        const auto found = recall(*journal, asked, [&](const RecallRow& row) { csv += recall_csv_row(row); });
        if (!found) return recall_refused(found.error());
        return as_file(std::move(csv), "text/csv; charset=utf-8", "recall.csv");
    };
    return later;
}

HttpAnswer recalls_list(ApiCall& call) {
    const auto limit = call.number("limit", 50, 1000);
    if (!limit) return refusal_of(limit.error());
    auto list = recalls(call.api.journal(), *limit);
    if (!list) return refusal_of(list.error());
    return ok({{"recalls", std::move(*list)}});
}

HttpAnswer draw_recall(ApiCall& call) {
    auto read = reflect::from_json<api::DrawRecallBody>(call.body);
    if (!read) return error_response(400, read.error());
    if (auto fine = call.api.check_texts(call.body, ""); !fine) return error_response(400, fine.error());
    const auto& person = call.api.desk().state().people.at(call.who);
    // Before anything is looked for: whoever may not draw one is not told what it would find.
    if (person.role != Role::lead) return refusal_of(message("bench.not_a_lead").with("person", person.name));
    auto asked = recall_asked({std::move(read->criteria), read->from.value_or(""), read->to.value_or("")},
                              call.api.desk().time_zone());
    if (!asked) return recall_refused(asked.error());
    const auto drawn = std::make_shared<std::optional<entries::RecallDrawn>>();
    LaterAnswer later;
    later.work = [drawn, asked = std::move(*asked), where = journal_of(call)] {
        const auto journal = second_look(where.file, where.station);
        if (!journal) return refusal_of(journal.error());
        const auto found = recall(*journal, asked, [](const RecallRow&) {});
        if (!found) return recall_refused(found.error());
        *drawn = drawn_of(asked, *found);
        return HttpResponse{};
    };
    later.then = [drawn, &api = call.api, who = call.who, reason = read->reason](HttpResponse refused) {
        if (!*drawn) return refused;
        (*drawn)->reason = reason;
        const auto ran = api.desk().run(commands::DrawRecall{std::move(**drawn)}, who);
        if (ran.refusal) return recall_refused(*ran.refusal);
        auto body = json::parse(answer_of(ran).body).as_object();
        for (const auto& entry : ran.entries)
            if (entry.type == entries::RecallDrawn::type) body["recall"] = entry.body.at("recall");
        return ok(body);
    };
    return later;
}

Result<std::string> word_in(const HttpRequest& request, const std::string& name, const char* first,
                            const char* second) {
    const auto found = request.query.find(name);
    if (found == request.query.end()) return std::string(first);
    if (found->second == first || found->second == second) return found->second;
    return refuse(message("api.bad_parameter")
                      .with("name", name)
                      .with("found", found->second)
                      .with("may", std::string(first) + ", " + second));
}

// What another thread needs for a letter.
struct LetterWork {
    Where where;
    std::string recall, customer, shop, zone, language;
    PaperSize size = PaperSize::a4;
};

Result<std::string> letter(const LetterWork& work) {
    const auto journal = second_look(work.where.file, work.where.station);
    if (!journal) return refuse(journal.error());
    const auto drawn = drawn_recall(*journal, work.recall);
    if (!drawn) return refuse(drawn.error());
    const auto asked = asked_of_drawn(*drawn);
    if (!asked) return refuse(asked.error());
    auto made = make_recall(*journal, *asked, all_rows);
    if (!made) return refuse(made.error());
    if (drawn->at("list_sha256") != json::value(made->found.list_sha256))
        return refuse(message("recall.list_changed").with("recall", work.recall));
    auto out = recall_letter_to(*made, work.customer, std::string(drawn->at("reason").as_string()));
    if (!out) return refuse(out.error());
    out->size = work.size;
    out->language = work.language;
    out->say = [&](const Message& m) { return say_in(work.language, m); };
    out->shop = work.shop;
    out->recall = work.recall;
    out->upto_seq = asked->upto_seq;
    if (const auto at = parse_utc_text(drawn->at("time").as_string())) out->date = local_date(*at, work.zone);
    const std::string who(drawn->at("who").as_string());
    const auto person = made->people.find(who);
    out->written_by = person == made->people.end() ? who : person->second;
    return recall_letter_pdf(*out);
}

HttpAnswer recall_paper(ApiCall& call) {
    LetterWork work;
    work.where = journal_of(call);
    for (auto [name, member] : {std::pair{"recall", &work.recall}, {"customer", &work.customer}}) {
        const auto found = call.request.query.find(name);
        if (found == call.request.query.end() || found->second.empty())
            return recall_refused(message("api.empty_parameter").with("name", name));
        *member = found->second;
    }
    const auto size = word_in(call.request, "paper", "a4", "letter");
    if (!size) return recall_refused(size.error());
    const auto language = word_in(call.request, "language", "en", "de");
    if (!language) return recall_refused(language.error());
    work.size = *size == "letter" ? PaperSize::letter : PaperSize::a4;
    work.language = *language;
    work.shop = call.api.parts().shop;
    work.zone = call.api.desk().time_zone();
    LaterAnswer later;
    later.work = [work = std::move(work)] {
        auto pdf = letter(work);
        if (!pdf) return recall_refused(pdf.error());
        return as_file(std::move(*pdf), "application/pdf", work.recall + ".pdf");
    };
    return later;
}

}  // namespace

std::vector<Route> recall_routes() {
    return {
        {"GET", "/api/recall", "recall", Needs::office, &recall_list, nullptr},
        {"GET", "/api/recall.csv", "recallFile", Needs::office, &recall_file, nullptr},
        {"GET", "/api/recall.pdf", "recallLetter", Needs::office, &recall_paper, nullptr},
        {"GET", "/api/recalls", "recalls", Needs::office, &recalls_list, nullptr},
        {"POST", "/api/recall/draw", "drawRecall", Needs::signed_in, &draw_recall, &members_of<api::DrawRecallBody>},
    };
}

}  // namespace crimpgate
