// How each type of entry shows in the views. Most are a row whose columns have the names of the body's members.
#include <functional>
#include <map>
#include <set>
#include <stdexcept>

#include "station/entries/entry_json.h"
#include "station/journal/showing.h"
#include "station/journal/views.h"

namespace crimpgate {
namespace {

void show_person(Showing& e, const std::string& column) {
    e.run(("UPDATE people SET " + column + " = ? WHERE person = ?").c_str(), e.text(column), e.text("person"));
}

void show_table(Showing& e) {
    e.insert("spec_tables", {"table", "file_sha256", "warnings_json"});
    std::int64_t place = 0;
    for (const auto& row : e.list("rows")) {
        const std::string id(row.at("spec_id").as_string());
        e.run("UPDATE spec_rows SET in_force_yn = 0 WHERE spec_id = ?", id);
        e.run("INSERT INTO spec_rows(spec_id, seq, place, revision, in_force_yn, row_json) VALUES(?, ?, ?, ?, 1, ?)",
              id, e.seq(), ++place, std::string(row.at("revision").as_string()), canonical(row));
    }
}

void show_order(Showing& e) {
    e.insert("orders", {"order", "customer", "customer_part", "quantity", "spec_a", "spec_b", "overall_length_nm",
                        "length_rule", "orientation_deg", "needed_pressure_kpa", "due", "notes"});
    const std::pair<const char*, const char*> parts[] = {
        {"hose", "hose_lots"}, {"fitting_a", "fitting_a_lots"}, {"fitting_b", "fitting_b_lots"}};
    for (const auto& [part, member] : parts) {
        std::int64_t place = 0;
        for (const auto& lot : e.list(member))
            e.run("INSERT INTO order_lots(\"order\", part, place, lot, made) VALUES(?, ?, ?, ?, ?)", e.text("order"),
                  std::string_view(part), ++place, std::string(lot.at("lot").as_string()),
                  std::string(lot.at("made").as_string()));
    }
}

void show_proof(Showing& e) {
    e.insert("proofs", {"gauge", "reference", "reading_seq", "size_nm", "value_nm", "error_nm", "limit_nm", "passed_yn",
                        "valid_until_utc_ms"});
    e.run("UPDATE gauges SET last_proof_seq = ?, needs_proof_yn = ? WHERE gauge = ?", e.seq(), !e.yes("passed"),
          e.text("gauge"));
    if (e.yes("passed"))
        e.run("UPDATE gauges SET gone_yn = 0, proof_seq = ?, valid_until_utc_ms = ? WHERE gauge = ?", e.seq(),
              e.whole("valid_until_utc_ms"), e.text("gauge"));
}

// As the bench does it: a shift's start leaves no die set mounted, and the same one with the same setting is not put in
// anew.
void show_die(Showing& e) {
    e.insert("mountings", {"crimper", "die_set", "setting"});
    e.run(
        "DELETE FROM mountings WHERE seq = ?1 AND EXISTS(SELECT 1 FROM mountings m WHERE m.seq = (SELECT max(seq) FROM "
        "mountings WHERE crimper = ?2 AND seq < ?1) AND m.die_set = ?3 AND m.setting = ?4 AND m.seq > coalesce((SELECT "
        "max(seq) FROM shifts), 0))",
        e.seq(), e.text("crimper"), e.text("die_set"), e.text("setting"));
}

void show_setup(Showing& e) {
    e.insert("setups", {"key", "spec_id", "revision", "crimper", "die_set", "hose_lot", "readings_json", "lower_nm",
                        "upper_nm", "mean_nm", "correction_nm", "passed_yn"});
    e.run("UPDATE setups SET mounting_seq = (SELECT max(seq) FROM mountings WHERE crimper = ?) WHERE seq = ?",
          e.text("crimper"), e.seq());
}

// Who and which gauge had to do with an assembly.
void show_touch(Showing& e, std::string_view what, const std::string& value) {
    if (value.empty()) return;  // the station itself
    e.run("INSERT OR IGNORE INTO touched(what, value, serial) SELECT ?1, ?2, serial FROM assemblies WHERE serial = ?3",
          what, value, e.text("serial"));
}

// The rows as they were (R6) stay in the entry; the table names them.
void show_assembly(Showing& e) {
    e.insert("assemblies",
             {"serial", "counter", "order", "customer", "customer_part", "hose_lot", "fitting_a_lot", "fitting_b_lot",
              "working_pressure_kpa", "overall_length_nm", "cut_length_nm", "length_rule", "orientation_deg", "shift"});
    show_touch(e, "person", e.who());
    const auto of = [&](const char* row, const char* member) { return e.text_in(row, member); };
    e.run(
        "UPDATE assemblies SET spec_a = ?, revision_a = ?, die_set_a = ?, crimper_a = ?, spec_b = ?, revision_b = ?, "
        "die_set_b = ?, crimper_b = ? WHERE serial = ?",
        of("row_a", "spec_id"), of("row_a", "revision"), of("row_a", "die_set"), of("row_a", "crimper"),
        of("row_b", "spec_id"), of("row_b", "revision"), of("row_b", "die_set"), of("row_b", "crimper"),
        e.text("serial"));
}

void show_reading(Showing& e) {
    e.insert("readings", {"purpose", "serial", "end", "what", "flat", "attempt", "gauge", "proof_seq", "value_nm",
                          "unit", "resolution_nm", "raw_hex", "arrived_utc_ms", "lower_nm", "upper_nm", "guard_nm",
                          "uncertainty_nm", "verdict", "side"});
    if (e.text("serial").empty()) return;
    show_touch(e, "gauge", e.text("gauge"));
    show_touch(e, "person", e.who());
}

void show_void(Showing& e) {
    for (const char* sql : {"UPDATE readings SET voided_seq = ?, void_reason = ? WHERE seq = ?",
                            "UPDATE confirmations SET voided_seq = ?, void_reason = ? WHERE seq = ?"})
        e.run(sql, e.seq(), e.text("reason"), e.whole("voided_seq"));
}

void show_hold(Showing& e) {
    e.insert("holds",
             {"serial", "cause", "end", "gauge", "gauge_error_nm", "reason", "made_by", "recrimp_possible_yn"});
    e.run("UPDATE assemblies SET stage = 'on_hold', quarantined_yn = 0 WHERE serial = ?", e.text("serial"));
}

void show_settlement(Showing& e) {
    const std::string how = e.text("how");
    e.run(
        "UPDATE holds SET settled_seq = ?, settled = ?, settled_by = ?, how = ?, settle_reason = ?, "
        "customer_reference = ? WHERE seq = ?",
        e.seq(), e.time(), e.who(), how, e.text("reason"), e.text("customer_reference"), e.whole("held_seq"));
    e.run("UPDATE assemblies SET stage = ?, recrimps = recrimps + ?, quarantined_yn = 0 WHERE serial = ?",
          std::string_view(how == "scrap" ? "scrapped" : "to_be_taken_up"), how == "recrimp", e.text("serial"));
    if (how == "concession")
        e.run("UPDATE assemblies SET concession_reference = ? WHERE serial = ?", e.text("customer_reference"),
              e.text("serial"));
}

void show_pass(Showing& e) {
    e.run("UPDATE assemblies SET stage = 'passed', passed_seq = ?, passed = ?, passed_by = ? WHERE serial = ?", e.seq(),
          e.time(), e.who(), e.text("serial"));
}

void show_tag_state(Showing& e, std::string_view state) {
    e.run("UPDATE tags SET state = ?, state_seq = ? WHERE serial = ? AND copy = ?", state, e.seq(), e.text("serial"),
          e.whole("copy"));
}

// What every assembly has some of; the rest is what an audit asks about.
bool everyday(std::string_view type) {
    static const std::set<std::string_view> types = {
        "reading.taken",     "step.confirmed",   "end.judged",        "assembly.started",     "assembly.passed",
        "assembly.taken_up", "part.quarantined", "tag.printed",       "session.begun",        "session.ended",
        "gauge.proof_begun", "link.looked",      "checkpoint.signed", "assembly.proof_tested"};
    return types.contains(type);
}

const Show nothing = [](Showing&) {};

const std::map<std::string_view, Show>& shows() {
    static const std::map<std::string_view, Show> by_type = with_record_shows({
        {"station.started", nothing},
        {"station.stopped", nothing},
        {"clock.stepped", nothing},
        {"clock.accepted", nothing},
        {"person.added",
         [](Showing& e) {
             e.replace("people", {"person", "name", "role", "badge", "language"});
         }},
        {"person.role_given", [](Showing& e) { show_person(e, "role"); }},
        {"person.badge_given", [](Showing& e) { show_person(e, "badge"); }},
        {"person.language_chosen", [](Showing& e) { show_person(e, "language"); }},
        {"person.retired",
         [](Showing& e) {
             e.run("UPDATE people SET retired_yn = 1, retired_reason = ? WHERE person = ?", e.text("reason"),
                   e.text("person"));
         }},
        {"person.secret_set", nothing},
        {"session.begun", nothing},
        {"session.ended", nothing},
        {"gauge.line_set",
         [](Showing& e) { e.run("UPDATE gauges SET needs_proof_yn = 1 WHERE gauge = ?", e.text("gauge")); }},
        {"printer.chosen", nothing},
        {"screen.set", nothing},
        {"limits.set", nothing},
        {"table.proposed", nothing},
        {"table.proposal_dropped", nothing},
        {"person.signed_in", nothing},
        {"person.signed_out", nothing},
        {"person.sign_in_refused", nothing},
        {"gauge.registered",
         [](Showing& e) {
             e.replace("gauges", {"gauge", "profile", "profile_sha256", "resolution_nm", "uncertainty_nm",
                                  "proof_limit_nm", "calibrated", "calibration_due", "certificate"});
         }},
        {"gauge.withdrawn",
         [](Showing& e) { e.run("UPDATE gauges SET withdrawn_yn = 1 WHERE gauge = ?", e.text("gauge")); }},
        {"reference.registered",
         [](Showing& e) {
             e.replace("gauge_references", {"reference", "kind", "size_nm", "certificate", "calibration_due"});
         }},
        {"gauge.proof_begun", nothing},
        {"gauge.proved", show_proof},
        {"gauge.lost", [](Showing& e) { e.run("UPDATE gauges SET gone_yn = 1 WHERE gauge = ?", e.text("gauge")); }},
        {"gauge.back",
         [](Showing& e) {
             e.run("UPDATE gauges SET gone_yn = 0, needs_proof_yn = max(needs_proof_yn, ?) WHERE gauge = ?",
                   e.yes("needs_proof"), e.text("gauge"));
         }},
        {"table.adopted", show_table},
        {"order.opened", show_order},
        {"shift.started",
         [](Showing& e) {
             e.insert("shifts", {"shift", "date", "number"});
         }},
        {"shift.ended",
         [](Showing& e) {
             e.run("UPDATE shifts SET ended_seq = ?, ended = ?, ended_by = ? WHERE shift = ?", e.seq(), e.time(),
                   e.who(), e.text("shift"));
         }},
        {"order.taken", nothing},
        {"lots.confirmed", nothing},
        {"die.confirmed", show_die},
        {"setup.judged", show_setup},
        {"assembly.started", show_assembly},
        {"reading.taken", show_reading},
        {"reading.refused",
         [](Showing& e) {
             e.insert("refusals", {"gauge", "why_json", "raw_hex", "arrived_utc_ms", "serial"});
         }},
        {"reading.voided", show_void},
        {"step.confirmed",
         [](Showing& e) {
             e.insert("confirmations", {"serial", "end", "what", "attempt", "seen", "yes_yn", "verdict"});
             show_touch(e, "person", e.who());
         }},
        {"end.judged",
         [](Showing& e) {
             e.insert("ends_judged", {"serial", "end", "attempt", "verdict", "mean_nm", "spread_nm", "conformity_ppm",
                                      "recrimp_possible_yn", "findings_json", "missing_json"});
         }},
        {"assembly.held", show_hold},
        {"part.quarantined",
         [](Showing& e) { e.run("UPDATE assemblies SET quarantined_yn = 1 WHERE serial = ?", e.text("serial")); }},
        {"hold.settled", show_settlement},
        {"assembly.taken_up",
         [](Showing& e) { e.run("UPDATE assemblies SET stage = 'in_work' WHERE serial = ?", e.text("serial")); }},
        {"assembly.passed", show_pass},
        {"tag.printing",
         [](Showing& e) {
             e.replace("tags", {"serial", "copy", "reason", "pdf_sha256", "file", "printer"});
             show_tag_state(e, "printing");
         }},
        {"tag.printed",
         [](Showing& e) {
             e.run("UPDATE tags SET job = ? WHERE serial = ? AND copy = ?", e.text("job"), e.text("serial"),
                   e.whole("copy"));
             show_tag_state(e, "printed");
         }},
        {"tag.failed",
         [](Showing& e) {
             e.run("UPDATE tags SET why_json = ? WHERE serial = ? AND copy = ?", e.json_text("why"), e.text("serial"),
                   e.whole("copy"));
             show_tag_state(e, "failed");
         }},
        {"tag.in_doubt", [](Showing& e) { show_tag_state(e, "in_doubt"); }},
        {"chart.limits_frozen", nothing},
        {"chart.limits_released", nothing},
        {"watch.set", nothing},
        {"drift.warned", nothing},
        {"shift.signed_off",
         [](Showing& e) {
             e.run(
                 "UPDATE shifts SET signed_off_seq = ?, signed_off = ?, signed_off_by = ?, remark = ?, upto_seq = ? "
                 "WHERE shift = ?",
                 e.seq(), e.time(), e.who(), e.text("remark"), e.whole("upto_seq"), e.text("shift"));
         }},
        {"study.planned", nothing},
        {"study.begun", nothing},
        {"study.left", nothing},
        {"study.measured", nothing},
        {"study.turn_voided", nothing},
        {"study.dropped", nothing},
        {"gauge.uncertainty_set",
         [](Showing& e) {
             e.run("UPDATE gauges SET uncertainty_nm = ? WHERE gauge = ?", e.whole("uncertainty_nm"), e.text("gauge"));
         }},
        {"sample.drawn", nothing},
        {"sample.begun", nothing},
        {"sample.left", nothing},
        {"sample.measured", nothing},
        {"sample.judged", nothing},
        {"tag.doubt_settled", [](Showing& e) { show_tag_state(e, e.yes("found") ? "printed" : "failed"); }},
    });
    return by_type;
}

}  // namespace

bool has_view(std::string_view type) {
    return shows().contains(type);
}

Result<void> project(Database& database, const Entry& entry) {
    if (auto body = entry_body(entry.type, entry.body); !body) {
        Message why = body.error();
        return refuse(std::move(why.with("entry", entry.type).with("seq", std::to_string(entry.seq))));
    }
    Showing showing(database, entry);
    const auto found = shows().find(entry.type);
    if (found == shows().end()) throw std::logic_error("project: nothing says how to show " + entry.type);
    found->second(showing);
    // A first tag goes with every pass; a copy is a reprint.
    const bool first_tag = entry.type == "tag.printing" && showing.whole("copy") == 0;
    if (!everyday(entry.type) && !first_tag)
        database.run("INSERT INTO happenings(seq, time, who, type) VALUES(?, ?, ?, ?)", entry.seq, entry.time,
                     entry.who, entry.type);
    const auto* serial = entry.body.if_contains("serial");
    if (serial != nullptr && serial->is_string())
        database.run("INSERT INTO serial_entries(serial, seq) SELECT serial, ? FROM assemblies WHERE serial = ?",
                     entry.seq, std::string(serial->get_string()));
    database.run("UPDATE views_shown SET last_seq = ?", entry.seq);
    return {};
}

}  // namespace crimpgate
