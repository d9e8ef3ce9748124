/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What the measures make of many small made-up inputs. */
#include "made_input.h"

#include "measure/censored_line.h"
#include "measure/ellipse.h"
#include "measure/exact_tests.h"
#include "measure/hampel.h"
#include "measure/moderated.h"
#include "measure/random_effects.h"
#include "measure/range_calibration.h"
#include "measure/statistics.h"
#include "measure/steps.h"
#include "measure/tradeoff.h"
#include "measure/york.h"

START_TEST(arrays)
{
    random_seed(&source, 31);
    outcome_begin("measure-arrays");
    for (int n = 0; n < 24; n++) {
        struct line_fit line;
        double mean = 0.0, sd = 0.0, lag = 0.0, quantile = 0.0, mad = 0.0, slope = 0.0;
        outcome_of("array%d", n);
        grid(value, n, 0.5, 5 + n);
        grid(other, n, 1.0, 7);
        if (pin_status(statistics_mean_sd(value, (size_t)n, &mean, &sd))) {
            outcome_number("mean", mean);
            outcome_number("sd", sd);
        }
        if (pin_status(statistics_autocorrelation(value, (size_t)n, &lag))) {
            outcome_number("lag_1", lag);
        }
        if (pin_status(statistics_line(other, value, (size_t)n, &line))) {
            outcome_number("intercept", line.intercept);
            outcome_number("slope", line.slope);
            outcome_number("slope_se", line.slope_se);
            outcome_number("residual_sd", line.residual_sd);
        }
        if (pin_status(statistics_theil_sen(other, value, (size_t)n, &slope))) {
            outcome_number("robust", slope);
        }
        if (pin_status(statistics_quantile(value, (size_t)n, 0.3, &quantile))) {
            outcome_number("quantile", quantile);
        }
        if (pin_status(statistics_mad(value, (size_t)n, &quantile, &mad))) {
            outcome_number("median", quantile);
            outcome_number("mad", mad);
        }
    }
    for (int i = 0; i < 900; i++) { /* more than the slopes of all pairs are taken of */
        int tens = i / 10;
        time_s[i] = tens;
    }
    noise(value, 900, 5.0, 2.0, 0.1);
    double slope = 0.0;
    outcome_of("long");
    if (pin_status(statistics_theil_sen(time_s, value, 900, &slope))) {
        outcome_number("robust", slope);
    }
    outcome_end();
}
END_TEST

START_TEST(ranks_and_trends)
{
    random_seed(&source, 32);
    outcome_begin("measure-ranks");
    for (int n = 1; n <= 10; n++) {
        for (int m = 1; m <= 4; m++) {
            double u = 0.0, p = 0.0;
            int s = 0;
            struct trend trend;
            outcome_of("rank%d.%d", n, m);
            grid(value, n, 1.0, 4 + m);
            grid(other, m, 1.0, 4 + m);
            if (pin_status(mann_whitney(value, (size_t)n, other, (size_t)m, &u, &p))) {
                outcome_number("u", u);
                outcome_number("upper_p", p);
            }
            if (pin_status(kendall_rising(value, (size_t)n, &s, &p))) {
                outcome_number("s", s);
                outcome_number("rising_p", p);
            }
            for (int i = 0; i < n; i++) {
                time_s[i] = i + (i > 3 ? m : 0);
            }
            if (pin_status(trend_of(time_s, value, (size_t)n, &trend))) {
                outcome_number("slope", trend.slope);
                outcome_number("low", trend.low);
                outcome_number("high", trend.high);
                outcome_number("trend_s", trend.s);
                outcome_number("falling_p", trend.falling_p);
            }
        }
    }
    outcome_end();
}
END_TEST

START_TEST(lines)
{
    random_seed(&source, 33);
    outcome_begin("measure-lines");
    for (int n = 2; n < 16; n++) {
        bool at_least[16];
        struct censored_line censored;
        struct york_point point[16];
        struct york_line york;
        struct range_calibration calibration;
        outcome_of("line%d", n);
        for (int i = 0; i < n; i++) {
            int together = i / (1 + n % 3);
            time_s[i] = together;
            value[i] = 2.0 + 0.5 * i + 0.5 * any(5);
            at_least[i] = n > 5 && any(4) == 0;
            point[i] = (struct york_point){time_s[i], value[i], 0.1 * (1 + any(3)),
                                           0.2 * (1 + any(3)), n % 4 == 0 ? 0.3 : 0.0};
            other[i] = 200.0 * (i % 4) + 100.0;
            value[i] = value[i] + 0.0;
        }
        if (pin_status(censored_line_fit(time_s, value, at_least, (size_t)n, &censored))) {
            outcome_number("intercept", censored.intercept);
            outcome_number("slope", censored.slope);
            outcome_number("sd", censored.sd);
            outcome_number("intercept_se", censored.intercept_se);
            outcome_number("slope_se", censored.slope_se);
            outcome_number("sd_se", censored.sd_se);
            outcome_number("log_likelihood", censored.log_likelihood);
            outcome_number("seen", (double)censored.seen);
            outcome_number("half_width", censored_line_slope_half_width(&censored));
        }
        if (pin_status(york_fit(point, (size_t)n, &york))) {
            outcome_number("york.intercept", york.intercept);
            outcome_number("york.slope", york.slope);
            outcome_number("york.intercept_se", york.intercept_se);
            outcome_number("york.slope_se", york.slope_se);
            outcome_number("york.squares", york.squares);
            outcome_number("york.half_width", york.slope_half_width);
        }
        for (int i = 0; i < n; i++) {
            value[i] = 1.01 * other[i] + 3.0 + 0.5 * (any(5) - 2);
        }
        if (pin_status(calibration_fit(other, value, (size_t)n, &calibration))) {
            outcome_number("calibration.gain", calibration.gain);
            outcome_number("calibration.offset_mm", calibration.offset_mm);
            outcome_number("calibration.residual", calibration.residual_sd_mm);
            outcome_number("calibration.slope_u", calibration.slope_u);
            outcome_number("calibration.worst", calibration.worst_residual_mm);
            outcome_number("calibration.lack",
                           calibration.has_lack_of_fit ? calibration.lack_of_fit_p : -1.0);
        }
    }
    outcome_end();
}
END_TEST

START_TEST(groups)
{
    random_seed(&source, 34);
    outcome_begin("measure-groups");
    for (int n = 1; n <= 20; n++) {
        int group[20];
        struct random_effects fit;
        struct spread spread[20], expected;
        double variance[20];
        for (int i = 0; i < n; i++) {
            value[i] = 0.5 * any(20);
            variance[i] = n % 5 == 0 ? 0.01 : 0.25 * (1 + any(4));
            group[i] = any(1 + n / 5);
            other[i] = i + 1;
            spread[i] = (struct spread){0.5 * (1 + any(8)), 1 + any(5)};
        }
        struct random_effects_input input = {value, variance, n % 3 == 0 ? NULL : group,
                                             n % 2 == 0 ? other : NULL, (size_t)n};
        outcome_of("group%d", n);
        if (pin_status(random_effects_fit(&input, &fit))) {
            outcome_number("tau2", fit.tau2);
            outcome_number("df", fit.df);
            outcome_number("scale", fit.scale);
            outcome_number("slope", fit.slope);
            outcome_number("slope_weight", fit.slope_weight);
            for (int against = -1; against < 3; against++) {
                struct random_effects_estimate estimate;
                if (pin_status(random_effects_estimate(&fit, 0, against, &estimate))) {
                    outcome_number("value", estimate.value);
                    outcome_number("se", estimate.se);
                    outcome_number("se_modified", estimate.se_modified);
                    outcome_number("half_width", estimate.half_width);
                }
            }
        }
        if (spread_expected(spread, n, &expected)) {
            outcome_number("expected", expected.variance);
            outcome_number("expected.df", expected.df);
        }
        expected = spread_of_rider(spread, n, n % 2 == 0 ? 8.0 : (double)INFINITY);
        outcome_number("rider", expected.variance);
        outcome_number("rider.df", expected.df);
        expected = spread_together(spread[0], spread[n - 1]);
        outcome_number("together", expected.variance);
        outcome_number("together.df", expected.df);
    }
    outcome_end();
}
END_TEST

START_TEST(outliers)
{
    random_seed(&source, 37);
    outcome_begin("measure-outliers");
    for (int n = 0; n < 40; n++) {
        uint8_t reject[120];
        char text[121];
        int count = 3 * n;
        noise(value, count, 10.0, 1.0, 0.5);
        for (int i = 0; i < count; i++) {
            value[i] += any(12) == 0 ? 2.0 * any(6) : 0.0;
        }
        struct hampel_settings settings = {(size_t)(1 + n % 8), 3.0, n % 3 ? 0.5 : 0.0,
                                           n % 2 ? 6.0 : (double)INFINITY};
        outcome_of("outlier%d", n);
        if (pin_status(hampel_reject(value, (size_t)count, &settings, reject, other, time_s))) {
            double medians = 0.0, scales = 0.0;
            for (int i = 0; i < count; i++) {
                text[i] = reject[i] ? '!' : '.';
                medians += other[i] * (1 + i % 7);
                scales += time_s[i] * (1 + i % 7);
            }
            text[count] = '\0';
            outcome_text("rejected", text);
            outcome_number("medians", count >= 3 ? medians : 0.0);
            outcome_number("scales", count >= 3 ? scales : 0.0);
        }
    }
    outcome_end();
}
END_TEST

START_TEST(clouds)
{
    random_seed(&source, 38);
    outcome_begin("measure-clouds");
    static struct ellipse ellipses[12];
    for (int n = 0; n < 12; n++) {
        struct ellipse *ellipse = &ellipses[n];
        struct ellipse pool;
        int count = 2 + n;
        grid(value, count, 1.0, 9);
        grid(other, count, 1.0, n == 7 ? 1 : 5);
        for (int i = 0; i < count; i++) {
            other[i] += n % 3 == 1 ? value[i] : 0.0;
        }
        outcome_of("cloud%d", n);
        bool there = pin_status(ellipse_95(value, other, (size_t)count, ellipse));
        if (!there) {
            *ellipse = n > 0 ? ellipses[n - 1] : (struct ellipse){.count = 0};
        }
        outcome_number("area", ellipse->area);
        outcome_number("semi_major", ellipse->semi_major);
        outcome_number("semi_minor", ellipse->semi_minor);
        outcome_number("angle_deg", ellipse->angle_deg);
        outcome_number("correlation", ellipse->correlation);
        if (n > 3 && pin_status(ellipse_pool(&ellipses[2], n - 2, &pool))) {
            outcome_number("pool.count", (double)pool.count);
            outcome_number("pool.mean_x", pool.mean_x);
            outcome_number("pool.cov_xy", pool.cov_xy);
            outcome_number("pool.area", pool.area);
        }
    }
    outcome_end();
}
END_TEST

static void pin_steps(const struct steps *steps, int factors)
{
    for (int f = 0; f < factors; f++) {
        const struct steps_factor *factor = &steps->factor[f];
        outcome_number("state", factor->state);
        outcome_number("per_unit", factor->state == STEPS_KNOWN ? factor->per_unit : 0.0);
        outcome_number("half", factor->state == STEPS_KNOWN ? factor->half_width : 0.0);
    }
    outcome_number("df", steps->df);
    outcome_number("widened", steps->widened);
    outcome_number("change_alone", steps->change_alone);
}

START_TEST(parts_that_were_changed)
{
    random_seed(&source, 39);
    outcome_begin("measure-steps");
    for (int n = 0; n < 40; n++) {
        struct steps_setup setup[8] = {{.change = {0.0}}};
        int setups = 1 + n % 8, factors = 1 + n % 4;
        struct steps steps;
        for (int s = 0; s < setups; s++) {
            setup[s].height_mm = 900.0 + any(6) - 3;
            setup[s].u_mm = 0.5 * (1 + any(3));
            for (int f = 0; s > 0 && f < factors; f++) {
                setup[s].change[f] = 10.0 * (any(3) - 1);
                setup[s].height_mm += (0.5 + 0.3 * f) * setup[s].change[f];
            }
        }
        struct steps_input input = {setup, setups, factors, n % 3 ? 6.0 : (double)INFINITY};
        outcome_of("steps%d", n);
        if (!pin_status(steps_fit(&input, &steps))) {
            continue;
        }
        pin_steps(&steps, factors);
        struct steps_limits limits = {.now = {0.0}};
        for (int f = 0; f < factors; f++) {
            limits.low[f] = -10.0 * any(3);
            limits.high[f] = 10.0 * any(3);
            limits.step[f] = n % 5 == f ? 0.0 : 10.0;
        }
        struct steps_suggestion suggestion;
        steps_suggest(&steps, &limits, &suggestion);
        outcome_number("purpose", suggestion.purpose);
        if (suggestion.purpose != STEPS_NOTHING) {
            outcome_number("factor", suggestion.factor);
            outcome_number("change", suggestion.change[suggestion.factor]);
            outcome_number("lower", suggestion.forecast.height_change_mm);
            outcome_number("lower.half", suggestion.forecast.half_width_mm);
        }
    }
    outcome_end();
}
END_TEST

START_TEST(what_no_other_beats)
{
    static const double matters[TRADEOFF_CRITERIA] = {10.0, 10.0, 1.0, 2.0, 0.1, 1.0, 1.0};
    random_seed(&source, 40);
    outcome_begin("measure-tradeoffs");
    for (int n = 0; n < 60; n++) {
        struct tradeoff_setup setup[5] = {{.sight_failed = false}};
        struct tradeoff_mark mark[5];
        int count = 2 + n % 4;
        for (int s = 0; s < count; s++) {
            setup[s].sight_failed = any(12) == 0;
            for (int c = 0; c < TRADEOFF_CRITERIA; c++) {
                setup[s].has[c] = any(8) != 0 && c >= n % 3;
                setup[s].value[c] = matters[c] * any(4);
                setup[s].se[c] = c >= TRADEOFF_DISCOMFORT || any(5) == 0 ? 0.0
                                 : any(12) == 0                          ? NAN
                                                                         : 0.25 * matters[c];
                setup[s].df[c] = 3.0 + any(9);
            }
        }
        tradeoff_mark(setup, count, matters, mark);
        for (int s = 0; s < count; s++) {
            unsigned leads = 0;
            for (int c = 0; c < TRADEOFF_CRITERIA; c++) {
                leads |= mark[s].leads[c] ? 1U << (unsigned)c : 0U;
            }
            outcome_of("tradeoff%d.%d", n, s);
            outcome_number("stands", mark[s].stands);
            outcome_number("beaten_by", mark[s].beaten_by);
            outcome_number("leads", leads);
            outcome_number("incomplete", mark[s].incomplete);
        }
    }
    outcome_end();
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("outcome_numbers");
    TCase *tests = tcase_create("outcome_numbers");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, arrays);
    tcase_add_test(tests, ranks_and_trends);
    tcase_add_test(tests, lines);
    tcase_add_test(tests, groups);
    tcase_add_test(tests, outliers);
    tcase_add_test(tests, clouds);
    tcase_add_test(tests, parts_that_were_changed);
    tcase_add_test(tests, what_no_other_beats);
    return test_main(suite);
}
