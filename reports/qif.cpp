#include "reports/qif.h"

#include <fmt/format.h>

#include <algorithm>

#include "reports/qif_characteristics.h"

namespace crimpgate {

namespace {

using namespace qif;

constexpr const char* name_space = "http://qifstandards.org/xsd/qif3";

// What a whole assembly comes to by its verdicts: a concession makes nothing better.
const char* status_of(const CertificateAssembly& assembly) {
    bool fails = false, uncertain = false;
    for (const auto& end : assembly.ends)
        for (const auto& reading : end.readings) {
            fails = fails || reading.verdict == Verdict::fails;
            uncertain = uncertain || reading.verdict == Verdict::uncertain;
        }
    // A test that failed and was repeated: the last one says what the assembly is.
    if (!assembly.proof_tests.empty() && !assembly.proof_tests.back().passed) fails = true;
    return fails ? "FAIL" : uncertain ? "UNKNOWN" : "PASS";
}

// The last thing that the file tells.
std::int64_t latest_ms(const CertificateData& data) {
    std::int64_t out = data.issued_ms;
    const auto see = [&out](std::int64_t ms) { out = std::max(out, ms); };
    for (const auto& a : data.assemblies) {
        see(a.passed_ms);
        for (const auto& end : a.ends)
            for (const auto& reading : end.readings)
                see(reading.at_ms);
        for (const auto& concession : a.concessions)
            see(concession.at_ms);
        for (const auto& recrimp : a.recrimps)
            see(recrimp.at_ms);
        for (const auto& test : a.proof_tests)
            see(test.at_ms);
    }
    return out;
}

// Which version of the results of an assembly it is: the entries that they are made of.
std::string version_of(const CertificateAssembly& a) {
    auto out = fmt::format("{}\n{}", a.serial, a.passed_seq);
    for (const auto& end : a.ends)
        for (const auto& reading : end.readings)
            out += fmt::format(",{}", reading.seq);
    for (const auto& concession : a.concessions)
        out += fmt::format(",{}", concession.seq);
    for (const auto& test : a.proof_tests)
        out += fmt::format(",{}", test.at_ms);
    return out;
}

std::string joined(const std::vector<std::string>& parts) {
    std::string out;
    for (const auto& part : parts)
        if (!part.empty()) out += (out.empty() ? "" : ", ") + part;
    return out;
}

struct Text : pugi::xml_writer {
    std::string out;
    void write(const void* bytes, std::size_t size) override { out.append(static_cast<const char*>(bytes), size); }
};

class File {
  public:
    File(const CertificateData& data, const QifMaker& maker) : data_(data), maker_(maker), words_(maker) {}

    std::string text() {
        auto declaration = document_.append_child(pugi::node_declaration);
        declaration.append_attribute("version").set_value("1.0");
        declaration.append_attribute("encoding").set_value("UTF-8");
        auto root = add(document_, "QIFDocument");
        root.append_attribute("xmlns").set_value(name_space);
        root.append_attribute("versionQIF").set_value("3.0.0");
        auto most = root.append_attribute("idMax");
        auto own_id = add(root, "QPId", "");
        head(root);
        standards(root);
        traceability(root);
        units(root);
        devices(root);
        auto asked = add(root, "Characteristics");
        add(asked, "FormalStandardId", std::to_string(standard_));
        Characteristics characteristics(data_, maker_, ids_, asked);
        results(root, characteristics);
        most.set_value(static_cast<long long>(ids_.last()));
        // Of all that the file says: what says something else has another name.
        own_id.text().set(maker_.uuid("qif", written()).c_str());
        return written();
    }

  private:
    std::string written() const {
        Text text;
        document_.save(text, "  ", pugi::format_indent, pugi::encoding_utf8);
        return std::move(text.out);
    }
    pugi::xml_node with_id(pugi::xml_node node, std::int64_t id) {
        node.append_attribute("id").set_value(static_cast<long long>(id));
        return node;
    }

    void head(pugi::xml_node root) {
        add(add(root, "Version"), "TimeCreated", utc(latest_ms(data_)));
        auto header = add(root, "Header");
        add(add(header, "Application"), "Name", "crimpgate");
        if (!data_.shop.empty()) add(add(header, "Author"), "Organization", data_.shop);
        add(header, "Description",
            words_.in("en", message("qif.about")) + "\n" + words_.in("en", message("certificate.paper.caution")) +
                "\n" + words_.in("de", message("qif.about")) + "\n" +
                words_.in("de", message("certificate.paper.caution")));
        add(header, "Scope", "Results");
    }

    // The spec rows, and the decision rule's standard where there is one. A file of several rows is held against a list
    // of them, since the standard wants one name there.
    void standards(pugi::xml_node root) {
        auto all = list(root, "StandardsDefinitions");
        std::vector<const SpecRow*> rows;
        for (const auto& item : data_.items)
            for (const auto* row : {&item.row_a, &item.row_b})
                if (std::none_of(rows.begin(), rows.end(), [row](const auto* known) { return *known == *row; }))
                    rows.push_back(row);
        std::vector<std::int64_t> own;
        std::int64_t iso = 0, jcgm = 0;
        for (const auto* row : rows) {
            std::vector<std::int64_t> rule;
            if (row->rule.kind == RuleKind::guarded && row->rule.guard_factor_thousandths == 1650) {
                if (iso == 0) iso = standard(all, "ISO", "14253-1", "2017");
                rule = {iso};
            } else if (row->rule.kind == RuleKind::guarded) {
                if (jcgm == 0) jcgm = standard(all, "", "JCGM 106", "2012");
                rule = {jcgm};
            }
            own.push_back(standard(all, *row, rule));
        }
        standard_ = own.front();
        if (own.size() == 1) return;
        auto several = with_id(member(all, "Standard"), standard_ = ids_.next());
        add(add(several, "Organization"), "OtherStandardsOrganization", data_.shop);
        add(several, "Designator", words_.in("en", message("qif.several_rows")));
        add(several, "Description", words_.in("de", message("qif.several_rows")));
        references(several, "ReferencedStandardIds", own);
    }

    std::int64_t standard(pugi::xml_node all, const char* organization, const char* designator, const char* year) {
        const auto id = ids_.next();
        auto one = with_id(member(all, "Standard"), id);
        auto from = add(one, "Organization");
        if (*organization != 0)
            add(from, "StandardsOrganizationEnum", organization);
        else
            add(from, "OtherStandardsOrganization", "JCGM");
        add(one, "Designator", designator);
        add(one, "Year", year);
        return id;
    }

    std::int64_t standard(pugi::xml_node all, const SpecRow& row, const std::vector<std::int64_t>& rule) {
        const auto id = ids_.next();
        auto one = with_id(member(all, "Standard"), id);
        Attributes attributes(one);
        attributes.text("Specification", row.spec_id);
        attributes.text("Revision", row.revision);
        attributes.text("Hose", joined({row.hose.maker, row.hose.type, "-" + std::to_string(row.hose.dash)}));
        attributes.text("HoseStandard", row.hose.standard);
        attributes.text("Fitting", joined({row.fitting.maker, row.fitting.series, row.fitting.end_family,
                                           row.fitting.end_form, row.fitting.end_size}));
        attributes.text("DieSet", row.die_set);
        attributes.text("Crimper", row.crimper);
        add(add(one, "Organization"), "OtherStandardsOrganization", row.fitting.maker);
        add(one, "Designator", spec_of(row));
        if (!row.source.empty()) add(one, "Description", row.source);
        references(one, "ReferencedStandardIds", rule);
        return id;
    }

    void traceability(pugi::xml_node root) {
        auto at = add(root, "PreInspectionTraceability");
        if (!data_.shop.empty()) {
            auto shop = add(at, "InspectingOrganization");
            add(shop, "Name", data_.shop);
            Attributes attributes(shop);
            attributes.text("Address", data_.address);
            attributes.text("Station", data_.station);
        }
        if (!data_.customer.empty()) {
            auto customer = add(at, "CustomerOrganization");
            add(customer, "Name", data_.customer);
            add(customer, "CustomerNumber", data_.customer);  // the shop knows customers by their names
        }
        if (!data_.number.empty()) add(at, "ReportNumber", data_.number);
        add(at, "InspectionScope", "ASSEMBLY");
        add(at, "InspectionMode", "100Percent");
        add(at, "FormalStandardId", std::to_string(standard_));
    }

    void units(pugi::xml_node root) const {
        auto at = add(add(root, "FileUnits"), "PrimaryUnits");
        const auto one = [at](const char* element, const char* si, const char* name, const char* factor) {
            auto unit = add(at, element);
            add(unit, "SIUnitName", si);
            add(unit, "UnitName", name);
            add(add(unit, "UnitConversion"), "Factor", factor);
        };
        one("LinearUnit", "meter", "mm", "0.001");
        if (std::any_of(data_.assemblies.begin(), data_.assemblies.end(),
                        [](const auto& a) { return !a.proof_tests.empty(); }))
            one("PressureUnit", "pascal", "bar", "100000");
    }

    // A gauge by each of its registrations that readings stand on. Calibrated and due are days, without a time zone as
    // the record has them; the gauge measures up to the end of the day on which it is due.
    void devices(pugi::xml_node root) {
        if (data_.gauges.empty()) return;
        auto all = list(add(root, "MeasurementResources"), "MeasurementDevices");
        for (const auto& gauge : data_.gauges) {
            const auto id = devices_[gauge.seq] = ids_.next();
            auto one = with_id(member(all, "MeasurementDevice"), id);
            add(one, "Name", gauge.gauge);
            add(one, "SerialNumber", gauge.gauge);
            Attributes attributes(one);
            attributes.text("Resolution", millimetres(gauge.resolution) + " mm");
            attributes.text("CalibrationCertificate", gauge.certificate);
            attributes.text("CalibratedOn", gauge.calibrated);
            attributes.text("CalibrationDue", gauge.due);
            for (const auto& proof : data_.proofs)
                if (proof.gauge == gauge.gauge)
                    attributes.text(fmt::format("GaugeCheck{}", proof.seq).c_str(), said(proof));
            if (gauge.due.empty()) continue;  // the standard wants the end of a calibration where it has a beginning
            auto calibration = member(list(one, "Calibrations"), "Calibration");
            if (!gauge.calibrated.empty()) add(calibration, "CalibrationDate", gauge.calibrated + "T00:00:00");
            add(calibration, "ExpirationDate", gauge.due + "T23:59:59");
        }
    }
    std::string said(const CertificateProof& proof) const {
        return words_.both(
            message("qif.gauge_check")
                .with("time", utc(proof.at_ms))
                .with("reference", proof.reference)
                .with("certificate", proof.reference_certificate.empty() ? "-" : proof.reference_certificate)
                .with("size", millimetres(proof.size))
                .with("value", millimetres(proof.value))
                .with("error", millimetres(proof.error))
                .with("limit", millimetres(proof.limit)));
    }

    void results(pugi::xml_node root, Characteristics& characteristics) {
        auto at = add(root, "Results");
        auto sets = list(at, "MeasurementResultsSet");
        auto components = member(list(at, "ActualComponentSets"), "ActualComponentSet");
        components.append_attribute("n").set_value(0);
        for (const auto& assembly : data_.assemblies) {
            Measuring measuring;
            measuring.component = ids_.next();
            measuring.devices = devices_;
            auto one = with_id(member(sets, "MeasurementResults"), ids_.next());
            events(one, assembly, measuring);
            add(one, "ThisResultsInstanceQPId", maker_.uuid("qif-results", version_of(assembly)));
            measuring.measurements = list(add(one, "MeasuredCharacteristics"), "CharacteristicMeasurements");
            characteristics.measured(assembly, measuring);
            add(add(one, "InspectionStatus"), "InspectionStatusEnum", status_of(assembly));
            references(one, "ActualComponentIds", std::vector<std::int64_t>{measuring.component});
            component(components, assembly, measuring.component);
        }
    }

    // Concessions and re-crimps in the order of time, and who let it pass.
    void events(pugi::xml_node at, const CertificateAssembly& assembly, Measuring& measuring) {
        struct Event {
            std::int64_t ms = 0;
            bool concession = false;
            std::string words;
        };
        std::vector<Event> all;
        for (const auto& c : assembly.concessions) {
            auto words =
                message("qif.concession").with("reference", c.reference).with("by", c.by).with("reason", c.reason);
            auto said = words_.both(words);
            if (!c.second.empty()) said += " " + words_.both(message("qif.second").with("by", c.second));
            all.push_back({c.at_ms, true, std::move(said)});
        }
        for (const auto& r : assembly.recrimps)
            all.push_back({r.at_ms, false, words_.both(message("qif.recrimp").with("by", r.by))});
        std::stable_sort(all.begin(), all.end(), [](const Event& a, const Event& b) { return a.ms < b.ms; });

        auto traced = add(at, "InspectionTraceability");
        if (!all.empty()) {
            auto noted = list(traced, "NotedEvents");
            std::int64_t number = 0;
            for (const auto& event : all) {
                const auto id = ids_.next();
                if (event.concession) measuring.concessions.push_back(id);
                auto one = with_id(member(noted, "NotedEvent"), id);
                add(one, "Description", event.words);
                add(one, "SequenceNumber", std::to_string(++number));
                if (event.ms > 0) add(one, "TimeOccurred", utc(event.ms));
            }
        }
        if (assembly.passed_ms > 0) add(traced, "InspectionEnd", utc(assembly.passed_ms));
        if (!assembly.passed_by.empty()) add(add(traced, "InspectionOperator"), "Name", assembly.passed_by);
    }

    void component(pugi::xml_node components, const CertificateAssembly& assembly, std::int64_t id) {
        const auto& item = data_.items.at(assembly.item);
        auto one = with_id(member(components, "ActualComponent"), id);
        Attributes attributes(one);
        attributes.text("Order", item.order);
        attributes.text("CustomerPart", item.customer_part);
        attributes.text("HoseLot", item.hose_lot);
        attributes.text("HoseMade", item.hose_made);
        attributes.text("FittingLotEndA", assembly.ends[0].fitting_lot);
        attributes.text("FittingLotEndB", assembly.ends[1].fitting_lot);
        attributes.text("SpecificationEndA", spec_of(item.row_a));
        attributes.text("SpecificationEndB", spec_of(item.row_b));
        attributes.text("WorkingPressure", bar(item.working_pressure) + " bar");
        attributes.text("OverallLength", millimetres(item.overall_length) + " mm");
        attributes.text("CutLength", millimetres(item.cut_length) + " mm");
        attributes.number("Recrimps", static_cast<std::int64_t>(assembly.recrimps.size()));
        attributes.text("ConcessionReference", assembly.concession_reference);
        attributes.number("RecordEntry", assembly.passed_seq);
        if (assembly.clock_unsynced) attributes.text("Clock", words_.both(message("qif.clock_unsynced")));
        add(one, "SerialNumber", assembly.serial);
        add(add(one, "Status"), "InspectionStatusEnum", status_of(assembly));
    }

    const CertificateData& data_;
    const QifMaker& maker_;
    Words words_;
    Ids ids_;
    std::int64_t standard_ = 0;
    std::map<std::int64_t, std::int64_t> devices_;
    pugi::xml_document document_;
};

}  // namespace

std::string qif_xml(const CertificateData& data, const QifMaker& maker) {
    return File(data, maker).text();
}

}  // namespace crimpgate
