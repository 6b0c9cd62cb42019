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
#include "network/graph.hpp"

#include <algorithm>
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

/// Where the definition stands that a learned number ("cause.worn-pump.present") is of; nowhere
/// where there is none of that kind and name.
Span definition_of(const Knowledge& knowledge, std::string_view number) {
    const std::size_t dot = std::min(number.find('.'), number.size());
    const std::string_view kind = number.substr(0, dot);
    const std::string_view rest = number.substr(std::min(dot + 1, number.size()));
    const std::string_view id = rest.substr(0, rest.find('.'));
    if (const CauseId cause = cause_named(knowledge, id); kind == "cause" && cause.valid())
        return knowledge[cause].head.span;
    if (const SignId sign = sign_named(knowledge, id);
        (kind == "symptom" || kind == "observation") && sign.valid())
        return knowledge[sign].head.span;
    if (const TestId test = test_named(knowledge, id); kind == "test" && test.valid())
        return knowledge[test].step.head.span;
    if (const RepairId repair = repair_named(knowledge, id); kind == "repair" && repair.valid())
        return knowledge[repair].step.head.span;
    return {};
}

/// Counts that jobs have raised (learned.json) are no judgement any more.
void let_learned_counts_be(const std::filesystem::path& folder, Shelf& shelf) {
    const auto read = read_learned(folder);
    const auto* record = std::get_if<LearnedRecord>(&read);
    if (record == nullptr)
        return;
    std::set<Span> learned;
    for (const auto& [name, number] : record->numbers)
        learned.insert(definition_of(shelf.knowledge, name));
    std::erase_if(shelf.problems, [&](const Problem& it) {
        return it.code == "count-too-sure" && learned.contains(it.span);
    });
}

}  // namespace

Status carry_out(const KbCheckCommand& check, const Desk& desk) {
    const auto folder = knowledge_folder(*desk.here, desk.common.kb);
    Shelf shelf = read_shelf(folder, ReadFor::curator, FileNames::from_here);
    let_learned_counts_be(folder, shelf);
    if (shelf.ok()) {
        for (Problem& problem : practice_problems(shelf.model()))
            shelf.problems.push_back(std::move(problem));
        put_in_order(shelf.problems);
    }
    const Status status = shelf.problems.empty() ? status_done : status_problems;
    if (desk.common.json) {
        desk.print(problems_json(shelf.problems, shelf.sources,
                                 check.sources ? &shelf.knowledge : nullptr));
        return status;
    }
    for (const Problem& problem : shelf.problems)
        desk.print(to_text(problem, shelf.sources));
    Page page(desk.style);
    page.text(folder.string() + ": " + count_words(count_of(shelf.problems)) + " in " +
              std::to_string(shelf.sources.size()) + " files");
    if (check.sources)
        show_provenance(page, shelf.knowledge);
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
