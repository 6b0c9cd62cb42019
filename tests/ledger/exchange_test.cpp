// What is exported and taken in again is the same to the byte; what is no job is told.
#include "job/time_text.hpp"
#include "ledger/exchange.hpp"
#include "ledger/histories.hpp"
#include "support/cases.hpp"

#include <gtest/gtest.h>

#include <sstream>

namespace knockwell {
namespace {

/// Takes every line in; what was refused.
std::vector<std::string> take_in_lines(Ledger& ledger, const std::string& text) {
    std::istringstream lines(text);
    std::string line;
    std::getline(lines, line);
    std::vector<std::string> refused;
    const auto head = from_exchange_head(line);
    if (const auto* none = std::get_if<NoJobLine>(&head))
        return {none->says};
    Intake intake;
    intake.next = [&]() -> std::optional<KeptJob> {
        while (std::getline(lines, line)) {
            auto job = from_line(line);
            if (auto* kept = std::get_if<KeptJob>(&job))
                return std::move(*kept);
            refused.push_back(std::get<NoJobLine>(job).says);
        }
        return std::nullopt;
    };
    intake.refuse = [&](std::size_t, const std::string& why) { refused.push_back(why); };
    intake.keep = [&] { return refused.empty(); };
    (void)ledger.take_in(intake);
    return refused;
}

TEST(Exchange, ExportAndImportRoundTripByteForByte) {
    for (std::uint64_t seed = 1; seed <= cases(100); ++seed) {
        SCOPED_TRACE("seed " + std::to_string(seed));
        Fleet fleet(seed, 3);
        for (std::size_t i = 0; i < 40; ++i)
            fleet.step();
        const std::string text = exported(fleet.ledger(0));
        Ledger again(":memory:");
        EXPECT_TRUE(take_in_lines(again, text).empty());
        again.verify();
        ASSERT_EQ(exported(again), text);
        EXPECT_TRUE(take_in_lines(again, text).empty()) << "twice is once";
        ASSERT_EQ(exported(again), text);
        // Taking lines in is merging.
        EXPECT_TRUE(take_in_lines(again, exported(fleet.ledger(1))).empty());
        Ledger merged(fleet.fresh());
        (void)merged.merge(fleet.file(1));
        (void)merged.merge(fleet.file(0));
        ASSERT_EQ(exported(again), exported(merged));
    }
}

TEST(Exchange, EveryByteOfATextComesBack) {
    Job job = job_numbered(1, {});
    for (int byte = 1; byte < 256; ++byte)
        job.events.push_back(note(std::string(1, static_cast<char>(byte))));
    job.events.push_back(note("\xed\xa0\x80 half a surrogate"));
    job.events.push_back(note("äöü \" \\ \n \t \x7f \u202e"));
    job.area = "\xff";
    job.opened = first_written;
    for (std::size_t i = 0; i < job.events.size(); ++i) {
        job.events[i].number = static_cast<std::uint32_t>(i + 1);
        job.events[i].minutes = 0.1 * static_cast<double>(i);
    }
    Ledger one(":memory:");
    one.begin(job);
    Ledger two(":memory:");
    EXPECT_EQ(take_in_lines(two, exported(one)), std::vector<std::string>{});
    EXPECT_EQ(found(two, job.id), job);
    EXPECT_EQ(exported(two), exported(one));
}

constexpr const char* good =
    R"({"job":"3b241101-e2bb-4255-8caf-4136c566a962","area":"a","installation":"b","knowledge":"c","opened":"2026-11-25T00:00:00Z","entries":[{"at":"2026-11-25T00:01:00Z","kind":"said","what":"no-water","value":"yes"},{"at":"2026-11-25T00:00:30Z","kind":"note","value":"x","minutes":2.5,"moment":"2026-11-25T00:01:00Z","tick":1}]})";

std::string with(const std::string& part, const std::string& instead) {
    std::string line = good;
    const std::size_t at = line.find(part);
    if (at == std::string::npos)
        return "no '" + part + "' in it";
    return line.replace(at, part.size(), instead);
}

std::string why_not(const std::string& line) {
    const auto job = from_line(line);
    const auto* none = std::get_if<NoJobLine>(&job);
    return none == nullptr ? "" : none->says;
}

TEST(Exchange, ALineIsWrittenInOneWay) {
    const auto job = from_line(good);
    ASSERT_TRUE(std::holds_alternative<KeptJob>(job));
    EXPECT_EQ(to_line(std::get<KeptJob>(job)), good);
}

TEST(Exchange, WhatIsNoJobIsRefusedWithTheReason) {
    EXPECT_EQ(why_not(good), "");
    EXPECT_EQ(why_not(""), "it is no JSON from its byte 1 on");
    EXPECT_EQ(why_not("{"), "it is no JSON from its byte 2 on");
    EXPECT_EQ(why_not(R"({"minutes":1e999})"),
              "it holds a number larger than any that can be kept");
    EXPECT_EQ(why_not("[]"), "the job is no object");
    EXPECT_EQ(why_not(std::string(100000, '[')), "it is no JSON from its byte 100001 on");
    EXPECT_EQ(why_not(with("\"area\":\"a\",", "")), "the job: area is missing");
    EXPECT_EQ(why_not(with("\"area\":\"a\"", "\"area\":7")), "the job: area is no text");
    EXPECT_EQ(why_not(with("\"area\":\"a\"", "\"area\":\"a\",\"color\":\"red\"")),
              "the job has the field 'color', which is not known here");
    EXPECT_EQ(why_not(with("\"area\":\"a\"", "\"area\":\"b\",\"area\":\"a\"")),
              "the field 'area' is written twice");
    EXPECT_EQ(why_not(with("\"value\":\"x\"", "\"value\":\"y\",\"value\":\"x\"")),
              "the field 'value' is written twice");
    EXPECT_EQ(why_not(with("\"area\":\"a\"", "\"area-hex\":7")), "the job: area-hex is no text");
    std::string no_list = good;
    no_list.replace(no_list.find('['), std::string::npos, "{}}");
    EXPECT_EQ(why_not(no_list), "the job: entries is no list");
    EXPECT_EQ(why_not(with("3b241101", "xxxxxxxx")),
              "its identifier is none; export writes one like "
              "3b241101-e2bb-4255-8caf-4136c566a962");
    EXPECT_EQ(why_not(with("3b241101", "3B241101")),
              "its identifier has capitals; write it in small letters, as export does");
    EXPECT_EQ(why_not(with("2026-11-25T00:00:00Z", "yesterday")),
              "the job: opened is written 2026-11-25T13:14:45Z");
    EXPECT_EQ(why_not(with("2026-11-25T00:00:00Z", "2026-11-25T01:00:00+01:00")),
              "the job: opened is written 2026-11-25T13:14:45Z");
    EXPECT_EQ(why_not(with("\"said\"", "\"hearsay\"")), "entry 1: its kind is unknown");
    EXPECT_EQ(why_not(with("\"said\"", "\"undo\"")),
              "entry 1: a correction names an entry by its stamp");
    EXPECT_EQ(
        why_not(with("\"kind\":\"note\"", "\"kind\":\"undo\",\"what\":\"1795564860.0.00000000\"")),
        "a correction names an entry that is missing");
    EXPECT_EQ(why_not(with("2026-11-25T00:00:00Z", "9999-11-25T00:00:00Z")),
              "opened lies outside of the years 1950 to 2199");
    EXPECT_EQ(why_not(with("\"what\":\"no-water\",", "")),
              "entry 1: said: what it is about is missing");
    const auto second = [&](const std::string& says) {
        return why_not(with(R"("kind":"note","value":"x")", says));
    };
    EXPECT_EQ(second(R"("kind":"closed","value":"gone")"),
              "entry 2: closed: 'gone' is none of these: cured, not-cured or handed-over");
    EXPECT_EQ(second(R"("kind":"cause","what":"c","value":"sure")"),
              "entry 2: cause: 'sure' is none of these: seen, fixed-it or guessed");
    EXPECT_EQ(second(R"("kind":"about","what":"call-back-of","value":"17")"),
              "entry 2: about: '17' is no identifier of a job");
    EXPECT_EQ(second(R"("kind":"state","what":"power","value":"of")"),
              "entry 2: state: power: 'of' is none of these: off or on");
    EXPECT_EQ(why_not(with("2.5", "-1")), "entry 2: minutes go from 0 to 100000");
    EXPECT_EQ(why_not(with("2.5", "1e300")), "entry 2: minutes go from 0 to 100000");
    EXPECT_EQ(why_not(with("\"tick\":1", "\"tick\":1.5")), "entry 2: the tick is no count");
    EXPECT_EQ(why_not(with("\"tick\":1", "\"tick\":-1")), "entry 2: the tick is no count");
    EXPECT_EQ(why_not(with(",\"tick\":1", "")), "entry 2: it is not behind the one before it");
    EXPECT_EQ(why_not(with("00:01:00Z\",\"tick\"", "00:00:20Z\",\"tick\"")),
              "entry 2: its moment is before its time");
    EXPECT_EQ(why_not(with("\"x\"", "\"\\u0000\"")), "entry 2: value has a zero byte in it");
    EXPECT_EQ(why_not(with("\"x\"", "\"" + std::string(4001, 'x') + "\"")),
              "entry 2: value is longer than 4000 bytes");
    EXPECT_EQ(why_not(with("\"value\":\"x\"", "\"value-hex\":\"41\"")),
              "entry 2: value-hex is UTF-8 and wants to be value");
    EXPECT_EQ(why_not(with("\"value\":\"x\"", "\"value-hex\":\"fg\"")),
              "a hexadecimal digit is 0 to 9 or a to f");
}

TEST(Exchange, TheFirstLineSaysWhatItIs) {
    const auto against = [](const std::string& line) -> std::string {
        const auto head = from_exchange_head(line);
        const auto* none = std::get_if<NoJobLine>(&head);
        return none == nullptr ? "" : none->says;
    };
    EXPECT_EQ(std::get<std::size_t>(from_exchange_head(exchange_head(12))), 12U);
    for (const char* line : {"", "{\"format\":7}", "[]", "7", "{}"})
        EXPECT_EQ(against(line), "the first line is not {\"format\":\"knockwell-jobs\",...}");
    EXPECT_EQ(against("{\"format\":\"knockwell-jobs\",\"version\":2}"),
              "it is of another version than 1");
    EXPECT_EQ(against("{\"format\":\"knockwell-jobs\"}"), "it is of another version than 1");
    EXPECT_EQ(against("{\"format\":\"knockwell-jobs\",\"version\":1,\"jobs\":-1}"),
              "the first line does not say how many jobs there are");
}

TEST(Exchange, NothingIsKeptWhereOneLineIsRefused) {
    Ledger ledger(":memory:");
    ledger.begin(job_numbered(7, {}));
    const std::string before = exported(ledger);
    const std::string text =
        exchange_head(1) + "\n" + good + "\n" + "not a job\n" + with("3b241101", "4b241101") + "\n";
    EXPECT_EQ(take_in_lines(ledger, text),
              std::vector<std::string>{"it is no JSON from its byte 2 on"});
    EXPECT_EQ(exported(ledger), before);
}

// Damaged lines never get in as something else, and never end the program.
TEST(Exchange, DamagedLinesAreRefusedOrHarmless) {
    std::mt19937 engine(11);
    std::size_t refused = 0;
    for (std::uint64_t round = 0; round < cases(20000); ++round) {
        std::string line = good;
        for (std::size_t flips = 1 + engine() % 3; flips > 0; --flips)
            line[engine() % line.size()] = static_cast<char>(engine() % 256);
        const auto job = from_line(line);
        if (std::holds_alternative<NoJobLine>(job)) {
            ++refused;
            continue;
        }
        Ledger ledger(":memory:");
        EXPECT_EQ(take_in_lines(ledger, exchange_head(1) + "\n" + line),
                  std::vector<std::string>{});
        ledger.verify();
    }
    EXPECT_GT(refused, cases(20000) / 2);
}

}  // namespace
}  // namespace knockwell
