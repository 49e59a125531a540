#include "tests/reports/certificate_sample.h"

#include <fmt/format.h>

#include "specs/decision_rule.h"
#include "tests/reports/audit_sample.h"

namespace crimpgate::samples {

namespace {

constexpr std::int64_t started = 1'795'590'000'000;  // 2026-11-25T07:00:00Z

SpecRow row(const std::string& id, const std::string& form) {
    SpecRow out;
    out.spec_id = id;
    out.revision = "3";
    out.hose = {"Nordhall", "Twin Braid", 12, "EN 853 2SN", *Rating::parse("215", PressureUnit::bar),
                240'000_um, -40,          100};
    out.fitting = {"Tannwerk", "P20", "ISO 12151-2", form, 12, "20S", *Rating::parse("250", PressureUnit::bar),
                   31'500_um};
    out.die_set = "D31";
    out.crimper = "C1";
    out.setting = "4.2";
    out.die_segments = 8;
    out.crimp = {26'100_um, 100_um, 100_um};
    out.flats = {1, 3};
    out.spread_limit = 100_um;
    out.depth = {38'000_um, 500_um, 500_um};
    out.mark_edge_limit = 1'000_um;
    out.recrimps_allowed = 1;
    out.source = "maker's sheet TW-4711, issue 2026-02";
    return out;
}

CertificateReading reading(const SpecRow& row, Characteristic what, std::int64_t flat, Length value, std::int64_t seq) {
    CertificateReading r;
    const auto band = *band_of(row, what);
    r.what = what;
    r.flat = flat;
    r.value = value;
    r.lower = band.lower;
    r.upper = band.upper;
    r.uncertainty = 12_um;
    r.guard = guard_of(row.rule, *r.uncertainty);
    r.margin = std::min(value - band.lower, band.upper - value);
    r.resolution = 10_um;
    r.verdict = decide(band, *r.guard, value);
    r.gauge = "CAL-03";
    r.gauge_seq = 12;
    r.proof_seq = 311;
    r.person = "Mara Olsen (MO)";
    r.at_ms = started + seq * 4'000;
    r.seq = seq;
    return r;
}

CertificateEnd end(const SpecRow& row, const std::string& lot, std::int64_t n, std::int64_t seq, bool short_depth) {
    CertificateEnd out;
    out.fitting_lot = lot;
    out.readings.push_back(reading(row, Characteristic::depth, 0, short_depth ? 37'410_um : 38'120_um, seq));
    out.readings.back().conceded = short_depth;
    CertificateReading mark;
    mark.what = Characteristic::mark_before;
    mark.seen = MarkSeen::at_edge;
    mark.person = "Mara Olsen (MO)";
    mark.seq = seq + 1;
    mark.at_ms = started + mark.seq * 4'000;
    out.readings.push_back(mark);
    const Length first = 26'100_um + Length::from_nm((n * 7919 % 11 - 5) * 10'000);
    const Length second = first + 20_um;
    out.readings.push_back(reading(row, Characteristic::crimp_diameter, 1, first, seq + 2));
    out.readings.push_back(reading(row, Characteristic::crimp_diameter, 3, second, seq + 3));
    auto spread = reading(row, Characteristic::crimp_diameter, 0, first, 0);
    spread.what = Characteristic::spread;
    spread.value = second - first;
    spread.lower.reset();
    spread.upper = row.spread_limit;
    spread.uncertainty = uncertainty_of_difference(12_um);
    spread.guard = guard_of(row.rule, *spread.uncertainty);
    spread.margin = row.spread_limit - *spread.value;
    spread.verdict = Verdict::conforms;
    spread.gauge.clear();
    spread.gauge_seq = spread.proof_seq = 0;
    spread.person.clear();
    out.readings.push_back(spread);
    mark.what = Characteristic::mark_after;
    mark.seq = seq + 4;
    out.readings.push_back(mark);
    return out;
}

}  // namespace

CertificateData certificate(std::size_t assemblies) {
    CertificateData data;
    data.number = "CF-12";
    data.shop = "Kestrel Yard Hydraulics";
    data.address = "Tidewall 4, 00000 Invented Harbour, crimp@kestrel-yard.example";
    data.place = "Invented Harbour";
    data.station = "K1";
    data.customer = "Brannock Forest Machines";
    data.subject = assemblies == 1 ? "serial" : "order";
    data.subject_id = assemblies == 1 ? "A0001M" : "4711-03";
    data.ordered = static_cast<std::int64_t>(assemblies);
    data.releaser = "Ruth Adler (QL-01)";
    data.function = "QC lead";
    data.issued_ms = started + 20'000'000;
    data.issued_date = "2026-11-25";

    CertificateItem item;
    item.order = "4711-03";
    item.customer_part = "BF-2210-7";
    item.row_a = row("TB-12/P20-S", "24\u00B0 cone, swivel nut, elbow 90\u00B0");
    item.row_b = row("TB-12/P20-E", "24\u00B0 cone, swivel nut, elbow 45\u00B0");
    item.hose_lot = "NH-1187";
    item.hose_made = "3Q26";
    item.fitting_a_lot = "TW-55120";
    item.fitting_b_lot = "TW-55304";
    item.working_pressure = Pressure::from_bar(215);
    item.overall_length = 750'000_um;
    item.cut_length = 687'000_um;
    item.length_band = Toleranced{750'000_um, 3'000_um, 7'000_um};
    item.length_rule = "din20066";
    item.orientation_deg = 270;
    item.orientation_rule = "a_down_counter_clockwise";
    item.needed_pressure = Pressure::from_bar(200);
    data.items.push_back(item);

    std::int64_t seq = 400;
    for (std::size_t n = 1; n <= assemblies; ++n) {
        CertificateAssembly a;
        a.serial = fmt::format("A{:04}M", n);
        const bool conceded = n % 7 == 0;
        a.ends[0] = end(item.row_a, item.fitting_a_lot, static_cast<std::int64_t>(n), seq + 1, conceded);
        a.ends[1] = end(item.row_b, item.fitting_b_lot, static_cast<std::int64_t>(n) + 3, seq + 8, false);
        if (conceded) {
            a.concession_reference = "BFM-QA 2026/118";
            a.concessions.push_back({"runs below 100 bar, says the customer", "BFM-QA 2026/118", "Ruth Adler (QL-01)",
                                     "", started + (seq + 16) * 4'000, seq + 16});
        }
        if (n == 2) {
            a.ends[0].attempt = 2;
            a.recrimps.push_back({"Ruth Adler (QL-01)", "end A 0.14 mm too large", started + (seq + 6) * 4'000});
        }
        if (n <= 3) {
            CertificateProofTest test;
            test.asked = Pressure::from_bar(430);
            test.asked_s = 30;
            test.reached = Pressure::from_kpa(43'250);
            test.held_s = 32;
            test.medium = "water";
            test.seen = "nothing";
            test.manometer = "PM-2";
            test.by = "Mara Olsen (MO)";
            test.passed = true;
            test.at_ms = started + (seq + 17) * 4'000;
            a.proof_tests.push_back(test);
        }
        a.passed_by = "Mara Olsen (MO)";
        a.passed_seq = seq + 18;
        a.passed_ms = started + a.passed_seq * 4'000;
        data.assemblies.push_back(std::move(a));
        seq += 20;
    }
    data.gauges.push_back({12, "CAL-03", 10_um, "2026-03-02", "2027-03-01", "CAL-2026-88"});
    data.proofs.push_back({311, started + 311 * 4'000, "CAL-03", "RING-25", "CAL-2026-90", "2027-02-01", 25'001_um,
                           25'010_um, 9_um, 20_um});
    CertificateApplication application;
    application.order = "4711-03";
    application.findings.push_back(
        {message("application.orientation_holds").with("ordered", "270").with("limit", "5").with("wanted", "270"),
         "holds", "MIL-DTL-83796/5", "several_pages"});
    data.applications.push_back(application);
    data.record_sha256 = "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08";
    data.log_name = "kestrel-K1";
    data.log_root = "XcnaeacGWamtVZy3Ad7ZoqudgjqtL0lgz+Nw7/RgQyg=";
    data.log_key = "kestrel-K1+12d024dc+AddamAGCsQq31Uv+08lkBzoO4XLz2qYjJa8CGmj3B1Ea";
    data.log_size = seq + 3;
    return data;
}

CertificatePaper certificate_paper(PaperSize size, const std::string& language) {
    CertificatePaper paper;
    paper.size = size;
    paper.reader = shift_paper(size, language).reader;
    return paper;
}

}  // namespace crimpgate::samples
