# What `cmake --install` and `cpack` put where, in two components: the program, and the library for who builds on it
# (docs/install.md).
include(CMakePackageConfigHelpers)
set(manual ${PROJECT_BINARY_DIR}/cli/manual)
set(documents ${CMAKE_INSTALL_DOCDIR})
set(package_folder ${CMAKE_INSTALL_LIBDIR}/cmake/lobewright)

install(TARGETS lobewright COMPONENT program)
install(DIRECTORY ${manual}/man1 DESTINATION ${CMAKE_INSTALL_MANDIR} COMPONENT program)
install(FILES ${manual}/lobewright.bash DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions RENAME lobewright
        COMPONENT program)
install(FILES ${manual}/_lobewright DESTINATION ${CMAKE_INSTALL_DATADIR}/zsh/vendor-completions COMPONENT program)
install(FILES ${manual}/lobewright.fish DESTINATION ${CMAKE_INSTALL_DATADIR}/fish/vendor_completions.d COMPONENT program)
install(FILES README.md docs/copyright DESTINATION ${documents} COMPONENT program)
install(DIRECTORY docs DESTINATION ${documents} COMPONENT program
        PATTERN Doxyfile EXCLUDE PATTERN copyright EXCLUDE)
# The notices of what is laid and compiled into the program, as they came with it.
set(fetched ${PROJECT_BINARY_DIR}/cli/web/node_modules)
foreach(notice "echarts=${fetched}/echarts/LICENSE" "echarts=${fetched}/echarts/NOTICE"
        "echarts=${fetched}/echarts/licenses/LICENSE-d3" "zrender=${fetched}/zrender/LICENSE"
        "tslib=${fetched}/tslib/LICENSE.txt" "CLI11=/usr/share/doc/libcli11-dev/copyright"
        "nlohmann-json=/usr/share/doc/nlohmann-json3-dev/copyright"
        "toml++=/usr/share/doc/libtomlplusplus-dev/copyright" "Eigen=/usr/share/doc/libeigen3-dev/copyright")
  string(REGEX MATCH "^([^=]*)=(.*)$" whole "${notice}")
  install(FILES ${CMAKE_MATCH_2} DESTINATION ${documents}/licences/${CMAKE_MATCH_1} COMPONENT program OPTIONAL)
endforeach()
install(DIRECTORY sample_runs/launch-4-new sample_runs/launch-4-used-wiped COMPONENT program
        DESTINATION ${CMAKE_INSTALL_DATADIR}/lobewright/sample_runs)

set_target_properties(analysis PROPERTIES OUTPUT_NAME lobewright_analysis)
install(TARGETS analysis EXPORT lobewright COMPONENT library)
install(DIRECTORY analysis DESTINATION ${CMAKE_INSTALL_INCLUDEDIR}/lobewright COMPONENT library
        FILES_MATCHING PATTERN *.hpp
        PATTERN toml_file.hpp EXCLUDE)  # serves the sources alone, and would ask for toml++
install(EXPORT lobewright NAMESPACE lobewright:: DESTINATION ${package_folder} COMPONENT library)
install(FILES docs/copyright DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/lobewright-dev COMPONENT library)
write_basic_package_version_file(lobewright-config-version.cmake COMPATIBILITY SameMinorVersion)
install(FILES analysis/lobewright-config.cmake ${CMAKE_CURRENT_BINARY_DIR}/lobewright-config-version.cmake
        DESTINATION ${package_folder} COMPONENT library)

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_VENDOR lobewright)
set(CPACK_PACKAGE_CONTACT "lobewright <lobewright@localhost>")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_COMPONENTS_ALL program library)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_NAME lobewright)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PROGRAM_DESCRIPTION
    "Compares a camshaft with its run from when it was new, lobe by lobe, and says: reuse, regrind, scrap, or measure again, \
each figure with its uncertainty.")
set(CPACK_DEBIAN_LIBRARY_PACKAGE_NAME lobewright-dev)
set(CPACK_DEBIAN_LIBRARY_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_LIBRARY_PACKAGE_DEPENDS libfmt-dev)
set(CPACK_DEBIAN_LIBRARY_DESCRIPTION
    "Reading of runs, figures with their uncertainty, and verdicts: the library behind the program, with its CMake package.")
include(CPack)
