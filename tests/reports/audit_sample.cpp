#include "tests/reports/audit_sample.h"

#include <fmt/format.h>

#include <algorithm>
#include <boost/json.hpp>
#include <fstream>
#include <iterator>
#include <memory>

#include "reports/statistics/normality.h"

namespace crimpgate::samples {

namespace {

using audit::Cell;
using audit::Chart;
using audit::Column;
using audit::Sheet;

constexpr std::int64_t shift_start = 1'795'590'000'000;  // 2026-11-25T07:00:00Z

std::string text(const Message& message) {
    boost::json::object details;
    for (const auto& d : message.details)
        details[d.name] = d.text;
    return boost::json::serialize(boost::json::object{{"code", message.code}, {"details", details}});
}

std::string time(std::int64_t minutes, std::int64_t ms = 120) {
    return fmt::format("2026-11-25T{:02}:{:02}:{:02}.{:03}Z", 7 + minutes / 60, minutes % 60, (minutes * 37) % 60, ms);
}

std::string serial(int n) {
    return fmt::format("K1A{:04}X{}", n, n % 9);
}

// Whole numbers from -range to range that lie about as measurements do (sum of three), always the same.
class Scatter {
  public:
    int next(int range) {
        int sum = 0;
        for (int i = 0; i < 3; ++i) {
            state_ = state_ * 6364136223846793005U + 1442695040888963407U;
            sum += static_cast<int>((state_ >> 33U) % static_cast<unsigned>(2 * range + 1)) - range;
        }
        return sum / 2;
    }

  private:
    std::uint64_t state_ = 20261125;
};

std::string micrometres(int um) {
    return fmt::format("{}{}.{:03}", um < 0 ? "-" : "", std::abs(um) / 1000, std::abs(um) % 1000);
}

Sheet open_points() {
    Sheet s{"open_points",
            {{"rank", Cell::count},
             {"what", Cell::message},
             {"serial", Cell::serial},
             {"gauge", Cell::gauge},
             {"since", Cell::time}},
            {},
            {}};
    const auto not_closed = message("audit.open.hold").with("cause", "failed").with("end", "B");
    s.rows = {{"1", text(not_closed), serial(118), "", time(214)},
              {"2", text(message("audit.open.proof_failed").with("gauge", "CAL-03").with("error", "0.04")), "",
               "CAL-03", time(301)},
              {"3", text(message("audit.open.signal").with("rule", "beyond_limit").with("points", "12")), serial(151),
               "", time(333)},
              {"4", text(message("audit.open.calibration_due").with("gauge", "CAL-02").with("due", "2026-11-30")), "",
               "CAL-02", ""}};
    return s;
}

Sheet made() {
    Sheet s{"made", {}, {}, {}};
    const std::vector<std::pair<Column, std::string>> cells{{{"started", Cell::count}, "200"},
                                                            {{"passed", Cell::count}, "188"},
                                                            {{"passed_first_time", Cell::count}, "179"},
                                                            {{"recrimped", Cell::count}, "9"},
                                                            {{"scrapped", Cell::count}, "5"},
                                                            {{"on_concession", Cell::count}, "1"},
                                                            {{"on_hold", Cell::count}, "4"},
                                                            {{"suspect", Cell::count}, "2"},
                                                            {{"in_work", Cell::count}, "3"},
                                                            {{"yield_pct", Cell::percent}, "94.0"},
                                                            {{"first_pass_yield_pct", Cell::percent}, "89.5"}};
    s.rows.emplace_back();
    for (const auto& [column, cell] : cells) {
        s.columns.push_back(column);
        s.rows[0].push_back(cell);
    }
    return s;
}

Sheet reasons() {
    return {"reasons",
            {{"reason", Cell::code},
             {"count", Cell::count},
             {"share_pct", Cell::percent},
             {"cumulative_pct", Cell::percent}},
            {{"crimp_diameter_above", "9", "42.9", "42.9"},
             {"crimp_diameter_below", "5", "23.8", "66.7"},
             {"depth_below", "4", "19.0", "85.7"},
             {"spread_above", "2", "9.5", "95.2"},
             {"damaged", "1", "4.8", "100.0"}},
            {}};
}

Sheet by(const std::string& id, Cell kind, const std::vector<std::string>& keys) {
    Sheet s{id,
            {{"key", kind},
             {"ends", Cell::count},
             {"conforms", Cell::count},
             {"fails", Cell::count},
             {"uncertain", Cell::count},
             {"share_pct", Cell::percent},
             {"mean_mm", Cell::length},
             {"sd_mm", Cell::length}},
            {},
            {}};
    Scatter scatter;
    const int each = 400 / static_cast<int>(keys.size());
    for (const auto& key : keys) {
        const int fails = 3 + scatter.next(2), uncertain = 1;
        s.rows.push_back({key, std::to_string(each), std::to_string(each - fails - uncertain), std::to_string(fails),
                          std::to_string(uncertain), fmt::format("{}.0", 100 / keys.size()),
                          micrometres(26'100 + scatter.next(9)), micrometres(18 + scatter.next(3))});
    }
    return s;
}

Sheet wide_sheet() {  // more columns than a page is wide
    Sheet s{"capability",
            {{"stream", Cell::text},
             {"n", Cell::count},
             {"mean_mm", Cell::length},
             {"sigma_within_mm", Cell::length},
             {"sigma_overall_mm", Cell::length},
             {"cp", Cell::number},
             {"cp_lower", Cell::number},
             {"cp_upper", Cell::number},
             {"cpk", Cell::number},
             {"cpk_lower", Cell::number},
             {"cpk_upper", Cell::number},
             {"pp", Cell::number},
             {"ppk", Cell::number},
             {"cpm", Cell::number},
             {"ppm_below", Cell::number},
             {"ppm_above", Cell::number},
             {"warnings", Cell::message}},
            {},
            {}};
    s.rows = {{"P20-12-2SN|C|CR-1|D-26", "262", "26.1041", "0.01712", "0.02093", "1.947", "1.780", "2.114", "1.867",
               "1.698", "2.036", "1.593", "1.527", "1.561", "0.0", "2.3",
               text(message("audit.capability.unstable").with("signals", "14"))},
              {"P20-08-1SN|B|CR-1|D-19", "138", "19.0522", "0.01655", "0.01701", "2.014", "1.775", "2.252", "-0.052",
               "-0.101", "0.003", "1.960", "-0.050", "0.610", "0.0", "560318.2", ""}};
    s.notes.push_back(message("audit.note.two_point_diameters"));
    return s;
}

Sheet long_sheet() {  // over several pages
    Sheet s{"refusals_all",
            {{"seq", Cell::seq},
             {"time", Cell::time},
             {"gauge", Cell::gauge},
             {"person", Cell::text},
             {"serial", Cell::serial},
             {"what", Cell::message}},
            {},
            {}};
    for (int i = 0; i < 96; ++i)
        s.rows.push_back({std::to_string(17'002 + 13 * i), time(5 + 4 * i), i % 3 == 0 ? "CAL-03" : "CAL-01", "OP-07",
                          i % 4 == 0 ? "" : serial(2 * i),
                          text(i % 5 == 0 ? message("decode.checksum").with("found", "3F").with("expected", "3E")
                                          : message("decode.wrong_unit").with("value", "1.0275").with("unit", "in"))});
    return s;
}

Sheet shifts() {
    return {
        "shifts",
        {{"shift", Cell::shift},
         {"started", Cell::time},
         {"ended", Cell::time},
         {"signed_off_by", Cell::text},
         {"signed_off", Cell::time},
         {"upto_seq", Cell::seq},
         {"remark", Cell::text},
         {"late_entries", Cell::count}},
        {{"2026-11-25/1", time(0), time(478), "QL-01 Ruth Adler", time(495), "18342",
          "CAL-03 taken out of use; 2 assemblies measured again, both good. Set-up bumped at 12:10, corrected.", "0"}},
        {}};
}

Chart means() {
    Chart c;
    c.id = "means:P20-12-2SN|C|CR-1|D-26";
    c.kind = "control";
    c.unit = "mm";
    c.stream = "P20-12-2SN|C|CR-1|D-26";
    c.centre = "26.1010";
    c.lower = "26.0530";
    c.upper = "26.1490";
    c.sigma = "0.01600";
    c.band_lower = "26.0000";
    c.band_upper = "26.2000";
    c.frozen = true;
    Scatter scatter;
    for (int i = 0; i < 400; ++i) {
        audit::ChartPointText p;
        int um = 26'101 + scatter.next(15);
        if (i >= 262 && i < 290) um += 42;  // the setting was bumped
        p.value = micrometres(um) + "0";
        p.seq = 15'000 + 8 * i;
        p.ms = shift_start + i * 72'000;
        p.serial = serial(i / 2);
        p.end = i % 2 == 0 ? "a" : "b";
        if (um > 26'149 || um < 26'053) p.signals.push_back("beyond_limit");
        if (i >= 270 && i < 290) p.signals.push_back("nine_on_one_side");
        if (i == 120) p.left_out = true;
        c.points.push_back(std::move(p));
    }
    c.restarts = {0, 84, 201, 290};
    return c;
}

Chart spreads() {
    Chart c;
    c.id = "spreads:P20-12-2SN|C|CR-1|D-26";
    c.kind = "control";
    c.unit = "mm";
    c.stream = "P20-12-2SN|C|CR-1|D-26";
    c.centre = "0.0310";
    c.lower = "0.0000";
    c.upper = "0.0707";
    c.sigma = "0.01323";
    Scatter scatter;
    for (int i = 0; i < 138; ++i) {
        audit::ChartPointText p;
        p.value = micrometres(std::max(0, 31 + scatter.next(14))) + "0";
        p.seq = 15'000 + 8 * i;
        p.ms = shift_start + i * 72'000;
        p.serial = serial(i / 2);
        p.end = i % 2 == 0 ? "a" : "b";
        if (i == 77) {
            p.value = "0.0900";
            p.signals.push_back("beyond_limit");
        }
        c.points.push_back(std::move(p));
    }
    c.restarts = {0};
    c.notes.push_back(message("audit.note.two_point_diameters"));
    return c;
}

Chart pareto() {
    Chart c;
    c.id = "reasons";
    c.kind = "pareto";
    for (const auto& row : reasons().rows) {
        audit::ChartPointText p;
        p.serial = row[0];
        p.value = row[1];
        c.points.push_back(std::move(p));
    }
    return c;
}

Chart probability() {
    Chart c;
    c.id = "normality:P20-12-2SN|C|CR-1|D-26";
    c.kind = "probability";
    c.unit = "mm";
    c.stream = "P20-12-2SN|C|CR-1|D-26";
    c.centre = "26.1009";
    c.sigma = "0.0080";
    Scatter scatter;
    std::vector<int> all;
    for (int i = 0; i < 120; ++i)
        all.push_back(26'101 + scatter.next(15));
    std::sort(all.begin(), all.end());
    std::vector<double> values(all.begin(), all.end());
    for (const auto& point : statistics::normal_plot(values)) {
        audit::ChartPointText p;
        p.value = micrometres(static_cast<int>(point.value)) + "0";
        p.serial = fmt::format("{:.4f}", point.score);
        c.points.push_back(std::move(p));
    }
    return c;
}

using Words = std::map<std::string, std::string>;

std::shared_ptr<const Words> words_of(const std::string& language) {
    const std::string path = std::string(CRIMPGATE_SOURCE_DIR) + "/station/words/" + language + ".json";
    std::ifstream in(path, std::ios::binary);
    const std::string all((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
    auto out = std::make_shared<Words>();
    const auto parsed = boost::json::parse(all);
    for (const auto& [code, words] : parsed.as_object())
        (*out)[std::string(code)] = std::string(words.as_string());
    return out;
}

}  // namespace

audit::Audit shift_audit() {
    audit::Audit a;
    a.scope.shift = "2026-11-25/1";
    a.title = "2026-11-25/1";
    a.unit = "mm";
    a.time_zone = "Europe/Berlin";
    a.made_ms = shift_start + 31'000'000;
    a.journal.station = "K1";
    a.journal.last_seq = 18'342;
    a.journal.last_hash = "3f9a0c1be27d84415a6e0f93c8b7d2614d55e1a09b3c7f2e8846d1507ac9be32";
    a.journal.verified_seq = 18'342;
    a.sheets = {open_points(),
                made(),
                reasons(),
                by("by_end", Cell::code, {"a", "b"}),
                by("by_place", Cell::count, {"1", "3", "5", "7"}),
                by("by_person", Cell::text, {"OP-07 M. Okoro", "OP-11 Jürgen Weiß"}),
                by("by_die_set", Cell::text, {"D-19", "D-26"}),
                by("by_hose_lot", Cell::text, {"NH-3Q26-1187", "NH-3Q26-1190", "NH-4Q26-0021"}),
                wide_sheet(),
                shifts(),
                long_sheet()};
    a.charts = {pareto(), means(), spreads(), probability()};
    a.notes.push_back(message("audit.note.frozen").with("from", "14102").with("to", "14998"));
    return a;
}

AuditPaper shift_paper(PaperSize size, const std::string& language) {
    AuditPaper paper;
    paper.size = size;
    paper.shop = "Kestrel Yard Hydraulics";
    paper.made_by = "QL-01 Ruth Adler";
    paper.reader.language = language;
    paper.reader.say = [words = words_of(language)](const Message& m) {
        const auto found = words->find(m.code);
        if (found == words->end()) return m.code;
        std::string out = found->second;
        for (const auto& d : m.details) {
            const std::string hole = "{" + d.name + "}";
            for (std::size_t at = 0; (at = out.find(hole, at)) != std::string::npos; at += d.text.size())
                out.replace(at, hole.size(), d.text);
        }
        return out;
    };
    paper.reader.local_time = [](std::int64_t ms) {
        const std::int64_t seconds = ms / 1000 - shift_start / 1000 + 8 * 3600;  // an hour ahead of UTC
        return fmt::format("2026-11-25 {:02}:{:02}:{:02}", seconds / 3600, seconds / 60 % 60, seconds % 60);
    };
    return paper;
}

std::vector<std::string> hostile_texts() {
    std::string endless;
    for (int i = 0; i < 400; ++i)
        endless += "Überlänge";
    std::string pages;
    for (int i = 0; i < 3000; ++i)
        pages += fmt::format("word{} ", i);
    return {"=HYPERLINK(\"http://x.example\",\"look\")",
            "+1+1",
            "-2+3",
            "@SUM(A1)",
            "\tindented",
            "\r\nsecond line",
            "|calc",
            "%0A",
            "＝1+1",
            "  =1+1",
            "\xEF\xBB\xBF=1",
            "comma, \"quote\" and 'apostrophe'; semicolon",
            "שלום עולם",
            "試験工業株式会社 第二工場",
            "\U0001F600 smile",
            "right\u202Eleft",
            "broken \xFF\xC3 bytes",
            std::string("nul\0inside", 10),
            "{\"code\":\"not\",\"details\":[]}",
            "{not json",
            "(parenthesis) \\ backslash",
            endless,
            pages};
}

}  // namespace crimpgate::samples
