# What is installed works by itself: from another folder, with an empty environment, wherever the prefix is moved.
#   cmake -D BUILD=<build folder> -D ROOM=<scratch folder> -P install.cmake
cmake_minimum_required(VERSION 3.25)

set(prefix ${ROOM}/prefix)
file(REMOVE_RECURSE ${ROOM})
file(MAKE_DIRECTORY ${ROOM}/elsewhere)
execute_process(COMMAND ${CMAKE_COMMAND} --install ${BUILD} --prefix ${prefix}
                RESULT_VARIABLE status OUTPUT_VARIABLE out ERROR_VARIABLE out)
if(NOT status EQUAL 0)
  message(FATAL_ERROR "cmake --install failed:\n${out}")
endif()
foreach(file bin/knockwell share/knockwell/kb/manifest.toml share/man/man1/knockwell.1.gz
             share/doc/knockwell/README.md share/doc/knockwell/copyright
             share/doc/knockwell/changelog.gz)
  if(NOT EXISTS ${prefix}/${file})
    message(SEND_ERROR "not installed: ${file}")
  endif()
endforeach()

function(kb_check says)
  execute_process(COMMAND env -i ${prefix}/bin/knockwell kb check
                  WORKING_DIRECTORY ${ROOM}/elsewhere
                  RESULT_VARIABLE status OUTPUT_VARIABLE out ERROR_VARIABLE out)
  if(says STREQUAL "sound" AND NOT status EQUAL 0)
    message(SEND_ERROR "the installed program does not accept its own knowledge (${status}):\n${out}")
  elseif(says STREQUAL "missing" AND status EQUAL 0)
    message(SEND_ERROR "the knowledge was taken away and nothing is said:\n${out}")
  endif()
endfunction()

kb_check(sound)
file(RENAME ${prefix} ${ROOM}/moved)
set(prefix ${ROOM}/moved)
kb_check(sound)
# The same question must fail without the knowledge: so it was this copy that answered.
file(REMOVE_RECURSE ${prefix}/share/knockwell)
kb_check(missing)
