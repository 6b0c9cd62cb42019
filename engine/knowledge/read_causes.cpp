// Causes.
#include "knowledge/fields.hpp"

#include <algorithm>

namespace knockwell {
namespace {

constexpr double judged_to = 3;    // give_or_take of a base rate that somebody judged
constexpr double raised_to = 1.5;  // give_or_take of a multiplier
constexpr NumberRange times_range{0.001, 1000};

/// How well `present` is known, where it does not say so itself: a published, learned or exact rate
/// needs no factor.
std::optional<double> default_give_or_take(const Cause& cause) {
    const bool counted = cause.present.count.kind == Count::Kind::counted;
    const bool from_data =
        cause.head.basis == Basis::published || cause.head.basis == Basis::ledger;
    return counted && !from_data ? std::optional(judged_to) : std::nullopt;
}

std::vector<RaisedBy> read_raised_by(Fields& fields, ReadRun& run) {
    std::vector<RaisedBy> list;
    const Entry* array = fields.entry("raised_by", Node::Kind::array);
    if (array == nullptr)
        return list;
    for (const Node& item : array->value.items()) {
        const std::string what = "an item of " + fields.what("raised_by").text();
        if (!is_kind(run, item, Node::Kind::table, what))
            continue;
        Fields parts(run, item, item.span, what);
        RaisedBy raised;
        raised.span = item.span;
        if (const Entry* when = parts.entry("when", Node::Kind::table, Must::must)) {
            raised.when = read_conditions(run, when->value, fields.who(), fields.who());
            if (when->value.entries().empty())
                run.error("bad-condition", when->value.span, what + " says no condition",
                          "what always holds belongs in 'present'");
        }
        raised.times.value = parts.number("times", times_range, Must::must).value_or(1);
        raised.times.give_or_take = parts.number("give_or_take", factor_range).value_or(raised_to);
        parts.finish();
        list.push_back(std::move(raised));
    }
    return list;
}

/// Table sign = count.
std::vector<SignStrength> read_masks(Fields& fields, ReadRun& run) {
    std::vector<SignStrength> list;
    const Entry* masks = fields.entry("masks", Node::Kind::table);
    if (masks == nullptr)
        return list;
    for (const Entry& entry : masks->value.entries()) {
        const auto sign =
            look_up(run, Kind::sign, entry.key, entry.key_span, fields.who(), "masks a sign");
        const auto strength =
            as_strength(run, entry.value, {"'", entry.key, "' in ", fields.what("masks")});
        if (sign && strength)
            list.push_back({SignId(*sign), *strength});
    }
    return list;
}

std::vector<Shows> read_shows(Fields& fields, ReadRun& run) {
    std::vector<Shows> list;
    const Entry* table = fields.entry("shows", Node::Kind::table);
    if (table == nullptr)
        return list;
    for (const Entry& entry : table->value.entries()) {
        const auto sign =
            look_up(run, Kind::sign, entry.key, entry.key_span, fields.who(), "shows a sign");
        if (!sign)
            continue;
        if (auto shows =
                read_levels_of(run, SignId(*sign), entry.value,
                               {"'", entry.key, "' in ", fields.what("shows")}, entry.key_span))
            list.push_back(std::move(*shows));
    }
    return list;
}

}  // namespace

void read_cause(ReadRun& run, const Definition& definition) {
    const Entry& entry = *definition.entry;
    Cause& cause = run.knowledge.causes[definition.index];
    Fields fields(run, entry.value, entry.key_span, called("cause", entry.key));
    cause.head = read_head(fields, run, entry, Must::must);
    cause.part = fields.text("part");
    if (const auto present = fields.strength("present", Must::must))
        cause.present = *present;
    const auto give_or_take = fields.number("give_or_take", factor_range);
    cause.give_or_take = give_or_take ? give_or_take : default_give_or_take(cause);
    if (const Entry* only_if = fields.entry("only_if", Node::Kind::table))
        cause.only_if = read_conditions(run, only_if->value, fields.who(), fields.who());
    cause.raised_by = read_raised_by(fields, run);
    cause.brought_on_by =
        read_cause_strengths(fields, run, "brought_on_by", "is brought on by a cause");
    if (const Entry* table = fields.entry("brought_on_by"))
        for (const Entry& other : table->value.entries())
            run.links.push_back({fields.who(), called("cause", other.key),
                                 fields.who() + " is brought on by '" + other.key + "'",
                                 other.key_span});
    cause.masks = read_masks(fields, run);
    cause.comes_and_goes = fields.strength("comes_and_goes");
    cause.refer = fields.id<ReferId>("refer", Kind::refer, "names a refer");
    cause.shows = read_shows(fields, run);
    fields.finish();
}

}  // namespace knockwell
