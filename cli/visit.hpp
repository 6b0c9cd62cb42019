// cli/visit.hpp
//
// The guided conversation about one job: what to do, in which order, and the answers by number.
//
// Idea     turn by turn: where the job stands is worked out anew from the ledger's entries, one
//          thing is shown, one line is read, what it says is kept at once. So there is nothing to
//          lose: the end of the input, or a dead battery, leaves a job that is gone on with
// Order    1 who is there   2 a danger, alone   3 the stop check   4 what is done on arrival
//          5 the step, its preparations one by one, each with its cautions before it
// Care     each visit begins with who is there, which makes power off, pressure zero and open
//          covers be forgotten; nothing is taken as done because a program says so
// Held by  tests/cli/visit_test.cpp
#pragma once
#include "advice/advice.hpp"
#include "advice/cost.hpp"
#include "cli/choices.hpp"
#include "cli/job_commands.hpp"
#include "cli/keys.hpp"
#include "cli/page.hpp"
#include "job/course.hpp"
#include "job/leaving.hpp"

#include <cstdint>
#include <deque>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace knockwell {

class Conversation {
public:
    /// Both must outlive it.
    Conversation(const Desk& desk, Scene& scene);

    /// Until somebody stops, the job is closed, or nothing more is typed.
    [[nodiscard]] Status run();

private:
    /// The step that is under way.
    struct Pursuit {
        StepKind kind = StepKind::test;
        std::size_t index = 0;
        std::set<std::string> prepared;  // preparations done that no entry tells
        std::set<SignId> skipped;        // signs of the test that left one not sure
        bool after_repair = false;       // shows that a repair holds
    };
    /// A value that was chosen, or that another key was typed instead.
    struct Chosen {
        std::optional<std::string> value;
        Reply other;
    };

    // -- the loop
    void greet();
    bool who_is_there();
    bool licences_of(std::string& value);
    void turn();
    void work_out();
    void farewell();

    // -- the turns
    void clash_turn();
    void stop_turn(const StopNow& now);
    void danger_turn(const std::vector<SignId>& signs);
    void complaint_turn(const Posterior& now);
    void arrival_turn();
    void step_turn();
    void nothing_turn();

    // -- the step
    bool choose_step();
    void prepare(const Candidate& step, const Preparation& before, std::size_t left);
    void prepared(const Candidate& step, const Preparation& before);
    void look(const Candidate& step);
    void ask_setting(const Candidate& step);
    void mend(const Candidate& step);
    void hand_over(const Candidate& step);
    void pass(const Candidate& step, const std::string& how);
    void not_sure(const Candidate& step, std::optional<SignId> sign);
    [[nodiscard]] Candidate under_way() const;
    void show_step_head(Page& page, const Candidate& step, double minutes) const;
    void begin(StepKind kind, std::size_t index, bool after_repair = false);
    /// The first thing of the test that was not found by it in this stage.
    [[nodiscard]] std::optional<Findable> still_to_find(const Test& test, TestId id) const;

    // -- answers
    [[nodiscard]] Chosen value_of(Page& page, const Findable& what);
    [[nodiscard]] Chosen worked_value(const Reading& reading);
    [[nodiscard]] Reply read(Page& page);
    [[nodiscard]] std::optional<std::size_t> pick(Page& page,
                                                  const std::vector<std::string>& lines);
    /// Keys that mean the same everywhere; whether it was one.
    bool common_key(const Reply& reply);
    /// The keys that every prompt knows: the end, and the help. `over_` tells them apart.
    bool over_or_helped(const Reply& reply);
    bool key_in_turn(char key);
    void not_understood();
    void say(std::string_view words);
    bool add(EventKind kind, std::string what, std::string value, double minutes = 0);
    bool add(std::vector<Event> events);
    [[nodiscard]] Event event(EventKind kind, std::string what, std::string value,
                              double minutes = 0) const;

    // -- the other keys
    void help();
    void undo();
    void others();
    void why();
    void everybody_leaves();
    void roll();
    void tell();
    void tell_sign();
    void tell_value(SignId sign);
    void tell_setting();
    void tell_repair();
    void tell_truck();
    void tell_state();
    void tell_words();
    void close();
    bool check_before_leaving(bool cured);
    bool say_of_line(const LeavingCheck& check, std::size_t answer);
    bool readings_as_left(const LeavingCheck& check);
    bool came_up_meanwhile(const std::vector<StopNow>& before);
    bool confirm_causes();

    [[nodiscard]] const Knowledge& knowledge() const { return scene_->shelf.knowledge; }
    [[nodiscard]] bool on_phone() const { return !course_.situation.on_site; }
    [[nodiscard]] bool stopped() const;
    [[nodiscard]] EventKind how_told() const;
    [[nodiscard]] std::int64_t moment() const;

    const Desk* desk_;
    Scene* scene_;
    Model model_;
    Keys keys_;
    bool begun_ = false;  // who is there was said
    bool over_ = false;
    std::size_t depth_ = 0;         // questions within a question
    bool stopped_by_hand_ = false;  // not by the end of the input

    Course course_;
    std::variant<Posterior, Impossible, TooWide> beliefs_;
    Advice advice_;
    std::string ranking_shown_;
    std::set<StopId> acknowledged_;
    bool dangers_asked_ = false;
    bool complaint_asked_ = false;
    bool arrived_ = false;
    std::optional<Pursuit> pursuit_;
    std::deque<TestId> rechecks_;
    std::vector<std::vector<std::uint32_t>> told_together_;  // numbers of entries, in this visit
};

}  // namespace knockwell
