/* What every test program does around its tests. */
#include "suite.h"

#include <dirent.h>
#include <stdlib.h>
#include <string.h>

int run_suite(Suite *suite)
{
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed != 0;
}

int each_lesson(const char *folder, void (*check)(const char *name))
{
    struct dirent **names;
    int count = scandir(folder, &names, NULL, alphasort), lessons = 0;
    ck_assert_msg(count >= 0, "%s cannot be read", folder);
    for (int i = 0; i < count; i++) {
        const char *dot = strrchr(names[i]->d_name, '.');
        if (dot && strcmp(dot, ".yaml") == 0 && strcmp(names[i]->d_name, "course.yaml") != 0) {
            check(names[i]->d_name);
            lessons++;
        }
        free(names[i]);
    }
    free(names);
    return lessons;
}
