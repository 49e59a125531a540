// Where checkpoints, proofs and public keys come from: a journal's file, or a station that is running.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "specs/message.h"
#include "station/proof/checkpoint.h"
#include "tools/cli/command_line.h"

namespace crimpgate::cli {

class RecordSource {
  public:
    virtual ~RecordSource() = default;

    // As GET /api/checkpoints answers, newest first.
    virtual Result<boost::json::array> checkpoints(std::int64_t limit) = 0;
    // The note with its countersignatures ("checkpoint.none").
    virtual Result<std::string> note(std::int64_t size) = 0;
    // A consistency file's text.
    virtual Result<std::string> consistency(std::int64_t from, std::int64_t to) = 0;
    // "keys" (newest first: key, tag_key, seq, since, handed_over, statement) and "witnesses" (key, name, holder).
    virtual Result<boost::json::object> keys() = 0;
    // Signs now, as POST /api/checkpoints answers; "cli.needs_station" from a journal's file.
    virtual Result<boost::json::object> sign() = 0;
    // As POST /api/checkpoints/countersignature; size 0: the text says it itself.
    virtual Result<boost::json::object> bring(std::int64_t size, const std::string& line) = 0;
    // Enters a witness, or takes one out ("cli.needs_station" from a journal's file).
    virtual Result<void> know_witness(const VerifierKey& key, const std::string& holder) = 0;
    virtual Result<void> forget_witness(const VerifierKey& key, const std::string& reason) = 0;
    // The root over the first `size` entries, where the source can reckon it (a journal's file).
    virtual Result<std::optional<Hash>> root(std::int64_t size) = 0;
};

// As open_source (source.h) does: sets `wrong` when it is how the command was written that is wrong.
Result<std::unique_ptr<RecordSource>> open_record(const CommandLine& line, bool& wrong);

// Hand-over notes, oldest first, from "keys"; and from a file that holds them one after the other.
std::vector<std::string> hand_overs_in(const boost::json::object& keys);
std::vector<std::string> hand_overs_in(const std::string& file_text);

// The shop's key of --key or --key-file, "verify.two_keys", "verify.witness_as_key", or nothing when neither is given.
Result<std::optional<VerifierKey>> shop_key(const CommandLine& line);
// A verifier key as it stands in a file or behind an option, with line ends and blanks behind it.
Result<VerifierKey> key_of(std::string text);

}  // namespace crimpgate::cli
