/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#define _GNU_SOURCE /* struct ucred */ /* NOLINT(bugprone-reserved-identifier,cert-dcl37-c) */
#include "own_socket.h"

#include "base/text.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <unistd.h>

#define NO_ROOM_US 100000 /* no descriptor is free */

#define FOLDER_SIZE 96
#define FOLDERS 2

/* The folder is there, and this user's alone. */
static bool is_own(const char *path)
{
    struct stat status;
    return lstat(path, &status) == 0 && S_ISDIR(status.st_mode) && status.st_uid == getuid() &&
           (status.st_mode & 077) == 0;
}

/* Where this user's sockets may stand, where they are made first: the runtime folder that is said,
 * and where none is (a login over ssh may have none), or it is not there (who becomes another user
 * keeps the other's), both it may be. How many. */
static int folders(char path[FOLDERS][FOLDER_SIZE])
{
    const char *runtime = getenv("XDG_RUNTIME_DIR");
    unsigned user = (unsigned)getuid();
    if (runtime != NULL && runtime[0] == '/' && strlen(runtime) < FOLDER_SIZE - 16 &&
        access(runtime, W_OK | X_OK) == 0) {
        snprintf(path[0], FOLDER_SIZE, "%.80s/holdline", runtime);
        return 1;
    }
    snprintf(path[0], FOLDER_SIZE, "/tmp/holdline-%u", user);
    snprintf(path[1], FOLDER_SIZE, "/run/user/%u/holdline", user);
    return 2;
}

/* This process' own, made where it is not there. */
static bool make_folder(char folder[FOLDER_SIZE], struct problem *problem)
{
    char path[FOLDERS][FOLDER_SIZE];
    folders(path);
    memcpy(folder, path[0], FOLDER_SIZE);
    if (mkdir(folder, 0700) != 0 && errno != EEXIST) {
        return problem_set(problem, "%s: %s", folder, strerror(errno));
    }
    return is_own(folder) ||
           problem_set(problem, "%s is not this user's own folder: no watchers", folder);
}

static bool address_of(const char *path, struct sockaddr_un *address)
{
    memset(address, 0, sizeof *address);
    address->sun_family = AF_UNIX;
    if (strlen(path) >= sizeof address->sun_path) {
        return false;
    }
    memcpy(address->sun_path, path, strlen(path));
    return true;
}

int own_socket_listen(const char *kind, char path[OWN_SOCKET_PATH], struct problem *problem)
{
    struct sockaddr_un address;
    char folder[FOLDER_SIZE];
    path[0] = '\0';
    if (!make_folder(folder, problem)) {
        return -1;
    }
    int length = snprintf(path, OWN_SOCKET_PATH, "%s/%s-%ld.sock", folder, kind, (long)getpid());
    if (length < 0 || length >= OWN_SOCKET_PATH || !address_of(path, &address)) {
        path[0] = '\0';
        problem_set(problem, "%s: too long a name for a socket", folder);
        return -1;
    }
    unlink(path); /* of a process that had this number before */
    int listening = socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0);
    mode_t before = umask(0177);
    bool bound =
        listening >= 0 && bind(listening, (const struct sockaddr *)&address, sizeof address) == 0;
    umask(before);
    if (!bound || listen(listening, 8) != 0) {
        problem_set(problem, "%s: %s", path, strerror(errno));
        if (listening >= 0) {
            close(listening);
        }
        return -1;
    }
    return listening;
}

int own_socket_accept(int listening)
{
    struct ucred peer;
    socklen_t size = sizeof peer;
    int fd = accept4(listening, NULL, NULL, SOCK_CLOEXEC);
    if (fd >= 0 &&
        (getsockopt(fd, SOL_SOCKET, SO_PEERCRED, &peer, &size) != 0 || peer.uid != getuid())) {
        close(fd);
        return -1;
    }
    if (fd < 0 && (errno == EMFILE || errno == ENFILE || errno == ENOBUFS || errno == ENOMEM)) {
        usleep(
            NO_ROOM_US); /* who knocks stays at the door, and would be answered at once for ever */
    }
    return fd;
}

/* ---- the other side ---- */

static int connect_to(const char *path)
{
    struct sockaddr_un address;
    int fd = -1;
    if (address_of(path, &address)) {
        fd = socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0);
    }
    if (fd >= 0 && connect(fd, (const struct sockaddr *)&address, sizeof address) != 0) {
        close(fd);
        fd = -1;
    }
    return fd;
}

/* The process behind a socket's name; 0 = it is no such name. */
static long process_of(const char *name, const char *kind)
{
    size_t length = strlen(kind);
    if (strncmp(name, kind, length) != 0 || name[length] != '-') {
        return 0;
    }
    char *end = NULL;
    long process = strtol(name + length + 1, &end, 10);
    return text_equal(end, ".sock") && process > 0 ? process : 0;
}

struct search {
    const char *kind;
    long wanted;
    int found, count;
    char others[256];
    size_t used;
};

static void look_into(struct search *search, const char *folder)
{
    DIR *listing = is_own(folder) ? opendir(folder) : NULL;
    struct dirent *entry;
    while (listing != NULL && (entry = readdir(listing)) != NULL) {
        char path[FOLDER_SIZE + 512];
        long process = process_of(entry->d_name, search->kind);
        snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
        if (process <= 0 || (search->wanted > 0 && process != search->wanted)) {
            continue;
        }
        int fd = connect_to(path);
        if (fd < 0) {
            unlink(path); /* its session is gone */
            continue;
        }
        text_append(search->others, sizeof search->others, &search->used, "%s%ld",
                    search->count > 0 ? ", " : "", process);
        search->count++;
        if (search->found >= 0) {
            close(search->found);
        }
        search->found = fd;
    }
    if (listing != NULL) {
        closedir(listing);
    }
}

int own_socket_connect(const char *kind, long wanted, struct problem *problem)
{
    char folder[FOLDERS][FOLDER_SIZE];
    struct search search = {.kind = kind, .wanted = wanted, .found = -1};
    int count = folders(folder);
    for (int i = 0; i < count; i++) {
        look_into(&search, folder[i]);
    }
    if (search.count > 1) {
        close(search.found);
        problem_usage(problem, "several sessions are live: say which process is meant, one of %s",
                      search.others);
        return -1;
    }
    if (search.count == 0 && wanted > 0) {
        problem_set(problem, "process %ld is no live session of this user", wanted);
    } else if (search.count == 0) {
        problem_set(problem, "there is no live session of this user");
    }
    return search.found;
}
