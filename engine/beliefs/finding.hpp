// beliefs/finding.hpp
//
// "system-pressure" "12psi@read-gauge" -> a finding; and back, for people.
#pragma once
#include "beliefs/evidence.hpp"
#include "knowledge/lookup.hpp"

#include <string>
#include <string_view>
#include <variant>

namespace knockwell {

/// A setting or quantity that was typed ("age" "7years", "cut-in" "38psi", "pump" "submersible").
struct KnownSetting {
    SettingId setting;
    std::size_t state = 0;
};
struct KnownQuantity {
    std::string name;
    double value = 0;  // in the unit of the setting that gives it
};

/// Reads `what`=`value` for --set. Numbers go to numeric settings or to quantities, with unit
/// conversion.
[[nodiscard]] std::variant<KnownSetting, KnownQuantity, NotNamed>
read_setting(const Knowledge& knowledge, std::string_view what, std::string_view value);

/// Reads `what`=`value` for --says (via told) and --found (via looked). `value` may be empty (a
/// flag or kinds: then "yes", which for kinds and one-sided levels means "some kind or level":
/// weights 0 for normal, 1 for the others), a value's name or an unambiguous piece of it, a number
/// with unit for a reading, each with "@test" behind it where `via` is looked. Causes: yes or no.
/// The test must reveal the sign. A reading that is worked out may be given as the inputs of its
/// computation, "drawdown=2gal,tank=20gal"; what those leave open is taken from the settings of
/// `known`. Without `known` such a value is checked as far as it goes, and where a setting is left
/// open the finding has neither value nor reading: it is good for its name only.
[[nodiscard]] std::variant<Finding, KnownCause, NotNamed>
read_finding(const Knowledge& knowledge, std::string_view what, std::string_view value, Via via,
             const Evidence* known = nullptr);

/// Why a value that read_finding() took is too loose to be kept from what a person types: it is a
/// piece from the middle of the value's name, which may mean the opposite ("air" of "no-air").
/// Empty where it is the name or its beginning.
[[nodiscard]] std::string against_loose_value(const Knowledge& knowledge, const Finding& finding,
                                              std::string_view value);

/// "Gauge at the tank tee: 12 psi", "Tank sounds dull when knocked: yes". Safe on a terminal.
[[nodiscard]] std::string to_text(const Knowledge& knowledge, const Finding& finding);

}  // namespace knockwell
