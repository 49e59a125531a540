#include "tools/cli/help_record.h"

#include <utility>

namespace crimpgate::cli {

namespace {

constexpr std::string_view verify = R"(NAME
    crimpgate verify - what a file that left the house proves; or whether the journal is sound

SYNOPSIS
    crimpgate verify FILE [--key KEY | --key-file KEYFILE] [--witness KEY,...] [--record RECORD] [--language en|de]
                     [--json]
    crimpgate verify CODE --key TAG-KEY [--language en|de] [--json]
    crimpgate verify --journal FILE [--key KEY | --key-file KEYFILE] [--checkpoint FILE,...] [--json]
    crimpgate verify --station http://HOST:PORT --person ID [--pin-file FILE] [--json]
    crimpgate journal verify FILE [--key KEY | --key-file KEYFILE] [--checkpoint FILE,...] [--json]

DESCRIPTION
    Of a file, anywhere, without a journal, a station or a network: a certificate (PDF with its seal and the record inside
    it), an evidence file (JSON), or a .tlog-proof with the record that it is about. Says in plain words what is proved,
    who countersigned and when, and what is not proved and cannot be by such means. CODE is what a reader makes of a tag's
    two-dimensional code, CG1:... or a link in capitals. reports/EVIDENCE.md describes every format, for whoever wants to
    write a program of their own.

    The public key must come from somewhere else than the file: the shop's page, a contract, an earlier paper. Without one
    the file is held against the key that stands in it; that shows damage, but never ends with 0, since a forger would put
    in a key of their own. Keys that were handed over by the given one are followed.

    Of a journal: reads every entry again: numbers without a gap, bytes in their one form and as hashed, and the tables
    for search equal to what the entries say. Tells up to which entry the journal is sound, or the first that is not and
    what to do. Every checkpoint and countersignature in it is checked, and the keys are told. Entries cut off at the end
    leave no trace in the file itself, nor does a past written anew with a new key: --checkpoint, a file kept elsewhere,
    finds the one, and --key the other. crimpgate journal verify FILE is verify --journal FILE.

OPTIONS
    --key KEY          the shop's public key, name+id+base64; of a tag's code the shop's tag key (crimpgate key show);
                       of a journal, the key in force or an older one
    --key-file FILE    a file that holds it
    --checkpoint FILE,...  of a journal: signed checkpoints that it must extend
    --witness KEY,...  keys that countersign; what they signed bounds the time
    --record FILE      the record of a proof file; left out: the proof file's name without .tlog-proof
    --language en|de   of what is said

EXIT STATUS
    0 proved, or sound; 1 changed, damaged, or no key was given; 2 wrong use; 3 it could not be read
)";

constexpr std::string_view check_page = R"(NAME
    crimpgate check-page - a page that checks tags without a network, as one file to hand out

SYNOPSIS
    crimpgate check-page --journal FILE > page.html
    crimpgate check-page --key TAG-KEY,... > page.html

DESCRIPTION
    Writes one HTML file to standard output, with the shop's tag keys in it: those that the journal knows, handed-over ones
    included, or those that are given. It works from a phone's memory, a stick, or any host; its own policy keeps it from
    asking anybody anything. A code is pasted, scanned into it, or read from a picture where the browser can. It says
    what the signature proves and what not: a tag can be copied.

    The station serves the same page at /C/, where the link on a tag leads when the configuration has one
    ([record] link). Another host shows the page for every address under /C/.

    Make it anew after a key was handed over.
)";

constexpr std::string_view checkpoint = R"(NAME
    crimpgate checkpoint - the record's signed heads

SYNOPSIS
    crimpgate checkpoint list [--count N] --journal FILE [--json]
    crimpgate checkpoint show SIZE|latest --journal FILE
    crimpgate checkpoint proof FROM TO|latest --journal FILE
    crimpgate checkpoint sign --station http://HOST:PORT --person ID [--pin-file FILE]
    crimpgate checkpoint bring FILE [--size SIZE] --station http://HOST:PORT --person ID [--pin-file FILE]
    crimpgate checkpoint witness --key KEY --holder TEXT --station http://HOST:PORT --person ID [--pin-file FILE]
    crimpgate checkpoint forget-witness --key KEY --reason TEXT --station http://HOST:PORT --person ID [--pin-file FILE]

DESCRIPTION
    A checkpoint is a note of three lines, station, number of entries and root of their tree, that the station signed.
    Whoever has one, kept where the shop cannot reach it, can tell later whether anything before it was changed.

    list shows them, newest first, with who countersigned and when. show prints one as a file to keep or to hand out.
    proof prints what shows that one extends another, for compare and countersign. sign has a running station sign its
    record now, and prints the note. bring enters a countersignature: FILE is the countersigned note, or its line alone
    with --size. list, show and proof also ask a station: --station http://HOST:PORT --person ID [--pin-file FILE].

    witness enters who may countersign: KEY is the public key that crimpgate witness-key printed, TEXT says who keeps the
    secret one and where. forget-witness takes a key out again: nothing that it signs from then on is taken, what it signed
    before stands. A lead or a setter does both, and both stand in the record. crimpgate key show names the witnesses.

EXIT STATUS
    0 done; 1 the journal is damaged; 2 wrong use; 3 refused, or it could not be done
)";

constexpr std::string_view compare = R"(NAME
    crimpgate compare - whether one checkpoint extends the other, or the shop showed two pasts

SYNOPSIS
    crimpgate compare OLD NEW --key KEY | --key-file KEYFILE
                      [--proof FILE | --journal FILE | --station http://HOST:PORT --person ID [--pin-file FILE]]
                      [--witness KEY,...] [--handovers FILE]

DESCRIPTION
    OLD and NEW are checkpoint files. Both must be signed by the shop's key, or by one that it was handed over to. The
    proof that the first entries under NEW are those under OLD comes from a file (crimpgate checkpoint proof), a journal
    or a station; two checkpoints of one size need none. With a journal it is also told which of the two it contradicts:
    when it is the one under NEW and not the one under OLD, two pasts were signed, and the two files prove it.

OPTIONS
    --key KEY          the shop's public key, got from somewhere else than these files
    --key-file FILE    a file that holds it
    --witness KEY,...  keys that countersign; who signed when is told
    --handovers FILE   hand-overs of the shop's key (crimpgate key handovers); from a journal or a station they come
                       along

EXIT STATUS
    0 NEW extends OLD; 1 it does not, or is not proved to; 2 wrong use; 3 it could not be read
)";

constexpr std::string_view countersign = R"(NAME
    crimpgate countersign - signs a checkpoint with a key that is kept elsewhere

SYNOPSIS
    crimpgate countersign CHECKPOINT --key FILE --log KEY [--since OLD --proof PROOF] [--to OUT]
    crimpgate countersign CHECKPOINT --key FILE --proof PROOF [--handovers FILE] [--to OUT]

DESCRIPTION
    For a lead's own computer, or a customer's: no journal, no station, no network. The station's signature is checked,
    and that the checkpoint extends the one that was countersigned last; then the note is printed with one line more,
    which says when. Back at the station it is entered on the page The record's proof, or with crimpgate checkpoint bring.

    Beside FILE stands what was countersigned last, and the station's key: FILE.xxxxxxxx.last and FILE.xxxxxxxx.log. What
    does not extend it is refused. Never delete them to make a refusal go away: the refusal is what the key is for.

OPTIONS
    --key FILE        the countersigning key (crimpgate witness-key)
    --log KEY         the station's public key, for the first time
    --since OLD       for the first time, a checkpoint that is known from elsewhere and must be extended
    --proof PROOF     that it extends the one before (crimpgate checkpoint proof FROM TO)
    --handovers FILE  hand-overs of the station's key, when it has a new one (crimpgate key handovers)
    --to OUT          writes the countersigned note there; to standard output when left out

EXIT STATUS
    0 countersigned; 1 refused: the checkpoint is false, or does not extend the last one; 2 wrong use; 3 it could not be
    read or written
)";

constexpr std::string_view witness_key = R"(NAME
    crimpgate witness-key - makes a key that countersigns checkpoints

SYNOPSIS
    crimpgate witness-key FILE --name NAME

DESCRIPTION
    Writes a new secret to FILE, for its user alone (0600) and never over one that is there, and prints the public key,
    which is entered at the station (page The record's proof). NAME says who keeps it, in one word: lead-home. Keep FILE
    away from the station: a key beside the record that it countersigns proves nothing.
)";

constexpr std::string_view key = R"(NAME
    crimpgate key - the station's keys

SYNOPSIS
    crimpgate key show --journal FILE [--json]
    crimpgate key handovers --journal FILE
    crimpgate key restore FILE [--journal FILE]

DESCRIPTION
    show prints every public key that the station had: the one for checkpoints and papers, and the one for tags, each as
    crimpgate verify takes it; and the witnesses. handovers prints the notes with which each key vouches for the next,
    for whoever trusts an older one. Both also ask a station: --station http://HOST:PORT --person ID [--pin-file FILE].

    restore brings the secret back from the recovery page: at a terminal it asks for one group after the other and names
    a mistyped one at once; otherwise it reads all of them from standard input and names all that are wrong. It writes
    FILE for its user alone (0600), never over one that is there. With --journal, only if it is the key that the journal
    was signed with last. Stop the station first.

EXIT STATUS
    0 done; 1 what was typed is wrong, or another key's; 2 wrong use; 3 it could not be done
)";

constexpr std::string_view go_on_after_loss = R"(NAME
    crimpgate go-on-after-loss - the way out when the journal lost its signed end for good

SYNOPSIS
    crimpgate go-on-after-loss --config STATION.toml --person ID --reason TEXT [--pin-file FILE]

DESCRIPTION
    For a station that refuses to start because checkpoints were signed over entries that nobody has any more: the disk
    died, and the newest copy of the journal is older. Look for a newer copy first; nothing brings lost entries back
    afterwards. On the station's machine, with the station stopped, by a setter who proves who they are.

    It never lets one key sign two pasts. The old key hands over to a new one, and in that entry stands what was lost:
    your reason, the sizes that were signed, and the newest lost checkpoint word for word. The lost checkpoints' files are
    moved to lost-DATE beside where they were, and a first checkpoint is signed with the new key. crimpgate verify and
    crimpgate key show tell it from then on.

    Afterwards: give out the new keys, print a new recovery page, make the page that checks tags anew, and tell every
    witness and customer who holds a lost checkpoint. Witnesses refuse from then on, rightly; they make a new key.

EXIT STATUS
    0 done; 2 wrong use; 3 refused: nothing was lost, or it could not be done. Given again after a power cut it goes on
)";

constexpr std::pair<std::string_view, std::string_view> pages[] = {
    {"verify", verify},           {"journal", verify},  {"check-page", check_page},
    {"checkpoint", checkpoint},   {"compare", compare}, {"countersign", countersign},
    {"witness-key", witness_key}, {"key", key},         {"go-on-after-loss", go_on_after_loss},
};

}  // namespace

std::string_view record_help_page(std::string_view command) {
    for (const auto& [name, page] : pages)
        if (name == command) return page;
    return {};
}

}  // namespace crimpgate::cli
