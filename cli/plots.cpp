#include "cli/plots.hpp"

#include "base/words.hpp"
#include "cli/gnuplot.hpp"
#include "cli/html.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>
#include <utility>

namespace knockwell {
namespace {

constexpr int row_height = 42;
constexpr int axis_height = 52;

/// A word that gnuplot takes for text, and that is found again in the picture.
std::string place_of(std::size_t label) { return "L" + std::to_string(label) + "L"; }

std::string frame(const Plot& plot, double left) {
    const double bottom = axis_height / static_cast<double>(plot.height);
    return "reset\nset terminal svg size " + std::to_string(plot_width) + "," +
           std::to_string(plot.height) + " noenhanced font 'sans-serif,12' name '" + plot.name +
           "'\nunset key\nset lmargin at screen " + number(left) +
           "\nset rmargin at screen 0.97\nset tmargin at screen " + number(1 - 8.0 / plot.height) +
           "\nset bmargin at screen " + number(bottom) +
           "\nset border 1 lc rgb '#030000'\nset tics scale 0.5 nomirror\n";
}

/// Label, value and limits of each row, one below the other.
void rows_of(Plot& plot, const std::vector<PlotRow>& rows, double least) {
    plot.height = axis_height + 8 + row_height * static_cast<int>(rows.size());
    plot.script = "$d << ENDOFDATA\n";
    for (std::size_t i = 0; i < rows.size(); ++i) {
        plot.script += number(static_cast<double>(i)) + " " + number(rows[i].value) + " " +
                       number(std::max(rows[i].low, least)) + " " + number(rows[i].high) + " " +
                       place_of(plot.labels.size()) + "\n";
        plot.labels.push_back(rows[i].label);
    }
    plot.script += "ENDOFDATA\n" + frame(plot, 0.04) + "unset ytics\nset yrange [" +
                   number(static_cast<double>(rows.size()) - 0.4) + ":-0.7]\n";
}

std::string axis_script(Plot& plot, const std::string& axis) {
    plot.labels.push_back(axis);
    return "set xlabel '" + place_of(plot.labels.size() - 1) + "' offset 0,0.3\n";
}

std::string sentence_of(const std::vector<PlotRow>& rows) {
    std::string says;
    for (const PlotRow& row : rows)
        says += row.label + ": " + number(row.value) + ", between " + number(row.low) + " and " +
                number(row.high) + ". ";
    return says;
}

/// Without everything from `begin` to `end`, wherever it stands.
std::string without(std::string text, std::string_view begin, std::string_view end) {
    for (std::size_t at = text.find(begin); at != std::string::npos; at = text.find(begin, at)) {
        const std::size_t to = text.find(end, at);
        text.erase(at, to == std::string::npos ? to : to + end.size() - at);
    }
    return text;
}

/// A name on the plot must fit on it; the table has it in full.
std::string fitting(const std::string& label) {
    constexpr std::size_t most = 54;  // code points
    std::string text;
    std::size_t points = 0;
    for (const char c : label) {
        const bool starts = (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
        if (starts && ++points > most)
            return text + "...";
        text += c;
    }
    return text;
}

/// Red of 0, 1, 2 and 3 stands for these; gnuplot writes a colour in two ways.
std::string in_colours_of_the_page(std::string body) {
    constexpr std::array<std::string_view, 4> colours = {"var(--ink)", "var(--mark)", "var(--warn)",
                                                         "var(--soft)"};
    for (std::size_t i = 0; i < colours.size(); ++i) {
        const std::string red = std::to_string(i);
        body = replaced(std::move(body), "rgb(  " + red + ",   0,   0)", colours.at(i));
        body = replaced(std::move(body), "rgb(" + red + ",0,0)", colours.at(i));
    }
    for (const std::string_view name : {"black", "white"})
        for (const std::string_view mark : {"'", "\""})
            body = replaced(std::move(body), std::string(mark).append(name).append(mark),
                            std::string(mark).append("currentColor").append(mark));
    return body;
}

/// gnuplot's picture made part of the page.
std::string at_home(const Plot& plot, const std::string& picture) {
    const std::size_t begin = picture.find("<g id=\"gnuplot_canvas\">");
    const std::size_t end = picture.rfind("</svg>");
    if (begin == std::string::npos || end == std::string::npos || end < begin)
        throw std::runtime_error("gnuplot drew no picture of " + plot.name);
    std::string body = picture.substr(begin, end - begin);
    body = without(without(std::move(body), "<title>", "</title>"), "<filter", "</filter>");
    body = in_colours_of_the_page(std::move(body));
    for (const std::string_view id : {"gpPt", "gpDot", "gnuplot_canvas"})
        body = replaced(std::move(body), id, plot.name + "-" + std::string(id));
    // Backwards, so that no name put in is taken for a place.
    for (std::size_t i = plot.labels.size(); i-- > 0;)
        body = replaced(std::move(body), ">" + place_of(i) + "<",
                        ">" + html_text(fitting(plot.labels[i])) + "<");
    const std::string& name = plot.name;
    return "<svg viewBox=\"0 0 " + std::to_string(plot_width) + " " + std::to_string(plot.height) +
           R"(" xmlns="http://www.w3.org/2000/svg" )" +
           R"(xmlns:xlink="http://www.w3.org/1999/xlink" role="img" aria-labelledby=")" + name +
           "-title " + name + "-says\">\n<title id=\"" + name + "-title\">" +
           html_text(plot.title) + "</title>\n<desc id=\"" + name + "-says\">" +
           html_text(plot.says) + "</desc>\n" + body + "</svg>\n";
}

}  // namespace

Plot ratios_plot(std::string name, std::string title, const std::vector<PlotRow>& rows,
                 const std::string& axis) {
    Plot plot{std::move(name), std::move(title), sentence_of(rows), 0, {}, {}};
    constexpr double far = 256;
    double least = 0.5;
    double most = 2;
    for (const PlotRow& row : rows) {
        least = std::min(least, std::max(std::min(row.low, row.value), 1 / far));
        most = std::max(most, std::min(std::max(row.high, row.value), far * far));
    }
    least = std::exp2(std::floor(std::log2(least)));
    most = std::exp2(std::ceil(std::log2(most)));
    const double step = std::exp2(std::ceil(std::log2(most / least) / 7));
    std::string tics;
    for (double at = 1; at >= least; at /= step)
        tics = number(at) + (tics.empty() ? "" : ", ") + tics;
    for (double at = step; at <= most; at *= step)
        tics += ", " + number(at);
    rows_of(plot, rows, least);
    plot.script += axis_script(plot, axis) + "set logscale x\nset xrange [" + number(least) + ":" +
                   number(most) + "]\nset format x '%g'\nset xtics (" + tics +
                   ")\nplot $d using (1):($1-0.22):(0):(0.44) with vectors nohead lc rgb "
                   "'#030000' lw 1.5, $d using 2:1:3:4 with xerrorbars lc rgb '#010000' lw 2 "
                   "pt 7 ps 0.9, $d using (" +
                   number(least) + "):($1-0.42):5 with labels left tc rgb '#000000'\n";
    return plot;
}

Plot bars_plot(std::string name, std::string title, const std::vector<PlotRow>& rows,
               const std::string& axis, double most) {
    Plot plot{std::move(name), std::move(title), sentence_of(rows), 0, {}, {}};
    rows_of(plot, rows, 0);
    double end = most;
    for (const PlotRow& row : rows)
        end = most > 0 ? most : std::max(end, 1.03 * std::max(row.high, row.value));
    plot.script += axis_script(plot, axis) + "set xrange [0:" + number(end > 0 ? end : 1) +
                   "]\nset format x '%g'\nplot $d using (0):1:(0):2:($1-0.2):($1+0.2) with "
                   "boxxyerror fs transparent solid 0.4 border lc rgb '#010000' lc rgb '#010000', "
                   "$d using 2:1:3:4 with "
                   "xerrorbars lc rgb '#000000' lw 1.5 pt 0 ps 0, $d using (0):($1-0.42):5 with "
                   "labels left tc rgb '#000000'\n";
    return plot;
}

Plot years_plot(std::string name, std::string title, const std::vector<std::string>& periods,
                const std::vector<double>& counts, const std::vector<double>& expected) {
    constexpr int tall = 220;
    constexpr std::size_t most_labels = 4;
    Plot plot{std::move(name), std::move(title), {}, tall, "$d << ENDOFDATA\n", {}};
    const std::size_t each = (periods.size() + most_labels - 1) / most_labels;
    std::string tics;
    double top = 1;
    for (std::size_t i = 0; i < periods.size(); ++i) {
        const std::string place = number(static_cast<double>(i));
        plot.script += place + " " + number(counts[i]) + " " + number(expected[i]) + "\n";
        plot.says +=
            periods[i] + ": " + number(counts[i]) + ", expected " + number(expected[i]) + ". ";
        top = std::max({top, counts[i], expected[i]});
        if ((periods.size() - 1 - i) % each != 0)
            continue;
        tics += (tics.empty() ? "'" : ", '") + place_of(plot.labels.size()) + "' " + place;
        plot.labels.push_back(periods[i]);
    }
    plot.script +=
        "ENDOFDATA\n" + frame(plot, 0.11) + axis_script(plot, "jobs; line: expected") +
        "set border 3\nset xtics (" + tics +
        ")\nset xrange [-0.6:" + number(static_cast<double>(periods.size()) - 0.4) +
        "]\nset yrange [0:" + number(1.08 * top) +
        "]\nset boxwidth 0.6\nplot $d using 1:2 with boxes fs transparent solid 0.4 border "
        "lc rgb '#010000' lc rgb '#010000', $d using 1:3 with linespoints lc rgb '#020000' lw 2 dt "
        "2 pt 6 ps "
        "0.7\n";
    return plot;
}

Plot calibration_plot(std::string name, std::string title, const std::vector<PlotRow>& rows,
                      const std::vector<double>& said) {
    constexpr int tall = 360;
    Plot plot{std::move(name), std::move(title), sentence_of(rows), tall, "$d << ENDOFDATA\n", {}};
    for (std::size_t i = 0; i < rows.size(); ++i)
        plot.script += number(said[i]) + " " + number(rows[i].value) + " " + number(rows[i].low) +
                       " " + number(rows[i].high) + "\n";
    plot.script +=
        "ENDOFDATA\n" + frame(plot, 0.13) + axis_script(plot, "chance that was said, per cent");
    plot.labels.emplace_back("share that came to pass, per cent");
    plot.script += "set border 3\nset ylabel '" + place_of(plot.labels.size() - 1) +
                   "' offset 1.2,0\nset xrange [0:100]\nset yrange [0:100]\nset xtics 20\nset "
                   "ytics 20\nplot x with lines lc rgb '#030000' dt 2, $d using "
                   "(100*$1):(100*$2):(100*$3):(100*$4) with yerrorbars lc rgb '#010000' lw 2 pt "
                   "7 ps 0.9\n";
    return plot;
}

Plot map_plot(std::string name, std::string title, const std::vector<PlacedSpot>& spots) {
    constexpr int tall = 360;
    Plot plot{std::move(name), std::move(title), {}, tall, "$d << ENDOFDATA\n", {}};
    double west = spots.empty() ? 0 : spots.front().east;
    double east = west;
    double south = spots.empty() ? 0 : spots.front().north;
    double north = south;
    for (const PlacedSpot& spot : spots) {
        west = std::min(west, spot.east);
        east = std::max(east, spot.east);
        south = std::min(south, spot.north);
        north = std::max(north, spot.north);
    }
    // From the corner on: roads a mile apart have the same first digits on a map of a country. And
    // one spot alone is as wide as anything.
    const double span = std::max(east - west, north - south);
    const double wide = span > 0 ? span : 1;
    for (const PlacedSpot& spot : spots) {
        plot.script += number(spot.east - west) + " " + number(spot.north - south) + " " +
                       number(0.6 + 0.4 * std::min(spot.count, 5.0)) + " " +
                       (spot.count > 0 ? "7" : "6") + " " + place_of(plot.labels.size()) + "\n";
        plot.labels.push_back(spot.label);
        plot.says += spot.label + ". ";
    }
    // Room for the names beside the spots.
    plot.script += "ENDOFDATA\n" + frame(plot, 0.02) +
                   "unset border\nunset tics\nset size ratio -1\nset xrange [" +
                   number(-0.15 * wide) + ":" + number(east - west + 0.6 * wide) +
                   "]\nset yrange [" + number(-0.1 * wide) + ":" +
                   number(north - south + 0.1 * wide) +
                   "]\nplot $d using 1:2:3:4 with points lc rgb '#010000' ps variable pt variable, "
                   "$d using 1:2:5 with labels left offset 1,0 tc rgb '#000000'\n";
    return plot;
}

std::optional<std::vector<std::string>> draw(const std::vector<Plot>& plots,
                                             const std::string& program) {
    std::vector<std::string> drawn;
    if (plots.empty())
        return drawn;
    std::string script;
    for (const Plot& plot : plots)
        script += plot.script;
    const std::optional<std::string> out = run_gnuplot(program, script);
    if (!out)
        return std::nullopt;
    constexpr std::string_view begins = "<?xml";
    std::size_t at = out->find(begins);
    for (const Plot& plot : plots) {
        if (at == std::string::npos)
            throw std::runtime_error("gnuplot drew fewer pictures than it was asked for");
        const std::size_t next = out->find(begins, at + 1);
        drawn.push_back(at_home(plot, out->substr(at, next - at)));
        at = next;
    }
    return drawn;
}

}  // namespace knockwell
