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

}  // namespace

Lettered::Lettered(const Knowledge& knowledge, StepKind kind, std::string_view id) {
    const TestId test = kind == StepKind::test ? test_named(knowledge, id) : TestId();
    if (!test.valid() || knowledge[test].reveals.size() < 2)
        return;
    for (const Findable& what : knowledge[test].reveals)
        std::visit(
            [&](auto of) {
                ids_.push_back(knowledge[of].head.id);
                titles_.push_back(knowledge[of].head.title);
            },
            what);
}

std::string Lettered::legend() const {
    return joined(titles_, "; ", [](std::size_t i) { return letter(i) + ": "; });
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
