/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "hold_lasting.h"

#include "measure/rules.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define JITTER_S 1e-6

/* First reading at time_s or later, from a guess at or before it. */
static size_t reading_at(const struct lasting *lasting, double time_s, size_t guess)
{
    while (guess < lasting->count && lasting->time_s[guess] < time_s - JITTER_S) {
        guess++;
    }
    return guess;
}

/* Whether less than so much of what stands for from_s to to_s is in the band. With too few
 * readings: unknown. What was cut, as sitting up, is not missing; where hardly more is left,
 * nothing is low. */
static bool is_low(const struct lasting *lasting, struct lasting_stretch *stretch, double from_s,
                   double to_s, double share, bool unknown)
{
    stretch->from = reading_at(lasting, from_s, stretch->from);
    stretch->to = reading_at(lasting, to_s, stretch->to);
    double valid_s = lasting->valid_s[stretch->to] - lasting->valid_s[stretch->from];
    double in_s = lasting->in_s[stretch->to] - lasting->in_s[stretch->from];
    double cut_s = lasting->cut_s[stretch->to] - lasting->cut_s[stretch->from];
    double left_s = fmax(valid_s, to_s - from_s - cut_s);
    if (cut_s > 0.0 && left_s < SUSTAIN_BLOCK_S) {
        return false;
    }
    return valid_s < SUSTAIN_READINGS_SHARE * left_s ? unknown : in_s < (share - 1e-9) * valid_s;
}

/* Where the first SUSTAIN_BLOCK_S that are mostly out of the band begin, from reading i on and
 * before to_s; reading i where it is out evenly. */
static double first_gone(const struct lasting *lasting, size_t i, double to_s, bool unknown)
{
    struct lasting_stretch block = {i, i};
    for (size_t j = i; j < lasting->count; j++) {
        double from_s = lasting->time_s[j], end_s = from_s + SUSTAIN_BLOCK_S;
        if (end_s > to_s + JITTER_S) {
            break;
        }
        if (is_low(lasting, &block, from_s, fmin(end_s, to_s), SUSTAIN_BLOCK_SHARE, unknown)) {
            return from_s;
        }
    }
    return lasting->time_s[i];
}

/* Looks on until it is found, or more is wanted to tell. over: no more comes; then, where unknown
 * is out of the band, shorter stretches towards the end tell as well, in the same proportion. */
static void look_on(const struct lasting *lasting, bool unknown, bool over,
                    struct lasting_look *look)
{
    double whole_s = SUSTAIN_WINDOW_S + SUSTAIN_AFTER_S;
    double least_s = over && unknown ? SUSTAIN_BLOCK_S : whole_s;
    for (; isnan(look->lost_s) && look->i < lasting->count; look->i++) {
        double from_s = lasting->time_s[look->i], seen_s = fmin(whole_s, lasting->end_s - from_s);
        if (seen_s < least_s - JITTER_S) {
            break;
        }
        double middle_s = from_s + seen_s * SUSTAIN_WINDOW_S / whole_s, to_s = from_s + seen_s;
        if (is_low(lasting, &look->window, from_s, middle_s, SUSTAIN_SHARE, unknown) &&
            is_low(lasting, &look->after, middle_s, to_s, SUSTAIN_SHARE, unknown)) {
            look->lost_s = first_gone(lasting, look->i, unknown ? to_s : middle_s, unknown);
        }
    }
}

static struct lasting_look look_from(size_t first)
{
    return (struct lasting_look){first, {first, first}, {first, first}, NAN};
}

/* What both looks come to at the end. */
static bool conclude(const struct lasting *lasting, struct lasting_look strict,
                     struct lasting_look loose, double *kept_s)
{
    look_on(lasting, false, true, &strict);
    bool lost = !isnan(strict.lost_s);
    if (!lost) {
        look_on(lasting, true, true, &loose);
    }
    double at_s = lost ? strict.lost_s : loose.lost_s;
    *kept_s = isnan(at_s) ? lasting->end_s : at_s;
    return lost;
}

bool lasting_lost(const struct lasting *lasting, double *kept_s)
{
    return conclude(lasting, look_from(lasting->first), look_from(lasting->first), kept_s);
}

/* ---- of a hold that goes on ---- */

static bool grow(struct lasting_going_on *going, size_t room)
{
    double **of[] = {&going->time_s, &going->valid_s, &going->in_s, &going->cut_s};
    for (int i = 0; i < 4; i++) {
        double *larger = realloc(*of[i], (room + 1) * sizeof **of[i]);
        if (larger == NULL) {
            return false;
        }
        *of[i] = larger;
    }
    going->room = room;
    return true;
}

bool lasting_begin(struct lasting_going_on *going, size_t room)
{
    *going = (struct lasting_going_on){.strict = look_from(0), .loose = look_from(0)};
    if (!grow(going, room)) {
        return false;
    }
    going->valid_s[0] = going->in_s[0] = going->cut_s[0] = 0.0;
    return true;
}

void lasting_free(struct lasting_going_on *going)
{
    free(going->time_s);
    free(going->valid_s);
    free(going->in_s);
    free(going->cut_s);
}

bool lasting_take(struct lasting_going_on *going, double time_s, double lasts_s, bool in,
                  double cut_s)
{
    size_t n = going->count;
    if (n == going->room && !grow(going, n + n / 4 + 1)) {
        return false;
    }
    going->time_s[n] = time_s;
    going->valid_s[n + 1] = going->valid_s[n] + lasts_s;
    going->in_s[n + 1] = going->in_s[n] + (in ? lasts_s : 0.0);
    going->cut_s[n] = going->cut_s[n + 1] = cut_s;
    going->count++;
    return true;
}

static struct lasting so_far(const struct lasting_going_on *going, double end_s)
{
    return (struct lasting){.time_s = going->time_s,
                            .valid_s = going->valid_s,
                            .in_s = going->in_s,
                            .cut_s = going->cut_s,
                            .count = going->count,
                            .end_s = end_s};
}

static void move_back(struct lasting_look *look, size_t by)
{
    struct lasting_stretch *of[] = {&look->window, &look->after};
    look->i = 0; /* by is where it stands, or it has found what it looks for */
    for (int i = 0; i < 2; i++) {
        of[i]->from = of[i]->from > by ? of[i]->from - by : 0;
        of[i]->to = of[i]->to > by ? of[i]->to - by : 0;
    }
}

void lasting_look_on(struct lasting_going_on *going)
{
    if (going->count == 0) {
        return;
    }
    struct lasting lasting = so_far(going, going->time_s[going->count - 1]);
    look_on(&lasting, false, false, &going->strict);
    look_on(&lasting, true, false, &going->loose);
    bool lost = !isnan(going->strict.lost_s);
    size_t gone = lost ? going->count : going->strict.i; /* both look as far where neither found */
    going->count -= gone;
    memmove(going->time_s, going->time_s + gone, going->count * sizeof *going->time_s);
    memmove(going->valid_s, going->valid_s + gone, (going->count + 1) * sizeof *going->valid_s);
    memmove(going->in_s, going->in_s + gone, (going->count + 1) * sizeof *going->in_s);
    memmove(going->cut_s, going->cut_s + gone, (going->count + 1) * sizeof *going->cut_s);
    move_back(&going->strict, gone);
    move_back(&going->loose, gone);
}

bool lasting_tell(const struct lasting_going_on *going, double end_s, double *kept_s)
{
    struct lasting lasting = so_far(going, end_s);
    return conclude(&lasting, going->strict, going->loose, kept_s);
}
