// The plain part of TOML 1.0 (toml.io/en/v1.0.0), read in one go. Any doubt ends it: the TOML
// library then reads the text from the start, and what it says of a mistake is what is told.
#include "base/utf8.hpp"
#include "knowledge/tree.hpp"

#include <charconv>

namespace knockwell {
namespace {

constexpr std::size_t most_keys = 1000;  // of one table: they are compared one by one
constexpr std::size_t most_digits = 15;  // a whole number of so many is exact as a double

bool is_bare(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' ||
           c == '_';
}

bool is_digit(char c) { return c >= '0' && c <= '9'; }

class QuickReader {
public:
    QuickReader(std::string_view text, std::uint32_t source, TreeRoom& room)
        : text_(text), source_(source), room_(room) {}

    [[nodiscard]] std::optional<Node> read() {
        if (text_.size() > largest_text)
            return std::nullopt;
        Node root;
        root.kind = Node::Kind::table;
        Node* table = &root;
        while (skip_to_something()) {
            if (text_[at_] == '[')
                table = header(root);
            else if (!key_and_value(*table, 0))
                table = nullptr;
            if (table == nullptr || !end_of_line())
                return std::nullopt;
        }
        if (at_ < text_.size())
            return std::nullopt;
        return root;
    }

private:
    /// The next byte, or 0 at the end; a 0 in the text is nothing that is taken either.
    [[nodiscard]] char next() const { return at_ < text_.size() ? text_[at_] : '\0'; }

    /// The place of the next byte. Columns count code points.
    [[nodiscard]] Place place() const {
        return {line_, static_cast<std::uint32_t>(at_ - line_begin_ - trailing_ + 1)};
    }

    [[nodiscard]] Span span_from(Place begin) const { return {source_, begin, place()}; }

    void skip_blanks() {
        while (next() == ' ' || next() == '\t')
            ++at_;
    }

    /// Over the end of a line; false where none stands here.
    [[nodiscard]] bool line_break() {
        const std::size_t bytes = next() == '\r' ? 2 : 1;
        if (at_ + bytes > text_.size() || text_[at_ + bytes - 1] != '\n')
            return false;
        at_ += bytes;
        ++line_;
        line_begin_ = at_;
        trailing_ = 0;
        return true;
    }

    /// Over one letter of a text or a comment; false, and nowhere, at control characters and at
    /// what is no UTF-8.
    [[nodiscard]] bool letter() {
        const auto byte = static_cast<unsigned char>(text_[at_]);
        if (byte < 0x80) {
            const bool good = (byte >= ' ' && byte != 0x7F) || byte == '\t';
            at_ += good ? 1U : 0U;
            return good;
        }
        const Glyph glyph = first_glyph(text_.substr(at_));
        if (!glyph.well_formed)
            return false;
        at_ += glyph.bytes;
        trailing_ += glyph.bytes - 1;
        return true;
    }

    /// A comment, if one stands here, up to the end of its line.
    [[nodiscard]] bool comment() {
        if (next() != '#')
            return true;
        while (at_ < text_.size() && text_[at_] != '\n' && text_[at_] != '\r')
            if (!letter())
                return false;
        return true;
    }

    /// To the next header, key or value; false at the end of the text and at what is in doubt.
    [[nodiscard]] bool skip_to_something() {
        for (;;) {
            skip_blanks();
            if (!comment() || at_ == text_.size())
                return false;
            if (text_[at_] != '\n' && text_[at_] != '\r')
                return true;
            if (!line_break())
                return false;
        }
    }

    [[nodiscard]] bool end_of_line() {
        skip_blanks();
        return comment() && (at_ == text_.size() || line_break());
    }

    /// The text between double quotes.
    [[nodiscard]] std::optional<std::string_view> quoted() {
        const std::size_t begin = ++at_;
        while (at_ < text_.size()) {
            const char c = text_[at_];
            if (c == '"')
                break;
            if (c == '\\' || !letter())
                return std::nullopt;
        }
        if (at_ == text_.size())
            return std::nullopt;
        const std::string_view inside = text_.substr(begin, at_++ - begin);
        if (inside.empty() && next() == '"')
            return std::nullopt;  // a text of several lines begins
        return inside;
    }

    /// Bare or quoted, with its span.
    [[nodiscard]] bool key(Written& name, Span& span) {
        const Place begin = place();
        if (next() == '"') {
            const auto inside = quoted();
            if (!inside)
                return false;
            name = *inside;
        } else {
            const std::size_t first = at_;
            while (is_bare(next()))
                ++at_;
            if (at_ == first)
                return false;
            name = text_.substr(first, at_ - first);
        }
        span = span_from(begin);
        return true;
    }

    /// Finds `name` in `table`; false where the table is too large to look.
    [[nodiscard]] static bool look(const Node& table, std::string_view name, Entry*& found) {
        std::size_t seen = 0;
        for (Entry* entry = table.first; entry != nullptr; entry = entry->next) {
            if (entry->key == name) {
                found = entry;
                return true;
            }
            if (++seen == most_keys)
                return false;
        }
        found = nullptr;
        return true;
    }

    /// [one.two.three]: the table that it opens. A name that stands already is in doubt unless it
    /// is a table above.
    [[nodiscard]] Node* header(Node& root) {
        const Place begin = place();
        ++at_;
        std::vector<Entry> keys;  // only their names and spans
        do {
            if (!keys.empty())
                ++at_;
            skip_blanks();
            Entry& one = keys.emplace_back();
            if (keys.size() == deepest_nesting || !key(one.key, one.key_span))
                return nullptr;
            skip_blanks();
        } while (next() == '.');
        if (next() != ']')
            return nullptr;
        ++at_;
        const Span span = span_from(begin);
        Node* table = &root;
        bool made = false;
        for (const Entry& one : keys) {
            Entry* entry = nullptr;
            if (!look(*table, one.key, entry))
                return nullptr;
            made = entry == nullptr;
            if (made) {
                entry = &room_.add(*table);
                entry->key = one.key;
                entry->key_span = one.key_span;
                entry->value.kind = Node::Kind::table;
                entry->value.span = span;
            } else if (entry->value.kind != Node::Kind::table || entry->value.closed) {
                return nullptr;
            }
            table = &entry->value;
        }
        return made ? table : nullptr;
    }

    [[nodiscard]] bool key_and_value(Node& table, std::size_t depth) {
        Written name;
        Span span;
        Entry* same = nullptr;
        if (!key(name, span) || !look(table, name, same) || same != nullptr)
            return false;
        skip_blanks();
        if (next() != '=')
            return false;
        ++at_;
        skip_blanks();
        Entry& entry = room_.add(table);
        entry.key = name;
        entry.key_span = span;
        return value(entry.value, depth);
    }

    [[nodiscard]] bool value(Node& node, std::size_t depth) {
        const Place begin = place();
        const char c = next();
        bool good = false;
        if (c == '"')
            good = text_value(node);
        else if (c == '[')
            good = array(node, depth + 1);
        else if (c == '{')
            good = inline_table(node, depth + 1);
        else if (c == 't' || c == 'f')
            good = truth(node);
        else
            good = number(node);
        node.span = span_from(begin);
        return good;
    }

    [[nodiscard]] bool text_value(Node& node) {
        const auto inside = quoted();
        node.kind = Node::Kind::text;
        node.text = inside.value_or(std::string_view());
        return inside.has_value();
    }

    /// Whether a bare value ends here.
    [[nodiscard]] bool value_ends() const {
        return at_ == text_.size() ||
               std::string_view(" \t\r\n,]}#").find(text_[at_]) != std::string_view::npos;
    }

    [[nodiscard]] bool truth(Node& node) {
        node.kind = Node::Kind::truth;
        node.truth = next() == 't';
        const std::string_view word = node.truth ? "true" : "false";
        if (text_.substr(at_, word.size()) != word)
            return false;
        at_ += word.size();
        return value_ends();
    }

    [[nodiscard]] std::size_t digits() {
        const std::size_t first = at_;
        while (is_digit(next()))
            ++at_;
        return at_ - first;
    }

    [[nodiscard]] bool number(Node& node) {
        const std::size_t first = at_;
        if (next() == '-')
            ++at_;
        const bool zero = next() == '0';
        std::size_t all = digits();
        // A whole number of minus nothing is left to others: it has no sign there.
        if (all == 0 || (zero && (all > 1 || (text_[first] == '-' && next() != '.'))))
            return false;
        if (next() == '.') {
            ++at_;
            const std::size_t after = digits();
            if (after == 0)
                return false;
            all += after;
        }
        if (all > most_digits || !value_ends())
            return false;
        node.kind = Node::Kind::number;
        const char* const end = text_.data() + at_;
        return std::from_chars(text_.data() + first, end, node.number).ptr == end;
    }

    [[nodiscard]] bool array(Node& node, std::size_t depth) {
        node.kind = Node::Kind::array;
        if (depth > deepest_nesting)
            return false;
        ++at_;
        for (;;) {
            if (!skip_to_something())
                return false;
            if (next() == ']')
                break;
            if (!value(room_.add(node).value, depth) || !skip_to_something())
                return false;
            if (next() == ',')
                ++at_;
            else if (next() != ']')
                return false;
        }
        ++at_;
        return true;
    }

    [[nodiscard]] bool inline_table(Node& node, std::size_t depth) {
        node.kind = Node::Kind::table;
        node.closed = true;
        if (depth > deepest_nesting)
            return false;
        ++at_;
        skip_blanks();
        if (next() == '}') {
            ++at_;
            return true;
        }
        for (;;) {
            if (!key_and_value(node, depth))
                return false;
            skip_blanks();
            if (next() == '}')
                break;
            if (next() != ',')
                return false;
            ++at_;
            skip_blanks();
        }
        ++at_;
        return true;
    }

    std::string_view text_;
    std::uint32_t source_;
    TreeRoom& room_;
    std::size_t at_ = 0;
    std::uint32_t line_ = 1;
    std::size_t line_begin_ = 0;
    std::size_t trailing_ = 0;  // bytes of this line behind the first of their letter
};

}  // namespace

std::optional<Node> quick_tree(std::string_view text, std::uint32_t index, TreeRoom& room) {
    return QuickReader(text, index, room).read();
}

}  // namespace knockwell
