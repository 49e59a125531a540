// A certificate is issued: the last word is here, since between its making and its release anything may have happened.
#include "station/bench/decider.h"

namespace crimpgate {

using entries::LinkMade;

Result<void> Decider::operator()(const commands::IssueCertificate& c) {
    if (auto ok = must_be(Role::lead); !ok) return ok;
    if (s_.clock_doubted) return refuse(message("bench.clock_in_doubt"));
    const auto& issued = c.certificate;
    if (issued.function.empty()) return refuse(message("bench.field_empty").with("field", "function"));
    if (issued.serials.empty()) return refuse(message("certificate.nothing").with("id", issued.subject_id));
    if (issued.statement == "manner_3_1" && !issued.independent) return refuse(message("certificate.not_independent"));
    // The number stands on the paper already.
    if (issued.certificate != "CF-" + std::to_string(s_.record.certificates + 1))
        return refuse(message("certificate.meanwhile").with("number", issued.certificate));
    for (const auto& serial : issued.serials) {
        const auto found = s_.assemblies.find(serial);
        if (found == s_.assemblies.end()) return refuse(message("trace.no_serial").with("serial", serial));
        const AssemblyState& a = found->second;
        if (a.stage != Stage::passed) return refuse(message("certificate.not_passed").with("serial", serial));  // R1
        if (a.started.customer != issued.customer)
            return refuse(message("certificate.other_customer").with("serial", serial));  // R12
        // Held, settled and passed again since the paper was made: it says what no longer holds.
        if (a.passed_seq > issued.checkpoint_size)
            return refuse(message("certificate.not_covered").with("serial", serial));
    }
    if (c.link) {
        // R12: whoever holds the paper may see what it is about, and no more: the link is to that very delivery.
        const LinkMade& link = *c.link;
        if (issued.subject != "delivery" || link.delivery != issued.subject_id || link.customer != issued.customer)
            return refuse(message("certificate.link_not_of_it").with("number", issued.certificate));
        if (link.link != next_link(s_) || issued.link != link.link)
            return refuse(message("certificate.meanwhile").with("number", issued.certificate));
        emit(link);
    } else if (issued.link) {
        return refuse(message("certificate.link_not_of_it").with("number", issued.certificate));
    }
    emit(issued);
    return {};
}

}  // namespace crimpgate
