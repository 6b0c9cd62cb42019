// What jobs of the demonstration shop teach the shipped knowledge, and what that costs:
//   cmake --build <folder> --target learning_table      (a release build)
//   <folder>/tests/learning/learning_table 1000 10000   jobs learned from, ascending
// One job in six is not learned from; how well those are foreseen is the score.
#include "knowledge/read.hpp"
#include "learning/learn.hpp"
#include "review/demo_shop.hpp"

#include <sys/resource.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <iostream>
#include <vector>

namespace {

using namespace knockwell;

class Watch {
public:
    [[nodiscard]] double seconds() const {
        return std::chrono::duration<double>(std::chrono::steady_clock::now() - start_).count();
    }

private:
    std::chrono::steady_clock::time_point start_ = std::chrono::steady_clock::now();
};

double processor_seconds() {
    rusage use{};
    ::getrusage(RUSAGE_SELF, &use);
    return static_cast<double>(use.ru_utime.tv_sec + use.ru_stime.tv_sec) +
           static_cast<double>(use.ru_utime.tv_usec + use.ru_stime.tv_usec) / 1e6;
}

long most_megabytes() {
    rusage use{};
    ::getrusage(RUSAGE_SELF, &use);
    // NOLINTNEXTLINE(cppcoreguidelines-pro-type-union-access): the system declares it so
    return use.ru_maxrss / 1024;
}

void tell(const Model& model, const std::vector<Coin>& coins, const LessonBook& book,
          const LessonBook& unseen, std::size_t drawn) {
    const Watch watch;
    const double before = processor_seconds();
    const LearnedNumbers learned = learn(model, coins, book);
    const double wall = watch.seconds();
    const double processor = processor_seconds() - before;
    const CauseScore causes = score_of_causes(model, unseen, learned.strengths);
    std::cout << drawn << " jobs, " << learned.jobs << " to learn from: " << book.lessons().size()
              << " different, " << book.quiets().size() << " installations, "
              << book.silences().size() << " silences; " << learned.rounds.size() << " rounds"
              << (learned.settled ? "" : " (not settled)") << ", " << wall << " s (" << processor
              << " of the processor), " << most_megabytes() << " MB; unseen: log score "
              << -mean_log_chance(model, unseen, learned.strengths) << " a job, of causes "
              << causes.mean << " (" << causes.jobs << " jobs)" << std::endl;
}

}  // namespace

int main(int argc, char** argv) {
    std::vector<std::size_t> wanted;
    for (int i = 1; i < argc; ++i)
        wanted.push_back(std::strtoull(argv[i], nullptr, 10));
    if (wanted.empty())
        wanted = {1000, 10000};
    const std::vector<Source> sources = gather_sources(KNOCKWELL_KB_DIR);
    const ReadResult read = read_knowledge(sources);
    const Network network = compile(read.knowledge);
    const Model model{&read.knowledge, &network};
    const std::vector<Coin> coins = coins_of(read.knowledge, network);
    LessonBook book(read.knowledge);
    LessonBook unseen(read.knowledge);
    const Watch reading;
    std::size_t drawn = 0;
    constexpr std::size_t most_unseen = 3000;
    DemoPlan plan;
    plan.jobs = wanted.back() + wanted.back() / 5 + 1;
    // Those that are not learned from come first, so that every line is measured by the same jobs.
    std::size_t number = 0;
    (void)demo_shop(read.knowledge, plan, [&](const Job& job) {
        if (number++ % 6 == 5 && number / 6 <= most_unseen)
            unseen.add(job);
    });
    std::cout << "0 jobs: unseen: log score " << -mean_log_chance(model, unseen, network.point)
              << " a job, of causes " << score_of_causes(model, unseen, network.point).mean << "\n";
    number = 0;
    std::size_t next = 0;
    (void)demo_shop(read.knowledge, plan, [&](const Job& job) {
        if (number++ % 6 == 5)
            return;
        book.add(job);
        if (++drawn != wanted[next])
            return;
        std::cout << reading.seconds() << " s to draw and to read\n";
        tell(model, coins, book, unseen, drawn);
        next = std::min(next + 1, wanted.size() - 1);
    });
    return 0;
}
