/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "script_runner_inside.h"

#include "app/links.h"
#include "app/source_channels.h"
#include "base/clock.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Samples of a script: read from its source, handed to the recorder first, then to the session. */

#define READ_TIMEOUT_MS 500
#define QUIET_US_MAX 10000000         /* a rig that says nothing */
#define DOWN_US_MAX (600 * 1000000LL) /* a cable that is out: told, and waited for */

static void keep_pending(void *context, const struct sample *sample)
{
    struct pending *pending = context;
    if (pending->count == pending->capacity) {
        size_t capacity = pending->capacity == 0 ? 1024 : pending->capacity * 2;
        struct sample *larger = realloc(pending->sample, capacity * sizeof *larger);
        if (larger == NULL) {
            pending->failed = true;
            return;
        }
        pending->sample = larger;
        pending->capacity = capacity;
    }
    pending->sample[pending->count++] = *sample;
}

static const struct placing_record *placing_now(const struct script_runner *runner)
{
    const struct session_record *record = session_records(runner->session);
    return record->placing_count > 0 ? &record->placing[record->placing_count - 1] : NULL;
}

/* A source's channels are the session's by their names, in whatever order; a piece without a
 * heading has them in the order of the one before it. */
static bool fit_source(struct script_runner *runner, struct problem *problem)
{
    const struct placing_record *placing = placing_now(runner);
    const struct rig_info *info = reader_info(runner->source);
    int map[CHANNELS_MAX];
    for (int c = 0; c < CHANNELS_MAX; c++) {
        map[c] = c;
    }
    bool known = placing != NULL && placing->rig_id[0] != '\0';
    bool goes_on = known && runner->rig_announced && source_channels_unnamed(info) &&
                   info->channel_count == placing->channel_count;
    if (known && !goes_on && !source_channels_by_name(placing, info, map)) {
        return source_channels_misfit(placing, info, reader_link(runner->source)->name, problem);
    }
    if (!goes_on) {
        memcpy(runner->source_of, map, sizeof map);
    }
    runner->source_info = *info;
    runner->source_fits = true;
    return true;
}

/* As the session has its channels. */
static struct sample in_session_order(const struct script_runner *runner,
                                      const struct sample *sample)
{
    struct sample ordered = *sample;
    int channels = reader_info(runner->source)->channel_count;
    for (int c = 0; c < channels; c++) {
        ordered.range_tenth_mm[c] = sample->range_tenth_mm[runner->source_of[c]];
        ordered.quality[c] = sample->quality[runner->source_of[c]];
    }
    return ordered;
}

static bool tell_session_of_rig(struct script_runner *runner, struct problem *problem)
{
    char line[COMMAND_TEXT_SIZE];
    struct rig_info info = *reader_info(runner->source);
    for (int c = 0; c < info.channel_count; c++) {
        memcpy(info.channel_name[c],
               reader_info(runner->source)->channel_name[runner->source_of[c]], CHANNEL_NAME_SIZE);
    }
    rig_command_line(line, sizeof line, &info);
    return session_command(runner->session, line, problem) &&
           rig_teller_command(&runner->teller, runner->session, line, reader_link(runner->source),
                              problem);
}

void script_runner_on_effect(void *context, const struct effect *effect)
{
    struct script_runner *runner = context;
    if (effect->kind == EFFECT_COMMAND) {
        session_reports_command(&runner->reports, &effect->record.command);
    }
    if (runner->recording) {
        recorder_take_effect(runner->recorder, effect);
        return;
    }
    if (runner->early_count == runner->early_capacity) {
        size_t capacity = runner->early_capacity == 0 ? 32 : runner->early_capacity * 2;
        struct effect *larger = realloc(runner->early, capacity * sizeof *larger);
        if (larger == NULL) {
            runner->pending.failed = true;
            return;
        }
        runner->early = larger;
        runner->early_capacity = capacity;
    }
    runner->early[runner->early_count++] = *effect;
}

bool script_runner_start_recording(struct script_runner *runner, struct problem *problem)
{
    if (runner->recording) {
        return true;
    }
    runner->recording = true;
    for (size_t i = 0; i < runner->early_count; i++) {
        recorder_take_effect(runner->recorder, &runner->early[i]);
    }
    return recorder_flush(runner->recorder, problem);
}

static bool take_sample(struct script_runner *runner, const struct sample *read,
                        struct problem *problem)
{
    if (!script_runner_start_recording(runner, problem) ||
        (!runner->source_fits && !fit_source(runner, problem)) ||
        !source_channels_stay(&runner->source_info, reader_info(runner->source),
                              reader_link(runner->source)->name, problem)) {
        return false;
    }
    const struct sample ordered = in_session_order(runner, read), *sample = &ordered;
    if (!runner->rig_announced) {
        if (!tell_session_of_rig(runner, problem)) {
            return false;
        }
        runner->rig_announced = true;
    }
    runner->last_number = sample->number;
    runner->last_time_us = sample->time_us;
    runner->lost += sample->lost_before;
    if (!recorder_take_sample(runner->recorder, sample) &&
        !recorder_flush(runner->recorder, problem)) {
        return false;
    }
    session_sample(runner->session, sample);
    return rig_teller_samples(&runner->teller, runner->session, reader_link(runner->source),
                              problem);
}

#define TELL_SAMPLES 64

/* False when the person wants it to end. */
static bool go_on(const struct script_runner *runner, struct problem *problem)
{
    return runner->options->progress == NULL || runner->last_number % TELL_SAMPLES != 0 ||
           progress_tell(runner->options->progress, (double)NAN) ||
           problem_set(problem, "stopped; what was taken until then is kept");
}

/* Nothing came: of a rig that is there for 10 s at most, of one whose cable is out for 10 minutes,
 * which is told. */
static bool wait_on(struct script_runner *runner, enum link_result result, int64_t since_us,
                    struct problem *problem)
{
    int64_t waited_us = clock_monotonic_us() - since_us;
    links_tell(result, &runner->is_down);
    if (runner->options->progress != NULL &&
        !progress_tell(runner->options->progress, (double)NAN)) {
        return problem_set(problem, "stopped; what was taken until then is kept");
    }
    if (waited_us > (runner->is_down ? DOWN_US_MAX : QUIET_US_MAX)) {
        return problem_set(problem,
                           runner->is_down ? "%s did not come back; what was taken is kept"
                                           : "%s says nothing",
                           reader_link(runner->source)->name);
    }
    return true;
}

/* The next sample of the source. *ended at the end of a file. */
static bool next_sample(struct script_runner *runner, bool *ended, struct problem *problem)
{
    struct pending *pending = &runner->pending;
    int64_t since_us = 0;
    *ended = false;
    if (!go_on(runner, problem)) {
        return false;
    }
    while (pending->next == pending->count) {
        pending->next = pending->count = 0;
        enum link_result result =
            reader_step(runner->source, READ_TIMEOUT_MS, keep_pending, pending, problem);
        if (result == LINK_FAILED) {
            return false;
        }
        if (result == LINK_END && pending->count == 0) {
            *ended = true;
            return true;
        }
        if (result == LINK_QUIET || result == LINK_DOWN) {
            since_us = since_us == 0 ? clock_monotonic_us() : since_us;
            if (!wait_on(runner, result, since_us, problem)) {
                return false;
            }
        } else {
            links_tell(result, &runner->is_down);
        }
        if (pending->failed) {
            return problem_set(problem, "no memory for the samples");
        }
    }
    return take_sample(runner, &pending->sample[pending->next++], problem);
}

bool script_runner_in_progress(const struct script_runner *runner)
{
    enum view_phase phase = session_phase(runner->session);
    return phase == VIEW_SETTLING || phase == VIEW_HOLD || phase == VIEW_TARGET ||
           phase == VIEW_PLATE || phase == VIEW_CHECK;
}

/* The first sample of what is in progress; 0 while it has not begun. */
static int64_t begun_at(const struct script_runner *runner)
{
    const struct session_record *record = session_records(runner->session);
    return record->capture_count > 0 ? record->capture[record->capture_count - 1].first_sample : 0;
}

bool script_runner_finish_activity(struct script_runner *runner, bool from_file,
                                   double stop_after_s, struct problem *problem)
{
    int64_t begun_us = INT64_MAX;
    while (script_runner_in_progress(runner) && !session_waits_for_go(runner->session)) {
        bool ended = false;
        if (!next_sample(runner, &ended, problem)) {
            return false;
        }
        if (ended && !from_file) {
            return problem_set(problem, "the stream ended before the hold was over");
        }
        begun_us = runner->last_number == begun_at(runner) ? runner->last_time_us : begun_us;
        bool enough =
            begun_us < INT64_MAX && (double)(runner->last_time_us - begun_us) / 1e6 >= stop_after_s;
        if ((ended || enough) && script_runner_in_progress(runner)) {
            return session_command(runner->session, "stop", problem);
        }
    }
    return true;
}

bool script_runner_wait(struct script_runner *runner, double seconds, struct problem *problem)
{
    int64_t until_us = runner->last_time_us + (int64_t)(seconds * 1e6);
    while (runner->last_time_us < until_us) {
        bool ended = false;
        if (!next_sample(runner, &ended, problem)) {
            return false;
        }
        if (ended) {
            return problem_set(problem, "the stream ended while waiting");
        }
    }
    return true;
}

bool script_runner_wait_for(struct script_runner *runner, int64_t number, struct problem *problem)
{
    while (runner->last_number < number) {
        bool ended = false;
        if (!next_sample(runner, &ended, problem)) {
            return false;
        }
        if (ended) {
            return problem_set(problem,
                               "the stream ended at sample %lld, before the one waited for",
                               (long long)runner->last_number);
        }
    }
    return true;
}
