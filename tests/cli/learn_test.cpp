// kb learn: what it says, what --apply changes and what it refuses, and what a kill leaves.
#include "cli/killed.hpp"
#include "cli/learned_file.hpp"
#include "cli/stage.hpp"
#include "cli/support.hpp"
#include "knowledge/read.hpp"
#include "knowledge/version.hpp"
#include "support/cases.hpp"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>
#include <sys/file.h>
#include <unistd.h>

#include <chrono>
#include <fstream>
#include <regex>
#include <set>
#include <thread>

namespace knockwell {
namespace {

namespace fs = std::filesystem;

/// A shop with jobs of a worn contact, each looked at, beside a copy of the small well.
class Bench {
public:
    explicit Bench(int jobs = 40) : stage_(Stage::apart(small_well())) {
        keep_jobs(1, jobs);
        texts_ = gather_sources("kb");
    }
    /// Jobs of these numbers come into the ledger.
    void keep_jobs(int first, int last) const {
        std::ofstream sheet("jobs.csv");
        sheet << "No,Date,House,Said,Looked,Fault\n";
        for (int i = first; i <= last; ++i)
            sheet << i << ",2024-03-07,HB-" << i << ",water-comes-back,"
                  << (i % 4 == 0 ? "no" : "yes") << ",plugged-switch-port\n";
        sheet.close();
        std::ofstream("map.toml")
            << "outcome = \"cured\"\nhow-sure = \"seen\"\n[columns]\nNo = \"number\"\nDate = "
               "\"opened\"\nHouse = \"installation\"\nSaid = \"said\"\nLooked = \"found "
               "contacts-stay-open\"\nFault = \"cause\"\n";
        const Printed in = stage().run({"ledger", "import", "jobs.csv", "--map", "map.toml"});
        EXPECT_EQ(in.status, 0) << in.out << in.err;
    }
    [[nodiscard]] Stage& stage() const { return *stage_; }
    [[nodiscard]] const std::vector<Source>& texts() const { return texts_; }

private:
    std::unique_ptr<Stage> stage_;
    std::vector<Source> texts_;  // before any learning
};

TEST(KbLearn, ShowsTheLinesAndChangesNothing) {
    const Bench bench;
    const Printed said = bench.stage().type("knockwell kb learn");
    EXPECT_EQ(said.status, 0) << said.err;
    EXPECT_NE(said.out.find("Learned from 40 closed jobs"), std::string::npos) << said.out;
    EXPECT_NE(said.out.find("\n- contacts-stay-open"), std::string::npos) << said.out;
    EXPECT_NE(said.out.find("\n+ contacts-stay-open"), std::string::npos) << said.out;
    EXPECT_NE(said.out.find("in which numbers move by less than a quarter"), std::string::npos);
    EXPECT_NE(said.out.find("Practice cases: "), std::string::npos) << said.out;
    EXPECT_NE(said.out.find("kb learn --apply"), std::string::npos) << said.out;
    EXPECT_EQ(gather_sources("kb"), bench.texts());
    EXPECT_FALSE(fs::exists("kb/learned.json"));
    const Printed json = bench.stage().type("knockwell kb learn --json");
    const auto all = nlohmann::json::parse(json.out);
    EXPECT_EQ(all["jobs"], 40);
    EXPECT_FALSE(all["applied"]);
    EXPECT_GT(all["changes"].size(), 0U);
    EXPECT_LT(all["effect"]["log_score_new"], all["effect"]["log_score_now"]);
    // A line may hold several numbers.
    std::set<std::pair<std::string, int>> lines;
    for (const auto& change : all["changes"])
        lines.emplace(change["file"], change["line"]);
    EXPECT_LT(lines.size(), all["changes"].size());
    // A rate and how well it is known are one number.
    std::set<std::string> numbers;
    for (const auto& change : all["changes"])
        numbers.insert(std::regex_replace(change["name"].get<std::string>(),
                                          std::regex("give_or_take$"), "present"));
    EXPECT_LT(numbers.size(), all["changes"].size());
    const std::string head =
        std::to_string(numbers.size()) + " of " + std::to_string(all["numbers"].get<int>()) +
        " numbers would change, in " + std::to_string(lines.size()) + " lines.";
    const std::string words = std::regex_replace(said.out, std::regex("\n *"), " ");
    EXPECT_NE(words.find(head), std::string::npos) << said.out;
}

TEST(KbLearn, TellsARateAndHowWellItIsKnownTogether) {
    const Bench bench;
    const std::string words =
        std::regex_replace(bench.stage().type("knockwell kb learn").out, std::regex("\n *"), " ");
    EXPECT_TRUE(std::regex_search(
        words, std::regex("cause.plugged-switch-port.present: \\S+ -> \\S+ %, give or take a "
                          "factor of \\S+ -> \\S+; 40 jobs")))
        << words;
    EXPECT_EQ(words.find("cause.plugged-switch-port.give_or_take:"), std::string::npos) << words;
}

// The spread stands in a line of its own then, before that of its rate.
TEST(KbLearn, TellsBothTogetherAlsoWhereTheyWereLearnedBefore) {
    const Bench bench;
    ASSERT_EQ(bench.stage().type("knockwell kb learn --apply").status, 0);
    bench.keep_jobs(41, 80);
    const std::string out = bench.stage().type("knockwell kb learn").out;
    EXPECT_TRUE(std::regex_search(
        out, std::regex("\nkb/causes.toml:\\d+\n- give_or_take = .*\n- present .*\n"
                        "\\+ give_or_take = .*\n\\+ present .*\n"
                        " *cause.plugged-switch-port.present: ")))
        << out;
    EXPECT_EQ(out.find("cause.plugged-switch-port.give_or_take:"), std::string::npos) << out;
}

// "0.08 -> 0.08 %" tells nothing.
TEST(KbLearn, EveryChangeThatIsShownReadsDifferent) {
    const Bench bench;
    std::ofstream("kb/causes.toml", std::ios::app)
        << "[cause.rare]\ntitle = \"Rare\"\npresent = \"20 in 100000\"\n"
           "[cause.rare.shows]\nwater-comes-back = \"9 in 10\"\n";
    const std::string out = bench.stage().type("knockwell kb learn").out;
    const std::regex change(R"((\S+) -> (\S+) %)");
    std::size_t seen = 0;
    for (std::sregex_iterator at(out.begin(), out.end(), change), end; at != end; ++at, ++seen)
        EXPECT_NE((*at)[1], (*at)[2]) << out;
    EXPECT_GT(seen, 0U);
    EXPECT_NE(out.find("cause.rare.present: 0.02 "), std::string::npos) << out;
}

// Nobody asked for it, and it moves: it says why, and by how much what is written moves.
TEST(KbLearn, SaysWhyANumberMovesThatNoJobTellsOf) {
    const Bench bench;
    std::ofstream("kb/causes.toml", std::ios::app)
        << "[symptom.whistle]\ntitle = \"It whistles\"\nseen_anyway = \"1 in 10\"\n";
    const std::string out = bench.stage().type("knockwell kb learn").out;
    EXPECT_NE(out.find("+ seen_anyway = \"0.5 in 10\"\n"), std::string::npos) << out;
    const std::string words = std::regex_replace(out, std::regex("\n *"), " ");
    EXPECT_NE(words.find("symptom.whistle.seen_anyway: 10 -> 5 %; calls that it would have made "
                         "did not come"),
              std::string::npos)
        << out;
    EXPECT_EQ(words.find("so in 0 of 0"), std::string::npos) << out;
}

// It stands in the line of another number, and there is nothing to say of it.
TEST(KbLearn, PassesOverWhatNoJobTellsOfAndHardlyMoves) {
    const Bench bench;
    std::ofstream("kb/causes.toml", std::ios::app)
        << "[cause.tangle]\ntitle = \"Tangle\"\npresent = \"1 in 1000\"\n"
           "brought_on_by = { plugged-switch-port = \"5 in 10\", failed-bladder = \"5 in 10\" }\n"
           "shows = { no-water = \"9 in 10\" }\n";
    const std::string out = bench.stage().type("knockwell kb learn").out;
    EXPECT_NE(out.find("tangle.brought_on_by.plugged-switch-port: 50 "), std::string::npos) << out;
    EXPECT_EQ(out.find("tangle.brought_on_by.failed-bladder:"), std::string::npos) << out;
    const auto all = nlohmann::json::parse(bench.stage().type("knockwell kb learn --json").out);
    EXPECT_NE(all["changes"].dump().find("tangle.brought_on_by.failed-bladder"), std::string::npos);
}

TEST(KbLearn, AppliesAndNoJobCountsTwice) {
    const Bench bench;
    const Printed said = bench.stage().type("knockwell kb learn --apply");
    EXPECT_EQ(said.status, 0) << said.err;
    EXPECT_NE(said.out.find("stand in the knowledge now"), std::string::npos) << said.out;
    const auto after = gather_sources("kb");
    EXPECT_NE(after, bench.texts());
    EXPECT_TRUE(fs::exists("kb/learned.json"));
    EXPECT_FALSE(fs::exists("kb/.learning.json"));
    EXPECT_EQ(bench.stage().type("knockwell kb check").status, 0)
        << bench.stage().type("knockwell kb check").out;
    const Printed review = bench.stage().type("knockwell review numbers");
    EXPECT_NE(review.out.find("learned from a ledger"), std::string::npos)
        << "what was taught by these jobs is no forecast of them";
    const Printed again = bench.stage().type("knockwell kb learn --apply");
    EXPECT_NE(again.out.find("any learning: 0 of"), std::string::npos) << again.out;
    EXPECT_EQ(gather_sources("kb"), after);
    // A ledger without these jobs takes back what they taught, and says so.
    const Printed empty = bench.stage().type("knockwell open --area heron-bottom --installation "
                                             "HB-1 --says water-comes-back --ledger empty.sqlite");
    EXPECT_EQ(empty.status, 0) << empty.err;
    const Printed forgot = bench.stage().type("knockwell kb learn --ledger empty.sqlite");
    EXPECT_NE(forgot.out.find("40 jobs that taught the numbers"), std::string::npos) << forgot.out;
}

// What jobs have taught comes from the ledger, until a person writes another number there.
TEST(KbLearn, WhatWasLearnedIsOfTheLedger) {
    const Bench bench;
    const auto strengths = [&] {
        const auto check =
            nlohmann::json::parse(bench.stage().type("knockwell kb check --sources --json").out);
        return check["sources"]["strengths"];
    };
    const auto before = strengths();
    EXPECT_EQ(before["ledger"], 0);
    ASSERT_EQ(bench.stage().type("knockwell kb learn --apply").status, 0);
    const auto after = strengths();
    const int learned = after["ledger"].get<int>();
    EXPECT_GT(learned, 0);
    EXPECT_LT(after["none"], before["none"]);
    const std::string text = text_of_file("kb/causes.toml");
    const std::regex port("contacts-stay-open +=  *\"[0-9.]+ in [0-9.]+\"");
    ASSERT_TRUE(std::regex_search(text, port)) << text;
    std::ofstream("kb/causes.toml", std::ios::binary) << std::regex_replace(
        text, port, "contacts-stay-open = \"7 in 10\"", std::regex_constants::format_first_only);
    EXPECT_EQ(strengths()["ledger"], learned - 1);
}

// A symptom and a cause may have one name: what jobs taught of the one is no count of the other.
TEST(KbLearn, AnotherKindOfTheSameNameIsStillAJudgement) {
    const Bench bench;
    std::ofstream("kb/causes.toml", std::ios::app)
        << "[cause.twin]\ntitle = \"Twin\"\npresent = \"3 in 1000\"\nbasis = \"judgement\"\n"
           "[cause.twin.shows]\nno-water = \"400 in 1000\"\n"
           "[symptom.twin]\ntitle = \"Twin\"\nask = \"Is it there?\"\n";
    const auto says = [&](const std::string& number) {
        std::ofstream("kb/learned.json")
            << R"({"format":1,"numbers":{")" << number
            << R"(":{"written":"\"4 in 10\"","learned":"\"400 in 1000\""}},"jobs":[]})";
        const std::string said = bench.stage().type("knockwell kb check").out;
        return said.find("'twin' has the basis judgement") != std::string::npos;
    };
    EXPECT_TRUE(says("symptom.twin.seen_anyway"));
    EXPECT_TRUE(says("cause.other.shows.no-water"));
    EXPECT_FALSE(says("cause.twin.shows.no-water"));
}

TEST(KbLearn, RefusesTextsThatChangedMeanwhile) {
    const Bench bench;
    const auto now = gather_sources("kb");
    std::vector<Source> then = now;
    then[0].text += "# learned\n";
    std::ofstream("kb/causes.toml", std::ios::app) << "# a person's\n";
    const auto with_it = gather_sources("kb");
    EXPECT_EQ(put_in_place("kb", now, {}, then, {}), "kb/causes.toml");
    EXPECT_EQ(gather_sources("kb"), with_it);
    EXPECT_FALSE(fs::exists("kb/learned.json"));
    EXPECT_FALSE(fs::exists("kb/.learning.json"));
    std::ofstream("kb/learned.json") << R"({"format":1,"numbers":{},"jobs":["x"]})";
    EXPECT_EQ(put_in_place("kb", with_it, {}, then, {}), "learned.json");
}

TEST(KbLearn, LeavesAFileCalledPartAlone) {
    const Bench bench;
    std::ofstream("kb/causes.toml.part") << "mine";
    std::ofstream("kb/learned.json.part") << "mine";
    ASSERT_EQ(bench.stage().type("knockwell kb learn --apply").status, 0);
    EXPECT_EQ(text_of_file("kb/causes.toml.part"), "mine");
    EXPECT_EQ(text_of_file("kb/learned.json.part"), "mine");
    fs::remove("kb/causes.toml.part");
    fs::remove("kb/learned.json.part");
    for (const auto& entry : fs::directory_iterator("kb"))
        EXPECT_EQ(entry.path().string().find(".part"), std::string::npos) << entry.path();
}

// Whoever may read the folder may read what was learned; a text keeps the rights that it had.
TEST(KbLearn, GivesItsFilesTheRightsOfTheFolder) {
    const Bench bench;
    const auto all_may_read = fs::perms::owner_read | fs::perms::owner_write |
                              fs::perms::group_read | fs::perms::others_read;
    fs::permissions("kb", all_may_read | fs::perms::owner_exec | fs::perms::group_exec |
                              fs::perms::others_exec);
    fs::permissions("kb/causes.toml", all_may_read | fs::perms::group_write);
    ASSERT_EQ(bench.stage().type("knockwell kb learn --apply").status, 0);
    EXPECT_EQ(fs::status("kb/learned.json").permissions(), all_may_read);
    EXPECT_EQ(fs::status("kb/causes.toml").permissions(), all_may_read | fs::perms::group_write);
}

// What another one puts in place is waited for and then looked at.
TEST(KbLearn, OfTwoAtOnceTheSecondSeesWhatTheFirstPutInPlace) {
    const Bench bench;
    const auto now = gather_sources("kb");
    std::vector<Source> then = now;
    then[0].text += "# learned\n";
    // NOLINTNEXTLINE(cppcoreguidelines-pro-type-vararg): there is no other way to open
    const int folder = ::open("kb", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    ASSERT_EQ(::flock(folder, LOCK_EX), 0);
    std::string changed;
    {
        const std::jthread second([&] { changed = put_in_place("kb", now, {}, then, {}); });
        std::this_thread::sleep_for(std::chrono::milliseconds(200));
        std::ofstream("kb/causes.toml", std::ios::app) << "# the first one's\n";
        ::close(folder);
    }
    EXPECT_EQ(changed, "kb/causes.toml");
    EXPECT_TRUE(text_of_file("kb/causes.toml").ends_with("# the first one's\n"));
}

// From the moment at which it has its name a change counts as made: it is not written over.
TEST(KbLearn, DoesNotWriteOverAChangeThatWasCutOff) {
    const Bench bench;
    const auto now = gather_sources("kb");
    std::vector<Source> then = now;
    then[0].text += "# learned\n";
    std::ofstream("kb/.learning.json") << "another one's";
    EXPECT_EQ(put_in_place("kb", now, {}, then, {}), ".learning.json");
    EXPECT_EQ(text_of_file("kb/.learning.json"), "another one's");
    EXPECT_EQ(gather_sources("kb"), now);
}

TEST(KbLearn, TellsWhatStandsInItsWay) {
    const Bench bench;
    std::ofstream("kb/learned.json") << "{\"format\":1,";
    Printed said = bench.stage().type("knockwell kb learn --width 200");
    EXPECT_EQ(said.status, 2);
    EXPECT_NE(said.err.find("learned.json"), std::string::npos) << said.err;
    EXPECT_NE(said.err.find("no JSON from its byte 13 on"), std::string::npos) << said.err;
    for (const char* broken : {"[]", R"({"format":2,"numbers":{},"jobs":[]})",
                               R"({"format":1,"numbers":{"a":3},"jobs":[]})"}) {
        std::ofstream("kb/learned.json") << broken;
        said = bench.stage().type("knockwell kb learn");
        EXPECT_EQ(said.status, 2) << broken;
        EXPECT_EQ(said.err.find("json.exception"), std::string::npos) << said.err;
    }
    fs::remove("kb/learned.json");
    fs::create_directory("kb/learned.json");
    said = bench.stage().type("knockwell kb learn --width 200");
    EXPECT_EQ(said.status, 2);
    EXPECT_NE(said.err.find("cannot read "), std::string::npos) << said.err;
    EXPECT_NE(said.err.find("learned.json"), std::string::npos) << said.err;
    fs::remove("kb/learned.json");
    // A way out of the folder is not taken.
    std::ofstream("kb/.learning.json")
        << R"({"format":1,"files":[{"name":"../out.toml","was":"none","text":"x"}]})";
    said = bench.stage().type("knockwell kb learn");
    EXPECT_EQ(said.status, 1);
    EXPECT_FALSE(fs::exists("out.toml"));
    fs::remove("kb/.learning.json");
    EXPECT_EQ(bench.stage().type("knockwell kb learn --ledger nothing.sqlite").status, 1);
    EXPECT_EQ(bench.stage().type("knockwell kb learn --rounds 0").status, 2);
    EXPECT_EQ(gather_sources("kb"), bench.texts());
    if (::geteuid() != 0) {  // a superuser may write everywhere
        fs::permissions("kb", fs::perms::owner_read | fs::perms::owner_exec);
        EXPECT_NE(bench.stage().type("knockwell kb learn --apply").status, 0);
        fs::permissions("kb", fs::perms::owner_all);
        EXPECT_EQ(gather_sources("kb"), bench.texts());
    }
}

// Three hundred kills over all commands: sixty of them here.
TEST(KbLearn, KilledItIsWhollyThereOrWhollyAbsent) {
    const Bench bench;
    const std::vector<std::string> command = {"kb", "learn", "--apply"};
    const auto put_back = [&] {
        for (const Source& text : bench.texts())
            std::ofstream(text.name, std::ios::binary | std::ios::trunc) << text.text;
        for (const char* file : {"kb/learned.json", "kb/.learning.json"})
            fs::remove(file);
    };
    put_back();
    KillMoments moments(time_of(bench.stage(), command));
    const auto after = gather_sources("kb");
    const std::string record = text_of_file("kb/learned.json");
    while (!moments.enough(cases(60))) {
        put_back();
        (void)killed_after(bench.stage(), command, moments.next());
        for (const Source& text : gather_sources("kb")) {
            const bool old =
                std::find(bench.texts().begin(), bench.texts().end(), text) != bench.texts().end();
            const bool fresh = std::find(after.begin(), after.end(), text) != after.end();
            EXPECT_TRUE(old || fresh) << text.name << " is neither whole";
        }
        ASSERT_TRUE(std::holds_alternative<std::vector<std::string>>(finish_learning("kb")));
        EXPECT_EQ(bench.stage().run({"ledger", "verify"}).status, 0);
        const auto now = gather_sources("kb");
        EXPECT_TRUE((now == bench.texts() && !fs::exists("kb/learned.json")) ||
                    (now == after && text_of_file("kb/learned.json") == record));
        moments.came_in_time(now == bench.texts());
    }
    EXPECT_GT(moments.in_time(), 0U) << "no kill came in time";
}

std::string mark(const std::string& text) {
    return std::to_string(text.size()) + "-" + std::to_string(fnv1a(text));
}

void put_there(const std::string& name, const std::string& text) {
    std::ofstream(fs::path("kb") / name, std::ios::binary) << text;
}

// Cut off between two files: whoever comes next goes on with it.
TEST(KbLearn, GoesOnWithWhatWasCutOff) {
    const Bench bench;
    ASSERT_EQ(bench.stage().type("knockwell kb learn --apply").status, 0);
    const auto after = gather_sources("kb");
    const std::string record = text_of_file("kb/learned.json");
    ASSERT_FALSE(record.empty());
    nlohmann::json files = nlohmann::json::array();
    for (std::size_t i = 0; i < after.size(); ++i) {
        const std::string name = fs::path(after[i].name).filename().string();
        if (after[i].text == bench.texts()[i].text)
            continue;
        files.push_back(
            {{"name", name}, {"was", mark(bench.texts()[i].text)}, {"text", after[i].text}});
        if (files.size() > 1)  // the first was put in place before it was cut off
            put_there(name, bench.texts()[i].text);
    }
    files.push_back({{"name", "learned.json"}, {"was", "none"}, {"text", record}});
    fs::remove("kb/learned.json");
    put_there(".learning.json", nlohmann::json{{"format", 1}, {"files", files}}.dump());
    const Printed said = bench.stage().type("knockwell kb learn");
    EXPECT_EQ(said.status, 0) << said.err;
    EXPECT_EQ(gather_sources("kb"), after);
    EXPECT_EQ(text_of_file("kb/learned.json"), record);
    EXPECT_FALSE(fs::exists("kb/.learning.json"));
}

// Changed by hand since it was cut off: left alone, and told.
TEST(KbLearn, DoesNotGoOnOverWhatWasChangedSince) {
    const Bench bench;
    nlohmann::json files = nlohmann::json::array();
    files.push_back({{"name", "causes.toml"}, {"was", "1-1"}, {"text", "x"}});
    put_there(".learning.json", nlohmann::json{{"format", 1}, {"files", files}}.dump());
    const Printed said = bench.stage().type("knockwell kb learn");
    EXPECT_EQ(said.status, 1);
    EXPECT_NE(said.err.find("changed meanwhile"), std::string::npos) << said.err;
    EXPECT_EQ(gather_sources("kb"), bench.texts());
}

}  // namespace
}  // namespace knockwell
