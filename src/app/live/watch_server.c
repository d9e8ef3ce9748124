/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/watch_server.h"

#include "own_socket.h"
#include "own_thread.h"

#include <errno.h>
#include <poll.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
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
    char path[OWN_SOCKET_PATH];
    struct own_thread thread;
    int count;
    struct watcher watcher[WATCHERS_MAX];
    char line[WATCH_LINE_MAX];
};

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
    int fd = own_socket_accept(server->listening);
    if (fd < 0) {
        return;
    }
    if (server->count == WATCHERS_MAX) {
        close(fd);
        return;
    }
    server->watcher[server->count].fd = fd;
    server->watcher[server->count].left = 0;
    server->count++;
}

static void *server_main(void *argument)
{
    struct watch_server *server = argument;
    unsigned long long serial = 0;
    size_t length = 0;
    while (!atomic_load(&server->thread.stop)) {
        struct pollfd both[2] = {{.fd = server->listening, .events = POLLIN},
                                 {.fd = server->thread.wake, .events = POLLIN}};
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
    free(server);
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
    server->listening = own_socket_listen("live", server->path, problem);
    if (server->listening < 0 ||
        !own_thread_start(&server->thread, server_main, server, "watchers", problem)) {
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
    own_thread_stop(&server->thread);
    release(server);
}

int watch_connect(long process, struct problem *problem)
{
    return own_socket_connect("live", process, problem);
}
