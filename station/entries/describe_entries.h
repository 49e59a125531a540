// Descriptions of the entry types for station/json/reflect.h: member for member, in the structs' own order.
#pragma once

#include <boost/describe.hpp>

#include "station/entries/entries.h"
#include "station/json/describe_specs.h"

namespace crimpgate {

BOOST_DESCRIBE_ENUM(Role, operator_, lead, setter, auditor)
BOOST_DESCRIBE_ENUM(Secret, pin, passphrase)
BOOST_DESCRIBE_ENUM(ShownUnit, mm, inch)
BOOST_DESCRIBE_ENUM(End, a, b)
BOOST_DESCRIBE_ENUM(Purpose, assembly, setup, proof)
BOOST_DESCRIBE_ENUM(HoldCause, failed, uncertain, suspect, person)
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
                       due, notes))
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
                       orientation_rule, shift))
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

}  // namespace entries
}  // namespace crimpgate
