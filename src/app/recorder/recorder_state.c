/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "recorder_inside.h"

#include "base/clock.h"
#include "base/text.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <sys/statvfs.h>

/* What the recorder says of itself while it runs. */

#define DISK_US 30000000

void recorder_look_at_disk(struct recorder *recorder)
{
    struct statvfs disk;
    int64_t now_us = clock_monotonic_us();
    if (recorder->store == NULL || now_us < recorder->next_disk_us) {
        return;
    }
    recorder->next_disk_us = now_us + DISK_US;
    recorder->disk_left_mb = -1;
    if (statvfs(recorder->store_path, &disk) == 0) {
        double left = (double)disk.f_bavail * (double)disk.f_frsize;
        double all = (double)disk.f_blocks * (double)disk.f_frsize;
        if (left < 0.05 * all && left < 2e9) {
            recorder->disk_left_mb = (int64_t)(left / 1e6);
        }
    }
}

/* 'writing into /media/stick/group.db: it is locked' as 'group.db: it is locked'. */
static void tell_briefly(const struct recorder *recorder, char *brief, size_t size)
{
    const char *sentence = recorder->trouble.sentence, *path = recorder->store_path;
    const char *slash = strrchr(path, '/'), *name = slash != NULL ? slash + 1 : path;
    const char *found = strstr(sentence, path);
    size_t before = found != NULL ? (size_t)(found - sentence) : 0;
    if (found == NULL) {
        text_copy(brief, size, sentence);
    } else if (found[strlen(path)] == ':') {
        snprintf(brief, size, "%.60s%.190s", name, found + strlen(path));
    } else {
        snprintf(brief, size, "%.*s%.60s%.150s", before < 40 ? (int)before : 40, sentence, name,
                 found + strlen(path));
    }
}

void recorder_renew_state(struct recorder *recorder)
{
    uint64_t refused = recorder->ring != NULL ? ring_refused(recorder->ring) : 0;
    bool trouble = recorder->trouble.kind != PROBLEM_NONE;
    pthread_mutex_lock(&recorder->lock);
    struct recorder_state *state = &recorder->state;
    state->store_open = recorder->store != NULL;
    state->in_trouble = trouble;
    state->samples_taken = recorder->samples_taken;
    state->samples_stored = recorder->batch.sample_stored;
    state->samples_waiting = recorder->batch.sample_count;
    state->samples_lost = recorder->batch.sample_lost + refused;
    state->effects_waiting = recorder->batch.effect_count + recorder->queue_count;
    state->session_id = recorder->store != NULL ? store_recording_id(recorder->store) : 0;
    text_copy(state->sentence, sizeof state->sentence, trouble ? recorder->trouble.sentence : "");
    state->brief[0] = '\0';
    if (trouble) {
        tell_briefly(recorder, state->brief, sizeof state->brief);
    }
    if (state->samples_lost > 0) {
        snprintf(state->text, sizeof state->text, "%llu samples lost, %llu wait in memory",
                 (unsigned long long)state->samples_lost,
                 (unsigned long long)state->samples_waiting);
    } else if (trouble) {
        snprintf(state->text, sizeof state->text, "not stored: %llu samples wait in memory",
                 (unsigned long long)state->samples_waiting);
    } else if (recorder->disk_left_mb >= 0) {
        snprintf(state->text, sizeof state->text, "all stored, %lld MB left on its disk",
                 (long long)recorder->disk_left_mb);
    } else if (recorder->was_put_back) {
        text_copy(state->text, sizeof state->text, "all stored (file put back)");
    } else {
        snprintf(state->text, sizeof state->text, "%s",
                 state->store_open || recorder->stop ? "all stored" : "opening the store");
    }
    pthread_mutex_unlock(&recorder->lock);
}

bool recorder_tell_opening(void *context, double share)
{
    struct recorder *recorder = context;
    pthread_mutex_lock(&recorder->lock);
    if (isfinite(share)) {
        snprintf(recorder->state.text, sizeof recorder->state.text,
                 "copying the store of an earlier version: %.0f %%", 100 * share);
    } else {
        snprintf(recorder->state.text, sizeof recorder->state.text,
                 "bringing the store up to this version");
    }
    pthread_mutex_unlock(&recorder->lock);
    return true;
}

void recorder_state(struct recorder *recorder, struct recorder_state *state)
{
    pthread_mutex_lock(&recorder->lock);
    *state = recorder->state;
    pthread_mutex_unlock(&recorder->lock);
}
