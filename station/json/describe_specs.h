// Descriptions of the spec types for station/json/reflect.h: member for member, in the structs' own order.
#pragma once

#include <boost/describe.hpp>

#include "specs/application.h"
#include "specs/judgement.h"
#include "specs/spec_row.h"

namespace crimpgate {

BOOST_DESCRIBE_ENUM(Skive, none, outer, inner_and_outer)
BOOST_DESCRIBE_ENUM(MarkCheck, by_sight, measured)
BOOST_DESCRIBE_ENUM(RuleKind, guarded, simple)
BOOST_DESCRIBE_ENUM(LengthUnit, mm, inch)
BOOST_DESCRIBE_ENUM(Verdict, conforms, fails, uncertain)
BOOST_DESCRIBE_ENUM(Side, none, below, above)
BOOST_DESCRIBE_ENUM(MarkSeen, at_edge, gap, hidden)
BOOST_DESCRIBE_ENUM(Characteristic, skive_outer, skive_inner, depth, lubricant, mark_before, crimp_diameter, spread,
                    mark_after, bore_pin)

BOOST_DESCRIBE_ENUM(Fluid, mineral_oil, hfa, hfb, hfc, hfd, ester, water, fuel, other)
BOOST_DESCRIBE_ENUM(TubeCompound, nbr, cr, epdm, fkm, ptfe, thermoplastic, other)
BOOST_DESCRIBE_ENUM(Duty, normal, hard)
BOOST_DESCRIBE_ENUM(FindingSeverity, stop, warn, note, holds)
BOOST_DESCRIBE_ENUM(SourceMark, spec_row, several_pages, one_page, from_memory, common_practice)

BOOST_DESCRIBE_STRUCT(Application, (),
                      (highest_pressure, vacuum, hose_vacuum, fluid_min_c, fluid_max_c, ambient_min_c, ambient_max_c,
                       fluid, tube, bend_radius, bend_angle_deg, straight_a, straight_b, distance, slack, planes,
                       orientation_deg, duty))
BOOST_DESCRIBE_STRUCT(ApplicationFinding, (), (what, severity, source, confidence))
BOOST_DESCRIBE_STRUCT(Toleranced, (), (nominal, minus, plus))
BOOST_DESCRIBE_STRUCT(Band, (), (lower, upper))
BOOST_DESCRIBE_STRUCT(Rating, (), (pressure, as_given))
BOOST_DESCRIBE_STRUCT(DecisionRule, (), (kind, guard_factor_thousandths))
BOOST_DESCRIBE_STRUCT(HoseSpec, (),
                      (maker, type, dash, standard, working_pressure, bend_radius, temperature_min_c,
                       temperature_max_c))
BOOST_DESCRIBE_STRUCT(FittingSpec, (), (maker, series, end_family, end_form, dash, end_size, working_pressure, cut_off))
BOOST_DESCRIBE_STRUCT(ShellAndStem, (), (shell_od, shell_id, stem_od, stem_bore, stem_bore_after, hose_id, hose_od))
BOOST_DESCRIBE_STRUCT(SpecRow, (),
                      (spec_id, revision, hose, fitting, pairing_approval, die_set, crimper, setting, die_segments,
                       crimp, flats, spread_limit, depth, mark_edge_limit, mark_check, skive, skive_outer, skive_inner,
                       lubricant, bore_pin, recrimps_allowed, rule, geometry, source))
BOOST_DESCRIBE_STRUCT(Finding, (), (what, flat, verdict, side, seen, value, lower, upper, guard, margin))

}  // namespace crimpgate
