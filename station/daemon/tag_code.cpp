#include "station/daemon/tag_code.h"

#include <algorithm>
#include <optional>

#include "specs/assembly.h"
#include "station/proof/tag_statement.h"

namespace crimpgate {

namespace {

constexpr std::string_view ellipsis = "\u2026";

// 20250304 of 2025-03-04; 0 of anything else.
std::int64_t date_number(const std::string& date) {
    std::int64_t out = 0;
    for (const char c : date) {
        if (c == '-') continue;
        if (c < '0' || c > '9') return 0;
        out = out * 10 + (c - '0');
    }
    return out;
}

bool continues(char c) {
    return (static_cast<unsigned char>(c) & 0xC0) == 0x80;
}

}  // namespace

std::string cut_for_tag_code(const std::string& text) {
    if (text.size() <= longest_in_tag_code) return text;
    std::size_t at = longest_in_tag_code - ellipsis.size();
    while (at > 0 && continues(text[at]))
        --at;
    return text.substr(0, at) + std::string(ellipsis);
}

std::int64_t worst_margin_um(const AssemblyState& assembly) {
    std::optional<std::int64_t> worst;
    for (const End end : {End::a, End::b}) {
        const auto judgement = judge_end(assembly.row(end), readings_of(assembly.at(end)));
        for (const auto& finding : judgement.findings)
            if (finding.margin && (!worst || finding.margin->nm() < *worst)) worst = finding.margin->nm();
    }
    if (!worst) return 0;
    const std::int64_t um = *worst / Length::nm_per_um;
    return *worst % Length::nm_per_um < 0 ? um - 1 : um;
}

void sign_tag_code(TagData& tag, const AssemblyState& assembly, const SigningKey& tag_key, const std::string& link) {
    TagStatement statement;
    statement.key = tag_key.verifier().id();
    statement.serial = tag.serial;
    statement.order = cut_for_tag_code(tag.order);
    statement.date = date_number(tag.assembly_date);
    statement.pressure_kpa = tag.working_pressure.pressure.kpa();
    statement.on_concession = tag.concession_reference.has_value();
    statement.margin_um = worst_margin_um(assembly);
    statement.station = cut_for_tag_code(tag.station);
    const std::string bytes = sign_tag(statement, tag_key);
    tag.code_payload = link.empty() ? tag_code(bytes) : tag_link(link, bytes);
    tag.code_fallback = link.empty() ? std::string() : tag_code(bytes);
}

}  // namespace crimpgate
