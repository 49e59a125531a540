// A figure that cannot be had without what speaks against it.
//
// An index of capability printed without "the process was not stable" beside it is worse than none. So whoever wants
// the figure gives match() a function that takes the warnings too, and another for the case that there is no figure.
// Warnings and reasons are messages: their words are in the catalogue.
#pragma once

#include <concepts>
#include <span>
#include <utility>
#include <vector>

#include "specs/message.h"

namespace crimpgate::statistics {

template <class T>
class Warned {
  public:
    Warned(T figure, std::vector<Message> warnings) : figure_(std::move(figure)), warnings_(std::move(warnings)) {}
    // No figure, and why.
    explicit Warned(Message reason) : figure_(refuse(std::move(reason))) {}

    // with_warnings(const T&, std::span<const Message>) when there is a figure, else absent(const Message& reason).
    // Both return the same type.
    template <class WithWarnings, class Absent>
    requires std::invocable<WithWarnings, const T&, std::span<const Message>> && std::invocable<Absent, const Message&>
    decltype(auto) match(WithWarnings&& with_warnings, Absent&& absent) const {
        if (figure_) return with_warnings(*figure_, std::span<const Message>(warnings_));
        return absent(figure_.error());
    }

  private:
    Result<T> figure_;
    std::vector<Message> warnings_;
};

}  // namespace crimpgate::statistics
