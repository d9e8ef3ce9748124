/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "checking.h"

#include "base/text.h"
#include "measure/rules.h"
#include "rig/auxiliary.h"
#include "say/check.h"

#include <math.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define TURN_MS 50
#define SHOW_EVERY_US 250000
#define QUIET_TURNS_MAX 100 /* five seconds without a reading: nobody prints anything */

/* ---- prompts --------------------------------------------------------------------------------- */

static void tell_rig(struct checking *checking, const char *line)
{
    if (line[0] != '\0') {
        link_write_line(reader_link(checking->reader), line, NULL); /* real sensors don't listen */
    }
}

static void ask(struct checking *checking)
{
    const struct check_phase *phase = &checking->plan.phase[checking->phase];
    fprintf(stderr, "%s%d of %d: %s%s\n", checking->shows ? "\r\033[K" : "", checking->phase + 1,
            checking->plan.phase_count, phase->ask, checking->by_key ? "; then Enter" : "");
    tell_rig(checking, phase->rig_before);
}

static void show(struct checking *checking, const struct sample *sample)
{
    const struct check_phase *phase = &checking->plan.phase[checking->phase];
    if (!checking->shows || sample->time_us - checking->shown_us < SHOW_EVERY_US) {
        return;
    }
    checking->shown_us = sample->time_us;
    double gone_s = (double)(sample->time_us - checking->from_us) / 1e6;
    char line[400] = "";
    size_t used = 0;
    for (int c = 0; c < checking->placing.channel_count; c++) {
        char mm[32] = "-";
        if (sample->quality[c] != READING_MISSING) {
            text_from_double(mm, sizeof mm, sample->range_tenth_mm[c] / 10.0, 1);
        }
        text_append(line, sizeof line, &used, "  %s %s", checking->placing.channel[c].name, mm);
    }
    if (checking->recording) {
        text_append(line, sizeof line, &used, "   reading, %.0f s left",
                    ceil(phase->length_s - gone_s));
    } else if (!checking->by_key) {
        text_append(line, sizeof line, &used, "   begins in %.0f s",
                    ceil(fmax(0.0, phase->pause_s - gone_s)));
    }
    fprintf(stderr, "\r\033[K%s", line);
    fflush(stderr);
}

/* ---- samples --------------------------------------------------------------------------------- */

static void make_placing(struct checking *checking)
{
    const struct rig_info *info = reader_info(checking->reader);
    struct placing_record *placing = &checking->placing;
    placing->channel_count = info->channel_count;
    placing->announced_rate_hz = info->rate_hz;
    for (int c = 0; c < info->channel_count; c++) {
        struct channel_record *channel = &placing->channel[c];
        text_copy(channel->name, sizeof channel->name, info->channel_name[c]);
        channel->role = auxiliary_of(channel->name) >= 0 ? ROLE_AUXILIARY : ROLE_BODY;
        channel->gain = 1.0;
        channel->mounted = true;
        channel->mount.direction = checking->options->looks_down ? -1 : 1;
    }
}

static bool begin(struct checking *checking, const struct sample *sample)
{
    if (checking->made_count == 0) {
        make_placing(checking);
    }
    if (check_row_wanted(checking->said)) {
        if (checking->made_count == 0 && !check_row_make(checking->said, &checking->placing,
                                                         &checking->row, checking->problem)) {
            return false;
        }
        checking->words = &checking->row.check[checking->made_count];
        fprintf(stderr, "check %d of %d\n", checking->made_count + 1, checking->row.count);
    }
    if (!check_plan_read(checking->words, 0, &checking->placing, &checking->plan,
                         checking->problem)) {
        return false;
    }
    if (checking->options->is_plate) {
        struct check_phase *phase = &checking->plan.phase[0];
        phase->length_s = checking->words->count == 1 ? PLATE_S : phase->length_s;
        text_copy(phase->ask, sizeof phase->ask,
                  "hold the plate over the sensors, at its unchanging height");
    }
    for (int p = 0; p < checking->plan.phase_count; p++) {
        if (isinf(checking->plan.phase[p].pause_s) && !checking->by_key) {
            problem_usage(checking->problem,
                          "pause=key wants somebody at a terminal and a rig that is live");
            return false;
        }
    }
    checking->begun = true;
    checking->from_us = sample->time_us;
    ask(checking);
    return true;
}

static bool keep(struct stretch *stretch, const struct sample *sample)
{
    if (stretch->count == stretch->room) {
        size_t room = stretch->room == 0 ? 4096 : 2 * stretch->room;
        struct sample *larger = realloc(stretch->samples, room * sizeof *larger);
        if (larger == NULL) {
            return false;
        }
        stretch->samples = larger;
        stretch->room = room;
    }
    stretch->samples[stretch->count++] = *sample;
    return true;
}

void checking_judge(struct checking *checking, struct check_stretch *stretches,
                    struct check_record *check)
{
    struct check_findings findings;
    for (int p = 0; p < checking->plan.phase_count; p++) {
        stretches[p] =
            (struct check_stretch){checking->stretch[p].samples, checking->stretch[p].count};
    }
    check_judge(&checking->plan, &checking->placing, stretches, check, &findings);
    say_check(check->words, sizeof check->words, &findings, &checking->placing);
}

/* The next sample begins a check: the same, or another of the row. */
static void begin_anew(struct checking *checking)
{
    for (int p = 0; p < CHECK_PHASES_MAX; p++) {
        checking->stretch[p].count = 0;
    }
    for (int i = 0; check_rig_after[i] != NULL; i++) {
        tell_rig(checking, check_rig_after[i]);
    }
    checking->phase = 0;
    checking->begun = checking->recording = checking->go = false;
}

/* Something went wrong with this check, or with the one before where this has not begun. */
static void go_back(struct checking *checking)
{
    bool is_new = checking->phase == 0 && !checking->recording;
    if (is_new && checking->made_count > 0) {
        memset(&checking->made[--checking->made_count], 0, sizeof checking->made[0]);
    }
    begin_anew(checking);
}

/* Of a row the check that ended is judged, and the next one begins with the next sample; false
 * where that was the last. */
static bool next_check(struct checking *checking)
{
    struct check_stretch stretches[CHECK_PHASES_MAX];
    if (checking->row.count == 0) {
        return false;
    }
    struct check_record *made = &checking->made[checking->made_count++];
    checking_judge(checking, stretches, made);
    fprintf(stderr, "%s%s: %s\n", checking->shows ? "\r\033[K" : "",
            word_of(&check_kind_words, made->kind), word_of(&check_verdict_words, made->verdict));
    begin_anew(checking);
    return checking->made_count < checking->row.count;
}

static void end_phase(struct checking *checking, const struct sample *sample)
{
    checking->recording = checking->go = false;
    checking->from_us = sample->time_us;
    if (++checking->phase == checking->plan.phase_count) {
        checking->finished = !next_check(checking);
        return;
    }
    ask(checking);
}

static void on_sample(void *context, const struct sample *sample)
{
    struct checking *checking = context;
    if (checking->finished || checking->failed) {
        return;
    }
    if (!checking->begun && !begin(checking, sample)) {
        checking->failed = true;
        return;
    }
    const struct check_phase *phase = &checking->plan.phase[checking->phase];
    double gone_s = (double)(sample->time_us - checking->from_us) / 1e6;
    if (!checking->recording) {
        if (!(checking->by_key ? checking->go : gone_s >= phase->pause_s)) {
            show(checking, sample);
            return;
        }
        checking->recording = true;
        checking->from_us = sample->time_us;
        gone_s = 0.0;
        tell_rig(checking, phase->rig_during);
    }
    show(checking, sample);
    if (gone_s >= phase->length_s) {
        end_phase(checking, sample);
    } else if (!keep(&checking->stretch[checking->phase], sample)) {
        problem_set(checking->problem, "no memory for the readings");
        checking->failed = true;
    }
}

/* Enter, while a phase waits for it; b and Enter at any time. Else what was typed is thrown away.
 */
static void take_key(struct checking *checking)
{
    struct pollfd input = {.fd = STDIN_FILENO, .events = POLLIN};
    char typed[256];
    while (poll(&input, 1, 0) > 0) {
        ssize_t got = read(STDIN_FILENO, typed, sizeof typed);
        if (got <= 0) {
            problem_set(checking->problem, "the input was closed: nothing was checked");
            checking->failed = true;
            return;
        }
        bool whole = checking->begun && memchr(typed, '\n', (size_t)got) != NULL;
        if (whole && typed[0] == 'b') {
            go_back(checking);
        } else if (whole && !checking->recording) {
            checking->go = true;
        }
    }
}

void checking_read_all(struct checking *checking)
{
    int quiet = 0;
    while (!checking->finished && !checking->failed) {
        switch (reader_step(checking->reader, TURN_MS, on_sample, checking, checking->problem)) {
        case LINK_BYTES:
        case LINK_UP:
            quiet = 0;
            break;
        case LINK_QUIET:
        case LINK_DOWN:
            if (++quiet == QUIET_TURNS_MAX) {
                problem_set(checking->problem, "no readings come from '%s'",
                            checking->options->rig);
                checking->failed = true;
            }
            break;
        case LINK_END:
            if (!checking->finished && !checking->failed) {
                problem_set(checking->problem, "the stream ended in step %d of %d",
                            checking->phase + 1, checking->begun ? checking->plan.phase_count : 1);
                checking->failed = true;
            }
            break;
        case LINK_FAILED:
            checking->failed = true;
            break;
        }
        if (checking->by_key) {
            take_key(checking);
        }
    }
    if (checking->shows && checking->begun) {
        fputs("\r\033[K", stderr);
    }
}
