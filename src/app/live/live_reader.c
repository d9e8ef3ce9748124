/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "live_reader.h"

#include "app/links.h"
#include "base/clock.h"
#include "base/text.h"
#include "measure/rules.h"
#include "own_thread.h"
#include "rig/reader.h"
#include "rig/wire_look.h"
#include "say/rig.h"
#include "say/wire.h"

#include <poll.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define READ_TIMEOUT_MS 100
#define RETRY_MS 500
#define WAIT_FOR_SPACE_US 1000
#define HEALTH_US 250000

struct live_reader {
    struct live_reader_settings settings;
    struct decoder_options
        decoder; /* what was said of the stream, else what is known of the board */
    const char *rig;
    struct own_thread thread;
    atomic_bool gave_up;
    struct problem why; /* written before gave_up */
};

struct reading {
    struct live_reader *live;
    struct reader *reader;
    bool rig_announced;
};

static void on_sample(void *context, const struct sample *sample)
{
    struct reading *reading = context;
    struct live_reader *live = reading->live;
    struct live_session *session = live->settings.session;
    if (!reading->rig_announced) {
        live_session_rig(session, reader_info(reading->reader));
        live_session_link_trouble(session, "");
        reading->rig_announced = true;
    }
    while (reader_link(reading->reader)->can_wait && !atomic_load(&live->thread.stop) &&
           (ring_space(live->settings.to_recorder) == 0 || live_session_space(session) == 0)) {
        usleep(WAIT_FOR_SPACE_US);
    }
    /* The recorder first: whatever the session has seen is on its way to the store. */
    ring_push(live->settings.to_recorder, sample);
    live_session_sample(session, sample);
}

/* Open, and no reading has come yet: what is heard in its place. */
static void tell_unheard(struct reading *reading, int64_t opened_us)
{
    char text[512];
    size_t length;
    struct live_reader *live = reading->live;
    double seconds = (double)(clock_monotonic_us() - opened_us) / 1e6;
    if (reading->rig_announced || seconds < UNHEARD_TOLD_S) {
        return;
    }
    const char *bytes = reader_unread(reading->reader, &length);
    const struct link *link = reader_link(reading->reader);
    if (length == 0) {
        say_rig_unheard(text, sizeof text, link->name, reader_counts(reading->reader));
    } else {
        struct wire_finding finding;
        wire_look(bytes, length, &live->decoder, &finding);
        say_wire_live(text, sizeof text, &finding, live->rig, link->baud,
                      reader_tried_speeds(reading->reader), bytes, length,
                      reader_counts(reading->reader));
    }
    live_session_link_trouble(live->settings.session, text);
}

/* Reads until told to stop or the stream is over. True: readings came. */
static bool read_link(struct live_reader *live, struct link *link, struct problem *problem)
{
    const struct live_reader_settings *settings = &live->settings;
    struct reading reading = {.live = live};
    int64_t opened_us = clock_monotonic_us(), health_at_us = 0;
    link->wake_fd = live->thread.wake;
    reading.reader = reader_create(link, &live->decoder, settings->last_number + 1, problem);
    if (reading.reader == NULL) {
        live_session_link(settings->session, NULL, problem->sentence);
        return false;
    }
    if (settings->last_number > 0) {
        reader_continue_after(reading.reader, settings->last_number, settings->last_time_us);
    }
    live_session_link(settings->session, link, NULL);
    bool over = false, learnt = false;
    while (!over && !atomic_load(&live->thread.stop)) {
        enum link_result result =
            reader_step(reading.reader, READ_TIMEOUT_MS, on_sample, &reading, problem);
        over = result == LINK_END || result == LINK_FAILED;
        int64_t now_us = clock_monotonic_us();
        if (now_us - health_at_us > HEALTH_US || over) {
            health_at_us = now_us;
            live_session_health(settings->session, reader_health(reading.reader));
            tell_unheard(&reading, opened_us);
            if (reading.rig_announced && !learnt) {
                learnt = true;
                links_learn(live->rig, link, &live->decoder);
            }
        }
    }
    live_session_link(settings->session, NULL,
                      problem->kind != PROBLEM_NONE     ? problem->sentence
                      : atomic_load(&live->thread.stop) ? NULL
                                                        : "the recorded stream has ended");
    reader_destroy(reading.reader);
    return reading.rig_announced;
}

/* A port may still be plugged in, or be let go of by another program. */
static bool may_come(const char *rig)
{
    return text_equal(rig, "auto") || strstr(rig, "/dev/") != NULL;
}

static void *reader_main(void *argument)
{
    struct live_reader *live = argument;
    const char *rig = live->settings.rig != NULL ? live->settings.rig : "auto";
    live->rig = rig;
    if (text_equal(rig, "auto")) {
        live_session_link_trouble(live->settings.session,
                                  "listening on the serial ports for the sensors");
    }
    while (!atomic_load(&live->thread.stop)) {
        struct problem problem = {0};
        struct link *link = links_open(rig, &live->decoder, &problem);
        bool heard = link != NULL && read_link(live, link, &problem);
        bool wrong = problem.kind == PROBLEM_USAGE || (link == NULL && !may_come(rig));
        if (wrong && !heard) {
            live->why = problem;
            atomic_store(&live->gave_up, true);
        }
        if (wrong || link != NULL) {
            return NULL;
        }
        live_session_link(live->settings.session, NULL, problem.sentence);
        struct pollfd wake = {.fd = live->thread.wake, .events = POLLIN};
        poll(&wake, 1, RETRY_MS);
    }
    return NULL;
}

struct live_reader *live_reader_start(const struct live_reader_settings *settings,
                                      struct problem *problem)
{
    struct live_reader *live = calloc(1, sizeof *live);
    if (live == NULL) {
        problem_set(problem, "no memory for the reader");
        return NULL;
    }
    live->settings = *settings;
    live->decoder = *settings->decoder;
    if (!own_thread_start(&live->thread, reader_main, live, "the reader", problem)) {
        free(live);
        return NULL;
    }
    return live;
}

void live_reader_stop(struct live_reader *live)
{
    if (live == NULL) {
        return;
    }
    own_thread_stop(&live->thread);
    free(live);
}

bool live_reader_gave_up(struct live_reader *live, struct problem *problem)
{
    bool gave_up = atomic_load(&live->gave_up);
    if (gave_up) {
        *problem = live->why;
    }
    return gave_up;
}
