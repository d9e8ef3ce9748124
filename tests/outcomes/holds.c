/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Every number of made-up holds of many kinds. */
#include "../measure/simulated_hold.h"

#include "measure/band.h"
#include "measure/hold_measures.h"
#include "measure/hold_pair.h"
#include "measure/minutes.h"
#include "measure/wander.h"
#include "support/outcome.h"
#include "support/test_main.h"

#define QUIET                                                                                      \
    .breathing_mm = 4, .breathing_hz = 0.4, .bob_mm = 3, .bob_hz = 1.5, .wander_mm = 2,            \
    .wander_s = 2, .noise_mm = 2

static const struct made_hold {
    const char *name;
    struct rider rider;
    double duration_s, rate_hz;
    double step_mm, step_at_s; /* the level's, from then on */
    double above_mm, below_mm; /* of a band about 900 mm; both 0: none */
    struct hold_cut cut;       /* a mark; 0, 0: none */
    bool raw;
} made[] = {
    {"minute", {QUIET}, 60, 50, 0, 0, 0, 0, {0, 0}, false},
    {"short", {QUIET}, 14, 50, 0, 0, 0, 0, {0, 0}, false},
    {"too_short", {QUIET}, 2, 50, 0, 0, 0, 0, {0, 0}, false},
    {"half_minute_at_20", {QUIET}, 30, 20, 0, 0, 8, 8, {0, 0}, false},
    {"slow_rate", {QUIET}, 60, 5, 0, 0, 6, 6, {0, 0}, false},
    {"gaps", {QUIET, .gap_share = 0.08}, 60, 50, 0, 0, 8, 8, {0, 0}, false},
    {"many_gaps", {QUIET, .gap_share = 0.3}, 60, 50, 0, 0, 8, 8, {0, 0}, false},
    {"outliers", {QUIET, .outlier_share = 0.02}, 60, 50, 0, 0, 8, 8, {0, 0}, false},
    {"outliers_raw", {QUIET, .outlier_share = 0.02}, 60, 50, 0, 0, 8, 8, {0, 0}, true},
    {"unsettled", {QUIET, .unsettled_mm = 30, .unsettled_s = 4}, 60, 50, 0, 0, 0, 0, {0, 0}, false},
    {"never_settled",
     {QUIET, .unsettled_mm = -45, .unsettled_s = 25},
     40,
     50,
     0,
     0,
     0,
     0,
     {0, 0},
     false},
    {"creeps", {QUIET, .creep_mm_per_min = -9}, 120, 50, 0, 0, 10, 10, {0, 0}, false},
    {"creeps_little", {QUIET, .creep_mm_per_min = 3}, 120, 50, 0, 0, 0, 0, {0, 0}, false},
    {"step_up", {QUIET}, 90, 50, 14, 41.3, 8, INFINITY, {0, 0}, false},
    {"step_down", {QUIET}, 60, 50, -18, 20, INFINITY, 8, {0, 0}, false},
    {"marked", {QUIET}, 90, 50, 0, 0, 5, 5, {30, 41.5}, false},
    {"marked_start", {QUIET}, 60, 50, 0, 0, 5, 5, {0, 12}, false},
    {"wanders",
     {.breathing_mm = 5,
      .breathing_hz = .3,
      .bob_mm = 1,
      .bob_hz = 2.2,
      .wander_mm = 6,
      .wander_s = 9,
      .noise_mm = 1},
     180,
     50,
     0,
     0,
     4,
     4,
     {0, 0},
     false},
    {"nearly_still",
     {.wander_mm = 0.2, .wander_s = 1, .noise_mm = 0.3},
     60,
     50,
     0,
     0,
     2,
     2,
     {0, 0},
     false},
    {"four_rows", {QUIET}, 80, 50, 0, 0, 5, 5, {0, 0}, false},
    {"glance", {QUIET}, 60, 50, 30, 40, 5, 5, {40.5, 41}, false},
    {"at_the_end", {QUIET}, 60, 50, 15, 57, 5, 5, {0, 0}, false},
    {"five_minutes", {QUIET}, 310, 25, -13, 200, 6, 9, {0, 0}, false},
    {"long", {QUIET, .creep_mm_per_min = -2}, 480, 25, 12, 300, 6, 9, {100, 130}, false},
};
enum { MADE = sizeof made / sizeof made[0] };

static struct simulated hold, other;

static struct hold_input make(const struct made_hold *of, unsigned seed, struct simulated *into)
{
    struct random_source random;
    random_seed(&random, seed);
    simulate_hold(&random, &of->rider, 900.0, of->duration_s, of->rate_hz, into);
    for (size_t i = 0; of->step_at_s > 0.0 && i < into->count; i++) {
        into->height_mm[i] += into->time_s[i] >= of->step_at_s ? of->step_mm : 0.0;
    }
    struct hold_input input = simulated_input(into);
    input.cuts = &of->cut;
    input.cut_count = of->cut.to_s > 0.0;
    return input;
}

static struct hold_settings settings_of(const struct made_hold *of)
{
    bool band = of->above_mm > 0.0;
    return (struct hold_settings){.has_target = band,
                                  .target_mm = 900.0,
                                  .has_band = band,
                                  .cue = {of->above_mm, of->below_mm, 1.0, 0.2, 0.7, 0.5, 0.5},
                                  .raw = of->raw};
}

static double number_of(const struct hold_measure *measure, const struct hold_summary *summary)
{
    switch (measure->member.kind) {
    case MEMBER_NUMBER:
        return member_number(measure->member, summary);
    case MEMBER_YES:
        return member_yes(measure->member, summary);
    default:
        return (double)member_integer(measure->member, summary);
    }
}

START_TEST(summaries)
{
    outcome_begin("measure-holds");
    for (unsigned m = 0; m < MADE; m++) {
        struct hold_input input = make(&made[m], 100 + m, &hold);
        struct hold_settings settings = settings_of(&made[m]);
        struct hold_summary summary;
        outcome_of("%s", made[m].name);
        outcome_text("status",
                     measure_status_sentence(hold_summarise(&input, &settings, &summary)));
        for (int i = 0; i < hold_measure_count; i++) {
            if (hold_measure_there(&hold_measures[i], &summary)) {
                outcome_number(hold_measures[i].key, number_of(&hold_measures[i], &summary));
            }
        }
        double step_mm = 0.0;
        if (hold_step_at(&input, made[m].duration_s / 3.0, &step_mm) == MEASURE_OK) {
            outcome_number("moved_at_a_third_mm", step_mm);
        }
    }
    outcome_end();
}
END_TEST

/* Two channels at once. */
START_TEST(pairs)
{
    outcome_begin("measure-pairs");
    for (unsigned m = 0; m < MADE; m++) {
        struct hold_input x = make(&made[m], 200 + m, &hold), y = make(&made[m], 300 + m, &other);
        struct ellipse ellipse;
        outcome_of("%s", made[m].name);
        enum measure_status status = hold_pair(&x, &y, &ellipse);
        outcome_text("status", measure_status_sentence(status));
        if (status == MEASURE_OK) {
            outcome_number("count", (double)ellipse.count);
            outcome_number("mean_x", ellipse.mean_x);
            outcome_number("mean_y", ellipse.mean_y);
            outcome_number("cov_xy", ellipse.cov_xy);
            outcome_number("scale", ellipse.scale);
            outcome_number("area", ellipse.area);
            outcome_number("semi_major", ellipse.semi_major);
            outcome_number("semi_minor", ellipse.semi_minor);
            outcome_number("angle_deg", ellipse.angle_deg);
            outcome_number("correlation", ellipse.correlation);
        }
    }
    outcome_end();
}
END_TEST

static void pin_row(const struct minute_row *row)
{
    outcome_number("from_s", row->from_s);
    outcome_number("to_s", row->to_s);
    outcome_number("seen_s", row->seen_s);
    outcome_number("up_s", row->up_s);
    outcome_number("mean_mm", row->mean_mm);
    outcome_number("in_band_share", row->in_band_share);
    outcome_number("cues", row->cues);
}

START_TEST(by_the_minute)
{
    outcome_begin("measure-minutes");
    for (unsigned m = 0; m < MADE; m++) {
        struct hold_input input = make(&made[m], 400 + m, &hold);
        struct hold_settings settings = settings_of(&made[m]);
        struct minute_row row[60];
        struct minutes_course course;
        size_t rows = minutes_make(&input, &settings, 20.0, row, 60);
        for (size_t r = 0; r < rows; r++) {
            outcome_of("%s.row%zu", made[m].name, r);
            pin_row(&row[r]);
        }
        minutes_course(row, rows, &course);
        outcome_of("%s", made[m].name);
        outcome_number("has_trend", course.has_trend);
        if (course.has_trend) {
            outcome_number("trend_mm_per_h", course.trend_mm_per_h);
            outcome_number("trend_low", course.trend_low);
            outcome_number("trend_high", course.trend_high);
        }
        for (int q = 0; rows >= 4 && q < 4; q++) {
            outcome_of("%s.quarter%d", made[m].name, q);
            pin_row(&course.quarter[q]);
        }
    }
    outcome_end();
}
END_TEST

/* What a capture says of the level, and which bands are proposed for it. */
START_TEST(captures)
{
    outcome_begin("measure-captures");
    for (unsigned m = 0; m < MADE; m++) {
        struct hold_input input = make(&made[m], 500 + m, &hold);
        struct cue_settings cue = settings_of(&made[0]).cue;
        struct band_proposal proposal[BAND_PROPOSALS_MAX];
        struct wander_estimate wander;
        outcome_of("%s", made[m].name);
        enum measure_status status = wander_estimate(input.time_s, input.height_mm, input.count,
                                                     1.0, input.duration_s - 0.5, &wander);
        outcome_text("wander", measure_status_sentence(status));
        if (status == MEASURE_OK) {
            outcome_number("mean_mm", wander.mean_mm);
            outcome_number("half_width_mm", wander.half_width_mm);
            outcome_number("error_mm", wander.error_mm);
            outcome_number("half_width_after_90_s", wander_half_width_after(&wander, 90.0));
            outcome_number("error_of_45_s", wander_error_of(&wander, 45.0));
        }
        int proposals = band_propose(&input, 902.0, 5.0, &cue, proposal);
        outcome_number("proposals", proposals);
        for (int p = 0; p < proposals; p++) {
            outcome_of("%s.band%d", made[m].name, p);
            outcome_number("above_mm", proposal[p].above_mm);
            outcome_number("below_mm", proposal[p].below_mm);
            outcome_number("cues_per_min", proposal[p].cues_per_min);
            outcome_number("in_band_share", proposal[p].in_band_share);
            outcome_number("suggested", proposal[p].suggested);
            outcome_text("words", proposal[p].words != NULL ? proposal[p].words : "-");
        }
    }
    outcome_end();
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("outcome_holds");
    TCase *tests = tcase_create("outcome_holds");
    tcase_set_timeout(tests, 60);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, summaries);
    tcase_add_test(tests, pairs);
    tcase_add_test(tests, by_the_minute);
    tcase_add_test(tests, captures);
    return test_main(suite);
}
