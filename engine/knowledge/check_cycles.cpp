#include "knowledge/check.hpp"

#include <algorithm>

namespace knockwell {
namespace {

/// Depth first along the links, in the order of the text; a link back onto the way is a cycle.
/// It walks by a list of its own: a chain of links may be as long as the knowledge.
class CycleSearch {
public:
    explicit CycleSearch(ReadRun& run) : run_(run) {
        for (const Link& link : run.links)
            out_[link.from].push_back(&link);
    }

    void run() {
        for (const Link& link : run_.links)
            visit(link.from);
    }

private:
    enum class Mark { unseen, on_the_way, done };
    struct Stop {
        std::string name;
        std::size_t next = 0;  // link to follow next
    };

    void visit(const std::string& start) {
        if (marks_[start] != Mark::unseen)
            return;
        std::vector<Stop> way{{start, 0}};
        std::vector<const Link*> taken;  // from each stop of the way but the last
        marks_[start] = Mark::on_the_way;
        while (!way.empty()) {
            const auto links = out_.find(way.back().name);
            if (links == out_.end() || way.back().next == links->second.size()) {
                marks_[way.back().name] = Mark::done;
                way.pop_back();
                if (!taken.empty())
                    taken.pop_back();
                continue;
            }
            const Link& link = *links->second[way.back().next++];
            Mark& mark = marks_[link.to];
            if (mark == Mark::unseen) {
                mark = Mark::on_the_way;
                taken.push_back(&link);
                way.push_back({link.to, 0});
            } else if (mark == Mark::on_the_way) {
                report(way, taken, link);
            }
        }
    }

    /// Beyond the problems that are kept, a ring is not even gathered: there may be very many.
    void report(const std::vector<Stop>& way, const std::vector<const Link*>& taken,
                const Link& back) {
        if (run_.errors >= most_told) {
            ++run_.errors;
            return;
        }
        const auto first = std::find_if(way.begin(), way.end(),
                                        [&](const Stop& stop) { return stop.name == back.to; });
        std::vector<const Link*> links(taken.begin() + (first - way.begin()), taken.end());
        links.push_back(&back);
        constexpr std::size_t most_links = 20;
        std::vector<Note> notes;
        for (std::size_t i = 1; i < std::min(links.size(), most_links); ++i)
            notes.push_back({links[i]->span, "and " + links[i]->says});
        if (links.size() > most_links)
            notes.push_back({{}, "and so on, " + std::to_string(links.size()) + " links in all"});
        run_.error("cycle", links.front()->span,
                   links.size() == 1 ? links.front()->says + ", which is itself"
                                     : links.front()->says + ", and so on back to itself",
                   "take out one of the links", std::move(notes));
    }

    ReadRun& run_;
    std::map<std::string, std::vector<const Link*>> out_;
    std::map<std::string, Mark> marks_;
};

}  // namespace

void check_cycles(ReadRun& run) { CycleSearch(run).run(); }

}  // namespace knockwell
