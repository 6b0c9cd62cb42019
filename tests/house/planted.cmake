# The checks of the house see what is planted for them: each tree below holds one mistake (or none).
#   cmake -D HERE=<tests/house> -D ROOM=<scratch folder> -P planted.cmake
cmake_minimum_required(VERSION 3.25)

# Runs <check>.cmake over the tree ROOM; <says> is what it must complain of, "" for no complaint.
function(expect check says)
  execute_process(COMMAND ${CMAKE_COMMAND} -D TOP=${ROOM} -P ${HERE}/${check}.cmake
                  RESULT_VARIABLE status OUTPUT_VARIABLE out ERROR_VARIABLE out)
  if(says STREQUAL "" AND NOT status EQUAL 0)
    message(SEND_ERROR "${check} complains of a sound tree:\n${out}")
  elseif(NOT says STREQUAL "" AND status EQUAL 0)
    message(SEND_ERROR "${check} passes where it should say: ${says}")
  elseif(NOT says STREQUAL "")
    string(FIND "${out}" "${says}" at)
    if(at EQUAL -1)
      message(SEND_ERROR "${check} does not say: ${says}\nbut:\n${out}")
    endif()
  endif()
endfunction()

function(fresh_tree)
  file(REMOVE_RECURSE ${ROOM})
  file(WRITE ${ROOM}/engine/base/words.hpp "#include <string>\n")
  file(WRITE ${ROOM}/engine/job/job.cpp "#include \"job/job.hpp\"\n#include \"base/words.hpp\"\n")
  file(WRITE ${ROOM}/cli/main.cpp "#include \"cli/run.hpp\"\n#include \"job/job.hpp\"\n")
endfunction()

fresh_tree()
expect(floors "")
expect(names "")
expect(top_level "")

fresh_tree()
file(WRITE ${ROOM}/engine/base/words.cpp "// [a]; b\\\n\n  #  include \"job/job.hpp\"\n")
expect(floors "engine/base/words.cpp:3: 'base' looks up to 'job'")

fresh_tree()
file(WRITE ${ROOM}/engine/ledger/ledger.hpp "#include <cli/run.hpp>\n")
expect(floors "engine/ledger/ledger.hpp:1: 'ledger' looks up to 'cli'")
file(WRITE ${ROOM}/engine/review/areas.hpp "#include \"ledger/ledger.hpp\"\n")
expect(floors "engine/review/areas.hpp:1: 'review' looks sideways to 'ledger'")
fresh_tree()
file(WRITE ${ROOM}/engine/learning/learn.hpp "#include \"review/areas.hpp\"\n")
expect(floors "engine/learning/learn.hpp:1: 'learning' looks sideways to 'review'")

fresh_tree()
file(WRITE ${ROOM}/engine/job/course.cpp "#include \"job.hpp\"\n")
expect(floors "engine/job/course.cpp:1: \"job.hpp\" does not start with the name of a floor")

fresh_tree()
file(WRITE ${ROOM}/engine/attic/box.cpp "\n")
expect(floors "engine/attic/box.cpp:1: 'attic' is no floor of the house")

fresh_tree()
file(WRITE ${ROOM}/notes.txt "\n")
expect(top_level "notes.txt stands at the top of the tree")

# Two types of one name: whichever they are and wherever they lie, but not where they are apart.
# In <code> "~" stands for the semicolon, which a list would be cut at.
function(plant_in_knockwell file code)
  string(REPLACE "~" ";" code "${code}")
  file(WRITE ${ROOM}/${file} "namespace knockwell {\n${code}\n}  // namespace knockwell\n")
endfunction()
function(two_types one other)
  fresh_tree()
  plant_in_knockwell(engine/base/words.cpp "\n${one}")
  plant_in_knockwell(engine/job/apply.hpp "${other}")
endfunction()
set(both "engine/job/apply.hpp:2: 'knockwell::Change' is defined in engine/base/words.cpp:3 already")

foreach(definition "class Change {\n}~" "struct Change {}~" "enum class Change { one, two }~"
                   "enum Change : int { one, two }~" "struct Change final : std::set<int> {\n}~"
                   "class Change\n    : public Base {\n}~"
                   "class Change : public Base,\n               public Other {\n}~" "union Change {\n}~"
                   "template <class T> struct Change {\n}~" "struct [[nodiscard]] Change {\n}~")
  two_types("struct Change {\n    int a~\n}~" "${definition}")
  expect(names "${both}")
endforeach()

foreach(apart "class Change~" "enum class Change : int~" "struct Changes {\n}~"
              "template <>\nstruct Change<int> {\n}~" "struct Job::Change {\n}~"
              "struct Job {\n    struct Change {\n    }~\n}~" "// struct Change {"
              "namespace {\n\nstruct Change {\n}~\n\n}  // namespace"
              "namespace well {\n\nstruct Change {\n}~\n\n}  // namespace well")
  two_types("struct Change {\n}~" "${apart}")
  expect(names "")
endforeach()

set(hidden "namespace {\n\nstruct Change {\n}~\n\n}  // namespace")
two_types("${hidden}" "${hidden}")
expect(names "")

# Behind an anonymous namespace, and one of a single line, the names count again.
two_types("${hidden}\nnamespace SQLite {\nclass Database~\n}\nclass Change {\n}~"
          "class Change {\n}~")
expect(names "engine/job/apply.hpp:2: 'knockwell::Change' is defined in engine/base/words.cpp:12 already")

# The types of a test too: it is linked with what it tests.
fresh_tree()
plant_in_knockwell(cli/run.hpp "class Change {\n}~")
plant_in_knockwell(tests/cli/run_test.cpp "class Change {\n}~")
expect(names "tests/cli/run_test.cpp:2: 'knockwell::Change' is defined in cli/run.hpp:2 already")

# What the check cannot follow it says.
fresh_tree()
file(WRITE ${ROOM}/cli/run.hpp "namespace knockwell {\nclass Change;\nclass Run;\n}\n")
expect(names "cli/run.hpp: a namespace does not end with a line")

file(REMOVE_RECURSE ${ROOM})
file(MAKE_DIRECTORY ${ROOM})
expect(floors "no source under")
expect(names "no source under")
expect(top_level "nothing under")

fresh_tree()
expect(held_by "no test is named")
file(WRITE ${ROOM}/engine/base/words.hpp "// Held by  tests/base/words_test.cpp, tests/base/\n")
expect(held_by "engine/base/words.hpp: tests/base/words_test.cpp is not there")
file(WRITE ${ROOM}/tests/base/words_test.cpp "")
expect(held_by "")
