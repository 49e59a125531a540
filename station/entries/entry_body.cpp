#include "station/entries/entries.h"

namespace crimpgate {

EntryBody::EntryBody() = default;
EntryBody::EntryBody(const EntryBody& other) = default;
EntryBody::EntryBody(EntryBody&& other) noexcept = default;
EntryBody& EntryBody::operator=(const EntryBody& other) = default;
EntryBody& EntryBody::operator=(EntryBody&& other) noexcept = default;
EntryBody::~EntryBody() = default;

template <class T>
requires(is_one_of<T, EntryTypes>) [[gnu::noinline]] EntryBody::EntryBody(T body)
    : EntryTypes(std::in_place_type<T>, std::move(body)) {}

namespace {

[[gnu::used]] void make_them_all() {
    make_one_of_each<EntryBody>(static_cast<const EntryTypes*>(nullptr));
}

}  // namespace

}  // namespace crimpgate
