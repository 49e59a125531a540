#include "tools/cli/help.h"

#include <utility>

#include "tools/cli/help_record.h"

namespace crimpgate::cli {

namespace {

constexpr std::string_view whole = R"(NAME
    crimpgate - looks at spec tables, orders and the journal of a crimping station

SYNOPSIS
    crimpgate COMMAND ...
    crimpgate help [COMMAND]

COMMANDS
    check-table    every error and every warning of a spec table
    check-order    every error of an order file, and whether it can be made from a spec table
    orders         the orders, and how far each of them is
    holds          assemblies that were stopped and wait for somebody to settle them
    trace          everything that is known of one assembly
    entries        the journal's entries in sentences
    verify         what a certificate or a proof file proves; or whether the journal is sound
    journal verify FILE  the latter, of a journal's file
    check-page     a page that checks tags without a network, as one file to hand out
    checkpoint     the record's signed heads: list, show, prove, sign, bring a countersignature, witnesses
    compare        whether one checkpoint extends the other, or the shop showed two pasts
    countersign    signs a checkpoint with a key that is kept elsewhere
    witness-key    makes such a key
    key            the station's public keys; its secret read back from the recovery page
    go-on-after-loss  when the journal lost its signed end for good
    rebuild-views  makes the journal's tables for search anew from its entries
    audit          what a shift, an order, a gauge ... made, with charts, as text, CSV, JSON and PDF
    recall         every assembly that shares a lot, a gauge, a time ... and who has it; letters to the customers
    delivery       what left the house: list, show, send, take back
    return         hoses that came back: list, open, show with the likely causes, report
    link           what a customer sees of their own assemblies, without an account: list, make, revoke
    certificate    issued by a lead for a serial, an order or a delivery, with the record and its proof inside
    back-up        a whole, checked copy of the journal

WHERE FROM
    Every command but the two checks, verify FILE, check-page --key, countersign and witness-key needs to know where to
    look:

    --journal FILE                  straight at a journal's file; a station may be writing to it meanwhile
    --station http://HOST:PORT      ask a running station instead, as
    --person ID                     this person; their badge code for a PIN, which counts on the station's own machine,
                                    and badge code or id for a passphrase. It is asked for at the terminal, or is the
                                    first line of
    --pin-file FILE                 this file, which nobody else may be able to read

    --json (every command but audit and recall, where it names a file) prints one JSON object a line for machines: lengths in whole
    nanometres (_nm), pressures in whole kilopascals (_kpa). Without it: times in UTC, and lengths in the unit that the
    shop's limits set: millimetres, exact, or inches, rounded to what the gauge resolves. Nothing is judged by what is
    shown here.

EXIT STATUS
    0  done, and nothing is wrong
    1  something is wrong with what was checked: errors in a file, damage in the journal
    2  wrong use
    3  it could not be done; the reason stands on standard error

WARNING
    A table without errors is not a right table: the figures are those that somebody typed. The makers' instructions,
    local codes and licensed practice come first.
)";

constexpr std::string_view check_table = R"(NAME
    crimpgate check-table - every error and every warning of a spec table

SYNOPSIS
    crimpgate check-table FILE [--json]

DESCRIPTION
    Reads a spec table (CSV; specs/FORMAT.md has every column) as the station would when it is adopted. All errors are
    told at once, each with line, column, what was found and what is expected; one error refuses the whole file. A
    good table's rows are summed up, with what must be acknowledged when it is adopted.

EXIT STATUS
    0 good, perhaps with warnings; 1 errors; 2 wrong use; 3 the file cannot be read
)";

constexpr std::string_view check_order = R"(NAME
    crimpgate check-order - every error of an order file, and whether it can be made

SYNOPSIS
    crimpgate check-order FILE [--table TABLE] [--on DATE] [--hose-age YEARS] [--json]

DESCRIPTION
    Reads an order file (CSV; specs/ORDER_FORMAT.md has every column). With a spec table, each order is also held
    against its rows: are they there, is it one hose, does enough hose lie between the cut-offs, are the hose lots
    young enough, does the weakest part bear what the order needs.

OPTIONS
    --table TABLE     the spec table to hold the orders against
    --on DATE         day of assembly, 2026-11-25; today when left out
    --hose-age YEARS  how old a hose may be on that day, 4 when left out

EXIT STATUS
    0 good; 1 errors, or an order that cannot be made; 2 wrong use; 3 a file cannot be read
)";

constexpr std::string_view orders = R"(NAME
    crimpgate orders - the orders, and how far each of them is

SYNOPSIS
    crimpgate orders --journal FILE [--json]
    crimpgate orders --station http://HOST:PORT --person ID [--pin-file FILE] [--json]
)";

constexpr std::string_view holds = R"(NAME
    crimpgate holds - assemblies that were stopped

SYNOPSIS
    crimpgate holds [--all] --journal FILE [--json]
    crimpgate holds [--all] --station http://HOST:PORT --person ID [--pin-file FILE] [--json]

DESCRIPTION
    What waits to be settled, oldest first. With --all also what was settled, how, by whom and why.
)";

constexpr std::string_view trace = R"(NAME
    crimpgate trace - everything that is known of one assembly

SYNOPSIS
    crimpgate trace SERIAL --journal FILE [--json]
    crimpgate trace SERIAL --station http://HOST:PORT --person ID [--pin-file FILE] [--json]

DESCRIPTION
    For a customer's question: order, lots, both spec rows as they were, every reading with its band and verdict (voided
    ones marked), findings in words, holds and who settled them how, tags, gauges with the proofs that the readings
    stand on, and every entry that speaks of the assembly with its hash (SHA-256 of a zero byte and the entry's bytes,
    RFC 9162). The serial may be written in small letters, with blanks or hyphens, O for 0 and I or L for 1.

    A trace says what the journal holds; crimpgate verify says whether that is what was written.
)";

constexpr std::string_view entries = R"(NAME
    crimpgate entries - the journal's entries in sentences

SYNOPSIS
    crimpgate entries [--from N] [--count N] --journal FILE [--json]
    crimpgate entries [--from N] [--count N] --station http://HOST:PORT --person ID [--pin-file FILE] [--json]

OPTIONS
    --from N    begin with entry N; 1 when left out
    --count N   stop after N entries; all when left out
    --json      one entry a line, whole, with its hash. Of people only number, type and hash: PIN hashes stay inside
)";

constexpr std::string_view rebuild_views = R"(NAME
    crimpgate rebuild-views - makes the journal's tables for search anew from its entries

SYNOPSIS
    crimpgate rebuild-views --journal FILE [--json]
    crimpgate rebuild-views --station http://HOST:PORT --person ID [--pin-file FILE] [--json]

DESCRIPTION
    Changes no entry. On the file it works only while no station holds it. A file of an older program is first copied
    and brought up to date.
)";

constexpr std::string_view back_up = R"(NAME
    crimpgate back-up - a whole, checked copy of the journal

SYNOPSIS
    crimpgate back-up TO --journal FILE [--json]
    crimpgate back-up TO --station http://HOST:PORT --person ID [--pin-file FILE] [--json]

DESCRIPTION
    Writes the copy under another name, checks it, and only then gives it its name TO, which must be free. The station
    may go on working. Copying the file by other means leaves out what still stands beside it. From a file, the copy is
    also verified entry by entry; with --station, TO is a path on the station's machine.
)";

constexpr std::string_view recall = R"(NAME
    crimpgate recall - every assembly that shares something with the one in doubt, and who has it

SYNOPSIS
    crimpgate recall CRITERIA [--csv FILE] [--json FILE] [--letters DIR --reason TEXT] --journal FILE
    crimpgate recall CRITERIA [--draw --reason TEXT [--letters DIR]] ... --station http://HOST:PORT --person ID

DESCRIPTION
    All criteria must hold. From a journal's file, a back-up will do and no station need run; its letters say that they
    were made from a copy. With --draw a station writes down that the list was drawn, by whom and why, and the letters
    carry its number. A word that the record does not know is refused: an empty list for a word mistyped would look like
    good news. Without a file, at most 40 rows are printed.

CRITERIA (at least one)
    --hose-lot L           of the reel
    --fitting-lot L        of either end
    --die-set D  --crimper C  --spec ID  --revision R     of the same end
    --gauge G              a reading by it counts for the assembly
    --by ID                this person began, measured or confirmed it
    --around SERIAL        crimped between the same set-up pieces or die confirmations; with
    --count N              the N that were begun before and after it on its crimper
    --customer C  --order O
    --from T  --to T       2026-11-25, or 2026-11-25T08:30, of the shop's clock: what was in work then; with a gauge or a
                           person, what they read then

OUTPUT
    --csv FILE             the whole list, safe to open in a spreadsheet
    --json FILE            the same for programs, lengths in nanometres
    --letters DIR          a PDF for each customer who has some of them: their own serials alone
    --reason TEXT          one sentence that stands in every letter; names no customer
    --paper a4|letter  --language en|de  --shop NAME

EXIT STATUS
    0 done; 2 wrong use; 3 it could not be done
)";

constexpr std::string_view delivery = R"(NAME
    crimpgate delivery - what left the house

SYNOPSIS
    crimpgate delivery list --journal FILE [--json]
    crimpgate delivery show DELIVERY --journal FILE [--json]
    crimpgate delivery send --customer C --to PLACE --serials FILE [--note NUMBER] [--date DATE] --station ...
    crimpgate delivery take-back DELIVERY --serials FILE --reason TEXT --station http://HOST:PORT --person ID

DESCRIPTION
    Only assemblies that passed, have their tag and are not on hold are sent, each to the customer it was made for; what
    speaks against any of them is told all at once, and then nothing is written down. FILE has a serial a line. list and
    show also ask a station: --station http://HOST:PORT --person ID [--pin-file FILE].
)";

constexpr std::string_view returned = R"(NAME
    crimpgate return - hoses that came back

SYNOPSIS
    crimpgate return list [--json] --station http://HOST:PORT --person ID [--pin-file FILE]
    crimpgate return open --serial SERIAL [--customer C] [--received DATE] [--reported TEXT] [--hurt] --station ...
    crimpgate return show RETURN [--all] [--json] --station ...
    crimpgate return report RETURN --pdf FILE [--copy internal|customer] [--paper a4|letter] [--language en|de]
                                   --station ...

DESCRIPTION
    open takes a hose without a serial too, when --reported says what is known of it. show tells what the record says,
    the causes within reach with every line of their sums (--all: every cause), who shares something with this hose, and
    what cannot be known. The questions are answered on the station's pages, with their drawings. The shop's own copy of
    the report names other customers and stays in the house; the customer's copy names nobody else's assemblies, and is
    refused for a hose that was made for another customer than the one who sent it.

    Never feel for a leak by hand. If somebody was hurt, the part stays as it was found.

EXIT STATUS
    0 done; 2 wrong use; 3 it could not be done
)";

constexpr std::string_view link = R"(NAME
    crimpgate link - customers' links to the records of their own assemblies

SYNOPSIS
    crimpgate link make --customer C [--delivery DELIVERY] [--until DATE] [--by-tag] [--json]
                        --station http://HOST:PORT --person ID [--pin-file FILE]
    crimpgate link list --journal FILE [--json]
    crimpgate link revoke LINK --reason TEXT --station http://HOST:PORT --person ID [--pin-file FILE]

DESCRIPTION
    Whoever has a link sees the customer's own assemblies, or those of one delivery: record, certificates, proofs, lists
    and events. No account, no password: the address is the key, so it goes to the customer and to nobody else. make
    prints it this one time; the record keeps nothing of it but a hash. DATE is the last day; without it the link is good
    until it is revoked. list also asks a station and says how often each was looked through. A lead makes and revokes.

    With --by-tag the code on the tag of each of these assemblies opens it, too, for that one assembly: anybody who
    stands before the hose can then read who made it, for whom and with which readings. Of use where the tags carry the
    shop's address ([record] link in the configuration, when they were printed).
)";

constexpr std::string_view certificate = R"(NAME
    crimpgate certificate - a lead issues a certificate for a serial, an order or a delivery

SYNOPSIS
    crimpgate certificate SERIAL | --order ORDER | --delivery DELIVERY --function TEXT
                          [--statement declaration|manner_2_2|manner_3_1] [--independent] [--paper a4|letter]
                          [--language en|de] [--with-link [--link-until DATE]] [--to FOLDER] [--json]
                          --station http://HOST:PORT --person ID [--pin-file FILE]

DESCRIPTION
    Has a running station sign its record, make the certificate with the record and its proof attached, seal it and
    write it down; then fetches CF-n.pdf and CF-n.json into FOLDER (this one, if none is given) and prints the number.
    Whoever signs in releases it, as a lead, with the function that is given. Every assembly must have passed, or been
    let through by a concession, which the paper then says on its first page; what stands in the way is listed.

    --with-link, of a delivery alone, makes a link to that delivery (crimpgate link) and prints its address as text and
    as a code: whoever has the paper sees the records of the delivery, until DATE or until the link is revoked. The
    configuration must name the address where customers reach the station, [record] link.

    manner_3_1 is in the manner of EN 10204, 3.1, and needs --independent: the releaser's statement that they are
    independent of production. The station refuses it from somebody who measured any of the assemblies.

EXIT STATUS
    0 issued; 2 wrong use; 3 refused, or the station cannot be reached; the reason stands on standard error

WARNING
    A certificate tells what was measured; it certifies no design. The makers' instructions, local codes and licensed
    practice come first.
)";

constexpr std::string_view audit = R"(NAME
    crimpgate audit - what was made, whether the process drifts, and whether the gauges can be trusted

SYNOPSIS
    crimpgate audit SCOPE [OUTPUT] [--verify] --journal FILE
    crimpgate audit SCOPE [OUTPUT] [--verify] --station http://HOST:PORT --person ID [--pin-file FILE]

DESCRIPTION
    The same figures as on the station's audit page, from a running station or from a journal's file: a back-up will do,
    no station need run. Without a file to write to, every sheet is printed as a table, at most 40 rows of each.
    Figures are the audit's own texts everywhere, rounded once; files and terminal cannot differ.

SCOPE (together they narrow; at least one)
    --shift S              a shift, 2026-11-25/1
    --from DAY --to DAY    the shop's days, both inclusive
    --order O              an order
    --customer C           a customer
    --spec ID              a spec row
    --die-set D            a die set
    --hose-lot L           a hose lot
    --gauge G              assemblies with a reading of that gauge
    --by P                 assemblies with a reading or confirmation of that person
  or instead of all these
    --study ID             a gauge study that is complete, GS-1
    --sample ID            a sample of a shift that was drawn to be measured again, RM-1

OUTPUT
    --sheet ID             this sheet alone, with all its rows (made, reasons, open_points, by_gauge ...)
    --csv FOLDER           every sheet as FOLDER/ID.csv: commas, UTF-8 with a byte order mark, ISO times in UTC. A text
                           that a spreadsheet would compute has an apostrophe in front
    --json FILE            the whole audit, charts too
    --pdf FILE             the whole audit, study or sample as paper, to be signed
    --paper a4|letter      its size; a4 when left out
    --language en|de       of terminal and paper; en when left out. Files of figures know no language
    --shop NAME            the shop's name for the paper; a journal does not know it
    --verify               read the whole journal again first, and say on the paper how far it is sound

EXIT STATUS
    0 done; 1 the journal is damaged; 2 wrong use; 3 it could not be done
)";

constexpr std::pair<std::string_view, std::string_view> pages[] = {
    {"", whole},
    {"check-table", check_table},
    {"check-order", check_order},
    {"orders", orders},
    {"holds", holds},
    {"trace", trace},
    {"entries", entries},
    {"audit", audit},
    {"certificate", certificate},
    {"recall", recall},
    {"delivery", delivery},
    {"link", link},
    {"return", returned},
    {"back-up", back_up},
    {"rebuild-views", rebuild_views},
};

}  // namespace

std::string_view help_page(std::string_view command) {
    for (const auto& [name, page] : pages)
        if (name == command) return page;
    return record_help_page(command);
}

std::string_view usage_of(std::string_view command) {
    constexpr std::string_view head = "SYNOPSIS\n";
    const std::string_view page = help_page(command);
    const auto from = page.find(head);
    if (from == std::string_view::npos) return {};
    const auto body = page.substr(from + head.size());
    const auto end = body.find("\n\n");
    return end == std::string_view::npos ? body : body.substr(0, end + 1);
}

}  // namespace crimpgate::cli
