#include "cli/html.hpp"

#include "base/words.hpp"

#include <utility>

namespace knockwell {
namespace {

// Every colour against the ground of its scheme has a contrast of 4.5 to 1 or more, which
// tests/cli/html_test.cpp works out; --mark and --warn are told apart by shape and words too.
constexpr std::string_view sheet = R"css(
:root { color-scheme: light dark;
  --ground: #ffffff; --ink: #1b1f24; --soft: #586069; --mark: #1a5fa8; --warn: #9a3412; }
@media (prefers-color-scheme: dark) { :root {
  --ground: #14181d; --ink: #e6e9ed; --soft: #a5afba; --mark: #7cb7f5; --warn: #ffab91; } }
@media print { :root {
  --ground: #ffffff; --ink: #000000; --soft: #444444; --mark: #1a5fa8; --warn: #9a3412; } }
* { box-sizing: border-box; }
body { margin: 0; background: var(--ground); color: var(--ink); overflow-wrap: anywhere;
  font: 1rem/1.5 system-ui, "DejaVu Sans", sans-serif; }
header, main, footer { max-width: 60rem; margin: 0 auto; padding: 0 1rem; }
h1 { font-size: 1.6rem; line-height: 1.2; margin: 1.5rem 0 0.5rem; }
h2 { font-size: 1.3rem; line-height: 1.25; margin: 2.5rem 0 0.5rem; padding-top: 0.75rem;
  border-top: 2px solid var(--soft); }
h3 { font-size: 1.05rem; line-height: 1.35; margin: 1.6rem 0 0.3rem; }
p { margin: 0.3rem 0; }
a { color: var(--mark); }
nav ul { display: flex; flex-wrap: wrap; gap: 0.3rem 1.2rem; list-style: none; margin: 0.8rem 0;
  padding: 0; }
nav a { display: inline-block; padding: 0.4rem 0; }
.wide { overflow-x: auto; margin: 0.8rem 0; }
.wide:focus-visible, a:focus-visible { outline: 3px solid var(--mark); outline-offset: 2px; }
table { overflow-wrap: normal; border-collapse: collapse; font-size: 0.9rem; font-variant-numeric: tabular-nums; }
caption { text-align: left; color: var(--soft); padding: 0.2rem 0; }
th, td { padding: 0.3rem 0.8rem 0.3rem 0; text-align: left; vertical-align: top;
  border-bottom: 1px solid var(--soft); }
tbody th { font-weight: normal; min-width: 12rem; }
th.n, td.n { text-align: right; }
td.n { white-space: nowrap; }
thead th { min-width: 5.5rem; }
thead th { vertical-align: bottom; }
figure { margin: 0.8rem 0; }
figure svg { display: block; width: 100%; max-width: 30rem; height: auto; color: var(--ink); }
figcaption { color: var(--soft); font-size: 0.9rem; }
footer { color: var(--soft); margin: 3rem auto 2rem; font-size: 0.9rem; }
@media print { body { font-size: 10pt; } nav { display: none; }
  header, main, footer { max-width: none; padding: 0; }
  .wide { overflow: visible; } table { font-size: 8pt; }
  figure, tr, h3 { break-inside: avoid; } h2, h3 { break-after: avoid; }
  figure svg { max-width: 12cm; } }
)css";

std::string cell_html(std::string_view tag, bool figures, std::string_view more,
                      const std::string& text) {
    std::string html = "<" + std::string(tag) + (figures ? " class=\"n\"" : "");
    html += std::string(more) + ">" + html_text(text) + "</" + std::string(tag) + ">";
    return html;
}

}  // namespace

std::string html_text(std::string_view text) {
    std::string html;
    for (const char c : escape_controls(text)) {
        switch (c) {
        case '&':
            html += "&amp;";
            break;
        case '<':
            html += "&lt;";
            break;
        case '>':
            html += "&gt;";
            break;
        case '"':
            html += "&quot;";
            break;
        case '\'':
            html += "&#39;";
            break;
        case '%':
            // A number stays with its percent sign.
            if (html.ends_with(' '))
                html.replace(html.size() - 1, 1, "\u00A0");
            html += c;
            break;
        default:
            html += c;
        }
    }
    return html;
}

void HtmlPage::section(const std::string& id, const std::string& heading) {
    sections_.emplace_back(id, heading);
    add("<h2 id=\"" + html_text(id) + "\">" + html_text(heading) + "</h2>\n");
}

void HtmlPage::heading(const std::string& words) { add("<h3>" + html_text(words) + "</h3>\n"); }

void HtmlPage::text(const std::string& words) { add("<p>" + html_text(words) + "</p>\n"); }

void HtmlPage::table(const HtmlTable& table) {
    const std::string caption = html_text(table.caption);
    // What is wider than a telephone is moved inside its own frame, by the keyboard too.
    std::string html = R"(<div class="wide" role="region" tabindex="0" aria-label=")" + caption +
                       "\"><table>\n<caption>" + caption + "</caption>\n<thead><tr>";
    for (std::size_t i = 0; i < table.columns.size(); ++i)
        html += cell_html("th", i >= table.words, " scope=\"col\"", table.columns[i]);
    html += "</tr></thead>\n<tbody>\n";
    for (const std::vector<std::string>& row : table.rows) {
        html += "<tr>";
        for (std::size_t i = 0; i < row.size(); ++i)
            html += i == 0 ? cell_html("th", false, " scope=\"row\"", row[i])
                           : cell_html("td", i >= table.words, "", row[i]);
        html += "</tr>\n";
    }
    add(html + "</tbody></table></div>\n");
}

void HtmlPage::plot(Plot plot) {
    plots_.push_back(std::move(plot));
    parts_.push_back({{}, plots_.size()});
}

std::string HtmlPage::all(const std::optional<std::vector<std::string>>& drawn) const {
    std::string html = "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                       "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src "
                       "'none'; style-src 'unsafe-inline'\">\n"
                       "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
                       "<meta name=\"referrer\" content=\"no-referrer\">\n<title>" +
                       html_text(title_) + "</title>\n<style>" + std::string(sheet) +
                       "</style>\n</head>\n<body>\n<header>\n<h1>" + html_text(title_) + "</h1>\n";
    if (sections_.size() > 1) {
        html += "<nav aria-label=\"Parts of this page\"><ul>\n";
        for (const auto& [id, heading] : sections_)
            html += "<li><a href=\"#" + html_text(id) + "\">" + html_text(heading) + "</a></li>\n";
        html += "</ul></nav>\n";
    }
    html += "</header>\n<main>\n";
    if (!drawn && !plots_.empty())
        html += "<p>The pictures are left out, since gnuplot is not installed here; every figure "
                "stands in the tables.</p>\n";
    for (const Part& part : parts_) {
        html += part.html;
        if (part.plot > 0 && drawn)
            html += "<figure>\n" + (*drawn)[part.plot - 1] + "<figcaption>" +
                    html_text(plots_[part.plot - 1].title) + "</figcaption>\n</figure>\n";
    }
    return html + "</main>\n<footer><p>The shop's own jobs, counted. It says what recurs, not why, "
                  "and can be wrong.</p></footer>\n</body>\n</html>\n";
}

}  // namespace knockwell
