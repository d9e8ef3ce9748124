/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_APP_RECORDER_FIXTURE_H
#define HOLDLINE_TESTS_APP_RECORDER_FIXTURE_H

#include "support/full_session.h"
#include "support/number_in_store.h"
#include "support/program.h"
#include "support/test_main.h"

#include "app/recorder.h"
#include "store/store.h"

#include <dirent.h>
#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

/* A recorder, its ring and its store in a new folder for each test. Each test is a process of its
 * own. */

static const char *folder;
static char path[256]; /* of the store */
static struct problem problem;
static struct ring *ring;

static inline void make_folder(void)
{
    folder = program_folder();
    snprintf(path, sizeof path, "%s/test.db", folder);
    ring = ring_create(4096, sizeof(struct sample));
    ck_assert_ptr_nonnull(ring);
}

static inline void remove_folder(void)
{
    ring_destroy(ring);
    program_folder_remove(folder);
}

static inline void sleep_ms(int64_t milliseconds)
{
    struct timespec time = {.tv_sec = (time_t)(milliseconds / 1000),
                            .tv_nsec = (long)(milliseconds % 1000) * 1000000};
    while (nanosleep(&time, &time) != 0 && errno == EINTR) {
    }
}

static inline struct recorder *start_recorder(int64_t resume_id)
{
    struct recorder_settings settings = {path, ring, resume_id};
    struct recorder *recorder = recorder_create(&settings, &problem);
    ck_assert_ptr_nonnull(recorder);
    ck_assert_msg(recorder_start(recorder, &problem), "%s", problem.sentence);
    return recorder;
}

/* An effect_sink. */
static inline void take_effect(void *context, const struct effect *effect)
{
    recorder_take_effect(context, effect);
}

/* Samples of the stream with these numbers, as fast as the recorder takes them. */
static inline void push(int64_t first, int64_t last)
{
    for (int64_t number = first; number <= last; number++) {
        struct sample sample;
        full_session_sample(number, 2, 1000.0, &sample);
        while (ring_space(ring) == 0) {
            sleep_ms(1);
        }
        ck_assert(ring_push(ring, &sample));
    }
}

/* Waits up to ten seconds for something to be so. */
#define EVENTUALLY(recorder, state, condition)                                                     \
    do {                                                                                           \
        for (int tries = 0; tries < 1000; tries++) {                                               \
            recorder_state(recorder, &(state));                                                    \
            if (condition) {                                                                       \
                break;                                                                             \
            }                                                                                      \
            sleep_ms(10);                                                                          \
        }                                                                                          \
        ck_assert_msg((condition), "never came: %s; state: %s %s", #condition, (state).text,       \
                      (state).sentence);                                                           \
    } while (0)

/* A recorder that has stored the session's record, with so many commands, and the first samples. */
static inline struct recorder *start_stored(const struct session_record *record, int commands,
                                            int64_t samples)
{
    struct recorder *recorder = start_recorder(0);
    struct recorder_state state;
    full_session_effects(record, commands, take_effect, recorder);
    push(1, samples);
    EVENTUALLY(recorder, state, state.samples_stored == (uint64_t)samples);
    return recorder;
}

/* The stored samples are the first `count` of the stream, every one. */
static inline void check_stored(int64_t count)
{
    struct store *store = store_open(path, STORE_READ, &problem);
    ck_assert_msg(store != NULL, "%s", problem.sentence);
    int64_t id = 0;
    const struct sample *samples;
    size_t got;
    ck_assert(store_find_session(store, "last", &id, &problem));
    ck_assert(store_samples(store, id, 1, INT64_MAX / 2, &samples, &got, &problem));
    ck_assert_int_eq((int64_t)got, count);
    for (size_t i = 0; i < got; i++) {
        struct sample sample;
        full_session_sample((int64_t)i + 1, 2, 1000.0, &sample);
        ck_assert_int_eq(samples[i].number, sample.number);
        ck_assert_int_eq(samples[i].time_us, sample.time_us);
        ck_assert_mem_eq(samples[i].range_tenth_mm, sample.range_tenth_mm,
                         sizeof sample.range_tenth_mm);
    }
    store_close(store);
}

/* The one file in a folder whose name holds these words. */
static inline void find_file(const char *in, const char *words, char *found, size_t size)
{
    DIR *listing = opendir(in);
    found[0] = '\0';
    ck_assert_ptr_nonnull(listing);
    for (struct dirent *entry = readdir(listing); entry != NULL; entry = readdir(listing)) {
        if (strstr(entry->d_name, words) != NULL) {
            snprintf(found, size, "%s/%s", in, entry->d_name);
        }
    }
    closedir(listing);
    ck_assert_msg(found[0] != '\0', "no file '%s' in %s", words, in);
}

#endif
