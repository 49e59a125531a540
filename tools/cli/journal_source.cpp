// Straight on the file. For reading unless views are to be built again: a station may be writing at the same time.
#include <chrono>
#include <filesystem>
#include <system_error>

#include <boost/json.hpp>

#include "station/daemon/audit_json.h"
#include "station/daemon/audit_source.h"
#include "station/daemon/local_time.h"
#include "station/entries/entries.h"
#include "station/entries/entry_json.h"
#include "station/http/page_words.h"
#include "station/journal/audit_facts.h"
#include "station/journal/customer_view.h"
#include "station/journal/deliveries.h"
#include "station/journal/queries.h"
#include "station/json/reflect.h"
#include "station/words/catalogue.h"
#include "tools/cli/source.h"

namespace crimpgate::cli {

namespace {

namespace json = boost::json;

class JournalSource : public Source {
  public:
    explicit JournalSource(Journal journal) : journal_(std::move(journal)) {}

    Result<json::array> orders() override { return crimpgate::orders(journal_); }
    Result<json::array> holds(bool all) override { return all ? all_holds(journal_) : open_holds(journal_); }
    Result<json::object> trace(const Serial& serial) override { return crimpgate::trace(journal_, serial.text()); }

    Result<json::array> entries(std::int64_t from, std::int64_t limit) override {
        auto found = entries_since(journal_, from - 1, limit);
        if (!found) return found;
        for (auto& value : *found) {
            auto& entry = value.as_object();
            const std::string_view type(entry.at("type").as_string());
            if (type != entries::PersonAdded::type && type != entries::SecretSet::type) continue;
            entry = json::object{
                {"seq", entry.at("seq")}, {"type", entry.at("type")}, {"hash", entry.at("hash")}, {"withheld", true}};
        }
        return found;
    }

    Result<json::object> verify() override {
        const auto verified = journal_.verify();
        if (!verified) return refuse(verified.error());
        read_through_ = ReadThrough{now_ms(), *verified};
        json::object out{{"sound", verified->sound()}, {"entries", verified->entries}};
        if (verified->damage) {
            auto damage = reflect::write(*verified->damage).as_object();
            damage["words"] = say(*verified->damage);
            out["damage"] = std::move(damage);
            out["damaged_seq"] = verified->damaged_seq;
        }
        return out;
    }

    Result<json::object> audit(const AuditWanted& wanted) override {
        AuditSetting setting;
        setting.now_ms = now_ms();
        setting.read_through = read_through_;
        const auto made = audit_of(journal_, wanted, setting);
        if (!made) return refuse(made.error());
        return audit_json(*made);
    }

    Result<ShownUnit> shown_unit() override {
        const auto set = last_entry_of(journal_, entries::LimitsSet::type);
        if (!set) return refuse(set.error());
        if (set->empty()) return ShownUnit::mm;
        const auto limits = entry_body(entries::LimitsSet::type, set->at("body").as_object());
        if (!limits) return refuse(limits.error());
        return std::get<entries::LimitsSet>(*limits).shown_unit;
    }

    Result<RecallMade> recall(const RecallWanted& wanted, std::size_t most_rows) override {
        const auto zone = shop_zone();
        if (!zone) return refuse(zone.error());
        const auto asked = recall_asked(wanted, *zone);
        if (!asked) return refuse(asked.error());
        return make_recall(journal_, *asked, most_rows);
    }
    Result<std::string> draw_recall(const RecallWanted&, const std::string&) override { return needs_station(); }
    Result<std::string> recall_letter(const RecallMade& made, const LetterAsked& asked,
                                      const std::string& customer) override {
        const auto zone = shop_zone();
        if (!zone) return refuse(zone.error());
        auto letter = recall_letter_to(made, customer, asked.reason);
        if (!letter) return refuse(letter.error());
        letter->size = asked.size;
        letter->language = asked.language;
        letter->say = [&](const Message& m) { return say_in(asked.language, m); };
        letter->shop = asked.shop;
        letter->date = local_date(now_ms(), *zone);
        return recall_letter_pdf(*letter);
    }
    Result<json::array> deliveries() override { return crimpgate::deliveries(journal_, all_deliveries); }
    Result<json::object> delivery(const std::string& number) override { return crimpgate::delivery(journal_, number); }
    Result<void> send_delivery(const json::object&, bool, std::vector<std::string>&) override {
        return needs_station();
    }
    Result<json::array> links() override { return crimpgate::links(journal_, all_deliveries); }
    Result<json::object> make_link(const json::object&) override { return needs_station(); }
    Result<void> revoke_link(const json::object&) override { return needs_station(); }

    Result<void> rebuild_views() override { return journal_.rebuild_views(); }
    Result<void> back_up(const std::string& to) override { return journal_.back_up(to); }

  private:
    static constexpr std::int64_t all_deliveries = 1'000'000;

    static tl::unexpected<Message> needs_station() { return refuse(message("cli.needs_station")); }

    // A journal that was never worked at, or of a zone that this machine does not know, is read in UTC.
    Result<std::string> shop_zone() {
        auto zone = last_time_zone(journal_);
        if (zone && (zone->empty() || !check_time_zone(*zone))) return std::string("UTC");
        return zone;
    }

    static std::int64_t now_ms() {
        return std::chrono::duration_cast<std::chrono::milliseconds>(
                   std::chrono::system_clock::now().time_since_epoch())
            .count();
    }

    Journal journal_;
    std::optional<ReadThrough> read_through_;
};

}  // namespace

Result<std::unique_ptr<Source>> journal_source(const std::string& file, Access access) {
    // Opening for writing would make a file that is not there.
    std::error_code why;
    const auto status = std::filesystem::status(file, why);
    if (!std::filesystem::exists(status))
        return refuse(message("cli.no_file").with("file", file).with("reason", why ? why.message() : "there is none"));
    if (!std::filesystem::is_regular_file(status))
        return refuse(message("cli.no_file").with("file", file).with("reason", "it is no plain file"));
    JournalOptions options;
    options.access = access == Access::write ? JournalAccess::write : JournalAccess::read;
    auto journal = Journal::open(file, options);
    if (!journal) return refuse(journal.error());
    return std::make_unique<JournalSource>(std::move(*journal));
}

}  // namespace crimpgate::cli
