/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/json_reader.h"
#include "support/program.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* holdline plan, run as a user runs it. */

static const char *folder;

static void begin(void)
{
    folder = program_folder();
}

static void end(void)
{
    program_folder_remove(folder);
}

#define RUN(...) program_run(folder, NULL, (const char *const[]){"plan", __VA_ARGS__, NULL})

static double number(const struct json_value *value, const char *path)
{
    return json_number_at(value, path);
}

/* Setups hold by hold, as '1 1 2 2'. */
static const char *order_of(const struct json_value *plan, char *text, size_t size)
{
    const struct json_value *setups = json_at(plan, "setups");
    size_t used = 0;
    text[0] = '\0';
    for (size_t i = 0; i < setups->count; i++) {
        char path[40];
        snprintf(path, sizeof path, "setups/%zu", i);
        used += (size_t)snprintf(text + used, size - used, "%s%.0f", i == 0 ? "" : " ",
                                 json_number_at(plan, path));
    }
    return text;
}

/* Minutes by hand: ride in 2, a hold 1, a rest 0.75 between holds of a build, a change 5 and riding
 * in again 2, a rating 0.5 a setup. A A B B A A: 2 + 6*1 + 2*(5+2) + 3*0.75 + 2*0.5 = 25.25. B
 * stands in the middle of A, so the means of both their places are 3.5: order index 0. */
START_TEST(a_plan_for_two_setups)
{
    struct program_result result = RUN("--setups", "2", "--minutes", "28", "--json", "--hold", "1");
    struct json_value *json = program_json(&result, 0);
    char order[256];
    ck_assert_str_eq(json_text_at(json, "format"), "holdline-plan");
    ck_assert_str_eq(order_of(json_at(json, "chosen"), order, sizeof order), "1 1 2 2 1 1");
    ck_assert_double_eq_tol(number(json, "chosen/minutes"), 25.25, 1e-12);
    ck_assert_double_eq_tol(number(json, "chosen/order_index"), 0.0, 1e-12);
    ck_assert_double_eq(number(json, "chosen/builds"), 3);
    ck_assert_double_eq(number(json, "difference_mm"), 10);
    json_free(json);
    program_free(&result);
}
END_TEST

/* Order index of A A B B C C A A: 0.10, worked by hand, to two digits; of a mirror 0. */
START_TEST(rows_and_mirrors)
{
    struct program_result result = RUN("--minutes", "38", "--json", "--hold", "1");
    struct json_value *json = program_json(&result, 0);
    char order[256];
    ck_assert_str_eq(order_of(json_at(json, "chosen"), order, sizeof order), "1 1 2 2 3 3 1 1");
    ck_assert_double_eq_tol(number(json, "chosen/order_index"), 0.10, 0.005);
    /* 2 + 3*7 + 8 + 4*0.75 + 3*0.5 */
    ck_assert_double_eq_tol(number(json, "chosen/minutes"), 35.5, 1e-12);
    json_free(json);
    program_free(&result);
    result = RUN("--quick", "--minutes", "25", "--json", "--hold", "1");
    json = program_json(&result, 0);
    ck_assert_str_eq(order_of(json_at(json, "chosen"), order, sizeof order), "1 2 3 3 2 1");
    ck_assert_double_eq_tol(number(json, "chosen/order_index"), 0.0, 1e-12);
    /* 2 + 4 changes of 1 and 2 + 6 + 0.75 + 3*0.5 */
    ck_assert_double_eq_tol(number(json, "chosen/minutes"), 22.25, 1e-12);
    json_free(json);
    program_free(&result);
}
END_TEST

/* A A A B B B A A A on what nothing moves: the first has 6 holds, the second 3, and B stands in the
 * middle, so that taking the order out costs a degree of freedom and no more: 9 - 2 - 1 = 6. The
 * standard error is 4 sqrt(1/6 + 1/3); the power is that of the t test, here summed over the
 * distribution of the SD. */
static double power_by_sum(double noncentrality, double df, double t)
{
    double sum = 0.0, weight = 0.0;
    for (double s = 0.0005; s < 6.0; s += 0.001) { /* s: SD found over SD true */
        double density = exp(df * log(s) - 0.5 * df * s * s) / s;
        double reach = 0.5 * erfc((t * s - noncentrality) / sqrt(2.0)) +
                       0.5 * erfc((t * s + noncentrality) / sqrt(2.0));
        sum += density * reach;
        weight += density;
    }
    return sum / weight;
}

START_TEST(power_is_that_of_the_t_test)
{
    struct program_result result =
        RUN("--setups", "2", "--tie", "fixed", "--minutes", "32", "--json", "--hold", "1");
    struct json_value *json = program_json(&result, 0);
    const double t_975_6 = 2.446911851; /* Student's t, tables */
    ck_assert_double_eq(number(json, "chosen/rounds"), 3);
    ck_assert_double_eq(number(json, "chosen/df"), 6);
    ck_assert_double_eq_tol(number(json, "chosen/power"),
                            power_by_sum(10.0 / (4.0 * sqrt(0.5)), 6.0, t_975_6), 1e-6);
    ck_assert_double_eq_tol(number(json, "chosen/half_width_mm"), t_975_6 * 4.0 * sqrt(0.5), 1e-6);
    json_free(json);
    program_free(&result);
}
END_TEST

START_TEST(words_for_a_fitter)
{
    struct program_result result = RUN("--minutes", "38", "--hold", "1");
    ck_assert_msg(result.status == 0, "%s", result.errors);
    ck_assert_ptr_nonnull(strstr(result.output, "difference of 10 mm from the first of 3 setups in "
                                                "38 minutes"));
    ck_assert_ptr_nonnull(strstr(result.output, "this one"));
    ck_assert_ptr_nonnull(strstr(result.output, "too long"));
    ck_assert_ptr_nonnull(strstr(result.output, "Ride 2 holds a build."));
    ck_assert_ptr_nonnull(strstr(result.output, "as it is, ride in, 2 holds, rating"));
    program_free(&result);
    result = RUN("--minutes", "25", "--hold", "1");
    ck_assert_int_eq(result.status, 0);
    ck_assert_ptr_nonnull(strstr(result.output, "Nothing fits: the shortest takes 29 minutes. 2 "
                                                "setups would fit"));
    program_free(&result);
    result = RUN("--minutes", "10", "--hold", "1");
    ck_assert_ptr_nonnull(strstr(result.output, "two setups would not fit"));
    program_free(&result);
    result = RUN("--sd", "40", "--hold", "1");
    ck_assert_ptr_nonnull(strstr(result.output, "No number of holds up to 8"));
    program_free(&result);
}
END_TEST

START_TEST(wrong_use_is_told)
{
    static const char *const wrong[][4] = {
        {"--difference", "0", NULL}, {"--setups", "1", NULL}, {"--setups", "2.5", NULL},
        {"--minutes", "nan", NULL},  {"--sd", "-4", NULL},    {"--tie", "string", NULL},
        {"something", NULL},         {"--hold", "1e9", NULL}, {"--unknown", NULL},
    };
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        struct program_result result = program_run(
            folder, NULL, (const char *const[]){"plan", wrong[i][0], wrong[i][1], NULL});
        ck_assert_msg(result.status == 2, "plan %s: %d", wrong[i][0], result.status);
        ck_assert_str_ne(result.errors, "");
        ck_assert_str_eq(result.output, "");
        program_free(&result);
    }
    struct program_result result = RUN("--sd", "3", "--from", "last");
    ck_assert_int_eq(result.status, 2);
    program_free(&result);
    result = RUN("--from", "last", "--store", "none.db");
    ck_assert_int_eq(result.status, 1);
    program_free(&result);
}
END_TEST

/* The SD of an earlier session is its own repeatability: that of the channel that repeats worst. */
START_TEST(an_earlier_session_says_how_holds_repeat)
{
    char sessions[512], store[512];
    snprintf(sessions, sizeof sessions, "%s", source_path("sessions"));
    snprintf(store, sizeof store, "%s/plan.db", folder);
    struct program_result result =
        program_run(sessions, NULL,
                    (const char *const[]){"run", "spacers-out.session", "--store", store, NULL});
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
    result =
        program_run(folder, NULL,
                    (const char *const[]){"compare", "last", "--store", "plan.db", "--json", NULL});
    struct json_value *comparison = program_json(&result, 0);
    program_free(&result);
    double worst = fmax(number(comparison, "comparison/free_heights/0/repeatability"),
                        number(comparison, "comparison/free_heights/1/repeatability"));
    result = RUN("--from", "last", "--store", "plan.db", "--json");
    ck_assert_double_gt(worst, 0.0);
    struct json_value *plan = program_json(&result, 0);
    ck_assert_double_eq(number(plan, "hold_sd_mm"), worst);
    json_free(plan);
    json_free(comparison);
    program_free(&result);
}
END_TEST

/* The same session's next setup: all spacers came out, which lowered; whatever limits are typed, no
 * more of them can. */
START_TEST(limits_entered_hold_the_suggestion)
{
    char sessions[512], store[512];
    snprintf(sessions, sizeof sessions, "%s", source_path("sessions"));
    snprintf(store, sizeof store, "%s/next.db", folder);
    struct program_result result =
        program_run(sessions, NULL,
                    (const char *const[]){"run", "spacers-out.session", "--store", store, NULL});
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
    static const char *const limits[] = {"spacers=0..20", "spacers=20", "pad_rise=60..65"};
    for (int i = 0; i < 3; i++) {
        result = program_run(folder, NULL,
                             (const char *const[]){"compare", "last", "--store", "next.db",
                                                   "--json", "--limit", limits[i], NULL});
        struct json_value *json = program_json(&result, 0);
        ck_assert_str_eq(json_text_at(json, "insight/steps/suggestion/purpose"), "none");
        const char *reason = json_text_at(json, "insight/steps/suggestion/reason");
        ck_assert_msg(strstr(reason, "no single step") != NULL, "%s: %s", limits[i], reason);
        json_free(json);
        program_free(&result);
    }
    result = program_run(
        folder, NULL,
        (const char *const[]){"show", "last", "--store", "next.db", "--limit", "wings=3", NULL});
    ck_assert_int_eq(result.status, 2);
    program_free(&result);
    result = program_run(folder, NULL, (const char *const[]){"list", "--limit", "spacers=3", NULL});
    ck_assert_int_eq(result.status, 2);
    program_free(&result);
}
END_TEST

/* The design's table, computed apart: 8 runs each at 1.2 % find 1.8 %. */
START_TEST(a_plan_of_runs)
{
    struct program_result result = RUN("--drag", "--json");
    struct json_value *json = program_json(&result, 0);
    ck_assert_str_eq(json_text_at(json, "format"), "holdline-plan-of-runs");
    ck_assert_double_eq(number(json, "runs_of_each/3"), 8);
    ck_assert_double_eq(number(json, "places/1/run_sd_percent"), 1.2);
    ck_assert_double_eq_tol(number(json, "places/1/found_percent/3"), 1.8, .05);
    json_free(json);
    program_free(&result);
    result = RUN("--drag");
    ck_assert_int_eq(result.status, 0);
    ck_assert_ptr_nonnull(strstr(result.output, "too few"));
    ck_assert_ptr_nonnull(strstr(result.output, "A B B A"));
    program_free(&result);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("plan");
    TCase *plans = tcase_create("plans");
    tcase_add_checked_fixture(plans, begin, end);
    tcase_set_timeout(plans, 60);
    tcase_add_test(plans, a_plan_for_two_setups);
    tcase_add_test(plans, rows_and_mirrors);
    tcase_add_test(plans, power_is_that_of_the_t_test);
    tcase_add_test(plans, words_for_a_fitter);
    tcase_add_test(plans, a_plan_of_runs);
    tcase_add_test(plans, wrong_use_is_told);
    tcase_add_test(plans, an_earlier_session_says_how_holds_repeat);
    tcase_add_test(plans, limits_entered_hold_the_suggestion);
    suite_add_tcase(suite, plans);
    return test_main(suite);
}
