// The table itself, and the handlers that only turn a body into a command.
#include "station/http/routes.h"

#include "station/http/api.h"
#include "station/http/application_routes.h"
#include "station/http/audit_handlers.h"
#include "station/http/body_members.h"
#include "station/http/certificate_routes.h"
#include "station/http/checkpoint_routes.h"
#include "station/http/delivery_routes.h"
#include "station/http/describe_audit.h"
#include "station/http/describe_commands.h"
#include "station/http/link_routes.h"
#include "station/http/return_routes.h"
#include "station/http/study_routes.h"

namespace crimpgate {
namespace {

template <class T>
HttpAnswer command(ApiCall& call) {
    auto read = reflect::from_json<T>(call.body);
    if (!read) return error_response(400, read.error());
    if (auto fine = call.api.check_texts(call.body, ""); !fine) return error_response(400, fine.error());
    return answer_of(call.api.desk().run(*read, call.who));
}

template <class T>
Route bench_action(std::string_view path, std::string_view name) {
    return {"POST", path, name, Needs::signed_in, &command<T>, &members_of<T>};
}

std::vector<Route> make() {
    using namespace commands;
    using namespace handlers;
    return {
        {"GET", "/api/health", "health", Needs::nobody, &health, nullptr},
        {"GET", "/api/openapi.json", "openapi", Needs::nobody, &openapi, nullptr},
        {"GET", "/api/bench", "bench", Needs::here, &bench, nullptr},
        {"GET", "/api/events", "events", Needs::here, &events, nullptr},
        {"GET", "/api/orders", "orders", Needs::signed_in, &orders_list, nullptr},
        {"GET", "/api/holds", "holds", Needs::signed_in, &holds_list, nullptr},
        {"GET", "/api/assemblies/{serial}", "assembly", Needs::signed_in, &assembly, nullptr},
        {"GET", "/api/gauges", "gauges", Needs::signed_in, &gauges_list, nullptr},
        {"GET", "/api/entries", "entries", Needs::office, &entries_list, nullptr},

        {"POST", "/api/sign-in", "signIn", Needs::nobody, &sign_in, &members_of<api::SignInBody>},
        {"POST", "/api/sign-out", "signOut", Needs::signed_in, &sign_out, &members_of<api::NoBody>},
        {"GET", "/api/session", "session", Needs::signed_in, &handlers::session, nullptr},
        {"GET", "/api/people", "people", Needs::office, &people_list, nullptr},
        {"POST", "/api/people", "addPerson", Needs::first_person, &add_person, &members_of<api::PersonBody>},
        {"POST", "/api/people/secret", "setSecret", Needs::signed_in, &set_secret, &members_of<api::SecretBody>},
        {"POST", "/api/people/role", "giveRole", Needs::setter, &command<GiveRole>, &members_of<GiveRole>},
        {"POST", "/api/people/badge", "giveBadge", Needs::setter, &command<GiveBadge>, &members_of<GiveBadge>},
        {"POST", "/api/people/retire", "retirePerson", Needs::setter, &command<RetirePerson>,
         &members_of<RetirePerson>},
        bench_action<ChooseLanguage>("/api/people/language", "chooseLanguage"),
        {"POST", "/api/gauges", "registerGauge", Needs::setter, &register_gauge, &members_of<api::GaugeBody>},
        {"POST", "/api/references", "registerReference", Needs::signed_in, &register_reference,
         &members_of<entries::ReferenceRegistered>},
        {"GET", "/api/references", "references", Needs::signed_in, &references_list, nullptr},
        {"GET", "/api/ports", "ports", Needs::setter, &ports_list, nullptr},
        {"GET", "/api/profiles", "profiles", Needs::setter, &profiles_list, nullptr},
        {"POST", "/api/gauges/line", "setGaugeLine", Needs::setter, &set_gauge_line, &members_of<api::LineBody>},
        {"GET", "/api/lines/listen", "listenToLine", Needs::setter, &listen_to_line, nullptr},
        {"GET", "/api/printers", "printers", Needs::setter, &printers_list, nullptr},
        {"POST", "/api/printer", "choosePrinter", Needs::setter, &choose_printer, &members_of<entries::PrinterChosen>},
        {"GET", "/api/limits", "limits", Needs::signed_in, &handlers::limits, nullptr},
        {"POST", "/api/limits", "setLimits", Needs::setter, &set_limits, &members_of<entries::LimitsSet>},
        {"POST", "/api/screen", "setScreen", Needs::setter, &set_screen, &members_of<entries::ScreenSet>},
        {"GET", "/api/tables", "tables", Needs::signed_in, &tables_list, nullptr},
        {"POST", "/api/tables/check", "checkTable", Needs::office, &check_table, &members_of<api::TableCheckBody>},
        {"POST", "/api/tables", "proposeTable", Needs::setter, &propose_table, &members_of<api::TableBody>},
        bench_action<AdoptProposal>("/api/tables/adopt", "adoptProposal"),
        bench_action<DropProposal>("/api/tables/drop", "dropProposal"),
        {"POST", "/api/orders", "openOrders", Needs::office, &open_orders, &members_of<api::OrdersBody>},
        {"POST", "/api/orders/open", "openOrder", Needs::signed_in, &open_order, &members_of<entries::OrderOpened>},

        bench_action<StartShift>("/api/shift/start", "startShift"),
        bench_action<EndShift>("/api/shift/end", "endShift"),
        bench_action<AcceptClock>("/api/clock/accept", "acceptClock"),
        bench_action<ProveGauge>("/api/gauges/prove", "proveGauge"),
        bench_action<WithdrawGauge>("/api/gauges/withdraw", "withdrawGauge"),
        bench_action<TakeOrder>("/api/orders/take", "takeOrder"),
        bench_action<ConfirmLots>("/api/lots/confirm", "confirmLots"),
        bench_action<ConfirmDie>("/api/die/confirm", "confirmDie"),
        bench_action<Confirm>("/api/steps/confirm", "confirmStep"),
        bench_action<VoidLast>("/api/readings/void-last", "voidLast"),
        {"POST", "/api/assembly/hold", "holdAssembly", Needs::signed_in, &hold_assembly, &members_of<api::HoldBody>},
        bench_action<PutInQuarantine>("/api/assembly/quarantine", "quarantine"),
        bench_action<TakeUp>("/api/assembly/take-up", "takeUp"),
        {"POST", "/api/holds/settle", "settleHold", Needs::signed_in, &settle_hold, &members_of<api::SettleBody>},
        {"POST", "/api/tags/reprint", "reprintTag", Needs::signed_in, &reprint_tag, &members_of<api::ReprintBody>},
        {"POST", "/api/tags/retry", "retryTags", Needs::signed_in, &retry_tags, &members_of<api::NoBody>},
        bench_action<SettleTagDoubt>("/api/tags/settle-doubt", "settleTagDoubt"),

        {"GET", "/api/audit", "audit", Needs::office, &audit_whole, nullptr},
        {"GET", "/api/audit.json", "auditFile", Needs::office, &audit_file, nullptr},
        {"GET", "/api/audit.csv", "auditSheet", Needs::office, &audit_sheet, nullptr},
        {"GET", "/api/audit.pdf", "auditPaper", Needs::office, &audit_paper, nullptr},
        {"GET", "/api/shifts", "shifts", Needs::office, &shifts_list, nullptr},
        bench_action<SignOffShift>("/api/shifts/sign-off", "signOffShift"),
        {"POST", "/api/charts/freeze", "freezeLimits", Needs::signed_in, &freeze_limits, &members_of<api::FreezeBody>},
        bench_action<ReleaseLimits>("/api/charts/release", "releaseLimits"),
        {"GET", "/api/watch", "watch", Needs::signed_in, &watch, nullptr},
        {"POST", "/api/watch", "setWatch", Needs::signed_in, &set_watch, &members_of<entries::WatchSet>},

        {"POST", "/api/journal/verify", "verifyJournal", Needs::office, &verify_journal, &members_of<api::NoBody>},
        {"POST", "/api/journal/rebuild-views", "rebuildViews", Needs::office, &rebuild_views, &members_of<api::NoBody>},
        {"POST", "/api/journal/backup", "backUpJournal", Needs::office, &back_up_journal, &members_of<api::BackupBody>},
    };
}

}  // namespace

const std::vector<Route>& routes() {
    static const std::vector<Route> table = [] {
        auto all = make();
        for (const auto& more :
             {application_routes(), study_routes(), sample_routes(), delivery_routes(), recall_routes(),
              certificate_routes(), link_routes(), checkpoint_routes(), return_routes()})
            all.insert(all.end(), more.begin(), more.end());
        return all;
    }();
    return table;
}

namespace handlers {

HttpAnswer register_reference(ApiCall& call) {
    auto read = reflect::from_json<entries::ReferenceRegistered>(call.body);
    if (!read) return error_response(400, read.error());
    return answer_of(call.api.desk().run(commands::RegisterReference{std::move(*read)}, call.who));
}

HttpAnswer open_order(ApiCall& call) {
    auto read = reflect::from_json<entries::OrderOpened>(call.body);
    if (!read) return error_response(400, read.error());
    if (auto fine = call.api.check_texts(call.body, ""); !fine) return error_response(400, fine.error());
    return answer_of(call.api.desk().run(commands::OpenOrder{std::move(*read)}, call.who));
}

HttpAnswer hold_assembly(ApiCall& call) {
    auto read = reflect::from_json<api::HoldBody>(call.body);
    if (!read) return error_response(400, read.error());
    if (auto fine = call.api.check_texts(call.body, ""); !fine) return error_response(400, fine.error());
    commands::HoldAssembly hold;
    hold.reason = read->reason;
    hold.serial = read->serial.value_or("");
    return answer_of(call.api.desk().run(hold, call.who));
}

HttpAnswer settle_hold(ApiCall& call) {
    auto read = reflect::from_json<api::SettleBody>(call.body);
    if (!read) return error_response(400, read.error());
    call.body.erase("second");  // no tag ever shows a secret
    if (auto fine = call.api.check_texts(call.body, ""); !fine) return error_response(400, fine.error());
    commands::SettleHold settle;
    settle.serial = read->serial;
    settle.how = read->how;
    settle.reason = read->reason;
    settle.customer_reference = read->customer_reference.value_or("");
    if (read->second) {
        auto proved = call.api.prove(*read->second, call.request.from_here, ProvedFor::one_action);
        if (!proved) return refusal_of(proved.error());
        settle.second = std::move(proved->person);
    }
    return answer_of(call.api.desk().run(settle, call.who));
}

HttpAnswer reprint_tag(ApiCall& call) {
    auto read = reflect::from_json<api::ReprintBody>(call.body);
    if (!read) return error_response(400, read.error());
    if (!call.api.parts().reprint) return error_response(503, message("api.no_printer"));
    return answer_of(call.api.parts().reprint(read->serial, read->reason, call.who));
}

}  // namespace handlers
}  // namespace crimpgate
