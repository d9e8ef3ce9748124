/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "drag_rolling.h"

#include "analysis/drag_course.h"

#include "measure/rules.h"
#include "record/typed.h"

#include <math.h>

#define TURNS_MOST 50 /* until wind and rolling resistance rest */
#define AT_REST 1e-9  /* of the coefficient */

static int latest_of_steps(const struct session_record *record)
{
    for (int r = record->run_count - 1; r >= 0; r--) {
        const struct run_record *run = &record->run[r];
        if (run->steps && !run->rejected && run->speed_from != RIDE_SOURCE_SATELLITES) {
            return r;
        }
    }
    return -1;
}

struct steps {
    struct rolling_step step[ROLLING_STEPS_MAX];
    size_t count;
};

/* Of a way out with its way back, where neither is left out and the wind is not too much. */
static bool step_of_pair(const struct session_record *record, const struct drag_analysis *drag,
                         int out, double density, struct rolling_step *step)
{
    int back = drag_way_back(record, out);
    double wind = 0.0;
    if (back < 0 || record->leg[back].left_out) {
        return false;
    }
    const struct drag_leg there = drag_leg_on_course(record, out);
    const struct drag_leg again = drag_leg_on_course(record, back);
    return rolling_step_of_pair(&there, &again, &drag->rider, density, step, &wind) == MEASURE_OK &&
           (record->drag.indoors || fabs(wind) <= DRAG_PAIR_WIND_MOST);
}

/* Of each lap, or each way out with its way back, that is not left out; by the rider's coefficient
 * as it stands. */
static void take_steps(const struct session_record *record, const struct drag_analysis *drag,
                       int run, double density, struct steps *steps)
{
    bool laps = record->drag.course == COURSE_LAPS;
    steps->count = 0;
    for (int l = 0; l < record->leg_count && steps->count < ROLLING_STEPS_MAX; l++) {
        const struct leg_record *leg = &record->leg[l];
        struct rolling_step *step = &steps->step[steps->count];
        if (leg->run != run || leg->left_out || leg->back) {
            continue;
        }
        if (laps) {
            *step = rolling_step_of_lap(&leg->sums, &drag->rider);
            steps->count++;
        } else if (step_of_pair(record, drag, l, density, step)) {
            steps->count++;
        }
    }
}

static enum drag_steps_state state_of(enum measure_status status, const struct rolling_line *line)
{
    const struct typed_number *tyre = &typed_numbers[TYPED_ROLLING];
    bool rolls = line->rolling >= tyre->least && line->rolling <= tyre->most;
    return status == MEASURE_TOO_FEW       ? DRAG_STEPS_FEW
           : status == MEASURE_CONSTANT    ? DRAG_STEPS_NARROW
           : status == MEASURE_OK && rolls ? DRAG_STEPS_GOOD
                                           : DRAG_STEPS_NO_TYRE;
}

static void find_speeds(const struct steps *steps, struct drag_rolling *rolling)
{
    rolling->steps = (int)steps->count;
    rolling->slowest_m_per_s = rolling->fastest_m_per_s = NAN;
    for (size_t i = 0; i < steps->count; i++) {
        double speed = sqrt(steps->step[i].speed_squared);
        rolling->slowest_m_per_s = fmin(rolling->slowest_m_per_s, speed);
        rolling->fastest_m_per_s = fmax(rolling->fastest_m_per_s, speed);
    }
}

/* Wind and rolling resistance hang on one another out and back: in turns, from the usual one on. */
static void work_steps(const struct session_record *record, struct drag_analysis *drag,
                       double density)
{
    struct drag_rolling *rolling = &drag->rolling;
    struct steps steps;
    for (int turn = 0; turn < TURNS_MOST; turn++) {
        take_steps(record, drag, rolling->run, density, &steps);
        enum measure_status status =
            rolling_from_steps(steps.step, steps.count, &drag->rider, density, &rolling->line);
        rolling->state = state_of(status, &rolling->line);
        if (rolling->state != DRAG_STEPS_GOOD) {
            break;
        }
        double before = drag->rider.rolling;
        drag->rider.rolling = rolling->line.together;
        if (fabs(before - drag->rider.rolling) < AT_REST) {
            break;
        }
    }
    find_speeds(&steps, rolling);
}

void drag_rolling_make(const struct session_record *record, struct drag_analysis *drag)
{
    struct drag_rolling *rolling = &drag->rolling;
    double density = NAN, said = record->drag.rolling;
    *rolling = (struct drag_rolling){.run = latest_of_steps(record), .u_rolling = DRAG_U_ROLLING};
    bool usable = rolling->run >= 0 && drag->lack == DRAG_LACKS_NOTHING;
    if (usable && drag->withheld != DRAG_WITHHELD_NOT) {
        rolling->state = DRAG_STEPS_WIND;
    } else if (usable) {
        drag_density_at(record, &record->run[rolling->run], &density);
        work_steps(record, drag, density);
    }
    if (said > 0.0) {
        rolling->from = DRAG_ROLLING_SAID;
        drag->rider.rolling = said;
    } else if (rolling->state == DRAG_STEPS_GOOD) {
        rolling->from = DRAG_ROLLING_STEPS;
        rolling->u_rolling = rolling->line.together_u;
    } else {
        drag->rider.rolling = DRAG_ROLLING;
    }
}
