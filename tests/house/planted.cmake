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
expect(top_level "")

fresh_tree()
file(WRITE ${ROOM}/engine/base/words.cpp "// [a]; b\\\n\n  #  include \"job/job.hpp\"\n")
expect(floors "engine/base/words.cpp:3: 'base' looks up to 'job'")

fresh_tree()
file(WRITE ${ROOM}/engine/ledger/ledger.hpp "#include <cli/run.hpp>\n")
expect(floors "engine/ledger/ledger.hpp:1: 'ledger' looks up to 'cli'")

fresh_tree()
file(WRITE ${ROOM}/engine/job/course.cpp "#include \"job.hpp\"\n")
expect(floors "engine/job/course.cpp:1: \"job.hpp\" does not start with the name of a floor")

fresh_tree()
file(WRITE ${ROOM}/engine/attic/box.cpp "\n")
expect(floors "engine/attic/box.cpp:1: 'attic' is no floor of the house")

fresh_tree()
file(WRITE ${ROOM}/notes.txt "\n")
expect(top_level "notes.txt stands at the top of the tree")

file(REMOVE_RECURSE ${ROOM})
file(MAKE_DIRECTORY ${ROOM})
expect(floors "no source under")
expect(top_level "nothing under")
