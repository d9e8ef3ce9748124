/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/learn.h"

#include "app/loaded_session.h"
#include "base/text.h"
#include "measure/rules.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct candidates {
    const struct learn_wanted *wanted;
    int rider_count, store_count;
    int64_t rider[LEARNT_RIDER_SESSIONS_MOST], store[LEARNT_STORE_SESSIONS_MOST];
};

/* What one channel's holds showed, session by session. */
struct spreads {
    int rider_count, store_count;
    struct spread rider[LEARNT_RIDER_SESSIONS_MOST], store[LEARNT_STORE_SESSIONS_MOST];
};

struct learn_wanted learn_wanted_by(const struct session *session)
{
    const struct session_record *record = session_records(session);
    struct learn_wanted wanted = {.running = record->uuid, .has_rider = record->has_rider};
    if (record->has_rider) {
        text_copy(wanted.rider_code, sizeof wanted.rider_code, record->rider.code);
    }
    if (record->placing_count > 0) {
        const struct placing_record *placing = &record->placing[record->placing_count - 1];
        for (int c = 0; c < placing->channel_count; c++) {
            if (placing->channel[c].role == ROLE_BODY) {
                text_copy(wanted.channel[wanted.channel_count++], CHANNEL_NAME_SIZE,
                          placing->channel[c].name);
            }
        }
    }
    return wanted;
}

bool learn_wanted_equal(const struct learn_wanted *one, const struct learn_wanted *other)
{
    bool equal = one->has_rider == other->has_rider &&
                 text_equal(one->rider_code, other->rider_code) &&
                 one->channel_count == other->channel_count;
    for (int c = 0; equal && c < one->channel_count; c++) {
        equal = text_equal(one->channel[c], other->channel[c]);
    }
    return equal;
}

/* Latest first. */
static bool take_candidate(void *context, const struct store_session *session)
{
    struct candidates *found = context;
    const struct learn_wanted *wanted = found->wanted;
    if (session->holds < 2 || uuid_equal(&session->uuid, &wanted->running)) {
        return true;
    }
    bool of_rider = wanted->has_rider && wanted->rider_code[0] != '\0' &&
                    text_equal(session->rider_code, wanted->rider_code);
    if (of_rider && found->rider_count < LEARNT_RIDER_SESSIONS_MOST) {
        found->rider[found->rider_count++] = session->id;
    } else if (!of_rider && found->store_count < LEARNT_STORE_SESSIONS_MOST) {
        found->store[found->store_count++] = session->id;
    }
    return found->rider_count < LEARNT_RIDER_SESSIONS_MOST ||
           found->store_count < LEARNT_STORE_SESSIONS_MOST;
}

static void take_spreads(const struct report_input *input, const struct learn_wanted *wanted,
                         bool of_rider, struct spreads spreads[CHANNELS_MAX])
{
    const struct analysis *analysis = input->analysis;
    for (int k = 0; k < wanted->channel_count; k++) {
        for (int c = 0; c < analysis->channel_count; c++) {
            const struct comparison *heights = &analysis->free_heights[c];
            struct spread seen = {heights->repeatability_here * heights->repeatability_here,
                                  heights->repeatability_here_df};
            if (!analysis->body[c] || !heights->has_repeatability ||
                !text_equal(analysis->channel_name[c], wanted->channel[k])) {
                continue;
            }
            if (of_rider) {
                spreads[k].rider[spreads[k].rider_count++] = seen;
            } else {
                spreads[k].store[spreads[k].store_count++] = seen;
            }
            break;
        }
    }
}

static bool read_all(const char *store_path, const struct candidates *found,
                     const struct store_watch *watch, struct spreads spreads[CHANNELS_MAX],
                     struct problem *problem)
{
    int all = found->rider_count + found->store_count;
    for (int i = 0; i < all; i++) {
        char words[32];
        bool of_rider = i < found->rider_count;
        int64_t id = of_rider ? found->rider[i] : found->store[i - found->rider_count];
        if (watch != NULL && !watch->progress(watch->context, (double)i / all)) {
            return problem_set(problem, "stopped");
        }
        snprintf(words, sizeof words, "%lld", (long long)id);
        struct loaded_session *loaded = loaded_session_open(store_path, words, NULL);
        if (loaded != NULL) {
            take_spreads(loaded_session_input(loaded), found->wanted, of_rider, spreads);
        }
        loaded_session_close(loaded);
    }
    return true;
}

static void put_number(char *line, size_t size, size_t *used, const char *key, double value)
{
    char text[32];
    text_from_double(text, sizeof text, value, 3);
    text_append(line, size, used, " %s=%s", key, text);
}

static void put_line(const char *channel, const struct spreads *spreads, char *lines, size_t size,
                     size_t *used)
{
    struct spread rider = spread_of_rider(spreads->rider, spreads->rider_count, LEARNT_DAY_DF);
    struct spread store = {0.0, 0.0};
    bool of_store = spreads->store_count >= LEARNT_STORE_SESSIONS_MIN &&
                    spread_expected(spreads->store, spreads->store_count, &store);
    text_append(lines, size, used, "learnt channel=%s", channel);
    if (rider.df > 0.0) {
        put_number(lines, size, used, "rider_sd", sqrt(rider.variance));
        put_number(lines, size, used, "rider_df", rider.df);
        text_append(lines, size, used, " rider_sessions=%d", spreads->rider_count);
    }
    if (of_store) {
        put_number(lines, size, used, "store_sd", sqrt(store.variance));
        put_number(lines, size, used, "store_df", fmin(store.df, LEARNT_STORE_DF_MOST));
        text_append(lines, size, used, " store_sessions=%d", spreads->store_count);
    }
    text_append(lines, size, used, "\n");
}

bool learn_read(const char *store_path, const struct learn_wanted *wanted,
                const struct store_watch *watch, char lines[LEARN_LINES_SIZE],
                struct problem *problem)
{
    struct candidates found = {.wanted = wanted};
    size_t used = 0;
    lines[0] = '\0';
    struct store *store = store_open(store_path, STORE_READ, problem);
    bool done = store != NULL && store_list(store, take_candidate, &found, problem);
    store_close(store);
    struct spreads *spreads = done ? calloc(CHANNELS_MAX, sizeof *spreads) : NULL;
    if (done && spreads == NULL) {
        return problem_set(problem, "no memory for what earlier sessions showed");
    }
    done = done && read_all(store_path, &found, watch, spreads, problem);
    for (int k = 0; done && k < wanted->channel_count; k++) {
        put_line(wanted->channel[k], &spreads[k], lines, LEARN_LINES_SIZE, &used);
    }
    free(spreads);
    return done;
}

static bool anything_learnt(const struct session *session)
{
    const struct comparison_settings *settings = &session_records(session)->settings;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        if (settings->learnt[c].rider_df > 0.0 || settings->learnt[c].store_df > 0.0) {
            return true;
        }
    }
    return false;
}

bool learn_follow(const char *lines, const struct session *session, learn_sink *sink, void *context,
                  struct problem *problem)
{
    char line[256];
    bool anything = strstr(lines, "_sd=") != NULL || anything_learnt(session);
    for (const char *next = lines; anything && *next != '\0';) {
        size_t length = strcspn(next, "\n");
        snprintf(line, sizeof line, "%.*s", (int)length, next);
        if (!sink(context, line, problem)) {
            return false;
        }
        next += length + (next[length] == '\n' ? 1 : 0);
    }
    return true;
}
