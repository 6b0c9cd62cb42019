// Where the areas lie, as a sheet; the map that the page has only then.
#include "cli/hostile_shop.hpp"
#include "cli/places.hpp"

#include <gtest/gtest.h>

#include <sstream>

namespace knockwell {
namespace {

std::variant<Places, std::vector<std::string>> places_of(const std::string& text) {
    std::istringstream in(text);
    return read_places(in);
}

TEST(Places, AreReadByTheirCodes) {
    const auto read = places_of("area,east,north\r\nmill-race,1.5,-2e3\n\"a,b\", 0 ,7\n");
    ASSERT_TRUE(std::holds_alternative<Places>(read));
    EXPECT_EQ(std::get<Places>(read), (Places{{"mill-race", {1.5, -2000}}, {"a,b", {0, 7}}}));
}

TEST(Places, EverythingWrongIsToldWithItsLine) {
    const auto read = places_of("area,east,north\nx,1\ny,far,2\ny,1,inf\nz,1,2\nz,1,2\n\"q\n");
    ASSERT_TRUE(std::holds_alternative<std::vector<std::string>>(read));
    const auto& wrong = std::get<std::vector<std::string>>(read);
    ASSERT_EQ(wrong.size(), 5U);
    EXPECT_EQ(wrong[0], "line 2: it wants three cells: area, east and north");
    EXPECT_EQ(wrong[1], "line 3: 'far' is no number; write 12.5");
    EXPECT_EQ(wrong[2], "line 4: 'inf' is no number; write 12.5");
    EXPECT_EQ(wrong[3], "line 6: the area 'z' is there already");
    EXPECT_EQ(wrong[4].substr(0, 7), "line 7:");
    for (const char* none : {"", "x,1,2\n", "area,north,east\n"})
        EXPECT_TRUE(std::holds_alternative<std::vector<std::string>>(places_of(none)));
}

TEST(Places, MakeAMapOnThePageAndWithoutThemThereIsNone) {
    const HostileShop shop;
    ReviewScene scene = shop.scene();
    EXPECT_EQ(shop.page().all(std::nullopt).find("Where the roads lie"), std::string::npos);
    const Places places = {{hostile_name(), {0, 0}}, {"Road-1.", {3, 1}}, {"road-nobody", {9, 9}}};
    scene.places = &places;
    const HtmlPage page = review_page(scene, shop.answers());
    const auto drawn = draw(page.plots());
    ASSERT_TRUE(drawn);
    const std::string html = page.all(drawn);
    EXPECT_NE(html.find("Where the roads lie"), std::string::npos);
    EXPECT_NE(html.find("Road 1"), std::string::npos);
    // A place without a job of the shop is no part of it; its code may be mistyped.
    EXPECT_EQ(html.find("Road Nobody"), std::string::npos);
    EXPECT_NE(html.find("whose code no closed job has as its area: road-nobody."),
              std::string::npos);
}

TEST(Places, OfOneRoadOrOfRoadsAtOneSpotAreDrawnToo) {
    const HostileShop shop;
    ReviewScene scene = shop.scene();
    for (const Places& places : {Places{{"road-1", {3, 1}}}, Places{{"road-1", {0, 0}}},
                                 Places{{"road-1", {4512345.5, 4e6}}, {"road-2", {4512345.5, 4e6}}},
                                 Places{{"road-1", {4512345, 4e6}}, {"road-2", {4512346, 4e6}}}}) {
        scene.places = &places;
        EXPECT_TRUE(draw(review_page(scene, shop.answers()).plots()));
    }
}

}  // namespace
}  // namespace knockwell
