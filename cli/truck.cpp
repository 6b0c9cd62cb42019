// The command `truck`.
#include "cli/commands.hpp"
#include "cli/job_commands.hpp"
#include "cli/show_text.hpp"
#include "cli/show_truck.hpp"
#include "cli/words.hpp"

#include <utility>

namespace knockwell {

Status carry_out(const TruckCommand& truck, const Desk& desk) {
    constexpr double whole = 100;
    const auto asked = job_or_question(desk, truck.job, truck.told);
    if (const auto* status = std::get_if<Status>(&asked))
        return *status;
    const Asked& it = std::get<Asked>(asked);
    const Knowledge& knowledge = it.shelf.knowledge;
    const Model model = it.shelf.model();
    const Course course = course_of(knowledge, it.job);
    const auto beliefs = posterior(model, course.evidence);
    const auto* now = std::get_if<Posterior>(&beliefs);
    if (now == nullptr)
        return no_beliefs(desk, it, course, beliefs);
    const PhoneStage stage =
        phone_stage(model, course.evidence, *now, course.situation, truck.cover / whole);
    if (desk.common.json) {
        desk.print(phone_stage_json(knowledge, it.job.id, stage));
        return status_done;
    }
    Page page(desk.style);
    if (!it.job.id.empty())
        page.text(job_line(it.job));
    page.gap();
    show_phone_stage(page, knowledge, stage);
    page.gap();
    page.text(it_can_be_wrong());
    desk.print(page.all());
    return status_done;
}

}  // namespace knockwell
