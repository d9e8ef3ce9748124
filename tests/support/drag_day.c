/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/drag_day.h"

#include "measure/air.h"
#include "measure/drag_run.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

void drag_day_begin(struct session_record *record)
{
    record->drag.mass_kg = 85.0;
    record->drag.course = COURSE_LAPS;
    record->drag.indoors = true;
    record->air_count = 1;
    air_record_clear(&record->air[0]);
    record->air[0].temperature_c = 20;
    record->air[0].pressure_hpa = 1013.25;
    record->air[0].humidity_percent = 50;
}

struct session_record *drag_day_create(enum course_kind course)
{
    struct session_record *record = malloc(sizeof *record);
    if (record == NULL) {
        return NULL;
    }
    session_record_clear(record);
    drag_day_begin(record);
    record->setup_count = 2;
    record->setup[0].number = 1;
    record->setup[1].number = 2;
    record->drag.course = course;
    record->drag.indoors = course == COURSE_LAPS;
    return record;
}

double drag_day_density(void)
{
    double kg_per_m3 = NAN;
    return air_density(&(struct air){20, 101325, .5}, &kg_per_m3) == MEASURE_OK ? kg_per_m3
                                                                                : (double)NAN;
}

struct run_record *drag_day_add_run(struct session_record *record, int setup)
{
    struct run_record *run = &record->run[record->run_count++];
    run_record_clear(run);
    run->number = record->run_count;
    run->setup = setup;
    run->speed_from = RIDE_SOURCE_WHEEL;
    return run;
}

struct leg_record *drag_day_add_leg(struct session_record *record, struct drag_state state,
                                    const struct drag_rider *rider, double length_m, bool back)
{
    struct leg_record *leg = &record->leg[record->leg_count++];
    double speed = state.speed_m_per_s, time_s = length_m / speed;
    state.density_kg_per_m3 = drag_day_density();
    leg_record_clear(leg);
    leg->run = record->run_count - 1;
    for (int l = 0; l < record->leg_count; l++) {
        leg->number += record->leg[l].run == leg->run ? 1 : 0;
    }
    leg->back = back;
    leg->pair = (leg->number + 1) / 2;
    leg->sums = (struct drag_leg){.length_m = length_m,
                                  .duration_s = time_s,
                                  .work_j = drag_power_of(&state, rider).rider_w * time_s,
                                  .speed_m_per_s = speed,
                                  .speed_squared = speed * speed,
                                  .in_m_per_s = speed,
                                  .out_m_per_s = speed};
    return leg;
}

void drag_day_run(struct session_record *record, int setup, double drag_m2, const char *file)
{
    struct drag_rider rider = drag_usual_rider(85.0);
    struct run_record *run = drag_day_add_run(record, setup);
    struct leg_record *leg =
        drag_day_add_leg(record, (struct drag_state){.speed_m_per_s = 11.0, .drag_m2 = drag_m2},
                         &rider, 250.0, false);
    run->power_w = leg->sums.work_j / leg->sums.duration_s;
    snprintf(run->file, sizeof run->file, "%s", file);
    leg->piece_m = 25.0;
    leg->piece_count = 10;
    for (int p = 0; p < 10; p++) {
        leg->piece[p] = (struct leg_piece){leg->sums.work_j / 10.0, 11.0, 11.0};
    }
}

void drag_day_eight(struct session_record *record)
{
    static const double values[] = {.2521, .2462, .2449, .2498, .2507, .2441, .2470, .2516};
    static const int setups[] = {0, 1, 1, 0, 0, 1, 1, 0};
    for (int i = 0; i < 8; i++) {
        char file[24];
        snprintf(file, sizeof file, "run-%d.csv", i + 1);
        drag_day_run(record, setups[i], values[i], file);
    }
}
