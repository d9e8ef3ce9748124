/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/cable.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <termios.h>
#include <unistd.h>

bool cable_plug(struct cable *cable)
{
    cable->master = posix_openpt(O_RDWR | O_NOCTTY | O_NONBLOCK | O_CLOEXEC);
    const char *path = NULL;
    if (cable->master < 0 || grantpt(cable->master) != 0 || unlockpt(cable->master) != 0 ||
        (path = ptsname(cable->master)) == NULL || access(path, F_OK) != 0) {
        printf("skipped: no pseudo-terminal here (is /dev/pts mounted?)\n");
        cable_pull(cable);
        return false;
    }
    snprintf(cable->path, sizeof cable->path, "%s", path);
    struct termios settings;
    if (tcgetattr(cable->master, &settings) == 0) { /* of the slave: no echo before it is opened */
        cfmakeraw(&settings);
        tcsetattr(cable->master, TCSANOW, &settings);
    }
    return true;
}

void cable_pull(struct cable *cable)
{
    if (cable->master >= 0) {
        close(cable->master);
    }
    cable->master = -1;
}

bool cable_write(const struct cable *cable, const char *bytes, size_t length)
{
    int waits = 0;
    while (length > 0) {
        ssize_t written = write(cable->master, bytes, length);
        if (written > 0) {
            bytes += written;
            length -= (size_t)written;
            waits = 0;
            continue;
        }
        if ((written < 0 && errno != EAGAIN && errno != EINTR) || ++waits > 2000) {
            return false;
        }
        /* With nobody on the slave's side poll says 'hung up' at once, whether there is room or
         * not. */
        struct pollfd room = {.fd = cable->master, .events = POLLOUT};
        if (poll(&room, 1, 1) > 0 && (room.revents & POLLHUP) != 0) {
            usleep(1000);
        }
    }
    return true;
}

bool cable_write_all(int descriptor, const char *bytes, size_t length)
{
    while (length > 0) {
        ssize_t done = write(descriptor, bytes, length);
        if (done < 0 && errno != EINTR) {
            return false;
        }
        bytes += done > 0 ? done : 0;
        length -= done > 0 ? (size_t)done : 0;
    }
    return true;
}

bool cable_link(const struct cable *cable, const char *name)
{
    char fresh[4096];
    snprintf(fresh, sizeof fresh, "%s.new", name);
    unlink(fresh);
    return symlink(cable->path, fresh) == 0 && rename(fresh, name) == 0;
}

int descriptors_open(void)
{
    DIR *folder = opendir("/proc/self/fd");
    int count = 0;
    while (folder != NULL && readdir(folder) != NULL) {
        count++;
    }
    if (folder != NULL) {
        closedir(folder);
    }
    return count;
}
