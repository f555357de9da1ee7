// Catch2's own main, in a file of its own because it is slow to compile.
#define CATCH_CONFIG_MAIN
#include <catch2/catch.hpp>
