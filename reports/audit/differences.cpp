#include "reports/audit/differences.h"

#include <iterator>

#include "reports/audit/level_search.h"
#include "reports/audit/side_searches.h"

namespace crimpgate::audit {

Differences differences_of(const Work& work) {
    Differences out;
    const Compared compared = compared_of(work);
    out.units = compared.units.size();
    ProofSearch proofs(*work.facts);
    const auto take = [&out](std::vector<Difference> found) {
        out.found.insert(out.found.end(), std::make_move_iterator(found.begin()), std::make_move_iterator(found.end()));
    };
    if (compared.units.size() < least_units) {
        out.comparisons = proofs.comparisons();
        take(proofs.run(out.comparisons));
        return out;
    }
    out.compared = true;
    LevelSearch levels(compared);
    SpreadSearch spreads(compared);
    ShareSearch shares(compared);
    out.comparisons = levels.comparisons() + spreads.comparisons() + shares.comparisons() + proofs.comparisons();
    take(levels.run(out.comparisons));
    take(spreads.run(out.comparisons));
    take(shares.run(out.comparisons, levels.explained()));
    take(proofs.run(out.comparisons));
    return out;
}

}  // namespace crimpgate::audit
