# The top of the tree holds what was agreed and nothing else (hidden files and build folders aside).
#   cmake -D TOP=<source tree> -P top_level.cmake
cmake_minimum_required(VERSION 3.25)

set(agreed CMakeLists.txt CMakePresets.json DEVELOPERS.md LICENSE README.md cli docs engine kb tests)

file(GLOB entries LIST_DIRECTORIES true RELATIVE ${TOP} ${TOP}/*)
list(FILTER entries EXCLUDE REGEX "^(\\.|build)")
if(NOT entries)
  message(FATAL_ERROR "nothing under ${TOP}")
endif()
list(REMOVE_ITEM entries ${agreed})
foreach(entry IN LISTS entries)
  message(NOTICE "${entry} stands at the top of the tree")
endforeach()
if(entries)
  message(FATAL_ERROR "only these belong there: ${agreed}")
endif()
