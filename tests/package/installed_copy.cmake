# Installs a build into a folder of its own, builds the example beside this file against that copy, and holds what the
# example and the installed program say of the installed runs. Usage: cmake -DBUILD=... -DCOMPILER=... -P installed_copy.cmake
set(place ${BUILD}/installed_copy)
set(prefix ${place}/usr)
file(REMOVE_RECURSE ${place})

function(run expected_status)
  execute_process(COMMAND ${ARGN} RESULT_VARIABLE status OUTPUT_VARIABLE said ERROR_VARIABLE said)
  if(NOT status EQUAL expected_status)
    message(FATAL_ERROR "${ARGN}: exit status ${status}, not ${expected_status}\n${said}")
  endif()
  set(said "${said}" PARENT_SCOPE)
endfunction()

run(0 ${CMAKE_COMMAND} --install ${BUILD} --prefix ${prefix})
run(0 ${CMAKE_COMMAND} -S ${CMAKE_CURRENT_LIST_DIR} -B ${place}/example -G Ninja -DCMAKE_PREFIX_PATH=${prefix}
    -DCMAKE_CXX_COMPILER=${COMPILER})
run(0 ${CMAKE_COMMAND} --build ${place}/example)
set(runs ${prefix}/share/lobewright/sample_runs/launch-4-new ${prefix}/share/lobewright/sample_runs/launch-4-used-wiped)
run(0 ${place}/example/judge ${runs})
if(NOT said STREQUAL "regrind\n")
  message(FATAL_ERROR "the example says ${said}")
endif()
run(1 ${prefix}/bin/lobewright compare ${runs})  # not fit
foreach(file share/man/man1/lobewright.1 share/man/man1/lobewright-compare.1 share/zsh/vendor-completions/_lobewright
        share/bash-completion/completions/lobewright share/fish/vendor_completions.d/lobewright.fish
        share/doc/lobewright/copyright share/doc/lobewright/docs/install.md)
  if(NOT EXISTS ${prefix}/${file})
    message(FATAL_ERROR "${file} isn't installed")
  endif()
endforeach()
