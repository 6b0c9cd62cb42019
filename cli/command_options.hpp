// cli/command_options.hpp
//
// What the descriptions of all commands are made of: where their words go, and the options that
// several of them take.
#pragma once
#include "cli/command_line.hpp"

#include <CLI/CLI.hpp>

#include <cstddef>
#include <functional>
#include <map>
#include <string>
#include <vector>

namespace knockwell {

/// Where CLI11 puts what it reads. One of each, whichever command is meant.
struct Room {
    Common common;
    AskCommand ask;
    OpenCommand open;
    FoundCommand found;
    std::vector<std::string> signs;  // of `found`, without an option before them
    NextCommand next;
    ReasonsCommand reasons;
    DidCommand did;
    UndoCommand undo;
    CloseCommand close;
    VisitCommand visit;
    TruckCommand truck;
    PlanCommand plan;
    JobsListCommand jobs_list;
    JobsShowCommand jobs_show;
    KbCheckCommand kb_check;
    JobsCorrectCommand jobs_correct;
    JobsReopenCommand jobs_reopen;
    LedgerBackupCommand ledger_backup;
    LedgerExportCommand ledger_export;
    LedgerImportCommand ledger_import;
    LedgerMergeCommand ledger_merge;
    LedgerDemoCommand ledger_demo;
    ReviewCommand review;
    KbShowCommand kb_show;
    KbGraphCommand kb_graph;
    KbLearnCommand kb_learn;
    std::map<std::string, CalcCommand> calc;
    bool cured = false;
    bool not_cured = false;
    bool handed_over = false;
};

inline constexpr std::size_t page_width = 79;
inline constexpr std::size_t name_column = 28;

/// A description that stays in its column.
[[nodiscard]] std::string in_column(const std::string& says);

/// An option with one value, or without "--" a word at its place.
CLI::Option* text_option(CLI::App& app, const std::string& name, std::string& into,
                         const std::string& says, const std::string& shape);

/// One value at each mention: a plain vector option would swallow the words after it.
void many_option(CLI::App& app, const std::string& name, std::vector<std::string>& into,
                 const std::string& says, const std::string& shape);

/// One of these words.
void word_option(CLI::App& app, const std::string& name, std::string& into, const std::string& says,
                 const std::vector<std::string>& allowed);

enum class Numbers { any, whole };

/// The library's own check of a range lets "nan" and "0x10" pass, says of a word that it is out of
/// range, and prints the ends to six digits.
[[nodiscard]] CLI::Validator number_between(double low, double high, Numbers which = Numbers::any);

/// A whole number from `low` to `high`.
template <class Number>
CLI::Option* whole_number_option(CLI::App& app, const std::string& name, Number& into,
                                 const std::string& says, int low, int high) {
    return app.add_option(name, into, in_column(says))
        ->type_name("N")
        ->check(number_between(low, high, Numbers::whole));
}

/// Minutes that something took.
CLI::Option* minutes_option(CLI::App& app, double& into, const std::string& says);

/// What every command takes.
void common_options(CLI::App& app, Common& into);

/// The same, and what those take that keep or read jobs; with `job` the choice of another job.
void kept_options(CLI::App& app, Common& into, std::string* job);

/// How many causes and steps are shown.
void most_option(CLI::App& app, std::size_t& into);

/// What is known and where one stands. `asked_once`: nothing is kept, so no note and no leaving.
void told_options(CLI::App& app, Told& into, bool asked_once);

using Fill = std::function<void(CLI::App&, Room&)>;

/// A command. Its options are added when it is named: there are some hundreds in all.
void add_command(CLI::App& parent, Room& room, const std::string& name, const std::string& says,
                 const std::string& example, const Fill& fill);

/// The commands of a job: ask, open, found, next, reasons, did, undo, close, visit, truck, plan.
void add_job_commands(CLI::App& root, Room& room);

/// What `jobs` can be followed by: list, show, correct, reopen.
void add_job_list_commands(CLI::App& jobs, Room& room);

}  // namespace knockwell
