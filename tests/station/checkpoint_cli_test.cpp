// Witnesses from the command line: entered, countersigning, and taken out again, through the program itself.
#include <boost/json.hpp>

#include "station/proof/signing_key.h"
#include "terminal_kit.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::test;
using cli_kit::has;

namespace {

std::string trimmed(std::string text) {
    while (!text.empty() && text.back() == '\n')
        text.pop_back();
    return text;
}

}  // namespace

TEST_CASE("crimpgate checkpoint witness: a key made elsewhere is entered, countersigns, and is taken out again") {
    ApiStation station;
    station.set_up();
    const Terminal terminal(station);
    const auto file = [&](const std::string& name) { return (station.folder / name).string(); };
    const auto made = cli_kit::run({"witness-key", file("lead.key"), "--name", "lead-home"});
    REQUIRE(made.code == 0);
    const auto key = trimmed(made.out);
    const std::string holder = "Lea Brandt, at home";

    // What is missing is told before anybody is asked for a PIN.
    for (const auto& [words, field] : {std::pair{std::vector<std::string>{"witness", "--holder", holder}, "key"},
                                       {{"witness", "--key", key}, "holder"},
                                       {{"forget-witness", "--key", key}, "reason"}}) {
        std::vector<std::string> command{"checkpoint"};
        command.insert(command.end(), words.begin(), words.end());
        const auto told = terminal.ask("LEA", command);
        INFO(told.err);
        CHECK(told.code == 2);
        CHECK(has(told.err, field));
    }
    CHECK(terminal.ask("LEA", {"checkpoint", "witness", "--key", "lead-home", "--holder", holder}).code == 2);
    const auto alone = cli_kit::run({"checkpoint", "witness", "--key", key, "--holder", holder, "--journal",
                                     (station.folder / "bench.journal").string()});
    CHECK(alone.code == 3);
    CHECK(has(alone.err, "--station"));
    CHECK(terminal.ask("OPA", {"checkpoint", "witness", "--key", key, "--holder", holder}).code == 3);
    // The station's own key is no witness of itself.
    const auto own = SigningKey("bench-1", KeyType::ed25519, Seed{7}).verifier().text();
    CHECK(terminal.ask("LEA", {"checkpoint", "witness", "--key", own, "--holder", holder}).code == 3);
    for (const auto& entry : station.entries())
        CHECK(entry.type != "witness.known");

    const auto known = terminal.ask("LEA", {"checkpoint", "witness", "--key", key + "\n", "--holder", holder});
    INFO(known.out << known.err);
    REQUIRE(known.code == 0);
    CHECK(has(known.out, holder));
    CHECK(has(known.out, key));
    const auto again = terminal.ask("LEA", {"checkpoint", "witness", "--key", key, "--holder", holder});
    CHECK(again.code == 3);
    const auto shown = terminal.ask("LEA", {"key", "show"});
    CHECK(has(shown.out, "witness " + holder + "\n    " + key));

    // Now what it signs is taken.
    const auto write = [&](const std::string& name, const std::string& text) {
        std::ofstream(file(name), std::ios::binary) << text;
        return file(name);
    };
    const auto signed_now = terminal.ask("LEA", {"checkpoint", "sign"});
    REQUIRE(signed_now.code == 0);
    const auto countersigned =
        cli_kit::run({"countersign", write("note.txt", signed_now.out), "--key", file("lead.key"), "--log", own});
    INFO(countersigned.err);
    REQUIRE(countersigned.code == 0);
    const auto brought = terminal.ask("LEA", {"checkpoint", "bring", write("signed.txt", countersigned.out)});
    INFO(brought.err);
    CHECK(brought.code == 0);

    const auto forgotten =
        terminal.ask("LEA", {"checkpoint", "forget-witness", "--key", key, "--reason", "left the shop"});
    INFO(forgotten.out << forgotten.err);
    REQUIRE(forgotten.code == 0);
    CHECK_FALSE(has(terminal.ask("LEA", {"key", "show"}).out, "witness"));
    CHECK(terminal.ask("LEA", {"checkpoint", "forget-witness", "--key", key, "--reason", "again"}).code == 3);
    const auto next = terminal.ask("LEA", {"checkpoint", "sign"});
    const auto proof = terminal.ask(
        "LEA",
        {"checkpoint", "proof", std::to_string(read_checkpoint(parse_note(signed_now.out)->text)->size), "latest"});
    const auto more = cli_kit::run({"countersign", write("next.txt", next.out), "--key", file("lead.key"), "--proof",
                                    write("proof.txt", proof.out)});
    INFO(more.err);
    REQUIRE(more.code == 0);
    const auto refused = terminal.ask("LEA", {"checkpoint", "bring", write("late.txt", more.out)});
    CHECK(refused.code == 3);
    // What it signed before stands.
    CHECK(has(terminal.ask("LEA", {"checkpoint", "list"}).out, "lead-home"));
}
