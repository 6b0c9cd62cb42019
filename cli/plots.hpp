// cli/plots.hpp
//
// Pictures of figures as SVG, drawn by gnuplot: intervals, bars, years, calibration.
//
// Care     gnuplot is given numbers only. Names from files and ledgers are put into the picture
//          afterwards, escaped, so that nothing in them can be a command; colours are put in as
//          names of the page's style, so that one picture serves light and dark
// Held by  tests/cli/html_test.cpp
#pragma once
#include <optional>
#include <string>
#include <vector>

namespace knockwell {

struct Plot {
    std::string name;   // letters only, one on the page
    std::string title;  // what it shows, in a few words
    std::string says;   // the same in a sentence, for who cannot see it
    int height = 0;     // of `plot_width`
    std::string script;
    std::vector<std::string> labels;  // stand in the script as L0L, L1L, ...
};

constexpr int plot_width = 360;  // as wide as a telephone

/// A value with its limits.
struct PlotRow {
    std::string label;
    double value = 0;
    double low = 0;
    double high = 0;
};

/// A line a row: the value and its limits on a logarithmic axis, with a stroke at 1. Values > 0.
[[nodiscard]] Plot ratios_plot(std::string name, std::string title,
                               const std::vector<PlotRow>& rows, const std::string& axis);
/// The same on a plain axis from 0, as bars with whiskers; `most` 0 = as far as they go.
[[nodiscard]] Plot bars_plot(std::string name, std::string title, const std::vector<PlotRow>& rows,
                             const std::string& axis, double most = 0);
/// Counts of one period after the other as bars, and what was expected as a line.
[[nodiscard]] Plot years_plot(std::string name, std::string title,
                              const std::vector<std::string>& periods,
                              const std::vector<double>& counts,
                              const std::vector<double>& expected);
/// Said against happened, both from 0 to 1, with the line on which they are equal; of each row
/// `value` is what happened and `said` what was said.
[[nodiscard]] Plot calibration_plot(std::string name, std::string title,
                                    const std::vector<PlotRow>& rows,
                                    const std::vector<double>& said);

/// Something that lies somewhere.
struct PlacedSpot {
    std::string label;
    double east = 0;
    double north = 0;
    double count = 0;  // what is named there: the size of the spot; 0 = a hollow one
};

/// Spots on a map, both directions to one scale.
[[nodiscard]] Plot map_plot(std::string name, std::string title,
                            const std::vector<PlacedSpot>& spots);

/// A picture for each, as the text of an svg element; nothing where the program is not there.
/// Throws std::runtime_error where it fails.
[[nodiscard]] std::optional<std::vector<std::string>> draw(const std::vector<Plot>& plots,
                                                           const std::string& program = "gnuplot");

}  // namespace knockwell
