/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Where two channels were together, and all of the insight. */
#include "insight_inside.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- together ---------------------------------------------------------------------------------
 */

void insight_pick_channels(const struct analysis *analysis, int *x_channel, int *y_channel)
{
    *x_channel = *y_channel = -1;
    for (int c = 0; c < analysis->channel_count && *x_channel < 0; c++) {
        if (analysis->body[c]) {
            *(*y_channel < 0 ? y_channel : x_channel) = c;
        }
    }
    if (*x_channel < 0) {
        *y_channel = -1;
    }
}

static bool tied(const struct analysis *analysis, int build, const struct insight *insight)
{
    const struct tie *ties = analysis->tie[build];
    return ties[insight->x_channel].kind != TIE_NONE && ties[insight->y_channel].kind != TIE_NONE;
}

static void make_together(const struct session_record *record, const struct analysis *analysis,
                          struct insight *insight)
{
    insight_pick_channels(analysis, &insight->x_channel, &insight->y_channel);
    for (int s = 0; insight->x_channel >= 0 && s < record->setup_count; s++) {
        struct ellipse holds[HOLDS_MAX];
        int count = 0;
        for (int h = 0; h < record->hold_count; h++) {
            const struct hold_record *hold = &record->hold[h];
            if (record->build[hold->build].setup == s && !hold->guided &&
                analysis->hold[h].counts && analysis->hold[h].together &&
                tied(analysis, hold->build, insight)) {
                holds[count++] = analysis->hold[h].ellipse;
            }
        }
        insight->together[s] = ellipse_pool(holds, count, &insight->ellipse[s]) == MEASURE_OK;
    }
}

void insight_make(const struct session_record *record, struct analysis *analysis)
{
    struct insight *insight = &analysis->insight;
    memset(insight, 0, sizeof *insight);
    insight_make_tradeoff(record, analysis, insight);
    make_together(record, analysis, insight);
    insight_make_steps(record, analysis, insight);
}
