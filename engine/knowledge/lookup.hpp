// knowledge/lookup.hpp
//
// From what a person types to the thing that is meant: the identifier, or a piece of a title or of
// the other words for a sign.
#pragma once
#include "knowledge/model.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace knockwell {

/// Something that can be set or found on a job.
using Named = std::variant<SignId, SettingId, CauseId>;

/// What was typed names nothing, or too much.
struct NotNamed {
    std::string says;  // lower case, no full stop: "no sign is called 'presure'"
    std::vector<std::string>
        nearest;  // up to three identifiers with titles: "system-pressure (Gauge at the tank tee)"
    bool operator==(const NotNamed&) const = default;
};

/// findable: signs, tables, causes. told: what a customer said; a cause or what only a look shows
/// must then be named in full, for a loose word of a customer finds neither.
enum class Wanted { settings, signs, findable, told };

/// Exact identifier first; else the only one of which the identifier, the title or one of the
/// `also` is what was typed, or contains every word typed (case does not matter; a hit of whole
/// words goes before pieces of words); several or none: the nearest three.
[[nodiscard]] std::variant<Named, NotNamed> find_named(const Knowledge& knowledge,
                                                       std::string_view typed, Wanted wanted);

/// Whether what was typed is its identifier, its title or one of its `also`, word for word.
[[nodiscard]] bool is_said_in_full(const Knowledge& knowledge, const Named& named,
                                   std::string_view typed);

/// A choice of a setting.
struct ChoiceOf {
    SettingId setting;
    std::size_t state = 0;
};

/// Choices that a customer's words stand for: by one of their `also`, word for word.
[[nodiscard]] std::vector<ChoiceOf> choices_said_as(const Knowledge& knowledge,
                                                    std::string_view typed);

/// A value as it is typed and kept, "12 psi@read-gauge", in its two parts. They live no longer than
/// the text.
struct ValueAndTest {
    std::string_view value;
    std::optional<std::string_view> test;  // nothing: no test is named
};
[[nodiscard]] ValueAndTest value_and_test(std::string_view text);

/// The identifier and the title of a thing.
[[nodiscard]] const std::string& id_of(const Knowledge& knowledge, const Named& named);
[[nodiscard]] const std::string& title_of(const Knowledge& knowledge, const Named& named);

}  // namespace knockwell
