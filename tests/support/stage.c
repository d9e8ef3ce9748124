/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/stage.h"

#include "base/text.h"

#include <poll.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>

#define REQUESTS_MAX 200
#define REQUEST_SIZE 1200

struct shared {
    pthread_mutex_t lock;
    struct made_up made;
    uint64_t drawn_serial;
    uint64_t turns; /* of the child's loop: keys read, then drawn */
    int request_count;
    char request[REQUESTS_MAX][REQUEST_SIZE];
    bool answer_done;
    bool answer_asked; /* what is sent is asked about */
    char answer[512];
};

struct stage {
    struct shared *shared;
    struct terminal *terminal;
};

static void take_requests(struct shared *shared, struct screen *screen, const struct view *view,
                          bool *going)
{
    char line[1024];
    enum screen_request request;
    while (*going && (request = screen_key(screen, view, line, sizeof line)) != SCREEN_NOTHING) {
        char answer[512];
        pthread_mutex_lock(&shared->lock);
        if (shared->request_count < REQUESTS_MAX) {
            snprintf(shared->request[shared->request_count++], REQUEST_SIZE, "%s%s",
                     request == SCREEN_QUIT        ? "quit"
                     : request == SCREEN_STOP_WORK ? "stop work"
                     : request == SCREEN_EXPORT    ? "export: "
                     : request == SCREEN_REPLACE   ? "replace: "
                                                   : "command: ",
                     request == SCREEN_QUIT || request == SCREEN_STOP_WORK ? "" : line);
        }
        bool done = shared->answer_done;
        bool asked = shared->answer_asked;
        text_copy(answer, sizeof answer, shared->answer);
        pthread_mutex_unlock(&shared->lock);
        if (request == SCREEN_QUIT) {
            *going = false;
        } else if (request != SCREEN_REPLACE && request != SCREEN_STOP_WORK && asked) {
            screen_answer_asked(screen, answer);
        } else if (request != SCREEN_STOP_WORK) {
            screen_answer(screen, done, answer);
        }
    }
}

static int run_child(void *context)
{
    static struct made_up made;
    const struct view *view = &made.view;
    struct shared *shared = context;
    struct problem problem = {.kind = PROBLEM_NONE};
    struct screen *screen = screen_open(&problem);
    if (screen == NULL) {
        printf("stage: %s\n", problem.sentence);
        return 1;
    }
    bool going = true;
    while (going) {
        struct pollfd keys = {.fd = screen_input(screen), .events = POLLIN};
        poll(&keys, 1, 2);
        if ((keys.revents & (POLLHUP | POLLERR)) != 0) {
            break;
        }
        pthread_mutex_lock(&shared->lock);
        if (made.view.serial != shared->made.view.serial) {
            made_copy(&made, &shared->made);
        }
        pthread_mutex_unlock(&shared->lock);
        take_requests(shared, screen, view, &going);
        screen_draw(screen, view);
        pthread_mutex_lock(&shared->lock);
        shared->drawn_serial = view->serial;
        shared->turns++;
        pthread_mutex_unlock(&shared->lock);
    }
    screen_close(screen);
    return 0;
}

struct stage *stage_open(const struct terminal_settings *settings, enum made_view kind)
{
    struct stage *stage = calloc(1, sizeof *stage);
    if (stage == NULL) {
        return NULL;
    }
    stage->shared = mmap(NULL, sizeof *stage->shared, PROT_READ | PROT_WRITE,
                         MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    if (stage->shared == MAP_FAILED) {
        free(stage);
        return NULL;
    }
    pthread_mutexattr_t attributes;
    pthread_mutexattr_init(&attributes);
    pthread_mutexattr_setpshared(&attributes, PTHREAD_PROCESS_SHARED);
    pthread_mutex_init(&stage->shared->lock, &attributes);
    pthread_mutexattr_destroy(&attributes);
    made_view(&stage->shared->made, kind);
    stage->shared->answer_done = true;
    stage->terminal = terminal_start_function(settings, run_child, stage->shared);
    if (stage->terminal == NULL) {
        printf("skipped: no pseudo-terminals here (/dev/pts)\n");
        stage_close(stage);
        return NULL;
    }
    return stage;
}

void stage_close(struct stage *stage)
{
    if (stage == NULL) {
        return;
    }
    terminal_end(stage->terminal);
    pthread_mutex_destroy(&stage->shared->lock);
    munmap(stage->shared, sizeof *stage->shared);
    free(stage);
}

struct terminal *stage_terminal(struct stage *stage)
{
    return stage->terminal;
}

struct view *stage_lock(struct stage *stage)
{
    pthread_mutex_lock(&stage->shared->lock);
    return &stage->shared->made.view;
}

void stage_unlock(struct stage *stage)
{
    stage->shared->made.view.serial++;
    pthread_mutex_unlock(&stage->shared->lock);
}

/* Until the child's loop has gone round twice more: keys that were sent are read, and drawn. */
static bool wait_turns(struct stage *stage, uint64_t turns)
{
    pthread_mutex_lock(&stage->shared->lock);
    uint64_t wanted = stage->shared->turns + turns;
    pthread_mutex_unlock(&stage->shared->lock);
    for (int tries = 0; tries < 5000; tries++) {
        terminal_pump(stage->terminal, 0.001);
        pthread_mutex_lock(&stage->shared->lock);
        bool there = stage->shared->turns >= wanted;
        pthread_mutex_unlock(&stage->shared->lock);
        if (there || terminal_wait_end(stage->terminal, NULL, 0.0)) {
            terminal_pump(stage->terminal, 0.002);
            return there;
        }
    }
    return false;
}

bool stage_drawn(struct stage *stage)
{
    for (int tries = 0; tries < 5000; tries++) {
        pthread_mutex_lock(&stage->shared->lock);
        bool there = stage->shared->turns > 0 &&
                     stage->shared->drawn_serial == stage->shared->made.view.serial;
        pthread_mutex_unlock(&stage->shared->lock);
        terminal_pump(stage->terminal, 0.001);
        if (there) { /* what was written before it was said: all of it, however late */
            while (terminal_take(stage->terminal, 0.002)) {
            }
            return true;
        }
    }
    return false;
}

bool stage_step(struct stage *stage, double seconds)
{
    made_view_step(stage_lock(stage), seconds);
    pthread_mutex_unlock(&stage->shared->lock);
    return stage_drawn(stage);
}

bool stage_keys(struct stage *stage, const char *keys)
{
    /* a child that has taken the view before a change of it would read the keys against the old */
    if (!stage_drawn(stage)) {
        return false;
    }
    terminal_send(stage->terminal, keys);
    return wait_turns(stage, 3);
}

int stage_requests(struct stage *stage)
{
    pthread_mutex_lock(&stage->shared->lock);
    int count = stage->shared->request_count;
    pthread_mutex_unlock(&stage->shared->lock);
    return count;
}

const char *stage_request(struct stage *stage, int index)
{
    int count = stage_requests(stage);
    if (index < 0) {
        index += count; /* -1: the latest */
    }
    return index >= 0 && index < count ? stage->shared->request[index] : "";
}

static void set_answer(struct stage *stage, bool done, bool asked, const char *sentence)
{
    pthread_mutex_lock(&stage->shared->lock);
    stage->shared->answer_done = done;
    stage->shared->answer_asked = asked;
    text_copy(stage->shared->answer, sizeof stage->shared->answer, sentence);
    pthread_mutex_unlock(&stage->shared->lock);
}

void stage_answer(struct stage *stage, bool done, const char *sentence)
{
    set_answer(stage, done, false, sentence);
}

void stage_answer_asked(struct stage *stage, const char *sentence)
{
    set_answer(stage, true, true, sentence);
}
