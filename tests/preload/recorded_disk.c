/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* For tests only, included by one: what the program and SQLite do to files is noted
 * (tests/support/recorded_disk.h) and done. These stand before the C library's calls of the same
 * names. */

#undef _FILE_OFFSET_BITS /* both names of a call are stood for */
#undef _TIME_BITS

#ifndef _GNU_SOURCE
#define _GNU_SOURCE /* RTLD_NEXT */ /* NOLINT(bugprone-reserved-identifier,cert-dcl37-c) */
#endif

#include "support/recorded_disk.h"

#include <dlfcn.h>
#include <fcntl.h>
#include <stdarg.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define NEXT(result, name, ...)                                                                    \
    result (*next)(__VA_ARGS__) = NULL;                                                            \
    void *found = dlsym(RTLD_NEXT, #name);                                                         \
    memcpy(&next, &found, sizeof next)

#define OPEN(name)                                                                                 \
    int name(const char *path, int flags, ...)                                                     \
    {                                                                                              \
        NEXT(int, name, const char *, int, ...);                                                   \
        va_list arguments;                                                                         \
        va_start(arguments, flags);                                                                \
        mode_t mode = (flags & O_CREAT) != 0 ? va_arg(arguments, mode_t) : 0;                      \
        va_end(arguments);                                                                         \
        bool there = access(path, F_OK) == 0;                                                      \
        int descriptor = next(path, flags, mode);                                                  \
        recorded_disk_opened(descriptor, path, !there, (flags & O_TRUNC) != 0);                    \
        return descriptor;                                                                         \
    }

/* NOLINTBEGIN(readability-redundant-declaration) */
int open64(const char *path, int flags, ...);
ssize_t pwrite64(int descriptor, const void *bytes, size_t size, off64_t offset);
int ftruncate64(int descriptor, off64_t size);
/* NOLINTEND(readability-redundant-declaration) */

OPEN(open)
OPEN(open64)

int close(int descriptor)
{
    NEXT(int, close, int);
    recorded_disk_closed(descriptor);
    return next(descriptor);
}

ssize_t pwrite(int descriptor, const void *bytes, size_t size, off_t offset)
{
    NEXT(ssize_t, pwrite, int, const void *, size_t, off_t);
    recorded_disk_written(descriptor, bytes, size, offset);
    return next(descriptor, bytes, size, offset);
}

ssize_t pwrite64(int descriptor, const void *bytes, size_t size, off64_t offset)
{
    NEXT(ssize_t, pwrite64, int, const void *, size_t, off64_t);
    recorded_disk_written(descriptor, bytes, size, offset);
    return next(descriptor, bytes, size, offset);
}

int ftruncate(int descriptor, off_t size)
{
    NEXT(int, ftruncate, int, off_t);
    recorded_disk_cut_to(descriptor, size);
    return next(descriptor, size);
}

int ftruncate64(int descriptor, off64_t size)
{
    NEXT(int, ftruncate64, int, off64_t);
    recorded_disk_cut_to(descriptor, size);
    return next(descriptor, size);
}

int unlink(const char *path)
{
    NEXT(int, unlink, const char *);
    recorded_disk_removed(path);
    return next(path);
}

int fsync(int descriptor)
{
    NEXT(int, fsync, int);
    recorded_disk_synced(descriptor);
    return next(descriptor);
}

int fdatasync(int descriptor)
{
    NEXT(int, fdatasync, int);
    recorded_disk_synced(descriptor);
    return next(descriptor);
}
