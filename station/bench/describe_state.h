// Descriptions of the bench's state for station/json/reflect.h: member for member, in the structs' own order. What is
// missing here is missing after a restart; tests/station/bench/state_json_test.cpp holds each against a folded one.
#pragma once

#include <boost/describe.hpp>

#include "station/bench/state.h"
#include "station/entries/describe_entries.h"

namespace crimpgate {

BOOST_DESCRIBE_ENUM(Stage, in_work, on_hold, to_be_taken_up, passed, scrapped)
BOOST_DESCRIBE_ENUM(TagState, none, printing, printed, failed, in_doubt)

BOOST_DESCRIBE_STRUCT(Measured, (), (value, uncertainty))
BOOST_DESCRIBE_STRUCT(PersonState, (),
                      (name, role, pin_hash, passphrase_hash, badge, language, retired, wrong_in_a_row))
BOOST_DESCRIBE_STRUCT(GaugeState, (),
                      (registered, connected, lost, needs_proof, proof_seq, valid_until_utc_ms, prover,
                       used_since_proof, measured_since_proof))
BOOST_DESCRIBE_STRUCT(OrderState, (), (order, passed, scrapped, open))
BOOST_DESCRIBE_STRUCT(StepRecord, (), (seq, what, flat, measured, seen, yes, verdict, side, gauge, who))
BOOST_DESCRIBE_STRUCT(EndState, (), (attempt, records, last_findings, conceded, voided_uncertain, crimped, done))
BOOST_DESCRIBE_STRUCT(HoldState, (), (seq, cause, end, gauge, gauge_error, reason, recrimp_possible, doubted))
BOOST_DESCRIBE_STRUCT(AssemblyState, (),
                      (started, started_seq, number, stage, ends, hold, rework, recrimps, concession_reference,
                       concession_by, measured_by, passed_seq, passed_utc_ms, passed_by, tag, tag_copy, tag_seq,
                       tag_made_seq, tag_file, tag_printer, proof_test, delivery))
BOOST_DESCRIBE_STRUCT(ProposalState, (), (table, by, utc_ms))
BOOST_DESCRIBE_STRUCT(LastSaid, (), (seq, utc_ms, taken, refused))
BOOST_DESCRIBE_STRUCT(ProofPending, (), (gauge, reference))
BOOST_DESCRIBE_STRUCT(LotsInUse, (), (order, hose, fitting_a, fitting_b))
BOOST_DESCRIBE_STRUCT(SetupWork, (), (key, records))
BOOST_DESCRIBE_STRUCT(EndMean, (), (seq, serial, end, mean, spread))
BOOST_DESCRIBE_STRUCT(StudyState, (), (plan, planned_by, measured, measured_by, dropped))
BOOST_DESCRIBE_STRUCT(SampleState, (), (drawn, drawn_by, measured, judged))
BOOST_DESCRIBE_STRUCT(KeyState, (), (name, key, tag_key, seq))
BOOST_DESCRIBE_STRUCT(LinkState, (), (made, revoked))
BOOST_DESCRIBE_STRUCT(ReturnState, (), (opened, opened_by, opened_utc_ms, answers, measured, concluded))
BOOST_DESCRIBE_STRUCT(RecordState, (),
                      (key, recovery_printed, witnesses, checkpoint_size, checkpoint_seq, checkpoint_utc_ms,
                       countersigned_size, certificates, deliveries, recalls, returns_opened, links, overridden,
                       returns, returned))
BOOST_DESCRIBE_STRUCT(BenchState, (),
                      (last_seq, last_utc_ms, people, gauges, references, rows, proposals, lines, printer, limits,
                       screen, orders, assemblies, person, shift, shifts_of_day, last_shift_date, clock_doubted, proof,
                       order, lots, mounted, settings, setups, setup_crimper, setup, last_setup, current, stopped,
                       serial_counter, last, watch, running, drifted, frozen, known_shifts, signed_off, studies, study,
                       samples, sample, record))

}  // namespace crimpgate
