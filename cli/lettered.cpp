#include "cli/lettered.hpp"

#include <variant>

namespace knockwell {
namespace {

std::string letter(std::size_t place) { return {static_cast<char>('a' + place)}; }

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
    std::string words;
    for (std::size_t i = 0; i < titles_.size(); ++i)
        words += (i == 0 ? "" : "; ") + letter(i) + ": " + titles_[i];
    return words;
}

std::string Lettered::told(const std::vector<std::string>& found) const {
    std::string words;
    for (std::size_t i = 0; i < found.size(); ++i)
        words += (i == 0 ? "" : ", ") + (any() ? letter(i) + " " : "") + found[i];
    return words;
}

std::string Lettered::spelled(const std::vector<std::string>& found) const {
    std::string words;
    for (std::size_t i = 0; i < found.size(); ++i)
        words += (i == 0 ? "" : ", ") + (any() ? ids_[i] + ": " : "") + found[i];
    return words;
}

}  // namespace knockwell
