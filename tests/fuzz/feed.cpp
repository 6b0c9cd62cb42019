#include "fuzz/feed.hpp"

#include "base/words.hpp"
#include "knowledge/read.hpp"
#include "knowledge/tree.hpp"

#include <algorithm>

namespace knockwell {
namespace {

/// Whether `span` points into `sources`; the place right behind the last line counts as inside.
bool inside(const Span& span, const std::vector<Source>& sources) {
    if (!span.somewhere())
        return true;
    if (span.source >= sources.size() || span.end < span.begin)
        return false;
    std::uint32_t lines = 1;
    for (const char byte : sources[span.source].text)
        lines += byte == '\n' ? 1 : 0;
    return span.begin.line <= lines && span.begin.column >= 1;
}

std::string trouble_with(const Problem& problem, const std::vector<Source>& sources) {
    const std::string printed = to_text(problem, sources);
    if (printed.find_first_of("\t\r") != std::string::npos ||
        escape_controls(printed, true) != printed)
        return "a control character came through: " + escape_controls(printed);
    if (printed.empty() || printed.back() != '\n')
        return "no newline at the end of: " + printed;
    if (problem.code.empty() || problem.says.empty())
        return "a problem that says nothing: " + printed;
    if (!inside(problem.span, sources))
        return "a place that is not in the text: " + printed;
    for (const Note& note : problem.notes)
        if (!inside(note.span, sources))
            return "a note that is not in the text: " + printed;
    return {};
}

bool same(const Node& a, const Node& b);

bool same(const Entry& a, const Entry& b) {
    return a.key == b.key && a.key_span == b.key_span && same(a.value, b.value);
}

template <class Shown>
bool same(const Held<Shown>& a, const Held<Shown>& b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                      [](const Shown& one, const Shown& other) { return same(one, other); });
}

bool same(const Node& a, const Node& b) {
    return a.kind == b.kind && a.truth == b.truth && a.closed == b.closed && a.span == b.span &&
           a.text == b.text && a.number == b.number && same(a.items(), b.items()) &&
           same(a.entries(), b.entries());
}

}  // namespace

Trees trees_of(const Source& source) {
    TreeRoom room;
    std::vector<Problem> problems;
    const auto quick = quick_tree(source.text, 0, room);
    if (!quick)
        return {};
    const auto whole = library_tree(source, 0, room, problems);
    return {.quick = true, .same = whole && same(*quick, *whole)};
}

Fed feed(const std::vector<Source>& sources) {
    const ReadResult read = read_knowledge(sources);
    Fed fed{.accepted = read.ok(), .trouble = {}};
    for (const Problem& problem : read.problems) {
        fed.trouble = trouble_with(problem, sources);
        if (!fed.trouble.empty())
            break;
    }
    for (const Source& source : sources)
        if (fed.trouble.empty() && !trees_of(source).same)
            fed.trouble = "the quick reader sees another tree in " + source.name;
    return fed;
}

}  // namespace knockwell
