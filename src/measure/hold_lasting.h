/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_MEASURE_HOLD_LASTING_H
#define HOLDLINE_SRC_MEASURE_HOLD_LASTING_H

#include <stdbool.h>
#include <stddef.h>

/* How long the band was kept. Readings first..count-1 at time_s; valid_s[i] and in_s[i] are the
 * valid time, and what of it was in the band, before reading i; cut_s[i] is what was cut before it,
 * which is no time of the hold (count + 1 of each). The last reading ends at end_s. */
struct lasting {
    const double *time_s, *valid_s, *in_s, *cut_s;
    size_t first, count;
    double end_s;
};

/* Lost: too little of the time was in the band for SUSTAIN_WINDOW_S, and for SUSTAIN_AFTER_S more;
 * true, and *kept_s is when that began. Else false, and *kept_s is how long it was kept at least:
 * up to the end, or up to where the same began in what was too short, or had too few readings, to
 * tell. */
bool lasting_lost(const struct lasting *lasting, double *kept_s);

/* Readings from..to-1; moves on with the hold. */
struct lasting_stretch {
    size_t from, to;
};
/* Where it is being looked for: reading i is the next. */
struct lasting_look {
    size_t i;
    struct lasting_stretch window, after;
    double lost_s; /* NAN: not found yet */
};
/* The same of a hold that goes on: of the latest readings alone. */
struct lasting_going_on {
    double *time_s, *valid_s, *in_s, *cut_s; /* owned; all but the first have one more */
    size_t count, room;
    struct lasting_look strict, loose; /* too few readings say nothing; are out of the band */
};
bool lasting_begin(struct lasting_going_on *going, size_t room); /* false without memory */
void lasting_free(struct lasting_going_on *going);
/* The next reading, which stands for lasts_s, of which it is in the band or not; cut_s: cut so far.
 * False: it is left out, without memory. */
bool lasting_take(struct lasting_going_on *going, double time_s, double lasts_s, bool in,
                  double cut_s);
/* As far as can be told by now; what is not wanted any more goes. */
void lasting_look_on(struct lasting_going_on *going);
/* lasting_lost, where it ends now. Changes nothing. */
bool lasting_tell(const struct lasting_going_on *going, double end_s, double *kept_s);

#endif
