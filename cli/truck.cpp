// The command `truck`.
#include "cli/commands.hpp"
#include "cli/job_commands.hpp"
#include "cli/show_text.hpp"
#include "cli/show_truck.hpp"
#include "cli/words.hpp"

namespace knockwell {

Status carry_out(const TruckCommand& truck, const Desk& desk) {
    constexpr double whole = 100;
    const auto believed = believed_now(desk, truck.job, truck.told);
    if (const auto* status = std::get_if<Status>(&believed))
        return *status;
    const Believed& it = std::get<Believed>(believed);
    const Knowledge& knowledge = it.knowledge();
    const Job& job = it.asked.job;
    const Rates& rates = it.asked.shelf.rates;
    const PhoneStage stage = phone_stage(it.model(), it.course.evidence, it.now,
                                         it.course.situation, truck.cover / whole, &rates);
    if (desk.common.json) {
        desk.print(phone_stage_json(knowledge, job.id, it.asked.warnings, stage, rates));
        return status_done;
    }
    Page page(desk.style);
    if (!job.id.empty())
        page.text(job_line(job));
    for (const std::string& warning : it.asked.warnings)
        page.signal("WARNING", warning, 0);
    page.gap();
    show_phone_stage(page, knowledge, stage, rates);
    page.gap();
    page.text(it_can_be_wrong());
    desk.print(page.all());
    return status_done;
}

}  // namespace knockwell
