# What a header or a page names as a test is there.
#   cmake -D TOP=<source tree> -P held_by.cmake
cmake_minimum_required(VERSION 3.25)

file(GLOB_RECURSE files RELATIVE ${TOP}
     ${TOP}/engine/*.hpp ${TOP}/cli/*.hpp ${TOP}/tests/*.hpp ${TOP}/docs/*.md ${TOP}/*.md)
list(FILTER files EXCLUDE REGEX "^build/")
if(NOT files)
  message(FATAL_ERROR "no header under ${TOP}/engine, ${TOP}/cli and ${TOP}/tests")
endif()

set(seen 0)
foreach(file IN LISTS files)
  file(READ ${TOP}/${file} text)
  string(REGEX MATCHALL "tests/[A-Za-z0-9_/-]+(\\.[a-z]+|/)" named "${text}")
  list(REMOVE_DUPLICATES named)
  foreach(test IN LISTS named)
    math(EXPR seen "${seen} + 1")
    if(NOT EXISTS ${TOP}/${test})
      message(SEND_ERROR "${file}: ${test} is not there")
    endif()
  endforeach()
endforeach()
if(seen EQUAL 0)
  message(SEND_ERROR "no test is named: is the pattern right?")
endif()
message(STATUS "${seen} tests that are named are there")
