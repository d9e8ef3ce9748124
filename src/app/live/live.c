/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/live.h"

#include "app/links.h"
#include "app/live_session.h"
#include "app/recorder.h"
#include "app/tones.h"
#include "app/watch_server.h"
#include "base/clock.h"
#include "base/ring.h"
#include "base/text.h"
#include "rig/reader.h"
#include "screen/screen.h"
#include "store/store.h"

#include <limits.h>
#include <poll.h>
#include <pthread.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* Who owns what: the reader thread has the link and the decoder; the session thread has the machine
 * (app/live_session.h); the recorder thread has the store; this thread has the terminal. Samples
 * cross by rings, commands and views under locks. Started in the order of live_run, stopped in the
 * exact reverse. */

#define READ_TIMEOUT_MS 100
#define RETRY_MS 500
#define WAIT_FOR_SPACE_US 1000
#define WORK_ALONE_US 30000000

struct live {
    const struct live_options *options;
    struct ring *to_recorder;
    struct recorder *recorder;
    struct snapshot_pool *snapshots;
    struct live_session *session;
    struct watch_server *watchers; /* NULL: there can be none */
    pthread_t reader_thread;
    bool reader_started;
    atomic_bool stop_reader;
    struct tones *tones; /* this thread's, as the next five */
    int64_t drawn_ms;
    uint64_t unanswered;    /* the request that the screen waits for */
    bool let_go;            /* work that could not be stopped */
    char last_problem[512]; /* told again when the screen is gone; "" = none */
    int wake[2];            /* ends the reader's wait */
    int64_t continue_number, continue_time_us;
};

static volatile sig_atomic_t asked_to_end;
static int status_when_let_go;

/* A thread that waits for a disk has a stream half written: the C library must not empty that one
 * at the program's end. */
static void leave_at_once(void)
{
    fflush(stdout);
    fflush(stderr);
    _exit(status_when_let_go);
}

static void on_signal(int signal_number)
{
    (void)signal_number;
    asked_to_end = 1;
}

/* ---- reader --------------------------------------------------------------------------------- */

struct reading {
    struct live *live;
    struct reader *reader;
    bool rig_announced;
};

static void on_sample(void *context, const struct sample *sample)
{
    struct reading *reading = context;
    struct live *live = reading->live;
    if (!reading->rig_announced) {
        live_session_rig(live->session, reader_info(reading->reader));
        reading->rig_announced = true;
    }
    while (reader_link(reading->reader)->can_wait && !atomic_load(&live->stop_reader) &&
           (ring_space(live->to_recorder) == 0 || live_session_space(live->session) == 0)) {
        usleep(WAIT_FOR_SPACE_US);
    }
    /* The recorder first: whatever the session has seen is on its way to the store. */
    ring_push(live->to_recorder, sample);
    live_session_sample(live->session, sample);
}

/* Reads until told to stop or the stream is over. */
static void read_link(struct live *live, struct link *link)
{
    struct problem problem = {0};
    struct reading reading = {.live = live};
    int64_t health_at_us = 0;
    link->wake_fd = live->wake[0];
    reading.reader =
        reader_create(link, &live->options->decoder, live->continue_number + 1, &problem);
    if (reading.reader == NULL) {
        live_session_link(live->session, NULL, problem.sentence);
        return;
    }
    if (live->continue_number > 0) {
        reader_continue_after(reading.reader, live->continue_number, live->continue_time_us);
    }
    live_session_link(live->session, link, NULL);
    bool over = false;
    while (!over && !atomic_load(&live->stop_reader)) {
        enum link_result result =
            reader_step(reading.reader, READ_TIMEOUT_MS, on_sample, &reading, &problem);
        over = result == LINK_END || result == LINK_FAILED;
        int64_t now_us = clock_monotonic_us();
        if (now_us - health_at_us > 250000 || over) {
            health_at_us = now_us;
            live_session_health(live->session, reader_health(reading.reader));
        }
    }
    live_session_link(live->session, NULL,
                      problem.kind != PROBLEM_NONE      ? problem.sentence
                      : atomic_load(&live->stop_reader) ? NULL
                                                        : "the recorded stream has ended");
    reader_destroy(reading.reader);
}

/* A port that is not there yet is waited for: plug in, see it move. */
static void *reader_main(void *argument)
{
    struct live *live = argument;
    const char *rig = live->options->rig != NULL ? live->options->rig : "auto";
    while (!atomic_load(&live->stop_reader)) {
        struct problem problem = {0};
        struct link *link = links_open(rig, &problem);
        if (link != NULL) {
            read_link(live, link);
            return NULL;
        }
        live_session_link(live->session, NULL, problem.sentence);
        if (problem.kind == PROBLEM_USAGE) {
            return NULL;
        }
        struct pollfd wake = {.fd = live->wake[0], .events = POLLIN};
        poll(&wake, 1, RETRY_MS);
    }
    return NULL;
}

/* ---- screen --------------------------------------------------------------------------------- */

/* Takes the waiting keys. False when the person leaves. */
static bool take_keys(struct live *live, struct screen *screen, const struct view *view)
{
    char line[COMMAND_TEXT_SIZE];
    for (;;) {
        enum screen_request request = screen_key(screen, view, line, sizeof line);
        switch (request) {
        case SCREEN_NOTHING:
            return true;
        case SCREEN_COMMAND:
        case SCREEN_EXPORT:
            live->unanswered = live_session_ask(
                live->session, request == SCREEN_EXPORT ? LIVE_EXPORT : LIVE_COMMAND, line);
            break;
        case SCREEN_STOP_WORK:
            live_session_stop_work(live->session);
            break;
        case SCREEN_QUIT:
            live_session_ask(live->session, LIVE_COMMAND, "end");
            return false;
        }
    }
}

/* Waits for keys until the next picture is due. False: the terminal is gone. */
static bool wait_for_keys(struct live *live, struct screen *screen)
{
    struct pollfd input = {.fd = screen_input(screen), .events = POLLIN};
    int64_t now_ms = clock_monotonic_us() / 1000;
    int wait_ms = (int)(live->drawn_ms + LIVE_LOOK_MS - now_ms);
    int ready = poll(&input, 1, wait_ms > 0 ? wait_ms : 0);
    return ready <= 0 || (input.revents & (POLLHUP | POLLERR | POLLNVAL)) == 0 ||
           (input.revents & POLLIN) != 0;
}

/* The screen waits for one answer at most; what comes later is told as news. */
static void take_answers(struct live *live, struct screen *screen)
{
    struct live_answer answer;
    while (live_session_answer(live->session, &answer)) {
        if (answer.request == live->unanswered) {
            live->unanswered = 0;
            screen_answer(screen, answer.done, answer.sentence);
        } else if (answer.sentence[0] != '\0') {
            screen_tell(screen, !answer.done, answer.sentence);
        }
        if (!answer.done) {
            text_copy(live->last_problem, sizeof live->last_problem, answer.sentence);
        }
    }
}

static void draw(struct live *live, struct screen *screen, struct live_look *look)
{
    int64_t now_ms = clock_monotonic_us() / 1000;
    if (now_ms - live->drawn_ms >= LIVE_LOOK_MS) {
        live->drawn_ms = now_ms;
        live_session_look(live->session, look, (now_ms + LIVE_LOOK_MS) * 1000);
        screen_draw(screen, &look->view);
    }
}

/* The session is over: what is being written is waited for, until the person lets it go. Without
 * one (a signal, no terminal any more) it has so long. */
static void finish_work(struct live *live, struct screen *screen, struct live_look *look,
                        bool alone)
{
    int64_t until_us = clock_monotonic_us() + WORK_ALONE_US;
    char line[COMMAND_TEXT_SIZE];
    bool stopped = false;
    live->last_problem[0] = '\0';
    screen_to_first_page(screen);
    while (live_session_works(live->session)) {
        alone = alone || asked_to_end;
        if (alone && clock_monotonic_us() > until_us) {
            return;
        }
        if (alone) {
            usleep(LIVE_LOOK_MS * 1000);
            continue;
        }
        alone = !wait_for_keys(live, screen);
        enum screen_request request = screen_key(screen, &look->view, line, sizeof line);
        if (request == SCREEN_QUIT || (request == SCREEN_STOP_WORK && stopped)) {
            return;
        }
        if (request == SCREEN_STOP_WORK) {
            live_session_stop_work(live->session);
            stopped = true;
        }
        take_answers(live, screen);
        draw(live, screen, look);
    }
    take_answers(live, screen);
}

static void run_screen(struct live *live, struct screen *screen, struct live_look *look)
{
    bool leave = false, there = true;
    while (!leave && !asked_to_end && there) {
        there = wait_for_keys(live, screen);
        if (there) {
            /* Also without a new key: a form may have more lines to give, or the size has changed.
             */
            leave = !take_keys(live, screen, &look->view);
            take_answers(live, screen);
            draw(live, screen, look);
            tones_tend(live->tones, screen);
        }
    }
    finish_work(live, screen, look, !leave);
}

/* ---- starting and stopping ------------------------------------------------------------------- */

static void catch_signals(void)
{
    struct sigaction action = {.sa_handler = on_signal};
    sigemptyset(&action.sa_mask);
    sigaction(SIGTERM, &action, NULL);
    sigaction(SIGHUP, &action, NULL);
    sigaction(SIGINT, &action, NULL);
    signal(SIGPIPE, SIG_IGN);
}

/* The threads take no signals: a resize must wake the thread with the terminal. */
static void block_signals(sigset_t *before)
{
    sigset_t all;
    sigfillset(&all);
    pthread_sigmask(SIG_SETMASK, &all, before);
}

static bool start_threads(struct live *live, struct problem *problem)
{
    const struct live_options *options = live->options;
    live->to_recorder = ring_create(RECORDER_RING_SAMPLES, sizeof(struct sample));
    if (live->to_recorder == NULL) {
        return problem_set(problem, "no memory for the samples on their way to the store");
    }
    struct recorder_settings settings = {options->store_path, live->to_recorder,
                                         options->resume_session};
    live->recorder = recorder_create(&settings, problem);
    if (live->recorder == NULL || !recorder_start(live->recorder, problem)) {
        return false;
    }
    live->session = live_session_start(options, live->recorder, live->snapshots,
                                       &live->continue_number, &live->continue_time_us, problem);
    if (live->session == NULL) {
        return false;
    }
    if (pthread_create(&live->reader_thread, NULL, reader_main, live) != 0) {
        return problem_set(problem, "no thread for the reader");
    }
    live->reader_started = true;
    live->watchers = watch_server_start(live_session_watch, live->session, NULL);
    return true;
}

static bool stop_threads(struct live *live, struct problem *problem)
{
    bool saved = true;
    watch_server_stop(live->watchers);
    if (live->reader_started) {
        atomic_store(&live->stop_reader, true);
        if (write(live->wake[1], "x", 1) < 0) {
            /* the reader's own time-out ends its wait */
        }
        pthread_join(live->reader_thread, NULL);
    }
    live->let_go = live->session != NULL && !live_session_stop(live->session);
    if (live->let_go) {
        text_copy(live->last_problem, sizeof live->last_problem,
                  "what was being written or read was let go of, because its disk did not answer; "
                  "a file NAME.part0 may be left there");
    }
    if (live->recorder != NULL) {
        struct recorder_state state;
        recorder_state(live->recorder, &state);
        saved = recorder_finish(live->recorder, problem);
        if (live->options->session_id != NULL) {
            *live->options->session_id = state.session_id;
        }
        recorder_destroy(live->recorder);
    }
    ring_destroy(live->to_recorder);
    return saved;
}

bool live_run(const struct live_options *options, struct problem *problem)
{
    struct live live = {.options = options, .wake = {-1, -1}};
    sigset_t before;
    bool done = false;
    struct live_look *look = calloc(1, sizeof *look);
    struct screen *screen = NULL;
    live.snapshots = snapshot_pool_create();
    if (look == NULL || live.snapshots == NULL || pipe(live.wake) != 0) {
        problem_set(problem, "no memory or descriptors for a live session");
        goto end;
    }
    asked_to_end = 0;
    catch_signals();
    screen = screen_open(problem);
    if (screen == NULL) {
        goto end;
    }
    live.tones = tones_attach(screen, options->tones);
    look->view.history = &look->history;
    look->view.offers = &look->earlier;
    struct snapshot *none = snapshot_pool_take(live.snapshots);
    snapshot_begin(none);
    look->view.snapshot = none;
    screen_draw(screen, &look->view);
    block_signals(&before);
    done = start_threads(&live, problem);
    pthread_sigmask(SIG_SETMASK, &before, NULL);
    if (done) {
        run_screen(&live, screen, look);
    }
    screen_close(screen);
    tones_destroy(live.tones);
    done = stop_threads(&live, problem) && done;
    if (live.let_go) {
        status_when_let_go = done ? EXIT_SUCCESS : EXIT_FAILURE;
        atexit(leave_at_once);
    }
    if (live.last_problem[0] != '\0') {
        text_print(stderr, "holdline: %s\n", live.last_problem);
    }
end:
    if (live.wake[0] >= 0) {
        close(live.wake[0]);
        close(live.wake[1]);
    }
    free(look);
    snapshot_pool_destroy(live.snapshots);
    return done;
}

struct session_origin live_new_origin(void)
{
    uint64_t own = (uint64_t)clock_monotonic_us() ^ ((uint64_t)getpid() << 40);
    return (struct session_origin){.wall_ms = clock_wall_ms(), .seed = own};
}

void live_say_where(const char *store_path, int64_t session_id)
{
    char usual[PATH_MAX], named[PATH_MAX + 16] = "";
    struct problem unused;
    if (session_id <= 0) {
        return;
    }
    if (!store_default_path(usual, sizeof usual, &unused) || !text_equal(usual, store_path)) {
        snprintf(named, sizeof named, " --store %s", store_path);
    }
    long long id = (long long)session_id;
    text_print(stdout,
               "Session %lld is in %s\n"
               "holdline compare %lld%s\n"
               "holdline show %lld%s\n"
               "holdline export %lld rider-sheet.pdf%s\n"
               "holdline export %lld report.pdf%s\n",
               id, store_path, id, named, id, named, id, named, id, named);
}
