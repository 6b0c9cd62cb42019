#include "learning/proposal.hpp"

#include "knowledge/edit.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <optional>
#include <utility>

namespace knockwell {
namespace {

constexpr std::string_view give_or_take = ".give_or_take";

/// As many digits behind the point as make `digits` in all, without zeros at the end.
std::string decimals(double value, int digits) {
    const int before = value > 0 ? static_cast<int>(std::floor(std::log10(value))) + 1 : 1;
    const int behind = std::clamp(digits - before, 0, 12);
    std::array<char, 64> out{};
    const auto end =
        std::to_chars(out.data(), out.data() + out.size(), value, std::chars_format::fixed, behind);
    std::string text(out.data(), end.ptr);
    if (text.find('.') != std::string::npos) {
        text.erase(text.find_last_not_of('0') + 1);
        if (text.back() == '.')
            text.pop_back();
    }
    return text;
}

std::optional<std::string_view> whole_line(const std::vector<Source>& sources, std::uint32_t source,
                                           std::uint32_t line) {
    if (line == 0 || source >= sources.size())
        return std::nullopt;
    return line_of(sources[source].text, line);
}

Span line_start(const Span& span, std::uint32_t line) {
    return {span.source, {line, 1}, {line, 1}};
}

/// The line before the one on which a rate stands, where learning puts how well it is known.
std::optional<std::string_view> line_before(const std::vector<Source>& sources, const Span& span) {
    return whole_line(sources, span.source, span.begin.line - 1);
}

/// Whether the definition around `span` says `give_or_take` itself, learned or not.
bool says_give_or_take(const std::vector<Source>& sources, const Span& span) {
    const auto says = [&](std::uint32_t line) {
        const auto text = whole_line(sources, span.source, line);
        return text && text->find("give_or_take") != std::string_view::npos &&
               text->find("raised_by") == std::string_view::npos;
    };
    const auto is_head = [&](std::uint32_t line) {
        const auto text = whole_line(sources, span.source, line);
        return text && text->starts_with("[");
    };
    for (std::uint32_t line = span.begin.line; line > 0 && !is_head(line); --line)
        if (says(line))
            return true;
    const auto lines = static_cast<std::uint32_t>(
        std::count(sources[span.source].text.begin(), sources[span.source].text.end(), '\n') + 1);
    for (std::uint32_t line = span.begin.line; line <= lines && !is_head(line); ++line)
        if (says(line))
            return true;
    return false;
}

std::map<std::string, const CoinSide*> by_name(const std::vector<Coin>& coins) {
    std::map<std::string, const CoinSide*> all;
    for (const Coin& coin : coins)
        for (const CoinSide& side : coin.sides)
            all.emplace(side.name, &side);
    return all;
}

/// What the model makes of a count in quotes; nothing of a word of the manifest.
std::optional<double> chance_in(std::string_view quoted) {
    if (quoted.size() < 2)
        return std::nullopt;
    const auto count = parse_count(quoted.substr(1, quoted.size() - 2));
    const auto* is = std::get_if<Count>(&count);
    return is == nullptr ? std::nullopt : std::optional(is->mean());
}

/// "cause.worn-pump.give_or_take" of "cause.worn-pump.present"
std::string spread_name(const std::string& rate) {
    return rate.substr(0, rate.rfind('.')) + std::string(give_or_take);
}

class Proposing {
public:
    Proposing(const LearnedFrom& from, const LearnedNumbers& learned, const LessonBook& book)
        : from_(from), learned_(learned), book_(book), present_(by_name(*from.coins)) {}

    Proposal run() {
        for (std::size_t i = 0; i < from_.first->size(); ++i)
            take((*from_.first)[i], learned_.coins[i]);
        std::stable_sort(
            out_.changes.begin(), out_.changes.end(),
            [](const NumberChange& a, const NumberChange& b) { return a.span < b.span; });
        return std::move(out_);
    }

private:
    /// A count moves where jobs told as much as a twentieth of a case, or moved it by a hundredth.
    [[nodiscard]] bool is_worth(const Coin& coin, const CoinLearned& it) const {
        constexpr double cases = 0.05;
        constexpr double share = 0.01;
        constexpr double spread = 0.99;
        const bool surer =
            coin.spread > 0 ? it.spread < spread * coin.spread : it.cases - coin.cases() >= cases;
        return surer || std::any_of(coin.sides.begin(), coin.sides.end(), [&](const CoinSide& of) {
                   const double was = from_.first_network->point[of.strength];
                   return std::abs(learned_.strengths[of.strength] - was) > share * was;
               });
    }

    void take(const Coin& coin, const CoinLearned& it) {
        out_.numbers += coin.sides.size();
        const bool worth = is_worth(coin, it);
        for (std::size_t s = 0; s < coin.sides.size(); ++s) {
            const CoinSide& side = coin.sides[s];
            const auto at = present_.find(side.name);
            if (at == present_.end()) {
                out_.odd.push_back(side.name);
                continue;
            }
            const double p = learned_.strengths[side.strength];
            std::string text = std::string(*text_at(*from_.before, side.span));
            const std::string written = text;
            if (worth)
                text = coin.spread > 0 ? rate_text(p, written)
                                       : count_text(counted_on(p * it.cases, it.cases), it.cases);
            NumberChange change = about(coin, it, s);
            change.span = at->second->span;
            change.written = written;
            change.learned = text;
            // What is told is what stands there then, and the model takes.
            if (text == written)
                change.p_learned = change.p_written;
            else if (coin.spread == 0)
                change.p_learned = chance_in(text).value_or(change.p_learned);
            if (!put(std::move(change)))
                continue;
            if (coin.spread > 0)
                take_spread(coin, it, at->second->span, worth);
        }
    }

    [[nodiscard]] NumberChange about(const Coin& coin, const CoinLearned& it, std::size_t s) const {
        NumberChange change;
        const CoinSide& side = coin.sides[s];
        change.name = side.name;
        change.p_written = from_.first_network->point[side.strength];
        change.p_learned = learned_.strengths[side.strength];
        change.fallen = it.fallen[s];
        change.tossed = it.tossed;
        change.jobs = it.jobs;
        for (const std::uint32_t job : it.loudest)
            if (job != CoinLearned::nobody)
                change.loudest.push_back(book_.ids()[job]);
        return change;
    }

    /// What the model makes of a share of so few cases (base/count.hpp) stands in the text too.
    static double counted_on(double k, double n) {
        constexpr double half = 0.5;
        return n < 1 ? k : std::clamp(k, half, n - half);
    }

    /// A rate keeps its n, which says nothing of how well it is known.
    static std::string rate_text(double p, const std::string& written) {
        constexpr double usual = 1000;
        double n = usual;
        const std::string_view inside = std::string_view(written).substr(1, written.size() - 2);
        const auto count = parse_count(inside);
        if (const auto* is = std::get_if<Count>(&count); is && is->kind == Count::Kind::counted)
            n = is->n;
        return count_text(p * n, n);
    }

    /// How well a rate is known stands on a line of its own before it, where the definition does
    /// not say it itself.
    void take_spread(const Coin& coin, const CoinLearned& it, const Span& rate, bool worth) {
        const std::string name = spread_name(coin.sides.front().name);
        const auto known = from_.record->numbers.find(name);
        const auto line = whole_line(*from_.present, rate.source, rate.begin.line);
        if (!line || !line->starts_with("present"))
            return;
        const auto before = line_before(*from_.present, rate);
        const bool ours =
            known != from_.record->numbers.end() && before && *before == known->second.learned;
        if (!ours && says_give_or_take(*from_.present, rate))
            return;
        constexpr double narrower = 0.99;
        constexpr double narrowest = 1.01;  // 1 would be exact, and stay so
        const bool told = worth && it.spread < narrower * coin.spread;
        NumberChange change = about(coin, it, 0);
        change.name = name;
        change.p_written = std::exp(2 * coin.spread);
        change.p_learned = std::exp(2 * it.spread);
        change.now = ours ? known->second.learned : "";
        if (told || ours)  // a line that was put in stays
            change.learned =
                "give_or_take = " +
                decimals(std::max(narrowest, told ? change.p_learned : change.p_written), 4);
        change.span = line_start(rate, rate.begin.line);
        if (ours) {
            change.span.begin.line = change.span.end.line = rate.begin.line - 1;
            change.span.end.column = static_cast<std::uint32_t>(code_points(*before)) + 1;
        }
        if (change.now != change.learned)
            out_.changes.push_back(std::move(change));
    }

    /// False where it cannot be changed.
    bool put(NumberChange change) {
        const auto now = text_at(*from_.present, change.span);
        if (!now || now->size() < 2 || now->front() != now->back() ||
            (now->front() != '"' && now->front() != '\'')) {
            out_.odd.push_back(change.name);
            return false;
        }
        change.now = std::string(*now);
        if (change.now != change.learned)
            out_.changes.push_back(std::move(change));
        return true;
    }

    const LearnedFrom& from_;
    const LearnedNumbers& learned_;
    const LessonBook& book_;
    std::map<std::string, const CoinSide*> present_;
    Proposal out_;
};

/// A change as an edit of the text: a line that is put in goes with its end.
TextEdit edit_of(const NumberChange& change) {
    TextEdit edit{change.span, change.learned};
    if (!change.name.ends_with(give_or_take))
        return edit;
    if (change.now.empty())
        edit.with += "\n";
    return edit;
}

}  // namespace

std::string count_text(double k, double n) {
    constexpr double many = 1000;
    return "\"" + decimals(k, k < many ? 4 : 7) + " in " + decimals(n, n < many ? 5 : 7) + "\"";
}

std::vector<Source> as_written(const std::vector<Source>& sources, const std::vector<Coin>& coins,
                               const LearnedRecord& record) {
    const auto present = by_name(coins);
    std::vector<TextEdit> edits;
    for (const auto& [name, number] : record.numbers) {
        if (name.ends_with(give_or_take)) {
            const std::string rate = name.substr(0, name.size() - give_or_take.size()) + ".present";
            const auto at = present.find(rate);
            if (at == present.end())
                continue;
            const Span& span = at->second->span;
            const auto before = line_before(sources, span);
            if (before && *before == number.learned) {
                // The line stays, empty: places of other numbers stay with it.
                const auto columns = static_cast<std::uint32_t>(code_points(*before)) + 1;
                edits.push_back(
                    {{span.source, {span.begin.line - 1, 1}, {span.begin.line - 1, columns}}, ""});
            }
            continue;
        }
        const auto at = present.find(name);
        if (at == present.end())
            continue;
        const auto now = text_at(sources, at->second->span);
        if (now && *now == number.learned)
            edits.push_back({at->second->span, number.written});
    }
    return edited(sources, std::move(edits)).value_or(sources);
}

std::set<Span> learned_places(const std::vector<Source>& sources, const std::vector<Coin>& coins,
                              const LearnedRecord& record) {
    std::set<Span> places;
    for (const auto& [name, side] : by_name(coins)) {
        const auto number = record.numbers.find(name);
        const auto now = text_at(sources, side->span);
        if (number != record.numbers.end() && now && *now == number->second.learned)
            places.insert(side->span);
    }
    return places;
}

Proposal propose(const LearnedFrom& from, const LearnedNumbers& learned, const LessonBook& book) {
    return Proposing(from, learned, book).run();
}

std::optional<std::vector<Source>> with_changes(const std::vector<Source>& present,
                                                const Proposal& proposal) {
    std::vector<TextEdit> edits;
    for (const NumberChange& change : proposal.changes)
        edits.push_back(edit_of(change));
    return edited(present, std::move(edits));
}

LearnedRecord record_of(const LearnedRecord& before, const Proposal& proposal,
                        const LearnedNumbers& learned, const LessonBook& book) {
    LearnedRecord record = before;
    for (const NumberChange& change : proposal.changes) {
        if (change.learned == change.written)
            record.numbers.erase(change.name);
        else
            record.numbers[change.name] = {change.written, change.learned};
    }
    const std::set<std::string> impossible(learned.impossible.begin(), learned.impossible.end());
    record.jobs.clear();
    for (const std::string& id : book.ids())
        if (!impossible.contains(id))
            record.jobs.insert(id);
    return record;
}

}  // namespace knockwell
