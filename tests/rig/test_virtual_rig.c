/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/virtual_rig.h"
#include "support/test_main.h"
#include "support/virtual_line.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define TWO_PI 6.28318530717958647692
#define SIN_73 0.956304756 /* head angle of the bikes here */
#define BIKE "bike stack=545 reach=410 head_angle=73 stem_length=100 stem_angle=-6 pad_rise=60 "

START_TEST(same_seed_same_bytes)
{
    struct virtual_rig *first = rig_of("winter", "seed=7");
    struct virtual_rig *again = rig_of("winter", "seed=7");
    struct virtual_rig *other = rig_of("winter", "seed=8");
    int different = 0;
    for (int i = 0; i < 5000; i++) {
        char a[VIRTUAL_RIG_BYTES];
        char b[VIRTUAL_RIG_BYTES];
        char c[VIRTUAL_RIG_BYTES];
        int64_t time_us;
        if (i == 2500) {
            tell(first, "sit free");
            tell(again, "sit free");
        }
        size_t length = virtual_rig_next(first, a, sizeof a, &time_us);
        ck_assert_uint_eq(virtual_rig_next(again, b, sizeof b, &time_us), length);
        ck_assert_mem_eq(a, b, length);
        different +=
            virtual_rig_next(other, c, sizeof c, &time_us) != length || memcmp(a, c, length) != 0;
    }
    ck_assert_int_gt(different, 4000);
    virtual_rig_destroy(first);
    virtual_rig_destroy(again);
    virtual_rig_destroy(other);
}
END_TEST

START_TEST(lines_number_and_time_run_on)
{
    struct virtual_rig *rig = rig_of("steady", "rate=40&channels=head/chest/hip");
    int headings = 0;
    int64_t start_us = 0;
    for (unsigned long i = 1; i <= 2000; i++) {
        struct line line = next_line(rig, 3);
        headings += line.heading;
        start_us = i == 1 ? line.time_us : start_us;
        ck_assert_uint_eq(line.sequence, i);
        ck_assert_int_eq(line.time_us - start_us, (int64_t)(i - 1) * 25000);
    }
    ck_assert_int_ge(headings, 5);
    virtual_rig_destroy(rig);
}
END_TEST

START_TEST(heading_says_what_is_announced)
{
    struct virtual_rig *rig = rig_of("winter", "rate=55.6&announce=50&channels=head/back");
    char bytes[VIRTUAL_RIG_BYTES];
    int64_t time_us;
    size_t length = virtual_rig_next(rig, bytes, sizeof bytes, &time_us);
    const char *wanted = "# holdline-rig 1 id=virtual rate=50 unit=mm channels=head,back\n$1,";
    ck_assert_uint_gt(length, strlen(wanted));
    ck_assert_mem_eq(bytes, wanted, strlen(wanted));
    virtual_rig_destroy(rig);
}
END_TEST

/* The range that is printed is the distance between the true body and the true sensor along the
 * beam. */
START_TEST(range_is_body_less_sensor_along_the_beam)
{
    struct virtual_rig *rig = rig_of("restless", "noise=0&quantum=0.1&missing=0&doubtful=0&"
                                                 "outliers=0&lost=0&channels=head/chest/back");
    tell(rig, BIKE "spacers=20");
    tell(rig, "mount head carrier=stand x=560 y=1320 tilt=-5 look=down");
    tell(rig, "mount back carrier=pad_bracket x=10 y=-20 tilt=15 look=up");
    tell(rig, "build");
    const double along[] = {-cos(5 * TWO_PI / 360), cos(8 * TWO_PI / 360), cos(15 * TWO_PI / 360)};
    for (int i = 0; i < 3000; i++) {
        struct line line = next_line(rig, 3);
        struct virtual_truth truth = truth_of(rig);
        for (int c = 0; c < 3; c++) {
            double range_mm = (truth.body_height_mm[c] - truth.sensor_height_mm[c]) / along[c];
            ck_assert_double_eq_tol(line.range_mm[c], range_mm, 0.0501);
        }
    }
    ck_assert_double_eq(truth_of(rig).sensor_height_mm[0], 1320); /* a stand: no error at a build */
    virtual_rig_destroy(rig);
}
END_TEST

START_TEST(body_follows_by_its_share_and_sensors_ride_on_the_bars)
{
    struct virtual_rig *rig =
        rig_of("winter", VIRTUAL_STILL "&channels=head/chest/ref&follow=0.6/0.5");
    tell(rig, BIKE "spacers=20");
    struct virtual_truth before = truth_of(rig);
    struct line line_before = next_line(rig, 3);
    tell(rig, BIKE "spacers=0");
    struct virtual_truth after = truth_of(rig);
    struct line line_after = next_line(rig, 3);
    double drop_mm = 20 * SIN_73; /* 19.13 */
    for (int c = 0; c < 2; c++) {
        double share = c == 0 ? 0.6 : 0.5;
        ck_assert_double_eq_tol(before.setup_height_mm[c] - after.setup_height_mm[c],
                                share * drop_mm, 1e-6);
        ck_assert_double_eq_tol(before.sensor_height_mm[c] - after.sensor_height_mm[c], drop_mm,
                                1e-6);
    }
    /* The head came down by 11.5, the bars by 19.1: the range grows by 7.7. */
    ck_assert_double_eq_tol(line_after.range_mm[0] - line_before.range_mm[0], 0.4 * drop_mm, 0.11);
    /* The second sensor looks down at a plate that stays. */
    ck_assert_double_eq_tol(line_after.range_mm[2] - line_before.range_mm[2], -drop_mm, 0.11);

    tell(rig, BIKE "spacers=0 pad_rise=40"); /* pads down 20: the sensors stay, the body follows */
    struct virtual_truth pads = truth_of(rig);
    ck_assert_double_eq_tol(after.setup_height_mm[0] - pads.setup_height_mm[0], 12, 1e-6);
    ck_assert_double_eq_tol(after.sensor_height_mm[0], pads.sensor_height_mm[0], 1e-6);
    virtual_rig_destroy(rig);
}
END_TEST

START_TEST(first_bike_told_is_the_one_it_has_been)
{
    struct virtual_rig *rig = rig_of("winter", VIRTUAL_STILL);
    struct line before = next_line(rig, 2);
    tell(rig, "bike \"another\" stack=600 reach=390 head_angle=72 stem_length=90 stem_angle=6 "
              "spacers=30 pad_rise=60");
    struct line after = next_line(rig, 2);
    ck_assert_double_eq_tol(after.range_mm[0], before.range_mm[0], 0.11);
    /* Sensors were fixed on the bar as it is rolled on that first bike. */
    struct virtual_rig *level = rig_of("winter", VIRTUAL_STILL);
    struct virtual_rig *rolled = rig_of("winter", VIRTUAL_STILL);
    tell(level, BIKE "spacers=20");
    tell(rolled, BIKE "spacers=20 bar_roll=4");
    ck_assert_double_eq_tol(truth_of(rolled).sensor_height_mm[0],
                            truth_of(level).sensor_height_mm[0], 1e-9);
    virtual_rig_destroy(level);
    virtual_rig_destroy(rolled);
    ck_assert_double_eq_tol(after.range_mm[1], before.range_mm[1], 0.11);
    virtual_rig_destroy(rig);
}
END_TEST

START_TEST(mount_told_again_the_same_changes_nothing)
{
    struct virtual_rig *rig = rig_of("winter", VIRTUAL_STILL);
    tell(rig, BIKE "spacers=20");
    tell(rig, "mount head carrier=base_bar x=100 y=50 tilt=2 look=up");
    tell(rig, BIKE "spacers=20 bar_roll=3");
    struct virtual_truth rolled = truth_of(rig);
    tell(rig, "mount head carrier=base_bar x=100 y=50 tilt=2 look=up");
    ck_assert_double_eq(truth_of(rig).sensor_height_mm[0], rolled.sensor_height_mm[0]);
    /* Rolled by 3 degrees the arm of 100 forward rises by about 100 sin 3. */
    tell(rig, BIKE "spacers=20");
    ck_assert_double_eq_tol(rolled.sensor_height_mm[0] - truth_of(rig).sensor_height_mm[0],
                            100 * sin(3 * TWO_PI / 360), 0.1);
    virtual_rig_destroy(rig);
}
END_TEST

START_TEST(plate_is_read_in_place_of_the_body)
{
    struct virtual_rig *rig = rig_of("restless", "noise=0&quantum=0.1&missing=0&doubtful=0&"
                                                 "outliers=0&lost=0");
    tell(rig, BIKE "spacers=10");
    tell(rig, "build");
    tell(rig, "plate 930");
    struct virtual_truth truth = truth_of(rig);
    for (int i = 0; i < 100; i++) {
        struct line line = next_line(rig, 2);
        ck_assert_double_eq_tol(line.range_mm[0], 930 - truth.sensor_height_mm[0], 0.0501);
        ck_assert_double_eq_tol(line.range_mm[1],
                                (930 - truth.sensor_height_mm[1]) / cos(8 * TWO_PI / 360), 0.0501);
    }
    tell(rig, "plate 300"); /* behind the sensors: nothing in the beam */
    ck_assert(isnan(next_line(rig, 2).range_mm[0]));
    tell(rig, "plate off");
    struct line line = next_line(rig, 2);
    ck_assert_double_eq_tol(line.range_mm[0],
                            truth_of(rig).body_height_mm[0] - truth.sensor_height_mm[0], 0.0501);
    virtual_rig_destroy(rig);
}
END_TEST

static void noise_check(double plate_mm, double wanted_mm)
{
    struct virtual_rig *rig = rig_of("steady", "missing=0&doubtful=0");
    double sensor_mm = truth_of(rig).sensor_height_mm[0];
    char line[64];
    snprintf(line, sizeof line, "plate %.3f", sensor_mm + plate_mm);
    tell(rig, line);
    double sum = 0;
    double squares = 0;
    enum { COUNT = 20000 };
    for (int i = 0; i < COUNT; i++) {
        double range_mm = next_line(rig, 2).range_mm[0];
        ck_assert_double_eq(range_mm, rint(range_mm)); /* a quantum of 1 mm */
        sum += range_mm - plate_mm;
        squares += (range_mm - plate_mm) * (range_mm - plate_mm);
    }
    ck_assert_double_eq_tol(sum / (double)COUNT, 0, 0.1);
    double variance = squares / (double)COUNT - (sum / (double)COUNT) * (sum / (double)COUNT);
    ck_assert_double_eq_tol(sqrt(variance - 1.0 / 12), wanted_mm, 0.04 * wanted_mm);
    virtual_rig_destroy(rig);
}

/* SD of range along a clean target, as seen in recordings of single-chip sensors before a fixed
 * plate. */
START_TEST(noise_grows_with_range)
{
    noise_check(100, 1.0);
    noise_check(300, 1.8);
    noise_check(400, 2.7);
}
END_TEST

START_TEST(lost_missing_and_doubtful_in_their_shares)
{
    struct virtual_rig *rig =
        rig_of("winter", "lost=0.08&missing=0.06&doubtful=0.03&outliers=0.01&noise=1&seed=4");
    enum { COUNT = 200000 };
    int lost = 0;
    int bursts = 0;
    int missing = 0;
    int doubtful = 0;
    int weak = 0;
    int outliers = 0;
    bool was_lost = false;
    double plain_mm = 0;
    for (int i = 0; i < COUNT; i++) {
        struct line line = next_line(rig, 2);
        lost += line.lost;
        bursts += line.lost && !was_lost;
        was_lost = line.lost;
        if (line.lost) {
            continue;
        }
        missing += isnan(line.range_mm[0]);
        doubtful += line.mark[0] != 0;
        weak += line.mark[0] == 'w';
        if (!isnan(line.range_mm[0]) && line.mark[0] == 0) {
            struct virtual_truth truth = truth_of(rig);
            plain_mm = truth.body_height_mm[0] - truth.sensor_height_mm[0];
            outliers += fabs(line.range_mm[0] - plain_mm) > 40;
        }
    }
    int heard = COUNT - lost;
    ck_assert_double_eq_tol((double)lost / (double)COUNT, 0.08, 0.008);
    ck_assert_double_eq_tol((double)lost / bursts, 5, 0.4);
    ck_assert_double_eq_tol((double)missing / heard, 0.06, 0.004);
    ck_assert_double_eq_tol((double)doubtful / heard, 0.03 * 0.94, 0.002);
    ck_assert_double_eq_tol((double)weak / doubtful, 0.75, 0.05);
    ck_assert_double_eq_tol((double)outliers / heard, 0.01 * 0.94, 0.001);
    virtual_rig_destroy(rig);
}
END_TEST

static const char *const wrong_lines[] = {
    "bike stack=tall",
    "bike spacers=20cm",
    "bike stack=99999",
    "mount nose carrier=base_bar",
    "mount head carrier=moon",
    "mount head tilt=200",
    "mount head look=sideways",
    "sit guided head=low",
    "sit guided head=99999",
    "plate high",
    "plate 99999",
    "bike \"open",
};

START_TEST(wrong_values_change_nothing)
{
    struct virtual_rig *rig = rig_of("winter", VIRTUAL_STILL);
    struct line before = next_line(rig, 2);
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert(!virtual_rig_tell(rig, wrong_lines[_i], &problem));
    ck_assert_int_gt((int)strlen(problem.sentence), 10);
    struct line after = next_line(rig, 2);
    ck_assert_double_eq_tol(after.range_mm[0], before.range_mm[0], 0.11);
    ck_assert_double_eq_tol(after.range_mm[1], before.range_mm[1], 0.11);
    virtual_rig_destroy(rig);
}
END_TEST

START_TEST(unknown_lines_are_passed_over)
{
    struct virtual_rig *rig = rig_of("winter", VIRTUAL_STILL);
    struct line before = next_line(rig, 2);
    tell(rig, "");
    tell(rig, "# a comment");
    tell(rig, "warm up now please");
    tell(rig, "x=1 y=2");
    struct line after = next_line(rig, 2);
    ck_assert_double_eq_tol(after.range_mm[0], before.range_mm[0], 0.11);
    virtual_rig_destroy(rig);
}
END_TEST

static const struct {
    const char *name, *parameters, *named;
} wrong_settings[] = {
    {"summer", "", "summer"},
    {"winter", "rate=0", "rate"},
    {"winter", "rate=fast", "rate"},
    {"winter", "nois=3", "nois"},
    {"winter", "channels=9", "channels"},
    {"winter", "channels=head//chest", "channels"},
    {"winter", "channels=he,ad", "channels"},
    {"winter", "follow=0.6/x", "follow"},
    {"winter", "seed=-4", "seed"},
    {"winter", "missing=1.5", "missing"},
};

START_TEST(wrong_settings_are_named)
{
    struct virtual_rig_settings settings;
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert(!virtual_rig_settings_read(wrong_settings[_i].name, wrong_settings[_i].parameters,
                                         &settings, &problem));
    ck_assert_int_eq(problem.kind, PROBLEM_USAGE);
    ck_assert_ptr_nonnull(strstr(problem.sentence, wrong_settings[_i].named));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("virtual_rig");
    TCase *tests = tcase_create("virtual_rig");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, same_seed_same_bytes);
    tcase_add_test(tests, lines_number_and_time_run_on);
    tcase_add_test(tests, heading_says_what_is_announced);
    tcase_add_test(tests, range_is_body_less_sensor_along_the_beam);
    tcase_add_test(tests, body_follows_by_its_share_and_sensors_ride_on_the_bars);
    tcase_add_test(tests, first_bike_told_is_the_one_it_has_been);
    tcase_add_test(tests, mount_told_again_the_same_changes_nothing);
    tcase_add_test(tests, plate_is_read_in_place_of_the_body);
    tcase_add_test(tests, noise_grows_with_range);
    tcase_add_test(tests, lost_missing_and_doubtful_in_their_shares);
    tcase_add_loop_test(tests, wrong_values_change_nothing, 0,
                        (int)(sizeof wrong_lines / sizeof wrong_lines[0]));
    tcase_add_test(tests, unknown_lines_are_passed_over);
    tcase_add_loop_test(tests, wrong_settings_are_named, 0,
                        (int)(sizeof wrong_settings / sizeof wrong_settings[0]));
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
