/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "live_reader.h"

#include "app/boards.h"
#include "app/links.h"
#include "app/port_scan.h"
#include "app/source_channels.h"
#include "base/clock.h"
#include "base/text.h"
#include "measure/rules.h"
#include "own_thread.h"
#include "rig/decoder_options.h"
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
#define FIRST_LINES "The first lines are awaited."

struct live_reader {
    struct live_reader_settings settings;
    struct decoder_options
        decoder; /* what was said of the stream, else what is known of the board */
    const char *rig;
    bool has_offer; /* how it may be read, as it was told last */
    struct decoder_options offer;
    struct own_thread thread;
    atomic_bool gave_up;
    struct problem why; /* written before gave_up */
};

struct reading {
    struct live_reader *live;
    struct reader *reader;
    bool rig_announced;
    bool misfit;  /* its channels are not the session's sensors: nothing of it is taken */
    bool changed; /* nor while a later heading names others */
    struct rig_info announced;
    uint64_t samples; /* heard, and when the last of them was */
    int64_t heard_us;
};

/* A session that is gone on with has its channels in the order they had. */
static bool fits(const struct live_reader *live, struct reader *reader, struct problem *problem)
{
    const struct placing_record *placing = &live->settings.placing;
    const struct rig_info *info = reader_info(reader);
    int of[CHANNELS_MAX];
    if (placing->channel_count == 0 || placing->rig_id[0] == '\0') {
        return true;
    }
    bool unnamed = source_channels_unnamed(info) && info->channel_count == placing->channel_count;
    bool same = source_channels_by_name(placing, info, of);
    for (int c = 0; same && c < placing->channel_count; c++) {
        same = of[c] == c;
    }
    return unnamed || same ||
           source_channels_misfit(placing, info, reader_link(reader)->name, problem);
}

/* A board that was plugged in anew, or started with another program, may have its channels in
 * another order. */
static bool stays(struct reading *reading)
{
    struct live_session *session = reading->live->settings.session;
    struct problem problem = {0};
    bool stays = source_channels_stay(&reading->announced, reader_info(reading->reader),
                                      reader_link(reading->reader)->name, &problem);
    if (!stays && !reading->changed) {
        live_session_not_taken(session, problem.sentence);
    } else if (stays && reading->changed) {
        live_session_link_trouble(session, "", false);
    }
    reading->changed = !stays;
    return stays;
}

static void on_sample(void *context, const struct sample *sample)
{
    struct reading *reading = context;
    struct live_reader *live = reading->live;
    struct live_session *session = live->settings.session;
    if (!reading->rig_announced) {
        live_session_rig(session, reader_info(reading->reader));
        live_session_link_trouble(session, "", false);
        reading->rig_announced = true;
        reading->announced = *reader_info(reading->reader);
        struct problem problem = {0};
        reading->misfit = !fits(live, reading->reader, &problem);
        if (reading->misfit) {
            live_session_not_taken(session, problem.sentence);
        }
    }
    if (reading->misfit || !stays(reading)) {
        return;
    }
    while (reader_link(reading->reader)->can_wait && !atomic_load(&live->thread.stop) &&
           (ring_space(live->settings.to_recorder) == 0 || live_session_space(session) == 0)) {
        usleep(WAIT_FOR_SPACE_US);
    }
    /* The recorder first: whatever the session has seen is on its way to the store. */
    ring_push(live->settings.to_recorder, sample);
    live_session_sample(session, sample);
}

/* With whether samples are overdue, and what was found out of the lines meanwhile. */
static void tell_health(struct reading *reading, int64_t now_us)
{
    struct rig_health health = *reader_health(reading->reader);
    if (health.samples != reading->samples) {
        reading->samples = health.samples;
        reading->heard_us = now_us;
    }
    health.silent =
        reading->changed || health_is_silent(&health, (double)(now_us - reading->heard_us) / 1e6);
    if (reading->rig_announced && !reading->changed) {
        live_session_rig(reading->live->settings.session, reader_info(reading->reader));
    }
    live_session_health(reading->live->settings.session, &health);
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
    live->has_offer = false;
    if (length == 0) {
        say_rig_unheard(text, sizeof text, link->name, reader_counts(reading->reader));
    } else {
        struct wire_finding finding;
        wire_look(bytes, length, &live->decoder, &finding);
        say_wire_live(text, sizeof text, &finding, link->baud, reader_tried_speeds(reading->reader),
                      bytes, length, reader_counts(reading->reader));
        live->has_offer = finding.has_proposal;
        live->offer = finding.proposal;
    }
    live_session_link_trouble(live->settings.session, text, live->has_offer);
}

/* Kept of the board, so that it is known next time; and told. */
static bool keep_offer(struct live_reader *live, const char *spec, double baud)
{
    const struct board board = {.baud = baud, .options = live->offer};
    char options[300], text[512];
    size_t used = 0;
    struct problem problem = {0};
    decoder_options_words(&live->offer, options, sizeof options);
    if (boards_keep(spec, &board, &problem)) {
        text_append(text, sizeof text, &used,
                    "read with %s, now and next time ('holdline rigs --forget %s' takes it back)",
                    options, spec);
    } else {
        text_append(text, sizeof text, &used, "read with %s for this session only: %s", options,
                    problem.sentence);
    }
    live->has_offer = false;
    live_session_offer_done(live->settings.session, problem.kind == PROBLEM_NONE, text);
    return problem.kind == PROBLEM_NONE;
}

static bool offer_is_taken(const struct live_reader *live)
{
    return live->has_offer && live_session_offer_taken(live->settings.session);
}

/* The fitter took the offer: from here on the open link is read so. False: nothing was taken. */
static bool take_offer(struct reading *reading)
{
    struct live_reader *live = reading->live;
    if (!offer_is_taken(live) || !reader_read_as(reading->reader, &live->offer, NULL)) {
        return false;
    }
    const struct link *link = reader_link(reading->reader);
    live->decoder = live->offer;
    keep_offer(live, text_equal(live->rig, "auto") ? link->name : live->rig, link->baud);
    live_session_link_trouble(live->settings.session, FIRST_LINES, false);
    return true;
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
            opened_us = take_offer(&reading) ? now_us : opened_us;
            tell_health(&reading, now_us);
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

/* No rig is heard on any port: told, with how one of them may be read. */
static void tell_none(struct live_reader *live, const struct port_search *search,
                      const struct problem *problem)
{
    char text[1024], offer[512];
    size_t used = 0;
    live_session_link(live->settings.session, NULL, problem->sentence);
    live->has_offer = search->has_offer;
    if (search->has_offer) {
        live->offer = search->finding.proposal;
        say_wire_offer(offer, sizeof offer, &search->finding);
        text_append(text, sizeof text, &used, "%s. %s", problem->sentence, offer);
        live_session_link_trouble(live->settings.session, text, true);
    }
}

static bool search_ends(void *context)
{
    struct live_reader *live = context;
    return atomic_load(&live->thread.stop) || offer_is_taken(live);
}

/* The port that was offered is known from here on. */
static void take_scanned(struct live_reader *live, const struct port_search *search)
{
    if (!keep_offer(live, search->spec, search->baud)) {
        live->decoder = live->offer;
    }
    live_session_link_trouble(live->settings.session, FIRST_LINES, false);
}

/* The rig, or NULL with a problem. *search has what was offered at the last try, and gets what is
 * now. */
static struct link *open_rig(struct live_reader *live, struct port_search *search,
                             struct problem *problem)
{
    struct link *link = NULL;
    struct port_search now;
    do {
        if (offer_is_taken(live)) {
            take_scanned(live, search);
        }
        now = (struct port_search){.ends = search_ends, .context = live};
        link = links_search(live->rig, &live->decoder, &now, problem);
    } while (link == NULL && offer_is_taken(live));
    if (link == NULL) {
        tell_none(live, &now, problem);
        *search = now;
    }
    return link;
}

static void *reader_main(void *argument)
{
    struct live_reader *live = argument;
    struct port_search search = {.has_offer = false};
    live->rig = live->settings.rig != NULL ? live->settings.rig : "auto";
    if (text_equal(live->rig, "auto")) {
        live_session_link_trouble(live->settings.session,
                                  "listening on the serial ports for the sensors", false);
    }
    while (!atomic_load(&live->thread.stop)) {
        struct problem problem = {0};
        struct link *link = open_rig(live, &search, &problem);
        bool heard = link != NULL && read_link(live, link, &problem);
        bool wrong = problem.kind == PROBLEM_USAGE || (link == NULL && !may_come(live->rig));
        if (wrong && !heard) {
            live->why = problem;
            atomic_store(&live->gave_up, true);
        }
        if (wrong || link != NULL) {
            return NULL;
        }
        struct pollfd wake = {.fd = live->thread.wake, .events = POLLIN};
        poll(&wake, 1, offer_is_taken(live) ? 0 : RETRY_MS);
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
