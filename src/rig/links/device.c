/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/device.h"

#include "base/text.h"

#include <errno.h>
#include <grp.h>
#include <limits.h>
#include <pwd.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/ioctl.h>
#include <sys/stat.h>
#include <sys/sysmacros.h>
#include <unistd.h>

/* Is the group in the rights that this program runs with? */
static bool runs_with_group(gid_t group)
{
    gid_t groups[256];
    int count = getgroups((int)(sizeof groups / sizeof groups[0]), groups);
    for (int i = 0; i < count; i++) {
        if (groups[i] == group) {
            return true;
        }
    }
    return getegid() == group;
}

static bool is_member(const struct group *group, const char *user)
{
    for (char **member = group->gr_mem; member != NULL && *member != NULL; member++) {
        if (text_equal(*member, user)) {
            return true;
        }
    }
    return false;
}

static bool permission_problem(const char *path, struct problem *problem)
{
    struct stat status;
    if (stat(path, &status) != 0) {
        return problem_set(problem, "'%s' may not be opened: %s", path, strerror(errno));
    }
    const struct group *group = getgrgid(status.st_gid);
    const struct passwd *user = getpwuid(geteuid());
    const char *user_name = user != NULL ? user->pw_name : "$USER";
    bool group_may = (status.st_mode & (S_IRGRP | S_IWGRP)) == (S_IRGRP | S_IWGRP);
    if (group == NULL || !group_may || runs_with_group(status.st_gid)) {
        const struct passwd *owner = getpwuid(status.st_uid);
        return problem_set(
            problem,
            "'%s' may not be opened: it belongs to the user '%s' and nobody else is let "
            "in; ask whoever looks after this computer",
            path, owner != NULL ? owner->pw_name : "?");
    }
    if (is_member(group, user_name)) {
        return problem_set(problem,
                           "'%s' may not be opened yet: you are in the group '%s' since you logged "
                           "in; log out and in again",
                           path, group->gr_name);
    }
    return problem_set(problem,
                       "'%s' may not be opened: it belongs to the group '%s'. Join it with 'sudo "
                       "usermod -aG %s %s', then log out and in again",
                       path, group->gr_name, group->gr_name, user_name);
}

bool device_open_problem(const char *path, int error, struct problem *problem)
{
    if (problem == NULL) {
        return false; /* nobody wants to know: don't look users and groups up for it */
    }
    switch (error) {
    case EACCES:
    case EPERM:
        return permission_problem(path, problem);
    case EBUSY:
        return problem_set(problem,
                           "'%s' is busy: another program has it open; close it there ('fuser -v "
                           "%s' names it)",
                           path, path);
    case ENOENT:
    case ENOTDIR:
        return problem_set(
            problem, "'%s' is not there: plug the rig in; 'holdline rigs' lists the ports", path);
    case ENXIO:
    case ENODEV:
    case EIO:
        return problem_set(problem, "'%s' does not answer: nothing is connected to it (%s)", path,
                           strerror(error));
    default:
        return problem_set(problem, "'%s' cannot be opened: %s", path, strerror(error));
    }
}

bool device_take(int descriptor, const char *path, struct problem *problem)
{
    if (flock(descriptor, LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK) {
        return device_open_problem(path, EBUSY, problem);
    }
    ioctl(descriptor, TIOCEXCL); /* where it cannot be had, the lock is there */
    return true;
}

void device_give_back(int descriptor)
{
    ioctl(descriptor, TIOCNXCL);
    flock(descriptor, LOCK_UN);
}

bool device_is_pseudo_terminal(const char *path)
{
    struct stat status;
    if (stat(path, &status) != 0 || !S_ISCHR(status.st_mode)) {
        return false;
    }
    unsigned number =
        major(status.st_rdev); /* 136 to 143: Unix98 slaves, fixed in Linux's device list */
    return number >= 136 && number <= 143;
}
