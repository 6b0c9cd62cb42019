// cli/pick.hpp
//
// One of several things by what was typed: its identifier, or the only title with every word of it.
#pragma once
#include <cstddef>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace knockwell {

struct Pickable {
    std::string id;
    std::string title;
};

struct NotPicked {
    std::string says;  // lower case, no full stop, not escaped
    std::vector<std::string>
        nearest;  // all that fit, up to twenty, or the nearest three: "id (title)"
};

/// The place in `all` of what was typed. `kind` is the word for one of them: "repair".
[[nodiscard]] std::variant<std::size_t, NotPicked>
pick(const std::vector<Pickable>& all, std::string_view typed, std::string_view kind);

}  // namespace knockwell
