/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/dead_files.h"

#include <check.h>
#include <fcntl.h>
#include <limits.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

enum { DESCRIPTORS = 64 };
static int kept[DESCRIPTORS]; /* where it is meanwhile; 0: it was left alone */

void dead_files_begin(const char *store)
{
    int folder = open("/", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    ck_assert_int_ge(folder, 0);
    memset(kept, 0, sizeof kept);
    for (int i = 3; i < DESCRIPTORS; i++) {
        char name[64], target[PATH_MAX];
        snprintf(name, sizeof name, "/proc/self/fd/%d", i);
        ssize_t length = readlink(name, target, sizeof target - 1);
        target[length > 0 ? length : 0] = '\0';
        bool locks = strstr(target, ".lock") != NULL || strstr(target, "-shm") != NULL;
        if (strncmp(target, store, strlen(store)) == 0 && !locks) {
            kept[i] = fcntl(i, F_DUPFD_CLOEXEC, DESCRIPTORS);
            ck_assert_int_ge(kept[i], DESCRIPTORS);
            ck_assert_int_eq(dup2(folder, i), i);
        }
    }
    close(folder);
}

void dead_files_end(void)
{
    for (int i = 3; i < DESCRIPTORS; i++) {
        if (kept[i] != 0) {
            ck_assert_int_eq(dup2(kept[i], i), i);
            close(kept[i]);
        }
    }
    memset(kept, 0, sizeof kept);
}
