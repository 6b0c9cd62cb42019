#include "laws/random_case.hpp"

#include <algorithm>
#include <cmath>
#include <random>
#include <sstream>

namespace knockwell::laws {
namespace {

/// mt19937_64 gives the same numbers everywhere; the standard's distributions do not, so they are
/// not used.
class Dice {
public:
    explicit Dice(std::uint64_t seed) : engine_(seed * 7919 + 1) {}
    double real(double from, double to) {
        return from + (to - from) * static_cast<double>(engine_() >> 11U) * 0x1.0p-53;
    }
    std::size_t below(std::size_t n) { return static_cast<std::size_t>(engine_() % n); }
    bool chance(double p) { return real(0, 1) < p; }

private:
    std::mt19937_64 engine_;
};

Strength exact(double p) { return {{Count::Kind::exact, p, 1}, {}}; }

class Maker {
public:
    Maker(std::uint64_t seed, const Size& size) : dice_(seed), size_(size) {}

    Case make() {
        it_.knowledge.manifest.told = channel(0.3);
        it_.knowledge.manifest.looked = channel(0.2);
        add_settings();
        for (std::size_t c = 0; c < size_.causes; ++c)
            add_cause(c);
        if (dice_.chance(0.5))
            add_table(true);
        for (std::size_t s = 0; s < size_.signs; ++s)
            add_sign(s);
        add_test();
        add_repair();
        add_evidence();
        return std::move(it_);
    }

private:
    Head head(const std::string& kind, std::size_t n) {
        Head made;
        made.id = kind + "-" + std::to_string(n);
        made.title = made.id;
        return made;
    }

    Channel channel(double most) {
        return {{Count::Kind::exact, dice_.chance(0.2) ? 0 : dice_.real(0, most), 1},
                {Count::Kind::exact, dice_.chance(0.2) ? 0 : dice_.real(0, most), 1}};
    }

    /// The chance for a cause to have what doubles the number of worlds.
    [[nodiscard]] double few(double usual) const {
        return size_.large() ? 1.5 / static_cast<double>(size_.causes) : usual;
    }

    /// `n` shares that leave something over (unless `all`), in whole 2^-20: then what is left is an
    /// exact number too, and where nothing is left it is 0 and not a rounding, which would be a
    /// world of its own.
    std::vector<Strength> shares(std::size_t n, bool all) {
        constexpr double whole = 0x1.0p20;
        std::vector<double> part;
        double sum = 0;
        for (std::size_t i = 0; i < n; ++i) {
            part.push_back(dice_.chance(0.15) && !all ? 0 : dice_.real(0.05, 1));
            sum += part.back();
        }
        const bool rest = !all && !dice_.chance(0.1);
        sum += rest ? dice_.real(0.05, 1) : 0;
        double used = 0;
        for (double& p : part) {
            p = sum > 0 ? std::floor(p / sum * whole) / whole : 0;
            used += p;
        }
        if (!rest && sum > 0)
            *std::max_element(part.begin(), part.end()) += 1 - used;
        std::vector<Strength> made;
        for (const double p : part)
            made.push_back(exact(p));
        return made;
    }

    void add_settings() {
        for (std::size_t s = 0, n = size_.large() ? 1 : 1 + dice_.below(3); s < n; ++s) {
            Setting setting;
            setting.head = head("setting", s);
            for (std::size_t a = 0, states = 2 + dice_.below(2); a < states; ++a)
                setting.states.push_back("s" + std::to_string(a));
            setting.prior = shares(setting.states.size(), true);
            if (s == 0) {
                setting.unit = "psi";
                for (std::size_t a = 0; a < setting.states.size(); ++a)
                    setting.gives.push_back({{"cut-in", 20.0 + 10.0 * static_cast<double>(a)}});
            }
            it_.knowledge.settings.push_back(std::move(setting));
        }
        if (dice_.chance(0.5))
            add_table(false);
    }

    void add_table(bool over_cause) {
        Setting table;
        table.head = head("table", it_.knowledge.settings.size());
        table.table = true;
        table.states = {"a", "b", "c"};
        std::size_t rows = 1;
        const std::size_t s = dice_.below(it_.knowledge.settings.size());
        table.parents.emplace_back(SettingId(s));
        rows *= it_.knowledge.settings[s].states.size();
        if (over_cause) {
            table.parents.emplace_back(CauseId(dice_.below(it_.knowledge.causes.size())));
            rows *= 2;
        }
        for (std::size_t r = 0; r < rows; ++r) {
            std::vector<double> row;
            for (const Strength& share : shares(3, true))
                row.push_back(share.count.k);
            table.rows.push_back(row);
        }
        it_.knowledge.settings.push_back(std::move(table));
    }

    Conditions conditions() {
        Condition condition;
        const std::size_t s = dice_.below(it_.knowledge.settings.size());
        condition.setting = SettingId(s);
        const std::size_t states = it_.knowledge.settings[s].states.size();
        condition.states.push_back(dice_.below(states));
        if (dice_.chance(0.3) && condition.states[0] + 1 < states)
            condition.states.push_back(condition.states[0] + 1);
        return {condition};
    }

    void add_cause(std::size_t c) {
        Cause cause;
        cause.head = head("cause", c);
        cause.present = exact(dice_.chance(0.05) ? 1 : dice_.real(0.02, 0.4));
        if (dice_.chance(0.2))
            cause.only_if = conditions();
        if (dice_.chance(0.3))
            cause.raised_by.push_back({conditions(), {dice_.real(0.3, 5), 1}, {}});
        for (std::size_t j = 0; j < c; ++j)
            if (dice_.chance(0.2))
                cause.brought_on_by.push_back(
                    {CauseId(j), exact(dice_.chance(0.1) ? 1 : dice_.real(0.05, 0.8))});
        if (dice_.chance(few(0.2)))
            cause.comes_and_goes = exact(dice_.real(0.1, 0.9));
        it_.knowledge.causes.push_back(std::move(cause));
    }

    void add_sign(std::size_t s) {
        Sign sign;
        sign.head = head("sign", s);
        sign.symptom = dice_.chance(0.4);
        sign.steady = dice_.chance(0.3);
        sign.normal = "no";
        switch (dice_.below(4)) {
        case 0:
        case 1:
            sign.high = {"yes"};
            break;
        case 2:
            sign.form = SignForm::kinds;
            sign.high = {"k1", "k2", "k3"};
            break;
        default:
            make_levels(sign);
        }
        if (dice_.chance(0.8))
            sign.seen_high = shares(sign.high.size(), false);
        if (!sign.low.empty() && dice_.chance(0.8))
            sign.seen_low = shares(sign.low.size(), false);
        if (sign.symptom && dice_.chance(0.5))
            sign.phone_report = channel(0.3);
        it_.knowledge.signs.push_back(std::move(sign));
        link_causes(SignId(s));
    }

    void make_levels(Sign& sign) {
        sign.form = SignForm::levels;
        sign.high = {"h1", "h2"};
        if (dice_.chance(0.6))
            sign.low = {"l1"};
        if (!dice_.chance(0.6))
            return;
        sign.symptom = false;
        Reading reading{"psi", 6, {}, {{"cut-in", 1, 20, {}}, {"", 1, 75, {}}}, {}};
        if (!sign.low.empty())
            reading.low = {{"cut-in", 0.9, -3, {}}};
        sign.reading = reading;
    }

    void link_causes(SignId id) {
        const Sign& sign = it_.knowledge.signs[id.index()];
        std::size_t parents = 0;
        std::size_t masks = 0;
        const std::size_t first = dice_.below(size_.causes);
        for (std::size_t i = 0; i < size_.causes; ++i) {
            Cause& cause = it_.knowledge.causes[(first + i) % size_.causes];
            // At most four causes a sign: adding up all worlds tries every way in which their
            // triggers can fire.
            if (parents < 4 && dice_.chance(0.5)) {
                ++parents;
                Shows shows{id, {}, shares(sign.high.size(), false), {}};
                if (!sign.low.empty() && dice_.chance(0.5))
                    shows.low = shares(sign.low.size(), false);
                cause.shows.push_back(std::move(shows));
            }
            if (masks < 3 && dice_.chance(0.12)) {
                ++masks;
                cause.masks.push_back({id, exact(dice_.chance(0.2) ? 1 : dice_.real(0.1, 0.9))});
            }
        }
    }

    void add_test() {
        Test test;
        test.step.head = head("test", 0);
        for (std::size_t s = 0; s < it_.knowledge.signs.size(); ++s)
            test.reveals.emplace_back(SignId(s));
        test.channel = channel(0.2);
        if (dice_.chance(0.5))
            test.within = 3;
        it_.knowledge.tests.push_back(std::move(test));
    }

    void add_repair() {
        Repair repair;
        repair.step.head = head("repair", 0);
        for (std::size_t c = 0; c < it_.knowledge.causes.size(); ++c) {
            if (dice_.chance(few(0.4)))
                repair.fixes.push_back({CauseId(c), exact(dice_.real(0.3, 1))});
            if (dice_.chance(few(0.1)))
                repair.may_bring.push_back({CauseId(c), exact(dice_.real(0, 0.3))});
        }
        it_.knowledge.repairs.push_back(std::move(repair));
    }

    void add_evidence() {
        Evidence& evidence = it_.evidence;
        for (std::size_t s = 0; s < it_.knowledge.settings.size(); ++s) {
            const Setting& setting = it_.knowledge.settings[s];
            if (dice_.chance(setting.table ? 0.15 : 0.3))
                evidence.settings[SettingId(s)] = dice_.below(setting.states.size());
            if (setting.table && dice_.chance(0.4))
                evidence.findings.push_back({SettingId(s),
                                             dice_.below(setting.states.size()),
                                             {},
                                             {},
                                             dice_.chance(0.5) ? Via::sure : Via::looked,
                                             {},
                                             0});
        }
        if (dice_.chance(0.15))
            evidence.quantities["cut-in"] = dice_.real(20, 45);
        if (dice_.chance(0.35))
            evidence.repairs.emplace_back(std::size_t{0});
        if (size_.causes < 5 && dice_.chance(0.1))
            evidence.repairs.emplace_back(std::size_t{0});
        if (dice_.chance(0.2))
            evidence.causes.push_back({CauseId(dice_.below(size_.causes)), dice_.chance(0.5),
                                       dice_.below(evidence.stages())});
        for (std::size_t f = 0; f < size_.findings; ++f)
            evidence.findings.push_back(finding());
    }

    Finding finding() {
        const std::size_t s = sign_to_find();
        const Sign& sign = it_.knowledge.signs[s];
        Finding finding;
        finding.what = SignId(s);
        finding.stage = dice_.below(it_.evidence.stages());
        constexpr Via ways[] = {Via::told, Via::looked, Via::test, Via::sure};
        finding.via = ways[dice_.below(4)];
        if (finding.via == Via::test)
            finding.test = TestId(std::size_t{0});
        if (sign.reading && finding.via != Via::sure && dice_.chance(0.7)) {
            finding.reading = dice_.real(0, 90);
        } else if (finding.via == Via::sure && dice_.chance(0.4)) {
            for (std::size_t v = 0; v < sign.value_count(); ++v)
                finding.weights.push_back(dice_.chance(0.2) ? 0 : dice_.real(0.1, 1));
        } else {
            finding.value = dice_.below(sign.value_count());
        }
        return finding;
    }

    /// With more findings a sign of three kinds may be refused as too wide.
    std::size_t sign_to_find() {
        constexpr std::ptrdiff_t most = 5;
        std::size_t s = dice_.below(it_.knowledge.signs.size());
        const std::vector<Finding>& findings = it_.evidence.findings;
        while (std::count_if(findings.begin(), findings.end(), [&](const Finding& finding) {
                   return finding.what == Findable(SignId(s));
               }) == most)
            s = (s + 1) % it_.knowledge.signs.size();
        return s;
    }

    Dice dice_;
    Size size_;
    Case it_;
};

}  // namespace

Case random_case(std::uint64_t seed, const Size& size) { return Maker(seed, size).make(); }

std::string to_text(const Case& it) {
    std::ostringstream out;
    out << it.knowledge.causes.size() << " causes, repairs " << it.evidence.repairs.size() << '\n';
    for (const auto& [setting, state] : it.evidence.settings)
        out << "  set " << it.knowledge[setting].head.id << " = " << state << '\n';
    for (const KnownCause& known : it.evidence.causes)
        out << "  cause " << known.cause.index() << (known.present ? " present" : " absent")
            << " in stage " << known.stage << '\n';
    for (const Finding& finding : it.evidence.findings) {
        if (const auto* id = std::get_if<SignId>(&finding.what)) {
            const Sign& sign = it.knowledge[*id];
            out << "  " << sign.head.id << " form " << static_cast<int>(sign.form)
                << (sign.symptom ? " symptom" : " observation") << (sign.steady ? " steady" : "");
        } else {
            out << "  table " << std::get<SettingId>(finding.what).index();
        }
        out << " via " << static_cast<int>(finding.via) << " stage " << finding.stage;
        if (finding.value)
            out << " value " << *finding.value;
        if (finding.reading)
            out << " reading " << *finding.reading;
        for (const double w : finding.weights)
            out << " weight " << w;
        out << '\n';
    }
    return out.str();
}

}  // namespace knockwell::laws
