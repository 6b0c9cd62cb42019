// advice/phone.hpp
//
// While the customer is on the phone: whether somebody should drive there now, and what to ask.
//
// Idea     the first of these that holds decides: a danger; a danger that nobody has asked for;
//          nothing reported yet; a cure that the owner may make; work that is for somebody with a
//          licence; else somebody drives, and what is left to ask is asked while the truck is made
//          ready
// Care     the owner's hands only: what may be asked and done is what advise() offers an owner on
//          the phone, whoever asks
// Held by  tests/advice/truck_test.cpp
#pragma once
#include "advice/advice.hpp"
#include "advice/truck.hpp"

#include <optional>
#include <vector>

namespace knockwell {

/// A cure by the owner, or work for a licence, decides from this share of the trouble on
/// (judgement).
constexpr double share_that_decides = 0.5;

/// Of so many steps that would come first on site the truck has the tools of those that are tests.
inline constexpr std::size_t first_looks = 6;

enum class Roll {
    danger_first,  // a stop stands: what it says comes before any truck
    ask_first,     // the dangers, or what is wrong, were not asked yet
    owner_first,   // something the owner may do ends it as likely as not
    hand_over,     // more than half of it is work for somebody with a licence
    roll,          // somebody drives
};

struct PhoneStage {
    Roll roll = Roll::roll;
    std::vector<StopNow> stops;
    std::vector<SignId> dangers;     // signs of danger that nobody has asked for yet
    std::optional<Suggestion> next;  // the best step for the owner: a question, a look
    double owner_ends = 0;           // share of the trouble that what the owner may do would end
    double handed_over = 0;          // share that a refer takes
    TruckList truck;
    std::vector<std::string> look_tools;  // of the first looks on site, by the alphabet
};

/// `now` must be the posterior of the same evidence.
[[nodiscard]] PhoneStage phone_stage(const Model& model, const Evidence& evidence,
                                     const Posterior& now, const Situation& situation,
                                     double cover = 0.9, const Rates* rates = nullptr);

/// Signs that bring up a stop by themselves and that anybody can see, hear or smell: by the most
/// urgent of their stops, then in the order of the text.
[[nodiscard]] std::vector<SignId> signs_of_danger(const Knowledge& knowledge);

/// How soon the most urgent harms of the stops that the sign brings up by itself.
[[nodiscard]] Urgency urgency(const Knowledge& knowledge, SignId danger);

}  // namespace knockwell
