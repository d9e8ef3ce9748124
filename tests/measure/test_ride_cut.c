/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/ride_cut.h"
#include "support/made_ride.h"
#include "support/test_main.h"

#include <math.h>

/* What leaves a leg out, and the samples of one that is kept. */

/* 10 km each, but for the last of each: 4.8 % and 5.6 % longer. */
START_TEST(five_percent_of_length_are_forgiven)
{
    for (int more = 0; more < 2; more++) {
        static const int last_s[] = {1048, 1056};
        struct ride *ride = made_ride(true, false);
        for (int i = 0; i <= 3000 + last_s[more]; i++) {
            made_ride_add(ride, i, 200.0, 10.0, 10.0 * i, i < 3000 ? i / 1000 : 3);
        }
        ck_assert(ride_finish(ride));
        struct ride_cut found = made_ride_cut(ride, &made_ride_laps);
        ck_assert_uint_eq(found.kept, more == 0 ? 4 : 3);
        ride_cut_free(&found);
        ride_free(ride);
    }
}
END_TEST

/* The middle one of three laps is changed between two of its samples; what becomes of it. */
struct change {
    int from, to; /* samples, both within */
    double power_w, speed_m_s;
    enum ride_left_out expected;
};

static struct ride *changed_ride(const struct change *change)
{
    struct ride *ride = made_ride_even(180, 60);
    for (int i = change->from; i <= change->to; i++) {
        ride->power_w[i] = change->power_w;
        ride->speed_m_s[i] = change->speed_m_s;
    }
    ride->speed_made = true; /* so that distance is not held against it here */
    return ride;
}

START_TEST(no_power_and_gaps_leave_a_leg_out)
{
    static const struct change changes[] = {
        {80, 82, 0.0, 10.0, RIDE_KEPT},          /* 0 W for 3 s */
        {80, 83, 0.0, 10.0, RIDE_LEFT_NO_POWER}, /* for 4 s */
        {80, 90, 1.0, 10.0, RIDE_KEPT},          /* little is not none */
        {80, 81, NAN, 10.0, RIDE_KEPT},          /* known 3 s later */
        {80, 82, NAN, 10.0, RIDE_LEFT_GAP},      /* 4 s later */
        {80, 82, 200.0, NAN, RIDE_LEFT_GAP},     /* the same of speed */
        {117, 119, NAN, 10.0, RIDE_LEFT_GAP},    /* at its end */
        {40, 44, 0.0, 10.0, RIDE_KEPT},          /* in the lap before */
    };
    for (size_t i = 0; i < sizeof changes / sizeof changes[0]; i++) {
        struct ride *ride = changed_ride(&changes[i]);
        struct ride_cut found = made_ride_cut(ride, &made_ride_laps);
        ck_assert_msg(found.leg[1].left_out == changes[i].expected, "%zu: %s", i,
                      ride_left_out_text(found.leg[1].left_out));
        ck_assert_uint_eq(found.left_out[changes[i].expected] > 0, 1);
        if (changes[i].expected == RIDE_LEFT_NO_POWER) {
            ck_assert_double_eq(found.leg[1].left_out_at_s, 80.0);
        }
        if (changes[i].expected == RIDE_LEFT_GAP) {
            ck_assert_double_eq(found.leg[1].left_out_at_s, changes[i].from - 1.0);
        }
        ride_cut_free(&found);
        ride_free(ride);
    }
}
END_TEST

/* The lap begins at 60 s: what was known before it counts, as long as it holds. */
START_TEST(a_gap_over_a_border_is_of_both)
{
    static const struct change changes[] = {
        {59, 60, NAN, 10.0, RIDE_KEPT},     /* known at 58 and 61 */
        {59, 61, NAN, 10.0, RIDE_LEFT_GAP}, /* and at 62 */
        {57, 60, NAN, 10.0, RIDE_LEFT_GAP},
        {56, 59, NAN, 10.0, RIDE_KEPT}, /* all before it, and known as it begins */
    };
    for (size_t i = 0; i < sizeof changes / sizeof changes[0]; i++) {
        struct ride *ride = changed_ride(&changes[i]);
        struct ride_cut found = made_ride_cut(ride, &made_ride_laps);
        ck_assert_msg(found.leg[1].left_out == changes[i].expected, "%zu: %s", i,
                      ride_left_out_text(found.leg[1].left_out));
        ck_assert_int_eq(found.leg[0].left_out, i == 0 ? RIDE_KEPT : RIDE_LEFT_GAP);
        if (changes[i].expected == RIDE_LEFT_GAP) {
            ck_assert_double_eq(found.leg[1].left_out_at_s, 60.0);
        }
        ride_cut_free(&found);
        ride_free(ride);
    }
}
END_TEST

/* 300 m and 600 m: neither is the course. */
START_TEST(two_lengths_are_no_course)
{
    struct ride *ride = made_ride(true, false);
    for (int i = 0; i <= 90; i++) {
        made_ride_add(ride, i, 200.0, 10.0, 10.0 * i, i < 30 ? 1 : 2);
    }
    ck_assert(ride_finish(ride));
    struct ride_cut found = made_ride_cut(ride, &made_ride_laps);
    ck_assert_uint_eq(found.kept, 0);
    ck_assert_uint_eq(found.left_out[RIDE_LEFT_OTHER_LENGTH], 2);
    ride_cut_free(&found);
    ride_free(ride);
}
END_TEST

/* Samples that are missing altogether: between two of them 3 s, and 3.2 s. */
START_TEST(missing_samples_are_a_gap)
{
    for (int more = 0; more < 2; more++) {
        struct ride *ride = made_ride(true, false);
        for (int i = 0; i <= 180; i++) {
            if (i < 80 || i >= 82) {
                double at_s = i < 80 ? i : i + 0.2 * more;
                int lap = i / 60;
                made_ride_add(ride, at_s, 200.0, 10.0, 10.0 * at_s, lap);
            }
        }
        ck_assert(ride_finish(ride));
        struct ride_cut found = made_ride_cut(ride, &made_ride_laps);
        ck_assert_int_eq(found.leg[1].left_out, more == 0 ? RIDE_KEPT : RIDE_LEFT_GAP);
        ck_assert_uint_eq(found.kept, more == 0 ? 3 : 2);
        ride_cut_free(&found);
        ride_free(ride);
    }
}
END_TEST

/* No power from one sample to the one 3 s later, and 3.2 s later. */
START_TEST(three_seconds_without_power_are_forgiven)
{
    for (int more = 0; more < 2; more++) {
        struct ride *ride = made_ride(true, false);
        for (int i = 0; i <= 180; i++) {
            double at_s = i < 83 ? i : i + 0.2 * more;
            int lap = i / 60;
            made_ride_add(ride, at_s, i >= 80 && i < 83 ? 0.0 : 200.0, 10.0, 10.0 * at_s, lap);
        }
        ck_assert(ride_finish(ride));
        struct ride_cut found = made_ride_cut(ride, &made_ride_laps);
        ck_assert_int_eq(found.leg[1].left_out, more == 0 ? RIDE_KEPT : RIDE_LEFT_NO_POWER);
        ride_cut_free(&found);
        ride_free(ride);
    }
}
END_TEST

/* Five seconds in which the bike gets slower by so much each second, with so much power. */
START_TEST(brakes_leave_a_leg_out)
{
    static const struct {
        double slower_m_s2, power_w;
        enum ride_left_out expected;
    } tried[] = {
        {0.35, 40.0, RIDE_LEFT_BRAKED}, {0.31, 49.0, RIDE_LEFT_BRAKED},
        {0.31, 51.0, RIDE_KEPT}, /* a hill, a gust */
        {0.29, 40.0, RIDE_KEPT}, /* rolling out */
        {2.0, 10.0, RIDE_LEFT_BRAKED},
    };
    for (size_t i = 0; i < sizeof tried / sizeof tried[0]; i++) {
        struct ride *ride = made_ride_even(180, 60);
        for (int j = 80; j <= 85; j++) {
            ride->speed_m_s[j] = 10.0 - tried[i].slower_m_s2 * (j - 80);
            ride->power_w[j] = tried[i].power_w;
        }
        for (int j = 86; j <= 100; j++) {
            ride->speed_m_s[j] = ride->speed_m_s[85];
        }
        ride->speed_made = true;
        struct ride_cut found = made_ride_cut(ride, &made_ride_laps);
        ck_assert_int_eq(found.leg[1].left_out, tried[i].expected);
        ck_assert_int_eq(found.leg[0].left_out, RIDE_KEPT);
        ride_cut_free(&found);
        ride_free(ride);
    }
}
END_TEST

/* Slower within a second, and not after it, ten samples a second: over 2 s 0.315 and 0.285 m/s2. */
START_TEST(brakes_are_looked_for_over_two_seconds)
{
    for (int braked = 0; braked <= 1; braked++) {
        struct ride *ride = made_ride(true, false);
        for (int i = 0; i <= 1800; i++) {
            double at_s = i / 10.0, slower_m_s = fmin(fmax(at_s - 80.0, 0.0), 1.0);
            made_ride_add(ride, at_s, at_s < 80.0 || at_s > 84.0 ? 200.0 : 10.0,
                          10.0 - slower_m_s * (braked ? 0.63 : 0.57), 10.0 * at_s,
                          (int)(at_s / 60.0));
        }
        ck_assert(ride_finish(ride));
        ride->speed_made = true;
        struct ride_cut found = made_ride_cut(ride, &made_ride_laps);
        ck_assert_int_eq(found.leg[1].left_out, braked ? RIDE_LEFT_BRAKED : RIDE_KEPT);
        ride_cut_free(&found);
        ride_free(ride);
    }
}
END_TEST

/* A wheel that is set 4.8 % and 5.2 % too large. */
START_TEST(distance_and_speed_go_together)
{
    for (int more = 0; more < 2; more++) {
        struct ride *ride = made_ride_even(180, 60);
        for (size_t i = 60; i <= 120; i++) {
            ride->speed_m_s[i] = more == 0 ? 10.48 : 10.52;
        }
        struct ride_cut found = made_ride_cut(ride, &made_ride_laps);
        ck_assert_int_eq(found.leg[1].left_out, more == 0 ? RIDE_KEPT : RIDE_LEFT_DISTANCE);
        ride_cut_free(&found);
        ride->distance_made = true; /* one worked out from the other proves nothing */
        found = made_ride_cut(ride, &made_ride_laps);
        ck_assert_int_eq(found.leg[1].left_out, RIDE_KEPT);
        ride_cut_free(&found);
        ride_free(ride);
    }
}
END_TEST

/* Half a minute at 8 % too much is 4 % of a lap of a minute, and is seen where a piece of 30 s has
 * it by itself; a lap of 59 s is looked at as a whole. */
START_TEST(pieces_of_half_a_minute_are_looked_at)
{
    for (size_t lap_s = 59; lap_s <= 60; lap_s++) {
        struct ride *ride = made_ride_even((int)lap_s * 3, (int)lap_s);
        for (size_t i = lap_s; i < lap_s + 30; i++) {
            ride->speed_m_s[i] = 10.8;
        }
        struct ride_cut found = made_ride_cut(ride, &made_ride_laps);
        ck_assert_int_eq(found.leg[1].left_out, lap_s == 59 ? RIDE_KEPT : RIDE_LEFT_DISTANCE);
        ride_cut_free(&found);
        ride_free(ride);
    }
}
END_TEST

/* A lap with several faults is left out for the one that stands first in docs/drag.md: coasting and
 * braking with the wheel's distance going on, then with a little power, then both without a brake.
 */
START_TEST(the_first_of_several_reasons_is_told)
{
    static const struct {
        double slower_m_s2, power_w;
        enum ride_left_out expected;
    } tried[] = {
        {2.0, 0.0, RIDE_LEFT_NO_POWER},
        {2.0, 10.0, RIDE_LEFT_BRAKED},
        {0.0, 0.0, RIDE_LEFT_NO_POWER},
    };
    for (size_t i = 0; i < sizeof tried / sizeof tried[0]; i++) {
        struct ride *ride = made_ride_even(180, 60);
        for (int j = 60; j < 120; j++) {
            ride->speed_m_s[j] = 9.0 - tried[i].slower_m_s2 * fmin(fmax(j - 80.0, 0.0), 4.0);
            ride->power_w[j] = j >= 80 && j <= 84 ? tried[i].power_w : 200.0;
        }
        struct ride_cut found = made_ride_cut(ride, &made_ride_laps);
        ck_assert_int_eq(found.leg[1].left_out, tried[i].expected);
        ride_cut_free(&found);
        ride_free(ride);
    }
}
END_TEST

/* Laps of 20 s, shorter than the pieces that are looked at: one whose distance is 10 % more. */
START_TEST(short_laps_are_looked_at_whole)
{
    struct ride *ride = made_ride(true, false);
    double distance_m = 0.0;
    for (int i = 0; i <= 100; i++) {
        int lap = i / 20 + 1;
        made_ride_add(ride, i, 200.0, i >= 40 && i < 60 ? 9.4 : 10.0, distance_m, lap);
        distance_m += 10.0;
    }
    ck_assert(ride_finish(ride));
    struct ride_cut found = made_ride_cut(ride, &made_ride_laps);
    ck_assert_uint_eq(found.count, 5);
    ck_assert_int_eq(found.leg[2].left_out, RIDE_LEFT_DISTANCE);
    ck_assert_int_eq(found.leg[1].left_out, RIDE_KEPT);
    ride_cut_free(&found);
    ride_free(ride);
}
END_TEST

START_TEST(reasons_have_their_words)
{
    ck_assert_str_eq(ride_left_out_text(RIDE_KEPT), "kept");
    ck_assert_str_eq(ride_left_out_text(RIDE_LEFT_SHORT), "too short");
    ck_assert_str_eq(ride_left_out_text(RIDE_LEFT_GAP), "no power or no speed for over 3 s");
    ck_assert_str_eq(ride_left_out_text(RIDE_LEFT_OTHER_LENGTH), "not as long as the others");
    ck_assert_str_eq(ride_left_out_text(RIDE_LEFT_NO_POWER), "power was 0 for over 3 s");
    ck_assert_str_eq(ride_left_out_text(RIDE_LEFT_BRAKED), "the brakes were used");
    ck_assert_str_eq(ride_left_out_text(RIDE_LEFT_DISTANCE),
                     "speed and distance differ by over 5 %");
}
END_TEST

START_TEST(a_piece_has_the_leg_s_ends)
{
    struct ride *ride = made_ride_even(180, 1000);
    ride->power_w[30] = NAN;
    ride->power_w[31] = 230.0;
    ride->power_w[29] = 210.0;
    const double times_s[] = {25.25, 60.75};
    struct ride_course course = {.borders = RIDE_BORDERS_TIMES, .time_s = times_s, .time_count = 2};
    struct ride_cut found = made_ride_cut(ride, &course);
    struct ride_piece piece;
    ck_assert(ride_piece_take(ride, &found.leg[0], &piece));
    ck_assert_uint_eq(piece.count, 35 + 2); /* 26 s to 60 s, and both ends */
    ck_assert_double_eq(piece.time_s[0], 0.0);
    ck_assert_double_eq(piece.time_s[1], 0.75);
    ck_assert_double_eq(piece.time_s[36], 35.5);
    ck_assert_double_eq_tol(piece.distance_m[36], 355.0, 1e-9);
    ck_assert_double_eq_tol(piece.power_w[5], 220.0, 1e-9); /* 30 s: between its neighbours */
    ck_assert_ptr_null(piece.wind_m_s);
    ride_piece_free(&piece);
    for (int i = 28; i < 34; i++) {
        ride->power_w[i] = NAN;
    }
    ck_assert(!ride_piece_take(ride, &found.leg[0], &piece));
    ride_cut_free(&found);
    ride_free(ride);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("ride cut");
    TCase *tests = tcase_create("ride cut");
    tcase_add_test(tests, five_percent_of_length_are_forgiven);
    tcase_add_test(tests, no_power_and_gaps_leave_a_leg_out);
    tcase_add_test(tests, a_gap_over_a_border_is_of_both);
    tcase_add_test(tests, two_lengths_are_no_course);
    tcase_add_test(tests, pieces_of_half_a_minute_are_looked_at);
    tcase_add_test(tests, the_first_of_several_reasons_is_told);
    tcase_add_test(tests, short_laps_are_looked_at_whole);
    tcase_add_test(tests, missing_samples_are_a_gap);
    tcase_add_test(tests, three_seconds_without_power_are_forgiven);
    tcase_add_test(tests, brakes_leave_a_leg_out);
    tcase_add_test(tests, brakes_are_looked_for_over_two_seconds);
    tcase_add_test(tests, distance_and_speed_go_together);
    tcase_add_test(tests, reasons_have_their_words);
    tcase_add_test(tests, a_piece_has_the_leg_s_ends);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
