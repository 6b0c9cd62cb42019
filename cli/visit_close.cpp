// Leaving for good: what must be true, what is left, and the closing.
#include "cli/paper.hpp"
#include "cli/show_paper.hpp"
#include "cli/show_text.hpp"
#include "cli/visit.hpp"
#include "job/leaving.hpp"

#include <algorithm>
#include <utility>

namespace knockwell {

// One line after the other, each kept at once; "not yet" ends it, and the job stays open. What was
// said before and still holds is not asked again.
bool Conversation::check_before_leaving(bool cured) {
    Page page(desk_->style);
    page.heading("BEFORE YOU LEAVE");
    for (const std::string& caution : leaving_cautions())
        page.signal("WARNING", caution, 2);
    page.text("1 it is so, 2 not yet, 3 it does not apply here, 4 it is left so, because...; any "
              "other key leaves the job open.");
    for (const OpenLine& line : still_open(knowledge(), scene_->job, cured)) {
        const LeavingCheck* check = leaving_check(line.word);
        page.text(line.says, 4, 2);
        if (!line.against.empty())
            page.text("But " + line.against + ".", 4, 4);
        if (check->readings.size() == 1)
            page.text("1: then its number", 4, 4);
        if (check->readings.size() > 1)
            page.text("1: then their numbers", 4, 4);
        const Reply reply = read(page);
        const bool said = reply.number && say_of_line(*check, *reply.number);
        if (!said) {
            if (!over_)
                say("See to it first. The job stays open.");
            return false;
        }
    }
    return true;
}

bool Conversation::say_of_line(const LeavingCheck& check, std::size_t answer) {
    const std::string what = std::string(leaving_prefix) + std::string(check.word);
    switch (answer) {
    case 1:
        return check.readings.empty() ? add(EventKind::about, what, "checked")
                                      : readings_as_left(check);
    case 3:
        return add(EventKind::about, what, "not-here");
    case 4: {
        Page page(desk_->style);
        page.text("Why? In one line; it is kept, and the customer reads it.");
        const Reply why = read(page);
        const std::string words = why.key != 0 ? std::string(1, why.key) : why.text;
        return !why.end && add(EventKind::about, what, std::string(without_prefix) + words);
    }
    default:
        return false;
    }
}

// What cannot be read, or says the contrary of the line, leaves it open.
bool Conversation::readings_as_left(const LeavingCheck& check) {
    for (const std::string_view word : check.readings) {
        const LeftReading* reading = left_reading(word);
        Page page(desk_->style);
        page.text(std::string(reading->says) + ", in " + std::string(reading->unit) + ".");
        const Reply reply = read(page);
        if (reply.end ||
            !add(EventKind::about, std::string(left_prefix) + std::string(word), reply.text))
            return false;
    }
    const std::vector<OpenLine> open = still_open(knowledge(), scene_->job, true);
    const auto against = std::find_if(
        open.begin(), open.end(), [&](const OpenLine& line) { return line.word == check.word; });
    if (against != open.end())
        say(against->against + ".");
    return against == open.end();
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
        const std::vector<CauseId> order = spoken_by_chance(model_, course_.evidence, *now);
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
        if (over_or_helped(reply)) {
            if (over_)
                return false;
            continue;
        }
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
            add(confirming(scene_->job, knowledge()[cause].head.id, ways[*how.number - 1],
                           moment()));
        else
            not_understood();
    }
}

// Somebody else may have written into the job, or a reading as left may be a danger itself.
bool Conversation::came_up_meanwhile(const std::vector<StopNow>& before) {
    work_out();
    std::vector<StopNow> fresh = advice_.stops;
    std::erase_if(fresh, [&](const StopNow& now) {
        return std::any_of(before.begin(), before.end(),
                           [&](const StopNow& known) { return known.stop == now.stop; });
    });
    if (fresh.empty())
        return false;
    Page page(desk_->style);
    show_stops(page, knowledge(), fresh);
    page.text("This came up while the job was being closed. The job stays open.");
    desk_->print(page.all());
    return true;
}

void Conversation::close() {
    work_out();
    const std::vector<StopNow> stops = advice_.stops;
    const bool danger = !stops.empty();
    Page page(desk_->style);
    page.heading("LEAVE FOR GOOD");
    std::vector<std::string> outcomes = {"not cured", "handed over: somebody else goes on"};
    std::vector<std::string> words = {"not-cured", "handed-over"};
    if (danger) {
        show_stops(page, knowledge(), stops);
        page.text("A danger stands, so the job is not cured.");
    } else {
        outcomes.insert(outcomes.begin(), "cured, and it was watched");
        words.insert(words.begin(), "cured");
    }
    outcomes.emplace_back("not yet: go on with the job");
    const auto outcome = pick(page, outcomes);
    if (!outcome || *outcome + 1 == outcomes.size())
        return;
    std::string who_knows;
    if (danger) {
        if (const std::string why = misread(leaving_of(scene_->job)); !why.empty())
            return say(why + ". Say what is read now, with knockwell close --as-left "
                             "READING=VALUE; until then the job stays open.");
        for (const std::string& line : leaving_a_danger())
            page.text(line, 4, 2);
        page.text("Who knows of the danger, and what is off? In one line; it is kept.");
        who_knows = read(page).text;
        if (who_knows.empty())
            return say("Without that the job stays open.");
    } else if (!check_before_leaving(words[*outcome] == "cured")) {
        return;
    }
    if (!confirm_causes())
        return;
    if (came_up_meanwhile(stops))
        return;
    // The note with the closing or not at all.
    std::vector<Event> events;
    if (danger)
        events.push_back(event(EventKind::note, "", despite_note(who_knows)));
    events.push_back(event(EventKind::closed, "", words[*outcome]));
    if (!add(std::move(events)))
        return;
    Page paper(desk_->style);
    show_paper(paper, paper_of(knowledge(), scene_->job, moment(), stops, scene_->shelf.rates));
    desk_->print(paper.all());
    over_ = true;
    stopped_by_hand_ = true;
}

}  // namespace knockwell
