#include "fuzz/feed.hpp"

#include "base/words.hpp"
#include "knowledge/read.hpp"

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

}  // namespace

Fed feed(const std::vector<Source>& sources) {
    const ReadResult read = read_knowledge(sources);
    Fed fed{.accepted = read.ok(), .trouble = {}};
    for (const Problem& problem : read.problems) {
        fed.trouble = trouble_with(problem, sources);
        if (!fed.trouble.empty())
            break;
    }
    return fed;
}

}  // namespace knockwell
