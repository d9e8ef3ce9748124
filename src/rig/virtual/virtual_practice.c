/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "virtual_practice.h"

#include <math.h>

#define PIECES_A_SESSION 6.0
#define TIRES_WITHIN_S 300.0 /* evenly, once it begins */
#define UP_LEAST_S 5.0
#define UP_MOST_S 60.0
#define UP_LEAST_MM 90.0
#define UP_MOST_MM 250.0

void virtual_practice_start(struct virtual_practice *practice,
                            const struct virtual_rig_settings *settings)
{
    *practice =
        (struct virtual_practice){.settings = settings, .sessions = settings->practised_sessions};
    random_seed(&practice->random, settings->seed * 4 + 5);
}

void virtual_practice_piece(struct virtual_practice *practice)
{
    practice->sessions += 1.0 / PIECES_A_SESSION;
}

double virtual_practice_off_mm(const struct virtual_practice *practice)
{
    return practice->settings->unlearnt_mm *
           exp(-practice->sessions / practice->settings->learns_sessions);
}

static double between(struct random_source *random, double least, double most)
{
    return least + (most - least) * random_uniform(random);
}

void virtual_practice_step(struct virtual_practice *practice, double step_s)
{
    double wanted = practice->settings->sits_up_per_h / 3600.0 * step_s;
    if (practice->up_left_s > 0.0) {
        practice->up_left_s -= step_s;
    } else if (wanted > 0.0 && random_uniform(&practice->random) < wanted) {
        practice->up_left_s = between(&practice->random, UP_LEAST_S, UP_MOST_S);
        practice->up_mm = between(&practice->random, UP_LEAST_MM, UP_MOST_MM);
    }
}

double virtual_practice_body_mm(const struct virtual_practice *practice, double since_sit_s)
{
    const struct virtual_rig_settings *settings = practice->settings;
    double tired_s = since_sit_s - 60.0 * settings->tires_at_min;
    double tired_mm = settings->tires_mm * fmin(1.0, fmax(0.0, tired_s / TIRES_WITHIN_S));
    return tired_mm + (practice->up_left_s > 0.0 ? practice->up_mm : 0.0);
}

double virtual_practice_sensor_mm(const struct virtual_practice *practice, int channel,
                                  double now_s)
{
    const struct virtual_rig_settings *settings = practice->settings;
    double propped_s = now_s - 60.0 * settings->props_at_min;
    if (channel > 0) {
        return 0.0;
    }
    return (now_s >= 60.0 * settings->bump_at_min ? settings->bump_mm : 0.0) +
           (propped_s >= 0.0 && propped_s < settings->props_for_s ? settings->props_mm : 0.0);
}
