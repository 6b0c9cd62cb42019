#include "knowledge/alike.hpp"

#include <algorithm>
#include <map>

namespace knockwell {
namespace {

constexpr double clear_factor = 2;  // 3 dB
constexpr std::size_t most_alike = 20;

/// One way in which a sign reaches us.
struct View {
    SignId sign;
    Channel channel;
    bool operator==(const View&) const = default;
};

/// Chance of each value of a sign, numbered as Sign::value_name does.
using Look = std::vector<double>;

std::vector<View> views_of(const Knowledge& knowledge) {
    constexpr Count never{};
    std::vector<View> views;
    const auto add = [&views](const View& view) {
        if (std::find(views.begin(), views.end(), view) == views.end())
            views.push_back(view);
    };
    for (std::size_t i = 0; i < knowledge.signs.size(); ++i) {
        const Sign& sign = knowledge.signs[i];
        if (sign.symptom)
            add({SignId(i), sign.phone_report.value_or(knowledge.manifest.told)});
    }
    for (const Test& test : knowledge.tests) {
        for (const Findable& what : test.reveals) {
            const auto* sign = std::get_if<SignId>(&what);
            if (sign == nullptr)
                continue;
            // An instrument is not blurred by the channel of an untested look.
            const Channel otherwise =
                knowledge[*sign].reading ? Channel{never, never} : knowledge.manifest.looked;
            add({*sign, test.channel.value_or(otherwise)});
        }
    }
    return views;
}

double strength_at(const std::vector<Strength>& strengths, std::size_t level) {
    return level < strengths.size() ? strengths[level].count.mean() : 0;
}

/// Chance that what draws a level by these strengths stays at or under level `level` (0 = normal).
double stays_under(const std::vector<Strength>& strengths, std::size_t level, double acts) {
    double above = 0;
    for (std::size_t i = level; i < strengths.size(); ++i)
        above += strength_at(strengths, i);
    return std::max(0.0, 1 - acts * above);
}

/// One cause, the only one present, in one sign.
struct Effect {
    std::vector<Strength> low;
    std::vector<Strength> high;
    double acts = 1;   // chance that it acts during a visit
    double hides = 0;  // chance that it hides the sign
};

/// One side of a sign: the highest of what the cause and the leak draw (noisy-MAX).
Look side(const std::vector<Strength>& shown, const std::vector<Strength>& leak, std::size_t levels,
          double acts) {
    Look look;
    double under = 0;
    for (std::size_t level = 0; level <= levels; ++level) {
        const double stays = stays_under(shown, level, acts) * stays_under(leak, level, 1);
        look.push_back(stays - under);
        under = stays;
    }
    return look;
}

/// Unordered outcomes: the cause goes before the leak.
Look kinds(const Sign& sign, const Effect& effect) {
    const double nothing = stays_under(effect.high, 0, effect.acts);
    Look look = {nothing * stays_under(sign.seen_high, 0, 1)};
    for (std::size_t i = 0; i < sign.high.size(); ++i) {
        look.push_back(effect.acts * strength_at(effect.high, i) +
                       nothing * strength_at(sign.seen_high, i));
    }
    return look;
}

/// Flags and levels; of two sides the low one wins.
Look levels(const Sign& sign, const Effect& effect) {
    const Look high = side(effect.high, sign.seen_high, sign.high.size(), effect.acts);
    const Look low = side(effect.low, sign.seen_low, sign.low.size(), effect.acts);
    Look look;
    for (const double chance : high)
        look.push_back(low[0] * chance);
    look.insert(look.end(), low.begin() + 1, low.end());
    return look;
}

Look look_of(const Sign& sign, const Effect& effect) {
    Look look = sign.form == SignForm::kinds ? kinds(sign, effect) : levels(sign, effect);
    // A sign that is hidden looks normal.
    for (double& chance : look)
        chance *= 1 - effect.hides;
    look[0] += effect.hides;
    return look;
}

/// What is reported: something that is there may be missed, and where nothing is a false alarm
/// names any value, all alike.
Look reported(Look look, const Channel& channel) {
    const double misses = channel.misses.mean();
    const double alarms = channel.false_alarm.mean();
    const double normal = look[0];
    const auto others = static_cast<double>(look.size() - 1);
    look[0] = normal * (1 - alarms) + (1 - normal) * misses;
    for (std::size_t i = 1; i < look.size(); ++i) {
        look[i] = look[i] * (1 - misses) + normal * alarms / others;
    }
    return look;
}

bool clearly_differ(const Look& a, const Look& b) {
    constexpr double rounding = 1 - 1e-9;
    for (std::size_t i = 0; i < a.size(); ++i) {
        const double more = std::max(a[i], b[i]);
        if (more > 0 && more >= clear_factor * rounding * std::min(a[i], b[i]))
            return true;
    }
    return false;
}

/// For each sign that the cause shows in or hides: how.
std::map<SignId, Effect> effects_of(const Knowledge& knowledge, const Cause& cause) {
    std::map<SignId, Effect> effects;
    for (const Shows& shows : cause.shows) {
        Effect& effect = effects[shows.sign];
        effect.low = shows.low;
        effect.high = shows.high;
        const Sign& sign = knowledge[shows.sign];
        if (cause.comes_and_goes && !sign.symptom && !sign.steady) {
            effect.acts = cause.comes_and_goes->count.mean();
        }
    }
    for (const SignStrength& masks : cause.masks) {
        effects[masks.sign].hides = masks.strength.count.mean();
    }
    return effects;
}

bool shows_at_all(const Shows& shows) {
    return stays_under(shows.high, 0, 1) < 1 || stays_under(shows.low, 0, 1) < 1;
}

/// For each cause: whether it stands above a plain table that a test reveals.
std::vector<bool> causes_in_tables(const Knowledge& knowledge) {
    std::vector<bool> revealed(knowledge.settings.size(), false);
    for (const Test& test : knowledge.tests) {
        for (const Findable& what : test.reveals) {
            if (const auto* table = std::get_if<SettingId>(&what))
                revealed[table->index()] = true;
        }
    }
    std::vector<bool> causes(knowledge.causes.size(), false);
    for (std::size_t i = knowledge.settings.size(); i-- > 0;) {  // a table stands after its parents
        if (!revealed[i])
            continue;
        for (const auto& parent : knowledge.settings[i].parents) {
            if (const auto* table = std::get_if<SettingId>(&parent)) {
                revealed[table->index()] = true;
            } else {
                causes[std::get<CauseId>(parent).index()] = true;
            }
        }
    }
    return causes;
}

/// What every cause looks like by itself, in the views that it changes; the rest look as with none.
struct Looks {
    std::vector<Look> with_none;                       // by view
    std::vector<std::map<std::size_t, Look>> changed;  // by cause, then view
};

Looks looks_of(const Knowledge& knowledge) {
    const std::vector<View> views = views_of(knowledge);
    Looks looks;
    for (const View& view : views) {
        looks.with_none.push_back(reported(look_of(knowledge[view.sign], {}), view.channel));
    }
    for (const Cause& cause : knowledge.causes) {
        std::map<std::size_t, Look>& changed = looks.changed.emplace_back();
        const std::map<SignId, Effect> effects = effects_of(knowledge, cause);
        for (std::size_t i = 0; i < views.size(); ++i) {
            const auto effect = effects.find(views[i].sign);
            if (effect == effects.end())
                continue;
            const Look look = look_of(knowledge[views[i].sign], effect->second);
            changed.emplace(i, reported(look, views[i].channel));
        }
    }
    return looks;
}

/// Whether a view that `a` changes tells it from `b`.
bool told_by_views_of(const Looks& looks, std::size_t a, std::size_t b) {
    const std::map<std::size_t, Look>& mine = looks.changed[a];
    return std::any_of(mine.begin(), mine.end(), [&](const auto& view_and_look) {
        const auto& [view, look] = view_and_look;
        const auto other = looks.changed[b].find(view);
        const bool same_view = other != looks.changed[b].end();
        return clearly_differ(look, same_view ? other->second : looks.with_none[view]);
    });
}

}  // namespace

bool exclude_each_other(const Conditions& a, const Conditions& b) {
    return std::any_of(a.begin(), a.end(), [&b](const Condition& mine) {
        return std::any_of(b.begin(), b.end(), [&mine](const Condition& other) {
            return mine.setting == other.setting &&
                   std::find_first_of(mine.states.begin(), mine.states.end(), other.states.begin(),
                                      other.states.end()) == mine.states.end();
        });
    });
}

std::vector<bool> causes_seen(const Knowledge& knowledge) {
    std::vector<std::vector<const Test*>> tests(knowledge.signs.size());
    for (const Test& test : knowledge.tests)
        for (const Findable& what : test.reveals)
            if (const auto* sign = std::get_if<SignId>(&what))
                tests[sign->index()].push_back(&test);
    const auto is_seen_at = [&](const Cause& cause, SignId sign) {
        const auto& of = tests[sign.index()];
        return knowledge[sign].symptom || std::any_of(of.begin(), of.end(), [&](const Test* test) {
                   return !exclude_each_other(cause.only_if, test->step.only_if);
               });
    };
    std::vector<bool> seen = causes_in_tables(knowledge);
    for (std::size_t i = 0; i < knowledge.causes.size(); ++i) {
        const Cause& cause = knowledge.causes[i];
        for (const Shows& shows : cause.shows)
            if (shows_at_all(shows) && is_seen_at(cause, shows.sign))
                seen[i] = true;
    }
    return seen;
}

std::vector<std::vector<CauseId>> causes_alike(const Knowledge& knowledge) {
    const std::vector<bool> seen = causes_seen(knowledge);
    const std::vector<bool> in_tables = causes_in_tables(knowledge);
    const Looks looks = looks_of(knowledge);
    std::vector<std::vector<CauseId>> alike(knowledge.causes.size());
    for (std::size_t b = 0; b < knowledge.causes.size(); ++b) {
        if (!seen[b] || in_tables[b])
            continue;
        for (std::size_t a = 0; a < b && alike[b].size() < most_alike; ++a) {
            if (!seen[a] || in_tables[a])
                continue;
            const bool told =
                told_by_views_of(looks, a, b) || told_by_views_of(looks, b, a) ||
                exclude_each_other(knowledge.causes[a].only_if, knowledge.causes[b].only_if);
            if (!told)
                alike[b].push_back(CauseId(a));
        }
    }
    return alike;
}

}  // namespace knockwell
