#include "station/daemon/assembly_entries.h"

#include <type_traits>
#include <variant>

namespace crimpgate {

using namespace entries;

bool of_assembly(const EntryBody& body) {
    return std::visit(
        [](const auto& e) {
            using T = std::decay_t<decltype(e)>;
            return std::is_same_v<T, AssemblyStarted> || std::is_same_v<T, ReadingTaken> ||
                   std::is_same_v<T, ReadingVoided> || std::is_same_v<T, StepConfirmed> ||
                   std::is_same_v<T, EndJudged> || std::is_same_v<T, AssemblyHeld> ||
                   std::is_same_v<T, PartQuarantined> || std::is_same_v<T, HoldSettled> ||
                   std::is_same_v<T, AssemblyTakenUp> || std::is_same_v<T, AssemblyPassed> ||
                   std::is_same_v<T, ProofTested>;
        },
        body);
}

}  // namespace crimpgate
