// Returned hoses: opened, answered, measured at the bench, ranked from the record, concluded, reported. What is looked
// up in the journal runs on another thread with a journal of its own; whatever is written down runs on the loop.
#include <memory>
#include <optional>
#include <utility>

#include <boost/json.hpp>

#include "station/daemon/local_time.h"
#include "station/daemon/return_json.h"
#include "station/daemon/return_paper.h"
#include "station/http/api.h"
#include "station/http/body_members.h"
#include "station/http/describe_commands.h"
#include "station/http/describe_returns.h"
#include "station/http/page_words.h"
#include "station/http/return_routes.h"
#include "station/json/reflect.h"

namespace crimpgate {
namespace {

namespace json = boost::json;

HttpResponse return_refused(const Message& why) {
    const std::string_view code = why.code;
    if (code == "returned.no_return") return error_response(404, why);
    if (code == "returned.own_work" || code == "returned.not_their_hose" || code == "returned.names_other")
        return error_response(403, why);
    if (code.starts_with("api.") || code == "returned.no_such_question" || code == "returned.no_such_answer" ||
        code == "returned.answered_twice" || code == "returned.one_answer" || code == "returned.fact_not_whole" ||
        code == "returned.fact_out_of_range" || code == "returned.nothing_known" || code == "returned.read_twice" ||
        code == "returned.in_future" || code == "returned.say_why" || code == "bench.no_such_choice" ||
        code.starts_with("date."))
        return error_response(400, why);
    return refusal_of(why);
}

HttpResponse told(const Ran& ran) {
    return ran.refusal ? return_refused(*ran.refusal) : answer_of(ran);
}

// What another thread needs: nothing of the desk.
struct Asked {
    ReturnState returned;
    ReturnSetting setting;
    std::filesystem::path file;
    std::string station;

    Result<ReturnFound> found() const {
        const auto journal = second_look(file, station);
        if (!journal) return refuse(journal.error());
        return find_return(*journal, returned, setting);
    }
};

Result<Asked> asked_for(ApiCall& call, const std::string& number) {
    const auto& desk = call.api.desk();
    const auto& state = desk.state();
    const auto found = state.record.returns.find(number);
    if (found == state.record.returns.end()) return refuse(message("returned.no_return").with("return", number));
    Asked out;
    out.returned = found->second;
    out.setting.time_zone = desk.time_zone();
    out.setting.unit = rules_in_force(desk.rules(), state).shown_unit;
    out.setting.hose_age_years = rules_in_force(desk.rules(), state).hose_age_years;
    if (const auto* assembly = assembly_of(state, found->second))
        if (const auto order = state.orders.find(assembly->started.order); order != state.orders.end())
            out.setting.order = order->second.order;
    out.file = call.api.journal().file();
    out.station = call.api.journal().station();
    return out;
}

HttpAnswer returns_list(ApiCall& call) {
    json::array list;
    for (const auto& [number, returned] : call.api.desk().state().record.returns)
        list.push_back(return_line(returned));
    return ok({{"returns", std::move(list)}, {"measuring", call.api.desk().state().record.returned}});
}

HttpAnswer return_shown(ApiCall& call) {
    auto asked = asked_for(call, call.value);
    if (!asked) return return_refused(asked.error());
    LaterAnswer later;
    later.work = [asked = std::move(*asked)] {
        const auto found = asked.found();
        if (!found) return return_refused(found.error());
        return ok(return_json(*found));
    };
    return later;
}

HttpAnswer open_return(ApiCall& call) {
    auto read = reflect::from_json<api::OpenReturnBody>(call.body);
    if (!read) return error_response(400, read.error());
    if (auto fine = call.api.check_texts(call.body, ""); !fine) return error_response(400, fine.error());
    commands::OpenReturn open;
    open.opened.serial = read->serial.value_or("");
    open.opened.customer = read->customer.value_or("");
    open.opened.received = read->received.value_or("");
    open.opened.reported = read->reported.value_or("");
    open.opened.someone_hurt = read->someone_hurt.value_or(false);
    open.opened.read_off = read->read_off.value_or(std::vector<entries::ReadOff>{});
    const auto ran = call.api.desk().run(open, call.who);
    if (ran.refusal) return return_refused(*ran.refusal);
    auto body = json::parse(answer_of(ran).body).as_object();
    for (const auto& entry : ran.entries)
        if (entry.type == entries::ReturnOpened::type) body["return"] = entry.body.at("return");
    return ok(body);
}

HttpAnswer answer_return(ApiCall& call) {
    auto read = reflect::from_json<api::AnswerReturnBody>(call.body);
    if (!read) return error_response(400, read.error());
    if (auto fine = call.api.check_texts(call.body, ""); !fine) return error_response(400, fine.error());
    commands::AnswerReturn answer;
    answer.answer = {read->return_, read->question, read->answer, read->text.value_or("")};
    return told(call.api.desk().run(answer, call.who));
}

template <class T>
HttpAnswer command(ApiCall& call) {
    auto read = reflect::from_json<T>(call.body);
    if (!read) return error_response(400, read.error());
    if (auto fine = call.api.check_texts(call.body, ""); !fine) return error_response(400, fine.error());
    return told(call.api.desk().run(*read, call.who));
}

// The ranking that goes on record is the station's own, made of the record as it is now.
HttpAnswer conclude_return(ApiCall& call) {
    auto read = reflect::from_json<api::ConcludeReturnBody>(call.body);
    if (!read) return error_response(400, read.error());
    if (auto fine = call.api.check_texts(call.body, ""); !fine) return error_response(400, fine.error());
    const auto& person = call.api.desk().state().people.at(call.who);
    if (person.role != Role::lead) return refusal_of(message("bench.not_a_lead").with("person", person.name));
    auto asked = asked_for(call, read->return_);
    if (!asked) return return_refused(asked.error());
    auto concluded = std::make_shared<entries::ReturnConcluded>();
    concluded->return_ = read->return_;
    concluded->cause = read->cause.value_or("");
    concluded->remark = read->remark.value_or("");
    concluded->bench_action = read->bench_action.value_or("");
    concluded->application_action = read->application_action.value_or("");
    const auto ranked = std::make_shared<bool>(false);
    LaterAnswer later;
    later.work = [concluded, ranked, asked = std::move(*asked)] {
        const auto found = asked.found();
        if (!found) return return_refused(found.error());
        for (const auto& mode : found->ranking.modes)
            if (mode.likely()) concluded->ranking.push_back({std::string(mode.mode->id), mode.points});
        *ranked = true;
        return HttpResponse{};
    };
    later.then = [concluded, ranked, &api = call.api, who = call.who](HttpResponse refused) {
        if (!*ranked) return refused;
        return told(api.desk().run(commands::ConcludeReturn{std::move(*concluded)}, who));
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

HttpResponse as_pdf(std::string bytes, const std::string& name) {
    HttpResponse response;
    response.content_type = "application/pdf";
    response.body = std::move(bytes);
    response.headers.emplace_back("Content-Disposition", "attachment; filename=\"" + name + "\"");
    return response;
}

// ?return=RT-1&copy=customer&paper=letter&language=de
HttpAnswer return_paper(ApiCall& call) {
    const auto number = call.request.query.find("return");
    if (number == call.request.query.end() || number->second.empty())
        return return_refused(message("api.empty_parameter").with("name", "return"));
    const auto copy = word_in(call.request, "copy", "internal", "customer");
    if (!copy) return return_refused(copy.error());
    const auto size = word_in(call.request, "paper", "a4", "letter");
    if (!size) return return_refused(size.error());
    const auto language = word_in(call.request, "language", "en", "de");
    if (!language) return return_refused(language.error());
    auto asked = asked_for(call, number->second);
    if (!asked) return return_refused(asked.error());
    const auto& desk = call.api.desk();
    ReturnPaper paper;
    paper.size = *size == "letter" ? PaperSize::letter : PaperSize::a4;
    paper.reader.language = *language;
    paper.reader.say = [l = *language](const Message& m) { return say_in(l, m); };
    paper.reader.local_time = [zone = desk.time_zone()](std::int64_t ms) { return local_time_text(ms, zone); };
    paper.shop = call.api.parts().shop;
    paper.station = call.api.journal().station();
    paper.made_by = desk.state().people.at(call.who).name;
    paper.made_ms = desk.now().utc_ms;
    ReturnPaperAsked words;
    words.for_customer = *copy == "customer";
    words.inches = rules_in_force(desk.rules(), desk.state()).shown_unit == ShownUnit::inch;
    words.time_zone = desk.time_zone();
    words.say = paper.reader.say;
    std::vector<std::string> customers;
    for (const auto& [order, known] : desk.state().orders)
        customers.push_back(known.order.customer);
    if (words.for_customer) asked->setting.only_customer = asked->returned.opened.customer;
    LaterAnswer later;
    later.work = [asked = std::move(*asked), paper = std::move(paper), words = std::move(words),
                  customers = std::move(customers)]() mutable {
        const auto found = asked.found();
        if (!found) return return_refused(found.error());
        if (words.for_customer)
            if (auto allowed = customers_copy_allowed(*found, customers); !allowed)
                return return_refused(allowed.error());
        paper.last_seq = found->upto_seq;
        paper.last_hash = found->last_hash;
        auto pdf = return_report_pdf(return_report_of(*found, words), paper);
        if (!pdf) return return_refused(pdf.error());
        return as_pdf(std::move(*pdf),
                      found->returned.opened.return_ + (words.for_customer ? "-customer" : "") + ".pdf");
    };
    return later;
}

}  // namespace

std::vector<Route> return_routes() {
    using namespace commands;
    return {
        {"GET", "/api/returns", "returns", Needs::signed_in, &returns_list, nullptr},
        {"GET", "/api/returns/{return}", "return", Needs::signed_in, &return_shown, nullptr},
        {"GET", "/api/returns.pdf", "returnReport", Needs::office, &return_paper, nullptr},
        {"POST", "/api/returns", "openReturn", Needs::signed_in, &open_return, &members_of<api::OpenReturnBody>},
        {"POST", "/api/returns/answer", "answerReturn", Needs::signed_in, &answer_return,
         &members_of<api::AnswerReturnBody>},
        {"POST", "/api/returns/begin", "beginReturn", Needs::signed_in, &command<BeginReturn>,
         &members_of<BeginReturn>},
        {"POST", "/api/returns/leave", "leaveReturn", Needs::signed_in, &command<LeaveReturn>,
         &members_of<LeaveReturn>},
        {"POST", "/api/returns/conclude", "concludeReturn", Needs::signed_in, &conclude_return,
         &members_of<api::ConcludeReturnBody>},
        {"POST", "/api/returns/reopen", "reopenReturn", Needs::signed_in, &command<ReopenReturn>,
         &members_of<ReopenReturn>},
    };
}

}  // namespace crimpgate
