/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_PIECE_CUTS_H
#define HOLDLINE_ANALYSIS_PIECE_CUTS_H

#include "measure/hold.h"

/* What is left out of the pieces of a ride (hold_meter.c): stretches sat up, and what is around the
 * fitter's marks. Each is kept until no later piece wants it. Times are the ride's. */
#define PIECE_UPS_MAX 32 /* of each kind, at once */
#define PIECE_CUTS_MAX (2 * PIECE_UPS_MAX + 1)

struct piece_mark {
    int mark;
    double at_s;
};
/* All 0: nothing yet. */
struct piece_cuts {
    int up_count, mark_count, marks_taken; /* marks_taken: in all */
    struct hold_cut up[PIECE_UPS_MAX];
    struct piece_mark mark[PIECE_UPS_MAX];
};

void piece_cuts_up(struct piece_cuts *cuts, struct hold_cut up);
/* One that is there already is not taken again. */
void piece_cuts_mark(struct piece_cuts *cuts, int mark, double at_s);
/* What is left out of the piece from_s to to_s, from its own start, into cut[PIECE_CUTS_MAX]; how
 * many. up_since_s: the rider has been up since then, NAN: is not. */
size_t piece_cuts_take(struct piece_cuts *cuts, double from_s, double to_s, double up_since_s,
                       struct hold_cut *cut);

#endif
