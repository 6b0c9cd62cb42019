#include "cli/lettered.hpp"

#include <variant>

namespace knockwell {
namespace {

std::string letter(std::size_t place) { return {static_cast<char>('a' + place)}; }

/// Empty where the names do not stand there one after the other.
std::string by_letters(const std::string& found, const std::vector<std::string>& names,
                       const std::string& between) {
    std::string words;
    std::size_t at = 0;
    for (std::size_t i = 0; i < names.size(); ++i) {
        const std::string begin = names[i] + ": ";
        if (found.compare(at, begin.size(), begin) != 0)
            return {};
        at += begin.size();
        const bool last = i + 1 == names.size();
        const std::size_t end = last ? found.size() : found.find(between + names[i + 1] + ": ", at);
        if (end == std::string::npos)
            return {};
        words += (i == 0 ? "" : ", ") + letter(i) + " " + found.substr(at, end - at);
        at = last ? end : end + between.size();
    }
    return words;
}

}  // namespace

Lettered::Lettered(const Knowledge& knowledge, const Suggestion& step) {
    const TestId test = step.kind == StepKind::test ? test_named(knowledge, step.id) : TestId();
    if (!test.valid() || knowledge[test].reveals.size() < 2)
        return;
    for (const Findable& what : knowledge[test].reveals)
        std::visit(
            [&](auto id) {
                ids_.push_back(knowledge[id].head.id);
                titles_.push_back(knowledge[id].head.title);
            },
            what);
}

std::string Lettered::legend() const {
    std::string words;
    for (std::size_t i = 0; i < titles_.size(); ++i)
        words += (i == 0 ? "" : "; ") + letter(i) + ": " + titles_[i];
    return words;
}

std::string Lettered::told(const std::string& found) const {
    std::string words = by_letters(found, titles_, "; ");
    if (words.empty())
        words = by_letters(found, ids_, ", ");
    return words.empty() ? found : words;
}

}  // namespace knockwell
