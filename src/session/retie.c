/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "retie.h"

#include <math.h>

#define RANGE_MM 1000            /* two ranges that tell a line */
#define TOLD_MM 0.05             /* less than that changes nothing that can be seen */
#define WITHOUT_BUILD BUILDS_MAX /* place of the line of what was seen before the first build */

static struct height_line line_of(const struct session *session, int build, int channel)
{
    const struct tie *tie = &session->analysis->tie[build][channel];
    const struct build_record *recorded = &session->record.build[build];
    bool mounted = session->record.placing[recorded->placing].channel[channel].mounted;
    double at[2];
    for (int i = 0; i < 2; i++) {
        at[i] = analysis_height_mm(&session->record, session->analysis, build, channel,
                                   10 * RANGE_MM * i);
    }
    return (struct height_line){at[0], (at[1] - at[0]) / RANGE_MM,
                                mounted && tie_is_over_bottom_bracket(tie)};
}

static bool same_line(const struct height_line *a, const struct height_line *b)
{
    return fabs(a->offset_mm - b->offset_mm) < TOLD_MM &&
           fabs(a->slope - b->slope) * RANGE_MM < TOLD_MM && a->tied == b->tied;
}

static float turned(float mm, const struct height_line *from, const struct height_line *to)
{
    double range_mm = ((double)mm - from->offset_mm) / from->slope;
    return (float)(to->offset_mm + to->slope * range_mm);
}

/* What came before there was a build is the first one's: the sensors stand where they stood. */
static void turn_point(struct session *session, int channel, struct view_point *point)
{
    int before = point->build > 0 ? point->build - 1 : WITHOUT_BUILD;
    int now = point->build > 0 ? point->build - 1 : 0;
    const struct height_line *from = &session->height_line[before][channel];
    const struct height_line *to = &session->height_line_now[now][channel];
    if (from->slope == 0.0) {
        return;
    }
    point->slow_mm = turned(point->slow_mm, from, to);
    float low = turned(point->low_mm, from, to), high = turned(point->high_mm, from, to);
    point->low_mm = fminf(low, high);
    point->high_mm = fmaxf(low, high);
    point->build = (uint8_t)(now + 1);
    point->tied = to->tied;
}

void retie_history(struct session *session)
{
    const struct session_record *record = &session->record;
    bool changed = false;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        session->height_line[WITHOUT_BUILD][c] = (struct height_line){0.0, 1.0, false};
    }
    for (int b = 0; b < record->build_count; b++) {
        int channels = record->placing[record->build[b].placing].channel_count;
        for (int c = 0; c < channels; c++) {
            struct height_line *now = &session->height_line_now[b][c];
            *now = line_of(session, b, c);
            bool known = session->height_line[b][c].slope != 0.0;
            const struct height_line *before = known    ? &session->height_line[b][c]
                                               : b == 0 ? &session->height_line[WITHOUT_BUILD][c]
                                                        : now;
            changed = changed || !same_line(before, now);
        }
    }
    int count = view_history_count(&session->history);
    for (int i = 0; changed && i < count; i++) {
        for (int c = 0; c < CHANNELS_MAX; c++) {
            turn_point(session, c, &session->history.point[c][i]);
        }
    }
    session->history.redrawn += changed ? 1 : 0;
    for (int b = 0; b < record->build_count; b++) {
        for (int c = 0; c < CHANNELS_MAX; c++) {
            if (changed || session->height_line[b][c].slope == 0.0) {
                session->height_line[b][c] = session->height_line_now[b][c];
            }
        }
    }
}
