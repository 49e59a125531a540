#include "specs/hose_tables.h"

#include <string>
#include <vector>

namespace crimpgate {

namespace {

constexpr auto A = Confidence::several_pages;
constexpr auto B = Confidence::one_page;
constexpr auto M = Confidence::from_memory;
constexpr auto C = Confidence::computed;

// One printed row: lengths in micrometres (bend radius in millimetres), pressures in bar.
struct Row {
    std::int64_t dash, bore, bore_min, bore_max, od_min, od_max, wire_min, wire_max;
    std::int64_t bar, bar_highest, proof, burst, bend_mm;
    Confidence bar_mark;
};

// What holds for a whole type: how sure proof and burst, bend radius and bore are; the highest oil temperature.
struct Type {
    Confidence test, bend, bore;
    std::int64_t temperature_max;
};

// clang-format off
// {dash, bore, bore min, max, OD min (0: none given), max, over wire min, max, bar, bar highest in print, proof, burst, bend mm, mark}

// EN 853 type 1SN (the same hose: ISO 1436 1SN, SAE 100R1AT of today).
constexpr Row rows_1sn[] = {
    {3, 5000, 4600, 5400, 0, 12500, 8900, 10100, 250, 250, 500, 1000, 90, B},
    {4, 6300, 6200, 7000, 0, 14100, 10600, 11700, 225, 225, 450, 900, 100, A},
    {5, 8000, 7700, 8500, 0, 15700, 12100, 13300, 215, 215, 430, 850, 115, A},
    {6, 10000, 9300, 10100, 0, 18100, 14500, 15700, 180, 180, 360, 720, 130, A},
    {8, 12500, 12300, 13500, 0, 21400, 17500, 19100, 160, 160, 320, 640, 180, A},
    {10, 16000, 15500, 16700, 0, 24500, 20600, 22200, 130, 130, 260, 520, 200, A},
    {12, 19000, 18600, 19800, 0, 28500, 24600, 26200, 105, 105, 210, 420, 240, A},
    {16, 25000, 25000, 26400, 0, 36600, 32500, 34100, 88, 88, 175, 350, 300, A},
    {20, 31500, 31400, 33000, 0, 44800, 39300, 41700, 63, 63, 125, 250, 420, A},
    {24, 38000, 37700, 39300, 0, 52100, 45600, 48000, 50, 50, 100, 200, 500, A},
    {32, 51000, 50400, 52000, 0, 65900, 58700, 61900, 40, 40, 80, 160, 630, A},
};

// EN 853 type 2SN (the same hose: ISO 1436 2SN, SAE 100R2AT since 2006).
constexpr Row rows_2sn[] = {
    {3, 5000, 4600, 5400, 0, 14100, 10600, 11700, 415, 415, 830, 1650, 90, B},
    {4, 6300, 6200, 7000, 0, 15700, 12100, 13300, 400, 400, 800, 1600, 100, A},
    {5, 8000, 7700, 8500, 0, 17300, 13700, 14900, 350, 350, 700, 1400, 115, A},
    {6, 10000, 9300, 10100, 0, 19700, 16100, 17300, 330, 330, 660, 1320, 130, A},
    {8, 12500, 12300, 13500, 0, 23000, 19000, 20600, 275, 275, 550, 1100, 180, A},
    {10, 16000, 15500, 16700, 0, 26200, 22200, 23800, 250, 250, 500, 1000, 200, A},
    {12, 19000, 18600, 19800, 0, 30100, 26200, 27800, 215, 215, 430, 850, 240, A},
    {16, 25000, 25000, 26400, 0, 38900, 34100, 35700, 165, 165, 325, 650, 300, A},
    {20, 31500, 31400, 33000, 0, 49600, 43300, 45700, 125, 125, 250, 500, 420, A},
    {24, 38000, 37700, 39300, 0, 56000, 49600, 52000, 90, 90, 180, 360, 500, A},
    {32, 51000, 50400, 52000, 0, 68600, 62300, 64700, 80, 80, 160, 320, 630, A},
};

// EN 857 type 1SC. Bores after EN ISO 1307, size -4 as remembered of EN 857; proof and burst are computed.
constexpr Row rows_1sc[] = {
    {4, 6300, 6100, 6900, 0, 13500, 9600, 10800, 225, 225, 450, 900, 75, B},
    {5, 8000, 7700, 8500, 0, 14500, 10900, 12100, 215, 215, 430, 860, 85, B},
    {6, 10000, 9300, 10100, 0, 16900, 12700, 14500, 180, 180, 360, 720, 90, B},
    {8, 12500, 12300, 13500, 0, 20400, 15900, 18100, 160, 160, 320, 640, 130, M},
    {10, 16000, 15500, 16700, 0, 23000, 19800, 21000, 130, 130, 260, 520, 150, M},
    {12, 19000, 18600, 19800, 0, 26700, 23200, 24700, 105, 105, 210, 420, 180, M},
    {16, 25000, 25000, 26400, 0, 34900, 30700, 33000, 88, 88, 176, 352, 230, M},
};

// EN 857 type 2SC. One trade article prints half of these bend radii: taken as one maker's, not the standard's.
constexpr Row rows_2sc[] = {
    {4, 6300, 6100, 6900, 0, 14200, 10600, 11700, 400, 400, 800, 1600, 75, B},
    {5, 8000, 7700, 8500, 0, 16000, 12100, 13300, 350, 350, 700, 1400, 85, B},
    {6, 10000, 9300, 10100, 0, 18300, 14400, 15600, 330, 330, 660, 1320, 90, B},
    {8, 12500, 12300, 13500, 0, 21500, 17500, 19100, 275, 275, 550, 1100, 130, B},
    {10, 16000, 15500, 16700, 0, 24700, 20500, 22300, 250, 250, 500, 1000, 170, B},
    {12, 19000, 18600, 19800, 0, 28600, 24600, 26400, 215, 215, 430, 860, 200, B},
    {16, 25000, 25000, 26400, 0, 36600, 32500, 34300, 165, 165, 330, 660, 250, B},
};

// EN 856 type 4SP.
constexpr Row rows_4sp[] = {
    {4, 6300, 6200, 7000, 17100, 18700, 14100, 15300, 450, 450, 900, 1800, 150, B},
    {6, 10000, 9300, 10100, 20600, 22200, 16900, 18100, 445, 445, 890, 1780, 180, B},
    {8, 12500, 12300, 13500, 23800, 25400, 19400, 21000, 415, 415, 830, 1660, 230, B},
    {10, 16000, 15500, 16700, 27400, 29000, 23000, 24600, 350, 350, 700, 1400, 250, A},
    {12, 19000, 18600, 19800, 31400, 33000, 27400, 29000, 350, 350, 700, 1400, 300, B},
    {16, 25000, 25000, 26400, 38500, 40900, 34500, 36100, 280, 280, 560, 1120, 340, B},
    {20, 31500, 31400, 33000, 49200, 52400, 45000, 47000, 210, 210, 420, 840, 460, B},
    {24, 38000, 37700, 39300, 55600, 58800, 51400, 53400, 185, 185, 370, 740, 560, B},
    {32, 51000, 50400, 52000, 68200, 71400, 64300, 66300, 165, 165, 330, 660, 660, B},
};

// EN 856 type 4SH.
constexpr Row rows_4sh[] = {
    {12, 19000, 18600, 19800, 31400, 33000, 27600, 29200, 420, 420, 840, 1680, 280, A},
    {16, 25000, 25000, 26400, 37500, 39900, 34400, 36000, 380, 380, 760, 1520, 340, A},
    {20, 31500, 31400, 33000, 43900, 47100, 40900, 42900, 325, 325, 650, 1300, 460, A},
    {24, 38000, 37700, 39300, 51900, 55100, 47800, 49800, 290, 290, 580, 1160, 560, B},
    {32, 51000, 50400, 52000, 66500, 69700, 62200, 64200, 250, 250, 500, 1000, 700, B},
};

// EN 856 R12 (the same hose: ISO 3862 R12, SAE 100R12). Printed as 276, 275 or 280 bar by edition and page.
constexpr Row rows_r12[] = {
    {6, 10000, 9300, 10100, 19500, 21000, 16600, 17800, 276, 280, 552, 1104, 130, B},
    {8, 12500, 12300, 13500, 23000, 24600, 19900, 21500, 276, 280, 552, 1104, 180, B},
    {10, 16000, 15500, 16700, 26600, 28200, 23800, 25400, 276, 280, 552, 1104, 200, B},
    {12, 19000, 18600, 19800, 29900, 31500, 26900, 28400, 276, 280, 552, 1104, 240, B},
    {16, 25000, 25000, 26400, 36800, 39200, 34100, 35700, 276, 280, 552, 1104, 300, B},
    {20, 31500, 31400, 33000, 45400, 48600, 42700, 45100, 207, 210, 414, 828, 420, B},
    {24, 38000, 37700, 39300, 51900, 55000, 49200, 51600, 172, 175, 344, 688, 500, B},
    {32, 51000, 50400, 52000, 65100, 68300, 62500, 64800, 172, 175, 344, 688, 630, B},
};

// EN 856 R13 (the same hose: ISO 3862 R13, SAE 100R13): 5000 psi in every size, 345 or 350 bar by page.
constexpr Row rows_r13[] = {
    {12, 19000, 18600, 19800, 31000, 33200, 28200, 29800, 345, 350, 690, 1380, 240, A},
    {16, 25000, 25000, 26400, 37600, 39800, 34900, 36400, 345, 350, 690, 1380, 300, A},
    {20, 31500, 31400, 33000, 48300, 51300, 45600, 48000, 345, 350, 690, 1380, 420, A},
    {24, 38000, 37700, 39300, 55800, 58800, 53100, 55500, 345, 350, 690, 1380, 500, A},
    {32, 51000, 50400, 52000, 69500, 72700, 66900, 69300, 345, 350, 690, 1380, 630, A},
};
// clang-format on

constexpr Length um(std::int64_t value) {
    return Length::from_um(value);
}

void add(std::vector<PublishedHose>& all, std::string_view standard, const Type& type, std::span<const Row> rows) {
    for (const Row& row : rows) {
        PublishedHose hose;
        hose.standard = standard;
        hose.dash = row.dash;
        hose.nominal_bore = um(row.bore);
        hose.bore_min = um(row.bore_min);
        hose.bore_max = um(row.bore_max);
        hose.od_min = um(row.od_min);
        hose.od_max = um(row.od_max);
        hose.wire_min = um(row.wire_min);
        hose.wire_max = um(row.wire_max);
        hose.working_pressure = Pressure::from_bar(row.bar);
        hose.working_pressure_highest = Pressure::from_bar(row.bar_highest);
        hose.proof = Pressure::from_bar(row.proof);
        hose.burst = Pressure::from_bar(row.burst);
        hose.bend_radius = um(row.bend_mm * 1000);
        hose.working_pressure_mark = row.bar_mark;
        hose.test_pressure_mark = type.test;
        hose.bend_mark = type.bend;
        hose.bore_mark = type.bore;
        hose.od_mark = M;  // every diameter over cover and wire is from memory
        hose.temperature_max_c = type.temperature_max;
        all.push_back(hose);
    }
}

std::vector<PublishedHose> gather() {
    std::vector<PublishedHose> all;
    add(all, "EN 853 1SN", {M, B, B, 100}, rows_1sn);
    add(all, "EN 853 2SN", {M, B, B, 100}, rows_2sn);
    add(all, "EN 857 1SC", {C, M, M, 100}, rows_1sc);
    add(all, "EN 857 2SC", {C, M, M, 100}, rows_2sc);
    add(all, "EN 856 4SP", {M, B, B, 100}, rows_4sp);
    add(all, "EN 856 4SH", {M, B, B, 100}, rows_4sh);
    add(all, "EN 856 R12", {M, M, B, 120}, rows_r12);
    add(all, "EN 856 R13", {M, M, B, 120}, rows_r13);
    return all;
}

}  // namespace

char mark_of(Confidence confidence) {
    switch (confidence) {
        case Confidence::several_pages:
            return 'A';
        case Confidence::one_page:
            return 'B';
        case Confidence::from_memory:
            return 'M';
        case Confidence::computed:
            break;
    }
    return 'C';
}

std::span<const PublishedHose> published_hoses() {
    static const std::vector<PublishedHose> all = gather();
    return all;
}

std::optional<PublishedHose> find_hose(std::string_view standard, std::int64_t dash) {
    const auto name = published_standard(standard);
    for (const auto& hose : published_hoses())
        if (hose.standard == name && hose.dash == dash) return hose;
    return std::nullopt;
}

}  // namespace crimpgate
