// Whether this person may settle this hold, as the station tells it (may_settle), and if not, why. Pure.
//
//   standing(assembly, session) -> {can: Set of ways, why: null | "own" | "own_operator" | "not_lead" | "auditor" | "scrap_only"}

export const all = ["recrimp", "remeasure", "concession", "scrap"];

export function standing(assembly, session) {
    const me = (assembly.may_settle ?? []).find((p) => p.person === session.person);
    if (me) return {can: new Set(me.scrap_only ? ["scrap"] : all), why: me.scrap_only ? "scrap_only" : null};
    const measured = (assembly.measured_by ?? []).includes(session.person);
    if (measured && session.role === "lead") return {can: new Set(), why: "own"};
    return {can: new Set(), why: session.role === "auditor" ? "auditor" : measured ? "own_operator" : "not_lead"};
}
