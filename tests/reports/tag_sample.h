// An invented shop's tags for the tests of this folder.
#pragma once

#include <fstream>
#include <string>

#include "reports/tag.h"

namespace crimpgate::samples {

inline TagEnd end(std::string form, std::string lot) {
    TagEnd e;
    e.fitting_maker = "Tannwerk";
    e.fitting_series = "P20";
    e.end_form = std::move(form);
    e.end_size = "20S";
    e.fitting_lot = std::move(lot);
    e.depth = 38'210_um;
    e.depth_band = {37'500_um, 38'500_um};
    e.diameters = {{1, 26'120_um}, {3, 26'100_um}, {5, 26'130_um}, {7, 26'110_um}};
    e.diameter_band = {26'000_um, 26'200_um};
    e.spread = 30_um;
    e.spread_limit = 100_um;
    e.gauges = {"CAL-03"};
    return e;
}

inline TagData normal() {
    TagData t;
    t.shop = "Kestrel Yard Hydraulics";
    t.serial = "A7Q4X2M9KD";
    t.order = "4711-03";
    t.customer = "Brannock Forest Machines";
    t.customer_part = "BF-2210-7";
    t.hose_maker = "Nordhall";
    t.hose_type = "Twin Braid";
    t.hose_dash = 12;
    t.hose_standard = "EN 853 2SN";
    t.hose_lot = "NH-3Q26-1187";
    t.ends[0] = end("24\u00B0 cone, swivel nut, straight", "TW-55120");
    t.ends[1] = end("24\u00B0 cone, swivel nut, elbow 90\u00B0", "TW-55304");
    t.overall_length = {750'000_um, 3'000_um, 7'000_um};
    t.working_pressure = {Pressure::from_bar(215), "215 bar"};
    t.assembly_date = "2026-11-25";
    t.date_code = "2611";
    t.operator_name = "M. Okoro";
    t.station = "K1";
    t.journal_sequence = 18'342;
    return t;
}

// Everything that a tag may have to say at once.
inline TagData eventful() {
    TagData t = normal();
    t.orientation_degrees = 270;
    t.ends[1].recrimps = 1;
    t.reprint = 2;
    t.concession_reference = "BFM-QA 2026/118";
    t.customer = "Ł\u00F3d\u017A\u00F8 M\u00FCller \u03A9 \u8A66\u9A13\u5DE5\u696D";
    return t;
}

inline std::string repeated(const std::string& piece, int times) {
    std::string out;
    for (int i = 0; i < times; ++i)
        out += piece;
    return out;
}

inline const FontSet& fonts() {
    static const FontSet set = FontSet::load(FontSet::built_directory()).value();
    return set;
}

}  // namespace crimpgate::samples
