#include "specs/what_may_follow.h"

namespace crimpgate {

Choices what_may_follow(const EndJudgement& judgement, std::int64_t recrimps_done, std::int64_t recrimps_allowed) {
    if (judgement.verdict == Verdict::conforms) return {};

    bool only_oversize = judgement.verdict == Verdict::fails;
    bool only_measured = true;
    for (const auto& f : judgement.findings) {
        if (f.verdict != Verdict::fails) continue;
        if (f.what != Characteristic::crimp_diameter || f.side != Side::above) only_oversize = false;
        if (!f.value) only_measured = false;
    }
    Choices choices;
    choices.recrimp = only_oversize && recrimps_done < recrimps_allowed;
    choices.remeasure = only_measured;
    choices.scrap = true;
    choices.concession = true;
    return choices;
}

}  // namespace crimpgate
