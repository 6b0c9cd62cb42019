#include "cli/house_facts.hpp"

#include "base/words.hpp"
#include "beliefs/likelihood.hpp"
#include "job/course.hpp"
#include "job/identity.hpp"
#include "job/summary.hpp"

#include <optional>
#include <variant>

namespace knockwell {
namespace {

std::optional<Job> earlier_job(const Ledger& ledger, const Job& job) {
    const Summary now = summary_of(job);
    std::string id = now.call_back_of.value_or("");
    if (id.empty())
        for (const JobLine& line : ledger.at_installation(now.installation, 2, now.area))
            if (id.empty() && line.id != job.id)
                id = line.id;
    if (id.empty())
        return std::nullopt;
    FoundJob found = ledger.find(id);
    auto* earlier = std::get_if<Job>(&found);
    return earlier != nullptr ? std::optional(std::move(*earlier)) : std::nullopt;
}

std::string set_word(const std::string& what, const std::string& value) {
    return " --set " + what + "=" + as_argument(value);
}

}  // namespace

std::string known_of_the_house(const Shelf& shelf, const Ledger& ledger, const Job& job) {
    const std::optional<Job> earlier = earlier_job(ledger, job);
    if (!earlier)
        return {};
    const Knowledge& knowledge = shelf.knowledge;
    const Evidence then = course_of(knowledge, *earlier).evidence;
    const Evidence now = course_of(knowledge, job).evidence;
    std::string words;
    for (const auto& [setting, state] : then.settings)
        if (!now.settings.contains(setting) && !knowledge[setting].passing)
            words += set_word(knowledge[setting].head.id, knowledge[setting].states[state]);
    for (const auto& [quantity, value] : then.quantities)
        if (!now.quantities.contains(quantity))
            words += set_word(quantity, to_the_last_digit(value) +
                                            knowledge[*giver_of(knowledge, quantity)].unit);
    if (words.empty())
        return {};
    return "Job " + short_id(earlier->id) + " wrote of this house: knockwell found --job " +
           short_id(job.id) + words + " (leave out what has changed since)";
}

}  // namespace knockwell
