// knowledge/tree.hpp
//
// One TOML text as a tree in the order in which it was written, every key and value with its span.
//
// Idea     What a curator writes day by day is a small part of TOML; quick_tree reads just that, in
//          one go over the text. Whatever else a text has, and every text with a mistake in it, is
//          read by the TOML library, seen by tree.cpp alone, whose tree and whose message count.
// Held by  tests/fuzz/quick_tree_test.cpp: wherever quick_tree answers, both trees are the same
#pragma once
#include "base/problem.hpp"
#include "base/source.hpp"

#include <cstddef>
#include <cstdint>
#include <iterator>
#include <memory_resource>
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <vector>

namespace knockwell {

struct Entry;
struct Node;

constexpr std::size_t largest_text = std::size_t{4} << 20;  // bytes
constexpr std::size_t deepest_nesting = 8;

/// A text that stands elsewhere, and becomes a string of its own wherever one is kept.
struct Written : std::string_view {
    Written() = default;
    Written(std::string_view text) : std::string_view(text) {}
    Written(const std::string& text) : std::string_view(text) {}
    operator std::string() const { return {data(), size()}; }
};
inline std::string operator+(std::string before, Written text) { return before.append(text); }
inline std::string operator+(const char* before, Written text) {
    return before + std::string(text);
}
inline std::string operator+(Written text, const char* after) { return std::string(text) + after; }

/// What a table or an array holds, in the order of the text: a list of entries, seen as `Shown`
/// (entries of a table, nodes of an array).
template <class Shown>
class Held {
public:
    class Iterator {
    public:
        using iterator_category = std::forward_iterator_tag;
        using value_type = Shown;
        using difference_type = std::ptrdiff_t;
        using pointer = const Shown*;
        using reference = const Shown&;

        Iterator() = default;
        explicit Iterator(const Entry* at) : at_(at) {}
        reference operator*() const;
        pointer operator->() const { return &**this; }
        Iterator& operator++();
        Iterator operator++(int) {
            const Iterator before = *this;
            ++*this;
            return before;
        }
        bool operator==(const Iterator&) const = default;

    private:
        const Entry* at_ = nullptr;
    };

    explicit Held(const Entry* first) : first_(first) {}
    [[nodiscard]] Iterator begin() const { return Iterator(first_); }
    [[nodiscard]] Iterator end() const { return Iterator(); }
    [[nodiscard]] bool empty() const { return first_ == nullptr; }
    /// Counts them one by one.
    [[nodiscard]] std::size_t size() const {
        return static_cast<std::size_t>(std::distance(begin(), end()));
    }

private:
    const Entry* first_;
};

/// A value. `other` is a date or a time, which no key of a knowledge base takes. It lives in a
/// TreeRoom, and its texts there or in the source.
struct Node {
    enum class Kind : std::uint8_t { text, number, truth, array, table, other };
    Kind kind = Kind::other;
    bool truth = false;
    bool closed = false;  // a table in braces, to which no header may add
    Span span;            // of a text: with its quotes
    Written text;
    double number = 0;  // whole numbers too
    Entry* first = nullptr;
    Entry* last = nullptr;

    /// Of an array; of anything else none.
    [[nodiscard]] Held<Node> items() const { return Held<Node>(of(Kind::array)); }
    /// Of a table; of anything else none.
    [[nodiscard]] Held<Entry> entries() const { return Held<Entry>(of(Kind::table)); }

private:
    [[nodiscard]] const Entry* of(Kind wanted) const { return kind == wanted ? first : nullptr; }
};

/// One entry of a table, or one item of an array, which has no key.
struct Entry {
    Written key;
    Span key_span;
    Node value;
    Entry* next = nullptr;
};

template <class Shown>
typename Held<Shown>::Iterator::reference Held<Shown>::Iterator::operator*() const {
    if constexpr (std::is_same_v<Shown, Node>)
        return at_->value;
    else
        return *at_;
}

template <class Shown>
typename Held<Shown>::Iterator& Held<Shown>::Iterator::operator++() {
    at_ = at_->next;
    return *this;
}

/// Where trees stand until the room is gone, all at once.
class TreeRoom {
public:
    /// A new last entry of `parent`, a table or an array.
    Entry& add(Node& parent);
    /// A copy of `text` that stays.
    std::string_view keep(std::string_view text);

private:
    std::pmr::monotonic_buffer_resource memory_;
};

/// The tree of `source`, which is number `index` of the run and outlives the tree. Nothing where
/// there is no text (unread-file, empty-file), or where it is over 4 MiB (too-large), nested deeper
/// than 8 (too-deep) or no TOML 1.0 (syntax); the problem is added.
[[nodiscard]] std::optional<Node> parse_tree(const Source& source, std::uint32_t index,
                                             TreeRoom& room, std::vector<Problem>& problems);

/// The same from the TOML library, whatever the text.
[[nodiscard]] std::optional<Node> library_tree(const Source& source, std::uint32_t index,
                                               TreeRoom& room, std::vector<Problem>& problems);

/// The same where the text is plain and without a mistake: tables, keys that are bare or in plain
/// double quotes, texts of one line without escapes, short decimal numbers, true and false, arrays
/// and inline tables. Nothing is said of any other text, and of some that would do.
[[nodiscard]] std::optional<Node> quick_tree(std::string_view text, std::uint32_t index,
                                             TreeRoom& room);

}  // namespace knockwell
