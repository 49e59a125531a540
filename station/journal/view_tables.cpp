// The tables of views.h. Any change here gives every journal new views when it is next opened.
#include <algorithm>

#include "station/journal/views.h"

namespace crimpgate {
namespace {

constexpr const char* projection = "4";  // raise when project.cpp fills the same tables otherwise

const std::vector<View> all = {
    // Which entries speak of an assembly.
    {"serial_entries", R"sql(
CREATE TABLE serial_entries(
  serial TEXT NOT NULL, seq INTEGER NOT NULL,
  PRIMARY KEY(serial, seq)) STRICT, WITHOUT ROWID;)sql"},
    // PIN hashes stay in their entries: a table for search has no use for them.
    {"people", R"sql(
CREATE TABLE people(
  person TEXT PRIMARY KEY, name TEXT NOT NULL, role TEXT NOT NULL, badge TEXT, language TEXT,
  retired_yn INTEGER NOT NULL DEFAULT 0, retired_reason TEXT, seq INTEGER NOT NULL, time TEXT NOT NULL,
  who TEXT NOT NULL) STRICT;)sql"},
    {"gauges", R"sql(
CREATE TABLE gauges(
  gauge TEXT PRIMARY KEY, profile TEXT NOT NULL, profile_sha256 TEXT NOT NULL,
  resolution_nm INTEGER NOT NULL, uncertainty_nm INTEGER NOT NULL, proof_limit_nm INTEGER NOT NULL,
  calibrated TEXT NOT NULL, calibration_due TEXT NOT NULL, certificate TEXT NOT NULL,
  seq INTEGER NOT NULL, time TEXT NOT NULL, who TEXT NOT NULL, withdrawn_yn INTEGER NOT NULL DEFAULT 0, gone_yn INTEGER NOT NULL DEFAULT 0,
  needs_proof_yn INTEGER NOT NULL DEFAULT 1, proof_seq INTEGER, valid_until_utc_ms INTEGER, last_proof_seq INTEGER) STRICT;)sql"},
    {"gauge_references", R"sql(
CREATE TABLE gauge_references(
  reference TEXT PRIMARY KEY, kind TEXT NOT NULL, size_nm INTEGER NOT NULL, certificate TEXT NOT NULL,
  calibration_due TEXT NOT NULL, seq INTEGER NOT NULL, time TEXT NOT NULL, who TEXT NOT NULL) STRICT;)sql"},
    {"proofs", R"sql(
CREATE TABLE proofs(
  seq INTEGER PRIMARY KEY, time TEXT NOT NULL, who TEXT NOT NULL, gauge TEXT NOT NULL, reference TEXT NOT NULL,
  reading_seq INTEGER NOT NULL, size_nm INTEGER NOT NULL, value_nm INTEGER NOT NULL, error_nm INTEGER NOT NULL,
  limit_nm INTEGER NOT NULL, passed_yn INTEGER NOT NULL, valid_until_utc_ms INTEGER NOT NULL) STRICT;
CREATE INDEX proofs_by_gauge ON proofs(gauge, seq);)sql"},
    {"spec_tables", R"sql(
CREATE TABLE spec_tables(
  seq INTEGER PRIMARY KEY, time TEXT NOT NULL, who TEXT NOT NULL, "table" TEXT NOT NULL, file_sha256 TEXT NOT NULL, warnings_json TEXT NOT NULL) STRICT;)sql"},
    // Every row ever adopted; in force is the one adopted last under its id.
    {"spec_rows", R"sql(
CREATE TABLE spec_rows(
  spec_id TEXT NOT NULL, seq INTEGER NOT NULL, place INTEGER NOT NULL, revision TEXT NOT NULL,
  in_force_yn INTEGER NOT NULL, row_json TEXT NOT NULL,
  PRIMARY KEY(spec_id, seq, place)) STRICT, WITHOUT ROWID;)sql"},
    {"orders", R"sql(
CREATE TABLE orders(
  "order" TEXT PRIMARY KEY, seq INTEGER NOT NULL, time TEXT NOT NULL, who TEXT NOT NULL, customer TEXT NOT NULL,
  customer_part TEXT NOT NULL, quantity INTEGER NOT NULL, spec_a TEXT NOT NULL, spec_b TEXT NOT NULL,
  overall_length_nm INTEGER NOT NULL, length_rule TEXT NOT NULL, orientation_deg INTEGER,
  needed_pressure_kpa INTEGER, due TEXT NOT NULL, notes TEXT NOT NULL) STRICT;)sql"},
    {"order_lots", R"sql(
CREATE TABLE order_lots(
  "order" TEXT NOT NULL, part TEXT NOT NULL, place INTEGER NOT NULL, lot TEXT NOT NULL, made TEXT NOT NULL,
  PRIMARY KEY("order", part, place)) STRICT, WITHOUT ROWID;)sql"},
    {"shifts", R"sql(
CREATE TABLE shifts(
  shift TEXT PRIMARY KEY, date TEXT NOT NULL, number INTEGER NOT NULL, seq INTEGER NOT NULL, time TEXT NOT NULL,
  who TEXT NOT NULL, ended_seq INTEGER, ended TEXT, ended_by TEXT, signed_off_seq INTEGER, signed_off TEXT,
  signed_off_by TEXT, remark TEXT, upto_seq INTEGER) STRICT;)sql"},
    {"setups", R"sql(
CREATE TABLE setups(
  seq INTEGER PRIMARY KEY, time TEXT NOT NULL, who TEXT NOT NULL, "key" TEXT NOT NULL, spec_id TEXT NOT NULL,
  revision TEXT NOT NULL, crimper TEXT NOT NULL, die_set TEXT NOT NULL, hose_lot TEXT NOT NULL,
  readings_json TEXT NOT NULL, lower_nm INTEGER NOT NULL, upper_nm INTEGER NOT NULL, mean_nm INTEGER NOT NULL,
  correction_nm INTEGER NOT NULL, passed_yn INTEGER NOT NULL, mounting_seq INTEGER) STRICT;)sql"},
    // What the bench takes for a new mounting (station/bench/apply.cpp): the first die set of a shift on a crimper,
    // another one, another setting. A die set confirmed again as it was is none.
    {"mountings", R"sql(
CREATE TABLE mountings(
  seq INTEGER PRIMARY KEY, time TEXT NOT NULL, who TEXT NOT NULL, crimper TEXT NOT NULL, die_set TEXT NOT NULL,
  setting TEXT NOT NULL) STRICT;
CREATE INDEX mountings_by_crimper ON mountings(crimper, seq);)sql"},
    // The spec rows as they were stand in the assembly's own entry (seq).
    {"assemblies", R"sql(
CREATE TABLE assemblies(
  serial TEXT PRIMARY KEY, counter INTEGER NOT NULL, seq INTEGER NOT NULL, time TEXT NOT NULL, who TEXT NOT NULL,
  "order" TEXT NOT NULL, customer TEXT NOT NULL, customer_part TEXT NOT NULL,
  hose_lot TEXT NOT NULL, fitting_a_lot TEXT NOT NULL, fitting_b_lot TEXT NOT NULL, spec_a TEXT,
  revision_a TEXT, die_set_a TEXT, crimper_a TEXT, spec_b TEXT, revision_b TEXT, die_set_b TEXT, crimper_b TEXT,
  working_pressure_kpa INTEGER NOT NULL,
  overall_length_nm INTEGER NOT NULL, cut_length_nm INTEGER NOT NULL, length_rule TEXT NOT NULL,
  orientation_deg INTEGER, shift TEXT NOT NULL, stage TEXT NOT NULL DEFAULT 'in_work',
  quarantined_yn INTEGER NOT NULL DEFAULT 0, passed_seq INTEGER, passed TEXT, passed_by TEXT,
  concession_reference TEXT, recrimps INTEGER NOT NULL DEFAULT 0, delivery TEXT, delivered TEXT) STRICT;
CREATE INDEX assemblies_by_order ON assemblies("order", seq);
CREATE INDEX assemblies_by_shift ON assemblies(shift, seq);
CREATE INDEX assemblies_by_customer ON assemblies(customer, seq);
CREATE INDEX assemblies_by_delivery ON assemblies(delivery) WHERE delivery IS NOT NULL;
CREATE INDEX assemblies_by_hose_lot ON assemblies(hose_lot, seq);
CREATE INDEX assemblies_by_lot_a ON assemblies(fitting_a_lot, seq);
CREATE INDEX assemblies_by_lot_b ON assemblies(fitting_b_lot, seq);
CREATE INDEX assemblies_by_seq ON assemblies(seq);
CREATE INDEX assemblies_to_send ON assemblies(customer, seq) WHERE stage = 'passed' AND delivery IS NULL;)sql"},
    // Which assemblies a gauge measured ("gauge") or a person measured or confirmed ("person"), each once: for recalls,
    // where an index over every reading would be ten times as large.
    {"touched", R"sql(
CREATE TABLE touched(
  what TEXT NOT NULL, value TEXT NOT NULL, serial TEXT NOT NULL,
  PRIMARY KEY(what, value, serial)) STRICT, WITHOUT ROWID;)sql"},
    {"station_keys", R"sql(
CREATE TABLE station_keys(
  seq INTEGER PRIMARY KEY, time TEXT NOT NULL, who TEXT NOT NULL, name TEXT NOT NULL, key TEXT NOT NULL,
  tag_key TEXT NOT NULL, statement TEXT) STRICT;)sql"},
    {"witnesses", R"sql(
CREATE TABLE witnesses(
  key TEXT PRIMARY KEY, holder TEXT NOT NULL, seq INTEGER NOT NULL, time TEXT NOT NULL, who TEXT NOT NULL,
  forgotten_seq INTEGER) STRICT;)sql"},
    {"checkpoints", R"sql(
CREATE TABLE checkpoints(
  seq INTEGER PRIMARY KEY, time TEXT NOT NULL, who TEXT NOT NULL, size INTEGER NOT NULL, root TEXT NOT NULL,
  note TEXT NOT NULL, cause TEXT NOT NULL) STRICT;
CREATE INDEX checkpoints_by_size ON checkpoints(size);)sql"},
    {"countersignatures", R"sql(
CREATE TABLE countersignatures(
  seq INTEGER PRIMARY KEY, time TEXT NOT NULL, who TEXT NOT NULL, size INTEGER NOT NULL, key TEXT NOT NULL,
  line TEXT NOT NULL, signed_utc_s INTEGER NOT NULL) STRICT;
CREATE INDEX countersignatures_by_size ON countersignatures(size);)sql"},
    {"certificates", R"sql(
CREATE TABLE certificates(
  seq INTEGER PRIMARY KEY, time TEXT NOT NULL, who TEXT NOT NULL, certificate TEXT NOT NULL, subject TEXT NOT NULL,
  subject_id TEXT NOT NULL, customer TEXT NOT NULL, serials_json TEXT NOT NULL, statement TEXT NOT NULL,
  releaser TEXT NOT NULL, function TEXT NOT NULL, independent_yn INTEGER NOT NULL, paper TEXT NOT NULL,
  language TEXT NOT NULL, pdf_sha256 TEXT NOT NULL, evidence_sha256 TEXT NOT NULL,
  checkpoint_size INTEGER NOT NULL, link TEXT) STRICT;
CREATE UNIQUE INDEX certificates_by_number ON certificates(certificate);)sql"},
    {"certified", R"sql(
CREATE TABLE certified(
  serial TEXT NOT NULL, certificate TEXT NOT NULL,
  PRIMARY KEY(serial, certificate)) STRICT, WITHOUT ROWID;)sql"},
    {"deliveries", R"sql(
CREATE TABLE deliveries(
  seq INTEGER PRIMARY KEY, time TEXT NOT NULL, who TEXT NOT NULL, delivery TEXT NOT NULL, customer TEXT NOT NULL,
  note_number TEXT NOT NULL, date TEXT NOT NULL, "to" TEXT NOT NULL) STRICT;
CREATE UNIQUE INDEX deliveries_by_number ON deliveries(delivery);)sql"},
    {"links", R"sql(
CREATE TABLE links(
  link TEXT PRIMARY KEY, token_sha256 TEXT NOT NULL UNIQUE, customer TEXT NOT NULL, delivery TEXT NOT NULL,
  valid_until TEXT NOT NULL, opens_by_tag_yn INTEGER, certificate TEXT, seq INTEGER NOT NULL, time TEXT NOT NULL,
  who TEXT NOT NULL, revoked_seq INTEGER, revoke_reason TEXT) STRICT;)sql"},
    {"looks", R"sql(
CREATE TABLE looks(
  seq INTEGER PRIMARY KEY, time TEXT NOT NULL, who TEXT NOT NULL, link TEXT NOT NULL, what TEXT NOT NULL,
  subject TEXT NOT NULL, by_tag TEXT) STRICT;
CREATE INDEX looks_by_link ON looks(link, seq);)sql"},
    {"recalls", R"sql(
CREATE TABLE recalls(
  seq INTEGER PRIMARY KEY, time TEXT NOT NULL, who TEXT NOT NULL, recall TEXT NOT NULL, reason TEXT NOT NULL,
  criteria_json TEXT NOT NULL, from_utc_ms INTEGER, to_utc_ms INTEGER, upto_seq INTEGER NOT NULL,
  assemblies INTEGER NOT NULL, delivered INTEGER NOT NULL, customers_json TEXT NOT NULL,
  list_sha256 TEXT NOT NULL) STRICT;)sql"},
    {"proof_tests", R"sql(
CREATE TABLE proof_tests(
  seq INTEGER PRIMARY KEY, time TEXT NOT NULL, who TEXT NOT NULL, serial TEXT NOT NULL, asked_json TEXT NOT NULL,
  reached_kpa INTEGER NOT NULL, held_s INTEGER NOT NULL, medium TEXT NOT NULL, seen TEXT NOT NULL,
  manometer TEXT NOT NULL, passed_yn INTEGER NOT NULL) STRICT;
CREATE INDEX proof_tests_by_serial ON proof_tests(serial, seq);)sql"},
    {"overrides", R"sql(
CREATE TABLE overrides(
  seq INTEGER PRIMARY KEY, time TEXT NOT NULL, who TEXT NOT NULL, "order" TEXT NOT NULL, findings_json TEXT NOT NULL,
  reason TEXT NOT NULL) STRICT;
CREATE INDEX overrides_by_order ON overrides("order", seq);)sql"},
    {"returns", R"sql(
CREATE TABLE returns(
  "return" TEXT PRIMARY KEY, serial TEXT NOT NULL, customer TEXT NOT NULL, received TEXT NOT NULL,
  reported TEXT NOT NULL, someone_hurt_yn INTEGER NOT NULL, read_off_json TEXT NOT NULL, seq INTEGER NOT NULL,
  time TEXT NOT NULL, who TEXT NOT NULL, concluded_seq INTEGER, cause TEXT) STRICT;
CREATE INDEX returns_by_serial ON returns(serial);)sql"},
    {"return_answers", R"sql(
CREATE TABLE return_answers(
  seq INTEGER PRIMARY KEY, time TEXT NOT NULL, who TEXT NOT NULL, "return" TEXT NOT NULL, question TEXT NOT NULL,
  answer TEXT NOT NULL, text TEXT NOT NULL) STRICT;
CREATE INDEX return_answers_by_return ON return_answers("return", seq);)sql"},
    {"return_readings", R"sql(
CREATE TABLE return_readings(
  seq INTEGER PRIMARY KEY, time TEXT NOT NULL, who TEXT NOT NULL, "return" TEXT NOT NULL, "end" TEXT NOT NULL,
  what TEXT NOT NULL, flat INTEGER NOT NULL, gauge TEXT NOT NULL, proof_seq INTEGER NOT NULL,
  value_nm INTEGER NOT NULL, unit TEXT NOT NULL, resolution_nm INTEGER NOT NULL, uncertainty_nm INTEGER NOT NULL,
  raw_hex TEXT NOT NULL, arrived_utc_ms INTEGER NOT NULL) STRICT;
CREATE INDEX return_readings_by_return ON return_readings("return", seq);)sql"},
    {"readings", R"sql(
CREATE TABLE readings(
  seq INTEGER PRIMARY KEY, time TEXT NOT NULL, who TEXT NOT NULL, purpose TEXT NOT NULL, serial TEXT NOT NULL,
  "end" TEXT, what TEXT, flat INTEGER NOT NULL, attempt INTEGER NOT NULL, gauge TEXT NOT NULL,
  proof_seq INTEGER NOT NULL, value_nm INTEGER NOT NULL, unit TEXT NOT NULL, resolution_nm INTEGER NOT NULL,
  raw_hex TEXT NOT NULL, arrived_utc_ms INTEGER NOT NULL, lower_nm INTEGER, upper_nm INTEGER, guard_nm INTEGER,
  uncertainty_nm INTEGER, verdict TEXT, side TEXT, voided_seq INTEGER, void_reason TEXT) STRICT;
CREATE INDEX readings_by_serial ON readings(serial, seq);
CREATE INDEX readings_by_gauge ON readings(gauge, seq);)sql"},
    {"confirmations", R"sql(
CREATE TABLE confirmations(
  seq INTEGER PRIMARY KEY, time TEXT NOT NULL, who TEXT NOT NULL, serial TEXT NOT NULL, "end" TEXT NOT NULL,
  what TEXT NOT NULL, attempt INTEGER NOT NULL, seen TEXT, yes_yn INTEGER, verdict TEXT NOT NULL,
  voided_seq INTEGER, void_reason TEXT) STRICT;
CREATE INDEX confirmations_by_serial ON confirmations(serial, seq);)sql"},
    {"ends_judged", R"sql(
CREATE TABLE ends_judged(
  seq INTEGER PRIMARY KEY, time TEXT NOT NULL, who TEXT NOT NULL, serial TEXT NOT NULL, "end" TEXT NOT NULL,
  attempt INTEGER NOT NULL, verdict TEXT NOT NULL, mean_nm INTEGER, spread_nm INTEGER, conformity_ppm INTEGER NOT NULL,
  recrimp_possible_yn INTEGER NOT NULL, findings_json TEXT NOT NULL, missing_json TEXT NOT NULL) STRICT;
CREATE INDEX ends_judged_by_serial ON ends_judged(serial, seq);)sql"},
    {"refusals", R"sql(
CREATE TABLE refusals(
  seq INTEGER PRIMARY KEY, time TEXT NOT NULL, who TEXT NOT NULL, gauge TEXT NOT NULL, why_json TEXT NOT NULL, raw_hex TEXT NOT NULL,
  arrived_utc_ms INTEGER NOT NULL, serial TEXT NOT NULL) STRICT;)sql"},
    {"holds", R"sql(
CREATE TABLE holds(
  seq INTEGER PRIMARY KEY, time TEXT NOT NULL, who TEXT NOT NULL, serial TEXT NOT NULL, cause TEXT NOT NULL,
  "end" TEXT, gauge TEXT NOT NULL, gauge_error_nm INTEGER NOT NULL, reason TEXT NOT NULL, made_by TEXT NOT NULL,
  recrimp_possible_yn INTEGER NOT NULL, settled_seq INTEGER, settled TEXT, settled_by TEXT, how TEXT,
  settle_reason TEXT, customer_reference TEXT) STRICT;
CREATE INDEX holds_open ON holds(seq) WHERE settled_seq IS NULL;
CREATE INDEX holds_by_serial ON holds(serial, seq);)sql"},
    {"tags", R"sql(
CREATE TABLE tags(
  serial TEXT NOT NULL, copy INTEGER NOT NULL, seq INTEGER NOT NULL, time TEXT NOT NULL, who TEXT NOT NULL,
  reason TEXT NOT NULL, pdf_sha256 TEXT NOT NULL, file TEXT NOT NULL, printer TEXT NOT NULL, state TEXT, state_seq INTEGER, job TEXT, why_json TEXT,
  PRIMARY KEY(serial, copy)) STRICT, WITHOUT ROWID;
CREATE INDEX tags_under_way ON tags(state) WHERE state IN ('printing', 'in_doubt');)sql"},
    // Every entry that is not the everyday run of the work: overrides, devices, clocks, people, set-ups, settings.
    {"happenings", R"sql(
CREATE TABLE happenings(
  seq INTEGER PRIMARY KEY, time TEXT NOT NULL, who TEXT NOT NULL, type TEXT NOT NULL) STRICT;
CREATE INDEX happenings_by_type ON happenings(type, seq);)sql"},
    // One row: the number of the last entry that the views show.
    {"views_shown", R"sql(
CREATE TABLE views_shown(id INTEGER PRIMARY KEY CHECK(id = 1), last_seq INTEGER NOT NULL) STRICT;
INSERT INTO views_shown(id, last_seq) VALUES(1, 0);)sql"},
};

}  // namespace

const std::vector<View>& views() {
    return all;
}

std::string views_version() {
    std::string definition = projection;
    for (const View& view : all)
        definition += view.create;
    return to_hex(leaf_hash(definition));
}

void create_views(Database& database) {
    for (const View& view : all)
        database.exec(view.create);
}

std::string view_names() {
    std::string names;
    for (const View& view : all) {
        if (!names.empty()) names += ' ';
        names += view.name;
    }
    return names;
}

void drop_views(Database& database, std::string_view names) {
    while (!names.empty()) {
        const auto name = names.substr(0, names.find(' '));
        names.remove_prefix(std::min(name.size() + 1, names.size()));
        database.exec("DROP TABLE IF EXISTS \"" + std::string(name) + "\"");
    }
}

}  // namespace crimpgate
