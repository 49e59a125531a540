// A witness who knows the rules and nothing of the bench's code: reads entries only, and says which rule one breaks.
#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <tuple>
#include <vector>

#include "station/bench/state.h"

namespace crimpgate::test {

class Witness {
  public:
    // The entries of one command, in order. Complaints, empty when all is well.
    std::vector<std::string> hear(const std::vector<std::pair<Facts, EntryBody>>& entries);

    std::size_t passed() const { return passed_; }
    std::size_t passed_clean() const { return passed_clean_; }  // without a concession
    std::size_t suspects() const { return suspects_; }

  private:
    struct Record {
        std::int64_t seq = 0;
        End end = End::a;
        Characteristic what = Characteristic::depth;
        std::int64_t flat = 0;
        Verdict verdict = Verdict::conforms;
        std::optional<Length> value;
        std::string gauge;
    };
    enum class Place { in_work, held, settled, passed, scrapped };
    struct Part {
        entries::AssemblyStarted started;
        Place place = Place::in_work;
        std::vector<Record> records;  // that count
        std::set<std::string> measurers;
        bool conceded = false;
        bool proved = false;  // by a good proof test since the last crimp
        bool leaked = false;
        std::set<std::string> doubted;  // gauges, while held
    };
    struct Gauge {
        bool proved = false;
        bool connected = false;
        std::set<std::string> measured;
    };

    void one(const Facts& facts, const EntryBody& body);
    void say(const std::string& what) { complaints_.push_back(what); }
    void must(bool holds, const std::string& what) {
        if (!holds) say(what);
    }
    void works_on(const std::string& serial, const std::string& what);
    void check_pass(const Part& part, const entries::AssemblyPassed& passed);
    void check_end(const Part& part, End end);

    std::map<std::string, Part> parts_;
    std::map<std::string, Gauge> gauges_;
    std::map<std::string, Role> people_;
    std::map<std::string, std::int64_t> quantities_;
    std::map<std::string, std::set<std::string>> stops_;  // of each order's application check, not yet answered for
    std::set<std::string> to_be_suspect_;
    bool clock_doubted_ = false;
    std::size_t passed_ = 0;
    std::size_t passed_clean_ = 0;
    std::size_t suspects_ = 0;
    std::vector<std::string> complaints_;
};

}  // namespace crimpgate::test
