#include "advice/practice.hpp"
#include "base/words.hpp"
#include "beliefs/calls.hpp"
#include "cli/commands.hpp"
#include "cli/kb_card.hpp"
#include "cli/learned_file.hpp"
#include "cli/pick.hpp"
#include "cli/show_json.hpp"
#include "cli/show_lists.hpp"
#include "cli/told.hpp"
#include "knowledge/provenance.hpp"
#include "learning/proposal.hpp"
#include "network/graph.hpp"

#include <algorithm>
#include <optional>
#include <set>
#include <string_view>
#include <utility>

namespace knockwell {
namespace {

/// The definitions of that name; several kinds may have one each.
std::variant<std::vector<Listed>, Refused> listed_as(const Knowledge& knowledge,
                                                     const std::string& typed) {
    const std::vector<Listed> all = all_listed(knowledge);
    std::vector<Listed> same;
    for (const Listed& one : all)
        if (one.id == typed || one.kind + "." + one.id == typed)
            same.push_back(one);
    if (!same.empty())
        return same;
    // "cause.bladder": a cause is meant.
    const std::size_t dot = typed.find('.');
    const std::string kind = typed.substr(0, dot);
    const bool of_kind =
        dot != std::string::npos &&
        std::any_of(all.begin(), all.end(), [&](const Listed& one) { return one.kind == kind; });
    std::vector<Listed> meant;
    std::vector<Pickable> names;
    for (const Listed& one : all)
        if (!of_kind || one.kind == kind) {
            meant.push_back(one);
            names.push_back({one.id, one.title});
        }
    const auto picked = pick(names, of_kind ? typed.substr(dot + 1) : typed,
                             of_kind ? std::string_view(kind) : "definition");
    if (const auto* none = std::get_if<NotPicked>(&picked))
        return refused("kb show " + typed, none->says, none->nearest);
    return std::vector<Listed>{meant[std::get<0>(picked)]};
}

/// Where the values stand that jobs have taught; none where the texts have errors.
std::set<Span> learned_in(const std::filesystem::path& folder, const Shelf& shelf) {
    const auto read = read_learned(folder);
    const auto* record = std::get_if<LearnedRecord>(&read);
    if (record == nullptr || record->numbers.empty() || !shelf.ok())
        return {};
    return learned_places(shelf.sources, coins_of(shelf.knowledge, shelf.network), *record);
}

}  // namespace

Status carry_out(const KbCheckCommand& check, const Desk& desk) {
    const auto folder = knowledge_folder(*desk.here, desk.common.kb);
    Shelf shelf = read_shelf(folder, ReadFor::curator, FileNames::from_here);
    const std::set<Span> learned = learned_in(folder, shelf);
    // Counts that jobs have raised are no judgement any more, and no slip.
    const std::set<std::string> of_counts{"count-too-sure", "present-often", "misses-most"};
    std::erase_if(shelf.problems, [&](const Problem& it) {
        return of_counts.contains(it.code) && learned.contains(it.span);
    });
    if (shelf.ok()) {
        for (Problem& problem : practice_problems(shelf.model()))
            shelf.problems.push_back(std::move(problem));
        put_in_order(shelf.problems);
    }
    const Status status = shelf.problems.empty() ? status_done : status_problems;
    const auto provenance =
        check.sources ? std::optional(provenance_of(shelf.knowledge, learned)) : std::nullopt;
    if (desk.common.json) {
        desk.print(problems_json(shelf.problems, shelf.sources, provenance));
        return status;
    }
    for (const Problem& problem : shelf.problems)
        desk.print(to_text(problem, shelf.sources));
    Page page(desk.style);
    page.text(folder.string() + ": " + count_words(count_of(shelf.problems)) + " in " +
              std::to_string(shelf.sources.size()) + " files");
    if (provenance)
        show_provenance(page, *provenance);
    desk.print(page.all());
    return status;
}

Status carry_out(const KbShowCommand& show, const Desk& desk) {
    const auto shelf = desk.shelf(ReadFor::curator, FileNames::from_here);
    if (!shelf)
        return status_usage;
    Page page(desk.style);
    if (show.names.empty()) {
        const std::string version = shelf->version();
        show_overview(page, shelf->knowledge, version);
        desk.print(desk.common.json ? overview_json(shelf->knowledge, version) : page.all());
        return status_done;
    }
    // One name that nothing has keeps nobody from the others.
    Status status = status_done;
    std::vector<Listed> wanted;
    for (const std::string& name : show.names) {
        const auto listed = listed_as(shelf->knowledge, name);
        if (const auto* none = std::get_if<Refused>(&listed)) {
            desk.complain(none->text);
            status = status_usage;
            continue;
        }
        for (const Listed& one : std::get<0>(listed))
            if (std::find(wanted.begin(), wanted.end(), one) == wanted.end())
                wanted.push_back(one);
    }
    if (wanted.empty())
        return status;
    const bool cause = std::any_of(wanted.begin(), wanted.end(),
                                   [](const Listed& one) { return one.kind == "cause"; });
    const auto calls = cause ? shares_of_calls(shelf->model()) : std::nullopt;
    std::vector<Card> cards;
    for (const Listed& one : wanted)
        cards.push_back(card(shelf->knowledge, shelf->sources, one, calls));
    for (const Card& one : cards) {
        page.gap();
        show_card(page, one);
    }
    desk.print(desk.common.json ? cards_json(cards) : page.all());
    return status;
}

Status carry_out(const KbGraphCommand& graph, const Desk& desk) {
    const auto shelf = desk.shelf(ReadFor::curator);
    if (!shelf)
        return status_usage;
    std::optional<CauseId> about;
    if (!graph.cause.empty()) {
        const auto cause = find_cause(shelf->knowledge, graph.cause);
        if (const auto* none = std::get_if<Refused>(&cause)) {
            desk.complain(none->text);
            return status_usage;
        }
        about = std::get<CauseId>(cause);
    }
    const std::string dot = to_dot(shelf->knowledge, shelf->network, about);
    desk.print(desk.common.json ? graph_json(dot) : dot);
    return status_done;
}

Status carry_out(const KbPracticeCommand&, const Desk& desk) {
    const auto shelf = desk.shelf(ReadFor::curator);
    if (!shelf)
        return status_usage;
    const std::vector<PracticeResult> results = run_practice(shelf->model(), Complaint::too);
    const std::vector<PracticeRates> rates = practice_rates(results, shelf->sources);
    if (desk.common.json) {
        desk.print(practice_json(results, rates));
    } else {
        Page page(desk.style);
        show_practice(page, results, rates);
        desk.print(page.all());
    }
    // What `kb check` lets be is no failure here either.
    const bool all_well = std::all_of(results.begin(), results.end(), [](const PracticeResult& it) {
        return it.passed || it.accepted;
    });
    return all_well ? status_done : status_problems;
}

}  // namespace knockwell
