/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/drag.h"

#include "base/numbers.h"
#include "base/text.h"
#include "measure/rules.h"
#include "say/difference.h"

#include <math.h>
#include <stdio.h>

const char say_drag_not_the_same[] =
    "The posture on the road or track was not measured: heights are the trainer's, drag is the "
    "road's.";
const char say_drag_level_apart[] =
    "How high drag is rests on tyres, power meter and speed, which are the same in all runs of a "
    "day: differences are known better.";
const char say_drag_wheels[] =
    "Drag area of rider and bike, with what the wheels' turning adds (about 0.0044 m2).";
const char say_drag_never_alone[] =
    "Lower is not faster where it costs power: look at watts, heart and effort beside it, and "
    "measure again after some weeks of practice.";
const char *const say_drag_cautions[SAY_DRAG_CAUTIONS] = {
    ("Closed track, or a quiet road by daylight with permission; a second person; lights; no "
     "earphones; hands by the brakes; no screen is looked at."),
    "No run in a posture in which the rider does not see ahead.",
    "Stop when the wind grows, on traffic, on pain.",
    "Race rules limit position: the governing body's current text decides.",
};

const char *say_drag_lack(enum drag_lack lack)
{
    switch (lack) {
    case DRAG_LACKS_COURSE:
        return "no course was said: 'course laps' or 'course out_and_back'";
    case DRAG_LACKS_MASS:
        return "the mass of rider and bike is missing: weigh both, 'mass 85kg'";
    case DRAG_LACKS_AIR:
        return "the air is missing: 'air 20C 1013hPa 50%', at the start and at the end";
    case DRAG_LACKS_NOTHING:
        break;
    }
    return "";
}

const char *say_drag_withheld(enum drag_withheld withheld)
{
    switch (withheld) {
    case DRAG_WITHHELD_WIND_NOT_SAID:
        return "laps in the open, and nobody said how much wind there was: add wind=0.5m/s to the "
               "air, or ride out and back";
    case DRAG_WITHHELD_WIND:
        return "too much wind for laps, where it can't be solved for: ride out and back, or "
               "indoors";
    case DRAG_WITHHELD_NOT:
        break;
    }
    return "";
}

const char *say_drag_run_state(enum drag_run_state state)
{
    static const char *const words[] = {
        [DRAG_RUN_COUNTS] = "",
        [DRAG_RUN_REJECTED] = "left out",
        [DRAG_RUN_NO_LEGS] = "no lap or pair of it can be used",
        [DRAG_RUN_SATELLITES] = "speed from satellites: not good enough for a verdict",
        [DRAG_RUN_LACKS] = "not worked out yet",
    };
    return words[state];
}

const char *say_drag_leg_state(enum drag_leg_state state)
{
    static const char *const words[] = {
        [DRAG_LEG_USED] = "",
        [DRAG_LEG_LEFT_OUT] = "left out",
        [DRAG_LEG_ALONE] = "the other way is missing",
        [DRAG_LEG_NO_FORCE] = "nothing is left for the air: is the power right?",
        [DRAG_LEG_WINDY] = "too windy",
        [DRAG_LEG_NO_RIDER] = "no rider's drag area: are speed, power, mass and air right?",
        [DRAG_LEG_NOT_WORKED] = "not worked out yet",
    };
    return words[state];
}

static void say_few(char *text, size_t size, int runs)
{
    snprintf(text, size, "too few to tell anything: %d run%s, %d are needed", runs,
             runs == 1 ? "" : "s", DRAG_RUNS_MIN);
}

/* '0.0055 (0.0032 to 0.0078)'; of a lower one without its sign. */
static void say_value(char *text, size_t size, const struct setup_difference *d)
{
    bool told = d->verdict == VERDICT_LOWER || d->verdict == VERDICT_HIGHER;
    bool turned = told && d->difference < 0.0;
    char value[24], low[24], high[24];
    say_number(value, sizeof value, turned ? -d->difference : d->difference, 4);
    say_number(low, sizeof low, turned ? -d->high : d->low, 4);
    say_number(high, sizeof high, turned ? -d->low : d->high, 4);
    snprintf(text, size, d->has_interval ? "%s (%s to %s) m2" : "%s m2", value, low, high);
}

/* What would settle it; in runs, not holds. */
static void say_more(char *text, size_t size, const struct setup_difference *d)
{
    bool many = d->advice_holds >= MORE_HOLDS_MOST;
    text[0] = '\0';
    if (d->advice == ADVICE_MORE_HOLDS) {
        snprintf(text, size, "; %d%s more run%s of each", d->advice_holds, many ? " or" : "",
                 d->advice_holds == 1 ? "" : "s");
    } else if (d->advice == ADVICE_RETURN_TO_FIRST) {
        snprintf(text, size, "; ride setup %d again: setup and order go together", d->first_setup);
    } else if (d->advice != ADVICE_NONE) {
        snprintf(text, size, "; ride both at the same speed");
    }
}

static void say_not_comparable(char *text, size_t size, const struct drag_analysis *drag,
                               const struct setup_difference *d)
{
    const char *why = say_drag_withheld(drag->withheld);
    if (why[0] == '\0') {
        why =
            d->reason == REASON_ORDER_MATTERED
                ? "drag changed with the order of the runs, and setup and order go together: ride "
                  "the first setup again"
                : "the setup that is compared against has too few runs";
    }
    snprintf(text, size, "%s: %s", say_verdict(VERDICT_NOT_COMPARABLE), why);
}

void say_drag_difference(char *text, size_t size, const struct drag_analysis *drag, int baseline,
                         int setup)
{
    const struct drag_setup_result *result = &drag->setup[setup];
    const struct setup_difference *d = &drag->compare.difference[setup];
    char value[96], more[96];
    text[0] = '\0';
    if (result->runs == 0) {
        return;
    }
    if (result->few) {
        say_few(text, size, result->runs);
        return;
    }
    if (setup == baseline || d->verdict == VERDICT_NONE) {
        return;
    }
    if (drag->setup[baseline].runs < DRAG_RUNS_MIN || d->verdict == VERDICT_NOT_COMPARABLE) {
        say_not_comparable(text, size, drag, d);
        return;
    }
    say_value(value, sizeof value, d);
    say_more(more, sizeof more, d);
    switch (d->verdict) {
    case VERDICT_LOWER:
    case VERDICT_HIGHER:
        snprintf(text, size, "%s by %s", say_verdict(d->verdict), value);
        break;
    case VERDICT_CANNOT_TELL:
        snprintf(text, size, "%s: %s%s", say_verdict(d->verdict), value, more);
        break;
    default:
        snprintf(text, size, "%s: %s", say_verdict(d->verdict), value);
        break;
    }
}

void say_drag_level(char *text, size_t size, const struct drag_analysis *drag, int setup)
{
    const struct drag_setup_result *result = &drag->setup[setup];
    const struct setup_estimate *estimate = &drag->compare.setup[setup];
    char value[24], low[24], high[24];
    text[0] = '\0';
    if (result->runs == 0) {
        return;
    }
    if (result->few || !isfinite(result->level_half_width_m2)) {
        say_few(text, size, result->runs);
        return;
    }
    say_number(value, sizeof value, estimate->mean, 3);
    say_number(low, sizeof low, estimate->mean - result->level_half_width_m2, 3);
    say_number(high, sizeof high, estimate->mean + result->level_half_width_m2, 3);
    snprintf(text, size, "about %s (%s to %s) m2", value, low, high);
}

void say_drag_worth(char *text, size_t size, const struct session_record *record,
                    const struct drag_analysis *drag, int setup)
{
    const struct setup_difference *d = &drag->compare.difference[setup];
    double speed = drag_usual_speed(record, drag);
    double density = drag->setup[setup].density_kg_per_m3;
    char value[24], low[24], high[24];
    text[0] = '\0';
    if (!d->has_interval || !isfinite(speed) || !isfinite(density)) {
        return;
    }
    double one_w = drag_worth_w(1.0, speed, density, drag->rider.efficiency);
    bool lower = d->difference < 0.0;
    say_number(value, sizeof value, fabs(d->difference) * one_w, 1);
    say_number(low, sizeof low, (lower ? -d->high : d->low) * one_w, 1);
    say_number(high, sizeof high, (lower ? -d->low : d->high) * one_w, 1);
    snprintf(text, size, "%s W (%s to %s) %s at %.0f km/h", value, low, high,
             lower ? "less for the air" : "more for the air", speed * 3.6);
}

void say_drag_repeats(char *text, size_t size, const struct drag_analysis *drag)
{
    char sd[24], share[24];
    text[0] = '\0';
    if (!drag->compare.has_repeatability) {
        return;
    }
    double level = NAN;
    for (int s = 0; s < drag->compare.setup_count; s++) {
        level = drag->compare.setup[s].holds > 0 ? drag->compare.setup[s].mean : level;
    }
    say_number(sd, sizeof sd, drag->compare.repeatability, 4);
    say_number(share, sizeof share, 100.0 * drag->compare.repeatability / level, 1);
    snprintf(text, size, "SD %s m2 (%s %%) from run to run", sd, share);
}

void say_drag_slope(char *text, size_t size, const struct drag_height *height, const char *channel)
{
    char slope[24], low[24], high[24];
    text[0] = '\0';
    if (!height->has_slope) {
        return;
    }
    const struct york_line *line = &height->line;
    say_number(slope, sizeof slope, 10.0 * line->slope, 4);
    say_number(low, sizeof low, 10.0 * (line->slope - line->slope_half_width), 4);
    say_number(high, sizeof high, 10.0 * (line->slope + line->slope_half_width), 4);
    snprintf(text, size,
             "For this rider, on these %d setups, 10 mm of %s went with %s m2 of drag (%s to %s): "
             "association only.",
             height->slope_setups, channel, slope, low, high);
}

void say_drag_line(char *text, size_t size, const struct session_record *record,
                   const struct drag_analysis *drag, int setup)
{
    int baseline = drag->compare.baseline, number = record->setup[setup].number;
    const struct setup_difference *d = &drag->compare.difference[setup];
    char words[SAY_SIZE];
    text[0] = '\0';
    if (setup == baseline || drag->setup[setup].runs == 0 || drag->lack != DRAG_LACKS_NOTHING) {
        return;
    }
    int first = record->setup[baseline].number;
    say_drag_difference(words, sizeof words, drag, baseline, setup);
    bool told = d->verdict == VERDICT_LOWER || d->verdict == VERDICT_HIGHER;
    snprintf(text, size,
             told ? "Drag on the course: setup %d is %s than setup %d."
                  : "Drag on the course, setup %d: %s; compared with setup %d.",
             number, words, first);
}
