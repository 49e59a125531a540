// A finding in the trade's words: what was measured, which limit it is held against, and by how much.
//
// A message, so that the sentence itself comes from the catalogue. Lengths are rounded to `places` decimals of a
// millimetre for show; the finding keeps the exact ones.
#pragma once

#include "specs/judgement.h"
#include "specs/message.h"

namespace crimpgate {

Message words_of(const Finding& finding, int places = 2);

}  // namespace crimpgate
