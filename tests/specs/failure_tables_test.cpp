// The tables behind the ranking: questions, causes, their words and drawings belong together.
#include <fstream>
#include <iterator>
#include <set>

#include "tests/specs/failure_kit.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using samples::seen;

namespace {

std::string words_of_language(const std::string& language) {
    std::ifstream in(std::string(CRIMPGATE_SOURCE_DIR) + "/station/words/" + language + ".json", std::ios::binary);
    return std::string((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
}

}  // namespace

TEST_CASE("answers are checked: unknown, doubled, excluding each other, or to a question that nothing led to") {
    const auto code = [](std::string_view text) {
        const auto checked = check_answers(seen(text));
        return checked ? std::string() : checked.error().code;
    };
    CHECK(code("place=came_off end=a grip=none").empty());
    CHECK(code("cover=worn cover=blisters").empty());
    CHECK(code("cover=not_known").empty());
    CHECK(code("colour=red") == "returned.no_such_question");
    CHECK(code("cover=pink") == "returned.no_such_answer");
    CHECK(code("cover=worn cover=worn") == "returned.answered_twice");
    CHECK(code("place=body place=came_off") == "returned.one_answer");
    CHECK(code("cover=worn cover=unhurt") == "returned.one_answer");
    CHECK(code("cover=worn cover=not_known") == "returned.one_answer");
    CHECK(code("place=body grip=none") == "returned.not_asked");
    CHECK(code("grip=none") == "returned.not_asked");
    CHECK_THROWS_AS(rank_causes(seen("grip=none"), {}), std::logic_error);
}

TEST_CASE("the table names only questions and answers that exist, each line once, with sources, actions and siblings") {
    std::set<std::string_view> ids, asked;
    for (const auto& mode : failure_modes()) {
        INFO(mode.id);
        CHECK(ids.insert(mode.id).second);
        CHECK(find_mode(mode.id) == &mode);
        CHECK_FALSE(mode.sources.empty());
        CHECK_FALSE(mode.at_risk.empty());
        std::set<std::string> lines;
        std::int64_t highest = 0;
        for (const auto& symptom : mode.symptoms) {
            INFO(symptom.question << " " << symptom.answer);
            CHECK(find_answer(symptom.question, symptom.answer) != nullptr);
            CHECK(symptom.weight != 0);
            if (!symptom.with_question.empty())
                CHECK(find_answer(symptom.with_question, symptom.with_answer) != nullptr);
            std::string line(symptom.question);
            for (const auto part : {symptom.answer, symptom.with_question, symptom.with_answer})
                line += " " + std::string(part);
            CHECK(lines.insert(line).second);
            asked.insert(symptom.question);
            highest = std::max(highest, symptom.weight);
        }
        CHECK(highest >= supporting);
        const bool from_memory = mode.mark == RowMark::from_memory;
        const bool custom_only =
            std::ranges::all_of(mode.sources, [](SourceKey s) { return s == SourceKey::common_practice; });
        CHECK(from_memory == custom_only);
    }
    for (const auto& question : return_questions()) {
        INFO(question.code);
        if (question.code != "hurt" && question.code != "end") CHECK(asked.contains(question.code));
        CHECK(find_answer(question.code, not_known) == nullptr);
        if (!question.after.question.empty())
            for (const auto answer : question.after.answers)
                CHECK(find_answer(question.after.question, answer) != nullptr);
    }
}

TEST_CASE("every question, answer, cause, action, reason and source of the tables has its words in both languages") {
    std::set<std::string_view> codes;
    for (const auto& question : return_questions()) {
        codes.insert(question.words);
        for (const auto& answer : question.answers)
            CHECK(codes.insert(answer.words).second);
    }
    for (const auto& mode : failure_modes()) {
        codes.insert({mode.words, mode.bench, mode.in_use});
        for (const auto source : mode.sources)
            codes.insert(words_of(source));
        for (const auto& risk : mode.at_risk)
            codes.insert(risk.why);
    }
    for (const std::string language : {"en", "de"}) {
        const auto words = words_of_language(language);
        for (const auto code : codes) {
            INFO(language << " " << code);
            CHECK(words.find("\"" + std::string(code) + "\": \"") != std::string::npos);
        }
    }
}

TEST_CASE("each drawing that a question names is drawn, and each place numbered on it is one of its answers") {
    std::ifstream in(std::string(CRIMPGATE_SOURCE_DIR) + "/station/web/returns/drawings.js", std::ios::binary);
    const std::string script((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
    REQUIRE_FALSE(script.empty());
    std::size_t drawings = 0;
    for (const auto& question : return_questions()) {
        if (question.drawing.empty()) continue;
        ++drawings;
        INFO(question.drawing);
        // "    places: [["shell_lip", 82, 40], ..." one line a drawing, in the table of numbers.
        const auto at = script.find("\n    " + std::string(question.drawing) + ": [[\"");
        REQUIRE(at != std::string::npos);
        const auto line = script.substr(at + 1, script.find('\n', at + 1) - at - 1);
        std::size_t places = 0;
        for (std::size_t from = line.find("[\""); from != std::string::npos; from = line.find("[\"", from + 2)) {
            const auto code = line.substr(from + 2, line.find('"', from + 2) - from - 2);
            INFO(code);
            CHECK(find_answer(question.code, code) != nullptr);
            ++places;
        }
        CHECK(places >= 2);
    }
    CHECK(drawings >= 9);
}
