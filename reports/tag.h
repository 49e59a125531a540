// The tag: one PDF page of the label's size for one assembly that passed (or has a concession, R1).
//
// Plain values in, bytes out: the same input gives the same bytes. It prints what it is given and judges nothing; that
// only a passed assembly gets here is the bench's rule. Numbers come as exact values and are formatted here.
//
// What each size shows: 100 x 150 mm and A6 everything in TagData. 100 x 50 mm shows, in order of priority: serial
// (text, Code 128, 2-D code), CONCESSION with its reference / RE-CRIMPED / REPRINT n, working pressure, shop, order,
// customer's part number, hose, both fittings, overall length, assembly date and code, customer, operator, station,
// record number, the caution in short. Left off there, since no label of that height holds it: lots, orientation,
// measured depths, diameters, spread, gauges and decision rule; the serial leads to them in the record.
//
// A payload of its own makes the 2-D code as sturdy as the label has room for: level H, then Q; then its fallback so. M
// only where nothing else leaves room for the words. With a tenth of it blotted out, H is read always and Q in 59 cases
// of 60 (tests/reports/tag_damage_test.cpp), so a shop's link is worth Q.
//
// Names never end in dots: rows shrink to 1.6 mm (4.5 pt) and wrap, then serial and pressure give way a little, and
// what still does not fit is refused. So ask layout_tag() (tag_layout.h) when an order comes in, not at the printer.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "reports/fonts.h"
#include "specs/band.h"
#include "specs/pressure.h"
#include "specs/spec_row.h"

namespace crimpgate {

enum class TagSize { mm100x150, mm100x50, a6 };

struct TagDiameter {
    std::int64_t flat = 0;  // which flat it was measured across
    Length value;
    bool operator==(const TagDiameter&) const = default;
};

struct TagEnd {
    std::string fitting_maker;
    std::string fitting_series;
    std::string end_form;
    std::string end_size;
    std::string fitting_lot;

    Length depth;
    Band depth_band;
    std::vector<TagDiameter> diameters;
    Band diameter_band;
    Length spread;
    Length spread_limit;
    int places = 2;                   // decimals of a millimetre that the gauge resolves, 0 to 6
    std::vector<std::string> gauges;  // ids of those that took this end's readings
    DecisionRule rule;
    std::int64_t recrimps = 0;
    bool operator==(const TagEnd&) const = default;
};

struct TagData {
    std::string shop;
    std::string serial;  // 1 to 20 characters of A-Z, 0-9 and hyphen
    std::string order;
    std::string customer;
    std::string customer_part;

    std::string hose_maker;
    std::string hose_type;
    std::int64_t hose_dash = 0;
    std::string hose_standard;
    std::string hose_lot;

    TagEnd ends[2];
    Toleranced overall_length;
    std::optional<std::int64_t> orientation_degrees;  // angle between two bent ends; none when it does not apply
    Rating working_pressure;                          // of the assembly; psi as given where it was given in psi

    std::string assembly_date;  // 2026-11-25
    std::string date_code;      // 2611: year and month
    std::string operator_name;
    std::string station;

    std::optional<std::string> concession_reference;  // prints CONCESSION
    std::int64_t reprint = 0;                         // 0 = the original; n prints REPRINT n (R11)
    std::int64_t journal_sequence = 0;
    std::string code_payload;   // for the 2-D code, printable ASCII; empty: the serial
    std::string code_fallback;  // in its place on a label that has no room for that; may be empty

    // RE-CRIMPED is printed when either end was.
    bool recrimped() const { return ends[0].recrimps > 0 || ends[1].recrimps > 0; }
    bool operator==(const TagData&) const = default;
};

// Page size in millimetres.
struct TagFormat {
    double width = 0;
    double height = 0;
};
TagFormat tag_format(TagSize size);

// The PDF's bytes. `dpi`: the printer's dots per inch, 150 to 1200; bars and modules are whole dots of it.
// Refusals: "tag.unprintable_field" (field, code, position; see printable()), "tag.bad_serial", "tag.bad_payload" (not
// printable ASCII, or too long), "tag.code_too_dense" (a bar code would have modules finer than a reader can tell
// apart), "tag.text_does_not_fit" (field: the longest), "tag.bad_resolution", "tag.pdf_failed" (error).
Result<std::string> render_tag(const TagData& tag, TagSize size, const FontSet& fonts, int dpi = 203);

}  // namespace crimpgate
