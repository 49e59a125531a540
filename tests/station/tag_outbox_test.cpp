#include "station/daemon/tag_outbox.h"

#include <filesystem>
#include <fstream>
#include <iterator>

#include "tests/station/desk_kit.h"

using namespace crimpgate;
using namespace crimpgate::test;
namespace fs = std::filesystem;

namespace {

class FakePrinter final : public Printer {
  public:
    Result<std::string> print(const PrintJob& job) override {
        if (silent) return refuse(message("printer.in_doubt").with("printer", "label").with("said", "no answer"));
        if (broken) return refuse(message("printer.refused").with("printer", "label").with("said", "out of paper"));
        REQUIRE(fs::exists(job.file));
        CHECK(job.width_mm == 100);
        CHECK(job.height_mm == height_mm);
        titles.push_back(job.title);
        return "label-" + std::to_string(titles.size());
    }
    bool broken = false;
    bool silent = false;  // takes the job and never answers
    std::int64_t height_mm = 150;
    std::vector<std::string> titles;
};

const FontSet& fonts() {
    static const FontSet set = FontSet::load(FontSet::built_directory()).value();
    return set;
}

struct Shop {
    explicit Shop(const Bench& bench, bool with_printer = false) : kit(bench) {
        settings.shop = "Corvane Hose Works (invented)";
        settings.folder = kit.folder / "tags";
        settings.printer_name = with_printer ? "label" : "";
        start();
    }
    void start() {
        outbox = std::make_unique<TagOutbox>(
            *kit.desk, fonts(), settings,
            [this](const std::string& queue) {
                queues.push_back(queue);
                return std::shared_ptr<Printer>(std::shared_ptr<Printer>(), &printer);
            },
            elsewhere);
    }
    std::vector<std::string> files() const {
        std::vector<std::string> names;
        for (const auto& file : fs::directory_iterator(settings.folder))
            names.push_back(file.path().filename().string());
        std::sort(names.begin(), names.end());
        return names;
    }
    TagState tag(const std::string& serial) const { return kit.desk->state().assemblies.at(serial).tag; }

    DeskKit kit;
    TagSettings settings;
    FakePrinter printer;
    TagOutbox::Elsewhere elsewhere;   // null: handed over at once
    std::vector<std::string> queues;  // that were asked for
    std::unique_ptr<TagOutbox> outbox;
};

std::string bytes_of(const fs::path& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

}  // namespace

TEST_CASE("R1: a tag is made for each assembly that passed, once, and for none that did not") {
    Bench bench = Bench::ready();
    const std::string first = bench.good_assembly();
    bench.work_to(Characteristic::crimp_diameter);  // a second one, only begun
    Shop shop(bench);
    REQUIRE(shop.outbox->recover());
    shop.outbox->work();
    shop.outbox->work();
    CHECK(shop.files() == std::vector<std::string>{first + ".pdf"});
    CHECK(shop.kit.all<entries::TagPrinting>().size() == 1);
    CHECK(shop.kit.all<entries::TagPrinted>().size() == 1);
    CHECK(bytes_of(shop.settings.folder / (first + ".pdf")).starts_with("%PDF-"));
    CHECK(shop.outbox->reprint(bench.state.current, "lost", "OPA").refusal->code == "bench.no_tag");
}

TEST_CASE("A tag goes to the printer after its file is there, and the print server's job is in the record") {
    Bench bench = Bench::ready();
    const std::string serial = bench.good_assembly();
    Shop shop(bench, true);
    REQUIRE(shop.outbox->recover());
    CHECK(shop.printer.titles == std::vector<std::string>{"crimpgate " + serial});
    CHECK(shop.kit.all<entries::TagPrinted>().front().job == "label-1");
}

TEST_CASE("R11: a reprint says so, with its number, and needs a reason and a person") {
    Bench bench = Bench::ready();
    const std::string serial = bench.good_assembly();
    Shop shop(bench);
    REQUIRE(shop.outbox->recover());
    CHECK(shop.outbox->reprint(serial, "", "OPA").refusal->code == "bench.field_empty");
    CHECK(shop.outbox->reprint(serial, "torn off", "").refusal);
    CHECK_FALSE(shop.outbox->reprint(serial, "torn off", "OPA").refusal);
    CHECK_FALSE(shop.outbox->reprint(serial, "torn off again", "OPA").refusal);
    CHECK(shop.files() ==
          std::vector<std::string>{serial + "-reprint-1.pdf", serial + "-reprint-2.pdf", serial + ".pdf"});
    CHECK(shop.kit.all<entries::TagPrinting>().back().copy == 2);
    CHECK(bytes_of(shop.settings.folder / (serial + ".pdf")) !=
          bytes_of(shop.settings.folder / (serial + "-reprint-1.pdf")));
}

TEST_CASE("R11: a crash between the print job and its answer leaves a doubt that only a person settles") {
    Bench bench = Bench::ready();
    const std::string serial = bench.good_assembly();
    Shop shop(bench, true);
    entries::TagPrinting printing;
    printing.serial = serial;
    printing.file = serial + ".pdf";
    printing.printer = "label";
    REQUIRE_FALSE(shop.kit.desk->run(commands::RecordTag{printing}, "").refusal);

    shop.kit.open();  // the daemon was killed here and comes back
    shop.start();
    REQUIRE(shop.outbox->recover());
    CHECK(shop.printer.titles.empty());
    CHECK(shop.tag(serial) == TagState::in_doubt);
    CHECK(shop.outbox->reprint(serial, "not sure", "OPA").refusal->code == "bench.tag_in_doubt");

    SECTION("found: nothing is printed") {
        REQUIRE_FALSE(shop.kit.desk->run(commands::SettleTagDoubt{serial, true}, "OPA").refusal);
        shop.outbox->work();
        CHECK(shop.printer.titles.empty());
        CHECK(shop.tag(serial) == TagState::printed);
    }
    SECTION("not found: it is printed under its own number, not as a reprint") {
        REQUIRE_FALSE(shop.kit.desk->run(commands::SettleTagDoubt{serial, false}, "OPA").refusal);
        CHECK_FALSE(shop.outbox->reprint(serial, "", "OPA").refusal);
        CHECK(shop.printer.titles == std::vector<std::string>{"crimpgate " + serial});
        CHECK(shop.kit.all<entries::TagPrinting>().back().copy == 0);
    }
}

TEST_CASE("A crash before the file was there is finished at the next start: the same file is not a second tag") {
    Bench bench = Bench::ready();
    const std::string serial = bench.good_assembly();
    Shop whole(bench);
    REQUIRE(whole.outbox->recover());

    Shop shop(bench);
    entries::TagPrinting printing;
    printing.serial = serial;
    printing.file = serial + ".pdf";
    REQUIRE_FALSE(shop.kit.desk->run(commands::RecordTag{printing}, "").refusal);
    shop.kit.open();
    shop.start();
    REQUIRE(shop.outbox->recover());
    CHECK(shop.files() == std::vector<std::string>{serial + ".pdf"});
    CHECK(shop.tag(serial) == TagState::printed);
    CHECK(bytes_of(shop.settings.folder / (serial + ".pdf")) == bytes_of(whole.settings.folder / (serial + ".pdf")));
}

TEST_CASE("R10: a printer that does not take the tag is told, and the tag is printed again when somebody asks for it") {
    Bench bench = Bench::ready();
    const std::string serial = bench.good_assembly();
    Shop shop(bench, true);
    shop.printer.broken = true;
    REQUIRE(shop.outbox->recover());
    CHECK(shop.kit.all<entries::TagFailed>().front().why.code == "printer.refused");
    shop.outbox->work();  // does not go on by itself
    CHECK(shop.kit.all<entries::TagPrinting>().size() == 1);
    shop.printer.broken = false;
    CHECK_FALSE(shop.outbox->reprint(serial, "", "OPA").refusal);
    CHECK(shop.tag(serial) == TagState::printed);
    CHECK(shop.kit.all<entries::TagPrinting>().back().copy == 0);
}

TEST_CASE("R1: a tag that was printed before a concession is replaced by one that says CONCESSION") {
    Bench bench = Bench::ready();
    const std::string serial = bench.good_assembly();
    Shop shop(bench);
    REQUIRE(shop.outbox->recover());
    auto& desk = *shop.kit.desk;
    // The gauge fails its proof, so the assembly is suspect; the customer takes it as it is.
    REQUIRE_FALSE(desk.run(commands::ProveGauge{"CAL-1", "RING-25"}, "OPA").refusal);
    Reading off;
    off.value = 25100_um;
    off.resolution = 10_um;
    desk.run(commands::GaugeSaid{"CAL-1", GaugeEvent(off)}, "");
    REQUIRE(desk.state().assemblies.at(serial).stage == Stage::on_hold);
    commands::SettleHold settle{serial, Settlement::concession, "margins are wide", "CUST-77"};
    REQUIRE_FALSE(desk.run(settle, "LEB").refusal);
    shop.outbox->work();
    REQUIRE(shop.kit.all<entries::TagPrinting>().size() == 2);
    CHECK(shop.kit.all<entries::TagPrinting>().back().copy == 1);
    CHECK(shop.files() == std::vector<std::string>{serial + "-reprint-1.pdf", serial + ".pdf"});
    const auto tag =
        tag_of(desk.state(), desk.state().assemblies.at(serial), shop.settings, "bench-1", "2026-11-25", 1);
    CHECK(tag.concession_reference == "CUST-77");
}

TEST_CASE("R11: what failed is tried again as what it was, under its own number, and never what came out") {
    Bench bench = Bench::ready();
    const std::string first = bench.good_assembly();
    const std::string second = bench.good_assembly();
    Shop shop(bench, true);
    REQUIRE(shop.outbox->recover());
    REQUIRE(shop.printer.titles.size() == 2);
    shop.printer.broken = true;
    // A reprint of the first fails; the second's tag is there.
    CHECK(shop.outbox->reprint(first, "torn off", "OPA").refusal == std::nullopt);
    CHECK(shop.tag(first) == TagState::failed);
    shop.printer.titles.clear();
    shop.printer.broken = false;

    CHECK(shop.outbox->retry("").refusal);  // a reprint is a person's
    CHECK(shop.printer.titles.empty());
    const auto ran = shop.outbox->retry("OPA");
    CHECK_FALSE(ran.refusal);
    CHECK(shop.printer.titles == std::vector<std::string>{"crimpgate " + first + " reprint 1"});
    CHECK(shop.kit.all<entries::TagPrinting>().back().copy == 1);
    CHECK(shop.tag(first) == TagState::printed);
    CHECK(shop.tag(second) == TagState::printed);
    CHECK(shop.outbox->retry("OPA").entries.empty());
    CHECK(shop.printer.titles.size() == 1);
}

TEST_CASE("R11: a job whose answer never came is in doubt, and nothing is tried again until a person has looked") {
    Bench bench = Bench::ready();
    const std::string serial = bench.good_assembly();
    Shop shop(bench, true);
    shop.printer.silent = true;
    REQUIRE(shop.outbox->recover());
    CHECK(shop.tag(serial) == TagState::in_doubt);
    shop.printer.silent = false;
    CHECK(shop.outbox->retry("OPA").entries.empty());
    shop.outbox->work();
    CHECK(shop.printer.titles.empty());
}

TEST_CASE("A printer that is chosen takes the tags from then on, in its own size, also after a restart") {
    Bench bench = Bench::ready();
    const std::string serial = bench.good_assembly();
    Shop shop(bench);  // the configuration: into the folder only
    REQUIRE(shop.outbox->recover());
    CHECK(shop.queues.empty());
    REQUIRE_FALSE(shop.kit.desk->run(commands::ChoosePrinter{{"rack-printer", "100x50", 300}}, "SET").refusal);
    shop.printer.height_mm = 50;
    CHECK_FALSE(shop.outbox->reprint(serial, "torn off", "OPA").refusal);
    CHECK(shop.queues == std::vector<std::string>{"rack-printer"});
    CHECK(shop.kit.all<entries::TagPrinting>().back().printer == "rack-printer");

    shop.kit.open();
    shop.start();
    REQUIRE(shop.outbox->recover());
    CHECK_FALSE(shop.outbox->reprint(serial, "torn off again", "OPA").refusal);
    CHECK(shop.queues == std::vector<std::string>{"rack-printer", "rack-printer"});

    REQUIRE_FALSE(shop.kit.desk->run(commands::ChoosePrinter{{"", "100x150", 203}}, "SET").refusal);
    CHECK_FALSE(shop.outbox->reprint(serial, "no printer today", "OPA").refusal);
    CHECK(shop.queues.size() == 2);
    CHECK(shop.tag(serial) == TagState::printed);
}

TEST_CASE("R2: the bench goes on while a job is handed over, and what became of it is written down when it is known") {
    Bench bench = Bench::ready();
    const std::string first = bench.good_assembly();
    const std::string second = bench.good_assembly();
    Shop shop(bench, true);
    std::vector<std::function<void()>> waiting;
    shop.elsewhere = [&](TagOutbox::Handover hand_over, TagOutbox::Then then) {
        waiting.push_back([hand_over = std::move(hand_over), then = std::move(then)] { then(hand_over()); });
    };
    shop.start();
    REQUIRE(shop.outbox->recover());
    CHECK(waiting.size() == 2);
    CHECK(shop.printer.titles.empty());
    CHECK(shop.tag(first) == TagState::printing);
    shop.outbox->work();
    CHECK(shop.outbox->reprint(first, "impatient", "OPA").refusal->code == "bench.tag_in_doubt");
    CHECK(waiting.size() == 2);

    waiting[0]();
    CHECK(shop.tag(first) == TagState::printed);
    CHECK(shop.tag(second) == TagState::printing);
    shop.printer.broken = true;
    waiting[1]();
    CHECK(shop.tag(second) == TagState::failed);
}
