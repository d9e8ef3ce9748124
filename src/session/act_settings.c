/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "acts.h"

#include "base/text.h"

#include <math.h>

/* The settings of a session that are no records, member by member: there is padding between them.
 */

static bool same_number(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

static bool same_hour(const struct hour_holds *a, const struct hour_holds *b)
{
    return a->each.holds == b->each.holds && same_number(a->each.hold_s, b->each.hold_s) &&
           same_number(a->times.change_min, b->times.change_min) &&
           same_number(a->times.rest_min, b->times.rest_min) && a->why == b->why &&
           same_number(a->hold_sd_mm, b->hold_sd_mm) && same_number(a->chance, b->chance);
}

double board_first_mm(const struct board_first *first, const char *channel)
{
    for (int i = 0; i < first->count; i++) {
        if (text_equal(first->channel[i], channel)) {
            return first->range_mm[i];
        }
    }
    return NAN;
}

static bool same_board(const struct board_first *a, const struct board_first *b)
{
    bool same = a->count == b->count;
    for (int i = 0; same && i < a->count; i++) {
        same = same_number(a->range_mm[i], board_first_mm(b, a->channel[i]));
    }
    return same;
}

static bool same_practice(const struct practice_due *a, const struct practice_due *b)
{
    return a->on == b->on && a->base == b->base && a->ride == b->ride && a->row == b->row &&
           a->pieces == b->pieces && a->held == b->held && a->carried == b->carried &&
           a->carried_from == b->carried_from && a->morning == b->morning &&
           same_board(&a->board_first, &b->board_first) && same_number(a->length_s, b->length_s) &&
           same_number(a->board_mm, b->board_mm) && same_number(a->power_w, b->power_w) &&
           text_equal(a->target, b->target) && text_equal(a->band, b->band);
}

bool act_settings_same(const struct act_settings *a, const struct act_settings *b)
{
    bool same = same_number(a->minutes_planned, b->minutes_planned) && a->sounds == b->sounds &&
                same_hour(&a->hour, &b->hour) && a->chosen.builds == b->chosen.builds &&
                a->chosen.holds == b->chosen.holds && a->chosen.targets == b->chosen.targets &&
                a->chosen.bands == b->chosen.bands && same_practice(&a->practice, &b->practice);
    for (int c = 0; c < CHANNELS_MAX; c++) {
        same = same && cue_settings_equal(&a->cue[c], &b->cue[c]) &&
               a->place_carried[c] == b->place_carried[c];
    }
    for (int s = 0; s < SETUPS_MAX; s++) {
        same = same && a->parts_from[s].setup == b->parts_from[s].setup &&
               a->parts_from[s].untyped == b->parts_from[s].untyped;
    }
    for (int s = 0; s < NEXT_STEPS; s++) {
        same = same && a->passed[s] == b->passed[s];
    }
    return same;
}
