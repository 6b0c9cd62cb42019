// A shop's spreadsheet becomes jobs: whole rows, or the line and the reason.
#include "beliefs/small_well.hpp"
#include "job/summary.hpp"
#include "ledger/scratch.hpp"
#include "ledger/spreadsheet.hpp"

#include <gtest/gtest.h>

#include <sstream>

namespace knockwell {
namespace {

constexpr const char* mapping = R"(
separator = ";"
dates     = "month/day/year"
how-sure  = "guessed"
outcome   = "cured"

[columns]
"No."       = "number"
"Date"      = "opened"
"Road"      = "area"
"House"     = "installation"
"Pump"      = "set pump"
"Complaint" = "said"
"Gauge"     = "found system-pressure"
"Done"      = "did"
"Minutes"   = "minutes"
"Fault"     = "cause"
"Again"     = "call-back-of"
"Remarks"   = "note"

[values.Complaint]
"comes and goes" = "comes-back"
"new customer"   = ""
[values.Fault]
"nipple plugged" = "plugged-port"
)";

constexpr const char* heading =
    "No.;Date;Road;House;Pump;Complaint;Gauge;Done;Minutes;Fault;Again;Remarks\n";

SheetMap map_of(const std::string& text) {
    auto map = read_sheet_map({"columns.toml", text});
    if (const auto* problems = std::get_if<std::vector<Problem>>(&map)) {
        for (const Problem& problem : *problems)
            ADD_FAILURE() << problem.says;
        return {};
    }
    return std::get<SheetMap>(std::move(map));
}

struct Sheet {
    std::vector<KeptJob> jobs;
    std::vector<RefusedRow> refused;
    std::string wrong;
};

Sheet read(const std::string& csv, const std::string& map_text = mapping) {
    const SheetMap map = map_of(map_text);
    std::istringstream in(csv);
    static const Knowledge known = small_well::knowledge();
    SheetReader reader(in, map, known, 1795000000);  // in November 2026
    Sheet sheet;
    sheet.wrong = reader.wrong();
    if (!sheet.wrong.empty())
        return sheet;
    while (auto row = reader.next()) {
        if (auto* job = std::get_if<KeptJob>(&*row))
            sheet.jobs.push_back(std::move(*job));
        else
            for (RefusedRow& one : std::get<1>(*row))
                sheet.refused.push_back(std::move(one));
    }
    return sheet;
}

TEST(Spreadsheet, ARowIsAClosedJob) {
    const Sheet sheet =
        read(std::string(heading) + "17;3/7/2024;heron-bottom;HB-17;submersible;comes and goes;12 "
                                    "psi;clear-port;25;nipple plugged;;\"dog; ring first\"\n"
                                    "18;11/30/2024;heron-bottom;HB-17;;new customer;;;15;;17;\n");
    ASSERT_TRUE(sheet.refused.empty()) << sheet.refused[0].says;
    ASSERT_EQ(sheet.jobs.size(), 2U);
    const Summary first = summary_of(as_told(sheet.jobs[0]));
    EXPECT_EQ(first.area, "heron-bottom");
    EXPECT_EQ(first.installation, "HB-17");
    EXPECT_EQ(first.opened, 1709812800);  // 2024-03-07T12:00:00Z
    EXPECT_EQ(first.settings.at("pump"), "submersible");
    EXPECT_EQ(first.complaint, "comes-back");
    EXPECT_EQ(first.readings.at("system-pressure").found, "12 psi");
    EXPECT_EQ(first.repairs, std::vector<std::string>{"clear-port"});
    EXPECT_EQ(first.minutes, 25);
    EXPECT_EQ(first.causes, (std::vector<ConfirmedCause>{{"plugged-port", "guessed"}}));
    EXPECT_EQ(first.outcome, "cured");
    const Summary second = summary_of(as_told(sheet.jobs[1]));
    EXPECT_EQ(second.complaint, "");
    EXPECT_EQ(second.minutes, 15);
    EXPECT_EQ(second.call_back_of, first.id);
}

TEST(Spreadsheet, EveryRefusedRowHasItsLineAndReason) {
    const Sheet sheet = read(std::string(heading) + "1;3/7/2024;a;HB-1;;;;;;;;\n"
                                                    "2;7.3.2024 or so;a;HB-1;;;;;;;;\n"
                                                    "3;13/7/2024;a;HB-1;;;;;;;;\n"
                                                    "4;3/7/2024;a;;;;;;;;;\n"
                                                    "5;3/7/2024;a;HB-1;windmill;;;;;;;\n"
                                                    "6;3/7/2024;a;HB-1;;no such sign;;;;;;\n"
                                                    "7;3/7/2024;a;HB-1;;;wet;;;;;\n"
                                                    "8;3/7/2024;a;HB-1;;;;magic;;;;\n"
                                                    "9;3/7/2024;a;HB-1;;;;clear-port;an hour;;;\n"
                                                    "10;3/7/2024;a;HB-1;;;;;;gremlins;;\n"
                                                    "1;3/7/2024;a;HB-1;;;;;;;;\n"
                                                    "12;3/7/2024;a\n"
                                                    "13;3/7/2024;a;HB-1;;;;;;;;M\xe4rz\n"
                                                    "14;3/7/2024;a;HB-1;;;;;;;;\"open\n");
    EXPECT_EQ(sheet.jobs.size(), 1U);
    std::vector<std::string> told;
    for (const RefusedRow& row : sheet.refused)
        told.push_back(std::to_string(row.line) + " " + row.says.substr(0, row.says.find(';')));
    EXPECT_EQ(told,
              (std::vector<std::string>{
                  "3 column 'Date': '7.3.2024 or so' is no date as the mapping has it",
                  "4 column 'Date': '13/7/2024' is no date as the mapping has it",
                  "5 column 'House': the installation is empty",
                  told.size() > 3 ? told[3] : "",  // the words of the knowledge, see below
                  told.size() > 4 ? told[4] : "", told.size() > 5 ? told[5] : "",
                  told.size() > 6 ? told[6] : "", "10 column 'Minutes': 'an hour' are no minutes",
                  told.size() > 8 ? told[8] : "",
                  "12 column 'No.': the number 1 stands in line 2 already",
                  "13 it has 3 cells where the heading has 12", "14 'M\\xe4rz' is not UTF-8",
                  "15 a quote is open to the end of the file"}));
    ASSERT_EQ(told.size(), 13U);
    expect_in("save the sheet as CSV in UTF-8", sheet.refused[11].says);
    expect_in("6 column 'Pump': set pump: ", told[3]);
    expect_in("7 column 'Complaint': said no such sign: ", told[4]);
    expect_in("8 column 'Gauge': found system-pressure: ", told[5]);
    expect_in("9 column 'Done': did magic: ", told[6]);
    expect_in("11 column 'Fault': cause gremlins: ", told[8]);
}

// A year typed wrongly would stretch the time over which causes are counted.
TEST(Spreadsheet, NoJobWasOpenedAfterTodayOrLongAgo) {
    const Sheet sheet = read(std::string(heading) + "1;3/7/2206;a;HB-1;;;;;;;;\n"
                                                    "2;3/7/0024;a;HB-1;;;;;;;;\n"
                                                    "3;11/18/2026;a;HB-1;;;;;;;;\n"
                                                    "4;1/1/1950;a;HB-1;;;;;;;;\n");
    EXPECT_EQ(sheet.jobs.size(), 2U);
    ASSERT_EQ(sheet.refused.size(), 2U);
    EXPECT_EQ(sheet.refused[0].says,
              "column 'Date': '3/7/2206' lies after today, 2026-11-18T11:06:40Z");
    EXPECT_EQ(sheet.refused[1].says,
              "column 'Date': '3/7/0024' lies before 1950; write the year in full");
}

// A shop mends its sheet once, and not once for each bad cell. The cells are told in their order,
// and one that is right is not blamed for another: the port and its fault are not named here.
TEST(Spreadsheet, EveryBadCellOfARowIsTold) {
    const std::string map = std::string(mapping) + "[values.Sure]\n\"certain\" = \"seen\"\n";
    const Sheet sheet = read(
        "No.;Date;Road;House;Pump;Complaint;Gauge;Done;Minutes;Fault;Again;Remarks;Sure\n"
        "1;soon;Mill\x1bRoad;;windmill;wet feet;wet;clear-port;an hour;nipple plugged;1;dog;maybe\n"
        "1;3/7/2024;heron-bottom;HB-1;;;;clear-port;25;nipple plugged;;;certain\n",
        std::string(map).replace(map.find("\"Remarks\""), 0, "\"Sure\" = \"how-sure\"\n"));
    ASSERT_EQ(sheet.wrong, "");
    std::vector<std::string> told;
    for (const RefusedRow& row : sheet.refused)
        told.push_back(std::to_string(row.line) + " " +
                       row.says.substr(0, row.says.find_first_of(":,", row.says.find(": ") + 1)));
    EXPECT_EQ(told, (std::vector<std::string>{
                        "2 column 'Date': 'soon' is no date as the mapping has it",
                        "2 column 'Road': the area has control characters in it",
                        "2 column 'House': the installation is empty",
                        "2 column 'Pump': set pump",
                        "2 column 'Complaint': said wet feet",
                        "2 column 'Gauge': found system-pressure",
                        "2 column 'Minutes': 'an hour' are no minutes",
                        "2 column 'Again': it is called a call-back of itself",
                        "2 column 'Sure': how-sure",
                        "3 column 'No.': the number 1 stands in line 2 already",
                    }));
    EXPECT_TRUE(sheet.jobs.empty());
}

// What the tables would refuse is refused by its line and not by SQLite.
TEST(Spreadsheet, WhatAJobCannotHoldIsRefusedByItsLine) {
    const Sheet sheet =
        read(std::string(heading) + "1;3/7/2024;a;" + std::string(300, 'M') +
             ";;;;;;;;\n2;3/7/2024;" + std::string(201, 'a') + ";HB-1;;;;;;;;\n3;3/7/2024;a;HB" +
             std::string(1, '\0') + "1;;;;;;;;\n4;3/7/2024;a;HB-1;;;;;;;;" +
             std::string(5000, 'n') + "\n5;3/7/2024;a;HB-1;;;;;;;;x" + std::string(1, '\0') +
             "\n6;3/7/2024;a;HB-1;;;;;;;6;\n7;3/7/2024;a;HB-1;;;;;;;6;\n");
    EXPECT_EQ(sheet.jobs.size(), 1U);
    EXPECT_EQ(sheet.refused,
              (std::vector<RefusedRow>{
                  {2, "column 'House': the installation is longer than 200 bytes"},
                  {3, "column 'Road': the area is longer than 200 bytes"},
                  {4, "column 'House': the installation has control characters in it"},
                  {5, "column 'Remarks': note: it is longer than an event can hold"},
                  {6, "entry 1: value has a zero byte in it"},
                  {7, "column 'Again': it is called a call-back of itself"}}));
}

TEST(Spreadsheet, TheHeadingMustGoWithTheMapping) {
    expect_in(
        "the mapping says nothing of the column 'Owner'",
        read("No.;Date;Road;House;Pump;Complaint;Gauge;Done;Minutes;Fault;Again;Remarks;Owner\n")
            .wrong);
    expect_in("the sheet has the column 'Remarks' 0 times",
              read("No.;Date;Road;House;Pump;Complaint;Gauge;Done;Minutes;Fault;Again\n").wrong);
    EXPECT_EQ(read("").wrong, "it is empty");
}

TEST(Spreadsheet, TheSameRowTwiceIsOneJobAndACorrectedRowIsRefused) {
    const std::string row = "17;3/7/2024;heron-bottom;HB-17;;;;;;nipple plugged;;\n";
    const Sheet once = read(heading + row);
    const Sheet again = read(heading + row);
    const Sheet other = read(std::string(heading) + "17;3/7/2024;heron-bottom;HB-17;;;;;;;;\n");
    Ledger ledger(":memory:");
    const auto take = [&](const Sheet& sheet) {
        std::size_t next = 0;
        std::string refused;
        Intake intake;
        intake.grows = false;
        intake.next = [&]() -> std::optional<KeptJob> {
            return next < sheet.jobs.size() ? std::optional(sheet.jobs[next++]) : std::nullopt;
        };
        intake.refuse = [&](std::size_t, const std::string& why) { refused += why; };
        intake.keep = [&] { return refused.empty(); };
        (void)ledger.take_in(intake);
        return refused;
    };
    EXPECT_EQ(take(once), "");
    EXPECT_EQ(take(again), "");
    EXPECT_EQ(ledger.count(), 1U);
    expect_in("is there already and says otherwise", take(other));
    EXPECT_EQ(ledger.count(), 1U);
}

TEST(Spreadsheet, RowsWithoutANumberAreToldApartByWhatTheySay) {
    const std::string map = "outcome = \"cured\"\n[columns]\nDate = \"opened\"\nHouse = "
                            "\"installation\"\nMany = \"skip\"\n";
    const Sheet sheet =
        read("Date,House,Many\n2024-03-07,HB-1,\n2024-03-07,HB-1,\n2024-03-07,HB-2,\n"
             "2024-03-07T10:00:00+02:00,HB-2,\n",
             map);
    ASSERT_EQ(sheet.jobs.size(), 4U);
    EXPECT_NE(sheet.jobs[0].head.id, sheet.jobs[1].head.id) << "two visits on one day are two";
    EXPECT_EQ(sheet.jobs[3].head.opened, 1709798400);
    EXPECT_EQ(read("Date,House,Many\n2024-03-07,HB-1,\n2024-03-07,HB-1,\n", map).jobs[1].head.id,
              sheet.jobs[1].head.id);
}

std::vector<std::string> problems_of(const std::string& text) {
    const auto map = read_sheet_map({"columns.toml", text});
    std::vector<std::string> says;
    if (const auto* problems = std::get_if<std::vector<Problem>>(&map))
        for (const Problem& problem : *problems)
            says.push_back(problem.says + " (" + problem.code + ")");
    return says;
}

TEST(Spreadsheet, AllThatIsWrongWithAMappingIsTold) {
    using Says = std::vector<std::string>;
    EXPECT_EQ(problems_of(mapping), Says{});
    EXPECT_EQ(
        problems_of("outcome = \"cured\"\n[columns]\nA = \"opened\"\nB = \"installation\"\nC = "
                    "\"color\"\nD = \"set\"\nE = \"opened\"\nF = 7\nG = \"area x\"\n"),
        (Says{"'color' is none of these: skip, number, opened, area, installation, set, said, "
              "found, did, minutes, cause, how-sure, outcome, call-back-of or note "
              "(unknown-word)",
              "which setting? (missing-key)", "another column is 'opened' too (said-twice)",
              "what a column is, is a text (wrong-type)",
              "nothing stands behind 'area' (unknown-word)"}));
    EXPECT_EQ(problems_of("color = 1\nseparator = \"x\"\ndates = \"odd\"\n[values.Z]\na = \"b\"\n"),
              (Says{"no column is 'installation' (missing-key)",
                    "no column is 'opened' (missing-key)", "no column is 'outcome' (missing-key)",
                    "'color' is no key of a mapping "
                    "(unknown-key)",
                    "cells are parted by \",\", \";\" or \"\\t\" (unknown-word)",
                    "'odd' is none of these: year-month-day, month/day/year or day.month.year "
                    "(unknown-word)",
                    "no column is called 'Z' (unknown-key)"}));
    EXPECT_EQ(problems_of("columns = 7").front(), "no column is 'installation' (missing-key)");
    EXPECT_EQ(problems_of("[columns").size(), 1U);
}

}  // namespace
}  // namespace knockwell
