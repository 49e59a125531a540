// The commands of `crimpgate`, one function each. They print to standard output, tell what went wrong on standard
// error, and return how the program ends.
#pragma once

#include <string>
#include <string_view>

#include <boost/json/object.hpp>

#include "station/entries/shop_entries.h"
#include "tools/cli/command_line.h"

namespace crimpgate::cli {

int check_table(const CommandLine& line);
int check_order(const CommandLine& line);
int orders(const CommandLine& line);
int holds(const CommandLine& line);
int trace(const CommandLine& line);
int entries(const CommandLine& line);
int verify(const CommandLine& line);
int verify_file(const CommandLine& line);
int check_page(const CommandLine& line);
int checkpoint_list(const CommandLine& line);
int checkpoint_show(const CommandLine& line);
int checkpoint_sign(const CommandLine& line);
int checkpoint_proof(const CommandLine& line);
int checkpoint_bring(const CommandLine& line);
int checkpoint_witness(const CommandLine& line);
int checkpoint_forget_witness(const CommandLine& line);
int compare(const CommandLine& line);
int countersign(const CommandLine& line);
int witness_key(const CommandLine& line);
int key_show(const CommandLine& line);
int key_handovers(const CommandLine& line);
int key_restore(const CommandLine& line);
int go_on_after_loss(const CommandLine& line);
int rebuild_views(const CommandLine& line);
int back_up(const CommandLine& line);
int audit(const CommandLine& line);
int certificate(const CommandLine& line);
int recall(const CommandLine& line);
int delivery_list(const CommandLine& line);
int delivery_show(const CommandLine& line);
int delivery_send(const CommandLine& line);
int delivery_take_back(const CommandLine& line);
int return_list(const CommandLine& line);
int return_open(const CommandLine& line);
int return_show(const CommandLine& line);
int return_report(const CommandLine& line);
int link_list(const CommandLine& line);
int link_make(const CommandLine& line);
int link_revoke(const CommandLine& line);

// To standard output.
void print(std::string_view text);
void print_json(const boost::json::object& object);  // one line, members in order

// "crimpgate: ..." on standard error; returns `how`.
int fail(Exit how, const Message& why);

// How a command ends that was refused by its source: cannot, or found_wrong when the journal itself is damaged.
int fail_with(const Message& why);

// A trace in plain text: assembly, order, spec rows, readings, judgements, holds, tags, gauges, entries.
std::string trace_text(const boost::json::object& trace, ShownUnit unit);

// A hold as a paragraph: why, whose, and how it was settled.
std::string hold_text(const boost::json::object& hold, ShownUnit unit);

// What an entry says (its members, as queries.h gives it), in a sentence.
std::string entry_sentence(const boost::json::object& entry, ShownUnit unit);

}  // namespace crimpgate::cli
