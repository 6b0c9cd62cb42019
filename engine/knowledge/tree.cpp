#include "knowledge/tree.hpp"

#include "base/utf8.hpp"
#include "base/words.hpp"
#include "knowledge/slips.hpp"

// What the library asserts of a damaged text it reports as an error a few lines later.
#define TOML_ASSERT(expr) static_assert(true)  // NOLINT(cppcoreguidelines-macro-usage)
#include <toml++/toml.h>

#include <algorithm>
#include <new>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>

namespace knockwell {
namespace {

static_assert(std::is_trivially_destructible_v<Entry>);

/// Runs over the raw text and stops where brackets or dotted keys are nested too deep. It knows
/// strings and comments, and nothing else of TOML: the TOML reader recurses, and absurd nesting
/// overruns its stack, so it must not see such a text at all.
class DepthScan {
public:
    explicit DepthScan(std::string_view text) : text_(text) {}

    /// Place of the first byte that is too deep.
    [[nodiscard]] std::optional<Place> too_deep() {
        while (at_ < text_.size()) {
            const char c = text_[at_];
            if (c == '#') {
                skip_comment();
            } else if (c == '"' || c == '\'') {
                skip_string(c);
            } else {
                if (!structure(c))
                    return place_;
                step();
            }
        }
        return std::nullopt;
    }

private:
    /// False where `c` opens one level or one dotted part too many.
    [[nodiscard]] bool structure(char c) {
        switch (c) {
        case '[':
        case '{':
            dots_ = 0;
            return ++depth_ <= deepest_nesting;
        case ']':
        case '}':
            dots_ = 0;
            if (depth_ > 0)
                --depth_;
            return true;
        case '\n':
        case '=':
        case ',':
            dots_ = 0;
            return true;
        case '.':
            return ++dots_ < deepest_nesting;
        default:
            return true;
        }
    }

    void step() {
        const auto byte = static_cast<unsigned char>(text_[at_]);
        ++at_;
        if (byte == '\n') {
            ++place_.line;
            place_.column = 1;
        } else if (at_ == text_.size() ||
                   (static_cast<unsigned char>(text_[at_]) & 0xC0U) != 0x80U) {
            ++place_.column;
        }
    }

    void skip_comment() {
        while (at_ < text_.size() && text_[at_] != '\n')
            step();
    }

    void skip_string(char quote) {
        const std::string three(3, quote);
        const bool lines = text_.substr(at_, 3) == three;
        for (std::size_t n = lines ? 3 : 1; n > 0; --n)
            step();
        while (at_ < text_.size()) {
            if (lines ? text_.substr(at_, 3) == three : text_[at_] == quote)
                break;
            if (!lines && text_[at_] == '\n')
                return;  // unfinished: the TOML reader will say so
            if (quote == '"' && text_[at_] == '\\' && at_ + 1 < text_.size())
                step();
            step();
        }
        // A string of several lines may end in up to two quotes of its own.
        for (std::size_t n = lines ? 5 : 1; n > 0 && at_ < text_.size() && text_[at_] == quote; --n)
            step();
    }

    std::string_view text_;
    std::size_t at_ = 0;
    std::size_t depth_ = 0;
    std::size_t dots_ = 0;
    Place place_{1, 1};
};

Span span_of(const toml::source_region& region, std::uint32_t source) {
    const auto place = [](const toml::source_position& p) { return Place{p.line, p.column}; };
    Span span{source, place(region.begin), place(region.end)};
    if (span.end <= span.begin)
        span.end = {span.begin.line, span.begin.column + 1};
    return span;
}

/// Fills `node` with what stands in `from`.
void copy(const toml::node& from, std::uint32_t source, TreeRoom& room, Node& node) {
    node.span = span_of(from.source(), source);
    if (const auto* text = from.as_string()) {
        node.kind = Node::Kind::text;
        node.text = room.keep(text->get());
    } else if (const auto* whole = from.as_integer()) {
        node.kind = Node::Kind::number;
        node.number = static_cast<double>(whole->get());
    } else if (const auto* real = from.as_floating_point()) {
        node.kind = Node::Kind::number;
        node.number = real->get();
    } else if (const auto* truth = from.as_boolean()) {
        node.kind = Node::Kind::truth;
        node.truth = truth->get();
    } else if (const auto* array = from.as_array()) {
        node.kind = Node::Kind::array;
        for (const toml::node& item : *array)
            copy(item, source, room, room.add(node).value);
    } else if (const auto* table = from.as_table()) {
        node.kind = Node::Kind::table;
        node.closed = table->is_inline();
        // The library keeps a table sorted by its keys.
        std::vector<std::pair<Span, toml::table::const_iterator>> by_place;
        for (auto it = table->begin(); it != table->end(); ++it)
            by_place.emplace_back(span_of(it->first.source(), source), it);
        std::stable_sort(by_place.begin(), by_place.end(),
                         [](const auto& a, const auto& b) { return a.first < b.first; });
        for (const auto& [span, it] : by_place) {
            Entry& entry = room.add(node);
            entry.key = room.keep(it->first.str());
            entry.key_span = span;
            copy(it->second, source, room, entry.value);
        }
    }
}

/// "Error while parsing key-value pair: cannot redefine ..." -> "cannot redefine ..."
std::string plain_words(std::string_view description) {
    constexpr std::string_view opening = "Error while parsing ";
    if (description.substr(0, opening.size()) == opening) {
        const auto colon = description.find(": ");
        if (colon != std::string_view::npos)
            description.remove_prefix(colon + 2);
    }
    std::string words = escape_controls(description);
    if (!words.empty())
        words.front() = small_letter(words.front());
    while (!words.empty() && words.back() == '.')
        words.pop_back();
    return words;
}

Span one_letter(std::uint32_t source, Place begin) {
    return {source, begin, {begin.line, begin.column + 1}};
}

constexpr std::string_view blanks = " \t\r";

/// Where `name` was written before `again`, a header or a key; nowhere where it is not plain to
/// see.
Span first_written(const Source& source, const Span& again, std::string_view name) {
    const std::string header = "[" + std::string(name) + "]";
    const bool of_header = trimmed(line_of(source.text, again.begin.line), blanks).starts_with('[');
    const auto is_it = [&](std::string_view seen) {
        return of_header ? seen == header
                         : seen.starts_with(name) &&
                               trimmed(seen.substr(name.size()), blanks).starts_with('=');
    };
    Span first;
    std::string_view rest = source.text;
    for (std::uint32_t number = 1; number < again.begin.line; ++number) {
        const std::string_view line = rest.substr(0, rest.find('\n'));
        rest.remove_prefix(std::min(line.size() + 1, rest.size()));
        const std::string_view seen = trimmed(line, blanks);
        if (!of_header && seen.starts_with('['))
            first = {};  // another table may have such a key too
        const auto column = static_cast<std::uint32_t>(line.find(seen) + 1);
        if (!first.somewhere() && is_it(seen))
            first = {again.source, {number, column}, {number, column + 1}};
    }
    return first;
}

/// The library stands behind a number that it has read to its end.
Span of_number_before(const Source& source, Span span) {
    const std::string_view line = line_of(source.text, span.begin.line);
    std::size_t at = std::min<std::size_t>(span.begin.column - 1, line.size());
    const std::size_t end = at;
    while (at > 0 && std::string_view("0123456789_+-").find(line[at - 1]) != std::string_view::npos)
        --at;
    if (at == end || code_points(line) != line.size())
        return span;
    return {span.source,
            {span.begin.line, static_cast<std::uint32_t>(at + 1)},
            {span.begin.line, static_cast<std::uint32_t>(end + 1)}};
}

/// The first line of which a byte belongs to no character, as a whole; the library stands at the
/// end of the line before where they begin it.
Span first_without_characters(const Source& source, const Span& span) {
    for (std::uint32_t line = span.begin.line; line <= span.begin.line + 1; ++line)
        if (!is_utf8(line_of(source.text, line)))
            return line == span.begin.line ? span : one_letter(span.source, {line, 1});
    return span;
}

/// The byte of a line at which a column begins.
std::size_t byte_at(std::string_view line, std::uint32_t column) {
    std::size_t at = 0;
    for (std::uint32_t before = 1; before < column && at < line.size(); ++before)
        do
            ++at;
        while (at < line.size() && (static_cast<unsigned char>(line[at]) & 0xC0U) == 0x80U);
    return at;
}

/// What the library says against a text, in our words where it often says it.
Problem syntax_problem(const Source& source, const Span& span, std::string_view description) {
    const std::string unread = "the rest of this file was not read";
    const std::string says = plain_words(description);
    const std::string cure =
        cure_of_slip(line_of(source.text, span.begin.line),
                     byte_at(line_of(source.text, span.begin.line), span.begin.column), says);
    const std::string rest = cure.empty() ? unread : cure + "; " + unread;
    if (says == "encountered invalid utf-8 sequence")
        return {Severity::error,
                "syntax",
                first_without_characters(source, span),
                "bytes that are no text in UTF-8",
                rest,
                {}};
    const std::string_view line = line_of(source.text, span.begin.line);
    const bool at_end = span.begin.column > code_points(line);
    if (at_end && line.find_first_of("\"'") != std::string_view::npos)
        return {Severity::error,
                "syntax",
                span,
                "this line ends in the middle of a text or a value",
                rest,
                {}};
    if (says.ends_with("is not representable in 64 bits"))
        return {Severity::error,
                "syntax",
                of_number_before(source, span),
                "this number has too many digits",
                rest,
                {}};
    const std::size_t quote = says.find('\'');
    if (says.starts_with("expected 'true', saw") || says.starts_with("expected 'false', saw") ||
        says.ends_with("could not determine value type"))
        return {Severity::error,
                "syntax",
                span,
                "this is neither a number nor a text",
                "a text stands between straight quotes: \"tank\"; " + rest,
                {}};
    if (says.starts_with("cannot redefine existing ") && quote != std::string::npos) {
        const std::string name = says.substr(quote + 1, says.rfind('\'') - quote - 1);
        const Span first = first_written(source, span, name);
        return {Severity::error,
                "syntax",
                span,
                "'" + name + "' is written twice",
                rest,
                first.somewhere() ? std::vector<Note>{{first, "the first one"}}
                                  : std::vector<Note>{}};
    }
    return {Severity::error, "syntax", span, says, rest, {}};
}

Problem of_whole_file(std::uint32_t index, std::string code, std::string says, std::string help) {
    return {Severity::error, std::move(code), one_letter(index, {1, 1}),
            std::move(says), std::move(help), {}};
}

}  // namespace

Entry& TreeRoom::add(Node& parent) {
    void* const place = memory_.allocate(sizeof(Entry), alignof(Entry));
    Entry* const made = new (place) Entry;  // what it holds needs no destructor
    (parent.first == nullptr ? parent.first : parent.last->next) = made;
    parent.last = made;
    return *made;
}

std::string_view TreeRoom::keep(std::string_view text) {
    if (text.empty())
        return {};
    auto* const place = static_cast<char*>(memory_.allocate(text.size(), 1));
    std::copy(text.begin(), text.end(), place);
    return {place, text.size()};
}

std::optional<Node> parse_tree(const Source& source, std::uint32_t index, TreeRoom& room,
                               std::vector<Problem>& problems) {
    if (!source.unread.empty()) {
        problems.push_back(of_whole_file(
            index, "unread-file", source.unread,
            "put a file that can be read in its place, or take it out of the folder"));
        return std::nullopt;
    }
    if (source.text.empty()) {
        problems.push_back(
            of_whole_file(index, "empty-file", "this file is empty (0 bytes)",
                          "put back the copy of it, or delete the file if nothing belongs here"));
        return std::nullopt;
    }
    if (auto quick = quick_tree(source.text, index, room))
        return quick;
    return library_tree(source, index, room, problems);
}

std::optional<Node> library_tree(const Source& source, std::uint32_t index, TreeRoom& room,
                                 std::vector<Problem>& problems) {
    if (source.text.size() > largest_text) {
        problems.push_back(of_whole_file(index, "too-large", "this file is over 4 MiB",
                                         "divide it into several files"));
        return std::nullopt;
    }
    if (const auto place = DepthScan(source.text).too_deep()) {
        problems.push_back({Severity::error,
                            "too-deep",
                            one_letter(index, *place),
                            "tables, arrays or dotted keys are nested deeper than 8",
                            "",
                            {}});
        return std::nullopt;
    }
    try {
        const toml::table table = toml::parse(source.text, source.name);
        Node root;
        copy(table, index, room, root);
        root.span = {};
        return root;
    } catch (const toml::parse_error& error) {
        problems.push_back(
            syntax_problem(source, span_of(error.source(), index), error.description()));
        return std::nullopt;
    }
}

}  // namespace knockwell
