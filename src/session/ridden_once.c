/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "ridden_once.h"

#include "base/text.h"

#include <math.h>

static bool share_laps(const char *one, const char *other)
{
    int from, to, other_from, other_to;
    return run_laps_range(one, &from, &to) && run_laps_range(other, &other_from, &other_to) &&
           from <= other_to && other_from <= to;
}

bool ridden_once(const struct session_record *record, const struct run_record *run, bool rested,
                 struct problem *problem)
{
    for (int r = 0; r < record->run_count && run->file_sum[0] != '\0'; r++) {
        const struct run_record *other = &record->run[r];
        if (!text_equal(other->file_sum, run->file_sum)) {
            continue;
        }
        if (share_laps(other->laps, run->laps)) {
            return problem_set(problem, "run: these laps of %s are run %d already", run->file,
                               other->number);
        }
        if (r == record->run_count - 1 && other->setup == run->setup && !rested) {
            return problem_set(problem,
                               "run: %s goes on from run %d, of the same setup: one ride is one "
                               "run. Where the rider came down and rested between them say "
                               "rested=yes; else tell all its laps as one run",
                               run->file, other->number);
        }
    }
    return true;
}

/* To the digits that a file can have: sums of many samples are never alike by chance. */
static bool alike(double a, double b)
{
    return fabs(a - b) <= 1e-9 * fabs(a);
}

static bool same_samples(const struct drag_leg *a, const struct drag_leg *b)
{
    return alike(a->length_m, b->length_m) && alike(a->duration_s, b->duration_s) &&
           alike(a->work_j, b->work_j) && alike(a->speed_m_per_s, b->speed_m_per_s) &&
           alike(a->speed_squared, b->speed_squared) && alike(a->in_m_per_s, b->in_m_per_s) &&
           alike(a->out_m_per_s, b->out_m_per_s);
}

bool ridden_once_leg(const struct session_record *record, const struct leg_record *leg,
                     struct problem *problem)
{
    for (int l = 0; l < record->leg_count; l++) {
        const struct leg_record *other = &record->leg[l];
        if (other->run != leg->run && leg->sums.length_m > 0.0 &&
            same_samples(&other->sums, &leg->sums)) {
            return problem_set(problem,
                               "run: it has the very samples of run %d.%d: the same ride, told "
                               "once more",
                               record->run[other->run].number, other->number);
        }
    }
    return true;
}
