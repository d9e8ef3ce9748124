/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* For tests only: a disk that does not answer. While the file named by stalled_disk_flag is there,
 * writing to a file in a folder 'slow' waits, and so does opening one whose name ends in .db for
 * reading alone. These stand before the C library's calls of the same names; linked into a test, or
 * preloaded into the program with HOLDLINE_STALLED in its environment. */

#undef _FILE_OFFSET_BITS /* both names of a call are stood for */
#undef _TIME_BITS

#ifndef _GNU_SOURCE
#define _GNU_SOURCE /* RTLD_NEXT */
#endif

#include <dlfcn.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/types.h>
#include <unistd.h>

#define LOOK_AGAIN_US 10000

int open64(const char *path, int flags, ...); /* NOLINT(readability-redundant-declaration) */

static char stalled_disk_flag[512];

static void wait_while_stalled(void)
{
    const char *named = getenv("HOLDLINE_STALLED");
    const char *flag = stalled_disk_flag[0] != '\0' ? stalled_disk_flag : named;
    while (flag != NULL && access(flag, F_OK) == 0) {
        usleep(LOOK_AGAIN_US);
    }
}

static void next_function(const char *name, void *function, size_t size)
{
    void *found = dlsym(RTLD_NEXT, name);
    memcpy(function, &found, size);
}

ssize_t write(int descriptor, const void *bytes, size_t size)
{
    ssize_t (*next)(int, const void *, size_t) = NULL;
    char name[64], path[512];
    snprintf(name, sizeof name, "/proc/self/fd/%d", descriptor);
    ssize_t length = readlink(name, path, sizeof path - 1);
    path[length > 0 ? length : 0] = '\0';
    if (strstr(path, "/slow/") != NULL) {
        wait_while_stalled();
    }
    next_function("write", &next, sizeof next);
    return next(descriptor, bytes, size);
}

static int open_when_it_answers(const char *name, const char *path, int flags, mode_t mode)
{
    int (*next)(const char *, int, ...) = NULL;
    size_t length = strlen(path);
    if ((flags & O_ACCMODE) == O_RDONLY && length > 3 && strcmp(path + length - 3, ".db") == 0) {
        wait_while_stalled();
    }
    next_function(name, &next, sizeof next);
    return next(path, flags, mode);
}

int open(const char *path, int flags, ...)
{
    va_list arguments;
    va_start(arguments, flags);
    mode_t mode = (flags & O_CREAT) != 0 ? va_arg(arguments, mode_t) : 0;
    va_end(arguments);
    return open_when_it_answers("open", path, flags, mode);
}

int open64(const char *path, int flags, ...)
{
    va_list arguments;
    va_start(arguments, flags);
    mode_t mode = (flags & O_CREAT) != 0 ? va_arg(arguments, mode_t) : 0;
    va_end(arguments);
    return open_when_it_answers("open64", path, flags, mode);
}
