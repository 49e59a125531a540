#include "reports/qif_characteristics.h"

#include <fmt/format.h>

namespace crimpgate::qif {

namespace {

const char* yes_no(bool yes) {
    return yes ? "yes" : "no";
}

const char* word_of(MarkSeen seen) {
    switch (seen) {
        case MarkSeen::at_edge:
            return "at_edge";
        case MarkSeen::gap:
            return "gap";
        case MarkSeen::hidden:
            return "hidden";
    }
    return "";
}

std::string key_of(const std::optional<Length>& length) {
    return length ? std::to_string(length->nm()) : "-";
}

Message rule_message(const DecisionRule& rule) {
    if (rule.kind == RuleKind::simple) return message("qif.rule_simple");
    if (rule.guard_factor_thousandths == 1650) return message("qif.rule_iso");
    return message("qif.rule_guarded").with("factor", decimal(rule.guard_factor_thousandths, 3));
}

std::optional<Length> nominal_in(const SpecRow& row, const CertificateReading& reading) {
    std::optional<Toleranced> asked;
    if (reading.what == Characteristic::crimp_diameter) asked = row.crimp;
    if (reading.what == Characteristic::depth) asked = row.depth;
    if (reading.what == Characteristic::skive_outer) asked = row.skive_outer;
    if (reading.what == Characteristic::skive_inner) asked = row.skive_inner;
    // The limits are the entry's own (R5); a row that says others has no nominal to give them.
    if (!asked || asked->band().lower != reading.lower || asked->band().upper != reading.upper) return std::nullopt;
    return asked->nominal;
}

}  // namespace

const char* status_of(Verdict verdict) {
    switch (verdict) {
        case Verdict::conforms:
            return "PASS";
        case Verdict::fails:
            return "FAIL";
        case Verdict::uncertain:
            break;
    }
    return "INDETERMINATE";
}

std::string spec_of(const SpecRow& row) {
    return row.spec_id + " rev " + row.revision;
}

std::string Words::in(std::string_view language, const Message& message) const {
    return maker_.say ? maker_.say(language, message) : message.code;
}

std::string Words::both(const Message& message) const {
    const auto english = in("en", message), german = in("de", message);
    return english == german ? english : english + " / " + german;
}

std::string Words::word(std::string_view language, std::string_view code) const {
    return in(language, Message{"audit.value." + std::string(code), {}});
}

// How the standard names a characteristic, and the words that one of our own needs.
struct Characteristics::Kind {
    std::string element;
    std::optional<Message> meaning;

    static Kind of(const CertificateReading& reading) {
        if (!reading.value) {
            if (reading.what == Characteristic::lubricant)
                return {"UserDefinedAttribute", message("qif.meaning.lubricant")};
            if (reading.what == Characteristic::bore_pin)
                return {"UserDefinedAttribute", message("qif.meaning.bore_pin")};
            return {"UserDefinedAttribute", message("qif.meaning.mark")};
        }
        switch (reading.what) {
            case Characteristic::crimp_diameter:
                return {"Diameter", {}};
            case Characteristic::depth:
                return {"Depth", {}};
            case Characteristic::skive_outer:
            case Characteristic::skive_inner:
                return {"Length", {}};
            case Characteristic::spread:
                return {"UserDefinedLinear", message("qif.meaning.spread")};
            default:
                return {"UserDefinedLinear", message("qif.meaning.mark_measured")};
        }
    }
};

Characteristics::Characteristics(const CertificateData& data, const QifMaker& maker, Ids& ids, pugi::xml_node at)
    : data_(data),
      words_(maker),
      ids_(ids),
      definitions_(list(at, "CharacteristicDefinitions")),
      nominals_(list(at, "CharacteristicNominals")),
      items_(list(at, "CharacteristicItems")) {
    for (const auto& proof : data.proofs)
        proofs_[proof.seq] = &proof;
}

std::string Characteristics::name(std::string_view language, std::string_view what, std::size_t end,
                                  std::int64_t flat) const {
    const auto said = words_.word(language, what), letter = words_.word(language, end == 0 ? "a" : "b");
    if (flat == 0) return words_.in(language, message("qif.name").with("what", said).with("end", letter));
    return words_.in(
        language, message("qif.name_place").with("what", said).with("end", letter).with("place", std::to_string(flat)));
}

void Characteristics::limits(pugi::xml_node definition, const CertificateReading& reading) const {
    if (!reading.lower && !reading.upper) {
        add(definition, "NonTolerance", "MEASURED");
        return;
    }
    auto tolerance = add(definition, "Tolerance");
    if (reading.upper) add(tolerance, "MaxValue", millimetres(*reading.upper));
    if (reading.lower) add(tolerance, "MinValue", millimetres(*reading.lower));
    add(tolerance, "DefinedAsLimit", "true");
}

std::int64_t Characteristics::nominal_of(const SpecRow& row, const CertificateReading& reading, const Kind& kind) {
    const auto nominal = nominal_in(row, reading);
    const auto key = fmt::format("{}\n{}\n{}\n{}\n{}\n{}\n{}\n{}", kind.element, code_of(reading.what), row.spec_id,
                                 row.revision, key_of(reading.lower), key_of(reading.upper), key_of(nominal),
                                 row.rule.kind == RuleKind::simple ? 0 : row.rule.guard_factor_thousandths);
    const auto [found, fresh] = nominal_ids_.try_emplace(key, 0);
    if (!fresh) return found->second;

    auto definition = member(definitions_, (kind.element + "CharacteristicDefinition").c_str());
    const auto id = ids_.next();
    definition.append_attribute("id").set_value(static_cast<long long>(id));
    Attributes attributes(definition);
    attributes.text("Specification", spec_of(row));
    if (reading.value) attributes.text("DecisionRule", words_.both(rule_message(row.rule)));
    add(definition, "Name", words_.word("en", code_of(reading.what)));
    if (reading.what == Characteristic::crimp_diameter)
        add(add(definition, "DimensionModifiers"), "DeterminationModifier", "LP");
    if (reading.value) limits(definition, reading);
    if (kind.meaning) add(definition, "WhatToMeasure", words_.both(*kind.meaning));

    auto node = member(nominals_, (kind.element + "CharacteristicNominal").c_str());
    found->second = ids_.next();
    node.append_attribute("id").set_value(static_cast<long long>(found->second));
    add(node, "CharacteristicDefinitionId", std::to_string(id));
    if (nominal) add(node, "TargetValue", millimetres(*nominal));
    if (!reading.value) {
        const bool mark = reading.what == Characteristic::mark_before || reading.what == Characteristic::mark_after;
        auto pass = list(node, "PassValues"), fail = list(node, "FailValues");
        if (mark) {
            member(pass, "StringValue", word_of(MarkSeen::at_edge));
            member(fail, "StringValue", word_of(MarkSeen::gap));
            member(fail, "StringValue", word_of(MarkSeen::hidden));
        } else {
            member(pass, "StringValue", yes_no(true));
            member(fail, "StringValue", yes_no(false));
        }
    }
    return found->second;
}

const Characteristics::Item& Characteristics::item_of(const CertificateAssembly& assembly, std::size_t end,
                                                      const CertificateReading& reading) {
    const auto& made_to = data_.items.at(assembly.item);
    const auto kind = Kind::of(reading);
    const auto nominal = nominal_of(end == 0 ? made_to.row_a : made_to.row_b, reading, kind);
    const auto [found, fresh] =
        item_ids_.try_emplace(fmt::format("{}\n{}\n{}", nominal, end, reading.flat), Item{0, kind.element});
    if (!fresh) return found->second;
    auto node = member(items_, (kind.element + "CharacteristicItem").c_str());
    found->second.id = ids_.next();
    node.append_attribute("id").set_value(static_cast<long long>(found->second.id));
    const auto english = name("en", code_of(reading.what), end, reading.flat);
    add(node, "Description", name("de", code_of(reading.what), end, reading.flat));
    add(node, "Name", english);
    add(node, "CharacteristicNominalId", std::to_string(nominal));
    return found->second;
}

// Each test of an assembly has an item of its own, the first, the second ...
const Characteristics::Item& Characteristics::item_of(const CertificateProofTest& test, std::size_t number) {
    const std::string element = "UserDefinedPressure";
    const auto [nominal, fresh_nominal] = nominal_ids_.try_emplace(fmt::format("{}\n{}", element, test.asked.kpa()), 0);
    if (fresh_nominal) {
        auto definition = member(definitions_, (element + "CharacteristicDefinition").c_str());
        const auto id = ids_.next();
        definition.append_attribute("id").set_value(static_cast<long long>(id));
        add(definition, "Name", words_.in("en", message("qif.proof_test")));
        auto tolerance = add(definition, "Tolerance");
        add(tolerance, "MinValue", bar(test.asked));
        add(tolerance, "DefinedAsLimit", "true");
        add(definition, "WhatToMeasure", words_.both(message("qif.meaning.proof_test")));
        auto node = member(nominals_, (element + "CharacteristicNominal").c_str());
        nominal->second = ids_.next();
        node.append_attribute("id").set_value(static_cast<long long>(nominal->second));
        add(node, "CharacteristicDefinitionId", std::to_string(id));
    }
    const auto [found, fresh] =
        item_ids_.try_emplace(fmt::format("{}\nproof\n{}", nominal->second, number), Item{0, element});
    if (!fresh) return found->second;
    auto node = member(items_, (element + "CharacteristicItem").c_str());
    found->second.id = ids_.next();
    node.append_attribute("id").set_value(static_cast<long long>(found->second.id));
    const auto count = number > 1 ? " " + std::to_string(number) : std::string();
    add(node, "Description", words_.in("de", message("qif.proof_test")) + count);
    add(node, "Name", words_.in("en", message("qif.proof_test")) + count);
    add(node, "CharacteristicNominalId", std::to_string(nominal->second));
    return found->second;
}

pugi::xml_node Characteristics::measurement(const Item& item, const Measuring& measuring) {
    auto node = member(measuring.measurements, (item.element + "CharacteristicMeasurement").c_str());
    node.append_attribute("id").set_value(static_cast<long long>(ids_.next()));
    return node;
}

void Characteristics::notes(pugi::xml_node at, const CertificateAssembly& assembly,
                            const CertificateReading& reading) const {
    Attributes attributes(at);
    if (reading.seq > 0) attributes.number("RecordEntry", reading.seq);
    attributes.text("MeasuredBy", reading.person);
    if (reading.uncertainty) attributes.text("StandardUncertainty", millimetres(*reading.uncertainty) + " mm");
    if (reading.guard) attributes.text("Guard", millimetres(*reading.guard) + " mm");
    if (proofs_.contains(reading.proof_seq)) attributes.number("GaugeCheckEntry", reading.proof_seq);
    if (reading.conceded) {
        attributes.flag("Conceded", true);
        attributes.text("ConcessionReference", assembly.concession_reference);
        add(at, "Description", words_.both(message("qif.conceded").with("reference", assembly.concession_reference)));
    } else if (reading.verdict == Verdict::uncertain) {
        add(at, "Description", words_.both(message("qif.uncertain")));
    }
}

void Characteristics::one(const CertificateAssembly& assembly, const CertificateReading& reading, const Item& item,
                          const Measuring& measuring) {
    auto node = measurement(item, measuring);
    notes(node, assembly, reading);
    add(add(node, "Status"), "CharacteristicStatusEnum", status_of(reading.verdict));
    add(node, "CharacteristicItemId", std::to_string(item.id));
    if (reading.at_ms > 0) add(node, "TimeStamp", utc(reading.at_ms));
    add(node, "ActualComponentId", std::to_string(measuring.component));
    std::vector<std::int64_t> devices;
    if (const auto device = measuring.devices.find(reading.gauge_seq); device != measuring.devices.end())
        devices.push_back(device->second);
    references(node, "MeasurementDeviceIds", devices);
    if (reading.conceded) {
        references(node, "NotedEventIds", measuring.concessions);
        add(node, "NonConformanceDesignator", assembly.concession_reference);
    }
    if (!reading.value) {
        add(node, "Value", reading.seen ? word_of(*reading.seen) : yes_no(reading.yes.value_or(false)));
        return;
    }
    auto value = add(node, "Value", millimetres(*reading.value, places_of(reading.resolution)));
    // The standard wants both or neither: the gauge's own error is known from the check that the reading stands on.
    if (const auto proof = proofs_.find(reading.proof_seq); proof != proofs_.end() && reading.uncertainty) {
        value.append_attribute("combinedUncertainty").set_value(millimetres(*reading.uncertainty).c_str());
        value.append_attribute("meanError").set_value(millimetres(proof->second->error.abs()).c_str());
    }
}

void Characteristics::one(const CertificateProofTest& test, const Item& item, const Measuring& measuring) {
    auto node = measurement(item, measuring);
    Attributes attributes(node);
    attributes.number("HoldAskedSeconds", test.asked_s);
    attributes.number("HeldSeconds", test.held_s);
    attributes.text("Medium", test.medium);
    attributes.text("Seen", test.seen);
    attributes.text("Manometer", test.manometer);
    attributes.text("TestedBy", test.by);
    add(add(node, "Status"), "CharacteristicStatusEnum", test.passed ? "PASS" : "FAIL");
    add(node, "CharacteristicItemId", std::to_string(item.id));
    if (test.at_ms > 0) add(node, "TimeStamp", utc(test.at_ms));
    add(node, "ActualComponentId", std::to_string(measuring.component));
    add(node, "Value", bar(test.reached));
}

void Characteristics::measured(const CertificateAssembly& assembly, const Measuring& measuring) {
    for (std::size_t end = 0; end < 2; ++end)
        for (const auto& reading : assembly.ends[end].readings)
            one(assembly, reading, item_of(assembly, end, reading), measuring);
    std::size_t number = 0;
    for (const auto& test : assembly.proof_tests)
        one(test, item_of(test, ++number), measuring);
}

}  // namespace crimpgate::qif
