#include "support/knowledge_of.hpp"
#include "trials/small.hpp"
#include "trials/tally.hpp"

#include <cstdio>
#include <cstdlib>
#include <ctime>
using namespace knockwell;
using namespace knockwell::trials;
int main(int argc, char** argv) {
    int n = argc > 1 ? atoi(argv[1]) : 20;
    bool opt = argc < 3 || atoi(argv[2]);
    std::vector<std::string> names;
    std::vector<std::vector<double>> m;
    std::vector<double> best;
    double tb = 0;
    std::vector<double> tf;
    for (int s = 1; s <= n; ++s) {
        auto p = small_problem(s);
        auto r = read_text(p.toml());
        if (!r.ok()) {
            for (auto& q : r.problems)
                if (q.severity == Severity::error)
                    printf("%s\n", q.says.c_str());
            return 1;
        }
        Network net = compile(r.knowledge);
        Model model{&r.knowledge, &net};
        clock_t c0 = clock();
        if (opt)
            best.push_back(best_minutes(p));
        tb += double(clock() - c0) / CLOCKS_PER_SEC;
        std::vector<std::unique_ptr<Follower>> all;
        all.push_back(by_advice());
        all.push_back(by_repairs_alone());
        all.push_back(by_bits(true));
        all.push_back(by_bits(false));
        all.push_back(by_chart(model, ChartOrder::common_first, 1));
        if (m.empty()) {
            m.resize(all.size());
            tf.resize(all.size());
            for (auto& f : all)
                names.emplace_back(f->name());
        }
        for (size_t i = 0; i < all.size(); ++i) {
            c0 = clock();
            m[i].push_back(expected_minutes(p, model, *all[i]));
            tf[i] += double(clock() - c0) / CLOCKS_PER_SEC;
        }
        if (argc > 3)
            printf("%d best %.2f advice %.2f p/C %.2f bits/min %.2f\n", s, opt ? best.back() : 0,
                   m[0].back(), m[1].back(), m[2].back());
    }
    if (opt)
        printf("%-20s %.2f   (%.1fs)\n", "best", mean_of(best).value, tb);
    for (size_t i = 0; i < m.size(); ++i) {
        double worst = 0;
        if (opt)
            for (size_t k = 0; k < best.size(); ++k)
                worst = std::max(worst, m[i][k] / best[k]);
        printf("%-20s %.2f  %+.2f%%  worst %.3f (%.1fs)\n", names[i].c_str(), mean_of(m[i]).value,
               opt ? 100 * (mean_of(m[i]).value / mean_of(best).value - 1) : 0, worst, tf[i]);
    }
}
