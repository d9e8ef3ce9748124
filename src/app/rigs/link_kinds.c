/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/link_kinds.h"

#include "base/text.h"
#include "rig/device.h"

#include <errno.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* The kinds of links. A new one is a file in src/rig and a row here. */
static const struct link_kind *const kinds[] = {
    &link_kind_serial, &link_kind_tty, &link_kind_file, &link_kind_stdin, &link_kind_virtual,
};
#define KINDS (sizeof kinds / sizeof kinds[0])

/* Target and parameters apart: at the last '?', unless a file has one in its name. */
struct parts {
    char target[PATH_MAX];
    const char *parameters;
};

static bool split(const char *text, struct parts *parts, struct problem *problem)
{
    if (strlen(text) >= sizeof parts->target) {
        problem_usage(problem, "the rig's name is longer than any path");
        return false;
    }
    text_copy(parts->target, sizeof parts->target, text);
    parts->parameters = "";
    char *mark = strrchr(parts->target, '?');
    if (mark != NULL && access(parts->target, F_OK) != 0) {
        *mark = '\0';
        parts->parameters = mark + 1;
    }
    return true;
}

static const struct link_kind *kind_of(const char *spec, const char **rest)
{
    for (size_t i = 0; i < KINDS; i++) {
        size_t length = strlen(kinds[i]->scheme);
        if (strncmp(spec, kinds[i]->scheme, length) == 0 && spec[length] == ':') {
            *rest = spec + length + 1;
            return kinds[i];
        }
    }
    return NULL;
}

/* Is the device one that the system lists as a terminal of its own? Else libserialport won't have
 * it. */
static bool is_listed(const char *path)
{
    char device[PATH_MAX];
    char listed[PATH_MAX + 32];
    if (realpath(path, device) == NULL) {
        return false;
    }
    const char *name = strrchr(device, '/');
    snprintf(listed, sizeof listed, "/sys/class/tty/%s", name == NULL ? device : name + 1);
    return !device_is_pseudo_terminal(path) && access(listed, F_OK) == 0;
}

/* What a bare path is meant as. */
static const struct link_kind *kind_of_path(const char *path, struct problem *problem)
{
    struct stat status;
    if (stat(path, &status) == 0) {
        if (S_ISCHR(status.st_mode)) {
            return is_listed(path) ? &link_kind_serial : &link_kind_tty;
        }
        return &link_kind_file;
    }
    if (errno == ENOENT || errno == ENOTDIR) {
        if (text_starts_with(path, "/dev/")) {
            device_open_problem(path, errno, problem);
        } else {
            problem_set(problem,
                        "there is no file or device '%s' (a virtual rig is written virtual:winter)",
                        path);
        }
    } else {
        problem_set(problem, "'%s' cannot be looked at: %s", path, strerror(errno));
    }
    return NULL;
}

struct link *link_kinds_open(const char *spec, struct problem *problem)
{
    struct parts parts;
    const char *rest = spec;
    const struct link_kind *kind = kind_of(spec, &rest);
    if (!split(rest, &parts, problem)) {
        return NULL;
    }
    if (kind == NULL && text_equal(parts.target, "-")) {
        kind = &link_kind_stdin;
    }
    if (kind == NULL) {
        kind = kind_of_path(parts.target, problem);
    }
    struct link *link = kind == NULL ? NULL : kind->open(parts.target, parts.parameters, problem);
    if (link != NULL) {
        text_clean(link->name, sizeof link->name, spec);
    }
    return link;
}
