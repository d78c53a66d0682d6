#ifndef RATAMARK_TESTS_SUITE_H
#define RATAMARK_TESTS_SUITE_H
#include <check.h>

/* Runs a suite, which it takes over, as CK_VERBOSITY and CK_TAP_LOG_FILE_NAME ask. Gives what
   main() returns: 0 where every test passed. */
int run_suite(Suite *suite);

/* Calls `check` with the name of each lesson (*.yaml but course.yaml) of a folder, in the order of
   names. Gives how many there were; a folder that cannot be read fails the test. */
int each_lesson(const char *folder, void (*check)(const char *name));

#endif
