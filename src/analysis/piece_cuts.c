/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "piece_cuts.h"

#include "measure/rules.h"

#include <math.h>

void piece_cuts_up(struct piece_cuts *cuts, struct hold_cut up)
{
    if (cuts->up_count < PIECE_UPS_MAX) {
        cuts->up[cuts->up_count++] = up;
    }
}

void piece_cuts_mark(struct piece_cuts *cuts, int mark, double at_s)
{
    bool known = false;
    for (int k = 0; k < cuts->mark_count; k++) {
        known = known || cuts->mark[k].mark == mark;
    }
    if (!known && cuts->mark_count < PIECE_UPS_MAX) {
        cuts->mark[cuts->mark_count++] = (struct piece_mark){mark, at_s};
        cuts->marks_taken++;
    }
}

size_t piece_cuts_take(struct piece_cuts *cuts, double from_s, double to_s, double up_since_s,
                       struct hold_cut *cut)
{
    size_t count = 0;
    int kept = 0;
    for (int k = 0; k < cuts->mark_count; k++) {
        double at_s = cuts->mark[k].at_s;
        cut[count++] =
            (struct hold_cut){at_s - MARK_CUT_BEFORE_S - from_s, at_s + MARK_CUT_AFTER_S - from_s};
        if (at_s + MARK_CUT_AFTER_S > to_s) {
            cuts->mark[kept++] = cuts->mark[k];
        }
    }
    cuts->mark_count = kept;
    kept = 0;
    for (int u = 0; u < cuts->up_count; u++) {
        cut[count++] = (struct hold_cut){cuts->up[u].from_s - from_s, cuts->up[u].to_s - from_s};
        if (cuts->up[u].to_s > to_s) {
            cuts->up[kept++] = cuts->up[u];
        }
    }
    cuts->up_count = kept;
    if (!isnan(up_since_s)) { /* it lasts */
        cut[count++] = (struct hold_cut){up_since_s - from_s, to_s - from_s};
    }
    return count;
}
