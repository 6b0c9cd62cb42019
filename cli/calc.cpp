#include "trade/calc.hpp"

#include "base/words.hpp"
#include "cli/commands.hpp"
#include "cli/show_json.hpp"
#include "cli/show_lists.hpp"

namespace knockwell {

namespace {

Status list_computations(const Desk& desk) {
    const std::vector<Computation> all = computations();
    if (desk.common.json) {
        desk.print(computations_json(all));
        return status_done;
    }
    Page page(desk.style);
    show_computations(page, all);
    desk.print(page.all());
    return status_done;
}

}  // namespace

Status carry_out(const CalcCommand& calc, const Desk& desk) {
    if (calc.name.empty())
        return list_computations(desk);
    const auto answer = calculate(calc.name, calc.inputs);
    if (const auto* wrong = std::get_if<std::vector<std::string>>(&answer)) {
        for (const std::string& line : *wrong)
            desk.complain("knockwell calc " + calc.name + ": " + shortened(escape_controls(line)) +
                          "\n");
        desk.complain("  help: knockwell calc " + calc.name + " --help\n");
        return status_usage;
    }
    const Computation& computation = *computation_named(calc.name);
    const auto& values = std::get<CalcAnswer>(answer);
    if (desk.common.json) {
        desk.print(calculation_json(computation, values));
        return status_done;
    }
    Page page(desk.style);
    show_calculation(page, computation, values);
    desk.print(page.all());
    return status_done;
}

}  // namespace knockwell
