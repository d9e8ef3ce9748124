/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/plan.h"

#include "base/numbers.h"
#include "measure/rules.h"

#include <math.h>
#include <stdio.h>

static void rounds_words(char *text, size_t size, const struct plan_input *input, int rounds)
{
    if (input->order == PLAN_ROWS) {
        snprintf(text, size, "%d %s a build", rounds, rounds == 1 ? "hold" : "holds");
    } else if (rounds == 1) {
        snprintf(text, size, "there and back once");
    } else {
        snprintf(text, size, "there and back %d times", rounds);
    }
}

void say_plan_ride(char *text, size_t size, const struct plan_input *input, const struct plan *plan)
{
    char rounds[64], power[SAY_SIZE], found[SAY_SIZE];
    rounds_words(rounds, sizeof rounds, input, plan->rounds);
    say_whole(power, sizeof power, 100.0 * plan->power);
    say_whole(found, sizeof found, ceil(plan->detectable_mm - 1e-9));
    if (plan->power >= PLAN_POWER) {
        snprintf(text, size, "Ride %s. It finds the difference in %s of 100.", rounds, power);
    } else if (plan->df > 0) {
        snprintf(text, size,
                 "Ride %s. That finds the difference in %s of 100 only, and one of %s mm in 80: "
                 "'cannot tell yet' is likely.",
                 rounds, power, found);
    } else {
        snprintf(text, size, "%s", "");
    }
}

void say_plan_enough(char *text, size_t size, const struct plan_input *input,
                     const struct plan *enough)
{
    char rounds[64], minutes[SAY_SIZE];
    if (enough != NULL) {
        rounds_words(rounds, sizeof rounds, input, enough->rounds);
        say_whole(minutes, sizeof minutes, ceil(enough->minutes - 1e-9));
        snprintf(text, size, "80 of 100 would take %s: %s minutes.", rounds, minutes);
        return;
    }
    snprintf(text, size,
             "No number of holds up to %d a build would find it in 80 of 100: look for a larger "
             "difference, compare fewer setups%s.",
             PLAN_ROUNDS_MAX, input->tie_mm > 1.0 ? ", or tie the sensors with a plate" : "");
}

void say_plan_nothing(char *text, size_t size, const struct plan *shortest, int fewer_setups,
                      double fewer_minutes)
{
    char minutes[SAY_SIZE], fewer[SAY_SIZE];
    say_whole(minutes, sizeof minutes, ceil(shortest->minutes - 1e-9));
    say_whole(fewer, sizeof fewer, ceil(fewer_minutes - 1e-9));
    if (fewer_setups > 0) {
        snprintf(text, size,
                 "Nothing fits: the shortest takes %s minutes. %d setups would fit (%s minutes); "
                 "leave one out, or look on another day.",
                 minutes, fewer_setups, fewer);
    } else {
        snprintf(
            text, size,
            "Nothing fits: the shortest takes %s minutes, and two setups would not fit either.",
            minutes);
    }
}
