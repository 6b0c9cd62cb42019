// Killed at any moment (signal 9), a command is wholly there or wholly absent, and the ledger opens
// and verifies.
#include "cli/killed.hpp"
#include "cli/stage.hpp"
#include "cli/support.hpp"
#include "support/cases.hpp"

#include <gtest/gtest.h>

#include <fstream>

namespace knockwell {
namespace {

namespace fs = std::filesystem;

/// Everything that the stage's ledger holds.
std::string contents(Stage& stage) {
    const Printed verified = stage.run({"ledger", "verify"});
    EXPECT_EQ(verified.status, 0) << verified.err;
    const Printed all = stage.run({"ledger", "export"});
    EXPECT_EQ(all.status, 0) << all.err;
    return all.out;
}

/// A ledger file and what belongs to it, put aside and back.
class Aside {
public:
    explicit Aside(const Stage& stage) : room_(stage.room()), kept_(room_ / "aside.sqlite") {
        fs::copy_file(room_ / "ledger.sqlite", kept_);
    }
    void put_back() const {
        for (const char* end : {"-wal", "-shm"})
            fs::remove((room_ / "ledger.sqlite").string() + end);
        fs::copy_file(kept_, room_ / "ledger.sqlite", fs::copy_options::overwrite_existing);
    }

private:
    fs::path room_;
    fs::path kept_;
};

struct Deed {
    std::string name;
    std::vector<std::string> command;
};

/// A ledger of many jobs: the opened one in it, and files to import and to merge.
void furnish(Stage& stage) {
    ASSERT_EQ(stage
                  .type("knockwell open --area heron-bottom --installation HB-17 --set "
                        "pump=submersible --says no-water")
                  .status,
              0);
    std::ofstream sheet(stage.room() / "jobs.csv");
    sheet << "No,Date,House,Said,Fault\n";
    for (int i = 1; i <= 400; ++i)
        sheet << i << ",2024-03-07,HB-" << i % 90 << ",no-water,worn-contacts\n";
    sheet.close();
    std::ofstream(stage.room() / "map.toml")
        << "outcome = \"cured\"\n[columns]\nNo = \"number\"\nDate = \"opened\"\nHouse = "
           "\"installation\"\nSaid = \"said\"\nFault = \"cause\"\n";
    const std::string other = (stage.room() / "other.sqlite").string();
    const Printed imported =
        stage.run({"ledger", "import", (stage.room() / "jobs.csv").string(), "--map",
                   (stage.room() / "map.toml").string(), "--ledger", other});
    ASSERT_EQ(imported.status, 0) << imported.out << imported.err;
    ASSERT_EQ(
        stage.run({"ledger", "export", (stage.room() / "jobs.jsonl").string(), "--ledger", other})
            .status,
        0);
}

class Kill : public testing::TestWithParam<Deed> {};

// Three hundred kills over all deeds, or more: sixty each.
TEST_P(Kill, LeavesTheWholeOrNothing) {
    Stage stage(small_well());
    ASSERT_NO_FATAL_FAILURE(furnish(stage));
    std::vector<std::string> command = GetParam().command;
    for (std::string& word : command)
        if (word == "LAST")
            word = stage.run({"jobs"}).out.substr(0, 8);
        else if (word.rfind("ROOM/", 0) == 0)
            word = (stage.room() / word.substr(5)).string();
    const std::string before = contents(stage);
    const Aside aside(stage);
    const auto takes = time_of(stage, command);
    const std::string after = contents(stage);
    ASSERT_NE(after, before);
    KillMoments moments(takes);
    while (!moments.enough(cases(60))) {
        aside.put_back();
        const auto moment = moments.next();
        const bool ended = killed_after(stage, command, moment);
        const std::string now = contents(stage);
        ASSERT_TRUE(now == after || (now == before && !ended))
            << GetParam().name << " killed after " << moment.count() << " of " << takes.count()
            << " microseconds";
        // What was cut off can be done again.
        if (now == before && moments.in_time() % 8 == 0) {
            ASSERT_EQ(stage.run(command).status, 0);
            ASSERT_EQ(contents(stage), after);
        }
        moments.came_in_time(now == before);
    }
    EXPECT_GT(moments.in_time(), 0U) << "no kill came in time";
}

std::string name_of_deed(const testing::TestParamInfo<Deed>& info) { return info.param.name; }

INSTANTIATE_TEST_SUITE_P(
    Every, Kill,
    testing::Values(
        Deed{"ImportOfLines", {"ledger", "import", "ROOM/jobs.jsonl"}},
        Deed{"ImportOfASheet", {"ledger", "import", "ROOM/jobs.csv", "--map", "ROOM/map.toml"}},
        Deed{"Merge", {"ledger", "merge", "ROOM/other.sqlite"}},
        Deed{"Close",
             {"close", "--cured", "--cause", "worn-contacts=seen", "--note", "done", "--without",
              "covers,precharge,valves,power,cycles,cut-in-out,amps,relief,leak-down,recheck,"
              "water,killer,customer=the lamp failed"}},
        Deed{"Correct", {"jobs", "correct", "LAST", "--area", "quarry-lane"}}),
    name_of_deed);

// A backup has its name only when it is whole.
TEST(KilledBackup, IsThereWholeOrNotAtAll) {
    Stage stage(small_well());
    ASSERT_NO_FATAL_FAILURE(furnish(stage));
    ASSERT_EQ(stage.run({"ledger", "merge", (stage.room() / "other.sqlite").string()}).status, 0);
    const std::string whole = contents(stage);
    const std::string copy = (stage.room() / "copy.sqlite").string();
    KillMoments moments(time_of(stage, {"ledger", "backup", copy}));
    while (!moments.enough(cases(60))) {
        for (const char* end : {"", "-wal", "-shm"})
            fs::remove(copy + end);
        (void)killed_after(stage, {"ledger", "backup", copy}, moments.next());
        moments.came_in_time(!fs::exists(copy));
        if (!fs::exists(copy)) {
            ASSERT_EQ(stage.run({"ledger", "backup", copy}).status, 0)
                << "what was left stands in the way";
        }
        ASSERT_EQ(stage.run({"ledger", "export", "--ledger", copy}).out, whole);
    }
    EXPECT_GT(moments.in_time(), 0U) << "no kill came in time";
}

}  // namespace
}  // namespace knockwell
