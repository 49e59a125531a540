// The hand at the bench: answers one thing that the bench asks for, and brings about the small mishaps of a shop's day.
// Internal to the year.
#pragma once

#include <exception>
#include <map>
#include <string>

#include "tools/year/crimper.h"
#include "tools/year/recorder.h"
#include "tools/year/shop.h"
#include "tools/year/year.h"

namespace crimpgate::year {

// The bench refused what the year takes for granted, or the journal could not be written: nothing to go on with.
struct Stopped : std::exception {
    explicit Stopped(Message m) : why(std::move(m)) {}
    const char* what() const noexcept override { return why.code.c_str(); }
    Message why;
};

// On hold, and when a lead comes by.
struct Waiting {
    std::string serial;
    std::int64_t at_ms = 0;
};

class BenchHand {
  public:
    BenchHand(Journal& journal, BenchRules rules, std::int64_t utc_ms, Dice& dice, YearMade& made)
        : recorder_(journal, std::move(rules), utc_ms), dice_(dice), crimper_(dice), made_(made) {}

    Recorder& recorder() { return recorder_; }
    const BenchState& state() const { return recorder_.state(); }
    void run(const Command& command, const std::string& who);

    // Of the day or the moment, set by the year.
    Affairs affairs;                    // of the row that is in work; `low` is set when a caliper is taken up
    std::map<std::string, double> low;  // by caliper
    std::string person;

    void prove_all();
    void plug_in_all();
    // One thing that the bench asks for; false when it asks for an order or for nothing more to be started.
    bool step();
    void tag(const std::string& serial);
    // Before the next part: what is done with is forgotten.
    void next_part();
    void mark_anew(const std::string& serial, End end);

    std::vector<Waiting> waiting;

  private:
    void press(const std::string& gauge, Length value);
    void prove(const std::string& gauge);
    const std::string& gauge_in_hand();
    void measure(const NextStep& step);
    void answer(const NextStep& step);
    void disturb(const NextStep& step);
    Piece& piece_of(const NextStep& step);

    Recorder recorder_;
    Dice& dice_;
    Crimper crimper_;
    YearMade& made_;
    std::string gauge_;
    std::string gauge_for_;                // the part that it was taken up for
    std::map<std::string, Piece> pieces_;  // those in work or on hold, by serial, end and attempt
};

}  // namespace crimpgate::year
