/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "sway_rider.h"

#include <math.h>
#include <string.h>

#define TWO_PI 6.28318530717958647692

/* First-order processes with corners an octave apart; variances that fall with the corner's
 * frequency to the 0.2nd power add up to f^-1.2 between the first corner and the last. */
#define PROCESSES 7
#define SLOWEST_HZ (1.0 / 128.0)
#define STEEPER 0.2

static double between(struct random_source *random, double low, double high)
{
    return low + (high - low) * random_uniform(random);
}

void sway_rider_draw(struct random_source *random, struct sway_rider *rider)
{
    memset(rider, 0, sizeof *rider);
    double wander = 2.5 * exp(0.4 * random_normal(random)), chest = between(random, 0.5, 1.0);
    rider->wander_mm[SWAY_HEAD] = wander;
    rider->wander_mm[SWAY_CHEST] = chest * wander;
    rider->wander_together = between(random, 0.2, 0.8);
    rider->breathing_mm[SWAY_CHEST] = between(random, 2.0, 6.0);
    rider->breathing_mm[SWAY_HEAD] = rider->breathing_mm[SWAY_CHEST] * between(random, 0.2, 0.6);
    rider->breathing_hz = between(random, 0.2, 0.42);
    rider->bob_mm[SWAY_HEAD] = between(random, 0.5, 4.0);
    rider->bob_mm[SWAY_CHEST] = rider->bob_mm[SWAY_HEAD] * between(random, 0.3, 0.8);
    rider->bob_hz = 2.0 * between(random, 70.0, 100.0) / 60.0;
    rider->noise_mm = between(random, 0.8, 3.0);
    rider->resit_mm = between(random, 2.0, 6.0) * exp(0.35 * random_normal(random));
}

void sway_rider_next_session(struct random_source *random, const struct sway_rider *rider,
                             struct sway_rider *next)
{
    /* the ratio of two log-normal factors of 0.35 */
    double resit = exp(0.35 * sqrt(2.0) * random_normal(random));
    double wander = exp(0.25 * random_normal(random));
    *next = *rider;
    next->resit_mm *= resit;
    next->wander_mm[SWAY_HEAD] *= wander;
    next->wander_mm[SWAY_CHEST] *= wander;
}

/* Student's t with 3 degrees of freedom, scaled to SD 1. */
static double heavy_tailed(struct random_source *random)
{
    double squares = 0.0, normal = random_normal(random);
    for (int i = 0; i < 3; i++) {
        double z = random_normal(random);
        squares += z * z;
    }
    return normal / sqrt(squares / 3.0) / sqrt(3.0);
}

void sway_rider_sit(struct random_source *random, const struct sway_rider *rider,
                    double resit_mm[SWAY_CHANNELS])
{
    double both = heavy_tailed(random);
    for (int c = 0; c < SWAY_CHANNELS; c++) {
        resit_mm[c] = rider->resit_mm * sqrt(0.5) * (both + heavy_tailed(random));
    }
}

struct wander {
    double keep[PROCESSES], fresh[PROCESSES], state[PROCESSES];
};

/* SD 1 in all, begun in its stationary state. */
static void wander_begin(struct random_source *random, double step_s, struct wander *wander)
{
    double sum = 0.0, variance[PROCESSES];
    for (int i = 0; i < PROCESSES; i++) {
        variance[i] = pow(2.0, -STEEPER * i);
        sum += variance[i];
    }
    for (int i = 0; i < PROCESSES; i++) {
        double corner_hz = SLOWEST_HZ * pow(2.0, i), sd = sqrt(variance[i] / sum);
        wander->keep[i] = exp(-TWO_PI * corner_hz * step_s);
        wander->fresh[i] = sd * sqrt(1.0 - wander->keep[i] * wander->keep[i]);
        wander->state[i] = sd * random_normal(random);
    }
}

static double wander_next(struct random_source *random, struct wander *wander)
{
    double sum = 0.0;
    for (int i = 0; i < PROCESSES; i++) {
        sum += wander->state[i];
        wander->state[i] =
            wander->keep[i] * wander->state[i] + wander->fresh[i] * random_normal(random);
    }
    return sum;
}

struct glance {
    double from_s, seconds, height_mm;
};

/* How far up the look has gone, 0 to 1: 0.4 s for either way. */
static double glance_part(const struct glance *glance, double t)
{
    double in_s = t - glance->from_s, out_s = glance->from_s + glance->seconds - t;
    double part = fmin(1.0, fmin(in_s, out_s) / 0.4);
    return part > 0.0 ? 0.5 - 0.5 * cos(0.5 * TWO_PI * part) : 0.0;
}

static double planned(const struct sway_plan *plan, int channel, double t)
{
    double height = plan->level_mm[channel] +
                    plan->creep_mm_per_min[channel] * (t - 0.5 * plan->seconds) / 60.0;
    if (plan->settling_ramp_s > 0.0) {
        height += plan->settling_mm[channel] * fmax(0.0, 1.0 - t / plan->settling_ramp_s);
    } else if (plan->settling_s > 0.0) {
        height += plan->settling_mm[channel] * exp(-t / plan->settling_s);
    }
    return t >= plan->step_at_s ? height + plan->step_mm[channel] : height;
}

void sway_hold_make(struct random_source *random, const struct sway_rider *rider,
                    const struct sway_plan *plan, struct sway_hold *hold)
{
    struct wander wander[SWAY_CHANNELS + 1]; /* the last is what head and chest have in common */
    struct glance glance = {.from_s = (double)INFINITY};
    double step_s = 1.0 / plan->rate_hz, breath = random_uniform(random);
    double bob = random_uniform(random), together = rider->wander_together;
    for (int i = 0; i <= SWAY_CHANNELS; i++) {
        wander_begin(random, step_s, &wander[i]);
    }
    hold->count = (size_t)fmin(plan->seconds * plan->rate_hz + 0.5, (double)SWAY_READINGS_MAX);
    hold->duration_s = plan->seconds;
    hold->rate_hz = plan->rate_hz;
    hold->glances = 0;
    for (size_t i = 0; i < hold->count; i++) {
        double t = (double)i * step_s, common = wander_next(random, &wander[SWAY_CHANNELS]);
        breath += rider->breathing_hz * step_s + 0.02 * sqrt(step_s) * random_normal(random);
        bob += rider->bob_hz * step_s + 0.05 * sqrt(step_s) * random_normal(random);
        if (plan->glances_per_min > 0.0 &&
            !(t < glance.from_s + glance.seconds + 1.0 && hold->glances > 0) &&
            random_uniform(random) < plan->glances_per_min / 60.0 * step_s) {
            glance = (struct glance){t, between(random, 2.0, 4.0), between(random, 15.0, 50.0)};
            hold->glances++;
        }
        double up = hold->glances > 0 ? glance.height_mm * glance_part(&glance, t) : 0.0;
        for (int c = 0; c < SWAY_CHANNELS; c++) {
            double own = wander_next(random, &wander[c]);
            hold->height_mm[c][i] =
                planned(plan, c, t) +
                rider->wander_mm[c] * (sqrt(together) * common + sqrt(1.0 - together) * own) +
                rider->breathing_mm[c] * sin(TWO_PI * breath) +
                rider->bob_mm[c] * sin(TWO_PI * bob) + rider->noise_mm * random_normal(random) +
                (c == SWAY_HEAD ? up : 0.1 * up);
        }
        hold->time_s[i] = t;
        hold->valid[i] = 1;
    }
}

struct hold_input sway_input(const struct sway_hold *hold, int channel)
{
    return (struct hold_input){.time_s = hold->time_s,
                               .height_mm = hold->height_mm[channel],
                               .valid = hold->valid,
                               .count = hold->count,
                               .duration_s = hold->duration_s,
                               .rate_hz = hold->rate_hz};
}
