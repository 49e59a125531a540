// Descriptions of record_entries.h for station/json/reflect.h: member for member, in the structs' own order.
#pragma once

#include <boost/describe.hpp>

#include "station/entries/record_entries.h"

namespace crimpgate {

BOOST_DESCRIBE_ENUM(Looked, overview, record, certificate, evidence, list, events)

namespace entries {

BOOST_DESCRIBE_STRUCT(KeyMade, (), (name, key, tag_key))
BOOST_DESCRIBE_STRUCT(KeyHandedOver, (), (name, old_key, key, tag_key, statement, reason))
BOOST_DESCRIBE_STRUCT(RecoveryPrinted, (), (key))
BOOST_DESCRIBE_STRUCT(WitnessKnown, (), (key, holder))
BOOST_DESCRIBE_STRUCT(WitnessForgotten, (), (key, reason))
BOOST_DESCRIBE_STRUCT(CheckpointSigned, (), (size, root, note, cause))
BOOST_DESCRIBE_STRUCT(CheckpointCountersigned, (), (size, key, line, signed_utc_s))
BOOST_DESCRIBE_STRUCT(CertificateIssued, (),
                      (certificate, subject, subject_id, customer, serials, statement, releaser, function, independent,
                       paper, language, pdf_sha256, evidence_sha256, checkpoint_size, link))
BOOST_DESCRIBE_STRUCT(DeliverySent, (), (delivery, customer, note_number, date, to, serials))
BOOST_DESCRIBE_STRUCT(DeliveryTakenBack, (), (delivery, serials, reason))
BOOST_DESCRIBE_STRUCT(LinkMade, (), (link, token_sha256, customer, delivery, valid_until, opens_by_tag, certificate))
BOOST_DESCRIBE_STRUCT(LinkRevoked, (), (link, reason))
BOOST_DESCRIBE_STRUCT(LinkLooked, (), (link, what, subject, by_tag))
BOOST_DESCRIBE_STRUCT(RecallCriterion, (), (what, value))
BOOST_DESCRIBE_STRUCT(RecallDrawn, (),
                      (recall, reason, criteria, from_utc_ms, to_utc_ms, upto_seq, assemblies, delivered, customers,
                       list_sha256))
BOOST_DESCRIBE_STRUCT(ProofTestAsked, (), (pressure, hold_s, medium))
BOOST_DESCRIBE_STRUCT(ProofTested, (), (serial, asked, reached, held_s, medium, seen, manometer, passed))
BOOST_DESCRIBE_STRUCT(ApplicationOverridden, (), (order, findings, reason))
BOOST_DESCRIBE_STRUCT(ReadOff, (), (what, value))
BOOST_DESCRIBE_STRUCT(ReturnOpened, (), (return_, serial, customer, received, reported, someone_hurt, read_off))
BOOST_DESCRIBE_STRUCT(ReturnAnswered, (), (return_, question, answer, text))
BOOST_DESCRIBE_STRUCT(ReturnBegun, (), (return_))
BOOST_DESCRIBE_STRUCT(ReturnLeft, (), (return_))
BOOST_DESCRIBE_STRUCT(ReturnMeasured, (),
                      (return_, end, what, flat, gauge, proof_seq, value, unit, resolution, uncertainty, raw_hex,
                       arrived_utc_ms))
BOOST_DESCRIBE_STRUCT(RankedCause, (), (mode, weight))
BOOST_DESCRIBE_STRUCT(ReturnConcluded, (), (return_, ranking, cause, remark, bench_action, application_action))
BOOST_DESCRIBE_STRUCT(ReturnReopened, (), (return_, reason))

}  // namespace entries
}  // namespace crimpgate
