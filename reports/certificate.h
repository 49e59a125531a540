// The certificate that goes with assemblies to a customer: one serial, an order or a delivery.
//
// Plain values in, bytes out; it prints what it is given and judges nothing. What it says follows ISO/IEC 17050-1
// clause 6.1 (a unique number, issuer and address, object, statement, requirements, date and place, releaser with name
// and function, limitations) and, in its manner, EN 10204:2004. That standard is for metallic products and its type 3.1
// asks for a releaser who is independent of production, so no type is ever claimed: "in the manner of". A concession
// stands in a frame on the first page, the cautions too (R13), and what the paper can be held against: the hash of the
// attached record, the entry's place in the log, the log's size and root.
//
// Verdicts, limits, guards and spec rows are those of the record at the time (R5, R6). Lengths are exact; they are
// rounded here, for show alone.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "reports/audit/shown_cell.h"
#include "reports/fonts.h"
#include "reports/paper.h"
#include "reports/pdf_attachment.h"
#include "specs/judgement.h"
#include "specs/spec_row.h"

namespace crimpgate {

enum class CertificateStatement { declaration, manner_2_2, manner_3_1 };

// "declaration", "manner_2_2", "manner_3_1"; nothing for any other word.
std::optional<CertificateStatement> certificate_statement(std::string_view word);
std::string_view word_of(CertificateStatement statement);

// A reading or a confirmation that counts, or the spread that was reckoned from readings (which has no gauge).
struct CertificateReading {
    Characteristic what = Characteristic::depth;
    std::int64_t flat = 0;
    std::optional<Length> value, lower, upper, guard, uncertainty;  // uncertainty: standard, k = 1
    std::optional<Length> margin;                                   // inside the nearest limit; negative: outside
    Length resolution;
    std::optional<MarkSeen> seen;
    std::optional<bool> yes;
    Verdict verdict = Verdict::conforms;
    bool conceded = false;
    std::string gauge;
    std::int64_t gauge_seq = 0;  // its registration in force then, among CertificateData::gauges
    std::int64_t proof_seq = 0;  // the good proof that it stood on, among CertificateData::proofs
    std::string person;          // who measured, as printed
    std::int64_t at_ms = 0;      // UTC
    std::int64_t seq = 0;        // its entry; 0 for the spread
    bool operator==(const CertificateReading&) const = default;
};

struct CertificateEnd {
    std::string fitting_lot;
    std::int64_t attempt = 1;  // 2 after the first re-crimp
    std::optional<Length> mean;
    std::vector<CertificateReading> readings;  // in the order of the work
    bool operator==(const CertificateEnd&) const = default;
};

// What was let through by a lead though it did not conform.
struct CertificateConcession {
    std::string reason;
    std::string reference;  // the customer's
    std::string by, second;
    std::int64_t at_ms = 0;
    std::int64_t seq = 0;
    bool operator==(const CertificateConcession&) const = default;
};

struct CertificateRecrimp {
    std::string by, reason;
    std::int64_t at_ms = 0;
    bool operator==(const CertificateRecrimp&) const = default;
};

struct CertificateProofTest {
    Pressure asked, reached;
    std::int64_t asked_s = 0, held_s = 0;
    std::string medium, seen, manometer, by;
    bool passed = false;
    std::int64_t at_ms = 0;
    bool operator==(const CertificateProofTest&) const = default;
};

struct CertificateAssembly {
    std::string serial;
    std::size_t item = 0;  // among CertificateData::items
    CertificateEnd ends[2];
    std::vector<CertificateConcession> concessions;  // those that it passed on; none: conforms in everything
    std::string concession_reference;
    std::vector<CertificateRecrimp> recrimps;
    std::vector<CertificateProofTest> proof_tests;
    std::string passed_by;
    std::int64_t passed_ms = 0, passed_seq = 0;
    bool clock_unsynced = false;  // some of its entries have times without a time server behind them
    bool on_concession() const { return !concession_reference.empty(); }
    bool operator==(const CertificateAssembly&) const = default;
};

// What assemblies are made to: those that are alike in all of this stand under one item.
struct CertificateItem {
    std::string order, customer_part;
    SpecRow row_a, row_b;  // as they were (R6)
    std::string hose_lot, hose_made, fitting_a_lot, fitting_b_lot;
    Pressure working_pressure;
    Length overall_length, cut_length;
    std::optional<Toleranced> length_band;  // by the rule; none where the rule does not say
    std::string length_rule;
    std::optional<std::int64_t> orientation_deg;
    std::string orientation_rule;
    std::optional<Pressure> needed_pressure;
    bool operator==(const CertificateItem&) const = default;
};

struct CertificateGauge {
    std::int64_t seq = 0;
    std::string gauge;
    Length resolution;
    std::string calibrated, due, certificate;
    bool operator==(const CertificateGauge&) const = default;
};

struct CertificateProof {
    std::int64_t seq = 0;
    std::int64_t at_ms = 0;
    std::string gauge, reference, reference_certificate, reference_due;
    Length size, value, error, limit;
    bool operator==(const CertificateProof&) const = default;
};

// What the application check of an order said: information, the machine's designer decides.
struct CertificateApplication {
    std::string order;
    struct Finding {
        Message what;
        std::string severity, source, confidence;
        bool operator==(const Finding&) const = default;
    };
    std::vector<Finding> findings;
    std::string overridden_by, override_reason;
    bool operator==(const CertificateApplication&) const = default;
};

// The customer's page of the delivery that the paper is about, printed as text and as a code.
struct CertificateLink {
    std::string address;      // printable ASCII
    std::string valid_until;  // ISO date, the last day; empty: until it is taken back
    bool operator==(const CertificateLink&) const = default;
};

struct CertificateData {
    std::string number;  // "CF-12"
    CertificateStatement statement = CertificateStatement::declaration;
    std::string shop, address, place, station, customer;
    std::string subject, subject_id;       // "serial", "order", "delivery"
    std::string delivery_note, delivered;  // of a delivery
    std::optional<std::int64_t> ordered;   // of an order: its quantity
    std::string releaser, function;
    bool independent = false;
    std::int64_t issued_ms = 0;  // UTC
    std::string issued_date;     // in the shop's time zone

    std::vector<CertificateItem> items;
    std::vector<CertificateAssembly> assemblies;
    std::vector<CertificateGauge> gauges;
    std::vector<CertificateProof> proofs;
    std::vector<CertificateApplication> applications;

    // What the paper can be held against.
    std::string record_sha256;  // of the attached record.json, hex
    std::string log_name, log_root, log_key;
    std::int64_t log_size = 0;

    std::optional<CertificateLink> link{};
};

struct CertificatePaper {
    PaperSize size = PaperSize::a4;
    audit::Reader reader;
    bool inches = false;  // lengths, beside pressures in bar
};

// What stands on which page, for tests; certificate_pdf draws exactly this. The link's address must fit into a code.
Paper certificate_paper(const CertificateData& data, const CertificatePaper& paper, const FontSet& fonts);

// With `record` attached as record.json. Refusals: "print.font_unusable", "tag.pdf_failed", "certificate.pdf_failed",
// "tag.bad_payload" for a link's address of which no code can be made.
Result<std::string> certificate_pdf(const CertificateData& data, const CertificatePaper& paper,
                                    const std::string& record);

// The least margin of an assembly and what it is of; nothing when nothing was measured.
struct WorstMargin {
    std::size_t end = 0;
    const CertificateReading* reading = nullptr;
};
std::optional<WorstMargin> worst_margin(const CertificateAssembly& assembly);

}  // namespace crimpgate
