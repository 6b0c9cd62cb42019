// The page for a browser: whole in itself, nothing in it that a joker wrote is language, every
// colour can be read, every picture and table says what it is.
#include "cli/gnuplot.hpp"
#include "cli/hostile_shop.hpp"
#include "cli/stage.hpp"
#include "cli/support.hpp"

#include <gtest/gtest.h>
#include <sys/resource.h>

#include <cmath>
#include <csignal>
#include <fstream>
#include <map>
#include <regex>
#include <set>
#include <sstream>

namespace knockwell {
namespace {

const HostileShop& shop() {
    static const HostileShop one;
    return one;
}

/// With pictures, as it is where gnuplot is installed; tests/run.sh installs it.
const std::string& whole_page() {
    static const std::string html = [] {
        const HtmlPage page = shop().page();
        const auto drawn = draw(page.plots());
        EXPECT_TRUE(drawn) << "gnuplot is not installed";
        return page.all(drawn);
    }();
    return html;
}

std::size_t count_of(const std::string& text, const std::string& what) {
    std::size_t count = 0;
    for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + 1))
        ++count;
    return count;
}

TEST(HtmlText, HasNoCharacterThatMeansSomething) {
    EXPECT_EQ(html_text("a<b>&\"c'"), "a&lt;b&gt;&amp;&quot;c&#39;");
    EXPECT_EQ(html_text(std::string("\x1B[1m\0x", 6)), "\\x1b[1m\\x00x");
    EXPECT_EQ(html_text("Grün – 5 °C"), "Grün – 5 °C");
    EXPECT_EQ(html_text("95 %"), "95\u00A0%");
}

/// The relative luminance of "#rrggbb".
/// Source  W3C, Web Content Accessibility Guidelines 2.1, definitions of relative luminance and
/// contrast ratio
double luminance(const std::string& colour) {
    const auto part = [&](std::size_t at) {
        const double c = std::stoi(colour.substr(at, 2), nullptr, 16) / 255.0;
        return c <= 0.03928 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
    };
    return 0.2126 * part(1) + 0.7152 * part(3) + 0.0722 * part(5);
}

double contrast(const std::string& one, const std::string& other) {
    const double a = luminance(one);
    const double b = luminance(other);
    return (std::max(a, b) + 0.05) / (std::min(a, b) + 0.05);
}

// The published edge: #767676 on white is 4.54 to 1, #777777 is 4.48 (WebAIM's article on contrast,
// from memory); black on white is 21.
TEST(Contrast, IsThatOfTheGuidelines) {
    EXPECT_NEAR(contrast("#767676", "#ffffff"), 4.54, 0.005);
    EXPECT_NEAR(contrast("#777777", "#ffffff"), 4.48, 0.005);
    EXPECT_NEAR(contrast("#000000", "#ffffff"), 21, 1e-9);
}

TEST(HtmlPage, EveryColourCanBeReadOnTheGroundOfItsScheme) {
    const std::regex scheme(R"(--ground: (#[0-9a-f]{6});((?: --[a-z]+: #[0-9a-f]{6};)+))");
    const std::regex colour("--([a-z]+): (#[0-9a-f]{6})");
    const std::string html = HtmlPage("x").all(std::nullopt);
    std::size_t schemes = 0;
    for (std::sregex_iterator it(html.begin(), html.end(), scheme); it != std::sregex_iterator();
         ++it) {
        ++schemes;
        const std::string colours = (*it)[2];
        std::size_t pairs = 0;
        for (std::sregex_iterator c(colours.begin(), colours.end(), colour);
             c != std::sregex_iterator(); ++c) {
            ++pairs;
            EXPECT_GE(contrast((*c)[2], (*it)[1]), 4.5) << (*c)[1] << " on " << (*it)[1];
        }
        EXPECT_EQ(pairs, 4U);
    }
    EXPECT_EQ(schemes, 3U) << "light, dark, paper";
    // No colour stands outside of the schemes.
    EXPECT_EQ(count_of(html, "#"), 15U);
}

TEST(HtmlPage, FetchesNothingAndRunsNothing) {
    const std::string& html = whole_page();
    EXPECT_EQ(count_of(html, "<script"), 0U);
    EXPECT_EQ(count_of(html, "<img"), 0U);
    EXPECT_EQ(count_of(html, "<link"), 0U);
    EXPECT_EQ(count_of(html, "<iframe"), 0U);
    EXPECT_EQ(count_of(html, "url("), 0U);
    EXPECT_EQ(count_of(html, "@import"), 0U);
    EXPECT_EQ(count_of(html, " src="), 0U + count_of(html, "&lt;img src="));
    EXPECT_EQ(count_of(html, "default-src 'none'"), 1U);
    // References lead into the page itself; the only addresses are names of languages.
    const std::regex reference(R"((?:href|src)\s*=\s*["']([^"']*))");
    for (std::sregex_iterator it(html.begin(), html.end(), reference); it != std::sregex_iterator();
         ++it)
        EXPECT_EQ((*it)[1].str().substr(0, 1), "#") << (*it)[1];
    EXPECT_EQ(count_of(html, "://"), count_of(html, "xmlns"));
}

TEST(HtmlPage, WhatAJokerWroteIsText) {
    const std::string& html = whole_page();
    EXPECT_GT(count_of(html, "&lt;script&gt;document.title=&#39;taken&#39;"), 20U);
    EXPECT_EQ(count_of(html, "onerror=\"alert"), 0U);
    EXPECT_EQ(count_of(html, "\x1B"), 0U);
    EXPECT_EQ(count_of(html, "\xE2\x80\xAE"), 0U);
    // Nothing of it was a command to gnuplot or to a shell.
    EXPECT_FALSE(std::filesystem::exists("taken"));
    EXPECT_FALSE(std::regex_search(html, std::regex(">L[0-9]+L<"))) << "a name was not put in";
}

TEST(HtmlPage, EveryPictureAndTableSaysWhatItIs) {
    const std::string& html = whole_page();
    const std::size_t pictures = count_of(html, "<svg");
    EXPECT_GE(pictures, 5U);
    EXPECT_EQ(pictures, shop().page().plots().size());
    EXPECT_EQ(count_of(html, "role=\"img\""), pictures);
    EXPECT_EQ(count_of(html, "<title id="), pictures);
    EXPECT_EQ(count_of(html, "<desc id="), pictures);
    EXPECT_EQ(count_of(html, "<figcaption>"), pictures);
    const std::size_t tables = count_of(html, "<table>");
    EXPECT_GE(tables, pictures);
    EXPECT_EQ(count_of(html, "<caption>"), tables);
    EXPECT_EQ(count_of(html, "<thead>"), tables);
    EXPECT_GE(count_of(html, "scope=\"row\""), tables);
    EXPECT_GE(count_of(html, "scope=\"col\""), 3 * tables);
    // No identifier stands twice, and every label leads to one.
    const std::regex id(R"( id\s*=\s*["']([^"']+))");
    std::set<std::string> ids;
    for (std::sregex_iterator it(html.begin(), html.end(), id); it != std::sregex_iterator(); ++it)
        EXPECT_TRUE(ids.insert((*it)[1]).second) << (*it)[1];
    const std::regex label(R"(aria-labelledby="([^" ]+) ([^"]+)\")");
    for (std::sregex_iterator it(html.begin(), html.end(), label); it != std::sregex_iterator();
         ++it) {
        EXPECT_TRUE(ids.contains((*it)[1]));
        EXPECT_TRUE(ids.contains((*it)[2]));
    }
}

// One colour of gnuplot's own would be black on the dark page.
TEST(HtmlPage, PicturesHaveTheColoursOfThePage) {
    const std::string& html = whole_page();
    EXPECT_EQ(count_of(html, "rgb("), 0U);
    EXPECT_EQ(count_of(html, "\"black\"") + count_of(html, "'black'"), 0U);
    EXPECT_EQ(count_of(html, "\"white\""), 0U);
    EXPECT_GT(count_of(html, "var(--mark)"), 0U);
}

TEST(HtmlPage, WithoutGnuplotHasEveryTableAndSaysWhatIsMissing) {
    const HtmlPage page = shop().page();
    EXPECT_EQ(draw(page.plots(), "there-is-no-such-program"), std::nullopt);
    const std::string html = page.all(std::nullopt);
    EXPECT_EQ(count_of(html, "<svg"), 0U);
    EXPECT_EQ(count_of(html, "<table>"), count_of(whole_page(), "<table>"));
    EXPECT_NE(html.find("gnuplot is not installed"), std::string::npos);
}

TEST(Gnuplot, ThatFailsIsToldInItsWords) {
    Plot wrong{"wrong", "Wrong", "", 100, "this is no command\n", {}};
    try {
        (void)draw({wrong});
        ADD_FAILURE() << "nothing was thrown";
    } catch (const std::runtime_error& failed) {
        EXPECT_NE(std::string(failed.what()).find("gnuplot failed"), std::string::npos);
        EXPECT_NE(std::string(failed.what()).find("invalid command"), std::string::npos);
    }
}

/// As where the disk is full, for files of this program.
class NoRoom {
public:
    NoRoom() {
        (void)::getrlimit(RLIMIT_FSIZE, &usual_);
        const rlimit none{0, usual_.rlim_max};
        EXPECT_EQ(::setrlimit(RLIMIT_FSIZE, &none), 0);
    }
    ~NoRoom() {
        (void)::setrlimit(RLIMIT_FSIZE, &usual_);
        (void)std::signal(SIGXFSZ, before_);
    }
    NoRoom(const NoRoom&) = delete;
    NoRoom& operator=(const NoRoom&) = delete;
    NoRoom(NoRoom&&) = delete;
    NoRoom& operator=(NoRoom&&) = delete;

private:
    rlimit usual_{};
    void (*before_)(int) = std::signal(SIGXFSZ, SIG_IGN);  // an error and no end of the program
};

// So short a script goes no further than a buffer until it is to be read again.
TEST(Gnuplot, AScriptThatTheDiskDoesNotTakeIsTold) {
    std::string told;
    {
        const NoRoom room;
        try {
            (void)run_gnuplot("true", "plot 1\n");
        } catch (const std::runtime_error& failed) {
            told = failed.what();
        }
    }
    EXPECT_EQ(told, "the plots cannot be written down: the disk is full or gone");
}

std::string read_all(const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

TEST(ReviewHtml, IsWrittenWholeAndNeverOverAnotherFile) {
    Stage stage(small_well());
    ASSERT_EQ(stage
                  .type("knockwell open --area heron-bottom --installation HB-17 --set "
                        "pump=submersible --says no-water")
                  .status,
              0);
    ASSERT_EQ(stage.type("knockwell did clear-switch-port --minutes 105").status, 0);
    ASSERT_EQ(
        stage.type("knockwell close --cured --cause worn-contacts=seen" + std::string(all_seen_to))
            .status,
        0);
    const std::string file = (stage.room() / "review.html").string();
    for (const char* part : {"areas", "causes", "time", "numbers"}) {
        const std::string one = (stage.room() / (std::string(part) + ".html")).string();
        const Printed printed = stage.run({"review", part, "--html", one});
        EXPECT_EQ(printed.status, 0) << printed.err;
        const std::string html = read_all(one);
        EXPECT_NE(html.find("<h2 id=\"" + std::string(part)), std::string::npos);
        EXPECT_EQ(html.substr(html.size() - 8), "</html>\n");
    }
    const Printed all = stage.run({"review", "--html", file});
    EXPECT_EQ(all.status, 0) << all.err;
    const std::string html = read_all(file);
    EXPECT_EQ(count_of(html, "<h2 "), 4U);
    EXPECT_EQ(count_of(html, "<nav"), 1U);
    // Which jobs it is of, and the way back to them.
    EXPECT_EQ(count_of(html, "Drawn up on 2026-11-26 with the knowledge test ("), 1U);
    EXPECT_EQ(count_of(html, "knockwell jobs list --cause worn-contacts"), 1U);
    // Hours and minutes as the terminal has them: of the cause, and of the step.
    EXPECT_EQ(count_of(html, ">1 h 45 min</td>"), 2U);
    // The same jobs make the same bytes.
    const std::string other = (stage.room() / "again.html").string();
    EXPECT_EQ(stage.run({"review", "--html", other}).status, 0);
    EXPECT_EQ(read_all(other), html);
    const Printed again = stage.run({"review", "--html", file});
    EXPECT_EQ(again.status, 2);
    EXPECT_NE(again.err.find("already"), std::string::npos) << again.err;
    EXPECT_EQ(read_all(file), html);
    EXPECT_EQ(stage.run({"review", "--since", "yesterday"}).status, 2);
    const std::string none = "No job that was opened on 2999-01-01 or later is closed.";
    EXPECT_NE(stage.run({"review", "--since", "2999-01-01"}).out.find(none), std::string::npos);
    const std::string later = (stage.room() / "later.html").string();
    EXPECT_EQ(stage.run({"review", "--since", "2999-01-01", "--html", later}).status, 0);
    EXPECT_EQ(count_of(read_all(later), none), 3U);
    // A page is no JSON.
    EXPECT_EQ(stage.run({"review", "--json", "--html", later + ".html"}).status, 2);
    EXPECT_FALSE(std::filesystem::exists(later + ".html"));
}

}  // namespace
}  // namespace knockwell
