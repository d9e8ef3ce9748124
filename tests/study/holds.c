/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Are the alarms of a hold right? Two invented riders, holds of 20 s to 3 minutes. The table stands
 * in docs/measures.md.
 *
 *     holds [HOLDS [SEED [ROW]]]      1000 holds a row, seed 20250101; only rows with this in them
 */
#include "support/hold_study.h"

#include "base/text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const struct {
    enum hold_event event;
    double seconds;
} rows[] = {
    {EVENT_NONE, 60.0},     {EVENT_NONE, 30.0},          {EVENT_NONE, 20.0},
    {EVENT_NONE, 180.0},    {EVENT_RESTLESS, 60.0},      {EVENT_GLANCES, 60.0},
    {EVENT_SETTLING, 60.0}, {EVENT_SETTLING_RAMP, 60.0}, {EVENT_CREEP, 60.0},
    {EVENT_STEP, 60.0},     {EVENT_STEP_LARGE, 60.0},    {EVENT_STEP, 30.0},
    {EVENT_STEP, 180.0},    {EVENT_LAST_GLANCE, 30.0},
};
enum { ROWS = sizeof rows / sizeof rows[0] };

int main(int argc, char **argv)
{
    int64_t holds = 1000, seed = 20250101;
    const char *row = argc > 3 ? argv[3] : getenv("ROW");
    if ((argc > 1 && (!text_to_int64(argv[1], &holds) || holds < 1)) ||
        (argc > 2 && !text_to_int64(argv[2], &seed))) {
        fprintf(stderr, "usage: holds [HOLDS [SEED [ROW]]]\n");
        return 2;
    }
    printf(
        "%lld holds of two channels a row, seed %lld, 25 readings a second. Shares of holds with "
        "an alarm on either channel where\nnothing happens in it, else on the one where it does: "
        "a beginning cut or not settled, not settled, drifting, a step (and\nwithin 1.5 s of "
        "where it is); drifting of all channels. Of the channel in which it happens: how far the "
        "mean is off on average,\nits root mean square error, the same of the mean of all "
        "readings, in mm; shares of 95 %% intervals of mean and creep that\nhold the truth.\n\n",
        (long long)holds, (long long)seed);
    hold_study_heading();
    for (int r = 0; r < ROWS; r++) {
        if (row != NULL && row[0] != '\0' && strstr(hold_event_name(rows[r].event), row) == NULL) {
            continue;
        }
        for (int rider = 0; rider < STUDY_RIDERS; rider++) {
            struct hold_study study = {0};
            hold_study_run((enum study_rider)rider, rows[r].event, rows[r].seconds, (long)holds,
                           (uint64_t)seed + (uint64_t)r, &study);
            hold_study_print((enum study_rider)rider, rows[r].event, rows[r].seconds, &study);
        }
    }
    return EXIT_SUCCESS;
}
