/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "hold_study.h"

#include "measure/simulated_session.h"
#include "sway_rider.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define LEVEL_MM 900.0
#define RATE_HZ 25.0
#define CHANNELS 2

static const char *const event_names[HOLD_EVENTS] = {
    [EVENT_NONE] = "steady",
    [EVENT_GLANCES] = "looks up twice a minute",
    [EVENT_SETTLING] = "settles by 20 mm, 20 s",
    [EVENT_SETTLING_RAMP] = "20 mm evenly in 20 s",
    [EVENT_CREEP] = "creeps by 15 mm a minute",
    [EVENT_STEP] = "a step of 8 mm",
    [EVENT_STEP_LARGE] = "a step of 12 mm",
    [EVENT_LAST_GLANCE] = "looks up as it ends",
    [EVENT_RESTLESS] = "steady, twice as restless",
};

const char *hold_event_name(enum hold_event event)
{
    return event_names[event];
}

/* What happens, in one channel. */
struct happening {
    int channel;
    double settling_mm, settling_s, ramp_s, creep_mm_per_min, step_mm, step_at_s;
    double glances_per_min, restless; /* times the wander */
    double last_glance_mm;
};

static struct happening draw(struct random_source *random, enum hold_event event, double seconds)
{
    double sign = random_uniform(random) < 0.5 ? -1.0 : 1.0;
    struct happening what = {.channel = random_uniform(random) < 0.5 ? 0 : 1, .restless = 1.0};
    switch (event) {
    case EVENT_GLANCES:
        what.channel = SWAY_HEAD;
        what.glances_per_min = 2.0;
        break;
    case EVENT_SETTLING:
        what.settling_mm = 20.0;
        what.settling_s = 20.0;
        break;
    case EVENT_SETTLING_RAMP:
        what.settling_mm = 20.0;
        what.ramp_s = 20.0;
        break;
    case EVENT_CREEP:
        what.creep_mm_per_min = 15.0 * sign;
        break;
    case EVENT_STEP:
    case EVENT_STEP_LARGE:
        what.step_mm = (event == EVENT_STEP ? 8.0 : 12.0) * sign;
        what.step_at_s = between(random, 10.0, seconds - 10.0);
        break;
    case EVENT_LAST_GLANCE:
        what.last_glance_mm = 40.0;
        break;
    case EVENT_RESTLESS:
        what.restless = 2.0;
        break;
    case EVENT_NONE:
    case HOLD_EVENTS:
        break;
    }
    return what;
}

static void make_sway(struct random_source *random, const struct happening *what, double seconds,
                      struct sway_hold *hold)
{
    struct sway_rider rider;
    struct sway_plan plan = {.seconds = seconds,
                             .rate_hz = RATE_HZ,
                             .level_mm = {LEVEL_MM, LEVEL_MM},
                             .settling_s = what->settling_s,
                             .settling_ramp_s = what->ramp_s,
                             .step_at_s = what->step_at_s,
                             .glances_per_min = what->glances_per_min};
    plan.settling_mm[what->channel] = what->settling_mm;
    plan.creep_mm_per_min[what->channel] = what->creep_mm_per_min;
    plan.step_mm[what->channel] = what->step_mm;
    sway_rider_draw(random, &rider);
    for (int c = 0; c < SWAY_CHANNELS; c++) {
        rider.wander_mm[c] *= what->restless;
    }
    sway_hold_make(random, &rider, &plan, hold);
}

/* The first rider has one channel at a time: two of them, and what the plan of the second does. */
static void make_first(struct random_source *random, const struct happening *what, double seconds,
                       struct sway_hold *hold)
{
    static struct simulated made;
    static struct sway_hold event;
    static const struct sway_rider nothing_moves = {.breathing_hz = 0.3, .bob_hz = 2.0};
    static const struct condition usual = {.name = "usual"};
    struct sway_plan plan = {.seconds = seconds,
                             .rate_hz = RATE_HZ,
                             .settling_mm = {what->settling_mm, 0.0},
                             .settling_s = what->settling_s,
                             .settling_ramp_s = what->ramp_s,
                             .creep_mm_per_min = {what->creep_mm_per_min, 0.0},
                             .step_mm = {what->step_mm, 0.0},
                             .step_at_s = what->step_at_s,
                             .glances_per_min = what->glances_per_min};
    sway_hold_make(random, &nothing_moves, &plan, &event);
    for (int c = 0; c < CHANNELS; c++) {
        struct rider rider = any_rider(random, &usual);
        rider.wander_mm *= what->restless;
        simulate_hold(random, &rider, LEVEL_MM, seconds, RATE_HZ, &made);
        memcpy(hold->height_mm[c], made.height_mm, made.count * sizeof(double));
        for (size_t i = 0; c == what->channel && i < made.count; i++) {
            hold->height_mm[c][i] += event.height_mm[SWAY_HEAD][i];
        }
    }
    memcpy(hold->time_s, made.time_s, made.count * sizeof(double));
    memcpy(hold->valid, made.valid, made.count);
    hold->count = made.count;
    hold->duration_s = seconds;
    hold->rate_hz = RATE_HZ;
}

/* Up and back within 2 s, half a second before the end. */
static void look_up_last(const struct happening *what, struct sway_hold *hold)
{
    for (size_t i = 0; i < hold->count; i++) {
        double part = (hold->time_s[i] - hold->duration_s + 2.5) / 2.0;
        if (part > 0.0 && part < 1.0) {
            hold->height_mm[what->channel][i] += what->last_glance_mm * sin(M_PI * part);
        }
    }
}

static void count_event(const struct hold_input *input, const struct hold_summary *summary,
                        const struct happening *what, struct hold_study *study)
{
    double whole = 0.0, error = summary->mean_mm - LEVEL_MM;
    for (size_t i = 0; i < input->count; i++) {
        whole += (input->height_mm[i] - LEVEL_MM) / (double)input->count;
    }
    study->step_found += summary->stepped && fabs(summary->step_at_s - what->step_at_s) <= 1.5;
    study->creep_covered += fabs(summary->creep_mm_per_min - what->creep_mm_per_min) <=
                            summary->creep_half_width_mm_per_min;
    study->covered += fabs(error) <= summary->mean_half_width_mm;
    study->errors += error;
    study->squares += error * error;
    study->whole_squares += whole * whole;
}

void hold_study_run(enum study_rider rider, enum hold_event event, double seconds, long holds,
                    uint64_t seed, struct hold_study *study)
{
    static struct sway_hold hold;
    static const struct hold_settings settings = {.has_target = false};
    struct random_source random;
    random_seed(&random, seed);
    for (long i = 0; i < holds; i++) {
        struct happening what = draw(&random, event, seconds);
        bool not_settled = false, settling = false, stepped = false, drifting = false;
        (rider == RIDER_SWAY ? make_sway : make_first)(&random, &what, seconds, &hold);
        look_up_last(&what, &hold);
        for (int c = 0; c < CHANNELS; c++) {
            struct hold_input input = sway_input(&hold, c);
            struct hold_summary s;
            hold_summarise(&input, &settings, &s);
            study->drifting_channels += s.drifting;
            if (event == EVENT_NONE || event == EVENT_GLANCES || event == EVENT_RESTLESS ||
                c == what.channel) {
                not_settled = not_settled || s.not_settled;
                settling = settling || s.not_settled || s.cut_start_s > 0.0;
                stepped = stepped || s.stepped;
                drifting = drifting || s.drifting;
            }
            if (c == what.channel) {
                count_event(&input, &s, &what, study);
            }
        }
        study->holds++;
        study->not_settled += not_settled;
        study->settling += settling;
        study->stepped += stepped;
        study->drifting += drifting;
    }
}

void hold_study_heading(void)
{
    printf("| rider | hold  | what happens              | settling | not settled | drifting | of "
           "channels | step  | at its place | mean off | error | of all | mean in | creep in |\n"
           "| ----- | ----- | ------------------------- | -------- | ----------- | -------- | "
           "----------- | ----- | ------------ | -------- | ----- | ------ | ------- | -------- "
           "|\n");
}

void hold_study_print(enum study_rider rider, enum hold_event event, double seconds,
                      const struct hold_study *study)
{
    double n = (double)study->holds;
    printf("| %-5s | %3.0f s | %-25s | %8.3f | %11.3f | %8.3f | %11.3f | %5.3f | %12.3f | %+8.2f | "
           "%5.2f | %6.2f | %7.3f | %8.3f |\n",
           rider == RIDER_SWAY ? "sway" : "first", seconds, event_names[event],
           (double)study->settling / n, (double)study->not_settled / n, (double)study->drifting / n,
           (double)study->drifting_channels / n / CHANNELS, (double)study->stepped / n,
           (double)study->step_found / n, study->errors / n, sqrt(study->squares / n),
           sqrt(study->whole_squares / n), (double)study->covered / n,
           (double)study->creep_covered / n);
    fflush(stdout);
}
