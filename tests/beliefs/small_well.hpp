// A small well written as values, so that findings and jobs can be tested without the reader of
// knowledge.
#pragma once
#include "knowledge/model.hpp"

namespace knockwell::small_well {

inline Head head(const std::string& id, const std::string& title) {
    Head made;
    made.id = id;
    made.title = title;
    return made;
}

inline Sign flag(const std::string& id, const std::string& title) {
    Sign made;
    made.head = head(id, title);
    made.normal = "no";
    made.high = {"yes"};
    return made;
}

inline Sign gauge() {
    Sign made;
    made.head = head("system-pressure", "Gauge at the tank tee");
    made.form = SignForm::levels;
    made.normal = "in-band";
    made.low = {"below-cut-in", "empty"};
    made.high = {"over-cut-out", "dangerous"};
    Reading reading;
    reading.unit = "psi";
    reading.within = 2;
    reading.low = {{"cut-in", 1, -3, {}}, {"", 1, 2, {}}};
    reading.high = {{"cut-out", 1, 4, {}}, {"", 1, 90, {}}};
    made.reading = reading;
    return made;
}

inline Sign one_sided(const std::string& id, const std::string& title, SignForm form,
                      const std::string& normal, std::vector<std::string> high) {
    Sign made;
    made.head = head(id, title);
    made.form = form;
    made.normal = normal;
    made.high = std::move(high);
    return made;
}

inline Setting choices(const std::string& id, const std::string& title, const std::string& unit,
                       std::vector<std::string> states) {
    Setting made;
    made.head = head(id, title);
    made.unit = unit;
    made.states = std::move(states);
    made.prior.assign(made.states.size(), Strength{Count{Count::Kind::exact, 1, 1}, {}});
    return made;
}

inline Test test(const std::string& id, AccessId at, Needs needs, std::vector<Findable> reveals) {
    Test made;
    made.step.head = head(id, "Test " + id);
    made.step.at = at;
    made.step.needs = needs;
    made.reveals = std::move(reveals);
    return made;
}

/// Signs 0 system-pressure, 1 contacts-open, 2 flow, 3 comes-back, 4 proved-zero; accesses 0 tank,
/// 1 switch-cover-off (dead only); tests 0 read-gauge, 1 look-at-contacts (power on), 2 try-faucet,
/// 3 open-drain.
inline Knowledge knowledge() {
    Knowledge made;
    Setting range = choices("switch-range", "Pressure-switch range", "psi", {"20/40", "30/50"});
    range.gives = {{{"cut-in", 20}, {"cut-out", 40}}, {{"cut-in", 30}, {"cut-out", 50}}};
    Setting age =
        choices("age", "Age of the system", "years", {"under-5", "from-5-to-10", "older"});
    age.starts = {0, 5, 10};
    Setting rain = choices("rain", "It rained", "", {"no", "some", "much"});
    rain.table = true;
    made.settings = {choices("pump", "Pump", "", {"submersible", "shallow-jet", "deep-jet"}), range,
                     age, choices("volts", "Supply", "V", {"115", "230"}), rain};

    made.signs = {gauge(), flag("contacts-open", "Contacts open while the gauge reads low"),
                  one_sided("flow", "Water at the faucet", SignForm::levels, "full",
                            {"weak", "very-weak", "none"}),
                  one_sided("comes-back", "Water comes back by itself", SignForm::kinds, "no",
                            {"within-2-min", "later"}),
                  flag("proved-zero", "An opened drain stopped running")};
    made.signs[3].symptom = true;
    made.causes.resize(2);
    made.causes[0].head = head("plugged-port", "Deposits plug the switch port");
    made.causes[1].head = head("worn-pump", "Pump worn out");

    made.accesses.resize(2);
    made.accesses[0].head = head("tank", "At the tank");
    made.accesses[1].head = head("switch-cover-off", "Switch cover off");
    made.accesses[1].via = AccessId{0};
    made.accesses[1].power_off = true;

    Needs live;
    live.power = Power::on;
    made.tests = {test("read-gauge", AccessId{0}, {}, {SignId{0}}),
                  test("look-at-contacts", AccessId{1}, live, {SignId{1}}),
                  test("try-faucet", {}, {}, {SignId{2}}),
                  test("open-drain", AccessId{0}, {}, {SignId{4}})};
    Repair clear;
    clear.step.head = head("clear-port", "Clear the switch port");
    made.repairs = {clear};
    made.refers.resize(1);
    made.refers[0].head = head("call-electrician", "Call an electrician");

    Stop stop;
    stop.head = head("over-pressure", "Pressure beyond the plate");
    stop.when = {{SignId{0}, {2}}};
    stop.cleared_by = {SignId{4}};
    made.stops = {stop};
    return made;
}

}  // namespace knockwell::small_well
