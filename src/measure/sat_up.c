/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/sat_up.h"

#include "measure/rules.h"

#include <math.h>

void sat_up_start(struct sat_up *sat)
{
    *sat = (struct sat_up){.since_s = NAN, .back_s = NAN};
}

bool sat_up_is_over(double height_mm, double limit_mm, bool is_head)
{
    return height_mm - limit_mm > (is_head ? SAT_UP_HEAD_MM : SAT_UP_MM);
}

static void end(struct sat_up *sat, double to_s, struct hold_cut *stretch)
{
    *stretch = (struct hold_cut){sat->since_s, to_s};
    sat->total_s += to_s - sat->since_s;
    sat->up = false;
    sat->since_s = sat->back_s = NAN;
}

bool sat_up_step(struct sat_up *sat, double time_s, bool over, struct hold_cut *stretch)
{
    if (!sat->up) {
        sat->since_s = !over ? (double)NAN : isnan(sat->since_s) ? time_s : sat->since_s;
        if (over && time_s - sat->since_s > SAT_UP_S) {
            sat->up = true;
            sat->times++;
        }
        return false;
    }
    sat->back_s = over ? (double)NAN : isnan(sat->back_s) ? time_s : sat->back_s;
    bool is_back = !over && time_s - sat->back_s >= SAT_UP_S;
    if (is_back) {
        end(sat, sat->back_s, stretch);
    }
    return is_back;
}

bool sat_up_end(struct sat_up *sat, double time_s, struct hold_cut *stretch)
{
    bool was_up = sat->up;
    if (was_up) {
        end(sat, isnan(sat->back_s) ? time_s : sat->back_s, stretch);
    }
    return was_up;
}
