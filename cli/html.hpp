// cli/html.hpp
//
// One page for a browser: everything in one file, nothing fetched, nothing run, readable on a
// telephone, on paper, in light and in dark.
//
// Care     everything that is put on it is escaped first, so that no file, ledger or argument can
//          become part of the page's language; a policy in the page forbids all but its own style
// Source   W3C, Web Content Accessibility Guidelines 2.1 (2018): 1.4.3 contrast of 4.5 to 1, 1.3.1
//          headers of tables, 1.1.1 words for pictures
// Held by  tests/cli/html_test.cpp
#pragma once
#include "cli/plots.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace knockwell {

/// Text as it stands in a page or an attribute: controls written out as escape_controls does, and
/// the five characters that mean something there as entities.
[[nodiscard]] std::string html_text(std::string_view text);

/// The first cell of a row is its header.
struct HtmlTable {
    std::string caption;
    std::vector<std::string> columns;
    std::vector<std::vector<std::string>> rows;
    std::size_t words = 1;  // so many columns hold words, the others figures
};

class HtmlPage {
public:
    explicit HtmlPage(std::string title) : title_(std::move(title)) {}

    /// A part of the page, which the list at its head leads to.
    void section(const std::string& id, const std::string& heading);
    void heading(const std::string& words);
    void text(const std::string& words);
    void table(const HtmlTable& table);
    void plot(Plot plot);

    [[nodiscard]] const std::vector<Plot>& plots() const { return plots_; }
    /// The whole page; `drawn` has a picture for each plot, or there is none and the page says why.
    [[nodiscard]] std::string all(const std::optional<std::vector<std::string>>& drawn) const;

private:
    struct Part {
        std::string html;
        std::size_t plot = 0;  // 1 + its place; 0 = none
    };
    void add(std::string html) { parts_.push_back({std::move(html), 0}); }

    std::string title_;
    std::vector<std::pair<std::string, std::string>> sections_;
    std::vector<Part> parts_;
    std::vector<Plot> plots_;
};

}  // namespace knockwell
