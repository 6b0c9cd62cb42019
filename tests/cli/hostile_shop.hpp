// cli/hostile_shop.hpp, of the tests
//
// A shop whose roads, causes, tests and signs are called by jokers: markup, scripts, commands of
// gnuplot and of a shell, control and direction characters.
#pragma once
#include "cli/html_review.hpp"
#include "support/knowledge_of.hpp"

#include <memory>
#include <string>
#include <vector>

namespace knockwell {

inline const std::string& hostile_name() {
    static const std::string name =
        "</title><script>document.title='taken'</script><img src=x onerror=\"alert(1)\">&amp;'\"`"
        "touch taken`\\n$(touch taken)L0L system('touch taken') {/Bold x} @x \xE2\x80\xAE\x1B[31m";
    return name;
}

/// The knowledge, the jobs and the answers to all questions.
class HostileShop {
public:
    HostileShop() {
        rename();
        network_ = compile(knowledge_);
        NumbersBook numbers(knowledge_);
        for (int i = 0; i < 400; ++i) {
            const Job job = visit(i);
            book_.add(summary_of(job));
            numbers.add(job);
        }
        answers_.areas = review_areas(book_, knowledge_);
        answers_.causes = review_causes(book_);
        answers_.time = review_time(book_);
        answers_.numbers = numbers.review({&knowledge_, &network_});
    }
    HostileShop(const HostileShop&) = delete;
    HostileShop& operator=(const HostileShop&) = delete;
    HostileShop(HostileShop&&) = delete;
    HostileShop& operator=(HostileShop&&) = delete;
    ~HostileShop() = default;

    [[nodiscard]] ReviewScene scene() const { return {&knowledge_, &book_, 0.1, 10, nullptr}; }
    [[nodiscard]] const ReviewAnswers& answers() const { return answers_; }
    [[nodiscard]] HtmlPage page() const { return review_page(scene(), answers_); }

private:
    void rename() {
        knowledge_ = knowledge_of(R"(
[reports]
told   = { misses = "1 in 10", false_alarm = "1 in 20" }
looked = { misses = "1 in 20", false_alarm = "1 in 50" }
[cause.leak]
title   = "Leak"
present = "10 in 1000"
shows   = { no-water = "8 in 10", dull = "9 in 10" }
[cause.valve]
title   = "Valve"
present = "20 in 1000"
shows   = { no-water = "5 in 10", stuck = "7 in 10" }
[symptom.no-water]
title = "No water"
seen_anyway = "1 in 100"
[observation.dull]
title       = "Dull"
seen_anyway = "1 in 20"
[observation.stuck]
title = "Stuck"
[test.knock]
title   = "Knock"
how     = "Knock."
reveals = ["dull"]
minutes = 2
[test.turn]
title   = "Turn"
how     = "Turn it."
reveals = ["stuck"]
minutes = 4
[repair.mend]
title   = "Mend"
how     = "Mend it."
fixes   = { leak = "9 in 10", valve = "9 in 10" }
minutes = 30
)");
        const std::string& name = hostile_name();
        for (Cause& cause : knowledge_.causes)
            cause.head.title = cause.head.title + " " + name;
        for (Sign& sign : knowledge_.signs)
            sign.head.title = sign.head.title + " " + name;
        for (Test& test : knowledge_.tests)
            test.step.head.title = test.step.head.title + " " + name;
        for (Repair& repair : knowledge_.repairs)
            repair.step.head.title = repair.step.head.title + " " + name;
    }

    /// Leaks on one road, and in one year more of them; a valve elsewhere; now and then a cause
    /// that nobody has a word for.
    static Job visit(int i) {
        constexpr std::int64_t day = 86400;
        Job job;
        job.id = "job-" + std::to_string(i);
        job.opened = 1600000000 + std::int64_t{4} * i * day;
        const bool here = i % 5 == 0;
        const bool leak = here || i % 7 == 0 || (i > 300 && i % 3 == 0);
        job.area = here ? hostile_name() : "road-" + std::to_string(i % 6);
        job.installation = "H-" + std::to_string(i);
        const auto say = [&](EventKind kind, const std::string& what, const std::string& value,
                             double minutes = 0) {
            job.events.push_back(next_event(job, job.opened, kind, what, value, minutes));
        };
        say(EventKind::said, i % 11 == 0 ? "" : "no-water", "yes");
        say(EventKind::found, "dull", leak && i % 9 > 0 ? "yes@knock" : "no@knock", 2 + i % 3);
        say(EventKind::found, "stuck", leak || i % 4 == 0 ? "no@turn" : "yes@turn", 9);
        say(EventKind::did, "mend", "", 50 + i % 20);
        say(EventKind::cause, i % 50 == 3 ? hostile_name() : leak ? "leak" : "valve", "seen");
        say(EventKind::closed, "", "cured");
        if (i % 13 == 1)
            say(EventKind::about, "call-back-of", "job-" + std::to_string(i - 1));
        return job;
    }

    Knowledge knowledge_;
    Network network_;
    ShopBook book_;
    ReviewAnswers answers_;
};

}  // namespace knockwell
