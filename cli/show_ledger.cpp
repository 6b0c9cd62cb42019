#include "cli/show_ledger.hpp"

#include "base/words.hpp"
#include "cli/json_values.hpp"
#include "job/identity.hpp"
#include "job/leaving.hpp"
#include "job/summary.hpp"
#include "job/time_text.hpp"

#include <set>

namespace knockwell {
namespace {

void say(const Desk& desk, const std::string& words, Json json) {
    Page page(desk.style);
    page.text(words);
    desk.print(desk.common.json ? printed(json) : page.all());
}

std::string cell(const std::string& text) {
    std::string safe = escape_controls(text);
    if (!safe.empty() && std::string_view("=+-@").find(safe.front()) != std::string_view::npos)
        safe.insert(0, "'");
    if (safe.find_first_of(",\"") == std::string::npos)
        return safe;
    std::string quoted = "\"";
    for (const char c : safe) {
        quoted += c;
        if (c == '"')
            quoted += '"';
    }
    return quoted + "\"";
}

std::string joined_by_semicolons(const std::vector<std::string>& items) {
    std::string text;
    for (const std::string& item : items)
        text += (text.empty() ? "" : "; ") + item;
    return text;
}

}  // namespace

void show_verified(const Desk& desk, std::size_t jobs) {
    say(desk, "Every page and every row is as it was kept: " + counted(jobs, "job") + ".",
        {{"verified", true}, {"jobs", jobs}});
}

void show_backed_up(const Desk& desk, const std::string& file, std::size_t jobs) {
    say(desk, "A copy of " + counted(jobs, "job") + " is in " + file + ", and was read to the end.",
        {{"backup", json_text(file)}, {"jobs", jobs}});
}

void show_exported(const Desk& desk, const std::string& file, std::size_t jobs) {
    say(desk, counted(jobs, "job") + " written to " + file + ".",
        {{"export", json_text(file)}, {"jobs", jobs}});
}

namespace {

/// What came into jobs that are closed.
void show_unweighed(Page& page, const std::vector<std::string>& jobs) {
    if (jobs.empty())
        return;
    constexpr std::size_t most_told = 10;
    page.signal("CAUTION",
                "closed, by somebody who did not have all that is written down in it now; a danger "
                "may be among it. Read it, and go on with it where anything is not seen to:",
                0);
    for (std::size_t i = 0; i < jobs.size() && i < most_told; ++i)
        for (const char* deed : {"show ", "reopen "})
            page.text("knockwell jobs " + (deed + short_id(jobs[i])), 4, 2);
    if (jobs.size() > most_told)
        page.text("and " + std::to_string(jobs.size() - most_told) + " more (--json has them all)",
                  4, 2);
}

}  // namespace

void show_taken_in(const Desk& desk, const TakenIn& taken,
                   const std::vector<std::string>& warnings) {
    if (desk.common.json) {
        Json odd = Json::array();
        for (const OddCode& one : taken.first_odd)
            odd.push_back({{"job", one.job}, {"says", json_text(one.says)}});
        Json spelled = Json::array();
        for (const OtherSpelling& one : taken.other_spellings)
            spelled.push_back({{"area", json_text(one.area)}, {"usual", json_text(one.usual)}});
        desk.print(printed({{"new_jobs", taken.new_jobs},
                            {"grown_jobs", taken.grown_jobs},
                            {"same_jobs", taken.same_jobs},
                            {"entries", taken.entries},
                            {"odd_codes", taken.odd_codes},
                            {"first_odd_codes", odd},
                            {"other_spellings", spelled},
                            {"closed_unweighed", taken.closed_unweighed},
                            {"warnings", json_texts(warnings)}}));
        return;
    }
    Page page(desk.style);
    page.text(counted(taken.new_jobs, "new job") + ", " + counted(taken.grown_jobs, "job") +
              " with more entries than before, " + counted(taken.same_jobs, "job") + " that " +
              (taken.same_jobs == 1 ? "was" : "were") + " there already; " +
              counted(taken.entries, "entry", "entries") + " added.");
    for (const std::string& warning : warnings)
        page.signal("WARNING", warning, 0);
    show_unweighed(page, taken.closed_unweighed);
    if (taken.odd_codes > 0) {
        page.text("Taken in all the same, with a code that no job is opened with; to mend one: "
                  "knockwell jobs correct " +
                  short_id(taken.first_odd.front().job) + " --area CODE, or --installation CODE");
        for (const OddCode& one : taken.first_odd)
            page.text("job " + short_id(one.job) + ": " + one.says, 4, 2);
        if (taken.odd_codes > taken.first_odd.size())
            page.text("and " + std::to_string(taken.odd_codes - taken.first_odd.size()) + " more",
                      4, 2);
    }
    for (const OtherSpelling& one : taken.other_spellings)
        page.text("Road " + escape_controls(one.area) + " is spelled " +
                  escape_controls(one.usual) +
                  " in other jobs. If it is one road: knockwell jobs correct JOB --area " +
                  as_argument(one.usual) + ", for each job of it.");
    desk.print(page.all());
}

void show_refused(const Desk& desk, const std::string& file,
                  const std::vector<RefusedRow>& refused) {
    if (desk.common.json) {
        Json rows = Json::array();
        for (const RefusedRow& row : refused)
            rows.push_back({{"line", row.line}, {"says", json_text(row.says)}});
        desk.print(printed({{"kept", false}, {"refused", rows}}));
        return;
    }
    constexpr std::size_t most_told = 100;
    std::string text;
    std::set<std::size_t> lines;
    for (std::size_t i = 0; i < refused.size(); ++i) {
        lines.insert(refused[i].line);
        if (i < most_told)
            text += escape_controls(file) + ":" + std::to_string(refused[i].line) +
                    ": refused: " + refused[i].says + "\n";
    }
    desk.print(lines_within(text, desk.style.width));
    Page page(desk.style);
    if (refused.size() > most_told)
        page.text("And for " + counted(refused.size() - most_told, "reason") +
                  " more (--json has them all).");
    page.text("Nothing is imported: " + counted(lines.size(), "line is", "lines are") +
              " refused. Mend them, and import all of it again.");
    desk.print(page.all());
}

std::string sheet_heading() {
    return "job,opened,closed,area,installation,complaint,causes,repairs,minutes,outcome,"
           "call-back-of,tests,tests-in-vain,settings,as-found,as-left,knowledge";
}

std::string sheet_row(const Job& job) {
    const Summary summary = summary_of(job);
    std::vector<std::string> causes;
    for (const ConfirmedCause& one : summary.causes)
        causes.push_back(one.cause + " (" + one.how + ")");
    std::vector<std::string> settings;
    for (const auto& [setting, value] : summary.settings)
        settings.push_back(setting + "=" + value);
    std::vector<std::string> found;
    std::vector<std::string> left;
    for (const auto& [sign, reading] : summary.readings) {
        if (reading.found)
            found.push_back(sign + "=" + *reading.found);
        if (reading.left)
            left.push_back(sign + "=" + *reading.left);
    }
    for (const auto& [word, value] : leaving_of(job).readings)
        left.push_back(word + "=" + number(value) + " " + std::string(left_reading(word)->unit));
    const std::vector<std::string> cells = {summary.id,
                                            format_time(summary.opened),
                                            summary.closed ? format_time(*summary.closed) : "",
                                            summary.area,
                                            summary.installation,
                                            summary.complaint,
                                            joined_by_semicolons(causes),
                                            joined_by_semicolons(summary.repairs),
                                            summary.minutes > 0 ? number(summary.minutes) : "",
                                            summary.outcome,
                                            summary.call_back_of.value_or(""),
                                            joined_by_semicolons(summary.tests),
                                            joined_by_semicolons(summary.in_vain),
                                            joined_by_semicolons(settings),
                                            joined_by_semicolons(found),
                                            joined_by_semicolons(left),
                                            joined_by_semicolons(summary.knowledge)};
    std::string row;
    for (std::size_t i = 0; i < cells.size(); ++i)
        row += (i == 0 ? "" : ",") + cell(cells[i]);
    return row;
}

}  // namespace knockwell
