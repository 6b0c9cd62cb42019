# A type has its name to itself. Two classes of one name in namespace knockwell, each in its own file,
# are one class to the linker: of two functions with one name, such as their destructors, it keeps one
# for both (C++20, [basic.def.odr]; no diagnostic is required, and none comes). Types of an anonymous
# namespace and nested types are apart.
#   cmake -D TOP=<source tree> -P names.cmake
# It reads the tree as clang-format leaves it: what stands in a namespace begins its line, and a
# namespace ends with a line "}  // namespace".
cmake_minimum_required(VERSION 3.25)

file(GLOB_RECURSE files RELATIVE ${TOP}
     ${TOP}/engine/*.[ch]pp ${TOP}/cli/*.[ch]pp ${TOP}/tests/*.[ch]pp)
list(SORT files)
if(NOT files)
  message(FATAL_ERROR "no source under ${TOP}/engine, ${TOP}/cli and ${TOP}/tests")
endif()

# A definition goes on with "{", with ":" and what it is built on, or on the next line; with "~"
# (a semicolon, see below) it is a declaration. A specialisation has "<" behind its name.
set(definition "^(template ?<.*> )?(class|struct|union|enum|enum class|enum struct) ")
string(APPEND definition "(\\^\\^[^^]*\\^\\^ )?([A-Za-z0-9_]+)( final)?($| ?{| : [^~{]*({|$))")

set(wrong 0)
set(seen 0)
foreach(file IN LISTS files)
  file(READ ${TOP}/${file} text)
  string(REPLACE ";" "~" text "${text}")               # what a CMake list would trip over
  string(REGEX REPLACE "[][\\]" "^" text "${text}")
  string(REPLACE "\n" ";" lines "${text}")
  set(number 0)
  set(spaces)
  set(opened 0)
  foreach(line IN LISTS lines)
    math(EXPR number "${number} + 1")
    math(EXPR ago "${number} - ${opened}")
    if(line MATCHES "^(inline )?namespace ?([A-Za-z0-9_:]*) ?{$")
      set(space "${CMAKE_MATCH_2}")
      if(space STREQUAL "")
        set(space "(anonymous)")
      endif()
      list(APPEND spaces "${space}")
      set(opened ${number})
    elseif(line MATCHES "^}  // (inline )?namespace" OR (line STREQUAL "}" AND ago EQUAL 2))
      list(POP_BACK spaces)   # around a single line it ends without the comment
      set(opened 0)
    elseif("(anonymous)" IN_LIST spaces)
      continue()
    elseif(line MATCHES "${definition}")
      set(name "${CMAKE_MATCH_4}")
      list(JOIN spaces "::" space)
      set(name "${space}::${name}")
      math(EXPR seen "${seen} + 1")
      if(DEFINED "first_${name}")
        message(NOTICE "${file}:${number}: '${name}' is defined in ${first_${name}} already")
        math(EXPR wrong "${wrong} + 1")
      else()
        set("first_${name}" "${file}:${number}")
      endif()
    endif()
  endforeach()
  if(spaces)
    message(NOTICE "${file}: a namespace does not end with a line \"}  // namespace\"")
    math(EXPR wrong "${wrong} + 1")
  endif()
endforeach()

list(LENGTH files count)
set(sum "${count} files, ${seen} types, ${wrong} wrong")
if(wrong)
  message(FATAL_ERROR "${sum}")
endif()
message(STATUS "${sum}")
