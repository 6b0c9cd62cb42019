// A small well told in TOML, for tests of advice that need beliefs.
#pragma once
#include "advice/advice.hpp"
#include "beliefs/finding.hpp"
#include "support/knowledge_of.hpp"

#include <gtest/gtest.h>

#include <string>
#include <utility>
#include <variant>

namespace knockwell::well {

inline constexpr std::string_view text = R"(
[manifest]
name    = "A small well"
version = "1"
format  = 1

[reports]
told   = { misses = "1 in 10", false_alarm = "1 in 20" }
looked = { misses = "1 in 20", false_alarm = "1 in 50" }

[setting.pump]
title   = "Pump"
ask     = "Is the pump down in the well?"
choices = { submersible = "8 in 10", jet = "2 in 10" }

[setting.plate]
title   = "Lowest plate"
unit    = "psi"
choices = { "75" = "5 in 10", "125" = "5 in 10" }
gives   = { "75" = { lowest-rating = 75 }, "125" = { lowest-rating = 125 } }

[cause.failed-bladder]
title   = "Bladder failed"
present = "15 in 1000"
[cause.failed-bladder.shows]
surging   = "9 in 10"
tank-dull = "9 in 10"

[cause.plugged-port]
title   = "Switch port plugged"
present = "10 in 1000"
[cause.plugged-port.shows]
comes-back    = "8 in 10"
contacts-open = "9 in 10"
surging       = "2 in 10"
gauge         = { dangerous = "1 in 20" }

[cause.burnt-contacts]
title   = "Contacts burnt"
present = "10 in 1000"
[cause.burnt-contacts.shows]
comes-back     = "4 in 10"
contacts-burnt = "9 in 10"
surging        = "1 in 10"

[cause.lost-prime]
title   = "Prime lost"
present = "400 in 1000"
only_if = { pump = "jet" }
refer   = "well-work"
[cause.lost-prime.shows]
prime-low = "9 in 10"

[cause.rusty-bracket]
title   = "Bracket rusted"
present = "10 in 100"
[cause.rusty-bracket.shows]
bracket-rust = "9 in 10"

[symptom.surging]
title = "Pressure surges"
ask   = "Does the pressure surge?"
seen_anyway = "1 in 100"

[symptom.comes-back]
title = "Water goes and comes back"
ask   = "Does it come back by itself?"
seen_anyway = "1 in 100"

[observation.tank-dull]
title = "Tank sounds dull"
seen_anyway = "1 in 20"

[observation.contacts-open]
title = "Contacts open at low pressure"
seen_anyway = "1 in 100"

[observation.contacts-burnt]
title = "Contacts burnt"
seen_anyway = "1 in 100"

[observation.prime-low]
title = "Pump case not full"
seen_anyway = "1 in 100"

[observation.bracket-rust]
title = "Bracket rusty"
seen_anyway = "1 in 100"

[observation.swollen]
title = "Tank swollen"
seen_anyway = "1 in 1000"

[observation.runs-on]
title = "Pump never stops"
seen_anyway = "1 in 100"

[observation.gauge]
title   = "Gauge"
reading = { unit = "psi", within = 2 }
levels  = { low = ["empty"], normal = "in-band", high = ["dangerous"] }
edges   = { empty = 2, dangerous = { of = "lowest-rating", times = 0.9 } }
seen_anyway = { dangerous = "1 in 1000" }

[observation.drain-stopped]
title = "Opened drain has stopped running"
seen_anyway = "95 in 100"

[caution.look-first]
text   = "Look before you touch the tank."
covers = ["pressure"]

[caution.line-voltage]
text   = "Line voltage kills."
covers = ["live"]

[access.tank]
title    = "At the tank"
minutes  = 2

[access.cover-off]
title    = "Switch cover off"
minutes  = 3
via      = "tank"
power    = "off"
skill    = "qualified"
hazards  = ["live"]
cautions = ["line-voltage"]

[test.knock]
title    = "Knock on the tank"
how      = "Knock at the top and at the bottom."
reveals  = ["tank-dull"]
minutes  = 1
at       = "tank"
needs    = { skill = "owner" }
cautions = ["look-first"]

[test.look-at-contacts]
title    = "Look at the contacts"
how      = "Stand clear and look."
reveals  = ["contacts-open", "contacts-burnt"]
minutes  = 1
at       = "cover-off"
needs    = { power = "on", skill = "qualified" }
misses   = "1 in 50"
false_alarm = "1 in 50"

[test.look-at-prime]
title    = "Look into the pump case"
how      = "Look."
reveals  = ["prime-low"]
minutes  = 2
needs    = { skill = "helper" }
only_if  = { pump = "jet" }

[test.look-at-bracket]
title    = "Look at the bracket"
how      = "Look."
reveals  = ["bracket-rust"]
minutes  = 1
needs    = { skill = "owner" }

[test.read-gauge]
title    = "Read the gauge"
how      = "Read it."
reveals  = ["gauge"]
minutes  = 1
at       = "tank"
needs    = { skill = "owner" }
cautions = ["look-first"]

[test.press-valve]
title    = "Press the air valve"
how      = "Press it for a second."
reveals  = ["tank-dull"]
minutes  = 2
at       = "tank"
hazards  = ["pressure"]
cautions = ["look-first"]

[test.watch-the-drain]
title    = "Watch the opened drain"
how      = "Watch it from a distance."
reveals  = ["drain-stopped"]
minutes  = 3
at       = "tank"
needs    = { skill = "owner" }

[part.tank]
title = "Bladder tank"

[repair.replace-tank]
title    = "Replace the tank"
how      = "Replace it."
fixes    = { failed-bladder = "98 in 100" }
minutes  = 90
at       = "tank"
needs    = { power = "off", pressure = "zero", tank = "drained" }
hazards  = ["pressure", "live"]
cautions = ["look-first", "line-voltage"]
parts    = { tank = 1 }

[repair.clear-port]
title    = "Clear the port"
how      = "Clear it."
fixes    = { plugged-port = "95 in 100" }
minutes  = 20
at       = "cover-off"
needs    = { power = "off" }

[repair.replace-switch]
title    = "Replace the switch"
how      = "Replace it."
fixes    = { burnt-contacts = "98 in 100", plugged-port = "5 in 10" }
minutes  = 40
at       = "cover-off"
needs    = { power = "off" }

[refer.well-work]
title = "Well contractor"
to    = "well-contractor"
takes = ["rusty-bracket"]

[stop.swollen]
title      = "Tank swollen"
when       = { swollen = "yes" }
do_now     = "Get away."
blocks     = "all"
cleared_by = ["drain-stopped"]
mended_by  = ["replace-tank"]

[stop.over-pressure]
title      = "Gauge past the plate"
when       = { gauge = "dangerous" }
likely     = "1 in 10"
do_now     = "Get away."
blocks     = "all"
cleared_by = ["drain-stopped"]

[stop.runs-on]
title      = "Pump never stops"
when       = { runs-on = "yes" }
do_now     = "Read the gauge from a distance."
blocks     = ["live", "pressure"]
cleared_by = ["drain-stopped"]
)";

/// The well (or another knowledge) with its network. Not to be moved: the model points into it.
class Bench {
public:
    explicit Bench(std::string_view toml = text)
        : knowledge_(knowledge_of(toml)), network_(compile(knowledge_)) {}

    const Knowledge& knowledge() const { return knowledge_; }
    Model model() const { return {&knowledge_, &network_}; }

    void find(std::string_view what, std::string_view value, Via via = Via::looked,
              std::size_t stage = 0) {
        auto read = read_finding(knowledge_, what, value, via);
        ASSERT_TRUE(std::holds_alternative<Finding>(read)) << what << "=" << value;
        auto finding = std::get<Finding>(read);
        finding.stage = stage;
        add(evidence, finding);
    }

    void set(std::string_view what, std::string_view value) {
        const auto read = read_setting(knowledge_, what, value);
        if (const auto* setting = std::get_if<KnownSetting>(&read))
            evidence.settings[setting->setting] = setting->state;
        else if (const auto* quantity = std::get_if<KnownQuantity>(&read))
            evidence.quantities[quantity->name] = quantity->value;
        else
            ADD_FAILURE() << what << "=" << value;
    }

    Posterior now() const {
        const Answer answer = posterior(model(), evidence);
        EXPECT_TRUE(std::holds_alternative<Posterior>(answer));
        return std::get<Posterior>(answer);
    }

    Advice advice(const Situation& situation, std::size_t most = 100) const {
        return advise(model(), evidence, now(), situation, {most});
    }

    Evidence evidence;

private:
    Knowledge knowledge_;
    Network network_;
};

inline Situation on_site(Skill who) {
    Situation made;
    made.who = who;
    made.on_site = true;
    return made;
}

inline std::vector<std::string> ids_of(const Advice& advice) {
    std::vector<std::string> ids;
    for (const Suggestion& it : advice.next)
        ids.push_back(it.id);
    return ids;
}

inline const Suggestion* suggested(const Advice& advice, std::string_view id) {
    for (const Suggestion& it : advice.next)
        if (it.id == id)
            return &it;
    return nullptr;
}

inline std::string why_held(const Advice& advice, std::string_view id) {
    for (const HeldBack& it : advice.held_back)
        if (it.id == id)
            return it.why;
    return "";
}

}  // namespace knockwell::well
