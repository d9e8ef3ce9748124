/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/drag.h"

#include "base/language.h"
#include "base/numbers.h"
#include "base/phrase.h"
#include "base/text.h"
#include "measure/rules.h"
#include "say/difference.h"

#include <math.h>
#include <stdio.h>

const char say_drag_not_the_same[] =
    N_("The posture on the road or track was not measured: heights are the trainer's, drag is the "
       "road's.");
const char say_drag_level_apart[] =
    "How high drag is rests on tyres, power meter and speed, which are the same in all runs of a "
    "day: differences are known better.";
const char say_drag_never_alone[] =
    "Lower is not faster where it costs power: look at watts, heart and effort beside it, and "
    "measure again after some weeks of practice.";
const char *const say_drag_cautions[SAY_DRAG_CAUTIONS] = {
    N_("Closed track, or a quiet road by daylight with permission; a second person; lights; no "
       "earphones; hands by the brakes; no screen is looked at."),
    N_("No run in a posture in which the rider does not see ahead."),
    N_("Stop when the wind grows, on traffic, on pain."),
    N_("Race rules limit position: the governing body's current text decides."),
};

const char say_drag_method[] =
    "Drag area is what the rider's power leaves for the air once rolling, bearings, slope and gain "
    "of speed are taken off (Martin et al. 1998, J. Appl. Biomech. 14, 276-291); the air's density "
    "is by CIPM-2007.";
const char say_drag_method_pairs[] =
    "Out and back, the wind along the course is solved for in each pair.";
const char say_drag_method_laps[] = "Laps are worked out as in still air.";

void say_drag_wheels(char *text, size_t size)
{
    snprintf(text, size,
             "Drag area of rider and bike, with what the wheels' turning adds (about %g m\u00B2).",
             DRAG_WHEELS_M2);
}

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
        return T_(
            "laps in the open, and nobody said how much wind there was: add wind=0.5m/s to the "
            "air, or ride out and back");
    case DRAG_WITHHELD_WIND:
        return T_("too much wind for laps, where it can't be solved for: ride out and back, or "
                  "indoors");
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
        [DRAG_RUN_STEPS] = "steps of speed, for rolling resistance",
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

const char *say_drag_run_why(const struct session_record *record, const struct drag_analysis *drag,
                             int run)
{
    return record->run[run].rejected ? record->run[run].reject_reason
                                     : say_drag_run_state(drag->run[run].state);
}

const char *say_drag_leg_why(const struct session_record *record, const struct drag_analysis *drag,
                             int leg)
{
    return record->leg[leg].left_out ? record->leg[leg].reason
                                     : say_drag_leg_state(drag->leg[leg].state);
}

const char *say_drag_why_none(const struct session_record *record, const struct drag_analysis *drag)
{
    int setups = 0, with_runs = 0;
    enum drag_run_state state = DRAG_RUN_COUNTS;
    bool same = true;
    if (drag->lack != DRAG_LACKS_NOTHING) {
        return T_("There are runs, and no numbers yet: the fitter has not entered all that is "
                  "needed.");
    }
    for (int s = 0; s < record->setup_count; s++) {
        setups += drag->setup[s].runs > 0;
        with_runs += drag->setup[s].runs + drag->setup[s].left_out > 0;
    }
    for (int r = 0; r < record->run_count; r++) {
        same = same && (r == 0 || drag->run[r].state == state);
        state = drag->run[r].state;
    }
    if (setups == 0 && same && state == DRAG_RUN_SATELLITES) {
        return T_("Nothing is compared: the speed of all runs is from satellites, which is not "
                  "good enough for a verdict.");
    }
    if (setups == 0) {
        return T_("Nothing is compared: no run counts. The list of runs says why.");
    }
    if (with_runs > 1) {
        return setups == 1 ? T_("Nothing is compared: only runs of one setup count. The list of "
                                "runs says why.")
                           : T_("Nothing is said of this setup: no run of it counts.");
    }
    return T_("There are runs of one setup only: nothing to compare.");
}

static void say_few(char *text, size_t size, int runs)
{
    snprintf(text, size,
             P_("too few to tell anything: %d run, %d are needed",
                "too few to tell anything: %d runs, %d are needed", runs),
             runs, DRAG_RUNS_MIN);
}

/* '0.0055 (0.0032 to 0.0078)'; of a lower one without its sign. */
static void say_value(char *text, size_t size, const struct setup_difference *d)
{
    bool turned = d->verdict == VERDICT_LOWER;
    char value[24], low[24], high[24];
    say_number(value, sizeof value, turned ? -d->difference : d->difference, 4);
    say_number(low, sizeof low, turned ? -d->high : d->low, 4);
    say_number(high, sizeof high, turned ? -d->low : d->high, 4);
    if (d->has_interval) {
        snprintf(text, size, T_("%s (%s to %s) m\u00B2"), value, low, high);
    } else {
        snprintf(text, size, "%s m\u00B2", value);
    }
}

/* What would settle it; in runs, not holds. "": nothing would. */
static void say_more(char *text, size_t size, const struct drag_setup_result *setup,
                     const struct setup_difference *d)
{
    const char *phrase = "";
    char runs[16], first[16];
    if (d->advice == ADVICE_MORE_HOLDS) {
        phrase = d->advice_holds >= MORE_HOLDS_MOST ? N_("{runs} or more runs of each")
                 : d->advice_holds == 1             ? N_("1 more run of each")
                                                    : N_("{runs} more runs of each");
    } else if (d->advice == ADVICE_RETURN_TO_FIRST) {
        phrase = N_("ride setup {first} again: setup and order go together");
    } else if (d->advice != ADVICE_NONE) {
        phrase = setup->other_wheel && setup->wheel_m2 > setup->unlike_m2
                     ? N_("put the wheels' sizes right: by them the course has two lengths")
                     : N_("ride both at the same speed");
    }
    snprintf(runs, sizeof runs, "%d", d->advice_holds);
    snprintf(first, sizeof first, "%d", d->first_setup);
    const struct phrase_value values[] = {{"runs", runs}, {"first", first}, {NULL, NULL}};
    phrase_fill(text, size, T_(phrase), values);
}

static void say_not_comparable(char *text, size_t size, const struct drag_analysis *drag,
                               const struct setup_difference *d)
{
    const char *why = say_drag_withheld(drag->withheld);
    if (why[0] == '\0') {
        why = d->reason == REASON_ORDER_MATTERED
                  ? T_("drag changed with the order of the runs, and setup and order go together: "
                       "ride the first setup again")
                  : T_("the setup that is compared against has too few runs");
    }
    snprintf(text, size, T_("not comparable: %s"), why);
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
    say_more(more, sizeof more, result, d);
    switch (d->verdict) {
    case VERDICT_LOWER:
        snprintf(text, size, T_("lower by %s"), value);
        break;
    case VERDICT_HIGHER:
        snprintf(text, size, T_("higher by %s"), value);
        break;
    case VERDICT_CANNOT_TELL:
        if (more[0] != '\0') {
            snprintf(text, size, T_("cannot tell yet: %s; %s"), value, more);
        } else {
            snprintf(text, size, T_("cannot tell yet: %s"), value);
        }
        break;
    case VERDICT_LESS_THAN_MATTERS:
        snprintf(text, size, T_("differs, but by less than matters: %s"), value);
        break;
    default:
        snprintf(text, size, T_("no difference that matters: %s"), value);
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
    snprintf(text, size, "about %s (%s to %s) m\u00B2", value, low, high);
}

void say_drag_worth(char *text, size_t size, const struct session_record *record,
                    const struct drag_analysis *drag, int setup)
{
    const struct setup_difference *d = &drag->compare.difference[setup];
    double speed = drag_usual_speed(record, drag);
    double density = drag->setup[setup].density_kg_per_m3;
    char value[24], low[24], high[24];
    text[0] = '\0';
    bool told = d->verdict == VERDICT_LOWER || d->verdict == VERDICT_HIGHER;
    if (!told || !d->has_interval || !isfinite(speed) || !isfinite(density)) {
        return;
    }
    double one_w = drag_worth_w(1.0, speed, density, drag->rider.efficiency);
    bool lower = d->verdict == VERDICT_LOWER;
    say_number(value, sizeof value, fabs(d->difference) * one_w, 1);
    say_number(low, sizeof low, (lower ? -d->high : d->low) * one_w, 1);
    say_number(high, sizeof high, (lower ? -d->low : d->high) * one_w, 1);
    snprintf(text, size,
             lower ? T_("%s W (%s to %s) less for the air at %.0f km/h")
                   : T_("%s W (%s to %s) more for the air at %.0f km/h"),
             value, low, high, speed * 3.6);
}

void say_drag_repeats(char *text, size_t size, const struct drag_analysis *drag)
{
    char sd[24], low[24], high[24], share[24];
    text[0] = '\0';
    if (!drag->compare.has_repeatability) {
        return;
    }
    say_number(sd, sizeof sd, drag->compare.repeatability, 4);
    double percent = 100.0 * drag->compare.repeatability / drag_usual_m2(drag);
    say_number(share, sizeof share, percent, 1);
    say_number(low, sizeof low, drag->compare.repeatability_low, 4);
    say_number(high, sizeof high, drag->compare.repeatability_high, 4);
    snprintf(text, size, "SD %s (%s to %s) m\u00B2, %s %%, from run to run", sd, low, high, share);
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
    snprintf(
        text, size,
        "For this rider, on these %d setups, 10 mm of %s went with %s m\u00B2 of drag (%s to %s): "
        "association only.",
        height->slope_setups, channel, slope, low, high);
}

void say_drag_line(char *text, size_t size, const struct session_record *record,
                   const struct drag_analysis *drag, int setup)
{
    int baseline = drag->compare.baseline, number = record->setup[setup].number;
    const struct setup_difference *d = &drag->compare.difference[setup];
    char words[SAY_SIZE], worth[SAY_SIZE];
    text[0] = '\0';
    if (setup == baseline || drag->setup[setup].runs == 0 || drag->lack != DRAG_LACKS_NOTHING) {
        return;
    }
    int first = record->setup[baseline].number;
    bool told = d->verdict == VERDICT_LOWER || d->verdict == VERDICT_HIGHER;
    bool few = drag->setup[setup].few || drag->setup[baseline].runs < DRAG_RUNS_MIN;
    say_drag_difference(words, sizeof words, drag, baseline, setup);
    say_drag_worth(worth, sizeof worth, record, drag, setup);
    if (!told || few) {
        snprintf(text, size, T_("Drag on the course, setup %d: %s; compared with setup %d."),
                 number, words, first);
        return;
    }
    bool valued = worth[0] != '\0', lower = d->verdict == VERDICT_LOWER;
    say_value(words, sizeof words, d);
    if (valued) {
        snprintf(text, size,
                 lower ? T_("Drag on the course: setup %d is lower by %s than setup %d: %s.")
                       : T_("Drag on the course: setup %d is higher by %s than setup %d: %s."),
                 number, words, first, worth);
    } else {
        snprintf(text, size,
                 lower ? T_("Drag on the course: setup %d is lower by %s than setup %d.")
                       : T_("Drag on the course: setup %d is higher by %s than setup %d."),
                 number, words, first);
    }
}

void say_drag_beside_height(char *text, size_t size, const char *channel, const double mm[3],
                            const double m2[3])
{
    char height[3][32], drag[3][32];
    for (int i = 0; i < 3; i++) {
        say_signed(height[i], sizeof height[i], mm[i], 0);
        say_signed(drag[i], sizeof drag[i], m2[i], 4);
    }
    snprintf(text, size,
             "%s %s mm (%s to %s) on the trainer, drag %s m\u00B2 (%s to %s) on the course.",
             channel, height[0], height[1], height[2], drag[0], drag[1], drag[2]);
}
