// Descriptions of the entry types for station/json/reflect.h: member for member, in the structs' own order.
#pragma once

#include <boost/describe.hpp>

#include "station/entries/describe_record.h"
#include "station/entries/entries.h"
#include "station/json/describe_specs.h"

namespace crimpgate {

BOOST_DESCRIBE_ENUM(Role, operator_, lead, setter, auditor)
BOOST_DESCRIBE_ENUM(Secret, pin, passphrase)
BOOST_DESCRIBE_ENUM(ShownUnit, mm, inch)
BOOST_DESCRIBE_ENUM(End, a, b)
BOOST_DESCRIBE_ENUM(Purpose, assembly, setup, proof)
BOOST_DESCRIBE_ENUM(HoldCause, failed, uncertain, suspect, person, overturned, proof_test)
BOOST_DESCRIBE_ENUM(ChartOf, means, spreads)
BOOST_DESCRIBE_ENUM(StudyKind, type1, repeatability, linearity)
BOOST_DESCRIBE_ENUM(Settlement, recrimp, scrap, remeasure, concession)

namespace entries {

BOOST_DESCRIBE_STRUCT(StationStarted, (), (version, configuration_sha256, time_zone))
BOOST_DESCRIBE_STRUCT(StationStopped, (), (cause))
BOOST_DESCRIBE_STRUCT(ClockStepped, (), (expected_utc_ms, found_utc_ms, stops_line))
BOOST_DESCRIBE_STRUCT(ClockAccepted, (), (utc_ms))
BOOST_DESCRIBE_STRUCT(PersonAdded, (), (person, name, role, pin_hash, passphrase_hash, badge, language))
BOOST_DESCRIBE_STRUCT(SignedIn, (), (person))
BOOST_DESCRIBE_STRUCT(SignedOut, (), (person, cause))
BOOST_DESCRIBE_STRUCT(SignInRefused, (), (person))
BOOST_DESCRIBE_STRUCT(SecretSet, (), (person, secret, secret_hash))
BOOST_DESCRIBE_STRUCT(RoleGiven, (), (person, role))
BOOST_DESCRIBE_STRUCT(BadgeGiven, (), (person, badge))
BOOST_DESCRIBE_STRUCT(PersonRetired, (), (person, reason))
BOOST_DESCRIBE_STRUCT(LanguageChosen, (), (person, language))
BOOST_DESCRIBE_STRUCT(SessionBegun, (), (person, secret, from_here))
BOOST_DESCRIBE_STRUCT(SessionEnded, (), (person))
BOOST_DESCRIBE_STRUCT(GaugeLineSet, (), (gauge, port, profile, profile_sha256))
BOOST_DESCRIBE_STRUCT(PrinterChosen, (), (printer, size, dpi))
BOOST_DESCRIBE_STRUCT(ScreenSet, (), (um_per_pixel, sound))
BOOST_DESCRIBE_STRUCT(LimitsSet, (),
                      (proof_interval_min, repeats_allowed, prove_after_reconnect, own_hold_may_be_settled,
                       hose_age_years, sign_out_after_min, simple_acceptance_allowed, scrap_by_operator,
                       concession_needs_second, shown_unit))
BOOST_DESCRIBE_STRUCT(GaugeRegistered, (),
                      (gauge, profile, profile_sha256, resolution, uncertainty, proof_limit, calibrated,
                       calibration_due, certificate))
BOOST_DESCRIBE_STRUCT(ReferenceRegistered, (), (reference, kind, size, certificate, calibration_due))
BOOST_DESCRIBE_STRUCT(ProofBegun, (), (gauge, reference))
BOOST_DESCRIBE_STRUCT(GaugeProved, (),
                      (gauge, reference, reading_seq, size, value, error, limit, passed, valid_until_utc_ms))
BOOST_DESCRIBE_STRUCT(GaugeWithdrawn, (), (gauge, reason))
BOOST_DESCRIBE_STRUCT(GaugeLost, (), (gauge, why))
BOOST_DESCRIBE_STRUCT(GaugeBack, (), (gauge, needs_proof))
BOOST_DESCRIBE_STRUCT(TableAdopted, (), (table, file_sha256, rows, warnings, proposed_seq, proposed_by))
BOOST_DESCRIBE_STRUCT(TableProposed, (), (table, file_sha256, rows, warnings))
BOOST_DESCRIBE_STRUCT(ProposalDropped, (), (proposed_seq, reason))
BOOST_DESCRIBE_STRUCT(LotIssued, (), (lot, made))
BOOST_DESCRIBE_STRUCT(OrderOpened, (),
                      (order, customer, customer_part, quantity, spec_a, spec_b, overall_length, length_rule,
                       orientation_deg, orientation_rule, hose_lots, fitting_a_lots, fitting_b_lots, needed_pressure,
                       due, notes, application, application_findings, proof_test))
BOOST_DESCRIBE_STRUCT(ShiftStarted, (), (shift, date, number))
BOOST_DESCRIBE_STRUCT(ShiftEnded, (), (shift))
BOOST_DESCRIBE_STRUCT(OrderTaken, (), (order))
BOOST_DESCRIBE_STRUCT(LotsConfirmed, (), (order, hose_lot, fitting_a_lot, fitting_b_lot))
BOOST_DESCRIBE_STRUCT(DieConfirmed, (), (die_set, crimper, setting))
BOOST_DESCRIBE_STRUCT(SetupReading, (), (flat, value))
BOOST_DESCRIBE_STRUCT(SetupJudged, (),
                      (key, spec_id, revision, crimper, die_set, hose_lot, readings, lower, upper, mean, correction,
                       passed))
BOOST_DESCRIBE_STRUCT(AssemblyStarted, (),
                      (serial, counter, order, customer, customer_part, hose_lot, fitting_a_lot, fitting_b_lot, row_a,
                       row_b, working_pressure, overall_length, cut_length, length_rule, orientation_deg,
                       orientation_rule, shift, proof_test))
BOOST_DESCRIBE_STRUCT(ReadingTaken, (),
                      (purpose, serial, end, what, flat, attempt, gauge, proof_seq, value, unit, resolution, raw_hex,
                       arrived_utc_ms, lower, upper, guard, uncertainty, verdict, side))
BOOST_DESCRIBE_STRUCT(ReadingRefused, (), (gauge, why, raw_hex, arrived_utc_ms, serial))
BOOST_DESCRIBE_STRUCT(ReadingVoided, (), (serial, end, what, flat, voided_seq, reason))
BOOST_DESCRIBE_STRUCT(StepConfirmed, (), (serial, end, what, attempt, seen, yes, verdict))
BOOST_DESCRIBE_STRUCT(EndJudged, (),
                      (serial, end, attempt, verdict, findings, missing, mean, spread, conformity_ppm,
                       recrimp_possible))
BOOST_DESCRIBE_STRUCT(AssemblyHeld, (), (serial, cause, end, gauge, gauge_error, reason, made_by, recrimp_possible))
BOOST_DESCRIBE_STRUCT(PartQuarantined, (), (serial))
BOOST_DESCRIBE_STRUCT(HoldSettled, (), (serial, how, reason, customer_reference, held_seq, second))
BOOST_DESCRIBE_STRUCT(AssemblyTakenUp, (), (serial))
BOOST_DESCRIBE_STRUCT(AssemblyPassed, (), (serial, order, concession_reference, recrimps))
BOOST_DESCRIBE_STRUCT(TagPrinting, (), (serial, copy, reason, pdf_sha256, file, printer))
BOOST_DESCRIBE_STRUCT(TagPrinted, (), (serial, copy, job))
BOOST_DESCRIBE_STRUCT(TagFailed, (), (serial, copy, why))
BOOST_DESCRIBE_STRUCT(TagInDoubt, (), (serial, copy))
BOOST_DESCRIBE_STRUCT(TagDoubtSettled, (), (serial, copy, found))

BOOST_DESCRIBE_STRUCT(LimitsFrozen, (),
                      (stream, chart, from_seq, to_seq, left_out, points, centre, lower, upper, sigma, reason))
BOOST_DESCRIBE_STRUCT(LimitsReleased, (), (stream, chart, reason))
BOOST_DESCRIBE_STRUCT(WatchSet, (), (on, points, rules, weight_permille, share_ppm))
BOOST_DESCRIBE_STRUCT(DriftSignal, (), (rule, seqs))
BOOST_DESCRIBE_STRUCT(DriftWarned, (),
                      (key, spec_id, revision, crimper, die_set, hose_lot, signals, points, level, sigma, correction,
                       share_ppm, share_limit_ppm))
BOOST_DESCRIBE_STRUCT(ShiftSignedOff, (), (shift, remark, upto_seq))
BOOST_DESCRIBE_STRUCT(StudyPiece, (), (piece, size))
BOOST_DESCRIBE_STRUCT(StudyTurn, (), (person, piece, trial))
BOOST_DESCRIBE_STRUCT(StudyPlanned, (), (study, kind, gauge, pieces, people, trials, lower, upper, seed, turns))
BOOST_DESCRIBE_STRUCT(StudyBegun, (), (study))
BOOST_DESCRIBE_STRUCT(StudyLeft, (), (study))
BOOST_DESCRIBE_STRUCT(StudyMeasured, (),
                      (study, turn, piece, trial, gauge, proof_seq, value, unit, resolution, raw_hex, arrived_utc_ms))
BOOST_DESCRIBE_STRUCT(StudyTurnVoided, (), (study, turn, reason))
BOOST_DESCRIBE_STRUCT(StudyDropped, (), (study, reason))
BOOST_DESCRIBE_STRUCT(BudgetPart, (), (part, standard))
BOOST_DESCRIBE_STRUCT(UncertaintySet, (),
                      (gauge, uncertainty, before, study, parts, expanded, coverage_permille, degrees_of_freedom,
                       reason))
BOOST_DESCRIBE_STRUCT(SampleDrawn, (),
                      (sample, shift, plan, level, severity, quality_ppm, confidence_permille, lot_size, accept, reject,
                       seed, serials))
BOOST_DESCRIBE_STRUCT(SampleBegun, (), (sample))
BOOST_DESCRIBE_STRUCT(SampleLeft, (), (sample))
BOOST_DESCRIBE_STRUCT(SampleMeasured, (),
                      (sample, serial, end, flat, gauge, proof_seq, value, unit, resolution, raw_hex, arrived_utc_ms,
                       lower, upper, guard, uncertainty, verdict, first_seq, first_gauge, first_value, first_verdict))
BOOST_DESCRIBE_STRUCT(SampleJudged, (),
                      (sample, compared, overturned, accepted, mean_difference, sd, lower_agreement, upper_agreement))

}  // namespace entries
}  // namespace crimpgate
