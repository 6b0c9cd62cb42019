#include "cli/lettered.hpp"

#include <variant>

namespace knockwell {
namespace {

std::string letter(std::size_t place) { return {static_cast<char>('a' + place)}; }

/// Each item behind what before(place) says.
template <class Before>
std::string joined(const std::vector<std::string>& items, std::string_view between, Before before) {
    std::string words;
    for (std::size_t i = 0; i < items.size(); ++i) {
        if (i > 0)
            words += between;
        words += before(i) + items[i];
    }
    return words;
}

/// What the answers to one of the things mean: of several kinds the question, which says what a
/// "no" is; of what is there or not the title.
std::string meaning_of(const Knowledge& knowledge, const Findable& what) {
    const auto* sign = std::get_if<SignId>(&what);
    if (sign != nullptr && knowledge[*sign].form == SignForm::kinds &&
        !knowledge[*sign].ask.empty())
        return knowledge[*sign].ask;
    return std::visit([&](auto of) { return knowledge[of].head.title; }, what);
}

/// The same of the only thing that a step looks at; the step's own title says most of it.
std::string meaning_of_the_only(const Knowledge& knowledge, const Findable& what) {
    const auto* sign = std::get_if<SignId>(&what);
    if (sign == nullptr || knowledge[*sign].form == SignForm::levels)
        return {};
    const bool is_flag = knowledge[*sign].form == SignForm::flag;
    return (is_flag ? "Yes is: " : "") + meaning_of(knowledge, what);
}

}  // namespace

Lettered::Lettered(const Knowledge& knowledge, StepKind kind, std::string_view id) {
    const TestId test = kind == StepKind::test ? test_named(knowledge, id) : TestId();
    if (!test.valid())
        return;
    const std::vector<Findable>& reveals = knowledge[test].reveals;
    for (const Findable& what : reveals) {
        std::visit([&](auto of) { ids_.push_back(knowledge[of].head.id); }, what);
        meanings_.push_back(reveals.size() > 1 ? meaning_of(knowledge, what)
                                               : meaning_of_the_only(knowledge, what));
    }
}

std::string Lettered::legend() const {
    return joined(meanings_, "; ",
                  [&](std::size_t i) { return any() ? letter(i) + ": " : std::string(); });
}

std::string Lettered::told(const std::vector<std::string>& found) const {
    return joined(found, ", ",
                  [&](std::size_t i) { return any() ? letter(i) + " " : std::string(); });
}

std::string Lettered::spelled(const std::vector<std::string>& found) const {
    return joined(found, ", ",
                  [&](std::size_t i) { return any() ? ids_[i] + ": " : std::string(); });
}

}  // namespace knockwell
