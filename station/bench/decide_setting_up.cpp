// Setting the station up: gauges, references, orders.
#include "specs/assembly.h"
#include "station/bench/application_steps.h"
#include "station/bench/decider.h"

namespace crimpgate {

using namespace entries;

Result<void> Decider::operator()(const commands::RegisterGauge& c) {
    if (auto ok = must_be(Role::setter); !ok) return ok;
    const auto& g = c.gauge;
    if (g.gauge.empty()) return refuse(message("bench.field_empty").with("field", "gauge"));
    if (g.uncertainty <= Length{}) return refuse(message("bench.must_be_positive").with("field", "uncertainty_nm"));
    if (g.proof_limit <= Length{}) return refuse(message("bench.must_be_positive").with("field", "proof_limit_nm"));
    if (g.resolution <= Length{}) return refuse(message("bench.must_be_positive").with("field", "resolution_nm"));
    if (g.calibration_due.size() != 10 || g.calibrated.size() != 10 || g.calibration_due < g.calibrated)
        return refuse(message("bench.calibration_dates").with("from", g.calibrated).with("due", g.calibration_due));
    // Assemblies that hang on its last proof must not slip through by registering it again.
    const auto known = s_.gauges.find(g.gauge);
    if (known != s_.gauges.end() && known->second.used_since_proof)
        return refuse(message("bench.prove_before_change").with("gauge", g.gauge));
    emit(g);
    return {};
}

Result<void> Decider::operator()(const commands::RegisterReference& c) {
    if (auto ok = must_be(Role::setter); !ok) return ok;
    if (c.reference.reference.empty()) return refuse(message("bench.field_empty").with("field", "reference"));
    if (c.reference.size <= Length{}) return refuse(message("bench.must_be_positive").with("field", "size_nm"));
    emit(c.reference);
    return {};
}

Result<void> Decider::order_fits(const OrderOpened& o) const {
    for (const auto& spec : {o.spec_a, o.spec_b})
        if (!s_.rows.contains(spec)) return refuse(message("bench.no_spec_row").with("spec", spec));
    const auto& a = s_.rows.at(o.spec_a);
    const auto& b = s_.rows.at(o.spec_b);
    if (a.hose != b.hose) return refuse(message("bench.two_hoses").with("spec_a", o.spec_a).with("spec_b", o.spec_b));
    if (!cut_length(o.overall_length, a.fitting.cut_off, b.fitting.cut_off))
        return refuse(message("bench.too_short").with("order", o.order));
    const Pressure weakest = working_pressure(a, b).rating.pressure;
    if (o.needed_pressure && *o.needed_pressure > weakest)
        return refuse(message("bench.rated_too_low")
                          .with("needed", o.needed_pressure->to_bar_text(0))
                          .with("rated", weakest.to_bar_text(0)));
    if (o.proof_test) return proof_test_fits(*o.proof_test, weakest);
    return {};
}

Result<void> Decider::may_begin(const NextStep& next) const {
    if (!next.begins) return {};
    const auto& order = s_.orders.at(s_.order).order;
    if (auto ok = order_fits(order); !ok) return ok;
    return application_allows(order);
}

Result<void> Decider::operator()(const commands::OpenOrder& c) {
    auto o = c.order;
    if (auto ok = lead_or_setter(); !ok) return ok;
    if (o.order.empty()) return refuse(message("bench.field_empty").with("field", "order"));
    if (o.quantity < 1) return refuse(message("bench.must_be_positive").with("field", "quantity"));
    if (s_.orders.contains(o.order)) return refuse(message("bench.order_known").with("order", o.order));
    if (o.hose_lots.empty() || o.fitting_a_lots.empty() || o.fitting_b_lots.empty())
        return refuse(message("bench.no_lots").with("order", o.order));
    if (auto ok = order_fits(o); !ok) return ok;
    // The bench's own findings, whatever came with the command.
    o.application_findings = application_findings(o, s_.rows.at(o.spec_a), s_.rows.at(o.spec_b), rules_, now_);
    emit(o);
    return {};
}

}  // namespace crimpgate
