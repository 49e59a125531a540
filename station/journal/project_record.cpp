// How the entries of the record that leaves the house show in the views.
#include "station/journal/showing.h"

namespace crimpgate {
namespace {

void show_delivery(Showing& e) {
    e.insert("deliveries", {"delivery", "customer", "note_number", "date", "to"});
    for (const auto& serial : e.list("serials")) {
        const std::string text(serial.as_string());
        e.run("UPDATE assemblies SET delivery = ?, delivered = ? WHERE serial = ?", e.text("delivery"), e.text("date"),
              text);
        e.run("INSERT OR IGNORE INTO serial_entries(serial, seq) SELECT serial, ? FROM assemblies WHERE serial = ?",
              e.seq(), text);
    }
}

void show_taken_back(Showing& e) {
    for (const auto& serial : e.list("serials")) {
        const std::string text(serial.as_string());
        e.run("UPDATE assemblies SET delivery = NULL, delivered = NULL WHERE serial = ? AND delivery = ?", text,
              e.text("delivery"));
        e.run("INSERT OR IGNORE INTO serial_entries(serial, seq) SELECT serial, ? FROM assemblies WHERE serial = ?",
              e.seq(), text);
    }
}

void show_certificate(Showing& e) {
    e.insert("certificates",
             {"certificate", "subject", "subject_id", "customer", "serials_json", "statement", "releaser", "function",
              "independent_yn", "paper", "language", "pdf_sha256", "evidence_sha256", "checkpoint_size", "link"});
    for (const auto& serial : e.list("serials"))
        e.run("INSERT INTO certified(serial, certificate) VALUES(?, ?)", std::string(serial.as_string()),
              e.text("certificate"));
}

}  // namespace

std::map<std::string_view, Show> with_record_shows(std::map<std::string_view, Show> shows) {
    const auto nothing = [](Showing&) {};
    const auto key = [](Showing& e) { e.insert("station_keys", {"name", "key", "tag_key", "statement"}); };
    const std::map<std::string_view, Show> more = {
        {"key.made", key},
        {"key.handed_over", key},
        {"key.recovery_printed", nothing},
        {"witness.known",
         [](Showing& e) {
             e.replace("witnesses", {"key", "holder"});
         }},
        {"witness.forgotten",
         [](Showing& e) { e.run("UPDATE witnesses SET forgotten_seq = ? WHERE key = ?", e.seq(), e.text("key")); }},
        {"checkpoint.signed",
         [](Showing& e) {
             e.insert("checkpoints", {"size", "root", "note", "cause"});
         }},
        {"checkpoint.countersigned",
         [](Showing& e) {
             e.insert("countersignatures", {"size", "key", "line", "signed_utc_s"});
         }},
        {"certificate.issued", show_certificate},
        {"delivery.sent", show_delivery},
        {"delivery.taken_back", show_taken_back},
        {"link.made",
         [](Showing& e) {
             e.insert("links", {"link", "token_sha256", "customer", "delivery", "valid_until", "opens_by_tag_yn",
                                "certificate"});
         }},
        {"link.revoked",
         [](Showing& e) {
             e.run("UPDATE links SET revoked_seq = ?, revoke_reason = ? WHERE link = ?", e.seq(), e.text("reason"),
                   e.text("link"));
         }},
        {"link.looked",
         [](Showing& e) {
             e.insert("looks", {"link", "what", "subject", "by_tag"});
         }},
        {"recall.drawn",
         [](Showing& e) {
             e.insert("recalls", {"recall", "reason", "criteria_json", "from_utc_ms", "to_utc_ms", "upto_seq",
                                  "assemblies", "delivered", "customers_json", "list_sha256"});
         }},
        {"assembly.proof_tested",
         [](Showing& e) {
             e.insert("proof_tests",
                      {"serial", "asked_json", "reached_kpa", "held_s", "medium", "seen", "manometer", "passed_yn"});
         }},
        {"application.overridden",
         [](Showing& e) {
             e.insert("overrides", {"order", "findings_json", "reason"});
         }},
        {"return.opened",
         [](Showing& e) {
             e.insert("returns",
                      {"return", "serial", "customer", "received", "reported", "someone_hurt_yn", "read_off_json"});
         }},
        {"return.answered",
         [](Showing& e) {
             e.insert("return_answers", {"return", "question", "answer", "text"});
         }},
        {"return.begun", nothing},
        {"return.left", nothing},
        {"return.measured",
         [](Showing& e) {
             e.insert("return_readings", {"return", "end", "what", "flat", "gauge", "proof_seq", "value_nm", "unit",
                                          "resolution_nm", "uncertainty_nm", "raw_hex", "arrived_utc_ms"});
         }},
        {"return.concluded",
         [](Showing& e) {
             e.run("UPDATE returns SET concluded_seq = ?, cause = ? WHERE \"return\" = ?", e.seq(), e.text("cause"),
                   e.text("return"));
         }},
        {"return.reopened",
         [](Showing& e) {
             e.run("UPDATE returns SET concluded_seq = NULL, cause = NULL WHERE \"return\" = ?", e.text("return"));
         }},
    };
    shows.insert(more.begin(), more.end());
    return shows;
}

}  // namespace crimpgate
