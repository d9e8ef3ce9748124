/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* For tests only. libserialport 0.1.1 takes a device only when it is listed under /sys/class/tty
 * and has modem lines; a pseudo-terminal has neither. These stand before the C library's calls of
 * the same names and answer for /dev/pts what a plain serial port would; everything else goes
 * through. Preloaded into the program, or linked into a test. It depends on which calls the library
 * imports: the tests look whether it works and say so loudly where it does not. */

#undef _FORTIFY_SOURCE   /* whose calls of the library could not be stood before */
#undef _FILE_OFFSET_BITS /* both names of a call are stood for */
#undef _TIME_BITS
#ifndef _GNU_SOURCE
#define _GNU_SOURCE /* RTLD_NEXT */
#endif

#include <dlfcn.h>
#include <errno.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/stat.h>
#include <sys/types.h>
#include <unistd.h>

#define LISTED "/sys/class/tty/pts/"

int __lxstat(int version, const char *path, struct stat *status);

/* The next definition of a call, which is the C library's. */
static void next_call(const char *name, void *function, size_t size)
{
    void *found = dlsym(RTLD_NEXT, name);
    memcpy(function, &found, size);
}

int __lxstat(int version, const char *path, struct stat *status)
{
    if (strncmp(path, LISTED, sizeof LISTED - 1) == 0) {
        memset(status, 0, sizeof *status);
        status->st_mode = S_IFLNK | 0777;
        return 0;
    }
    int (*next)(int, const char *, struct stat *) = NULL;
    next_call("__lxstat", &next, sizeof next);
    if (next == NULL) {
        errno = ENOSYS;
        return -1;
    }
    return next(version, path, status);
}

ssize_t readlink(const char *restrict path, char *restrict text, size_t size)
{
    if (strncmp(path, LISTED, sizeof LISTED - 1) == 0) {
        static const char target[] = "../../devices/platform/pty/tty/pts";
        size_t length = sizeof target - 1 < size ? sizeof target - 1 : size;
        memcpy(text, target, length);
        return (ssize_t)length;
    }
    ssize_t (*next)(const char *, char *, size_t) = NULL;
    next_call("readlink", &next, sizeof next);
    return next(path, text, size);
}

int ioctl(int descriptor, unsigned long request, ...)
{
    va_list arguments;
    va_start(arguments, request);
    void *argument = va_arg(arguments, void *);
    va_end(arguments);
    int (*next)(int, unsigned long, ...) = NULL;
    next_call("ioctl", &next, sizeof next);
    int result = next(descriptor, request, argument);
    bool modem =
        request == TIOCMGET || request == TIOCMSET || request == TIOCMBIS || request == TIOCMBIC;
    if (result != 0 && modem && isatty(descriptor)) {
        if (request == TIOCMGET) {
            *(int *)argument = TIOCM_DTR | TIOCM_RTS | TIOCM_CTS | TIOCM_DSR;
        }
        return 0;
    }
    return result;
}
