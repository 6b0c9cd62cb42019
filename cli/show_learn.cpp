#include "cli/show_learn.hpp"

#include "base/words.hpp"
#include "cli/json_values.hpp"
#include "job/identity.hpp"

#include <algorithm>
#include <cmath>
#include <set>
#include <utility>

namespace knockwell {
namespace {

/// Two places behind the point, or one of a large value; `finer` times as fine.
std::string figure_of(double value, double finer = 1) {
    constexpr double tenth = 10;
    constexpr double few = 10;
    const double parts = finer * (value < few ? tenth * tenth : tenth);
    return number(std::round(value * parts) / parts);
}

/// "0.081 -> 0.084": as fine as it takes to tell them apart.
std::string moved(double before, double after) {
    constexpr double finest = 1e6;
    double finer = 1;
    while (finer < finest && figure_of(before, finer) == figure_of(after, finer))
        finer *= 10;
    if (finer >= finest)
        finer = 1;
    return figure_of(before, finer) + " -> " + figure_of(after, finer);
}

bool is_of_spread(const NumberChange& change) { return change.name.ends_with(".give_or_take"); }

/// The name of the number that a spread is of: "cause.worn-pump.present".
std::string rate_of(const NumberChange& change) {
    return change.name.substr(0, change.name.rfind('.')) + ".present";
}

std::string spread_words(const NumberChange& change) {
    return "give or take a factor of " + moved(change.p_written, change.p_learned);
}

/// `spread` = of the same rate, where both are told together.
std::string behind_words(const NumberChange& change, const NumberChange* spread) {
    std::string words = change.name + ": ";
    if (is_of_spread(change))
        words += spread_words(change);
    else
        words += moved(100 * change.p_written, 100 * change.p_learned) + " %";
    if (spread != nullptr)
        words += ", " + spread_words(*spread);
    // No job told anything of it: it is in the calls that are missing.
    if (change.jobs == 0)
        words += "; calls that it would have made did not come";
    else
        words += "; " + counted(change.jobs, "job") + ", so in " + figure_of(change.fallen) +
                 " of " + figure_of(change.tossed);
    std::vector<std::string> ids;
    for (const std::string& id : change.loudest)
        ids.push_back(short_id(id));
    if (!ids.empty())
        words += "; most by " + list_of(ids);
    return words;
}

/// A line of a text, as it is but for what could steer a terminal.
std::string shown_line(const std::vector<Source>& sources, std::uint32_t source,
                       std::uint32_t line) {
    return escape_controls(line_of(sources[source].text, line));
}

/// How many numbers change: a rate and how well it is known are one.
std::size_t numbers_changed(const std::vector<NumberChange>& changes) {
    std::set<std::string> names;
    for (const NumberChange& change : changes)
        names.insert(is_of_spread(change) ? rate_of(change) : change.name);
    return names.size();
}

/// Whether the second stands right behind the first and both are of one rate: a spread that was
/// put in earlier has a line of its own before that of its rate.
bool goes_on_in_next_line(const NumberChange& spread, const NumberChange& rate) {
    return is_of_spread(spread) && rate.name == rate_of(spread) &&
           rate.span.source == spread.span.source &&
           rate.span.begin.line == spread.span.begin.line + 1;
}

/// How many lines of the present texts the numbers stand in; the changes are in their order.
std::size_t lines_touched(const std::vector<NumberChange>& changes) {
    std::size_t lines = 0;
    std::pair<std::uint32_t, std::uint32_t> last;  // no line is number 0
    for (const NumberChange& change : changes) {
        const std::pair at(change.span.source, change.span.begin.line);
        lines += at != last ? 1U : 0U;
        last = at;
    }
    return lines;
}

/// Where a line of the present texts stands in the new ones: lines may have been put in before it.
std::uint32_t line_then(const Proposal& proposal, std::uint32_t source, std::uint32_t line) {
    std::uint32_t more = 0;
    for (const NumberChange& change : proposal.changes)
        if (change.span.source == source && is_of_spread(change) && change.now.empty() &&
            change.span.begin.line <= line)
            ++more;
    return line + more;
}

/// Whether a number moves by a quarter (a chance by its odds, a spread by itself), or much was seen
/// of it.
bool is_worth_a_line(const NumberChange& change) {
    constexpr double much = 10;
    if (change.tossed >= much)
        return true;
    const auto size_of = [&](double x) {
        return is_of_spread(change) ? std::log(x) : std::log(x / (1 - x));
    };
    const double quarter = std::log(1.25);
    // No number where one of both is 0 or 1: then it is worth one.
    return !(std::abs(size_of(change.p_learned) - size_of(change.p_written)) < quarter);
}

/// What is behind the changes from `from` to `to`, told together. One that is little by itself
/// and that no job told anything of has no words.
void show_behind(Page& page, const NumberChange* from, const NumberChange* to) {
    const NumberChange* spread = nullptr;
    for (; from != to; ++from) {
        const NumberChange* next = from + 1;
        if (is_of_spread(*from) && next != to && next->name == rate_of(*from)) {
            spread = from;
            continue;
        }
        if (from->jobs > 0 || is_worth_a_line(*from) ||
            (spread != nullptr && is_worth_a_line(*spread)))
            page.text(behind_words(*from, spread), 6, 4);
        spread = nullptr;
    }
}

/// The changes that are told together: those of one line, and of the next where a rate follows its
/// spread.
struct Hunk {
    const NumberChange* from = nullptr;
    const NumberChange* to = nullptr;  // behind the last
    std::uint32_t first = 0;           // lines of the present text
    std::uint32_t last = 0;
};

Hunk hunk_at(const NumberChange* from, const NumberChange* end) {
    const auto same_line = [](const NumberChange& a, const NumberChange& b) {
        return a.span.source == b.span.source && a.span.begin.line == b.span.begin.line;
    };
    const NumberChange* to = from + 1;
    while (to != end && (same_line(to[-1], *to) || goes_on_in_next_line(to[-1], *to)))
        ++to;
    return {from, to, from->span.begin.line, to[-1].span.begin.line};
}

/// Its lines as they are and as they would be.
void show_lines(std::string& out, const LearnScene& scene, const Hunk& hunk) {
    const std::uint32_t source = hunk.from->span.source;
    const auto is_new = [](const NumberChange& it) { return is_of_spread(it) && it.now.empty(); };
    const bool put_in = std::any_of(hunk.from, hunk.to, is_new);
    const bool other = !std::all_of(hunk.from, hunk.to, is_new);
    const std::uint32_t then = line_then(*scene.proposal, source, hunk.first);
    const std::uint32_t lines = other ? hunk.last - hunk.first + 1 : 0;
    out +=
        "\n" + escape_controls((*scene.now)[source].name) + ":" + std::to_string(hunk.first) + "\n";
    for (std::uint32_t i = 0; i < lines; ++i)
        out += "- " + shown_line(*scene.now, source, hunk.first + i) + "\n";
    if (put_in)
        out += "+ " + shown_line(*scene.then, source, then - 1) + "\n";
    for (std::uint32_t i = 0; i < lines; ++i)
        out += "+ " + shown_line(*scene.then, source, then + i) + "\n";
}

void show_diff(std::string& out, const LearnScene& scene, PageStyle style) {
    const std::vector<NumberChange>& all = scene.proposal->changes;
    const NumberChange* const end = all.data() + all.size();
    std::size_t little = 0;
    for (const NumberChange* at = all.data(); at != end;) {
        const Hunk hunk = hunk_at(at, end);
        at = hunk.to;
        if (std::none_of(hunk.from, hunk.to, is_worth_a_line)) {
            little += hunk.last - hunk.first + 1;
            continue;
        }
        show_lines(out, scene, hunk);
        Page page(style);
        show_behind(page, hunk.from, hunk.to);
        out += page.all();
    }
    if (little == 0)
        return;
    Page page(style);
    page.text("And " + counted(little, "line") +
              " in which numbers move by less than a quarter, and of which little was seen; --json "
              "has all of them, --apply puts all in.");
    out += "\n" + page.all();
}

struct PracticeMove {
    std::size_t passed_now = 0;
    std::size_t passed_new = 0;
    std::size_t first_now = 0;
    std::size_t first_new = 0;
    std::size_t asked = 0;  // that ask for a cause
    std::vector<const PracticeResult*> lost;
    std::vector<const PracticeResult*> won;
};

PracticeMove practice_move(const LearnEffect& effect) {
    PracticeMove move;
    for (std::size_t i = 0; i < effect.practice_now.size(); ++i) {
        const PracticeResult& now = effect.practice_now[i];
        const PracticeResult& then = effect.practice_new[i];
        move.passed_now += now.passed ? 1U : 0U;
        move.passed_new += then.passed ? 1U : 0U;
        if (now.passed && !then.passed)
            move.lost.push_back(&then);
        if (!now.passed && then.passed)
            move.won.push_back(&then);
        if (now.wanted == 0)
            continue;
        ++move.asked;
        move.first_now += now.place > 0 && now.place <= now.wanted ? 1U : 0U;
        move.first_new += then.place > 0 && then.place <= then.wanted ? 1U : 0U;
    }
    return move;
}

void show_effect(Page& page, const LearnScene& scene) {
    const LearnEffect& effect = *scene.effect;
    page.gap();
    page.heading("Effect");
    page.text("Old jobs: log score of what was found, given that a call came (mean of -ln P; less "
              "is better): " +
                  figure_of(-effect.log_chance_now) + " -> " + figure_of(-effect.log_chance_new),
              4, 2);
    if (effect.causes_now.jobs > 0)
        page.text("Old jobs: log score of which causes were seen, in " +
                      counted(effect.causes_now.jobs, "job") + ": " +
                      figure_of(effect.causes_now.mean) + " -> " +
                      figure_of(effect.causes_new.mean),
                  4, 2);
    page.text("These jobs taught the numbers, so that both are better than new jobs will be.", 4,
              2);
    const PracticeMove move = practice_move(effect);
    page.text("Practice cases: " + std::to_string(move.passed_now) + " -> " +
                  std::to_string(move.passed_new) + " of " +
                  std::to_string(effect.practice_now.size()) + " pass; the true cause first in " +
                  std::to_string(move.first_now) + " -> " + std::to_string(move.first_new) +
                  " of " + std::to_string(move.asked),
              4, 2);
    for (const PracticeResult* lost : move.lost)
        page.text("fails with the new numbers: " + lost->id +
                      (lost->failures.empty() ? "" : ": " + lost->failures.front()),
                  6, 4);
    for (const PracticeResult* won : move.won)
        page.text("passes with the new numbers: " + won->id, 6, 4);
}

void show_left_out(Page& page, const LearnScene& scene) {
    const LessonBook& book = *scene.book;
    std::vector<std::string> out;
    if (book.open > 0)
        out.push_back(std::to_string(book.open) + " open");
    if (book.call_backs > 0)
        out.push_back(counted(book.call_backs, "call-back") +
                      " (part of the jobs that they come from)");
    if (book.nothing_reported > 0)
        out.push_back(std::to_string(book.nothing_reported) +
                      " in which nobody reported a trouble");
    if (book.of_lacking_causes > 0) {
        std::vector<std::string> causes;
        for (const auto& [cause, jobs] : book.lacking)
            causes.push_back(echo(cause) + " in " + std::to_string(jobs));
        out.push_back(std::to_string(book.of_lacking_causes) +
                      " that name a cause which this knowledge lacks (" + list_of(causes) +
                      "; one that has another name by now keeps its jobs only under the old one)");
    }
    const std::size_t impossible = scene.learned->impossible.size();
    if (impossible > 0) {
        std::vector<std::string> few;
        constexpr std::size_t most = 5;
        for (std::size_t i = 0; i < std::min(most, impossible); ++i)
            few.push_back(short_id(scene.learned->impossible[i]));
        if (impossible > most)
            few.emplace_back("others");
        out.push_back(std::to_string(impossible) +
                      " that cannot be under this knowledge, or are too wide to add up (" +
                      list_of(few) + ")");
    }
    if (!out.empty())
        page.text("Left out: " + list_of(out) + ".");
    if (scene.forgotten > 0)
        page.text("Note: " + counted(scene.forgotten, "job") +
                  " that taught the numbers as they stand " +
                  (scene.forgotten == 1 ? "is" : "are") +
                  " not in this ledger; what they taught is taken back. Merge the other trucks' "
                  "ledgers first.");
    if (scene.gone_on_with > 0)
        page.text("An earlier run was cut off; " + counted(scene.gone_on_with, "file") +
                  " of it were put in place.");
    if (!scene.learned->settled)
        page.text("Note: the numbers had not come to rest after " +
                  std::to_string(scene.learned->rounds.size()) + " rounds; --rounds allows more.");
    if (!scene.proposal->odd.empty())
        page.text("Cannot be changed where they stand: " + list_of(scene.proposal->odd) + ".");
}

}  // namespace

std::string learn_text(const LearnScene& scene, PageStyle style) {
    Page head(style);
    const std::size_t changes = numbers_changed(scene.proposal->changes);
    head.text("Learned from " + counted(scene.learned->jobs, "closed job") + ", from what was " +
              "written before any learning: " + std::to_string(changes) + " of " +
              counted(scene.proposal->numbers, "number") + " would change, in " +
              counted(lines_touched(scene.proposal->changes), "line") + ".");
    show_left_out(head, scene);
    std::string out = head.all();
    show_diff(out, scene, style);
    Page tail(style);
    if (scene.learned->jobs > 0)
        show_effect(tail, scene);
    tail.gap();
    if (scene.applied)
        tail.text("These numbers stand in the knowledge now; learned.json beside it keeps what was "
                  "written.");
    else if (changes > 0)
        tail.text("Nothing is changed yet: read the lines, then knockwell kb learn --apply");
    out += out.ends_with("\n") && !tail.all().empty() ? "\n" : "";
    return out + tail.all();
}

std::string learn_json(const LearnScene& scene) {
    Json changes = Json::array();
    for (const NumberChange& change : scene.proposal->changes)
        changes.push_back({{"name", json_text(change.name)},
                           {"file", json_text((*scene.now)[change.span.source].name)},
                           {"line", change.span.begin.line},
                           {"now", json_text(change.now)},
                           {"written", json_text(change.written)},
                           {"learned", json_text(change.learned)},
                           {"p_written", json_number(change.p_written)},
                           {"p_learned", json_number(change.p_learned)},
                           {"jobs", change.jobs},
                           {"fallen", json_number(change.fallen)},
                           {"tossed", json_number(change.tossed)},
                           {"most_by", json_texts(change.loudest)}});
    const LearnEffect& effect = *scene.effect;
    const PracticeMove move = practice_move(effect);
    const auto names = [](const std::vector<const PracticeResult*>& all) {
        Json ids = Json::array();
        for (const PracticeResult* one : all)
            ids.push_back(json_text(one->id));
        return ids;
    };
    return printed({{"applied", scene.applied},
                    {"jobs", scene.learned->jobs},
                    {"left_out",
                     {{"open", scene.book->open},
                      {"call_backs", scene.book->call_backs},
                      {"nothing_reported", scene.book->nothing_reported},
                      {"lacking_causes", scene.book->of_lacking_causes},
                      {"impossible", json_texts(scene.learned->impossible)}}},
                    {"forgotten", scene.forgotten},
                    {"rounds", scene.learned->rounds.size()},
                    {"settled", scene.learned->settled},
                    {"numbers", scene.proposal->numbers},
                    {"changes", changes},
                    {"cannot_be_changed", json_texts(scene.proposal->odd)},
                    {"effect",
                     {{"log_score_now", json_number(-effect.log_chance_now)},
                      {"log_score_new", json_number(-effect.log_chance_new)},
                      {"cause_jobs", effect.causes_now.jobs},
                      {"cause_log_score_now", json_number(effect.causes_now.mean)},
                      {"cause_log_score_new", json_number(effect.causes_new.mean)},
                      {"practice", effect.practice_now.size()},
                      {"passed_now", move.passed_now},
                      {"passed_new", move.passed_new},
                      {"fail", names(move.lost)},
                      {"pass", names(move.won)}}}});
}

}  // namespace knockwell
