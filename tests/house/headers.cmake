# Every header of the tree stands in the HEADERS of its floor, so that none escapes house.headers_stand_alone.
#   cmake -D TOP=<source tree> -D LISTED=<file with the listed headers, one a line> -P headers.cmake
cmake_minimum_required(VERSION 3.25)

file(GLOB_RECURSE headers ${TOP}/engine/*.hpp ${TOP}/cli/*.hpp)
if(NOT headers)
  message(FATAL_ERROR "no header under ${TOP}/engine and ${TOP}/cli")
endif()
file(STRINGS ${LISTED} listed)
list(REMOVE_ITEM headers ${listed})
foreach(header IN LISTS headers)
  message(NOTICE "${header} is in no floor's HEADERS")
endforeach()
if(headers)
  message(FATAL_ERROR "headers that nothing compiles by themselves")
endif()
