/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "drag_lengths.h"

#include "measure/rules.h"
#include "measure/statistics.h"

#include <math.h>

void drag_lengths_find(const struct session_record *record, struct drag_analysis *drag)
{
    double length_m[RUNS_MAX], said_m = record->drag.course_length_m, sum_m = 0.0, middle_m = NAN;
    size_t count = 0;
    for (int r = 0; r < record->run_count; r++) {
        if (drag->run[r].state == DRAG_RUN_COUNTS) {
            length_m[count++] = drag->run[r].leg_length_m;
            sum_m += drag->run[r].leg_length_m;
        }
    }
    bool some = count > 0 && statistics_median(length_m, count, &middle_m) == MEASURE_OK;
    for (int r = 0; r < record->run_count; r++) {
        struct drag_run_result *run = &drag->run[r];
        run->longer = some ? run->leg_length_m / middle_m - 1.0 : 0.0;
        run->other_length = fabs(run->longer) > DRAG_LENGTH_APART;
    }
    bool laps = some && record->drag.course == COURSE_LAPS;
    drag->lap_length_m = laps ? sum_m / (double)count : (double)NAN;
    drag->lap_differs =
        laps && said_m > 0.0 && fabs(drag->lap_length_m / said_m - 1.0) > DRAG_WHEEL_APART;
}

/* SD of the lengths from run to run of a setup, m; 0 where none has two. */
static double scatter_m(const struct session_record *record, const struct drag_analysis *drag)
{
    double squares = 0.0;
    int free = 0;
    for (int r = 0; r < record->run_count; r++) {
        if (drag->run[r].state == DRAG_RUN_COUNTS) {
            const struct drag_setup_result *of = &drag->setup[record->run[r].setup];
            squares += pow(drag->run[r].leg_length_m - of->leg_length_m, 2.0);
            free++;
        }
    }
    for (int s = 0; s < record->setup_count; s++) {
        free -= drag->setup[s].runs > 0 ? 1 : 0;
    }
    return free > 0 ? sqrt(squares / free) : 0.0;
}

void drag_lengths_compare(const struct session_record *record, const struct drag_analysis *drag,
                          int baseline, struct drag_setup_result *setup)
{
    const struct drag_setup_result *first = &drag->setup[baseline];
    if (setup->runs == 0 || first->runs == 0) {
        return;
    }
    setup->longer = setup->leg_length_m / first->leg_length_m - 1.0;
    double error_m = scatter_m(record, drag) * sqrt(1.0 / setup->runs + 1.0 / first->runs);
    double sure = DRAG_WHEEL_SURE * error_m / first->leg_length_m;
    setup->other_wheel = fabs(setup->longer) > fmax(DRAG_WHEEL_APART, sure);
    if (setup->other_wheel) {
        const struct drag_level level = drag_level_of(
            &drag->rider, 0.0, first->drag_m2, first->speed_m_per_s, first->density_kg_per_m3);
        setup->wheel_m2 = level.speed / DRAG_U_SPEED * fabs(setup->longer) * first->drag_m2;
    }
}
