// The page as HTML Tidy sees it: well-formed, and without a fault that its accessibility checker
// knows (the W3C's guidelines at all three priorities).
//
// Tidy is Debian's package `tidy`. Where there is none the tests are skipped and say so.
#include "cli/hostile_shop.hpp"
#include "cli/support.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <fstream>
#include <string>
#include <vector>

namespace knockwell {
namespace {

namespace fs = std::filesystem;

/// What Tidy says, line by line.
std::vector<std::string> faults_of(const std::string& html) {
    const Stage stage(fs::path(KNOCKWELL_TESTS_DIR) / "runs");
    const fs::path page = stage.room() / "page.html";
    const fs::path says = stage.room() / "says.txt";
    std::ofstream(page, std::ios::binary) << html;
    const std::string command = "'" + program_of({"tidy"}).string() +
                                "' -e -q -utf8 --show-warnings yes " + "--accessibility-check 3 '" +
                                page.string() + "' 2> '" + says.string() + "'";
    // Its status says whether there was anything to say.
    // NOLINTNEXTLINE(cert-env33-c,concurrency-mt-unsafe): a checker is started, nothing else
    (void)std::system(command.c_str());
    std::vector<std::string> faults;
    std::ifstream in(says);
    for (std::string line; std::getline(in, line);)
        faults.push_back(line);
    return faults;
}

/// Not faults of this page; each with the reason.
bool is_no_fault(const std::string& says) {
    constexpr std::array fine = {
        "[6.1.1.2]",  // "style sheets require testing": it asks a person to look without them
        "[3.5.3.1]",  // "header used to format text": of every h3; the browser's test has the
                      // order of the headings
        "[5.5.1.1]",  // "missing summary": that attribute is gone from HTML; there is a
                      // caption
        "[5.6.1.1]",  // "may require header abbreviations": of every header of some length
        "<title> proprietary attribute \"id\"",  // the title of a picture in SVG, which HTML
                                                 // Tidy 5.6 takes for that of the page
    };
    return std::any_of(fine.begin(), fine.end(),
                       [&](const char* one) { return says.find(one) != std::string::npos; });
}

class Tidy : public testing::Test {
protected:
    void SetUp() override {
        if (program_of({"tidy"}).empty())
            GTEST_SKIP() << "no HTML Tidy on this machine: install tidy to look";
    }
};

TEST_F(Tidy, FindsNoFaultInThePage) {
    const HostileShop shop;
    const HtmlPage page = shop.page();
    const std::vector<std::string> faults = faults_of(page.all(draw(page.plots())));
    EXPECT_FALSE(faults.empty()) << "it did not look: there are always some of the five";
    for (const std::string& says : faults)
        EXPECT_TRUE(is_no_fault(says)) << says;
}

TEST_F(Tidy, WouldSeeWhatIsWrong) {
    std::string all;
    for (const std::string& says : faults_of(
             "<!DOCTYPE html><html><head></head><body><h1>x</h1><h4>y</h4>"
             "<img src='a.png'><table><tr><td>a</td><td>b</td></tr><tr><td>1</td></tr>"
             "</table><blink>z</blink><p><a href='#'>click here</a><b>open</p></body></html>"))
        if (!is_no_fault(says))
            all += says + "\n";
    for (const char* what : {"<img> missing 'alt' text", "language not identified",
                             "headers improperly nested", "<table> missing <caption>",
                             "data <table> missing row/column headers", "remove blink/marquee",
                             "link text not meaningful", "missing 'title' element", "missing </b>"})
        EXPECT_NE(all.find(what), std::string::npos) << what << " is not in:\n" << all;
}

}  // namespace
}  // namespace knockwell
