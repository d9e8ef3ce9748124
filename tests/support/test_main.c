/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/test_main.h"

#include "support/program.h"

#include <signal.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

/* A home of its own for what is tried, so that nothing stands in the person's own store or cache
 * and nothing there is read. */
static bool move_home(char *folder, size_t size)
{
    const char *base = getenv("TMPDIR");
    snprintf(folder, size, "%s/holdline-test-XXXXXX", base != NULL ? base : "/tmp");
    if (mkdtemp(folder) == NULL) {
        perror(folder);
        return false;
    }
    setenv("HOME", folder, 1);
    unsetenv("XDG_CACHE_HOME");
    unsetenv("XDG_DATA_HOME");
    unsetenv("HOLDLINE_STORE");
    return true;
}

int test_main(Suite *suite)
{
    char home[256];
    /* 'nohup make check' has it passed over, and tests hang up terminals */
    signal(SIGHUP, SIG_DFL);
    if (!move_home(home, sizeof home)) {
        return EXIT_FAILURE;
    }
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    program_folder_remove(home);
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
