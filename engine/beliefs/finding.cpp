#include "beliefs/finding.hpp"

#include "base/nearest.hpp"
#include "base/quantity.hpp"
#include "base/words.hpp"
#include "beliefs/likelihood.hpp"
#include "beliefs/worked.hpp"

#include <algorithm>
#include <charconv>
#include <map>
#include <utility>

namespace knockwell {
namespace {

NotNamed wrong(std::string_view what, const std::string& why) {
    return {echo(what) + ": " + why, {}};
}

bool starts_as_number(std::string_view text) {
    return !text.empty() &&
           std::string_view("+-.0123456789").find(text.front()) != std::string_view::npos;
}

/// The number of `text` in `unit`, or what is wrong with it.
std::variant<double, std::string> number_in(std::string_view text, std::string_view unit) {
    const auto parsed = parse_quantity(text);
    if (const auto* why = std::get_if<std::string>(&parsed))
        return *why;
    return convert(std::get<Quantity>(parsed), unit);
}

/// Whether a name may be meant by a piece of it, or by how it begins only.
enum class Pieces { any, beginning };

/// The one of `names` that is meant: itself, else the only one that so begins, else the only one
/// that has such a piece. Letters count the same in either case.
std::variant<std::size_t, std::string> pick(const std::vector<std::string>& names,
                                            std::string_view typed, Pieces pieces = Pieces::any) {
    const std::string wanted = small_letters(typed);
    for (std::size_t i = 0; i < names.size(); ++i)
        if (small_letters(names[i]) == wanted)
            return i;
    for (const bool at_the_start : {true, false}) {
        std::vector<std::size_t> fitting;
        for (std::size_t i = 0; i < names.size() && !wanted.empty(); ++i) {
            const std::size_t at = small_letters(names[i]).find(wanted);
            if (at_the_start ? at == 0 : at != std::string::npos)
                fitting.push_back(i);
        }
        if (fitting.size() == 1 && (at_the_start || pieces == Pieces::any))
            return fitting.front();
        if (fitting.size() > 1) {
            std::vector<std::string> those;
            for (const std::size_t i : fitting)
                those.push_back(escape_controls(names[i]));
            return in_quotes(typed) + " could be " + list_of(those, "or");
        }
    }
    std::vector<std::string> allowed;
    for (const std::string& name : names)
        allowed.push_back(escape_controls(name));
    return in_quotes(typed) + " is none of its values: " + list_of(allowed, "or");
}

// ---- settings

/// Settings with choices such as "115" and "230" in volts are known by the number too.
std::optional<std::size_t> choice_of_number(const Setting& setting, double value) {
    for (std::size_t i = 0; i < setting.states.size(); ++i) {
        const std::string& name = setting.states[i];
        double number = 0;
        const auto end = std::from_chars(name.data(), name.data() + name.size(), number);
        if (end.ec == std::errc() && end.ptr == name.data() + name.size() && number == value)
            return i;
    }
    return std::nullopt;
}

std::variant<std::size_t, std::string> state_of(const Setting& setting, std::string_view value) {
    // "on" is a piece of "none": what is fitted must not be taken as missing.
    auto by_name = pick(setting.states, value, Pieces::beginning);
    const bool exact =
        by_name.index() == 0 && setting.states[std::get<0>(by_name)] == small_letters(value);
    if (exact || !starts_as_number(value) || (setting.starts.empty() && setting.unit.empty()))
        return by_name;
    // "20-40" is no number but may be a choice written wrongly: its list of choices helps more.
    if (setting.starts.empty() && parse_quantity(value).index() != 0)
        return by_name;
    const auto parsed = number_in(value, setting.unit);
    if (const auto* why = std::get_if<std::string>(&parsed))
        return *why;
    const double number = std::get<double>(parsed);
    if (setting.starts.empty()) {
        if (const auto choice = choice_of_number(setting, number))
            return *choice;
        return by_name;
    }
    const auto above = std::upper_bound(setting.starts.begin(), setting.starts.end(), number);
    if (above == setting.starts.begin())
        return "it begins at " + knockwell::number(setting.starts.front()) +
               (setting.unit.empty() ? "" : " " + setting.unit);
    return static_cast<std::size_t>(above - setting.starts.begin()) - 1;
}

/// Why a quantity cannot be that number: outside of what the knowledge says, and where it says
/// nothing, not above 0 though every choice gives one that is. Empty where it can.
std::string against_range(const Setting& giver, const std::string& quantity, double value) {
    const std::string unit = giver.unit.empty() ? "" : " " + giver.unit;
    if (const auto range = giver.range.find(quantity); range != giver.range.end()) {
        const Bounds& bounds = range->second;
        if (value >= bounds.least && value <= bounds.most)
            return {};
        return knockwell::number(value) + unit + " is out of range; it goes from " +
               knockwell::number(bounds.least) + " to " + knockwell::number(bounds.most) + unit;
    }
    const bool all_positive = std::all_of(giver.gives.begin(), giver.gives.end(),
                                          [&](const auto& it) { return it.at(quantity) > 0; });
    if (!all_positive || value > 0)
        return {};
    return knockwell::number(value) + unit + " is out of range; it is above 0" + unit;
}

// ---- findings

NotNamed no_such_test(const Knowledge& knowledge, std::string_view typed,
                      const std::vector<std::size_t>& showing, std::string_view what) {
    NotNamed result{"no test is called " + in_quotes(typed), {}};
    const TestId other = test_named(knowledge, typed);
    if (other.valid())
        result.says = in_quotes(typed) + " does not show " + escape_controls(what);
    if (showing.empty())
        result.says += "; no test shows it, so leave '@' away";
    for (const std::size_t i : showing) {
        const Head& head = knowledge.tests[i].step.head;
        if (result.nearest.size() < 3)
            result.nearest.push_back(escape_controls(head.id + " (" + head.title + ")"));
    }
    return result;
}

std::variant<TestId, NotNamed> read_test(const Knowledge& knowledge, std::string_view typed,
                                         const Findable& what, std::string_view what_id) {
    std::vector<std::size_t> showing;
    std::vector<std::string> names;
    for (std::size_t i = 0; i < knowledge.tests.size(); ++i) {
        const std::vector<Findable>& shown = knowledge.tests[i].reveals;
        if (std::find(shown.begin(), shown.end(), what) == shown.end())
            continue;
        showing.push_back(i);
        names.push_back(knowledge.tests[i].step.head.id);
    }
    // Another test's exact name is never taken for a piece of a fitting one.
    if (const auto picked = pick(names, typed); picked.index() == 0) {
        const TestId test{showing[std::get<0>(picked)]};
        if (knowledge[test].step.head.id == typed || !test_named(knowledge, typed).valid())
            return test;
    }
    return no_such_test(knowledge, typed, showing, what_id);
}

std::vector<std::string> value_names(const Sign& sign) {
    std::vector<std::string> names;
    for (std::size_t value = 0; value < sign.value_count(); ++value)
        names.push_back(sign.value_name(value));
    return names;
}

bool is_yes(std::string_view typed) { return typed == "y" || typed == "yes"; }
bool is_no(std::string_view typed) { return typed == "n" || typed == "no"; }

/// Whether "no" could mean a value as well as that nothing is wrong: no volts, no pressure.
bool no_is_a_value(const Sign& sign) {
    for (std::size_t value = 1; value < sign.value_count(); ++value)
        if (sign.value_name(value).starts_with("no"))
            return true;
    return false;
}

/// "yes" and "no" of a sign that has other values: some level or none. Two-sided signs have no such
/// word, since it would not say on which side.
bool say_yes_or_no(const Sign& sign, const std::string& typed, Finding& finding) {
    if (!sign.low.empty())
        return false;
    if (typed.empty() || is_yes(typed)) {
        if (sign.high.size() == 1) {
            finding.value = 1;
        } else {
            finding.weights.assign(sign.value_count(), 1);
            finding.weights.front() = 0;
        }
        return true;
    }
    if (!is_no(typed) || no_is_a_value(sign))
        return false;
    finding.value = 0;
    return true;
}

/// Why no instrument reads that; empty where one may.
std::string against_reading(const Sign& sign, double value) {
    const Reading& reading = *sign.reading;
    constexpr Bounds ph_scale{0, 14};
    const auto is_negative = [](const Edge& edge) {
        return edge.quantity.empty() && edge.plus < 0;
    };
    const bool both_sides_of_zero =
        std::any_of(reading.low.begin(), reading.low.end(), is_negative) ||
        std::any_of(reading.high.begin(), reading.high.end(), is_negative);
    const std::string says = number(value) + " " + reading.unit + " can be no reading of it; ";
    if (reading.unit == "pH" && (value < ph_scale.least || value > ph_scale.most))
        return says + "the scale goes from 0 to 14";
    if (value < 0 && !both_sides_of_zero)
        return says + "it is never under 0";
    return {};
}

/// Fills in what was found of a sign; otherwise says what is wrong.
std::optional<std::string> read_value(const Knowledge& knowledge, const Sign& sign,
                                      std::string_view value, const Evidence* known,
                                      Finding& finding) {
    if (sign.reading && sign.reading->worked && value.find('=') != std::string_view::npos) {
        const auto worked = worked_reading(knowledge, *sign.reading, value, known);
        if (const auto* why = std::get_if<std::string>(&worked))
            return *why;
        finding.reading = std::get<std::optional<double>>(worked);
        if (finding.reading)
            if (std::string why = against_reading(sign, *finding.reading); !why.empty())
                return why;
        return std::nullopt;
    }
    const std::vector<std::string> names = value_names(sign);
    const auto exact = std::find(names.begin(), names.end(), value);
    if (exact != names.end()) {
        finding.value = static_cast<std::size_t>(exact - names.begin());
        return std::nullopt;
    }
    if (sign.reading && starts_as_number(value)) {
        const auto read = number_in(value, sign.reading->unit);
        if (const auto* why = std::get_if<std::string>(&read))
            return sign.reading->worked
                       ? *why + "; or say " + escape_controls(inputs_to_type(*sign.reading->worked))
                       : *why;
        finding.reading = std::get<double>(read);
        if (std::string why = against_reading(sign, *finding.reading); !why.empty())
            return why;
        return std::nullopt;
    }
    if (say_yes_or_no(sign, small_letters(value), finding))
        return std::nullopt;
    if (value.empty()) {
        std::string ask = "say what was found: " + list_of(names, "or");
        if (sign.reading)
            ask += ", or a number in " + sign.reading->unit;
        if (sign.reading && sign.reading->worked)
            ask += ", or " + inputs_to_type(*sign.reading->worked);
        return escape_controls(ask);
    }
    if (sign.form == SignForm::flag)
        return in_quotes(value) + " is neither yes nor no";
    if (is_no(small_letters(value)) || is_yes(small_letters(value)))
        return in_quotes(value) + " does not say which; say " +
               escape_controls(list_of(names, "or"));
    const auto picked = pick(names, value);
    if (const auto* why = std::get_if<std::string>(&picked)) {
        if (!sign.reading)
            return *why;
        return *why + "; or a number in " + escape_controls(sign.reading->unit);
    }
    finding.value = std::get<0>(picked);
    return std::nullopt;
}

using ReadFinding = std::variant<Finding, KnownCause, NotNamed>;

ReadFinding read_cause(const Knowledge& knowledge, CauseId cause, std::string_view value,
                       bool with_test) {
    const std::string& id = knowledge[cause].head.id;
    if (with_test)
        return wrong(id, "a cause is seen or not, without '@'");
    const std::string small = small_letters(value);
    if (small.empty() || is_yes(small))
        return KnownCause{cause, true, 0};
    if (is_no(small))
        return KnownCause{cause, false, 0};
    return wrong(id, in_quotes(value) + " is neither yes nor no");
}

/// What names no setting may be a quantity misspelt; those near to it are named first.
NotNamed with_quantities(const Knowledge& knowledge, std::string_view typed, NotNamed none) {
    constexpr std::size_t most_named = 3;
    std::map<std::string, std::string> titles;  // of their settings
    for (const Setting& setting : knowledge.settings)
        if (!setting.gives.empty())
            for (const auto& [quantity, value] : setting.gives.front())
                titles.emplace(quantity, setting.head.title);
    std::vector<std::string> names;
    for (const auto& [quantity, title] : titles)
        names.push_back(quantity);
    std::vector<std::string> near = nearest(small_letters(typed), names, most_named);
    for (std::string& name : near)
        name = escape_controls(name + " (" + titles.at(name) + ")");
    near.insert(near.end(), none.nearest.begin(), none.nearest.end());
    near.resize(std::min(near.size(), most_named));
    return {none.says, std::move(near)};
}

}  // namespace

std::variant<KnownSetting, KnownQuantity, NotNamed>
read_setting(const Knowledge& knowledge, std::string_view what, std::string_view value) {
    const std::string_view name = trimmed(what);
    const std::string_view said = trimmed(value);
    const SettingId exact = setting_named(knowledge, name);
    const bool is_setting = exact.valid() && !knowledge[exact].table;
    if (const auto from = giver_of(knowledge, std::string(name)); from && !is_setting) {
        const Setting& giver = knowledge[*from];
        const auto number = number_in(said, giver.unit);
        if (const auto* why = std::get_if<std::string>(&number))
            return wrong(name, *why);
        const double typed = std::get<double>(number);
        if (const std::string why = against_range(giver, std::string(name), typed); !why.empty())
            return wrong(name, why);
        return KnownQuantity{std::string(name), typed};
    }
    const auto named = find_named(knowledge, name, Wanted::settings);
    if (const auto* none = std::get_if<NotNamed>(&named))
        return with_quantities(knowledge, name, *none);
    const SettingId id = std::get<SettingId>(std::get<Named>(named));
    const Setting& setting = knowledge[id];
    const auto state = state_of(setting, said);
    if (const auto* why = std::get_if<std::string>(&state))
        return wrong(setting.head.id, *why);
    return KnownSetting{id, std::get<0>(state)};
}

ReadFinding read_finding(const Knowledge& knowledge, std::string_view what, std::string_view value,
                         Via via, const Evidence* known) {
    const auto [typed, test_typed] = value_and_test(value);
    const std::string_view said = trimmed(typed);
    const auto named =
        find_named(knowledge, trimmed(what), via == Via::told ? Wanted::told : Wanted::findable);
    if (const auto* none = std::get_if<NotNamed>(&named))
        return *none;
    const Named& thing = std::get<Named>(named);
    const std::string& id = id_of(knowledge, thing);
    if (const auto* cause = std::get_if<CauseId>(&thing))
        return read_cause(knowledge, *cause, said, test_typed.has_value());

    Finding finding;
    finding.via = via;
    if (const auto* sign = std::get_if<SignId>(&thing)) {
        finding.what = *sign;
        if (const auto why = read_value(knowledge, knowledge[*sign], said, known, finding))
            return wrong(id, *why);
    } else {
        const SettingId table = std::get<SettingId>(thing);
        finding.what = table;
        const auto state = pick(knowledge[table].states, said);
        if (const auto* why = std::get_if<std::string>(&state))
            return wrong(id, *why);
        finding.value = std::get<0>(state);
    }
    if (!test_typed)
        return finding;
    if (via != Via::looked)
        return wrong(id, "only what somebody looked at has a test behind '@'");
    const auto test = read_test(knowledge, trimmed(*test_typed), finding.what, id);
    if (const auto* none = std::get_if<NotNamed>(&test))
        return *none;
    finding.via = Via::test;
    finding.test = std::get<TestId>(test);
    return finding;
}

std::string against_loose_value(const Knowledge& knowledge, const Finding& finding,
                                std::string_view value) {
    const std::string typed = small_letters(trimmed(value_and_test(value).value));
    if (!finding.value || finding.reading || typed.empty() || typed.find('=') != std::string::npos)
        return {};
    std::vector<std::string> names;
    if (const auto* sign = std::get_if<SignId>(&finding.what)) {
        Finding yes_or_no;
        if (say_yes_or_no(knowledge[*sign], typed, yes_or_no))
            return {};
        names = value_names(knowledge[*sign]);
    } else {
        names = knowledge[std::get<SettingId>(finding.what)].states;
    }
    const std::string& taken = names[*finding.value];
    if (small_letters(taken).starts_with(typed))
        return {};
    for (std::string& name : names)
        name = escape_controls(name);
    return in_quotes(typed) + " is only a piece of " + in_quotes(taken) + "; say " +
           list_of(names, "or");
}

std::string to_text(const Knowledge& knowledge, const Finding& finding) {
    const Sign* sign = nullptr;
    if (const auto* id = std::get_if<SignId>(&finding.what))
        sign = &knowledge[*id];
    const Setting* table = nullptr;
    if (const auto* id = std::get_if<SettingId>(&finding.what))
        table = &knowledge[*id];
    const auto name = [&](std::size_t value) {
        return sign != nullptr ? sign->value_name(value) : table->states[value];
    };
    std::string text = (sign != nullptr ? sign->head.title : table->head.title) + ": ";
    if (finding.reading) {
        text += number(*finding.reading, 5);  // finer than any meter, and 2.7 bar is 39.16 psi
        if (sign != nullptr && sign->reading)
            text += " " + sign->reading->unit;
    } else if (finding.value) {
        text += name(*finding.value);
    } else {
        std::vector<std::string> possible;
        bool all_alike = true;
        for (std::size_t value = 0; value < finding.weights.size(); ++value) {
            const double weight = finding.weights[value];
            if (weight > 0)
                possible.push_back(name(value));
            all_alike = all_alike && (weight == 0 || weight == 1);
        }
        if (!all_alike) {
            possible.clear();
            for (std::size_t value = 0; value < finding.weights.size(); ++value)
                possible.push_back(name(value) + " " + number(finding.weights[value]));
        }
        text += list_of(possible, all_alike ? "or" : "and");
    }
    return escape_controls(text);
}

}  // namespace knockwell
