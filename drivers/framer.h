// Where one frame ends: three answers about the bytes at the front of a buffer, and nothing else. Pure.
//
// complete(n): the first n bytes are one frame, or the remains of one that ends there (the parser says which).
// noise(n):    the first n bytes belong to no frame.
// need_more:   nothing can be said yet; n is 0.
// The caller removes n bytes and asks again. Bytes in = bytes in frames + bytes of noise + bytes still in the buffer.
// A frame that proves bad is given up only as far as the next place where another may begin, so that a lost byte or a
// wrong length costs its own frame and never the next one. The buffer never grows past the profile's longest frame.
#pragma once

#include <cstddef>
#include <string_view>

#include "drivers/profile.h"

namespace crimpgate {

struct FrameStep {
    enum class Kind { complete, need_more, noise };
    Kind kind = Kind::need_more;
    std::size_t n = 0;
    bool operator==(const FrameStep&) const = default;
};

FrameStep next_step(std::string_view buffer, const Profile& profile);

}  // namespace crimpgate
