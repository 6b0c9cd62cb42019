// knowledge/edit.hpp
//
// Other words at some places of the texts, every other byte as it was: comments, blanks, line ends.
//
// Held by  tests/knowledge/edit_test.cpp
#pragma once
#include "base/source.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace knockwell {

/// What is to stand in place of a stretch; one without length puts something in.
struct TextEdit {
    Span span;
    std::string with;
    bool operator==(const TextEdit&) const = default;
};

/// The text of a stretch, which does not go over a line; nothing where there is no such place.
[[nodiscard]] std::optional<std::string_view> text_at(const std::vector<Source>& sources,
                                                      const Span& span);

/// Nothing where a stretch is not in the texts, goes over a line, or two of them overlap.
[[nodiscard]] std::optional<std::vector<Source>> edited(std::vector<Source> sources,
                                                        std::vector<TextEdit> edits);

}  // namespace knockwell
