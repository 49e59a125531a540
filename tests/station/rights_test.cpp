// Who may do what, over every route there is: nobody, an operator, a lead, a setter, an auditor.
#include "tests/support/catch.h"

#include <boost/json.hpp>
#include <map>
#include <set>

#include "api_station.h"
#include "station/http/routes.h"
#include "station/proof/signing_key.h"

using namespace crimpgate;
using namespace crimpgate::test;
namespace json = boost::json;

namespace {

// 401, 403, or 0: neither, whatever else may speak against it.
struct Row {
    const char* name;  // the route's
    json::object body;
    int nobody, operator_, lead, setter, auditor;
};

// One order to the row that the station has, as a file.
const char* const order_file =
    "order_id,customer,customer_part,quantity,spec_a,spec_b,overall_length_mm,length_rule,orientation_deg,hose_lots,"
    "fitting_a_lots,fitting_b_lots,pressure_bar,due,notes\n"
    "A-200,Fennick Harvesters (invented),FH-7731,8,NH-2SN-08,NH-2SN-08,750,din20066,,R1180@2Q26,FA-0614,FB-0907,250,"
    "2026-12-04,none\n";

// Bodies are right in form and mostly about things that are not there: what is asked is who may, not what happens then.
const std::vector<Row>& table() {
    static const json::object known_gauge{{"gauge", "CAL-1"},           {"resolution_nm", 10'000},
                                          {"uncertainty_nm", 12'000},   {"proof_limit_nm", 20'000},
                                          {"calibrated", "2026-03-02"}, {"calibration_due", "2027-03-01"},
                                          {"certificate", "C-1"}};
    static const std::string known_witness = SigningKey("lead-home", KeyType::cosignature, Seed{9}).verifier().text();
    static const std::vector<Row> rows = {
        {"health", {}, 0, 0, 0, 0, 0},
        {"openapi", {}, 0, 0, 0, 0, 0},
        {"bench", {}, 0, 0, 0, 0, 0},   // from this machine; from afar see below
        {"events", {}, 0, 0, 0, 0, 0},  // likewise
        {"signIn", {}, 0, 0, 0, 0, 0},

        {"session", {}, 401, 0, 0, 0, 0},
        {"orders", {}, 401, 0, 0, 0, 0},
        {"holds", {}, 401, 0, 0, 0, 0},
        {"assembly", {}, 401, 0, 0, 0, 0},
        {"gauges", {}, 401, 0, 0, 0, 0},
        {"references", {}, 401, 0, 0, 0, 0},
        {"tables", {}, 401, 0, 0, 0, 0},
        {"limits", {}, 401, 0, 0, 0, 0},
        {"entries", {}, 401, 403, 0, 0, 0},
        {"people", {}, 401, 403, 0, 0, 0},

        {"signOut", {}, 401, 0, 0, 0, 0},
        {"chooseLanguage", {{"language", "de"}}, 401, 0, 0, 0, 0},
        {"addPerson", {{"person", "NEW"}, {"name", "N"}, {"role", "setter"}, {"pin", "730284"}}, 401, 403, 403, 0, 403},
        {"setSecret", {{"person", "LEB"}, {"pin", "730284"}}, 401, 403, 403, 0, 403},
        {"giveRole", {{"person", "LEB"}, {"role", "lead"}}, 401, 403, 403, 0, 403},
        {"giveBadge", {{"person", "LEB"}, {"badge", "B-7"}}, 401, 403, 403, 0, 403},
        {"retirePerson", {{"person", "NOBODY"}, {"reason", "left"}}, 401, 403, 403, 0, 403},

        {"registerGauge", known_gauge, 401, 403, 403, 0, 403},
        {"registerReference",
         {{"reference", "R-9"},
          {"kind", "ring"},
          {"size_nm", 1},
          {"certificate", "C"},
          {"calibration_due", "2027-01-01"}},
         401,
         403,
         403,
         0,
         403},
        {"setGaugeLine",
         {{"gauge", "CAL-9"}, {"port", "tcp://192.0.2.10:4001"}, {"profile", "signed_decimal_unit"}},
         401,
         403,
         403,
         0,
         403},
        {"ports", {}, 401, 403, 403, 0, 403},
        {"profiles", {}, 401, 403, 403, 0, 403},
        {"listenToLine", {}, 401, 403, 403, 0, 403},
        {"printers", {}, 401, 403, 403, 0, 403},
        {"choosePrinter", {{"printer", ""}, {"size", "a6"}, {"dpi", 203}}, 401, 403, 403, 0, 403},
        {"setScreen", {{"um_per_pixel", 250}, {"sound", true}}, 401, 403, 403, 0, 403},
        {"setLimits",
         {{"proof_interval_min", 240},
          {"repeats_allowed", 1},
          {"prove_after_reconnect", true},
          {"own_hold_may_be_settled", false},
          {"hose_age_years", 4},
          {"sign_out_after_min", 15},
          {"simple_acceptance_allowed", true},
          {"scrap_by_operator", false},
          {"concession_needs_second", false},
          {"shown_unit", "mm"}},
         401,
         403,
         403,
         0,
         403},

        {"checkTable", {{"name", "t"}, {"csv", ""}}, 401, 403, 0, 0, 0},
        {"proposeTable", {{"name", "t"}, {"csv", ""}}, 401, 403, 403, 0, 403},
        {"adoptProposal", {{"proposed_seq", 9999}}, 401, 403, 0, 0, 403},
        {"dropProposal", {{"proposed_seq", 9999}, {"reason", "no"}}, 401, 403, 0, 0, 403},
        {"openOrders", {{"csv", order_file}}, 401, 403, 0, 0, 403},
        {"openOrder",
         {{"order", "A-300"},
          {"customer", "C"},
          {"customer_part", "P"},
          {"quantity", 1},
          {"spec_a", "NH-2SN-08"},
          {"spec_b", "NH-2SN-08"},
          {"overall_length_nm", 750'000'000},
          {"length_rule", "din20066"},
          {"hose_lots", json::array{json::object{{"lot", "H-1"}, {"made", "2Q26"}}}},
          {"fitting_a_lots", json::array{json::object{{"lot", "FA-1"}, {"made", ""}}}},
          {"fitting_b_lots", json::array{json::object{{"lot", "FB-1"}, {"made", ""}}}},
          {"needed_pressure_kpa", 25'000},
          {"due", "2026-12-04"},
          {"notes", ""}},
         401,
         403,
         0,
         0,
         403},

        {"startShift", {}, 401, 0, 0, 403, 403},
        {"endShift", {}, 401, 0, 0, 403, 403},
        {"acceptClock", {}, 401, 403, 0, 403, 403},
        {"proveGauge", {{"gauge", "CAL-9"}, {"reference", "R"}}, 401, 0, 0, 403, 403},
        {"withdrawGauge", {{"gauge", "CAL-9"}, {"reason", "fell"}}, 401, 403, 0, 403, 403},
        {"takeOrder", {{"order", "A-9"}}, 401, 0, 0, 403, 403},
        {"orderApplication", {}, 401, 0, 0, 0, 0},
        {"overrideApplication", {{"order", "A-9"}, {"reason", "asked"}}, 401, 403, 0, 403, 403},
        {"testProof",
         {{"reached_kpa", 55'000}, {"held_s", 30}, {"medium", "oil"}, {"seen", "nothing"}, {"manometer", "M-7"}},
         401,
         0,
         0,
         403,
         403},
        {"confirmLots", {{"hose_lot", "H"}, {"fitting_a_lot", "A"}, {"fitting_b_lot", "B"}}, 401, 0, 0, 403, 403},
        {"confirmDie", {{"die_set", "D"}, {"crimper", "C"}, {"setting", "1"}}, 401, 0, 0, 403, 403},
        {"confirmStep", {{"what", "lubricant"}, {"yes", true}}, 401, 0, 0, 403, 403},
        {"voidLast", {{"reason", "slipped"}}, 401, 0, 0, 403, 403},
        {"holdAssembly", {{"reason", "dropped"}}, 401, 0, 0, 403, 403},
        {"quarantine", {{"serial", "K1-1"}}, 401, 0, 0, 403, 403},
        {"takeUp", {{"serial", "K1-1"}}, 401, 0, 0, 403, 403},
        {"settleHold", {{"serial", "K1-1"}, {"how", "scrap"}, {"reason", "short"}}, 401, 403, 0, 403, 403},
        {"reprintTag", {{"serial", "K1-1"}, {"reason", "lost"}}, 401, 0, 0, 0, 0},  // of an assembly that is not there
        {"retryTags", {}, 401, 0, 0, 0, 0},                                         // while none failed
        {"settleTagDoubt", {{"serial", "K1-1"}, {"found", true}}, 401, 0, 0, 403, 403},

        // What leaves the house and what is called back: read by the office, done by the lead.
        {"deliveries", {}, 401, 403, 0, 0, 0},
        {"delivery", {}, 401, 403, 0, 0, 0},
        {"sendable", {}, 401, 403, 0, 0, 0},
        {"sendDelivery",
         {{"customer", "Nobody"}, {"to", "gate"}, {"serials", json::array{"K1-1"}}},
         401,
         403,
         0,
         403,
         403},
        {"takeBackDelivery",
         {{"delivery", "DL-9"}, {"serials", json::array{"K1-1"}}, {"reason", "stayed"}},
         401,
         403,
         0,
         403,
         403},
        {"recall", {}, 401, 403, 0, 0, 0},
        {"recallFile", {}, 401, 403, 0, 0, 0},
        {"recallLetter", {}, 401, 403, 0, 0, 0},
        {"recalls", {}, 401, 403, 0, 0, 0},
        {"drawRecall",
         {{"criteria", json::array{json::object{{"what", "hose_lot"}, {"value", "H-9"}}}}, {"reason", "lot in doubt"}},
         401,
         403,
         0,
         403,
         403},

        // Hoses that came back: anybody at the work opens, asks and measures; the lead concludes.
        {"returns", {}, 401, 0, 0, 0, 0},
        {"return", {}, 401, 0, 0, 0, 0},
        {"returnReport", {}, 401, 403, 0, 0, 0},
        {"openReturn", {{"reported", "leaks at the shell"}}, 401, 0, 0, 403, 403},
        {"answerReturn", {{"return", "RT-9"}, {"question", "hurt"}, {"answer", "no"}}, 401, 0, 0, 403, 403},
        {"beginReturn", {{"return", "RT-9"}}, 401, 0, 0, 403, 403},
        {"leaveReturn", {}, 401, 0, 0, 403, 403},
        {"concludeReturn", {{"return", "RT-9"}, {"remark", "seen"}}, 401, 403, 0, 403, 403},
        {"reopenReturn", {{"return", "RT-9"}, {"reason", "pictures came"}}, 401, 403, 0, 403, 403},

        // Gauge studies and samples: lists for whoever measures, results for the office, plans for the lead.
        {"studies", {}, 401, 0, 0, 0, 0},
        {"study", {}, 401, 403, 0, 0, 0},
        {"planStudy",
         {{"kind", "repeatability"},
          {"gauge", "CAL-9"},
          {"pieces", json::array{json::object{{"piece", "P1"}}}},
          {"people", json::array{"OPA"}},
          {"trials", 2},
          {"lower_nm", 1},
          {"upper_nm", 2}},
         401,
         403,
         0,
         403,
         403},
        {"beginStudy", {{"study", "GS-9"}}, 401, 0, 0, 403, 403},
        {"leaveStudy", {}, 401, 0, 0, 403, 403},
        {"voidTurn", {{"reason", "slipped"}}, 401, 0, 0, 403, 403},
        {"dropStudy", {{"study", "GS-9"}, {"reason", "no"}}, 401, 403, 0, 403, 403},
        {"approveUncertainty",
         {{"study", "GS-9"},
          {"calibration_expanded_nm", 1},
          {"calibration_k_permille", 2000},
          {"temperature_half_width_mk", 0},
          {"length_nm", 1},
          {"reason", "study"}},
         401,
         403,
         0,
         403,
         403},
        {"samples", {}, 401, 0, 0, 0, 0},
        {"sample", {}, 401, 403, 0, 0, 0},
        {"drawSample",
         {{"shift", "2026-11-25/9"}, {"plan", "zero_acceptance"}, {"quality_ppm", 50'000}},
         401,
         403,
         0,
         403,
         403},
        {"beginSample", {{"sample", "RM-9"}}, 401, 0, 0, 403, 403},
        {"leaveSample", {}, 401, 0, 0, 403, 403},

        {"certificates", {}, 401, 403, 0, 0, 0},
        {"certificateFile", {}, 401, 403, 0, 0, 0},
        {"issueCertificate",
         {{"subject", "serial"},
          {"id", "K1-1"},
          {"statement", "declaration"},
          {"function", "QC lead"},
          {"independent", false}},
         401,
         403,
         0,
         403,
         403},

        {"checkpoints", {}, 401, 403, 0, 0, 0},
        {"checkpointNote", {}, 401, 403, 0, 0, 0},
        {"consistencyProof", {}, 401, 403, 0, 0, 0},
        {"signCheckpoint", {}, 401, 403, 0, 0, 0},
        {"bringCountersignature", {{"size", 1}, {"line", "no line"}}, 401, 0, 0, 0, 0},
        {"knowWitness", {{"key", known_witness}, {"holder", "at home"}}, 401, 403, 0, 0, 403},
        {"forgetWitness", {{"key", "nobody's"}, {"reason", "left"}}, 401, 403, 0, 0, 403},
        {"keys", {}, 401, 0, 0, 0, 0},
        {"handOverKey", {{"reason", "it may have been copied"}}, 401, 403, 403, 0, 403},
        {"recoveryPage", {}, 401, 403, 403, 0, 403},

        {"links", {}, 401, 403, 0, 0, 0},
        {"makeLink", {{"customer", "Nobody"}}, 401, 403, 0, 403, 403},
        {"revokeLink", {{"link", "TL-9"}, {"reason", "lost"}}, 401, 403, 0, 403, 403},

        // The audit shows who made what: nothing for whoever stands beside them.
        {"audit", {}, 401, 403, 0, 0, 0},
        {"auditFile", {}, 401, 403, 0, 0, 0},
        {"auditSheet", {}, 401, 403, 0, 0, 0},
        {"auditPaper", {}, 401, 403, 0, 0, 0},
        {"shifts", {}, 401, 403, 0, 0, 0},
        {"signOffShift", {{"shift", "2026-11-25/9"}, {"remark", ""}}, 401, 403, 0, 403, 403},
        {"freezeLimits",
         {{"stream", "S|1|C|D"},
          {"chart", "means"},
          {"from_seq", 1},
          {"to_seq", 9},
          {"left_out", json::array{}},
          {"reason", "first weeks"}},
         401,
         403,
         0,
         403,
         403},
        {"releaseLimits", {{"stream", "S|1|C|D"}, {"chart", "means"}, {"reason", "new"}}, 401, 403, 0, 403, 403},
        {"watch", {}, 401, 0, 0, 0, 0},
        {"setWatch",
         {{"on", true},
          {"points", 30},
          {"rules", json::array{"beyond_three_sigma"}},
          {"weight_permille", 200},
          {"share_ppm", 10'000}},
         401,
         403,
         0,
         0,
         403},

        {"verifyJournal", {}, 401, 403, 0, 0, 0},
        {"rebuildViews", {}, 401, 403, 0, 0, 0},
        {"backUpJournal", {{"to", "relative"}}, 401, 403, 0, 0, 0},
    };
    return rows;
}

HttpRequest request_for(const Route& route, const json::object& body) {
    HttpRequest out;
    out.method = route.method;
    out.path = route.path.substr(0, route.path.find('{'));
    if (out.path.size() != route.path.size()) out.path += "K1-1";
    if (route.method == "POST") out.body = json::serialize(body);
    out.from_here = true;
    return out;
}

}  // namespace

TEST_CASE("R9: over every route, nobody and each role may do what it may and nothing else") {
    ApiStation station;
    station.set_up();
    std::map<std::string, const Row*> rows;
    for (const auto& row : table())
        rows[row.name] = &row;
    CHECK(rows.size() == table().size());
    // One session a person, a new one where a route has ended it: there is room for so many only, and what has to make
    // room for another is written down.
    std::map<std::string, std::string> sessions;
    const auto session_of = [&](const std::string& who) {
        HttpRequest alive;
        alive.method = "GET";
        alive.path = "/api/session";
        alive.from_here = true;
        alive.authorization = "Bearer " + sessions[who];
        if (station.ask(alive).status == 401) sessions[who] = station.token(who);
        return sessions[who];
    };
    for (const auto& route : routes()) {
        INFO(std::string(route.method) + " " + std::string(route.path) + " " + std::string(route.name));
        const auto found = rows.find(std::string(route.name));
        REQUIRE(found != rows.end());  // a new route says here who may use it
        const auto& row = *found->second;
        const std::pair<const char*, int> askers[] = {
            {"", row.nobody}, {"OPA", row.operator_}, {"AUD", row.auditor}, {"LEA", row.lead}, {"SET", row.setter}};
        for (const auto& [who, expected] : askers) {
            INFO(who);
            auto request = request_for(route, row.body);
            if (*who != 0) request.authorization = "Bearer " + session_of(who);
            const auto before = station.last_seq();
            const auto answer = station.ask(request);
            INFO(answer.status << " " << answer.body);
            if (expected != 0) {
                CHECK(answer.status == expected);
                CHECK(station.last_seq() == before);
            } else {
                CHECK(answer.status != 401);
                CHECK(answer.status != 403);
                CHECK(answer.status != 405);
                // A body that was not understood would hide who may.
                if (row.name != std::string_view("signIn")) CHECK(answer.body.find("\"json.") == std::string::npos);
            }
            if (*who == 0) continue;
            // A token that somebody made up is nobody's.
            if (row.nobody == 0) continue;
            request.authorization.back() = request.authorization.back() == '0' ? '1' : '0';
            CHECK(station.ask(request).status == 401);
        }
    }
}

TEST_CASE("from another machine nothing at all is told to nobody but that the station is there") {
    ApiStation station;
    station.set_up();
    std::set<std::string> open;
    for (const auto& route : routes()) {
        auto request = request_for(route, {});
        request.from_here = false;
        if (station.ask(request).status != 401) open.insert(std::string(route.name));
    }
    CHECK(open == std::set<std::string>{"health", "openapi", "signIn"});
}
