/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

int test_main(Suite *suite)
{
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

const char *source_path(const char *relative)
{
    static char path[4096];
    snprintf(path, sizeof path, "%s/%s", SOURCE_DIR, relative);
    return path;
}

const char *shared_path_or_skip(const char *relative)
{
    static char path[4096];
    snprintf(path, sizeof path, "%s/../shared/%s", SOURCE_DIR, relative);
    if (access(path, R_OK) == 0) {
        return path;
    }
    printf("skipped: ../shared/%s is not beside this project\n", relative);
    return NULL;
}
