// An audit's charts as lines and shapes: control charts, Pareto charts, probability plots.
//
// Every figure that is written on them (limits, centre, band, counts) is the audit's own text; places are computed from
// it for the picture alone. What fires a run rule is marked by a shape and a letter, so that a copy in black and white
// says the same.
#pragma once

#include "reports/audit/audit.h"
#include "reports/audit/shown_cell.h"
#include "reports/paper_writer.h"

namespace crimpgate {

// Kinds that it does not know are passed over (false). `reasons` gives the Pareto chart its cumulated shares.
bool set_chart(PaperWriter& writer, const audit::Chart& chart, const audit::Sheet* reasons,
               const audit::Reader& reader);

// Ticks at whole steps of 1, 2 or 5 times a power of ten: three to eight of them between the two.
struct AxisTicks {
    std::vector<double> at;
    int places = 0;  // decimals that tell them apart
};
AxisTicks axis_ticks(double from, double to);

}  // namespace crimpgate
