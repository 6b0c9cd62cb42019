// The commands on the whole ledger, and corrections of jobs.
#include "cli/run.hpp"
#include "cli/support.hpp"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>
#include <sys/stat.h>
#include <unistd.h>

#include <atomic>
#include <chrono>
#include <csignal>
#include <fstream>
#include <iterator>
#include <sstream>
#include <streambuf>
#include <thread>

namespace knockwell {
namespace {

using Json = nlohmann::ordered_json;

constexpr const char* opening_words =
    "knockwell open --area heron-bottom --installation HB-17 --set "
    "pump=submersible --says no-water";

/// A job whose pressure is read, mended, read again, and that is closed.
void work_a_job(Stage& stage) {
    ASSERT_EQ(stage.type(opening_words).status, 0);
    ASSERT_EQ(stage.type("knockwell found system-pressure=21psi@read-gauge --who qualified").status,
              0);
    ASSERT_EQ(stage.type("knockwell did clear-switch-port --minutes 25").status, 0);
    ASSERT_EQ(stage.type("knockwell found system-pressure=58psi@read-gauge").status, 0);
    ASSERT_EQ(stage.type("knockwell close --cured" + std::string(all_seen_to)).status, 0);
}

Json shown(Stage& stage, const std::string& id) {
    return Json::parse(stage.run({"jobs", "show", id, "--json"}).out);
}

void put(const std::filesystem::path& file, const std::string& text) {
    std::ofstream(file, std::ios::binary) << text;
}

std::string taken(const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

TEST(Corrections, AnEntryOfAClosedJobIsPutRightAtItsPlace) {
    Stage stage(small_well());
    ASSERT_NO_FATAL_FAILURE(work_a_job(stage));
    const std::string id = id_of_first(stage);
    const Json before = shown(stage, id);
    std::size_t number = 0;
    for (const Json& entry : before["entries"])
        if (entry["value"] == "21psi@read-gauge")
            number = entry["number"];
    ASSERT_GT(number, 0U) << before.dump(1);
    const std::string entry = std::to_string(number);
    EXPECT_EQ(
        stage.run({"jobs", "correct", id, "--entry", entry, "--value", "12psi@read-gauge"}).status,
        0);
    const Json after = shown(stage, id);
    EXPECT_EQ(after["summary"]["readings"]["system-pressure"]["found"], "12psi");
    EXPECT_EQ(after["summary"]["readings"]["system-pressure"]["left"], "58psi");
    EXPECT_EQ(after["entries"][number - 1]["value"], "21psi@read-gauge")
        << "nothing is overwritten";
    EXPECT_EQ(after["entries"][number - 1]["now"]["value"], "12psi@read-gauge");
    EXPECT_TRUE(after["closed"]);
    EXPECT_EQ(stage.run({"jobs", "correct", id, "--entry", entry, "--take-back"}).status, 0);
    EXPECT_EQ(shown(stage, id)["summary"]["readings"]["system-pressure"]["found"], nullptr);
}

// Whoever corrects an old line at a desk has locked nothing off.
TEST(Corrections, OfAStateMakeNothingSafeAndSaySo) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_words).status, 0);
    ASSERT_EQ(stage.type("knockwell found --who qualified --on-site --power off --note x").status,
              0);
    ASSERT_EQ(stage.type("knockwell found --power on --note y").status, 0);
    const std::string id = id_of_first(stage);
    std::string entry;
    const Json job = shown(stage, id);
    for (const Json& one : job["entries"])
        if (one["kind"] == "state" && one["value"] == "on")
            entry = std::to_string(one["number"].get<int>());
    ASSERT_FALSE(entry.empty());
    const Printed corrected =
        stage.run({"jobs", "correct", id, "--entry", entry, "--value", "off"});
    ASSERT_EQ(corrected.status, 0) << corrected.err;
    EXPECT_NE(corrected.out.find("WARNING: A correction makes nothing safe"), std::string::npos);
    EXPECT_EQ(stage.type("knockwell next").out.find("power off"), std::string::npos);
    EXPECT_NE(stage.type("knockwell found --power off --note z").out.find("power off"),
              std::string::npos);
    EXPECT_EQ(stage.run({"jobs", "correct", id, "--entry", entry, "--value", "on"})
                  .out.find("makes nothing safe"),
              std::string::npos);
}

TEST(Corrections, CausesAreaAndCallBacks) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_words).status, 0);
    ASSERT_EQ(stage
                  .type("knockwell close --cured --cause worn-contacts=guessed" +
                        std::string(all_seen_to))
                  .status,
              0);
    const std::string first = id_of_first(stage);
    const Printed again = stage.run({"open", "--area", "heron-bottom", "--installation", "HB-17",
                                     "--says", "no-water", "--now", "2026-12-09T13:00:00Z"});
    EXPECT_NE(again.out.find("opened there 13 days"), std::string::npos)
        << again.out.substr(0, 300);
    const std::string second = id_of_first(stage);
    EXPECT_EQ(stage
                  .run({"jobs", "correct", second, "--call-back-of", first, "--installation",
                        "HB-18", "--area", "quarry-lane"})
                  .status,
              2)
        << "another house";
    EXPECT_EQ(stage.run({"jobs", "correct", first, "--call-back-of", second}).status, 2)
        << "it was opened later";
    // Of two that were opened in one second each could be the other's.
    ASSERT_EQ(stage
                  .run({"open", "--area", "heron-bottom", "--installation", "HB-17", "--says",
                        "no-water", "--now", "2026-12-09T13:00:00Z", "--call-back-of", second})
                  .status,
              0);
    const Printed ring =
        stage.run({"jobs", "correct", second, "--call-back-of", id_of_first(stage)});
    EXPECT_EQ(ring.status, 2);
    EXPECT_NE(ring.err.find("is called a call-back of this one"), std::string::npos) << ring.err;
    ASSERT_EQ(stage.run({"jobs", "correct", second, "--call-back-of", first}).status, 0);
    EXPECT_EQ(
        stage.run({"jobs", "correct", second, "--installation", "HB-18", "--area", "quarry-lane"})
            .status,
        0);
    const Json job = shown(stage, second);
    EXPECT_EQ(job["summary"]["call_back_of"].get<std::string>().substr(0, 8), first);
    EXPECT_EQ(job["summary"]["area"], "quarry-lane");
    EXPECT_EQ(job["summary"]["installation"], "HB-18");
    EXPECT_NE(stage.run({"jobs"}).out.find("quarry-lane HB-18"), std::string::npos)
        << "the list has the codes as corrected";
    const Printed moved = stage.run({"open", "--area", "heron-bottom", "--installation", "HB-17",
                                     "--says", "no-water", "--now", "2026-12-10T13:00:00Z"});
    EXPECT_EQ(moved.out.find(second), std::string::npos) << "it was not at HB-17";
    const Printed other =
        stage.run({"open", "--area", "heron-bottom", "--installation", "HB-19", "--says",
                   "no-water", "--call-back-of", first, "--width", "200"});
    EXPECT_EQ(other.status, 2);
    EXPECT_NE(other.err.find("was at HB-17 and this one is at HB-19"), std::string::npos)
        << other.err;
    const Printed road = stage.run({"open", "--area", "quarry-lane", "--installation", "HB-17",
                                    "--call-back-of", first, "--width", "200"});
    EXPECT_EQ(road.status, 2);
    EXPECT_NE(road.err.find("was at heron-bottom HB-17 and this one is at quarry-lane HB-17"),
              std::string::npos)
        << road.err;
    const std::string file = (stage.room() / "linked.jsonl").string();
    EXPECT_EQ(stage.run({"ledger", "export", file}).status, 0);
    const std::string fresh = (stage.room() / "fresh.sqlite").string();
    EXPECT_EQ(stage.run({"ledger", "import", file, "--ledger", fresh}).status, 0)
        << "the house was corrected after it was linked";
    EXPECT_EQ(stage.run({"jobs", "correct", second, "--no-call-back"}).status, 0);
    EXPECT_EQ(shown(stage, second)["summary"]["call_back_of"], nullptr);
    EXPECT_EQ(stage
                  .run({"jobs", "correct", first, "--cause", "worn-contacts=seen", "--cause",
                        "failed-bladder=guessed"})
                  .status,
              0);
    const Json causes = shown(stage, first)["summary"]["causes"];
    ASSERT_EQ(causes.size(), 2U);
    EXPECT_EQ(causes[0]["how"], "seen");
    EXPECT_TRUE(shown(stage, first)["summary"]["clashes"].empty());
}

TEST(Corrections, OfTwoTrucksThatClashAreToldUntilOneIsSaidToHold) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_words).status, 0);
    const std::string id = id_of_first(stage);
    const std::string other = (stage.room() / "other.sqlite").string();
    const auto correct = [&](const std::string& ledger, const std::vector<std::string>& what) {
        std::vector<std::string> command = {"jobs", "correct", id, "--ledger", ledger};
        command.insert(command.end(), what.begin(), what.end());
        return stage.run(command);
    };
    const std::string ours = (stage.room() / "ledger.sqlite").string();
    ASSERT_EQ(correct(ours, {"--area", "mill-road"}).status, 0);
    ASSERT_EQ(stage.run({"ledger", "backup", other}).status, 0);
    ASSERT_EQ(correct(ours, {"--area", "quarry-lane", "--installation", "QL-1", "--cause",
                             "worn-contacts=seen"})
                  .status,
              0);
    EXPECT_EQ(shown(stage, id)["summary"]["clashes"].size(), 0U) << "the first one is taken back";
    EXPECT_EQ(shown(stage, id)["summary"]["area"], "quarry-lane");
    ASSERT_EQ(correct(other, {"--area", "ferry-road", "--installation", "QL-1", "--cause",
                              "worn-contacts=guessed"})
                  .status,
              0);
    ASSERT_EQ(stage.run({"ledger", "merge", other}).status, 0);
    const Json clashes = shown(stage, id)["summary"]["clashes"];
    ASSERT_EQ(clashes.size(), 2U) << clashes.dump();
    EXPECT_NE(clashes[1].get<std::string>().find("its area is corrected to "), std::string::npos);
    EXPECT_NE(stage.run({"jobs", "show", id}).out.find("CLASH: its area"), std::string::npos);
    for (const char* how : {"worn-contacts=seen", "worn-contacts=guessed"}) {
        ASSERT_EQ(correct(ours, {"--area", "quarry-lane", "--cause", how}).status, 0);
        EXPECT_EQ(shown(stage, id)["summary"]["clashes"].size(), 0U) << how;
    }
}

// Who goes on without --job would write into the other truck's house.
TEST(LedgerCommands, AMergeTellsThatAnotherJobIsMeantNow) {
    Stage stage(small_well());
    const std::string theirs = (stage.room() / "theirs.sqlite").string();
    const std::string opens = std::string(opening_words) + " --now 2026-11-0";
    ASSERT_EQ(stage.type(opens + "1T10:00:00Z").status, 0);
    ASSERT_EQ(stage.type(opens + "2T10:00:00Z --ledger " + theirs).status, 0);
    const std::string later = stage.run({"jobs", "--ledger", theirs}).out.substr(0, 8);
    const Printed merged = stage.run({"ledger", "merge", theirs, "--width", "200"});
    EXPECT_NE(
        merged.out.find("Without --job a command means the job opened last: that is Job " + later),
        std::string::npos)
        << merged.out;
    EXPECT_EQ(stage.run({"ledger", "merge", theirs}).out.find("Without --job"), std::string::npos)
        << "it was so before";
}

// A danger that another truck wrote down must not lie unread in a job that is closed as cured.
TEST(LedgerCommands, WhatComesIntoAClosedJobIsToldOfOnBothSides) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_words).status, 0);
    const std::string id = id_of_first(stage);
    const std::string ours = (stage.room() / "ledger.sqlite").string();
    const std::string other = (stage.room() / "other.sqlite").string();
    ASSERT_EQ(stage.run({"ledger", "backup", other}).status, 0);
    ASSERT_EQ(stage.run({"found", "pressure-swings", "--ledger", other}).status, 0);
    ASSERT_EQ(stage.type("knockwell close --cured" + std::string(all_seen_to)).status, 0);
    const std::string closed = (stage.room() / "closed.sqlite").string();
    ASSERT_EQ(stage.run({"ledger", "backup", closed}).status, 0);

    // Where it is closed already, and where the closing comes in.
    for (const auto& [from, into] : {std::pair(other, ours), std::pair(closed, other)}) {
        const Printed merged = stage.run({"ledger", "merge", from, "--ledger", into});
        EXPECT_TRUE(in_order(merged.out, "CAUTION: closed", "jobs reopen " + id.substr(0, 8)))
            << merged.out;
    }
    const Printed known = stage.run({"ledger", "merge", ours, "--ledger", closed, "--json"});
    EXPECT_EQ(Json::parse(known.out)["closed_unweighed"], Json::array()) << "ours has all of it";
}

TEST(JobsList, TellsTheJobsOfARepairAndTheCallBacks) {
    Stage stage(small_well());
    const std::string at = " --now 2026-11-0";
    ASSERT_EQ(stage.type(std::string(opening_words) + at + "1T10:00:00Z").status, 0);
    const std::string first = id_of_first(stage);
    ASSERT_EQ(stage.type("knockwell did replace-tank" + at + "1T11:00:00Z").status, 0);
    ASSERT_EQ(
        stage.type(std::string(opening_words) + " --call-back-of " + first + at + "2T10:00:00Z")
            .status,
        0);
    const std::string second = id_of_first(stage);
    const auto only = [&](const std::string& filter) {
        const Json list = Json::parse(stage.type("knockwell jobs list --json " + filter).out);
        return list["jobs"].size() == 1 ? list["jobs"][0]["id"].get<std::string>().substr(0, 8)
                                        : list["jobs"].dump();
    };
    EXPECT_EQ(only("--repair replace-tank"), first);
    EXPECT_EQ(only("--call-backs"), second);
    EXPECT_EQ(only("--called-back"), first);
    EXPECT_EQ(only("--repair replace-tank --called-back"), first);
    EXPECT_EQ(only("--until 2026-11-01"), first);
    EXPECT_EQ(only("--since 2026-11-02 --until 2026-11-02"), second);
    EXPECT_NE(stage.type("knockwell jobs list --until 2026-10-31").out.find("up to 2026-10-31"),
              std::string::npos);
    const Printed no_day = stage.type("knockwell jobs list --until 2026-02-30");
    EXPECT_EQ(no_day.status, 2);
    EXPECT_NE(no_day.err.find("there is no such day"), std::string::npos) << no_day.err;
    const Printed slip = stage.type("knockwell jobs list --repair replace-tnak");
    EXPECT_EQ(slip.status, 2);
    EXPECT_NE(slip.err.find("replace-tank"), std::string::npos) << slip.err;
    EXPECT_NE(stage.type("knockwell jobs list").out.find("call-back of " + first),
              std::string::npos);
    EXPECT_NE(
        stage.type("knockwell jobs list --repair replace-tank --call-backs")
            .out.find("No job on which was done 'replace-tank' among the call-backs is kept."),
        std::string::npos);
}

TEST(Corrections, AReopenedJobIsGoneOnWith) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_words).status, 0);
    ASSERT_EQ(stage.type("knockwell close --cured" + std::string(all_seen_to)).status, 0);
    EXPECT_EQ(stage.type("knockwell next").status, 1);
    const std::string id = id_of_first(stage);
    EXPECT_EQ(stage.run({"jobs", "reopen", id, "--note", "it is back"}).status, 0);
    EXPECT_EQ(stage.type("knockwell next").status, 0);
    EXPECT_EQ(stage.type("knockwell found pressure-swings").status, 0);
    EXPECT_EQ(stage.run({"jobs", "reopen", id}).status, 2) << "it is open";
    EXPECT_EQ(stage.type("knockwell close --not-cured" + std::string(all_seen_to)).status, 0);
}

// Guessed first, seen when it came back: one cause, known better, and nothing that clashes.
TEST(Corrections, ACauseConfirmedOnceMoreIsConfirmedOtherwise) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_words).status, 0);
    const std::string id = id_of_first(stage);
    const std::string close = "knockwell close --cured" + std::string(all_seen_to);
    ASSERT_EQ(stage.type(close + " --cause worn-contacts=guessed").status, 0);
    ASSERT_EQ(stage.run({"jobs", "reopen", id}).status, 0);
    ASSERT_EQ(stage
                  .type(close + " --cause worn-contacts=fixed-it --cause worn-contacts=seen"
                                " --cause failed-bladder=guessed")
                  .status,
              0);
    const Json summary = shown(stage, id)["summary"];
    EXPECT_EQ(summary["clashes"].size(), 0U) << summary;
    ASSERT_EQ(summary["causes"].size(), 2U) << summary;
    EXPECT_EQ(summary["causes"][0]["how"], "seen");
    EXPECT_EQ(summary["causes"][1]["how"], "guessed");
}

TEST(Corrections, WhatCannotBeIsRefusedAndNothingIsKept) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_words).status, 0);
    const std::string id = id_of_first(stage);
    const Json before = shown(stage, id);
    for (const std::vector<std::string>& options : std::vector<std::vector<std::string>>{
             {},
             {"--entry", "1"},
             {"--entry", "99", "--take-back"},
             {"--entry", "1", "--take-back", "--value", "yes"},
             {"--entry", "1", "--take-back", "--minutes", "5"},
             {"--entry", "1", "--value", "windmill"},
             {"--cause", "gremlins=seen"},
             {"--cause", "worn-contacts"},
             {"--call-back-of", id},
             {"--no-call-back", "--call-back-of", id},
             {"--area", std::string(300, 'x')},
             {"--area", "quarry-lane", "--entry", "99", "--take-back"}}) {
        std::vector<std::string> command = {"jobs", "correct", id};
        command.insert(command.end(), options.begin(), options.end());
        const Printed refused = stage.run(command);
        EXPECT_EQ(refused.status, 2) << refused.out;
        EXPECT_NE(refused.err, "");
        EXPECT_EQ(shown(stage, id), before);
    }
    EXPECT_EQ(stage.run({"jobs", "correct", id, "--call-back-of", "ffffffff"}).status, 2);
    EXPECT_EQ(stage.run({"jobs", "correct", "ffffffff", "--area", "x"}).status, 1);
}

TEST(LedgerCommands, ExportAndImportRoundTrip) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_words).status, 0);
    ASSERT_EQ(stage.type("knockwell found pressure-swings").status, 0);
    ASSERT_EQ(stage.type("knockwell undo").status, 0);
    const std::string file = (stage.room() / "jobs.jsonl").string();
    EXPECT_EQ(stage.run({"ledger", "export", file}).status, 0);
    const std::string text = taken(file);
    EXPECT_EQ(stage.run({"ledger", "export"}).out, text);
    EXPECT_EQ(stage.run({"ledger", "export", "-"}).out, text);
    EXPECT_FALSE(std::filesystem::exists("-"));
    EXPECT_EQ(stage.run({"ledger", "export", "-", "--csv", "--json"}).status, 2);
    const Printed both = stage.run({"ledger", "export", "--csv", "--json"});
    EXPECT_EQ(both.status, 2) << "rows of a spreadsheet are no JSON";
    EXPECT_EQ(both.out, "");
    EXPECT_EQ(stage.run({"ledger", "export", file}).status, 2) << "it is there already";
    EXPECT_EQ(taken(file), text);
    const std::string other = (stage.room() / "other.sqlite").string();
    const Printed imported = stage.run({"ledger", "import", file, "--ledger", other, "--json"});
    EXPECT_EQ(Json::parse(imported.out)["new_jobs"], 1);
    EXPECT_EQ(stage.run({"ledger", "export", "--ledger", other}).out, text);
    EXPECT_EQ(Json::parse(stage.run({"ledger", "merge", other, "--json"}).out)["same_jobs"], 1);
    EXPECT_EQ(stage.run({"ledger", "verify"}).status, 0);
}

TEST(LedgerCommands, AnExportLeavesAFileCalledPartAlone) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_words).status, 0);
    const std::string file = (stage.room() / "jobs.jsonl").string();
    put(file + ".part", "mine");
    EXPECT_EQ(stage.run({"ledger", "export", file}).status, 0);
    EXPECT_EQ(stage.run({"ledger", "export", file}).status, 2) << "it is there already";
    EXPECT_EQ(taken(file + ".part"), "mine");
}

/// A pipe with a name, through which a text goes once.
class NamedPipe {
public:
    NamedPipe(const std::filesystem::path& path, std::string text)
        : path_(path), text_(std::move(text)), writer_([this] { write(); }) {}
    ~NamedPipe() { done_ = true; }
    NamedPipe(const NamedPipe&) = delete;
    NamedPipe& operator=(const NamedPipe&) = delete;
    NamedPipe(NamedPipe&&) = delete;
    NamedPipe& operator=(NamedPipe&&) = delete;

private:
    using Clock = std::chrono::steady_clock;

    void write() {
        (void)std::signal(SIGPIPE, SIG_IGN);
        std::optional<Clock::time_point> again;
        while (!done_) {
            // Whoever opens it once more would wait for ever; that is to fail and not to hang.
            if (!again) {
                if (told(text_))
                    again = Clock::now() + std::chrono::seconds(10);
            } else if (Clock::now() > *again) {
                (void)told("");
            }
            std::this_thread::sleep_for(std::chrono::milliseconds(1));
        }
    }
    /// Whether there was somebody to hear it.
    [[nodiscard]] bool told(const std::string& text) const {
        // NOLINTNEXTLINE(cppcoreguidelines-pro-type-vararg): there is no other way to open
        const int end = ::open(path_.c_str(), O_WRONLY | O_NONBLOCK | O_CLOEXEC);
        if (end < 0)
            return false;
        EXPECT_EQ(::write(end, text.data(), text.size()), static_cast<ssize_t>(text.size()));
        ::close(end);
        return true;
    }

    std::filesystem::path path_;
    std::string text_;
    std::atomic<bool> done_ = false;
    std::jthread writer_;
};

// What comes through a pipe can be read once only.
TEST(LedgerCommands, JobsComeInThroughANamedPipe) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_words).status, 0);
    const std::string lines = stage.run({"ledger", "export"}).out;
    const std::string pipe = (stage.room() / "pipe").string();
    const std::string other_pipe = (stage.room() / "other-pipe").string();
    ASSERT_EQ(::mkfifo(pipe.c_str(), 0600), 0);
    ASSERT_EQ(::mkfifo(other_pipe.c_str(), 0600), 0);
    const std::string one = (stage.room() / "one.sqlite").string();
    {
        const NamedPipe jobs(pipe, lines);
        const Printed in = stage.run({"ledger", "import", pipe, "--ledger", one});
        EXPECT_EQ(in.status, 0) << in.out << in.err;
    }
    EXPECT_EQ(stage.run({"ledger", "export", "--ledger", one}).out, lines);
    const std::string two = (stage.room() / "two.sqlite").string();
    {
        const NamedPipe sheet(pipe, "No,Date,House\n1,2024-03-07,HB-1\n");
        const NamedPipe map(other_pipe, "outcome = \"cured\"\n[columns]\nNo = \"number\"\nDate = "
                                        "\"opened\"\nHouse = \"installation\"\n");
        const Printed in =
            stage.run({"ledger", "import", pipe, "--map", other_pipe, "--ledger", two});
        EXPECT_EQ(in.status, 0) << in.out << in.err;
    }
    EXPECT_EQ(stage.run({"ledger", "verify", "--ledger", two}).status, 0);
}

/// Takes so many bytes and no more, as a full disk does.
class FullDisk : public std::streambuf {
public:
    explicit FullDisk(std::size_t room) : room_(room) {}

private:
    int_type overflow(int_type c) override {
        return room_ == 0 ? traits_type::eof() : (--room_, traits_type::not_eof(c));
    }
    std::size_t room_;
};

TEST(LedgerCommands, WhatCannotBePrintedToItsEndIsNotDone) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_words).status, 0);
    for (const std::vector<std::string>& command :
         {std::vector<std::string>{"ledger", "export"}, {"--help"}, {"next"}}) {
        FullDisk disk(50);
        std::ostream out(&disk);
        std::ostringstream err;
        stage.here.out = &out;
        stage.here.err = &err;
        EXPECT_EQ(run(command, stage.here), 2) << command.front();
        EXPECT_NE(err.str().find("could not be written"), std::string::npos);
    }
}

// What an older program wrote is neither lost nor kept apart; it is told with its cure, until it is
// cured.
TEST(LedgerCommands, ACodeThatNoJobIsOpenedWithIsTakenInAndTold) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_words).status, 0);
    const std::string id = id_of_first(stage);
    std::string text = stage.run({"ledger", "export"}).out;
    const std::string area = R"("area":"heron-bottom")";
    ASSERT_NE(text.find(area), std::string::npos);
    text.replace(text.find(area), area.size(), R"("area":"heron-bottom ")");
    const std::string file = (stage.room() / "old.jsonl").string();
    const std::string odd = (stage.room() / "odd.sqlite").string();
    const std::string merged = (stage.room() / "merged.sqlite").string();
    put(file, text);
    const Printed imported = stage.run({"ledger", "import", file, "--ledger", odd});
    EXPECT_EQ(imported.status, 0);
    const std::string told =
        "job " + id.substr(0, 8) + ": the area has blanks at its ends; leave them out";
    EXPECT_TRUE(in_order(imported.out, "1 new job", "knockwell jobs correct " + id.substr(0, 8)));
    EXPECT_NE(imported.out.find(told), std::string::npos) << imported.out;
    EXPECT_EQ(stage.run({"ledger", "import", file, "--ledger", odd}).out.find("code"),
              std::string::npos)
        << "it was told when it came in";
    EXPECT_NE(stage.run({"ledger", "merge", odd, "--ledger", merged}).out.find(told),
              std::string::npos);
    EXPECT_EQ(stage.run({"jobs", "correct", id, "--area", "heron-bottom", "--ledger", odd}).status,
              0);
    const Printed cured = stage.run({"ledger", "merge", odd, "--ledger", merged, "--json"});
    EXPECT_EQ(Json::parse(cured.out)["grown_jobs"], 1) << cured.out;
    EXPECT_EQ(Json::parse(cured.out)["odd_codes"], 0) << cured.out;
}

TEST(LedgerCommands, ARoadThatComesInWithOtherCapitalsIsTold) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_words).status, 0);
    std::string text = stage.run({"ledger", "export"}).out;
    const std::string area = R"("area":"heron-bottom")";
    text.replace(text.find(area), area.size(), R"("area":"Heron-Bottom")");
    const std::string id = id_of_first(stage);
    text.replace(text.find(id), 8, id.substr(0, 7) + (id[7] == '0' ? "1" : "0"));
    const std::string file = (stage.room() / "other.jsonl").string();
    put(file, text);
    const Printed imported = stage.run({"ledger", "import", file, "--width", "200"});
    EXPECT_EQ(imported.status, 0) << imported.err;
    EXPECT_NE(imported.out.find("Road Heron-Bottom is spelled heron-bottom in other jobs"),
              std::string::npos)
        << imported.out;
    EXPECT_EQ(stage.run({"ledger", "import", file}).out.find("is spelled"), std::string::npos)
        << "nothing came in";
    const std::string other = id.substr(0, 7) + (id[7] == '0' ? "1" : "0");
    ASSERT_EQ(stage.run({"jobs", "correct", other, "--area", "heron-bottom"}).status, 0);
    const std::string anew = (stage.room() / "anew.sqlite").string();
    EXPECT_EQ(stage
                  .run({"ledger", "merge", (stage.room() / "ledger.sqlite").string(), "--ledger",
                        anew, "--width", "200"})
                  .out.find("is spelled"),
              std::string::npos)
        << "as it was corrected it is spelled like the others";
}

TEST(LedgerCommands, WhatIsRefusedBeginsNoLedger) {
    Stage stage(small_well());
    const std::filesystem::path none = stage.room() / "none.sqlite";
    const std::string file = (stage.room() / "no-jobs.jsonl").string();
    for (const char* text : {"", "root:x:0:0\n"}) {
        put(file, text);
        EXPECT_EQ(stage.run({"ledger", "import", file, "--ledger", none.string()}).status, 1);
        EXPECT_FALSE(std::filesystem::exists(none)) << text;
    }
    EXPECT_EQ(
        stage
            .type(std::string(opening_words) + " --call-back-of 12345678 --ledger " + none.string())
            .status,
        1);
    EXPECT_FALSE(std::filesystem::exists(none));
    // Each is a name that is known, with what an entry cannot hold.
    for (const std::string& wrong : {std::string("--says plugged-switch-port"),
                                     "--says 'no-water=yes" + std::string(5000, ' ') + "'",
                                     "--note '" + std::string(5000, 'x') + "'"}) {
        const Printed opened =
            stage.type("knockwell open --area heron-bottom --installation HB-17 " + wrong +
                       " --ledger " + none.string());
        EXPECT_EQ(opened.status, 2) << wrong.substr(0, 80);
        EXPECT_FALSE(std::filesystem::exists(none)) << wrong.substr(0, 80) << opened.err;
        std::filesystem::remove(none);
    }
}

// What is wrong is seen only when all of it was read.
TEST(LedgerCommands, AnIntakeThatIsRefusedBeginsNoLedger) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_words).status, 0);
    const std::string none = (stage.room() / "none.sqlite").string();
    const std::string lines = stage.run({"ledger", "export"}).out;
    const std::string file = (stage.room() / "jobs.jsonl").string();
    put(file, lines + "{}\n");
    Printed refused = stage.run({"ledger", "import", file, "--ledger", none});
    EXPECT_EQ(refused.status, 1);
    EXPECT_EQ(refused.err.find("a new ledger begins"), std::string::npos) << refused.err;
    put(stage.room() / "map.toml",
        "outcome = \"cured\"\n[columns]\nNo = \"number\"\nDate = \"opened\"\nHouse = "
        "\"installation\"\n");
    put(stage.room() / "jobs.csv", "No,Date,House\n1,never,HB-1\n");
    refused = stage.run({"ledger", "import", (stage.room() / "jobs.csv").string(), "--map",
                         (stage.room() / "map.toml").string(), "--ledger", none});
    EXPECT_EQ(refused.status, 1) << refused.err;
    refused = stage.run({"ledger", "merge", file, "--ledger", none});
    EXPECT_EQ(refused.status, 2) << refused.err;
    for (const auto& entry : std::filesystem::directory_iterator(stage.room()))
        EXPECT_FALSE(entry.path().string().starts_with(none)) << entry.path();
    put(file, lines);
    const Printed in = stage.run({"ledger", "import", file, "--ledger", none});
    EXPECT_EQ(in.status, 0) << in.err;
    EXPECT_EQ(in.err, "knockwell: a new ledger begins in " + none + "\n");
    EXPECT_EQ(stage.run({"ledger", "export", "--ledger", none}).out, lines);
}

TEST(LedgerCommands, EveryLineThatIsWrongIsToldAndNothingIsKept) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_words).status, 0);
    const std::string before = stage.run({"ledger", "export"}).out;
    const auto file = stage.room() / "jobs.jsonl";
    std::string text = before;
    text.replace(text.find("\"jobs\":1"), 8, "\"jobs\":3");
    put(file, text + "no job\n{}\n");
    const Printed refused = stage.run({"ledger", "import", file.string(), "--width", "200"});
    EXPECT_EQ(refused.status, 1);
    EXPECT_TRUE(in_order(refused.out, ":3: refused: it is no JSON",
                         ":4: refused: the job: job is missing"));
    EXPECT_NE(refused.out.find("Nothing is imported: 2 lines are refused."), std::string::npos)
        << refused.out;
    put(file, text);
    EXPECT_NE(stage.run({"ledger", "import", file.string(), "--width", "200"})
                  .out.find("it ends after 1 jobs, and 3 are promised"),
              std::string::npos);
    put(file, "");
    EXPECT_EQ(stage.run({"ledger", "import", file.string()}).status, 1);
    put(file, "a,b,c\n");
    EXPECT_NE(stage.run({"ledger", "import", file.string(), "--width", "200"}).out.find("--map"),
              std::string::npos);
    EXPECT_EQ(stage.run({"ledger", "import", (stage.room() / "none").string()}).status, 2);
    EXPECT_EQ(stage.run({"ledger", "import", stage.room().string()}).status, 2);
    EXPECT_EQ(stage.run({"ledger", "export"}).out, before);
}

TEST(LedgerCommands, ASheetIsImportedWholeOrNotAtAll) {
    Stage stage(small_well());
    const auto sheet = stage.room() / "jobs.csv";
    const auto map = stage.room() / "map.toml";
    const std::vector<std::string> command = {"ledger",     "import",  sheet.string(), "--map",
                                              map.string(), "--width", "200"};
    put(map, "outcome = \"cured\"\n[columns]\nNo = \"number\"\nDate = \"opened\"\nHouse = "
             "\"installation\"\nFault = \"cause\"\n");
    put(sheet, "No,Date,House,Fault\n1,2024-03-07,HB-1,worn-contacts\n2,soon,HB-2,\n");
    const Printed refused = stage.run(command);
    EXPECT_EQ(refused.status, 1);
    EXPECT_NE(refused.out.find(
                  "jobs.csv:3: refused: column 'Date': 'soon' is no date as the mapping has it"),
              std::string::npos)
        << refused.out;
    std::string many = "No,Date,House,Fault\n";
    for (int row = 0; row < 60; ++row)
        many += std::to_string(row) + ",soon,,worn-contacts\n";
    put(sheet, many);
    const Printed cut = stage.run(command);
    EXPECT_TRUE(in_order(cut.out, "jobs.csv:51: refused: column 'House': the installation is empty",
                         "And for 20 reasons more (--json has them all)."))
        << cut.out;
    EXPECT_EQ(cut.out.find("jobs.csv:52:"), std::string::npos) << cut.out;
    EXPECT_NE(cut.out.find("Nothing is imported: 60 lines are refused."), std::string::npos);
    EXPECT_FALSE(std::filesystem::exists(stage.room() / "ledger.sqlite"));
    put(sheet, "No,Date,House,Fault\n1,2024-03-07,HB-1,worn-contacts\n2,2024-03-08,HB-2,\n");
    EXPECT_EQ(stage.run(command).status, 0);
    EXPECT_EQ(Json::parse(stage.run({"jobs", "--json"}).out)["jobs"].size(), 2U);
    put(map, "[columns]\nNo = \"color\"\n");
    const Printed wrong = stage.run(command);
    EXPECT_EQ(wrong.status, 2);
    EXPECT_NE(wrong.err.find("map.toml:2:6: error: 'color' is none of these"), std::string::npos)
        << wrong.err;
}

TEST(LedgerCommands, ACallBackThatComesInIsOfAnEarlierJobOfTheSameHouse) {
    Stage stage(small_well());
    const auto sheet = stage.room() / "jobs.csv";
    const auto map = stage.room() / "map.toml";
    put(map, "outcome = \"cured\"\n[columns]\nNo = \"number\"\nDate = \"opened\"\nRoad = "
             "\"area\"\nHouse = \"installation\"\nAgain = \"call-back-of\"\n");
    const auto take = [&](const std::string& rows) {
        put(sheet, "No,Date,Road,House,Again\n" + rows);
        return stage.run(
            {"ledger", "import", sheet.string(), "--map", map.string(), "--width", "200"});
    };
    const std::string first = "1,2024-03-07,a,HB-1,\n";
    const Printed refused = take("2,2024-03-08,a,HB-2,1\n3,2024-03-06,a,HB-1,1\n" + first +
                                 "4,2024-03-08,b,HB-1,1\n5,2024-03-08,a,HB-1,99\n");
    EXPECT_EQ(refused.status, 1) << refused.out << refused.err;
    EXPECT_TRUE(in_order(refused.out,
                         ":2: refused: it is called a call-back of a job, but that job "
                         "was at HB-1 and this one is at HB-2",
                         ":3: refused: it is called a call-back of a job, but that job was opened "
                         "later, 2024-03-07"));
    EXPECT_TRUE(in_order(refused.out,
                         ":5: refused: it is called a call-back of a job, but that job "
                         "was at a HB-1 and this one is at b HB-1",
                         ":6: refused: the job that it is called a call-back of is neither in here "
                         "nor in the ledger"));
    EXPECT_NE(refused.out.find("Nothing is imported: 4 lines are"), std::string::npos);
    EXPECT_EQ(take("2,soon,a,HB-1,\n3,2024-03-08,a,HB-1,2\n").out.find(":3: refused"),
              std::string::npos)
        << "it is missing for that";
    const Printed both = take("2,2024-03-08,a,HB-1,99\n3,soon,a,HB-1,\n");
    EXPECT_TRUE(
        in_order(both.out, ":2: refused: the job that it is called a call-back of is", ":3: "))
        << both.out;
    EXPECT_NE(
        take("2,2024-03-08,a,HB-1,99\n3,2024-03-08,a\n").out.find("Nothing is imported: 1 line"),
        std::string::npos)
        << "the number of a row whose cells are not all there may be 99";
    ASSERT_EQ(take("2,2024-03-08,A,HB-1,1\n" + first).status, 0) << "the earlier one comes later";
    ASSERT_EQ(take("3,2024-03-09,a,HB-1,1\n").status, 0) << "it is in the ledger";

    std::string text = stage.run({"ledger", "export"}).out;
    text.replace(text.find("\"HB-1\""), 6, "\"HB-9\"");
    const std::string file = (stage.room() / "jobs.jsonl").string();
    const std::string fresh = (stage.room() / "fresh.sqlite").string();
    put(file, text);
    const Printed line = stage.run({"ledger", "import", file, "--ledger", fresh, "--width", "200"});
    EXPECT_EQ(line.status, 1);
    EXPECT_TRUE(in_order(line.out, ":3: refused: it is called a call-back", ":4: refused: "))
        << line.out;
    EXPECT_FALSE(std::filesystem::exists(fresh));
}

TEST(LedgerCommands, ASpreadsheetTakesNoFormulaFromUs) {
    Stage stage(small_well());
    ASSERT_EQ(stage.run({"open", "--area", "=cmd()", "--installation", "a,\"b\" +1"}).status, 0);
    const Printed csv = stage.run({"ledger", "export", "--csv"});
    EXPECT_NE(csv.out.find(",'=cmd(),"), std::string::npos) << csv.out;
    EXPECT_EQ(std::count(csv.out.begin(), csv.out.end(), '\n'), 2);
}

TEST(LedgerCommands, ASpreadsheetHasReadingsAsFoundAndAsLeft) {
    Stage stage(small_well());
    ASSERT_NO_FATAL_FAILURE(work_a_job(stage));
    const Printed csv = stage.run({"ledger", "export", "--csv"});
    EXPECT_NE(csv.out.find("settings,as-found,as-left,knowledge\n"), std::string::npos) << csv.out;
    EXPECT_NE(
        csv.out.find("pump=submersible,system-pressure=21psi,system-pressure=58psi; amps=8 A; "
                     "cut-in=40 psi; cut-out=60 psi; leak-down=0 psi; precharge=38 psi,"),
        std::string::npos)
        << csv.out;
}

TEST(LedgerCommands, ABackupIsALedger) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_words).status, 0);
    const std::string copy = (stage.room() / "copy.sqlite").string();
    EXPECT_EQ(stage.run({"ledger", "backup", copy}).status, 0);
    EXPECT_EQ(stage.run({"ledger", "export", "--ledger", copy}).out,
              stage.run({"ledger", "export"}).out);
    EXPECT_EQ(stage.run({"ledger", "backup", copy}).status, 2);
    EXPECT_EQ(stage.run({"ledger", "verify", "--ledger", (stage.room() / "none").string()}).status,
              1);
}

TEST(LedgerCommands, ABarIsDrawnOnATerminalOnlyAndGoesAway) {
    Stage stage(small_well());
    ASSERT_EQ(stage.type(opening_words).status, 0);
    EXPECT_EQ(stage.run({"ledger", "verify"}).err, "");
    stage.here.bar = true;
    const Printed verified = stage.run({"ledger", "verify"});
    EXPECT_NE(verified.err.find("verifying  [####################] 100 %"), std::string::npos);
    EXPECT_TRUE(verified.err.ends_with(" \r"));
}

}  // namespace
}  // namespace knockwell
