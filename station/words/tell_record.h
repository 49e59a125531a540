// What an entry of record_entries.h says, for the shift's log. Part of entry_words.h; internal to station/words.
#pragma once

#include "specs/shown_length.h"
#include "station/entries/entries.h"

namespace crimpgate {

struct TellRecord {
    TellRecord(const std::string& w, ShownUnit u) : person(w), shown_in(u) {}
    const std::string& person;
    ShownUnit shown_in;

    Message operator()(const entries::KeyMade& e) const { return message("told.key_made").with("name", e.name); }
    Message operator()(const entries::KeyHandedOver& e) const {
        return message("told.key_handed_over").with("name", e.name).with("reason", e.reason).with("who", person);
    }
    Message operator()(const entries::RecoveryPrinted&) const {
        return message("told.recovery_printed").with("who", person);
    }
    Message operator()(const entries::WitnessKnown& e) const {
        return message("told.witness_known").with("holder", e.holder).with("who", person);
    }
    Message operator()(const entries::WitnessForgotten& e) const {
        return message("told.witness_forgotten").with("key", e.key).with("reason", e.reason).with("who", person);
    }
    Message operator()(const entries::CheckpointSigned& e) const {
        return message("told.checkpoint_signed").with("size", std::to_string(e.size));
    }
    Message operator()(const entries::CheckpointCountersigned& e) const {
        return message("told.checkpoint_countersigned").with("size", std::to_string(e.size));
    }
    Message operator()(const entries::CertificateIssued& e) const {
        return message("told.certificate_issued")
            .with("certificate", e.certificate)
            .with("subject", e.subject_id)
            .with("releaser", e.releaser);
    }
    Message operator()(const entries::DeliverySent& e) const {
        return message("told.delivery_sent")
            .with("delivery", e.delivery)
            .with("customer", e.customer)
            .with("count", std::to_string(e.serials.size()));
    }
    Message operator()(const entries::DeliveryTakenBack& e) const {
        return message("told.delivery_taken_back")
            .with("delivery", e.delivery)
            .with("count", std::to_string(e.serials.size()))
            .with("reason", e.reason);
    }
    Message operator()(const entries::LinkMade& e) const {
        return (e.opens_by_tag.value_or(false) ? message("told.link_made_by_tag") : message("told.link_made"))
            .with("link", e.link)
            .with("customer", e.customer)
            .with("who", person);
    }
    Message operator()(const entries::LinkRevoked& e) const {
        return message("told.link_revoked").with("link", e.link).with("reason", e.reason).with("who", person);
    }
    Message operator()(const entries::LinkLooked& e) const {
        if (e.by_tag) return message("told.link_looked_by_tag").with("subject", *e.by_tag).with("link", e.link);
        return (e.subject.empty() ? message("told.link_looked")
                                  : message("told.link_looked_at").with("subject", e.subject))
            .with("link", e.link);
    }
    Message operator()(const entries::RecallDrawn& e) const {
        return message("told.recall_drawn")
            .with("recall", e.recall)
            .with("assemblies", std::to_string(e.assemblies))
            .with("delivered", std::to_string(e.delivered))
            .with("who", person);
    }
    Message operator()(const entries::ProofTested& e) const {
        return (e.passed ? message("told.proof_test_passed") : message("told.proof_test_failed"))
            .with("serial", e.serial)
            .with("bar", e.reached.to_bar_text(0))
            .with("seconds", std::to_string(e.held_s));
    }
    Message operator()(const entries::ApplicationOverridden& e) const {
        return message("told.application_overridden")
            .with("order", e.order)
            .with("reason", e.reason)
            .with("who", person);
    }
    Message operator()(const entries::ReturnOpened& e) const {
        return (e.serial.empty() ? message("told.return_opened_unknown")
                                 : message("told.return_opened").with("serial", e.serial))
            .with("return", e.return_)
            .with("customer", e.customer);
    }
    Message operator()(const entries::ReturnAnswered& e) const {
        return message("told.return_answered").with("return", e.return_).with("question", e.question);
    }
    Message operator()(const entries::ReturnBegun& e) const {
        return message("told.return_begun").with("return", e.return_);
    }
    Message operator()(const entries::ReturnLeft& e) const {
        return message("told.return_left").with("return", e.return_);
    }
    Message operator()(const entries::ReturnMeasured& e) const {
        const auto unit = length_unit(shown_in);
        return message("told.return_measured")
            .with("return", e.return_)
            .with("end", e.end == End::a ? "A" : "B")
            .with("flat", std::to_string(e.flat))
            .with("value", to_text(e.value, unit, places_of(e.resolution, unit)));
    }
    Message operator()(const entries::ReturnConcluded& e) const {
        return message("told.return_concluded").with("return", e.return_).with("who", person);
    }
    Message operator()(const entries::ReturnReopened& e) const {
        return message("told.return_reopened").with("return", e.return_).with("reason", e.reason).with("who", person);
    }
};

}  // namespace crimpgate
