// What ends a danger, and what does not: on the shipped knowledge, from the command line.
#include "cli/support.hpp"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <fstream>
#include <functional>
#include <sstream>
#include <streambuf>

namespace knockwell {
namespace {

using Json = nlohmann::ordered_json;

std::filesystem::path shipped() { return std::filesystem::path(KNOCKWELL_TESTS_DIR).parent_path(); }

std::vector<std::string> stops_of(const Printed& printed) {
    std::vector<std::string> ids;
    const Json answer = Json::parse(printed.out);
    for (const Json& stop : answer["stops"])
        ids.push_back(stop["id"]);
    return ids;
}

std::vector<std::string> stops_after(Stage& stage, const std::string& found) {
    return stops_of(stage.type("knockwell found --json " + found));
}

constexpr const char* opens = "knockwell open --area mill-road --installation MR-1 ";

// A drain that somebody says has stopped running lifts what only a qualified person's look lifts
// where he says so himself.
TEST(Vouching, PressureIsStatedZeroByWhoMayVouchForIt) {
    Stage stage(shipped());
    ASSERT_EQ(stage.type(std::string(opens) + "--says tank-bulges").status, 0);
    const std::vector<std::string> swollen = stops_after(stage, "--set pump=submersible");
    ASSERT_FALSE(swollen.empty());
    EXPECT_EQ(stops_after(stage, "--pressure zero"), swollen) << "the owner, on the phone";
    EXPECT_EQ(stops_after(stage, "--who helper --pressure zero"), swollen);
    const Json helper = Json::parse(stage.type("knockwell next --json").out);
    EXPECT_FALSE(helper["stops"][0]["told_in_vain"].empty()) << "and is told that it counts not";
    EXPECT_EQ(stage.type(std::string("knockwell close --cured") + all_seen_to).status, 1);
    EXPECT_EQ(stops_after(stage, "--who qualified"), swollen);
    EXPECT_EQ(stops_after(stage, "--pressure zero"), std::vector<std::string>());
}

// What was off before says nothing of a motor that is heard humming after it.
TEST(Vouching, ADangerFoundLaterIsNotLiftedByWhatWasStatedBefore) {
    Stage stage(shipped());
    ASSERT_EQ(stage.type(std::string(opens) + "--says no-water --who qualified --power off").status,
              0);
    const std::vector<std::string> humming = stops_after(stage, "hums-no-start=yes");
    EXPECT_FALSE(humming.empty());
    EXPECT_EQ(stops_after(stage, "--power off"), std::vector<std::string>()) << "stated anew";
}

// What was seen is not unseen by another number on the plate.
TEST(Vouching, AFactThatIsToldOtherwiseEndsNoDanger) {
    Stage stage(shipped());
    ASSERT_EQ(stage
                  .type(std::string(opens) +
                        "--who qualified --set lowest-rating=75psi --says pressure-surges --found "
                        "system-pressure=90psi@read-gauge")
                  .status,
              0);
    const std::vector<std::string> near_the_plate = stops_of(stage.type("knockwell next --json"));
    ASSERT_FALSE(near_the_plate.empty());
    EXPECT_EQ(stops_after(stage, "--set lowest-rating=150psi"), near_the_plate);
    // As if the plate had been read only now. A number that was mistyped is taken back with all
    // that hung on it.
    const Json job = Json::parse(stage.type("knockwell jobs show --json").out);
    std::string entry;
    for (const Json& one : job["entries"])
        if (one["value"] == "75")
            entry = std::to_string(one["number"].get<int>());
    ASSERT_FALSE(entry.empty()) << job;
    ASSERT_EQ(stage
                  .type("knockwell jobs correct --entry " + entry + " --take-back " +
                        job["job"].get<std::string>())
                  .status,
              0);
    EXPECT_EQ(stops_of(stage.type("knockwell next --json")), std::vector<std::string>());
}

TEST(Vouching, AVariableThatWasNeverSetSaysNothing) {
    Stage stage(shipped());
    ASSERT_EQ(stage.type(std::string(opens) + "--who qualified --says shock-at-faucet").status, 0);
    const std::vector<std::string> shock = stops_of(stage.type("knockwell next --json"));
    ASSERT_FALSE(shock.empty());
    for (const char* empty :
         {"metalwork-proved-dead=", "metalwork-proved-dead=@prove-metalwork-dead",
          "'metalwork-proved-dead= '"}) {
        const Printed refused = stage.type(std::string("knockwell found ") + empty);
        EXPECT_EQ(refused.status, 2) << empty;
        EXPECT_NE(refused.err.find("the value is"), std::string::npos) << refused.err;
    }
    EXPECT_EQ(stops_of(stage.type("knockwell next --json")), shock);
    const Printed blank = stage.type("knockwell close --handed-over --despite ' '");
    EXPECT_EQ(blank.status, 2) << "nobody is told by a blank";
}

// Who takes back that the drain has stopped running has not closed it.
TEST(Vouching, AnOpenDrainIsClosedThoughItsZeroIsTakenBack) {
    Stage stage(shipped());
    ASSERT_EQ(stage
                  .type(std::string(opens) + "--set tank-kind=bladder --says pressure-surges --who "
                                             "qualified --power off")
                  .status,
              0);
    ASSERT_EQ(stage.type("knockwell found --pressure zero").status, 0);
    ASSERT_EQ(stage.type("knockwell undo").status, 0);
    ASSERT_EQ(stage.type("knockwell found --left").status, 0);
    EXPECT_NE(stage.type("knockwell next").out.find("Close the drain"), std::string::npos);
}

/// Lines typed into a visit; before the last but `behind` something happens elsewhere.
class Meddled : public std::streambuf {
public:
    Meddled(std::vector<std::string> lines, std::size_t behind, std::function<void()> elsewhere)
        : lines_(std::move(lines)), behind_(behind), elsewhere_(std::move(elsewhere)) {}

protected:
    int_type underflow() override {
        if (next_ == lines_.size())
            return traits_type::eof();
        if (next_ + behind_ == lines_.size())
            elsewhere_();
        line_ = lines_[next_++] + "\n";
        setg(line_.data(), line_.data(), line_.data() + line_.size());
        return traits_type::to_int_type(line_.front());
    }

private:
    std::vector<std::string> lines_;
    std::size_t behind_;
    std::function<void()> elsewhere_;
    std::size_t next_ = 0;
    std::string line_;
};

TEST(Vouching, AVisitDoesNotCloseOverADangerThatCameUpMeanwhile) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(std::string(opens) + "--says no-water").status, 0);
    Stage other(small_well());
    other.here.environment = stage.here.environment;
    bool found = false;
    // Cured; the lines of the list do not apply here; what it was is not known.
    Meddled typed({"1", "0", "l", "1", "3", "3", "3", "3", "3", "3", "3", "3", "0"}, 8,
                  [&] { found = other.type("knockwell found pump-never-stops").status == 0; });
    std::istream in(&typed);
    stage.here.in = &in;
    const Printed visit = stage.type("knockwell visit");
    stage.here.in = nullptr;
    ASSERT_TRUE(found);
    EXPECT_NE(visit.out.find("This came up while the job was"), std::string::npos) << visit.out;
    const Json job = Json::parse(stage.type("knockwell jobs show --json").out);
    EXPECT_FALSE(job["closed"].get<bool>()) << visit.out;
}

// Two trucks at one job: the repair that ends a danger was made by who did not know of it.
TEST(Vouching, ADangerThatAMergeEndsIsTold) {
    Stage stage(shipped());
    const std::string there = (stage.room() / "there.sqlite").string();
    const auto at = [&](const std::string& line, const std::string& ledger, const char* hour) {
        return stage.type(line + " --now 2026-11-01T" + hour + ":00Z" +
                          (ledger.empty() ? "" : " --ledger " + ledger));
    };
    ASSERT_EQ(at(std::string(opens) + "--says pressure-surges", "", "10:00").status, 0);
    ASSERT_EQ(stage.type("knockwell ledger backup " + there).status, 0);
    ASSERT_EQ(at("knockwell did replace-bladder-tank", "", "12:00").status, 0);
    ASSERT_EQ(at("knockwell found tank-bulges=yes", there, "11:30").status, 0);
    const Json merged = Json::parse(stage.type("knockwell ledger merge --json " + there).out);
    ASSERT_EQ(merged["warnings"].size(), 1U) << merged;
    EXPECT_NE(merged["warnings"][0].get<std::string>().find("a danger is told no more"),
              std::string::npos);
    EXPECT_EQ(Json::parse(stage.type("knockwell ledger merge --json " + there).out)["warnings"],
              Json::array())
        << "told once";
}

// What this program never closes comes in as an older one, or a hand, wrote it.
TEST(Vouching, AJobThatComesInCuredOverADangerIsTold) {
    Stage stage(shipped());
    const auto at = [&](const std::string& line) {
        return stage.type(line + " --now 2026-11-01T10:00:00Z");
    };
    ASSERT_EQ(at(std::string(opens) + "--says pressure-surges --says tank-bulges").status, 0);
    std::istringstream lines(stage.type("knockwell ledger export").out);
    std::string head;
    std::string line;
    ASSERT_TRUE(std::getline(lines, head) && std::getline(lines, line));
    Json job = Json::parse(line);
    job["entries"].push_back(
        {{"at", "2026-11-01T11:00:00Z"}, {"kind", "closed"}, {"value", "cured"}});
    const std::string sheet = (stage.room() / "jobs.jsonl").string();
    std::ofstream(sheet) << head << '\n' << job.dump() << '\n';

    const auto ledger = [&](const char* name) { return (stage.room() / name).string(); };
    const std::string imported = ledger("imported.sqlite");
    for (const auto& [deed, into] : {std::pair("import " + sheet, imported),
                                     std::pair("merge " + imported, ledger("merged.sqlite"))}) {
        const std::string command = "knockwell ledger " + deed + " --json --ledger " + into;
        const Json first = Json::parse(stage.type(command).out);
        ASSERT_EQ(first["warnings"].size(), 1U) << first;
        EXPECT_NE(first["warnings"][0].get<std::string>().find("it is closed as cured"),
                  std::string::npos);
        EXPECT_EQ(Json::parse(stage.type(command).out)["warnings"], Json::array()) << "told once";
    }
}

// A pump that was put right says nothing of the gas that another job was left with.
TEST(Vouching, ACuredJobEndsNoDangerThatItDidNotSeeTheEndOf) {
    Stage stage(shipped());
    const auto told = [&](const std::string& line, const char* day) {
        const Printed printed = stage.type(line + " --json --now 2026-11-" + day + "T10:00:00Z");
        EXPECT_EQ(printed.status, 0) << line << printed.err;
        const Json json = Json::parse(printed.out);
        return json.contains("warnings") ? json["warnings"].size() : 0;
    };
    const std::string open(opens);
    ASSERT_EQ(told(open + "--says gas-smell", "01"), 0U);
    (void)told("knockwell close --handed-over --despite 'the fire service was called'", "02");
    EXPECT_EQ(told(open + "--says weak-pressure", "03"), 1U);
    (void)told("knockwell close --cured --checked cycles,relief,customer --not-here water "
               "--as-left leak-down=0psi",
               "04");
    EXPECT_EQ(told(open + "--says weak-pressure", "05"), 1U) << "a cure of something else";
    EXPECT_EQ(told("knockwell open --area Mill-Road --installation mr-1 --says no-water", "05"), 1U)
        << "in other capitals";
    // Only who may say so ends it.
    ASSERT_EQ(stage.type("knockwell found air-proved-clear --who helper --now 2026-11-06T10:00:00Z")
                  .status,
              0);
    EXPECT_EQ(told(open + "--says weak-pressure", "07"), 1U);
    ASSERT_EQ(
        stage.type("knockwell found air-proved-clear --who qualified --now 2026-11-08T10:00:00Z")
            .status,
        0);
    EXPECT_EQ(told(open + "--says weak-pressure", "09"), 0U) << "seen to be over";
}

// Of two trucks one takes the danger back.
TEST(Vouching, ADangerThatACorrectionTakesAwayIsToldWhereItComesIn) {
    Stage stage(shipped());
    const std::string there = (stage.room() / "there.sqlite").string();
    ASSERT_EQ(stage.type(std::string(opens) + "--says no-water").status, 0);
    ASSERT_EQ(stage.type("knockwell found gas-smell=yes").status, 0);
    ASSERT_EQ(stage.type("knockwell ledger backup " + there).status, 0);
    ASSERT_EQ(stage.type("knockwell undo --ledger " + there).status, 0);
    const Json merged = Json::parse(stage.type("knockwell ledger merge --json " + there).out);
    ASSERT_EQ(merged["warnings"].size(), 1U) << merged;
    EXPECT_NE(merged["warnings"][0].get<std::string>().find("A danger is told no more"),
              std::string::npos);
}

TEST(Vouching, WhatIsDatedAheadIsToldAndEndsNothing) {
    Stage stage(shipped());
    const std::string there = (stage.room() / "ahead.sqlite").string();
    const auto at = [&](const std::string& line, const char* moment) {
        return stage.type(line + " --now " + moment);
    };
    const std::string open(opens);
    ASSERT_EQ(at(open + "--says no-water --who qualified --ledger " + there, "2190-11-01T10:00:00Z")
                  .status,
              0);
    ASSERT_EQ(
        at("knockwell found air-proved-clear --ledger " + there, "2190-11-01T11:00:00Z").status, 0);
    ASSERT_EQ(at(open + "--says gas-smell", "2026-11-01T10:00:00Z").status, 0);
    const Json merged =
        Json::parse(at("knockwell ledger merge --json " + there, "2026-11-02T10:00:00Z").out);
    ASSERT_EQ(merged["warnings"].size(), 2U) << merged;
    EXPECT_NE(merged["warnings"][0].get<std::string>().find("a day that has not come"),
              std::string::npos);
    EXPECT_NE(merged["warnings"][1].get<std::string>().find("Without --job"), std::string::npos)
        << "it is the job opened last";
    const Json next =
        Json::parse(at(open + "--says weak-pressure --json", "2026-11-03T10:00:00Z").out);
    ASSERT_TRUE(next.contains("warnings")) << "the gas is told";
    EXPECT_EQ(next["warnings"].size(), 1U);
}

TEST(Vouching, EveryOpenDangerAtAHouseIsTold) {
    Stage stage(small_well());
    const auto warnings = [&](const std::string& code) {
        const Json answer = Json::parse(
            stage.type("knockwell open --says no-water --json --now 2026-11-09T10:00:00Z " + code)
                .out);
        return answer.contains("warnings") ? answer["warnings"].size() : 0;
    };
    const std::string house = "--area mill-road --installation 17 ";
    ASSERT_EQ(
        stage.type("knockwell open --says no-water --now 2026-11-01T10:00:00Z " + house).status, 0);
    const std::string first = id_of_first(stage);
    ASSERT_EQ(
        stage.type("knockwell open --says no-water --now 2026-11-02T10:00:00Z " + house).status, 0);
    ASSERT_EQ(stage
                  .type("knockwell close --cured --now 2026-11-02T11:00:00Z --checked "
                        "cycles,relief,customer --as-left leak-down=0psi --not-here water")
                  .status,
              0);
    ASSERT_EQ(
        stage.type("knockwell found pump-never-stops --now 2026-11-03T10:00:00Z --job " + first)
            .status,
        0);
    for (const char* road : {"a", "b", "c", "d", "e", "f"})
        ASSERT_EQ(stage
                      .type(std::string("knockwell open --says no-water --installation 17 --now "
                                        "2026-11-08T10:00:00Z --area ") +
                            road)
                      .status,
                  0);
    EXPECT_EQ(warnings(house), 1U) << "neither a newer cure nor other roads hide it";
    EXPECT_EQ(warnings("--area Mill-Road --installation 17"), 1U) << "it may be the same road";
    EXPECT_EQ(warnings("--area a --installation 17"), 0U);
}

// The chances that an outcome is told with are those of the answer once it is found.
TEST(Outcomes, BringFirstWhatTheyAreSaidTo) {
    constexpr std::size_t most = 3;  // each wants an answer of its own
    Stage stage(shipped());
    for (const char* question : {"--says worked-on-lately",
                                 "--says work-nearby --says primed-and-lost-again --who qualified",
                                 "--says pressure-surges --set pump=submersible"}) {
        const std::string ask = std::string("knockwell ask --json --most 40 ") + question;
        const Json now = Json::parse(stage.type(ask).out);
        std::size_t seen = 0;
        for (const Json& step : now["next"]) {
            const std::string kind = step["kind"];
            if (kind != "setting" && kind != "question")
                continue;
            const std::string tell = kind == "setting" ? " --set " : " --says ";
            for (const Json& outcome : step["outcomes"]) {
                if (outcome["p"].get<double>() < 0.01 || seen == most)
                    continue;
                const Json then = Json::parse(stage
                                                  .type(ask + tell + step["id"].get<std::string>() +
                                                        "=" + outcome["level"].get<std::string>())
                                                  .out);
                ASSERT_TRUE(then.contains("causes")) << step["id"] << then;
                double p = -1;
                for (const Json& cause : then["causes"])
                    if (cause["id"] == outcome["then_first"] && cause["spoken_of"])
                        p = cause["p"];
                EXPECT_NEAR(outcome["then_p"].get<double>(), p, 1e-9)
                    << question << " " << step["id"] << "=" << outcome["level"];
                ++seen;
            }
        }
        EXPECT_GT(seen, 0U) << question;
    }
}

TEST(Reasons, GoByTheExactIdentifierBeforeAPieceOfATitle) {
    Stage stage(shipped());
    ASSERT_EQ(stage.type(std::string(opens) + "--says no-water").status, 0);
    for (const char* look : {"houses", "contactor"}) {
        const Json told =
            Json::parse(stage.type(std::string("knockwell reasons --json ") + look).out);
        EXPECT_EQ(told.value("id", ""), look) << told.dump().substr(0, 200);
    }
}

// A word of a customer is a symptom or a fact; what only a look shows has to be named in full.
TEST(Says, FindsNoObservationByALooseWord) {
    Stage stage(shipped());
    const Printed froze = stage.type("knockwell ask --says froze");
    EXPECT_EQ(froze.status, 2);
    EXPECT_NE(froze.err.find("weather=freezing"), std::string::npos) << froze.err;
    EXPECT_EQ(stage.type("knockwell ask --says system-pressure=20psi").status, 0);
    const Printed loose = stage.type("knockwell ask --says surging");
    EXPECT_EQ(loose.status, 0);
}

}  // namespace
}  // namespace knockwell
