/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/live.h"

#include "live_reader.h"

#include "app/ending.h"
#include "app/live_session.h"
#include "app/progress.h"
#include "app/recorder.h"
#include "app/results.h"
#include "app/tell_server.h"
#include "app/tones.h"
#include "app/watch_server.h"
#include "base/clock.h"
#include "base/memory.h"
#include "base/ring.h"
#include "base/text.h"
#include "base/words.h"
#include "rig/decoder_options.h"
#include "screen/screen.h"
#include "store/store.h"

#include <limits.h>
#include <math.h>
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

#define WORK_ALONE_US 30000000
#define WORK_ASKED_US 1000000
#define FIRST_LOOK_MS 200

struct live {
    const struct live_options *options;
    struct ring *to_recorder;
    struct recorder *recorder;
    struct snapshot_pool *snapshots;
    struct live_session *session;
    struct watch_server *watchers; /* NULL: there can be none */
    struct tell_server *tellers;   /* likewise */
    struct live_reader *reader;
    struct tones *tones; /* this thread's, as the next five */
    int64_t drawn_ms;
    uint64_t unanswered;    /* the request that the screen waits for */
    bool let_go;            /* work that could not be stopped */
    char last_problem[512]; /* told again when the screen is gone; "" = none */
};

static int status_when_let_go;

/* A thread that waits for a disk has a stream half written: the C library must not empty that one
 * at the program's end. */
static void leave_at_once(void)
{
    fflush(stdout);
    fflush(stderr);
    _exit(status_when_let_go);
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
        case SCREEN_REPLACE:
            live->unanswered = live_session_ask(live->session, LIVE_SCREEN,
                                                request == SCREEN_EXPORT    ? LIVE_EXPORT
                                                : request == SCREEN_REPLACE ? LIVE_REPLACE
                                                                            : LIVE_COMMAND,
                                                line);
            break;
        case SCREEN_STOP_WORK:
            live_session_stop_work(live->session);
            break;
        case SCREEN_QUIT:
            if (view->phase != VIEW_ENDED) { /* from elsewhere it was ended already */
                live_session_ask(live->session, LIVE_SCREEN, LIVE_COMMAND, "end");
            }
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
    poll(&input, 1, wait_ms > 0 ? wait_ms : 0);
    return !screen_is_gone(screen);
}

/* The screen waits for one answer at most; what comes later is told as news. */
static void take_answers(struct live *live, struct screen *screen)
{
    struct live_answer answer;
    while (live_session_answer(live->session, LIVE_SCREEN, &answer)) {
        if (answer.request == live->unanswered) {
            live->unanswered = 0;
            if (answer.asked) {
                screen_answer_asked(screen, answer.sentence);
                continue;
            }
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
 * one (no terminal any more) it has so long; a signal leaves it a second, then it is stopped. */
static void finish_work(struct live *live, struct screen *screen, struct live_look *look,
                        bool alone)
{
    int64_t until_us = clock_monotonic_us() + WORK_ALONE_US;
    char line[COMMAND_TEXT_SIZE];
    bool stopped = false;
    live->last_problem[0] = '\0';
    screen_to_first_page(screen);
    while (live_session_works(live->session)) {
        int64_t now_us = clock_monotonic_us();
        if (ending_asked() && until_us - now_us > WORK_ASKED_US) {
            until_us = now_us + WORK_ASKED_US;
        }
        alone = alone || ending_asked();
        if (alone && now_us > until_us) {
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

/* False: the rig's name or an option is wrong, and the session has not begun. */
static bool run_screen(struct live *live, struct screen *screen, struct live_look *look,
                       struct problem *problem)
{
    const char *news = live->options->first_news;
    bool leave = false, there = true;
    draw(live, screen, look); /* what was said on the way here is no news */
    if (news != NULL && news[0] != '\0') {
        screen_tell(screen, false, news);
    }
    while (!leave && !ending_asked() && there) {
        if (live_reader_gave_up(live->reader, problem)) {
            return false;
        }
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
    return true;
}

/* ---- starting and stopping ------------------------------------------------------------------- */

/* The threads take no signals: a resize must wake the thread with the terminal. */
static void block_signals(sigset_t *before)
{
    sigset_t all;
    sigfillset(&all);
    pthread_sigmask(SIG_SETMASK, &all, before);
}

/* What the first picture of the session waits for. */
struct first_wait {
    struct screen *screen;
    const char *doing;
    int64_t drawn_ms;
};

static void draw_first(void *context, double share)
{
    struct first_wait *first = context;
    int64_t now_ms = clock_monotonic_us() / 1000;
    if (now_ms - first->drawn_ms >= FIRST_LOOK_MS) {
        first->drawn_ms = now_ms;
        screen_draw_wait(first->screen, first->doing, share);
    }
}

static bool start_threads(struct live *live, const struct live_wait *wait, struct problem *problem)
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
    struct live_reader_settings reading = {
        .rig = options->rig, .decoder = &options->decoder, .to_recorder = live->to_recorder};
    live->session = live_session_start(options, live->recorder, live->snapshots, wait,
                                       &reading.last_number, &reading.last_time_us, problem);
    if (live->session == NULL) {
        return false;
    }
    memory_give_back(); /* of earlier sessions, which were read */
    reading.session = live->session;
    live_session_sensors(live->session, &reading.placing);
    live->reader = live_reader_start(&reading, problem);
    if (live->reader == NULL) {
        return false;
    }
    live->watchers = watch_server_start(live_session_watch, live->session, NULL);
    live->tellers = tell_server_start(live->session, NULL);
    return true;
}

/* For those who read the store. After a ride of hours it takes some seconds, and says so. */
static void make_results(const char *store_path, int64_t session_id)
{
    struct progress progress;
    const struct store_watch watch = {progress_tell, &progress};
    progress_begin(&progress, "stored; working out its results");
    results_make(store_path, session_id, &watch, NULL);
    progress_end(&progress);
}

static bool stop_threads(struct live *live, struct problem *problem)
{
    bool saved = true;
    tell_server_stop(live->tellers);
    watch_server_stop(live->watchers);
    live_reader_stop(live->reader);
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
        if (live->options->outcome != NULL) {
            live->options->outcome->session_id = state.session_id;
        }
        recorder_destroy(live->recorder);
        /* for those who read the store; 'store results' makes them where there is no time now */
        if (saved && !live->let_go && !ending_asked() && state.session_id > 0) {
            make_results(live->options->store_path, state.session_id);
        }
    }
    ring_destroy(live->to_recorder);
    return saved;
}

bool live_run(const struct live_options *options, struct problem *problem)
{
    struct live live = {.options = options};
    sigset_t before;
    bool done = false;
    struct live_look *look = calloc(1, sizeof *look);
    struct screen *screen = NULL;
    live.snapshots = snapshot_pool_create();
    if (look == NULL || live.snapshots == NULL) {
        problem_set(problem, "no memory for a live session");
        goto end;
    }
    ending_begin();
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
    struct first_wait first = {.screen = screen,
                               .doing = options->resume_session > 0 ? "taking the session up again"
                                        : options->carry != NULL
                                            ? "taking over what the earlier session knew"
                                            : "opening the store"};
    const struct live_wait wait = {draw_first, &first};
    draw_first(&first, NAN);
    block_signals(&before);
    done = start_threads(&live, &wait, problem);
    pthread_sigmask(SIG_SETMASK, &before, NULL);
    if (done) {
        done = run_screen(&live, screen, look, problem);
    }
    screen_close(screen);
    tones_destroy(live.tones);
    done = stop_threads(&live, done ? problem : NULL) && done;
    if (live.let_go) {
        status_when_let_go = done ? EXIT_SUCCESS : EXIT_FAILURE;
        atexit(leave_at_once);
    }
    if (live.last_problem[0] != '\0') {
        text_print(stderr, "holdline: %s\n", live.last_problem);
    }
end:
    free(look);
    snapshot_pool_destroy(live.snapshots);
    return done;
}

struct session_origin live_new_origin(void)
{
    uint64_t own = (uint64_t)clock_monotonic_us() ^ ((uint64_t)getpid() << 40);
    return (struct session_origin){.wall_ms = clock_wall_ms(), .seed = own};
}

/* The command that takes the session up again, with all that it was begun with. */
static void resume_words(char *text, size_t size, const struct live_options *options,
                         const char *named)
{
    char rig[PATH_MAX], stream[700];
    size_t used = 0;
    bool found = options->rig == NULL || text_equal(options->rig, "auto");
    words_quote_for_shell(rig, sizeof rig, found ? "" : options->rig);
    decoder_options_words(&options->decoder, stream, sizeof stream);
    text[0] = '\0';
    text_append(text, size, &used, "holdline %s%s--resume=%lld%s%s%s", found ? "" : rig,
                found ? "" : " ", (long long)options->outcome->session_id, named,
                stream[0] != '\0' ? " " : "", stream);
}

void live_say_where(const struct live_options *options)
{
    const struct live_outcome *outcome = options->outcome;
    const char *store_path = options->store_path;
    int64_t session_id = outcome->session_id;
    for (int i = 0; i < outcome->written_count; i++) {
        text_print(stdout, "%s%s\n", i == 0 ? "Written:\n  " : "  ", outcome->written[i]);
    }
    char named[PATH_MAX + 16], resume[2 * PATH_MAX];
    if (session_id <= 0) {
        return;
    }
    store_option_words(named, sizeof named, store_path);
    resume_words(resume, sizeof resume, options, named);
    long long id = (long long)session_id;
    text_print(stdout,
               "Session %lld is in %s\n"
               "holdline compare %lld%s\n"
               "holdline show %lld%s\n"
               "holdline export %lld rider-sheet.pdf%s\n"
               "holdline export %lld report.pdf%s\n"
               "Gone on with by: %s\n",
               id, store_path, id, named, id, named, id, named, id, named, resume);
}
