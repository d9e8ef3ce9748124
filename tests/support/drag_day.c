/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/drag_day.h"

#include "measure/air.h"
#include "measure/drag_run.h"

#include <math.h>
#include <stdio.h>

void drag_day_run(struct session_record *record, int setup, double drag_m2, const char *file)
{
    struct run_record *run = &record->run[record->run_count];
    struct leg_record *leg = &record->leg[record->leg_count++];
    struct drag_rider rider = drag_usual_rider(85.0);
    struct drag_state state = {.speed_m_per_s = 11.0, .drag_m2 = drag_m2};
    if (air_density(&(struct air){20, 101325, .5}, &state.density_kg_per_m3) != MEASURE_OK) {
        state.density_kg_per_m3 = NAN;
    }
    double power = drag_power_of(&state, &rider).rider_w;
    run_record_clear(run);
    leg_record_clear(leg);
    run->number = record->run_count + 1;
    run->setup = setup;
    run->speed_from = RIDE_SOURCE_WHEEL;
    run->power_w = power;
    snprintf(run->file, sizeof run->file, "%s", file);
    leg->run = record->run_count++;
    leg->number = 1;
    leg->sums =
        (struct drag_leg){250.0, 250.0 / 11.0, power * 250.0 / 11.0, 11.0, 121.0, 11.0, 11.0, 0.0};
    leg->piece_m = 25.0;
    leg->piece_count = 10;
    for (int p = 0; p < 10; p++) {
        leg->piece[p] = (struct leg_piece){power * 25.0 / 11.0, 11.0, 11.0};
    }
}

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

void drag_day_eight(struct session_record *record)
{
    static const double values[] = {.2521, .2462, .2449, .2498, .2507, .2441, .2470, .2516};
    static const int setups[] = {0, 1, 1, 0, 0, 1, 1, 0};
    drag_day_begin(record);
    for (int i = 0; i < 8; i++) {
        char file[24];
        snprintf(file, sizeof file, "run-%d.csv", i + 1);
        drag_day_run(record, setups[i], values[i], file);
    }
}
