// What every command says in the same way.
#include <cstdio>

#include <boost/json.hpp>

#include "specs/shown_text.h"
#include "station/entries/entry_json.h"
#include "station/json/canonical.h"
#include "station/words/catalogue.h"
#include "station/words/entry_words.h"
#include "tools/cli/commands.h"
#include "tools/cli/text_table.h"

namespace crimpgate::cli {

void print(std::string_view text) {
    std::fwrite(text.data(), 1, text.size(), stdout);
}

void print_json(const boost::json::object& object) {
    print(canonical(object) + "\n");
}

int fail(Exit how, const Message& why) {
    std::fflush(stdout);
    std::fprintf(stderr, "crimpgate: %s\n", say(why).c_str());
    return how;
}

int fail_with(const Message& why) {
    return fail(why.code == "journal.damaged" ? Exit::found_wrong : Exit::cannot, why);
}

std::string entry_sentence(const boost::json::object& entry, ShownUnit unit) {
    if (yes_in(entry, "withheld")) return "A person is added.";
    const std::string type = text_in(entry, "type");
    const auto* body = entry.if_contains("body");
    if (body == nullptr || !body->is_object()) return shown_text(type);
    const auto read = entry_body(type, body->get_object());
    return read ? say(words_of(*read, text_in(entry, "who"), unit)) : say(read.error());
}

}  // namespace crimpgate::cli
