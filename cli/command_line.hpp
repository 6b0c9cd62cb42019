// cli/command_line.hpp
//
// What was typed, as values. Nothing is looked up here: a name that no knowledge has is found out
// later.
//
// Care     an option takes one value and is given again for the next one, so that it never
//          swallows what follows it
#pragma once
#include <cstddef>
#include <cstdint>
#include <map>
#include <string>
#include <variant>
#include <vector>

namespace knockwell {

/// Options that every command takes.
struct Common {
    bool json = false;
    std::size_t width = 0;  // columns; 0 = as the terminal, 80 at most
    std::string kb;         // folder of the knowledge; empty = look for it
    std::string ledger;     // file of the ledger; empty = look for it
    std::string now;        // the time, ISO 8601; empty = the clock
};

/// What is known and where one stands, as typed.
struct Told {
    std::vector<std::string> set;    // SETTING=VALUE
    std::vector<std::string> says;   // SIGN[=VALUE]
    std::vector<std::string> found;  // SIGN[=VALUE][@TEST]
    std::string who;                 // owner, helper, qualified; empty = not said
    std::vector<std::string> licences;
    bool on_site = false;
    std::vector<std::string> at;        // accesses that are reached or open
    std::string power;                  // on, off; empty = not said
    std::string pressure;               // zero, up
    std::string tank;                   // drained, filled
    std::vector<std::string> lacks;     // parts and tools that are not on the truck
    std::vector<std::string> carries;   // ... that are there after all
    std::vector<std::string> cannot;    // steps
    std::vector<std::string> not_sure;  // steps
    std::string note;
    bool left = false;
    bool operator==(const Told&) const = default;
};

struct AskCommand {
    Told told;
    std::size_t most = 5;
};
struct OpenCommand {
    std::string area;
    std::string installation;
    std::string call_back_of;  // beginning of a job's identifier; empty = none
    Told told;
    std::size_t most = 5;
};
struct FoundCommand {
    std::string job;  // empty = the current one; so everywhere
    Told told;
    std::size_t most = 5;
};
struct NextCommand {
    std::string job;
    std::size_t most = 5;
};
struct ReasonsCommand {
    std::string job;
    std::string cause;  // empty = the most likely ones
};
struct DidCommand {
    std::string job;
    std::string what;
    double minutes = 0;
    std::string note;
    std::size_t most = 5;
};
struct UndoCommand {
    std::string job;
    std::uint32_t number = 0;  // 0 = the last event that stands
    std::size_t most = 5;
};
struct CloseCommand {
    std::string job;
    std::string outcome;  // cured, not-cured, handed-over; empty = only say what is open
    std::vector<std::string> causes;    // CAUSE=seen|fixed-it|guessed
    std::vector<std::string> left;      // readings as left, SIGN=VALUE or cut-in=38psi
    std::vector<std::string> checked;   // WORD[,WORD] of the list
    std::vector<std::string> not_here;  // WORD[,WORD] that does not apply here
    std::vector<std::string> without;   // WORD[,WORD]=WHY: left so
    std::string despite;                // why it is closed although a stop stands
    std::string note;
};
struct VisitCommand {
    std::string job;
    std::string area;          // with `installation`: a new job
    std::string installation;  // empty = none is begun
    std::string call_back_of;
};
struct TruckCommand {
    std::string job;
    Told told;          // anything told: a question, as `ask`; else the job
    double cover = 90;  // percent of what would be repaired
};
struct PlanCommand {
    std::string job;
    Told told;              // anything told: a question, as `ask`; else the job
    std::size_t depth = 4;  // steps one after the other
    std::size_t steps = 8;  // in all
    bool html = false;
};
struct JobsListCommand {
    std::size_t most = 50;
    std::string installation;  // only these; empty = all
    std::string area;          // the same
    std::string cause;         // the same: an identifier, or a piece of a title
    std::string repair;        // the same: an identifier
    bool call_backs = false;   // only call-backs
    bool called_back = false;  // only those that another job is a call-back of
    std::string since;         // only jobs opened from this day on; empty = all
    std::string until;         // ... and up to this day, itself too
    bool dangers = false;      // only those in which a danger stands that nothing ended since
};
struct JobsShowCommand {
    std::string job;
};
struct KbCheckCommand {
    bool sources = false;  // say where the strengths come from
};
struct JobsCorrectCommand {
    std::string job;
    std::uint32_t entry = 0;  // 0 = none
    std::string value;        // of the entry, what it should have been
    double minutes = 0;
    bool take_back = false;
    std::string area;
    std::string installation;
    std::string call_back_of;  // beginning of a job's identifier
    bool no_call_back = false;
    std::vector<std::string> causes;  // CAUSE=seen|fixed-it|guessed
    std::string note;
};
struct JobsReopenCommand {
    std::string job;
    std::string note;
};
struct LedgerVerifyCommand {};
struct LedgerBackupCommand {
    std::string file;
};
struct LedgerExportCommand {
    std::string file;  // empty = standard output
    bool csv = false;
};
struct LedgerImportCommand {
    std::string file;
    std::string map;  // file of the mapping; empty = JSON Lines
};
struct LedgerMergeCommand {
    std::vector<std::string> files;
};
struct LedgerDemoCommand {
    std::size_t jobs = 3000;
    std::uint64_t seed = 1;
};
enum class ReviewAbout { areas, causes, time, numbers, everything };
struct ReviewCommand {
    ReviewAbout about = ReviewAbout::areas;
    std::size_t most = 10;
    double false_share = 0.1;       // of what is named, how much may be chance
    std::string since;              // only jobs opened from this day on; empty = all
    std::size_t told_again = 3000;  // jobs, for the chances of `numbers`
    std::string html;               // file of the page; empty = print
    std::string places;             // file that says where the areas lie; empty = no map
};
struct KbShowCommand {
    std::vector<std::string> names;  // none = an overview
};
struct KbGraphCommand {
    std::string cause;  // empty = the whole
};
struct KbPracticeCommand {};
struct KbLearnCommand {
    bool apply = false;
    std::size_t rounds = 60;  // at most
};
struct CalcCommand {
    std::string name;                           // empty: list them
    std::map<std::string, std::string> inputs;  // by name, as typed
};

using Command =
    std::variant<AskCommand, OpenCommand, FoundCommand, NextCommand, ReasonsCommand, DidCommand,
                 UndoCommand, CloseCommand, VisitCommand, TruckCommand, PlanCommand,
                 JobsListCommand, JobsShowCommand, JobsCorrectCommand, JobsReopenCommand,
                 LedgerVerifyCommand, LedgerBackupCommand, LedgerExportCommand, LedgerImportCommand,
                 LedgerMergeCommand, LedgerDemoCommand, ReviewCommand, KbCheckCommand,
                 KbShowCommand, KbGraphCommand, KbPracticeCommand, KbLearnCommand, CalcCommand>;

struct Parsed {
    Common common;
    Command command;
};
/// Help or the version was asked for.
struct Help {
    std::string text;
};
struct BadUsage {
    std::string text;  // what is wrong and what to write, in lines
};

[[nodiscard]] std::variant<Parsed, Help, BadUsage>
parse_command_line(const std::vector<std::string>& arguments);

}  // namespace knockwell
