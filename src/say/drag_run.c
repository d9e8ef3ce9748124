/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/drag_run.h"

#include "analysis/drag_course.h"
#include "base/numbers.h"
#include "base/text.h"
#include "measure/rules.h"
#include "say/drag.h"

#include <math.h>
#include <stdio.h>

void say_drag_run_value(char *text, size_t size, const struct drag_run_result *run)
{
    char value[24], half[24];
    if (run->mean.count == 0) {
        snprintf(text, size, "-");
        return;
    }
    say_number(value, sizeof value, run->mean.drag_m2, 4);
    say_number(half, sizeof half, run->mean.half_width_m2, 4);
    snprintf(text, size, run->mean.has_interval ? "%s \u00B1%s" : "%s", value, half);
}

void say_drag_run_interval(char *text, size_t size)
{
    snprintf(
        text, size,
        "\u00B1: 95 %% of a run by itself, from %d laps or pairs on; fewer are too short for an "
        "uncertainty.",
        DRAG_LAPS_FOR_INTERVAL);
}

static const char *laps_or_ways(const struct session_record *record)
{
    return record->drag.course == COURSE_LAPS ? "laps" : "ways";
}

void say_drag_run_legs(char *text, size_t size, const struct session_record *record,
                       const struct drag_run_result *run)
{
    bool laps = record->drag.course == COURSE_LAPS;
    if (run->legs_used != run->legs) {
        snprintf(text, size, laps ? "%d of %d laps" : "%d of %d ways", run->legs_used, run->legs);
    } else if (run->legs == 1) {
        text_copy(text, size, laps ? "1 lap" : "1 way");
    } else {
        snprintf(text, size, laps ? "%d laps" : "%d ways", run->legs);
    }
}

/* '1.4 % longer'. */
static void say_longer(char *text, size_t size, double share)
{
    char percent[24];
    say_number(percent, sizeof percent, 100.0 * fabs(share), 1);
    snprintf(text, size, "%s %% %s", percent, share > 0.0 ? "longer" : "shorter");
}

void say_drag_run_marks(char *text, size_t size, const struct session_record *record,
                        const struct drag_analysis *drag, int run)
{
    const struct drag_run_result *of = &drag->run[run];
    const char *why = say_drag_run_why(record, drag, run);
    char longer[40];
    size_t used = 0;
    text[0] = '\0';
    if (of->gusty) {
        text_append(text, size, &used, "gusty: repeat");
    }
    if (of->other_length) {
        say_longer(longer, sizeof longer, of->longer);
        text_append(text, size, &used, "%sits %s are %s by the wheel than in the other runs",
                    used > 0 ? "; " : "", laps_or_ways(record), longer);
    }
    text_append(text, size, &used, "%s%s", used > 0 && why[0] != '\0' ? "; " : "", why);
}

void say_drag_uneven(char *text, size_t size, const struct session_record *record,
                     const struct drag_analysis *drag, int leg)
{
    const struct leg_record *of = &record->leg[leg];
    int back = of->back ? -1 : drag_way_back(record, leg);
    char out_m[24], back_m[24];
    text[0] = '\0';
    if (!drag->leg[leg].uneven || back < 0) {
        return;
    }
    say_number(out_m, sizeof out_m, of->sums.length_m, 0);
    say_number(back_m, sizeof back_m, record->leg[back].sums.length_m, 0);
    snprintf(text, size,
             "%d.%d and %d.%d count, and are not the same stretch: %s m out, %s m back by the "
             "wheel. Is a mark misplaced?",
             record->run[of->run].number, of->number, record->run[of->run].number,
             record->leg[back].number, out_m, back_m);
}

void say_drag_met(char *text, size_t size, const struct session_record *record,
                  const struct drag_analysis *drag, int leg)
{
    const struct leg_record *of = &record->leg[leg];
    const struct drag_leg_result *result = &drag->leg[leg];
    double one_m = drag_piece_place_m(record, leg, result->leaves_piece);
    double other_m = drag_piece_place_m(record, leg, result->leaves_piece + 2);
    char force[24], from[24], to[24];
    text[0] = '\0';
    if (!result->leaves) {
        return;
    }
    say_number(force, sizeof force, fabs(result->leaves_n), 0);
    say_number(from, sizeof from, fmax(fmin(one_m, other_m), 0.0), 0);
    say_number(to, sizeof to, fmax(one_m, other_m), 0);
    snprintf(
        text, size,
        "%d.%d counts: %s N %s than is explained at %s to %s m of the course. A gust, a brake, "
        "somebody passing?",
        record->run[of->run].number, of->number, force, result->leaves_n > 0.0 ? "more" : "less",
        from, to);
}

void say_drag_lap_length(char *text, size_t size, const struct session_record *record,
                         const struct drag_analysis *drag)
{
    char wheel[24], said[24];
    text[0] = '\0';
    if (!drag->lap_differs) {
        return;
    }
    say_number(wheel, sizeof wheel, drag->lap_length_m, 1);
    say_number(said, sizeof said, record->drag.course_length_m, 1);
    snprintf(
        text, size,
        "By the wheel a lap is %s m, and it was said to be %s m: is the wheel's size right? 1 %% "
        "of it is 3 to 4 %% of how high drag is.",
        wheel, said);
}

void say_drag_other_wheel(char *text, size_t size, const struct session_record *record,
                          const struct drag_analysis *drag, int setup)
{
    const struct drag_setup_result *of = &drag->setup[setup];
    int baseline = drag->compare.baseline;
    char longer[40];
    text[0] = '\0';
    if (!of->other_wheel) {
        return;
    }
    say_longer(longer, sizeof longer, of->longer);
    snprintf(text, size,
             "Setup %d's %s are %s by the wheel than setup %d's, over one course: is the size of "
             "each wheel right? 1 %% of it is 3 to 4 %% of drag: the interval is wider.",
             record->setup[setup].number, laps_or_ways(record), longer,
             record->setup[baseline].number);
}
