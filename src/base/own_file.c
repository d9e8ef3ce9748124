/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/own_file.h"

#include <errno.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#define OWNER_ONLY 0600

static bool is_own(const struct stat *file)
{
    return S_ISREG(file->st_mode) && file->st_uid == geteuid() && file->st_nlink <= 1;
}

int own_file_open(const char *path, int flags)
{
    struct stat file;
    int access = (flags & O_ACCMODE) == O_RDWR ? O_RDWR : O_WRONLY;
    int descriptor = open(path,
                          access | (flags & (O_EXCL | O_APPEND)) | O_CREAT | O_NOFOLLOW |
                              O_NONBLOCK | O_NOCTTY | O_CLOEXEC,
                          OWNER_ONLY);
    if (descriptor < 0) {
        return -1;
    }
    bool own = fstat(descriptor, &file) == 0 && is_own(&file);
    if (!own || ((file.st_mode & 0777) != OWNER_ONLY && fchmod(descriptor, OWNER_ONLY) != 0)) {
        int error = own ? errno : EPERM;
        close(descriptor);
        if ((flags & O_EXCL) != 0) {
            unlink(path); /* made a moment ago, here */
        }
        errno = error;
        return -1;
    }
    return descriptor;
}

bool own_file_close_to_others(const char *path)
{
    struct stat file;
    if (lstat(path, &file) != 0) {
        return false;
    }
    if (!S_ISREG(file.st_mode) || file.st_uid != geteuid()) {
        errno = EPERM;
        return false;
    }
    return (file.st_mode & 077) == 0 || chmod(path, file.st_mode & 0700) == 0;
}
