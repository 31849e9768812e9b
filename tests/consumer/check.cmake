# cmake -D BUILD=<build tree> -D GENERATOR=.. -D CXX=.. -D BUILD_TYPE=.. -P check.cmake
cmake_minimum_required(VERSION 3.25)

# Outside the build tree, for a program inside it uses the data of the source tree.
set(scratch "$ENV{TMPDIR}")
if(NOT scratch)
  set(scratch /tmp)
endif()
string(RANDOM LENGTH 12 unique)
set(scratch ${scratch}/backfield-consumer-${unique})
set(prefix ${scratch}/prefix)

function(fail)
  file(REMOVE_RECURSE ${scratch})
  message(FATAL_ERROR ${ARGN})
endfunction()

function(run output)
  execute_process(COMMAND ${ARGN} OUTPUT_VARIABLE text ERROR_VARIABLE text RESULT_VARIABLE result)
  if(NOT result EQUAL 0)
    list(JOIN ARGN " " command)
    fail("${command}: ${result}\n${text}")
  endif()
  set(${output} "${text}" PARENT_SCOPE)
endfunction()

unset(ENV{BACKFIELD_DATA})
# A package staged for a system would otherwise go elsewhere.
unset(ENV{DESTDIR})

run(ignored ${CMAKE_COMMAND} --install ${BUILD} --prefix ${prefix})
run(ignored ${CMAKE_COMMAND} -S ${CMAKE_CURRENT_LIST_DIR} -B ${scratch}/build -G ${GENERATOR} -DCMAKE_CXX_COMPILER=${CXX}
    -DCMAKE_BUILD_TYPE=${BUILD_TYPE} -DCMAKE_PREFIX_PATH=${prefix})
run(ignored ${CMAKE_COMMAND} --build ${scratch}/build)

# The stranger does not lie in the prefix, and the prefix is not the one the library was configured for; placed beside
# the installed program it finds the data there.
file(COPY ${scratch}/build/consumer DESTINATION ${prefix}/bin)
run(program ${prefix}/bin/backfield --version)
string(STRIP "${program}" version)
run(said ${prefix}/bin/consumer)
string(REGEX MATCH "version ([^\n]*)\ndata ([^\n]*)\n" ignored "${said}")
set(consumer_version "${CMAKE_MATCH_1}")
set(consumer_data "${CMAKE_MATCH_2}")
if(NOT version MATCHES "(^| )${consumer_version}$")
  fail("the program says version \"${version}\", the library \"${consumer_version}\"")
endif()
if(NOT consumer_data STREQUAL "${prefix}/share/backfield")
  fail("the data of the installed tree was not found: \"${consumer_data}\"")
endif()
foreach(file IN ITEMS cases/policy/default.yaml cases/open-data aircraft schema)
  if(NOT EXISTS ${prefix}/share/backfield/${file})
    fail("not installed: share/backfield/${file}")
  endif()
endforeach()
file(REMOVE_RECURSE ${scratch})
