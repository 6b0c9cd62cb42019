// Leaving for good: what must be true, what is left, and the closing.
#include "advice/rules.hpp"
#include "base/quantity.hpp"
#include "base/words.hpp"
#include "cli/leaving.hpp"
#include "cli/paper.hpp"
#include "cli/show_paper.hpp"
#include "cli/show_text.hpp"
#include "cli/visit.hpp"

#include <algorithm>
#include <utility>

namespace knockwell {

// One line after the other; "not yet" ends it, and the job stays open.
bool Conversation::check_before_leaving() {
    Page page(desk_->style);
    page.heading("BEFORE YOU LEAVE");
    for (const std::string& caution : leaving_cautions())
        page.signal("WARNING", caution, 2);
    page.text("1 it is so, 2 not yet, 3 there is no such thing here; any other key leaves the job "
              "open.");
    // An owner opens nothing, so what is under covers is not asked of one.
    const bool owner = hands(course_.situation) == Skill::owner;
    for (const LeavingCheck& check : leaving_checks()) {
        if (owner && !check.owner)
            continue;
        page.text(check.says, 4, 2);
        const Reply reply = read(page);
        const std::string note = std::string(checked_note) + std::string(check.word);
        if (reply.number == std::size_t{1})
            add(EventKind::note, "", note);
        else if (reply.number == std::size_t{3})
            add(EventKind::note, "", note + " (there is no such thing here)");
        else {
            if (!reply.end)
                say("See to it first. The job stays open.");
            return false;
        }
    }
    return true;
}

bool Conversation::readings_as_left() {
    const bool owner = hands(course_.situation) == Skill::owner;
    for (const LeftReading& reading : left_readings()) {
        if (owner && !reading.owner)
            continue;
        Page page(desk_->style);
        page.text(std::string(reading.says) + ", in " + std::string(reading.unit) +
                  "; only Enter where it was not read.");
        const Reply reply = read(page);
        if (reply.end)
            return false;
        if (reply.text.empty())
            continue;
        const auto quantity = parse_quantity(reply.text);
        const auto* typed = std::get_if<Quantity>(&quantity);
        const auto value = typed != nullptr
                               ? convert(*typed, reading.unit)
                               : std::variant<double, std::string>(std::get<std::string>(quantity));
        if (const auto* wrong = std::get_if<std::string>(&value)) {
            say("'" + reply.text + "': " + *wrong + ". It is not kept.");
            continue;
        }
        add(EventKind::note, "",
            std::string(left_note) + std::string(reading.word) + " = " +
                number(std::get<double>(value)) + " " + std::string(reading.unit));
    }
    return true;
}

bool Conversation::confirm_causes() {
    const std::vector<std::string> ways = {"seen", "fixed-it", "guessed"};
    std::vector<CauseId> causes;
    const auto offer = [&](CauseId cause) {
        constexpr std::size_t most = 9;
        if (causes.size() < most && std::find(causes.begin(), causes.end(), cause) == causes.end())
            causes.push_back(cause);
    };
    for (const RepairId repair : course_.evidence.repairs)
        for (const CauseStrength& fix : knowledge()[repair].fixes)
            offer(fix.cause);
    if (const auto* now = std::get_if<Posterior>(&beliefs_)) {
        constexpr std::size_t likeliest = 5;
        const std::vector<CauseId> order = by_chance(*now);
        for (std::size_t i = 0; i < std::min(likeliest, order.size()); ++i)
            offer(order[i]);
    }
    while (true) {
        Page page(desk_->style);
        page.text("What was it? 0: no more, or not known.");
        std::size_t place = 0;
        for (const CauseId cause : causes)
            page.text(std::to_string(++place) + "  " + knowledge()[cause].head.title, 6, 3);
        const Reply reply = read(page);
        if (reply.end)
            return false;
        if (reply.number == std::size_t{0})
            return true;
        if (!reply.number || *reply.number > causes.size()) {
            not_understood();
            continue;
        }
        const CauseId cause = causes[*reply.number - 1];
        page.text("How do you know? 1 seen, 2 the repair fixed it, 3 guessed");
        const Reply how = read(page);
        if (how.end)
            return false;
        if (how.number && *how.number >= 1 && *how.number <= ways.size())
            add(EventKind::cause, knowledge()[cause].head.id, ways[*how.number - 1]);
        else
            not_understood();
    }
}

void Conversation::close() {
    work_out();
    const bool danger = !advice_.stops.empty();
    Page page(desk_->style);
    page.heading("LEAVE FOR GOOD");
    std::vector<std::string> outcomes = {"not cured", "handed over: somebody else goes on"};
    std::vector<std::string> words = {"not-cured", "handed-over"};
    if (danger) {
        show_stops(page, knowledge(), advice_.stops);
        page.text("A danger stands, so the job is not cured.");
    } else {
        outcomes.insert(outcomes.begin(), "cured, and it was watched");
        words.insert(words.begin(), "cured");
    }
    outcomes.emplace_back("not yet: go on with the job");
    const auto outcome = pick(page, outcomes);
    if (!outcome || *outcome + 1 == outcomes.size())
        return;
    if (danger) {
        for (const std::string& line : leaving_a_danger())
            page.text(line, 4, 2);
        page.text("Who knows of the danger, and what is off? In one line; it is kept.");
        const Reply who = read(page);
        if (who.text.empty())
            return say("Without that the job stays open.");
        add(EventKind::note, "", "closed despite a stop: " + who.text);
    } else if (!check_before_leaving() || !readings_as_left()) {
        return;
    }
    if (!confirm_causes() || !add(EventKind::closed, "", words[*outcome]))
        return;
    Page paper(desk_->style);
    show_paper(paper, paper_of(knowledge(), scene_->job, moment()));
    desk_->print(paper.all());
    over_ = true;
    stopped_by_hand_ = true;
}

}  // namespace knockwell
