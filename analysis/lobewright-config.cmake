# find_package(lobewright): the target lobewright::analysis, runs in and verdicts out (docs/install.md).
include(CMakeFindDependencyMacro)
find_dependency(Threads)
find_dependency(fmt)
include(${CMAKE_CURRENT_LIST_DIR}/lobewright.cmake)
