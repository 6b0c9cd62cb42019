// The shop's settings: the price of an hour and of parts, in every output that tells of work.
#include "cli/shop_file.hpp"
#include "cli/support.hpp"

#include <nlohmann/json.hpp>

namespace knockwell {
namespace {

using Json = nlohmann::ordered_json;

void write_shop(const Stage& stage, const std::string& text) {
    std::ofstream(stage.room() / "shop.toml", std::ios::binary) << text;
}

constexpr const char* asked = "knockwell ask --set pump=submersible --says pressure-swings --who "
                              "qualified --on-site";
constexpr const char* rates = "hour = 90\ncurrency = \"dollars\"\n[price]\ntank = 410\n";

TEST(Shop, WithoutSettingsNothingChanges) {
    Stage stage(small_well());
    const std::string before = stage.type(asked).out;
    const std::string json = stage.type(std::string(asked) + " --json").out;
    EXPECT_EQ(before.find("Money"), std::string::npos);
    EXPECT_FALSE(Json::parse(json)["next"][0].contains("money"));
    write_shop(stage, "# nothing yet\n");
    EXPECT_EQ(stage.type(asked).out, before);
    EXPECT_EQ(stage.type(std::string(asked) + " --json").out, json);
    write_shop(stage, "");  // as after a power cut
    EXPECT_EQ(stage.type(asked).status, 2);
}

// A folder opens as a file does, and then gives nothing.
TEST(Shop, AFolderInTheFilesPlaceIsToldByItsName) {
    Stage stage(small_well());
    const std::filesystem::path shop = stage.room() / "shop.toml";
    std::filesystem::create_directory(shop);
    const Printed settings = stage.type(asked);
    EXPECT_EQ(settings.status, 2);
    EXPECT_TRUE(in_order(settings.err, "cannot read", shop.string()));
    std::filesystem::remove(shop);
    ASSERT_EQ(stage.type("knockwell open --area heron-bottom --installation HB-17").status, 0);
    const std::filesystem::path folder = stage.room() / "folder";
    std::filesystem::create_directory(folder);
    const Printed places = stage.run({"review", "areas", "--places", folder.string(), "--html",
                                      (stage.room() / "page.html").string()});
    EXPECT_EQ(places.status, 2);
    EXPECT_TRUE(in_order(places.err, "cannot read", folder.string()));
}

TEST(Shop, AFileWithoutAnEndIsRefusedUnread) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type("knockwell open --area heron-bottom --installation HB-17").status, 0);
    const Printed places = stage.run({"review", "areas", "--places", "/dev/zero", "--html",
                                      (stage.room() / "page.html").string()});
    EXPECT_EQ(places.status, 2);
    EXPECT_TRUE(in_order(places.err, "/dev/zero", "over 4 MiB"));
    stage.here.environment["KNOCKWELL_SHOP"] = "/dev/zero";
    const Printed settings = stage.type(asked);
    EXPECT_EQ(settings.status, 2);
    EXPECT_TRUE(in_order(settings.err, "/dev/zero", "over 4 MiB"));
}

// Whoever names a file means it: prices that are not found are no free parts.
TEST(Shop, AFileThatIsNamedAndNotThereIsTold) {
    Stage stage(small_well());
    stage.here.environment["KNOCKWELL_SHOP"] = (stage.room() / "prices.toml").string();
    const Printed none = stage.type(asked);
    EXPECT_EQ(none.status, 2);
    EXPECT_TRUE(in_order(none.err, "prices.toml:", "No such")) << none.err;
    std::ofstream(stage.room() / "prices.toml") << rates;
    EXPECT_EQ(stage.type(asked).status, 0);
}

TEST(Shop, AStepIsWorthMinutesAndMoney) {
    Stage stage(small_well());
    write_shop(stage, rates);
    const Printed shown = stage.type(asked);
    ASSERT_EQ(shown.status, 0) << shown.err;
    EXPECT_NE(shown.out.find("Money: costs"), std::string::npos) << shown.out;
    const Json all = Json::parse(stage.type(std::string(asked) + " --json").out);
    std::size_t told = 0;
    for (const Json& step : all["next"]) {
        EXPECT_NEAR(step["money"].get<double>(), step["minutes"].get<double>() * 1.5, 1e-6);
        EXPECT_NEAR(step["money_saved"].get<double>(), step["minutes_saved"].get<double>() * 1.5,
                    1e-6);
        ++told;
    }
    EXPECT_GT(told, 0U);
}

TEST(Shop, TruckPlanAndInvoiceTellIt) {
    Stage stage(small_well());
    write_shop(stage, rates);
    const std::string about = " --set pump=submersible --says pressure-swings";
    const Printed truck = stage.type("knockwell truck" + about);
    EXPECT_NE(truck.out.find("Price: 410 dollars"), std::string::npos) << truck.out;
    EXPECT_NE(truck.out.find("An hour of work costs 90 dollars"), std::string::npos) << truck.out;
    EXPECT_NE(stage.type("knockwell plan" + about).out.find("Money: "), std::string::npos);
    EXPECT_NE(stage.type("knockwell plan --html" + about).out.find(" dollars"), std::string::npos);
    ASSERT_EQ(stage.type("knockwell open --area heron-bottom --installation HB-17" + about).status,
              0);
    ASSERT_EQ(stage.type("knockwell did replace-tank --minutes 80").status, 0);
    const Printed closed = stage.type("knockwell close --cured" + std::string(all_seen_to));
    ASSERT_EQ(closed.status, 0) << closed.out << closed.err;
    EXPECT_NE(closed.out.find("Minutes written down: 80, at 90 dollars an hour: 120 dollars"),
              std::string::npos)
        << closed.out;
    EXPECT_NE(closed.out.find("410 dollars"), std::string::npos);
    EXPECT_NE(closed.out.find("Work and parts together 530 dollars"), std::string::npos)
        << closed.out;
}

TEST(Shop, WhatIsWrongIsToldWithItsPlaceAndNothingIsAnswered) {
    Stage stage(small_well());
    for (const char* text :
         {"hour = 0\n", "hour = -3\n", "hour = \"much\"\n", "hour = 1e99\n", "our = 90\n",
          "currency = 3\n", "currency = \"\"\n", "price = 3\n", "[price]\ntnak = 3\n",
          "[price]\ntank = -3\n", "hour = \n", "hour = nan\n"}) {
        write_shop(stage, text);
        const Printed wrong = stage.type(asked);
        EXPECT_EQ(wrong.status, 2) << text;
        EXPECT_NE(wrong.err.find("shop.toml:"), std::string::npos) << text << wrong.err;
        EXPECT_TRUE(wrong.out.empty()) << text;
        EXPECT_TRUE(harmless(wrong.err));
    }
    write_shop(stage, "[price]\ntnak = 3\n");
    EXPECT_NE(stage.type(asked).err.find("write instead: tank"), std::string::npos);
    write_shop(stage, "hour = \"95\"\n");
    EXPECT_NE(stage.type(asked).err.find("write hour = 95, without quotes"), std::string::npos);
    write_shop(stage, "our = 90\n");
    EXPECT_NE(stage.type(asked).err.find("write instead: hour"), std::string::npos);
}

}  // namespace
}  // namespace knockwell
