#include "cli/arrival.hpp"

#include <string>
#include <vector>

namespace knockwell {
namespace {

std::vector<std::string> arrival_cautions() {
    return {
        "Look before you touch. A swollen, hissing or rusted-through tank, a gauge past the plate, "
        "water on electrics, a smell of gas or burning: out, and keep everybody away.",
        "Covers stay on and breakers as they are: what was tripped is part of what is found.",
    };
}

std::vector<std::string> arrival_things() {
    return {
        "Stop check, from the doorway: look, listen, smell; then ask who has worked on it, and who "
        "depends on the water.",
        "As-found readings, before anything is changed: the gauge, running or idle, the breaker's "
        "position, and what the pump is doing. Write them down.",
        "Plates and valves: model, volts and full-load amps of the motor or control box, pressure "
        "of the tank's plate and of the relief valve, range of the switch; and how every valve and "
        "bypass stands.",
    };
}

}  // namespace

void show_arrival(Page& page) {
    page.heading("FIRST ON ARRIVAL");
    for (const std::string& caution : arrival_cautions())
        page.signal("WARNING", caution, 2);
    std::size_t place = 0;
    for (const std::string& thing : arrival_things())
        page.text("(" + std::to_string(++place) + ") " + thing, 6, 2);
}

Json arrival_json() {
    return {{"cautions", json_texts(arrival_cautions())}, {"things", json_texts(arrival_things())}};
}

}  // namespace knockwell
