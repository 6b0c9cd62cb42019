#include "cli/commands.hpp"
#include "cli/job_commands.hpp"
#include "cli/progress.hpp"
#include "cli/show_review.hpp"
#include "job/summary.hpp"
#include "ledger/exchange.hpp"
#include "review/demo_shop.hpp"

#include <ostream>
#include <utility>

namespace knockwell {
namespace {

/// The knowledge and all closed jobs.
struct Evening {
    Shelf shelf;
    ShopBook book;
};

std::variant<Evening, Status> evening(const Desk& desk) {
    auto shelf = desk.shelf();
    if (!shelf)
        return status_usage;
    const auto ledger = open_ledger(desk, false);
    if (const auto* none = std::get_if<NoJob>(&ledger))
        return complain(desk, *none);
    Evening all{*std::move(shelf), {}};
    const auto& file = std::get<Ledger>(ledger);
    ProgressBar bar(desk, "reading");
    const Progress progress = bar.progress();
    const std::size_t jobs = file.count();
    std::size_t done = 0;
    file.each_told([&](const Job& job) {
        all.book.add(summary_of(job));
        if (progress && ++done % 1000 == 0)
            progress(done, jobs);
    });
    return all;
}

/// One question of the shop: worked out by `ask`, then told as text or JSON.
template <class Ask, class Show, class AsJson>
Status review(const Desk& desk, const ReviewCommand& command, Ask ask, Show show, AsJson as_json) {
    const auto all = evening(desk);
    if (const auto* status = std::get_if<Status>(&all))
        return *status;
    const Evening& here = std::get<Evening>(all);
    const ReviewScene scene{&here.shelf.knowledge, &here.book, command.false_share, command.most};
    const auto answer = ask(here);
    if (desk.common.json) {
        desk.print(as_json(scene, answer));
        return status_done;
    }
    Page page(desk.style);
    show(page, scene, answer);
    desk.print(page.all());
    return status_done;
}

}  // namespace

Status carry_out(const ReviewCommand& command, const Desk& desk) {
    switch (command.about) {
    case ReviewAbout::areas:
        return review(
            desk, command,
            [](const Evening& all) { return review_areas(all.book, all.shelf.knowledge); },
            show_areas, areas_json);
    case ReviewAbout::causes:
        return review(
            desk, command, [](const Evening& all) { return review_causes(all.book); }, show_causes,
            causes_json);
    case ReviewAbout::time:
        return review(
            desk, command, [](const Evening& all) { return review_time(all.book); }, show_time,
            time_json);
    }
    return status_usage;
}

Status carry_out(const LedgerDemoCommand& demo, const Desk& desk) {
    const auto shelf = desk.shelf();
    if (!shelf)
        return status_usage;
    DemoPlan plan;
    plan.seed = demo.seed;
    plan.jobs = demo.jobs;
    std::ostream& out = *desk.here->out;
    out << exchange_head(plan.jobs) << '\n';
    (void)demo_shop(shelf->knowledge, plan,
                    [&](const Job& job) { out << to_line(stamped(job)) << '\n'; });
    return status_done;
}

}  // namespace knockwell
