// Tags: only for what passed (R1), each copy once, a reprint says that it is one (R11).
#include "station/bench/decider.h"

namespace crimpgate {

using namespace entries;

namespace {

template <class... Fs>
struct Overload : Fs... {
    using Fs::operator()...;
};
template <class... Fs>
Overload(Fs...) -> Overload<Fs...>;

}  // namespace

Result<void> Decider::operator()(const commands::RecordTag& c) {
    const std::string serial = std::visit([](const auto& tag) { return tag.serial; }, c.what);
    const auto found = s_.assemblies.find(serial);
    if (found == s_.assemblies.end()) return refuse(message("bench.no_serial").with("serial", serial));
    const auto& a = found->second;
    return std::visit(
        Overload{
            [&](const TagPrinting& tag) -> Result<void> {
                if (a.stage != Stage::passed) return refuse(message("bench.no_tag").with("serial", serial));
                if (a.tag == TagState::printing || a.tag == TagState::in_doubt)
                    return refuse(message("bench.tag_in_doubt").with("serial", serial));
                // The first copy until it is there, then each reprint under the next number.
                const bool again = a.tag == TagState::failed;
                const std::int64_t next = a.tag == TagState::none ? 0 : again ? a.tag_copy : a.tag_copy + 1;
                if (tag.copy != next) return refuse(message("bench.tag_known").with("serial", serial));
                // The station itself prints first copies and what is out of date; anybody else must be one who works.
                const bool of_itself = who_.empty() && (tag.copy == 0 || tag_outdated(a));
                if (!of_itself)
                    if (auto ok = must_be(Role::operator_); !ok) return ok;
                if (tag.copy > 0 && !of_itself && tag.reason.empty())
                    return refuse(message("bench.field_empty").with("field", "reason"));
                emit(tag);
                return {};
            },
            [&](const auto& tag) -> Result<void> {
                if (a.tag != TagState::printing || a.tag_copy != tag.copy)
                    return refuse(message("bench.no_tag_under_way").with("serial", serial));
                emit(tag);
                return {};
            },
        },
        c.what);
}

Result<void> Decider::operator()(const commands::SettleTagDoubt& c) {
    if (auto ok = must_be(Role::operator_); !ok) return ok;
    const auto found = s_.assemblies.find(c.serial);
    if (found == s_.assemblies.end() || found->second.tag != TagState::in_doubt)
        return refuse(message("bench.no_tag_in_doubt").with("serial", c.serial));
    emit(TagDoubtSettled{c.serial, found->second.tag_copy, c.found});
    return {};
}

}  // namespace crimpgate
