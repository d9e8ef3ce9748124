/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/session_drive.h"
#include "session/view.h"
#include "support/spoiled.h"
#include "support/test_seed.h"

#include <check.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#define RATE_HZ 50

static void on_effect(void *context, const struct effect *effect)
{
    struct drive *drive = context;
    drive->effects++;
    if (effect->kind == EFFECT_COMMAND && drive->commands < 64) {
        snprintf(drive->log[drive->commands], sizeof drive->log[0], "%.255s",
                 effect->record.command.text);
        drive->log_after[drive->commands] = effect->record.command.after_sample;
    }
    drive->commands += effect->kind == EFFECT_COMMAND ? 1 : 0;
}

void drive_start(struct drive *drive, uint64_t seed)
{
    struct session_origin origin = {.wall_ms = 1767981600000, .seed = seed};
    memset(drive, 0, sizeof *drive);
    random_seed(&drive->random, test_seed(seed + 1));
    drive->body_mm[0] = 900.0;
    drive->body_mm[1] = 800.0;
    drive->sensor_mm[0] = 640.0;
    drive->sensor_mm[1] = 635.0;
    drive->noise_mm = 1.5;
    drive->breathing_mm = 3.0;
    drive->time_us = 4200000; /* none begins at 0 */
    drive->session = session_create(&origin, on_effect, drive);
    ck_assert_ptr_nonnull(drive->session);
}

void drive_end(struct drive *drive)
{
    session_destroy(drive->session);
}

void drive_do(struct drive *drive, const char *line)
{
    struct problem problem = {0};
    spoil_behind((struct session_record *)(uintptr_t)session_records(drive->session));
    if (!session_command(drive->session, line, &problem)) {
        ck_abort_msg("'%s' was refused: %s", line, problem.sentence);
    }
}

void drive_refused(struct drive *drive, const char *line, const char *sentence_part)
{
    struct problem problem = {0};
    int effects = drive->effects;
    if (session_command(drive->session, line, &problem)) {
        ck_abort_msg("'%s' was taken", line);
    }
    if (strstr(problem.sentence, sentence_part) == NULL) {
        ck_abort_msg("'%s': the sentence '%s' lacks '%s'", line, problem.sentence, sentence_part);
    }
    ck_assert_int_eq(drive->effects, effects); /* nothing has changed */
}

/* Hands off, sit up, back: over as the countdown has 3 s left. */
static double sits_up_mm(struct drive *drive)
{
    static struct view view;
    if (session_phase(drive->session) != VIEW_SETTLING || drive->stays_down) {
        drive->settled = 0;
        return 0.0;
    }
    if (drive->settled++ == 0) {
        session_fill_view(drive->session, &view);
        drive->settled += view.countdown_s < 3.0 ? 2 * RATE_HZ : 0;
    }
    return drive->settled <= 2 * RATE_HZ ? 200.0 : 0.0;
}

void drive_samples(struct drive *drive, int count)
{
    for (int i = 0; i < count; i++) {
        double up_mm = sits_up_mm(drive);
        struct sample sample = {.number = ++drive->number, .time_us = drive->time_us};
        double phase = 6.283185307179586 * 0.4 * (double)drive->time_us / 1e6;
        for (int c = 0; c < 2; c++) {
            double range_mm = up_mm + drive->body_mm[c] - drive->sensor_mm[c] +
                              drive->breathing_mm * sin(phase) +
                              drive->noise_mm * random_normal(&drive->random);
            sample.range_tenth_mm[c] = (int32_t)lround(range_mm * 10.0);
            sample.quality[c] = drive->quality;
        }
        drive->time_us += 1000000 / RATE_HZ;
        session_sample(drive->session, &sample);
    }
}

const struct snapshot *drive_snapshot(struct drive *drive)
{
    static struct snapshot snapshot;
    snapshot_begin(&snapshot);
    session_fill_snapshot(drive->session, &snapshot);
    return &snapshot;
}

void drive_finish(struct drive *drive)
{
    for (int i = 0; i < 600 * RATE_HZ; i++) {
        enum view_phase phase = session_phase(drive->session);
        if (phase == VIEW_LIVE || phase == VIEW_ENDED) {
            return;
        }
        drive_samples(drive, 1);
    }
    ck_abort_msg("still in progress after 10 minutes");
}

void drive_describe(struct drive *drive)
{
    drive_do(drive, "rider R-01 \"winter group\"");
    drive_do(drive,
             "bike \"training bike\" stack=540 reach=400 head_angle=73 spacers=20 stem_length=100 "
             "stem_angle=-17 pad_rise=55");
    drive_do(drive, "sensor head carrier=base_bar x=120 y=40");
    drive_do(drive, "sensor chest carrier=base_bar x=-60 y=35");
    drive_do(drive, "rig bench rate=50 channels=head,chest");
}
