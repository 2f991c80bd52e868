#define DOCTEST_CONFIG_IMPLEMENT_WITH_MAIN
#include <doctest/doctest.h>

#ifdef __SANITIZE_ADDRESS__
// CBC's presolve keeps a few hundred bytes where a bound is implied; it is not ours to free.
extern "C" const char* __lsan_default_suppressions();
extern "C" const char* __lsan_default_suppressions() {
    return "leak:implied_free_action\n";
}
#endif
