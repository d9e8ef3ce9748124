/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "hold_lasting.h"

#include "measure/rules.h"

#include <math.h>

#define JITTER_S 1e-6

/* First reading at time_s or later, from a guess at or before it. */
static size_t reading_at(const struct lasting *lasting, double time_s, size_t guess)
{
    while (guess < lasting->count && lasting->time_s[guess] < time_s - JITTER_S) {
        guess++;
    }
    return guess;
}

/* Readings from..to-1; moves on with the hold. */
struct stretch {
    size_t from, to;
};

/* Whether less than so much of what stands for from_s to to_s is in the band. With too few
 * readings: unknown. */
static bool is_low(const struct lasting *lasting, struct stretch *stretch, double from_s,
                   double to_s, double share, bool unknown)
{
    stretch->from = reading_at(lasting, from_s, stretch->from);
    stretch->to = reading_at(lasting, to_s, stretch->to);
    double valid_s = lasting->valid_s[stretch->to] - lasting->valid_s[stretch->from];
    double in_s = lasting->in_s[stretch->to] - lasting->in_s[stretch->from];
    return valid_s < SUSTAIN_READINGS_SHARE * (to_s - from_s) ? unknown
                                                              : in_s < (share - 1e-9) * valid_s;
}

/* Where the first SUSTAIN_BLOCK_S that are mostly out of the band begin, from reading i on and
 * before to_s; reading i where it is out evenly. */
static double first_gone(const struct lasting *lasting, size_t i, double to_s, bool unknown)
{
    struct stretch block = {i, i};
    for (size_t j = i; j < lasting->count; j++) {
        double from_s = lasting->time_s[j], end_s = from_s + SUSTAIN_BLOCK_S;
        if (end_s > to_s + JITTER_S && j > i) {
            break;
        }
        if (is_low(lasting, &block, from_s, fmin(end_s, to_s), SUSTAIN_BLOCK_SHARE, unknown)) {
            return from_s;
        }
    }
    return lasting->time_s[i];
}

/* NAN: nowhere. short_too: towards the end shorter stretches tell as well, in the same proportion,
 * and what has too few readings is out of the band. */
static double lost_at(const struct lasting *lasting, bool short_too)
{
    struct stretch window = {lasting->first, lasting->first}, after = window;
    for (size_t i = lasting->first; i < lasting->count; i++) {
        double from_s = lasting->time_s[i], whole_s = SUSTAIN_WINDOW_S + SUSTAIN_AFTER_S;
        double seen_s = fmin(whole_s, lasting->end_s - from_s);
        if (seen_s < (short_too ? SUSTAIN_BLOCK_S : whole_s) - JITTER_S) {
            break;
        }
        double middle_s = from_s + seen_s * SUSTAIN_WINDOW_S / whole_s, to_s = from_s + seen_s;
        if (is_low(lasting, &window, from_s, middle_s, SUSTAIN_SHARE, short_too) &&
            is_low(lasting, &after, middle_s, to_s, SUSTAIN_SHARE, short_too)) {
            return first_gone(lasting, i, short_too ? to_s : middle_s, short_too);
        }
    }
    return (double)NAN;
}

bool lasting_lost(const struct lasting *lasting, double *kept_s)
{
    double lost_s = lost_at(lasting, false);
    bool lost = !isnan(lost_s);
    double short_s = lost ? lost_s : lost_at(lasting, true);
    *kept_s = isnan(short_s) ? lasting->end_s : short_s;
    return lost;
}
