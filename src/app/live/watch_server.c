/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/watch_server.h"

#include "base/text.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <pthread.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <unistd.h>

#define WATCHERS_MAX 16
#define UPDATE_MS 50

struct watcher {
    int fd;
    size_t left; /* of the line begun */
    char rest[WATCH_LINE_MAX];
};

struct watch_server {
    watch_view *view;
    void *context;
    int listening;
    char path[108];
    pthread_t thread;
    atomic_bool stop;
    int wake[2];
    int count;
    struct watcher watcher[WATCHERS_MAX];
    char line[WATCH_LINE_MAX];
};

/* Folder of the sockets: XDG_RUNTIME_DIR/holdline, else /tmp/holdline-UID; made, and checked to be
 * this user's alone. */
static bool watch_folder(char *path, size_t size, struct problem *problem)
{
    const char *runtime = getenv("XDG_RUNTIME_DIR");
    struct stat status;
    int length = runtime != NULL && runtime[0] == '/'
                     ? snprintf(path, size, "%s/holdline", runtime)
                     : snprintf(path, size, "/tmp/holdline-%u", (unsigned)getuid());
    if (length < 0 || (size_t)length >= size) {
        return problem_set(problem, "the folder for watchers has too long a name");
    }
    if (mkdir(path, 0700) != 0 && errno != EEXIST) {
        return problem_set(problem, "%s: %s", path, strerror(errno));
    }
    if (lstat(path, &status) != 0 || !S_ISDIR(status.st_mode) || status.st_uid != getuid() ||
        (status.st_mode & 077) != 0) {
        return problem_set(problem, "%s is not this user's own folder: no watchers", path);
    }
    return true;
}

static bool address_of(const char *path, struct sockaddr_un *address, struct problem *problem)
{
    memset(address, 0, sizeof *address);
    address->sun_family = AF_UNIX;
    if (strlen(path) >= sizeof address->sun_path) {
        return problem_set(problem, "%s is too long for a socket", path);
    }
    memcpy(address->sun_path, path, strlen(path));
    return true;
}

/* ---- the server's thread ----------------------------------------------------------------------
 */

static void drop(struct watch_server *server, int index)
{
    close(server->watcher[index].fd);
    server->count--;
    if (index != server->count) {
        server->watcher[index].fd = server->watcher[server->count].fd;
        server->watcher[index].left = server->watcher[server->count].left;
        memcpy(server->watcher[index].rest, server->watcher[server->count].rest, WATCH_LINE_MAX);
    }
}

/* What the socket takes of a line; the rest is kept, so that a line is never cut. False: gone. */
static bool send_some(struct watcher *watcher, const char *bytes, size_t length)
{
    ssize_t sent = send(watcher->fd, bytes, length, MSG_DONTWAIT | MSG_NOSIGNAL);
    if (sent < 0) {
        if (errno != EAGAIN && errno != EWOULDBLOCK && errno != EINTR) {
            return false;
        }
        sent = 0;
    }
    watcher->left = length - (size_t)sent;
    memmove(watcher->rest, bytes + sent, watcher->left);
    return true;
}

static void send_line(struct watch_server *server, const char *line, size_t length)
{
    for (int i = server->count - 1; i >= 0; i--) {
        struct watcher *watcher = &server->watcher[i];
        bool there = watcher->left > 0 ? send_some(watcher, watcher->rest, watcher->left)
                                       : send_some(watcher, line, length);
        if (!there) {
            drop(server, i);
        }
    }
}

static void accept_watcher(struct watch_server *server)
{
    int fd = accept(server->listening, NULL, NULL);
    if (fd < 0) {
        return;
    }
    if (server->count == WATCHERS_MAX) {
        close(fd);
        return;
    }
    fcntl(fd, F_SETFD, FD_CLOEXEC);
    server->watcher[server->count].fd = fd;
    server->watcher[server->count].left = 0;
    server->count++;
}

static void *server_main(void *argument)
{
    struct watch_server *server = argument;
    unsigned long long serial = 0;
    size_t length = 0;
    while (!atomic_load(&server->stop)) {
        struct pollfd both[2] = {{.fd = server->listening, .events = POLLIN},
                                 {.fd = server->wake[0], .events = POLLIN}};
        poll(both, 2, server->count > 0 ? UPDATE_MS : -1);
        if ((both[0].revents & POLLIN) != 0) {
            accept_watcher(server);
            serial = 0; /* the new one wants the view as it is */
        }
        if (server->count > 0) {
            size_t fresh =
                server->view(server->context, &serial, server->line, sizeof server->line);
            length = fresh > 0 ? fresh : length;
            if (fresh > 0) {
                send_line(server, server->line, length);
            }
        }
    }
    return NULL;
}

/* ---- starting and stopping ---------------------------------------------------------------------
 */

static void release(struct watch_server *server)
{
    for (int i = 0; i < server->count; i++) {
        close(server->watcher[i].fd);
    }
    if (server->listening >= 0) {
        close(server->listening);
        unlink(server->path);
    }
    if (server->wake[0] >= 0) {
        close(server->wake[0]);
        close(server->wake[1]);
    }
    free(server);
}

static bool listen_at(struct watch_server *server, struct problem *problem)
{
    struct sockaddr_un address;
    char folder[96];
    if (!watch_folder(folder, sizeof folder, problem)) {
        return false;
    }
    int length =
        snprintf(server->path, sizeof server->path, "%s/live-%ld.sock", folder, (long)getpid());
    if (length < 0 || (size_t)length >= sizeof server->path ||
        !address_of(server->path, &address, problem)) {
        return problem_set(problem, "%s: too long a name for a socket", folder);
    }
    unlink(server->path); /* of a process that had this number before */
    server->listening = socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0);
    if (server->listening < 0 ||
        bind(server->listening, (const struct sockaddr *)&address, sizeof address) != 0 ||
        listen(server->listening, 8) != 0) {
        return problem_set(problem, "%s: %s", server->path, strerror(errno));
    }
    return true;
}

struct watch_server *watch_server_start(watch_view *view, void *context, struct problem *problem)
{
    struct watch_server *server = calloc(1, sizeof *server);
    if (server == NULL) {
        problem_set(problem, "no memory for watchers");
        return NULL;
    }
    server->view = view;
    server->context = context;
    server->listening = server->wake[0] = server->wake[1] = -1;
    if (!listen_at(server, problem)) {
        release(server);
        return NULL;
    }
    if (pipe(server->wake) != 0 ||
        pthread_create(&server->thread, NULL, server_main, server) != 0) {
        problem_set(problem, "no thread for watchers");
        release(server);
        return NULL;
    }
    return server;
}

void watch_server_stop(struct watch_server *server)
{
    if (server == NULL) {
        return;
    }
    atomic_store(&server->stop, true);
    if (write(server->wake[1], "x", 1) < 0) {
        /* its time-out ends the wait where there are watchers; else the pipe can't be full */
    }
    pthread_join(server->thread, NULL);
    release(server);
}

/* ---- the watcher's side -------------------------------------------------------------------------
 */

static int connect_to(const char *path)
{
    struct sockaddr_un address;
    int fd = -1;
    if (address_of(path, &address, NULL)) {
        fd = socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0);
    }
    if (fd >= 0 && connect(fd, (const struct sockaddr *)&address, sizeof address) != 0) {
        close(fd);
        fd = -1;
    }
    return fd;
}

/* The process behind a socket's name; 0 = it is no such name. */
static long process_of(const char *name)
{
    if (!text_starts_with(name, "live-")) {
        return 0;
    }
    char *end = NULL;
    long process = strtol(name + strlen("live-"), &end, 10);
    return text_equal(end, ".sock") && process > 0 ? process : 0;
}

int watch_connect(long wanted, struct problem *problem)
{
    char folder[96], others[256] = "";
    size_t used = 0;
    int found = -1, count = 0;
    if (!watch_folder(folder, sizeof folder, problem)) {
        return -1;
    }
    DIR *listing = opendir(folder);
    struct dirent *entry;
    while (listing != NULL && (entry = readdir(listing)) != NULL) {
        char path[512];
        long process = process_of(entry->d_name);
        snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
        if (process <= 0 || (wanted > 0 && process != wanted)) {
            continue;
        }
        int fd = connect_to(path);
        if (fd < 0) {
            unlink(path); /* its session is gone */
            continue;
        }
        text_append(others, sizeof others, &used, "%s%ld", count > 0 ? ", " : "", process);
        count++;
        if (found >= 0) {
            close(found);
        }
        found = fd;
    }
    if (listing != NULL) {
        closedir(listing);
    }
    if (count > 1) {
        close(found);
        problem_usage(problem, "several sessions are live: say which process is meant, one of %s",
                      others);
        return -1;
    }
    if (count == 0 && wanted > 0) {
        problem_set(problem, "process %ld is no live session of this user", wanted);
    } else if (count == 0) {
        problem_set(problem, "there is no live session of this user to watch");
    }
    return found;
}
