/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/tell_server.h"

#include "base/clock.h"
#include "base/text.h"
#include "base/words.h"
#include "own_socket.h"
#include "own_thread.h"

#include <errno.h>
#include <math.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

#define LOOK_MS 10 /* for an answer */
#define WAIT_MOST_S 86400.0

enum teller_state {
    TELLER_READS,  /* its line is not whole yet */
    TELLER_READY,  /* it waits for its turn */
    TELLER_ASKED,  /* the session works on it */
    TELLER_WAITS,  /* 'wait': for the session's time, or until nothing is captured */
    TELLER_WRITES, /* its answer is on its way */
};

struct teller {
    int fd;
    enum teller_state state;
    bool is_over; /* no more will come from it */
    int64_t since_us;
    char line[COMMAND_TEXT_SIZE + 1];
    size_t used, length; /* bytes read, and those of the line with its end */
    uint64_t request;
    double until_s; /* of a 'wait'; NAN: until nothing is captured */
    char *out;
    size_t out_length, out_sent;
};

struct tell_server {
    struct live_session *session;
    int listening;
    char path[OWN_SOCKET_PATH];
    struct own_thread thread;
    int count, next; /* next: whose turn it is */
    struct teller teller[TELL_TELLERS_MAX];
    int64_t turn_us; /* not before this */
};

/* ---- one teller ---- */

static void drop(struct tell_server *server, int index)
{
    struct teller *teller = &server->teller[index];
    close(teller->fd);
    free(teller->out);
    *teller = server->teller[--server->count];
}

static void accept_teller(struct tell_server *server)
{
    int fd = own_socket_accept(server->listening);
    if (fd < 0) {
        return;
    }
    if (server->count == TELL_TELLERS_MAX) {
        close(fd);
        return;
    }
    struct teller *teller = &server->teller[server->count++];
    memset(teller, 0, sizeof *teller);
    teller->fd = fd;
    teller->since_us = clock_monotonic_us();
}

/* The answer: lines of text, if any, each behind a blank, then whether it was done and what was
 * said. */
static void answer(struct teller *teller, bool done, const char *sentence, const char *text)
{
    char *out = NULL;
    size_t size = 0;
    FILE *stream = open_memstream(&out, &size);
    while (stream != NULL && text != NULL && *text != '\0') {
        int length = (int)strcspn(text, "\n");
        fprintf(stream, "%c%.*s\n", TELL_MORE, length, text);
        text += length + (text[length] == '\n' ? 1 : 0);
    }
    if (stream != NULL) {
        fprintf(stream, "%s%s%s\n", done ? TELL_DONE : TELL_REFUSED, sentence[0] != '\0' ? " " : "",
                sentence);
        fclose(stream);
    }
    free(teller->out);
    teller->out = out;
    teller->out_length = out != NULL ? size : 0;
    teller->out_sent = 0;
    teller->state = TELLER_WRITES;
    teller->since_us = clock_monotonic_us();
}

/* A whole line is there, or one that is too long, or the last one without its end. */
static void look_for_line(struct teller *teller)
{
    const char *end = memchr(teller->line, '\n', teller->used);
    if (end != NULL) {
        teller->length = (size_t)(end - teller->line) + 1;
    } else if (teller->is_over && teller->used > 0) {
        teller->length = teller->used;
    } else if (teller->used == sizeof teller->line) {
        char sentence[64];
        snprintf(sentence, sizeof sentence, "a line of over %d bytes", COMMAND_TEXT_SIZE - 1);
        teller->is_over = true; /* what comes behind it is of no line */
        teller->used = teller->length = 0;
        answer(teller, false, sentence, NULL);
        return;
    } else {
        return;
    }
    teller->state = TELLER_READY;
}

/* False: it is gone. */
static bool read_some(struct teller *teller)
{
    ssize_t got = recv(teller->fd, teller->line + teller->used, sizeof teller->line - teller->used,
                       MSG_DONTWAIT);
    if (got < 0) {
        return errno == EAGAIN || errno == EWOULDBLOCK || errno == EINTR;
    }
    teller->is_over = got == 0;
    teller->used += (size_t)got;
    look_for_line(teller);
    return !teller->is_over || teller->state != TELLER_READS;
}

/* False: it is gone, or has had its last answer. */
static bool write_some(struct teller *teller)
{
    ssize_t sent = send(teller->fd, teller->out + teller->out_sent,
                        teller->out_length - teller->out_sent, MSG_DONTWAIT | MSG_NOSIGNAL);
    if (sent < 0) {
        return errno == EAGAIN || errno == EWOULDBLOCK || errno == EINTR;
    }
    teller->out_sent += (size_t)sent;
    if (teller->out_sent < teller->out_length) {
        return true;
    }
    teller->state = TELLER_READS;
    look_for_line(teller);
    return teller->state != TELLER_READS || !teller->is_over;
}

/* ---- lines ---- */

/* 'wait 10s': the session's time goes on so far; 'wait': until nothing is captured. */
static void begin_wait(struct tell_server *server, struct teller *teller, const struct words *words)
{
    struct problem problem = {0};
    double seconds = NAN;
    enum view_phase phase;
    double now_s = live_session_now(server->session, &phase);
    if (words->count > 2 ||
        (words->count == 2 && (words->word[1].key != NULL ||
                               !words_number(words->word[1].value, "s", &seconds, &problem) ||
                               !(seconds >= 0.0) || seconds > WAIT_MOST_S))) {
        answer(teller, false,
               "wait: say a time, such as 'wait 10s', or nothing: until no hold is running", NULL);
        return;
    }
    teller->until_s = now_s + seconds;
    teller->state = TELLER_WAITS;
}

/* The line leaves the buffer; what is no text is made blank. */
static void take_line(struct teller *teller, char line[COMMAND_TEXT_SIZE + 1])
{
    for (size_t i = 0; i < teller->length; i++) {
        line[i] = teller->line[i] == '\0' || teller->line[i] == '\n' || teller->line[i] == '\r'
                      ? ' '
                      : teller->line[i];
    }
    line[teller->length] = '\0';
    size_t length = teller->length;
    while (length > 0 && line[length - 1] == ' ') {
        line[--length] = '\0';
    }
    teller->used -= teller->length;
    memmove(teller->line, teller->line + teller->length, teller->used);
    teller->length = 0;
}

static void begin(struct tell_server *server, struct teller *teller)
{
    static char line[COMMAND_TEXT_SIZE + 2];
    struct words words;
    struct problem problem = {0};
    take_line(teller, line);
    if (!words_split(line, &words, &problem)) {
        answer(teller, false, problem.sentence, NULL);
        return;
    }
    const char *word = words.count > 0 && words.word[0].key == NULL ? words.word[0].value : "";
    if (words.count == 0) {
        answer(teller, true, "", NULL);
    } else if (text_equal(word, "wait")) {
        begin_wait(server, teller, &words);
    } else if (text_equal(word, "export")) {
        if (words.count != 2 || words.word[1].key != NULL || words.word[1].value[0] == '\0') {
            answer(teller, false, "export: say a file's name", NULL);
            return;
        }
        teller->request =
            live_session_ask(server->session, LIVE_TELLER, LIVE_EXPORT, words.word[1].value);
        teller->state = TELLER_ASKED;
    } else {
        teller->request = live_session_ask(server->session, LIVE_TELLER, LIVE_COMMAND, line);
        teller->state = TELLER_ASKED;
    }
    if (teller->state == TELLER_ASKED && teller->request == 0) {
        answer(teller, false, "the session is busy: say it again", NULL);
    }
}

/* The next line, if it is time for one. */
static void give_turn(struct tell_server *server, int64_t now_us)
{
    for (int i = 0; i < server->count && now_us >= server->turn_us; i++) {
        struct teller *teller = &server->teller[(server->next + i) % server->count];
        if (teller->state == TELLER_READY) {
            server->next = (server->next + i + 1) % server->count;
            server->turn_us = now_us + TELL_PAUSE_MS * 1000;
            begin(server, teller);
        }
    }
}

static void take_answers(struct tell_server *server)
{
    struct live_answer given;
    while (live_session_answer(server->session, LIVE_TELLER, &given)) {
        for (int i = 0; i < server->count; i++) {
            struct teller *teller = &server->teller[i];
            if (teller->state == TELLER_ASKED && teller->request == given.request) {
                answer(teller, given.done, given.sentence, given.text);
            }
        }
        free(given.text);
    }
}

static void end_waits(struct tell_server *server)
{
    enum view_phase phase;
    double now_s = live_session_now(server->session, &phase);
    for (int i = 0; i < server->count; i++) {
        struct teller *teller = &server->teller[i];
        bool captures = phase == VIEW_SETTLING || phase == VIEW_HOLD || phase == VIEW_TARGET ||
                        phase == VIEW_PLATE || phase == VIEW_CHECK;
        if (teller->state == TELLER_WAITS &&
            (isnan(teller->until_s) ? !captures : now_s >= teller->until_s)) {
            answer(teller, true, "", NULL);
        }
    }
}

/* ---- the thread ---- */

static bool is_slow(const struct teller *teller, int64_t now_us)
{
    bool of_its_own = teller->state == TELLER_READS || teller->state == TELLER_WRITES;
    return of_its_own && (double)(now_us - teller->since_us) / 1e6 > TELL_SLOW_S;
}

/* Reads and writes where there is anything to; who is gone or slow is let go. */
static void tend_tellers(struct tell_server *server, const struct pollfd *polled, int count)
{
    int64_t now_us = clock_monotonic_us();
    for (int i = count - 1; i >= 0; i--) {
        struct teller *teller = &server->teller[i];
        bool there = true;
        if (teller->state == TELLER_WRITES) {
            there = write_some(teller);
        } else if (teller->state == TELLER_READS && (polled[i].revents & (POLLIN | POLLHUP))) {
            there = read_some(teller);
        } else if (teller->state == TELLER_WAITS) {
            there = (polled[i].revents & (POLLHUP | POLLERR)) == 0;
        }
        if (!there || is_slow(teller, now_us)) {
            drop(server, i);
        }
    }
}

static int pause_ms(const struct tell_server *server)
{
    int ms = server->count > 0 ? 1000 : -1;
    for (int i = 0; i < server->count; i++) {
        ms = server->teller[i].state != TELLER_READS ? LOOK_MS : ms;
    }
    return ms;
}

static void *server_main(void *argument)
{
    struct tell_server *server = argument;
    while (!atomic_load(&server->thread.stop)) {
        struct pollfd polled[TELL_TELLERS_MAX + 2];
        int count = server->count;
        for (int i = 0; i < count; i++) {
            polled[i] = (struct pollfd){
                .fd = server->teller[i].fd,
                .events = server->teller[i].state == TELLER_READS ? POLLIN : 0,
            };
        }
        polled[count] = (struct pollfd){.fd = server->listening, .events = POLLIN};
        polled[count + 1] = (struct pollfd){.fd = server->thread.wake, .events = POLLIN};
        poll(polled, (nfds_t)count + 2, pause_ms(server));
        tend_tellers(server, polled, count);
        if ((polled[count].revents & POLLIN) != 0) {
            accept_teller(server);
        }
        give_turn(server, clock_monotonic_us());
        take_answers(server);
        end_waits(server);
    }
    return NULL;
}

/* ---- starting and stopping ---- */

static void release(struct tell_server *server)
{
    while (server->count > 0) {
        drop(server, 0);
    }
    if (server->listening >= 0) {
        close(server->listening);
        unlink(server->path);
    }
    free(server);
}

struct tell_server *tell_server_start(struct live_session *session, struct problem *problem)
{
    struct tell_server *server = calloc(1, sizeof *server);
    if (server == NULL) {
        problem_set(problem, "no memory for commands from other programs");
        return NULL;
    }
    server->session = session;
    server->listening = own_socket_listen("tell", server->path, problem);
    if (server->listening < 0 || !own_thread_start(&server->thread, server_main, server,
                                                   "commands from other programs", problem)) {
        release(server);
        return NULL;
    }
    return server;
}

void tell_server_stop(struct tell_server *server)
{
    if (server == NULL) {
        return;
    }
    own_thread_stop(&server->thread);
    release(server);
}

int tell_connect(long process, struct problem *problem)
{
    return own_socket_connect("tell", process, problem);
}
