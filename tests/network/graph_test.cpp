// Orders, rings and reach on graphs small enough to draw, and the drawing itself.
#include "network/graph.hpp"
#include "support/knowledge_of.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

using Nodes = std::vector<std::uint32_t>;

TEST(OrderOf, PutsEachNodeAfterAllThatPointToIt) {
    EXPECT_EQ(order_of(4, {{3, 2}, {2, 0}, {3, 1}}), (Nodes{3, 1, 2, 0}));
}

TEST(OrderOf, TakesTheSmallestOfThoseThatAreFree) {
    EXPECT_EQ(order_of(4, {}), (Nodes{0, 1, 2, 3}));
    // 0 is free only after 3; then it comes before nothing else that is left.
    EXPECT_EQ(order_of(5, {{3, 0}}), (Nodes{1, 2, 3, 0, 4}));
}

TEST(OrderOf, CountsAnArrowThatIsWrittenTwice) {
    EXPECT_EQ(order_of(2, {{1, 0}, {1, 0}}), (Nodes{1, 0}));
}

TEST(OrderOf, IsEmptyWhereThereIsARing) {
    EXPECT_EQ(order_of(4, {{0, 1}, {1, 2}, {2, 1}}), Nodes{});
    EXPECT_EQ(order_of(1, {{0, 0}}), Nodes{});
    EXPECT_EQ(order_of(0, {}), Nodes{});
}

TEST(Reach, IsWhatTheArrowsLeadToAndTheNodeItself) {
    const Arrows arrows{{0, 2}, {2, 4}, {1, 2}, {4, 5}, {5, 2}};
    EXPECT_EQ(reach(6, arrows, 0), (Nodes{0, 2, 4, 5}));
    EXPECT_EQ(reach(6, arrows, 5), (Nodes{2, 4, 5}));
    EXPECT_EQ(reach(6, arrows, 3), (Nodes{3}));
}

constexpr const char* small_well = R"(
[setting.pump]
title   = "Pump"
choices = { submersible = "3 in 4", jet = "1 in 4" }
[cause.short-cycling]
title         = "Short cycling"
present       = "1 in 100"
brought_on_by = { torn-bladder = "9 in 10" }
masks         = { quiet-tank = "1 in 2" }
[cause.torn-bladder]
title   = "Torn bladder"
present = "1 in 100"
only_if = { pump = "submersible" }
shows   = { quiet-tank = "8 in 10" }
[cause.leak]
title   = "Leak"
present = "1 in 100"
shows   = { wet-floor = "8 in 10" }
[table.stain]
states = ["none", "some"]
given  = ["pump", "leak"]
rows   = [[0.9, 0.1], [0.2, 0.8], [0.9, 0.1], [0.2, 0.8]]
[observation.quiet-tank]
title = "Tank sounds dull"
[observation.wet-floor]
title = "Wet floor"
)";

TEST(ArrowsBetweenCauses, GoFromTheBringerToWhatItBringsOn) {
    EXPECT_EQ(arrows_between_causes(compile(knowledge_of(small_well))), (Arrows{{1, 0}}));
}

TEST(ToDot, DrawsTheWholeKnowledge) {
    const Knowledge knowledge = knowledge_of(small_well);
    EXPECT_EQ(to_dot(knowledge, compile(knowledge)),
              R"(digraph knowledge {
  rankdir=LR;
  node [fontname="sans-serif"];
  n3 [shape=box, label="Pump", tooltip="pump"];
  n4 [shape=box, label="stain", tooltip="stain"];
  n0 [shape=ellipse, label="Short cycling", tooltip="short-cycling"];
  n1 [shape=ellipse, label="Torn bladder", tooltip="torn-bladder"];
  n2 [shape=ellipse, label="Leak", tooltip="leak"];
  n5 [shape=plaintext, label="Tank sounds dull", tooltip="quiet-tank"];
  n6 [shape=plaintext, label="Wet floor", tooltip="wet-floor"];
  n1 -> n0;
  n3 -> n1;
  n3 -> n4;
  n2 -> n4;
  n1 -> n5;
  n2 -> n6;
  n0 -> n5 [style=dashed, arrowhead=tee];
}
)");
}

// The pump leads to the torn bladder, and that to short cycling and the tank's sound; the stain,
// which hangs on the pump, and the leak are not on its way.
TEST(ToDot, DrawsOnlyWhatLeadsToACauseAndWhatItLeadsTo) {
    const Knowledge knowledge = knowledge_of(small_well);
    EXPECT_EQ(to_dot(knowledge, compile(knowledge), CauseId(1)),
              R"(digraph knowledge {
  rankdir=LR;
  node [fontname="sans-serif"];
  n3 [shape=box, label="Pump", tooltip="pump"];
  n0 [shape=ellipse, label="Short cycling", tooltip="short-cycling"];
  n1 [shape=ellipse, label="Torn bladder", tooltip="torn-bladder"];
  n5 [shape=plaintext, label="Tank sounds dull", tooltip="quiet-tank"];
  n1 -> n0;
  n3 -> n1;
  n1 -> n5;
  n0 -> n5 [style=dashed, arrowhead=tee];
}
)");
}

// A title must not close the quotes and write DOT of its own, nor steer a terminal.
TEST(ToDot, EscapesTitles) {
    Knowledge knowledge = knowledge_of(small_well);
    const Network network = compile(knowledge);
    knowledge.causes[2].head.title = "a\"]; n9 [label=\"b\\\x1b[31m\nc";
    const std::string dot = to_dot(knowledge, network, CauseId(2));
    EXPECT_NE(dot.find(R"(label="a\"]; n9 [label=\"b\\\\x1b[31m\\x0ac",)"), std::string::npos)
        << dot;
    EXPECT_EQ(dot.find('\x1b'), std::string::npos);
}

}  // namespace
}  // namespace knockwell
