#include "cli/command_line.hpp"
#include "cli/support.hpp"
#include "trade/calc.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

using Line = std::vector<std::string>;

std::vector<Line> every_command() {
    std::vector<Line> all = {{"ask"},          {"open"},
                             {"found"},        {"next"},
                             {"reasons"},      {"did"},
                             {"undo"},         {"close"},
                             {"jobs"},         {"jobs", "list"},
                             {"jobs", "show"}, {"kb"},
                             {"kb", "check"},  {"kb", "show"},
                             {"kb", "graph"},  {"kb", "practice"},
                             {"calc"},         {}};
    for (const Computation& it : computations())
        all.push_back({"calc", it.name});
    return all;
}

std::string help_of(Line command) {
    command.emplace_back("--help");
    const auto parsed = parse_command_line(command);
    const auto* help = std::get_if<Help>(&parsed);
    return help == nullptr ? "" : help->text;
}

/// Lines under "Example:", those that end in a backslash joined; what a pipe feeds is not ours.
std::vector<std::string> examples_in(const std::string& help) {
    std::vector<std::string> examples;
    bool goes_on = false;
    const std::size_t start = help.find("Example:\n");
    if (start == std::string::npos)
        return examples;
    for (const std::string& line : lines_of(help.substr(start + 9))) {
        if (line.empty())
            continue;
        if (goes_on) {
            examples.back() += "\n" + line;
        } else {
            examples.push_back(line.substr(0, line.find(" |")));
        }
        goes_on = line.ends_with('\\');
    }
    return examples;
}

Line arguments_of(const std::string& example) {
    Line words = shell_words(example);
    EXPECT_EQ(words.at(0), "knockwell");
    words.erase(words.begin());
    return words;
}

template <class Wanted>
Wanted parsed_as(const Line& line) {
    const auto parsed = parse_command_line(line);
    if (const auto* good = std::get_if<Parsed>(&parsed))
        if (const auto* command = std::get_if<Wanted>(&good->command))
            return *command;
    ADD_FAILURE() << "not understood, or as another command: " << line.front();
    return {};
}

TEST(CommandLine, HelpHasAnExampleThatParses) {
    for (const Line& command : every_command()) {
        const std::string help = help_of(command);
        SCOPED_TRACE(help);
        const auto examples = examples_in(help);
        ASSERT_FALSE(examples.empty());
        for (const std::string& example : examples) {
            const Line words = arguments_of(example);
            const auto parsed = parse_command_line(words);
            EXPECT_FALSE(std::holds_alternative<BadUsage>(parsed)) << example;
            for (std::size_t i = 0; i < command.size(); ++i)
                EXPECT_EQ(words.at(i), command[i]) << "the example is of another command";
        }
    }
}

TEST(CommandLine, HelpFitsEightyColumns) {
    for (const Line& command : every_command())
        EXPECT_LE(widest_line(help_of(command)), 80U) << help_of(command);
}

TEST(CommandLine, AnOptionTakesOneValueAndNoMore) {
    const auto ask = parsed_as<AskCommand>({"ask", "--says", "a", "--says", "b=c", "--says=d"});
    EXPECT_EQ(ask.told.says, (Line{"a", "b=c", "d"}));
    EXPECT_TRUE(std::holds_alternative<BadUsage>(parse_command_line({"ask", "--says", "a", "b"})));
    const auto found =
        parsed_as<FoundCommand>({"found", "--says", "a", "b", "c=1@d", "--found", "e"});
    EXPECT_EQ(found.told.says, (Line{"a"}));
    EXPECT_EQ(found.told.found, (Line{"e", "b", "c=1@d"}));
}

TEST(CommandLine, EveryOptionArrives) {
    const auto ask = parsed_as<AskCommand>(
        {"ask",        "--set",   "s=1",    "--who",     "qualified", "--licence", "electrician",
         "--on-site",  "--at",    "tank",   "--at",      "panel",     "--power",   "off",
         "--pressure", "zero",    "--tank", "drained",   "--cannot",  "x",         "--not-sure",
         "y",          "--lacks", "meter",  "--carries", "pipe",      "--most",    "7"});
    EXPECT_EQ(ask.told.set, (Line{"s=1"}));
    EXPECT_EQ(ask.told.who, "qualified");
    EXPECT_EQ(ask.told.licences, (Line{"electrician"}));
    EXPECT_TRUE(ask.told.on_site);
    EXPECT_EQ(ask.told.at, (Line{"tank", "panel"}));
    EXPECT_EQ(ask.told.power, "off");
    EXPECT_EQ(ask.told.pressure, "zero");
    EXPECT_EQ(ask.told.tank, "drained");
    EXPECT_EQ(ask.told.cannot, (Line{"x"}));
    EXPECT_EQ(ask.told.not_sure, (Line{"y"}));
    EXPECT_EQ(ask.told.lacks, (Line{"meter"}));
    EXPECT_EQ(ask.told.carries, (Line{"pipe"}));
    EXPECT_EQ(ask.most, 7U);
    const auto did =
        parsed_as<DidCommand>({"did", "r", "--minutes", "12.5", "--note", "n", "--job", "j"});
    EXPECT_EQ(did.what, "r");
    EXPECT_EQ(did.minutes, 12.5);
    EXPECT_EQ(did.note, "n");
    EXPECT_EQ(did.job, "j");
    EXPECT_EQ(parsed_as<UndoCommand>({"undo", "4"}).number, 4U);
    EXPECT_EQ(parsed_as<UndoCommand>({"undo"}).number, 0U);
    const auto close =
        parsed_as<CloseCommand>({"close", "--not-cured", "--cause", "a=seen", "--despite", "told"});
    EXPECT_EQ(close.outcome, "not-cured");
    EXPECT_EQ(close.despite, "told");
    EXPECT_EQ(close.causes, (Line{"a=seen"}));
    const auto calc = parsed_as<CalcCommand>({"calc", "drawdown", "--tank", "20gal", "--precharge",
                                              "38", "--cut-in", "40", "--cut-out", "60"});
    EXPECT_EQ(calc.inputs.at("tank"), "20gal");
    EXPECT_EQ(calc.inputs.count("atmosphere"), 0U) << "what was not said must not arrive";
}

TEST(CommandLine, CommonOptionsWorkOnEveryCommand) {
    for (const Line& command : every_command()) {
        if (command.empty() || command == Line{"kb"})
            continue;
        Line line = command;
        if (command.front() == "open")
            line.insert(line.end(), {"--area", "a", "--installation", "i"});
        if (command.front() == "did")
            line.emplace_back("repair");
        if (command.front() == "close")
            line.emplace_back("--cured");
        if (command.front() == "calc" && command.size() > 1)
            line = arguments_of(examples_in(help_of(command)).front());
        line.insert(line.end(), {"--json", "--width", "72", "--kb", "somewhere"});
        const auto parsed = parse_command_line(line);
        ASSERT_TRUE(std::holds_alternative<Parsed>(parsed)) << command.back();
        EXPECT_TRUE(std::get<Parsed>(parsed).common.json);
        EXPECT_EQ(std::get<Parsed>(parsed).common.width, 72U);
        EXPECT_EQ(std::get<Parsed>(parsed).common.kb, "somewhere");
    }
}

TEST(CommandLine, WhatIsMissingOrDoubleIsBadUsage) {
    for (const Line& line :
         {Line{}, Line{"kb"}, Line{"open"}, Line{"did"}, Line{"close", "--cured", "--handed-over"},
          Line{"ask", "--width", "39"}, Line{"ask", "--width", "ten"}, Line{"undo", "0"},
          Line{"undo", "-1"}, Line{"did", "r", "--minutes", "-3"}, Line{"jobs", "lst"},
          Line{"ask", "--most", "0"}, Line{"ask", "--says"}})
        EXPECT_TRUE(std::holds_alternative<BadUsage>(parse_command_line(line)))
            << testing::PrintToString(line);
}

// A script's variable that was never set must not mean the usual ledger, or the open job.
TEST(CommandLine, AnEmptyWordIsToldByItsOption) {
    const Line opening = {"open", "--area", "a", "--installation", "i"};
    const auto with = [](Line line, const Line& more) {
        line.insert(line.end(), more.begin(), more.end());
        return line;
    };
    const std::vector<std::pair<Line, std::string>> cases = {
        {with(opening, {"--call-back-of", ""}), "--call-back-of"},
        {with(opening, {"--ledger", ""}), "--ledger"},
        {with(opening, {"--says", "no-water", "--says", ""}), "--says"},
        {{"jobs", "correct", "4f1c", "--area", ""}, "--area"},
        {{"jobs", "correct", "4f1c", "--area=", "--note", "x"}, "--area"},
        {{"jobs", "--ledger", "", "list"}, "--ledger"},
        {{"jobs", "list", "--installation", ""}, "--installation"},
        {{"jobs", "show", ""}, "ID"},
        {{"visit", "--area", "", "--installation", "i"}, "--area"}};
    for (const auto& [line, option] : cases) {
        const auto parsed = parse_command_line(line);
        const auto* bad = std::get_if<BadUsage>(&parsed);
        ASSERT_NE(bad, nullptr) << testing::PrintToString(line);
        EXPECT_EQ(bad->text,
                  "knockwell: " + option + ": it is empty; say what it is, or leave it out\n");
    }
}

TEST(CommandLine, ANearMissGetsTheNearest) {
    const auto parsed = parse_command_line({"ask", "--fuond=x"});
    ASSERT_TRUE(std::holds_alternative<BadUsage>(parsed));
    EXPECT_NE(std::get<BadUsage>(parsed).text.find("nearest: --found\n"), std::string::npos);
}

TEST(CommandLine, AnOptionBeforeItsCommandIsSentBehindIt) {
    const auto parsed = parse_command_line({"--width", "60", "ask"});
    ASSERT_TRUE(std::holds_alternative<BadUsage>(parsed));
    EXPECT_EQ(std::get<BadUsage>(parsed).text.find("nearest"), std::string::npos);
    EXPECT_NE(std::get<BadUsage>(parsed).text.find(
                  "'--width' goes behind the command: knockwell ask --width\n"),
              std::string::npos)
        << std::get<BadUsage>(parsed).text;
}

}  // namespace
}  // namespace knockwell
