#include "station/bench/assemblies.h"

#include <stdexcept>

namespace crimpgate {

void Assemblies::recall_with(Recall recall, OfShift of_shift) {
    recall_ = std::move(recall);
    of_shift_ = std::move(of_shift);
}

void Assemblies::put(const std::string& serial, AssemblyState assembly) {
    known_.insert_or_assign(serial, std::move(assembly));
}

Assemblies::iterator Assemblies::fetch(const std::string& serial) const {
    if (const auto found = known_.find(serial); found != known_.end()) return found;
    if (!recall_ || serial.empty()) return known_.end();
    auto recalled = recall_(serial, upto_);
    if (!recalled) return known_.end();
    return known_.insert_or_assign(serial, std::move(*recalled)).first;
}

Assemblies::iterator Assemblies::find(const std::string& serial) {
    return fetch(serial);
}

Assemblies::const_iterator Assemblies::find(const std::string& serial) const {
    return fetch(serial);
}

AssemblyState& Assemblies::at(const std::string& serial) {
    const auto found = fetch(serial);
    if (found == known_.end()) throw std::out_of_range("no assembly " + serial);
    return found->second;
}

const AssemblyState& Assemblies::at(const std::string& serial) const {
    const auto found = fetch(serial);
    if (found == known_.end()) throw std::out_of_range("no assembly " + serial);
    return found->second;
}

AssemblyState* Assemblies::in_memory(const std::string& serial) {
    const auto found = known_.find(serial);
    return found == known_.end() ? nullptr : &found->second;
}

std::vector<std::string> Assemblies::of_shift(const std::string& shift) const {
    if (of_shift_) return of_shift_(shift, upto_);
    std::vector<std::string> serials;
    for (const auto& [serial, assembly] : known_)
        if (assembly.started.shift == shift) serials.push_back(serial);
    return serials;
}

void Assemblies::forget(const std::function<bool(const std::string&, const AssemblyState&)>& which) {
    std::erase_if(known_, [&](const auto& one) { return which(one.first, one.second); });
}

}  // namespace crimpgate
