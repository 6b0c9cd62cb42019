// The page in a real browser: it renders in light, in dark and on a telephone without a word on the
// console, asks for nothing outside, and every text in it can be read.
//
// Names are those of Chromium's own accessibility tree, as it hands them to a screen reader. Where
// KNOCKWELL_AXE names the file axe.min.js of axe-core, a checker of the W3C's guidelines that is no
// Debian package, its rules are asked too.
//
// Chromium without its windows does it (Debian's chromium-headless-shell or chromium). Where there
// is none the tests are skipped and say so.
#include "cli/hostile_shop.hpp"
#include "cli/support.hpp"

#include <gtest/gtest.h>

#include <cstdlib>
#include <fstream>
#include <sstream>

namespace knockwell {
namespace {

namespace fs = std::filesystem;

std::string browser() { return program_of({"chromium-headless-shell", "chromium"}).string(); }

// Asks the page what a person would: can every text be read against what lies behind it, has every
// picture a name, every table its headers, is the page no wider than the window, did it fetch
// anything, did a joker's text run.
constexpr std::string_view page_questions = R"js(<script>
const wrong = [];
function parts(colour) { return colour.match(/[\d.]+/g).map(Number); }
function light(colour) {
  const [r, g, b] = parts(colour).map(c => c / 255).map(
    c => c <= 0.03928 ? c / 12.92 : Math.pow((c + 0.055) / 1.055, 2.4));
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}
function ground(element) {
  for (let e = element; e; e = e.parentElement) {
    const c = getComputedStyle(e).backgroundColor;
    if (!/, 0\)$/.test(c)) return c;
  }
  return 'rgb(255, 255, 255)';
}
let texts = 0;
const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
while (walker.nextNode()) {
  const e = walker.currentNode.parentElement;
  if (!walker.currentNode.data.trim() || ['SCRIPT', 'STYLE', 'title', 'desc'].includes(e.tagName))
    continue;
  ++texts;
  const style = getComputedStyle(e);
  const ink = e.namespaceURI.endsWith('svg') ? style.fill : style.color;
  const a = light(ink), b = light(ground(e));
  const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
  if (!(ratio >= 4.5)) wrong.push('contrast ' + ratio + ' of ' + walker.currentNode.data);
}
for (const svg of document.querySelectorAll('svg')) {
  for (const id of svg.getAttribute('aria-labelledby').split(' '))
    if (!document.getElementById(id).textContent.trim()) wrong.push('empty label ' + id);
  for (const e of svg.querySelectorAll('path, use')) {
    if (e.closest('defs')) continue;
    const style = getComputedStyle(e);
    for (const c of [style.stroke, style.fill])
      if (c.startsWith('rgb(') && style.visibility === 'visible') {
        const a = light(c), b = light(ground(svg));
        if ((Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05) < 3) wrong.push('line ' + c);
      }
  }
}
for (const table of document.querySelectorAll('table')) {
  if (!table.caption.textContent.trim()) wrong.push('table without a caption');
  for (const row of table.tBodies[0].rows)
    if (row.cells[0].tagName !== 'TH' || row.cells.length !== table.tHead.rows[0].cells.length)
      wrong.push('table without headers');
}
// What a screen reader is told, by Chromium's own reckoning (W3C, Accessible Name and Description
// Computation 1.1).
function plain(text) { return text.replace(/\s+/g, ' ').trim(); }
function told(e, role, name) {
  if (e.computedRole === undefined) wrong.push('no accessibility tree');
  else if (e.computedRole !== role) wrong.push('told as ' + e.computedRole + ', not ' + role);
  else if (plain(e.computedName) !== plain(name) || !plain(name))
    wrong.push(role + ' told as "' + e.computedName + '"');
}
for (const svg of document.querySelectorAll('svg'))
  told(svg, 'image', [...svg.querySelectorAll('title, desc')].map(e => e.textContent).join(' '));
for (const table of document.querySelectorAll('table'))
  told(table, 'table', table.caption.textContent);
for (const frame of document.querySelectorAll('.wide'))
  told(frame, 'region', frame.querySelector('caption').textContent);
for (const th of document.querySelectorAll('th'))
  told(th, th.scope === 'row' ? 'rowheader' : 'columnheader', th.textContent);
for (const a of document.querySelectorAll('a')) told(a, 'link', a.textContent);
let level = 0;
for (const h of document.querySelectorAll('h1, h2, h3')) {
  if (Number(h.tagName[1]) > level + 1) wrong.push('heading skipped at ' + h.textContent);
  level = Number(h.tagName[1]);
}
if (document.documentElement.scrollWidth > innerWidth)
  wrong.push('page is ' + document.documentElement.scrollWidth + ' wide in ' + innerWidth);
for (const e of performance.getEntriesByType('resource')) wrong.push('fetched ' + e.name);
if (document.querySelectorAll('img, iframe, link, object').length) wrong.push('foreign element');
if (document.title === 'taken') wrong.push('a name became a script');
if (!document.documentElement.lang) wrong.push('no language');
const verdict = document.createElement('pre');
verdict.id = 'verdict';
verdict.textContent = 'VERDICT texts=' + texts + ' width=' + innerWidth + ' dark=' +
  matchMedia('(prefers-color-scheme: dark)').matches + ' wrong=[' + wrong.join('; ') + ']END';
document.body.append(verdict);
</script>)js";

std::string put_in(std::string text, std::string_view what, std::string_view by) {
    const std::size_t at = text.find(what);
    EXPECT_NE(at, std::string::npos) << what;
    return text.replace(at, what.size(), by);
}

struct Shown {
    std::string page;
    std::string console;
};

Shown look_at(const fs::path& room, const std::string& html, const std::string& options) {
    std::ofstream(room / "page.html", std::ios::binary) << html;
    // Names of our own making only; nothing of them is a joker's.
    const std::string command =
        "'" + browser() + "' --no-sandbox --disable-gpu --disable-background-networking " +
        "--enable-blink-features=ComputedAccessibilityInfo --user-data-dir='" +
        (room / "user").string() + "' --enable-logging=stderr " + options +
        " --virtual-time-budget=2000 --dump-dom 'file://" + (room / "page.html").string() +
        "' > '" + (room / "out").string() + "' 2> '" + (room / "err").string() + "'";
    // NOLINTNEXTLINE(cert-env33-c,concurrency-mt-unsafe): a browser is started, nothing else
    EXPECT_EQ(std::system(command.c_str()), 0) << text_of_file(room / "err");
    return {text_of_file(room / "out"), text_of_file(room / "err")};
}

/// What the page_questions came to; empty where they were not asked.
std::string verdict_of(const Shown& page) {
    constexpr std::string_view begins = "<pre id=\"verdict\">";
    const std::size_t at = page.page.find(begins);
    if (at == std::string::npos)
        return {};
    return page.page.substr(at, page.page.find("END", at) - at);
}

class Watched : public testing::Test {
protected:
    void SetUp() override {
        if (browser().empty())
            GTEST_SKIP() << "no Chromium on this machine: install chromium-headless-shell to look";
    }
};

class Browser : public Watched, public testing::WithParamInterface<std::string> {};

// axe-core's verdict: "AXE violations=[]" and its passes.
std::string axe_verdict(const fs::path& room, const std::string& html, const std::string& options) {
    const char* axe = std::getenv("KNOCKWELL_AXE");
    if (axe == nullptr)
        return {};
    const std::string asks =
        "<script>" + text_of_file(axe) +
        "</script><script>axe.run().then(r => { const p = document.createElement('pre'); p.id = "
        "'verdict'; p.textContent = 'AXE passes=' + r.passes.length + ' violations=' + "
        "JSON.stringify(r.violations.map(v => [v.id, v.nodes[0].html])) + 'END'; "
        "document.body.append(p); });</script></body>";
    const std::string asked = put_in(put_in(html, "</body>", asks), "style-src 'unsafe-inline'",
                                     "style-src 'unsafe-inline'; script-src 'unsafe-inline'");
    return verdict_of(look_at(room, asked, options));
}

TEST_P(Browser, FindsNothingWrongWithThePage) {
    const HostileShop shop;
    const HtmlPage page = shop.page();
    const std::string html = page.all(draw(page.plots()));
    const Stage stage(fs::path(KNOCKWELL_TESTS_DIR) / "runs");
    // As it is: not a word on the console.
    const Shown plain = look_at(stage.room(), html, GetParam());
    EXPECT_EQ(plain.console.find("CONSOLE"), std::string::npos) << plain.console;
    EXPECT_EQ(plain.page.find("VERDICT"), std::string::npos);
    // The same with the page_questions put in, which its policy would forbid.
    const std::string asked = put_in(
        put_in(html, "</body>", std::string(page_questions) + "</body>"),
        "style-src 'unsafe-inline'", "style-src 'unsafe-inline'; script-src 'unsafe-inline'");
    const Shown verdict = look_at(stage.room(), asked, GetParam());
    const std::string says = verdict_of(verdict);
    ASSERT_FALSE(says.empty()) << verdict.console;
    EXPECT_NE(says.find("wrong=[]"), std::string::npos) << says;
    if (std::getenv("KNOCKWELL_AXE") != nullptr) {
        const std::string axe = axe_verdict(stage.room(), html, GetParam());
        EXPECT_NE(axe.find("violations=[]"), std::string::npos) << axe;
    }
    const bool dark = GetParam().find("preferredColorScheme=0") != std::string::npos;
    EXPECT_NE(says.find(dark ? "dark=true" : "dark=false"), std::string::npos) << says;
}

/// How many sheets of paper the page takes.
std::size_t sheets_of(const fs::path& room, const std::string& html) {
    std::ofstream(room / "page.html", std::ios::binary) << html;
    const std::string command =
        "'" + browser() + "' --no-sandbox --disable-gpu --disable-background-networking " +
        "--user-data-dir='" + (room / "user").string() + "' --no-pdf-header-footer " +
        "--print-to-pdf='" + (room / "page.pdf").string() + "' 'file://" +
        (room / "page.html").string() + "' 2> '" + (room / "err").string() + "'";
    // NOLINTNEXTLINE(cert-env33-c,concurrency-mt-unsafe): a browser is started, nothing else
    EXPECT_EQ(std::system(command.c_str()), 0) << text_of_file(room / "err");
    const std::string pdf = text_of_file(room / "page.pdf");
    std::size_t sheets = 0;
    for (std::size_t at = pdf.find("/Type /Page"); at != std::string::npos;
         at = pdf.find("/Type /Page", at + 1))
        sheets += pdf[at + std::string("/Type /Page").size()] == 's' ? 0U : 1U;
    return sheets;
}

std::string plan_of(Stage& stage, const std::string& what) {
    const Printed plan = stage.type("knockwell plan --html --set pump=submersible " + what);
    EXPECT_EQ(plan.status, 0) << plan.err;
    return plan.out;
}

// A card for a truck without a computer is one page, with the shipped knowledge too.
TEST_F(Watched, APlanIsOnePageOfPaper) {
    Stage stage(fs::path(KNOCKWELL_TESTS_DIR).parent_path());
    for (const char* what : {"--says no-water", "--says surging"})
        EXPECT_EQ(sheets_of(stage.room(), plan_of(stage, what)), 1U) << what;
    EXPECT_GT(sheets_of(stage.room(), "<p>x</p><p style='break-before:page'>y</p>"), 1U);
}

TEST_P(Browser, FindsNothingWrongWithAPlan) {
    Stage stage(fs::path(KNOCKWELL_TESTS_DIR) / "runs");
    const std::string html = plan_of(stage, "--says no-water --who qualified");
    const Shown plain = look_at(stage.room(), html, GetParam());
    EXPECT_EQ(plain.console.find("CONSOLE"), std::string::npos) << plain.console;
    const Shown verdict = look_at(
        stage.room(), put_in(html, "</body>", std::string(page_questions) + "</body>"), GetParam());
    EXPECT_NE(verdict_of(verdict).find("wrong=[]"), std::string::npos) << verdict_of(verdict);
}

// That the page_questions can be answered with no.
TEST_F(Watched, WouldSeeWhatIsWrong) {
    const Stage stage(fs::path(KNOCKWELL_TESTS_DIR) / "runs");
    const std::string bad =
        "<!DOCTYPE html><html><head><title>x</title></head><body><h1>x</h1><h3>y</h3>"
        "<p style='color:#bbb'>pale</p><p style='width:3000px'>wide</p><table><caption></caption>"
        "<thead><tr><th>a</th></tr></thead><tbody><tr><td>b</td></tr></tbody></table>"
        "<svg aria-labelledby='e'><title id='e'></title></svg><a href='#' aria-label='c'>d</a>"
        "<img src='missing.png'>" +
        std::string(page_questions) + "</body></html>";
    const Shown verdict = look_at(stage.room(), bad, "");
    for (const char* what : {"contrast", "heading skipped", "wide in", "table without a caption",
                             "table without headers", "foreign element", "no language",
                             "empty label", "image told as", "link told as"})
        EXPECT_NE(verdict_of(verdict).find(what), std::string::npos)
            << what << " is not in " << verdict_of(verdict);
}

std::string name_of_window(const testing::TestParamInfo<std::string>& of) {
    const std::vector<std::string> names = {"Light", "Dark", "Telephone"};
    return names.at(of.index);
}

INSTANTIATE_TEST_SUITE_P(
    Every, Browser,
    testing::Values("--window-size=1200,900 --blink-settings=preferredColorScheme=1",
                    "--window-size=1200,900 --blink-settings=preferredColorScheme=0",
                    "--window-size=360,740 --blink-settings=preferredColorScheme=1"),
    name_of_window);

}  // namespace
}  // namespace knockwell
