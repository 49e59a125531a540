#include "station/bench/commands.h"

namespace crimpgate {

Command::Command(const Command& other) = default;
Command::Command(Command&& other) noexcept = default;
Command& Command::operator=(const Command& other) = default;
Command& Command::operator=(Command&& other) noexcept = default;
Command::~Command() = default;

template <class T>
requires(is_one_of<T, CommandTypes>) [[gnu::noinline]] Command::Command(T command)
    : CommandTypes(std::in_place_type<T>, std::move(command)) {}

namespace {

[[gnu::used]] void make_them_all() {
    make_one_of_each<Command>(static_cast<const CommandTypes*>(nullptr));
}

}  // namespace

}  // namespace crimpgate
