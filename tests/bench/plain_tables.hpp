// bench/plain_tables.hpp
//
// A two-level network with what was found, as tables over bits for plain elimination. Known
// contexts are put in and absent findings are weights on causes, as one who helps a general method
// by hand would do.
//
// Forms    signed_sum  a present finding is 1 minus the product of its causes' silences: one bit
//                      that says which of the two, with weights of both signs. Small tables, but
//                      the terms cancel: only for numbers with digits to spare (inclusion and
//                      exclusion, D. Heckerman, UAI 1989)
//          chain       a present finding is an or of its triggers, one after another: a bit for
//                      each, nothing negative (D. Heckerman, UAI 1993, temporal noisy-or)
#pragma once
#include "bench/elimination.hpp"
#include "bench/instances.hpp"

#include <cstddef>
#include <cstdint>
#include <vector>

namespace knockwell::bench {

enum class PresentAs : std::uint8_t { signed_sum, chain };

template <class T>
struct PlainTables {
    std::size_t bits = 0;  // causes first, by their numbers
    std::vector<BitTable<T>> tables;
    std::vector<std::size_t> weight;  // [cause] its table of what is found absent
};

template <class T>
class PlainTablesMaker {
public:
    PlainTablesMaker(const TwoLevel& net, const Found& found, const Report& report)
        : net_(net), report_(report), known_(net.causes.size(), -1) {
        for (const auto& [cause, present] : found.contexts)
            known_[cause] = present ? 1 : 0;
    }

    PlainTables<T> make(const Found& found, PresentAs as) {
        made_.bits = net_.causes.size();
        for (std::uint32_t c = 0; c < net_.causes.size(); ++c)
            add_cause(c);
        for (const std::uint32_t f : found.absent)
            add_absent(net_.findings[f]);
        for (const std::uint32_t f : found.present)
            as == PresentAs::chain ? add_chain(net_.findings[f]) : add_signed(net_.findings[f]);
        return std::move(made_);
    }

    /// How much a cause that is there lowers the chance that the finding is reported absent.
    [[nodiscard]] T silence(const TwoLevel::Link& link) const {
        return 1 - T(link.strength) * (1 - T(report_.misses));
    }

private:
    /// P(reported absent) where no cause is there.
    [[nodiscard]] T silent_leak(const TwoLevel::Shown& finding) const {
        return (1 - T(report_.false_alarm)) * (1 - T(finding.leak) * (1 - T(report_.misses)));
    }

    void add_cause(std::uint32_t c) {
        made_.weight.push_back(made_.tables.size());
        const bool never = known_[c] == 0;
        const bool always = known_[c] == 1;
        made_.tables.push_back({{c}, {T(always ? 0 : 1), T(never ? 0 : 1)}});
        BitTable<T> table{{c}, {1 - T(net_.causes[c].present), T(net_.causes[c].present)}};
        for (const TwoLevel::Link& link : net_.causes[c].brought_on_by) {
            if (known_[link.cause] == 0)
                continue;
            const T fails = 1 - T(link.strength);
            if (known_[link.cause] == 1) {
                for (std::size_t e = 0; e < table.entries.size(); e += 2)
                    bring_on(table.entries, e, fails);
                continue;
            }
            table.on.push_back(link.cause);
            const std::size_t size = table.entries.size();
            table.entries.resize(2 * size);
            std::copy_n(table.entries.begin(), size,
                        table.entries.begin() + static_cast<std::ptrdiff_t>(size));
            for (std::size_t e = size; e < 2 * size; e += 2)
                bring_on(table.entries, e, fails);
        }
        made_.tables.push_back(std::move(table));
    }

    /// Of the entries for absent and present at `e`.
    static void bring_on(std::vector<T>& entries, std::size_t e, const T& fails) {
        entries[e + 1] += entries[e] * (1 - fails);
        entries[e] *= fails;
    }

    void add_absent(const TwoLevel::Shown& finding) {
        made_.tables.push_back({{}, {silent_leak(finding)}});
        for (const TwoLevel::Link& link : finding.by)
            made_.tables[made_.weight[link.cause]].entries[1] *= silence(link);
    }

    [[nodiscard]] std::uint32_t new_bit() { return static_cast<std::uint32_t>(made_.bits++); }

    void add_signed(const TwoLevel::Shown& finding) {
        const std::uint32_t bit = new_bit();
        made_.tables.push_back({{bit}, {T(1), -silent_leak(finding)}});
        for (const TwoLevel::Link& link : finding.by)
            made_.tables.push_back({{bit, link.cause}, {T(1), T(1), T(1), silence(link)}});
    }

    void add_chain(const TwoLevel::Shown& finding) {
        std::uint32_t so_far = new_bit();
        const T silent = silent_leak(finding);
        made_.tables.push_back({{so_far}, {silent, 1 - silent}});
        for (std::size_t i = 0; i < finding.by.size(); ++i) {
            const T fires = 1 - silence(finding.by[i]);
            const std::uint32_t cause = finding.by[i].cause;
            if (i + 1 == finding.by.size()) {
                made_.tables.push_back({{so_far, cause}, {T(0), T(1), fires, T(1)}});
                return;
            }
            const std::uint32_t next = new_bit();
            made_.tables.push_back(
                {{so_far, cause, next}, {T(1), T(0), 1 - fires, T(0), T(0), T(1), fires, T(1)}});
            so_far = next;
        }
    }

    const TwoLevel& net_;
    Report report_;
    std::vector<int> known_;  // [cause] 0 absent, 1 present, -1 open
    PlainTables<T> made_;
};

template <class T>
[[nodiscard]] PlainTables<T> plain_tables(const TwoLevel& net, const Found& found,
                                          const Report& report, PresentAs as) {
    return PlainTablesMaker<T>(net, found, report).make(found, as);
}

}  // namespace knockwell::bench
