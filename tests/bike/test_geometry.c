/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bike/geometry.h"
#include "support/bikes.h"
#include "support/test_main.h"
#include "support/test_seed.h"

#include <math.h>
#include <string.h>

#define SEED 20260110

/* The worked values are computations of our own, outside the program: stack 540, reach 400, head
 * angle 73, stem clamp 40, spacers 20. Made again by hand: X = 400 - 40 cos 73 + 100 cos 0 =
 * 488.305. */
START_TEST(worked_values_of_the_clamp)
{
    static const struct {
        double length, angle, spacers, x, y;
    } rows[] = {
        {100, -17, 20, 488.305, 578.252},
        {100, -6, 20, 486.468, 597.333},
        {100, 6, 20, 480.356, 617.325},
        {120, -17, 0, 514.153, 559.126},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct bike_values bike = usual_bike();
        struct bike_points points;
        bike.value[BIKE_STEM_LENGTH] = rows[i].length;
        bike.value[BIKE_STEM_ANGLE] = rows[i].angle;
        bike.value[BIKE_SPACERS] = rows[i].spacers;
        ck_assert(bike_forward(&bike, &points, NULL));
        ck_assert_double_eq_tol(points.clamp.x_mm, rows[i].x, 0.0006);
        ck_assert_double_eq_tol(points.clamp.y_mm, rows[i].y, 0.0006);
    }
}
END_TEST

START_TEST(worked_values_of_pads_extensions_and_saddle)
{
    struct bike_values bike = usual_bike();
    struct bike_points points;
    ck_assert(bike_forward(&bike, &points, NULL));
    ck_assert(points.has_pad && points.has_extension && !points.has_saddle);
    ck_assert_double_eq_tol(points.pad.x_mm, 468.305, 0.0006);
    ck_assert_double_eq_tol(points.pad.y_mm, 633.252, 0.0006);
    ck_assert_double_eq_tol(points.extension_tip.x_mm, 788.305, 0.0006);
    ck_assert_double_eq_tol(points.extension_tip.y_mm, 603.252, 0.0006);
    bike.value[BIKE_EXTENSION_ANGLE] = 15;
    bike.value[BIKE_SADDLE_HEIGHT] = 760;
    bike.value[BIKE_SEAT_ANGLE] = 74;
    ck_assert(bike_forward(&bike, &points, NULL));
    ck_assert_double_eq_tol(points.extension_tip.x_mm, 777.401, 0.0006);
    ck_assert_double_eq_tol(points.extension_tip.y_mm, 686.074, 0.0006);
    ck_assert(points.has_saddle);
    ck_assert_double_eq_tol(points.saddle.x_mm, -209.484, 0.0006);
    ck_assert_double_eq_tol(points.saddle.y_mm, 730.559, 0.0006);
    ck_assert_double_eq_tol(points.saddle.y_mm - 620.0, 110.559, 0.0006);
}
END_TEST

START_TEST(worked_moves_of_one_part)
{
    struct bike_values bike = usual_bike(), more = bike;
    struct bike_points from, to;
    ck_assert(bike_forward(&bike, &from, NULL));
    more.value[BIKE_SPACERS] += 10;
    ck_assert(bike_forward(&more, &to, NULL));
    ck_assert_double_eq_tol(to.clamp.x_mm - from.clamp.x_mm, -2.92, 0.006);
    ck_assert_double_eq_tol(to.clamp.y_mm - from.clamp.y_mm, 9.56, 0.006);
    more = bike;
    more.value[BIKE_STEM_LENGTH] += 10;
    ck_assert(bike_forward(&more, &to, NULL));
    ck_assert_double_eq_tol(to.clamp.x_mm - from.clamp.x_mm, 10.0, 1e-9);
    ck_assert_double_eq_tol(to.clamp.y_mm - from.clamp.y_mm, 0.0, 1e-9);
    bike.value[BIKE_STEM_ANGLE] = more.value[BIKE_STEM_ANGLE] = -6;
    ck_assert(bike_forward(&bike, &from, NULL));
    ck_assert(bike_forward(&more, &to, NULL));
    ck_assert_double_eq_tol(to.clamp.x_mm - from.clamp.x_mm, 9.82, 0.006);
    ck_assert_double_eq_tol(to.clamp.y_mm - from.clamp.y_mm, 1.91, 0.006);
}
END_TEST

START_TEST(worked_values_backwards)
{
    struct bike_values bike = usual_bike();
    double length, spacers;
    struct point target = {470, 620};
    ck_assert(bike_inverse(&bike, target, -17, &length, &spacers, NULL));
    ck_assert_double_eq_tol(length, 97.6433, 0.00006);
    ck_assert_double_eq_tol(spacers, 6.1423, 0.00006);
    ck_assert(bike_inverse(&bike, target, -6, &length, &spacers, NULL));
    ck_assert_double_eq_tol(length, 93.8911, 0.00006);
    ck_assert_double_eq_tol(spacers, -12.59, 0.006);
}
END_TEST

START_TEST(forward_of_inverse_is_itself_over_random_bikes)
{
    struct random_source source;
    random_seed(&source, test_seed(SEED));
    for (int i = 0; i < 5000; i++) {
        struct bike_values bike = random_bike(&source), solved = bike;
        struct bike_points points;
        double length, spacers;
        ck_assert(bike_forward(&bike, &points, NULL));
        ck_assert(
            bike_inverse(&bike, points.pad, bike.value[BIKE_STEM_ANGLE], &length, &spacers, NULL));
        if (fabs(length - bike.value[BIKE_STEM_LENGTH]) > 1e-6 ||
            fabs(spacers - bike.value[BIKE_SPACERS]) > 1e-6) {
            ck_abort_msg("seed %d, bike %d: stem %.9f for %.9f, spacers %.9f for %.9f", SEED, i,
                         length, bike.value[BIKE_STEM_LENGTH], spacers, bike.value[BIKE_SPACERS]);
        }
        struct point target = {points.pad.x_mm + random_between(&source, -50, 50),
                               points.pad.y_mm + random_between(&source, -50, 50)};
        ck_assert(
            bike_inverse(&bike, target, bike.value[BIKE_STEM_ANGLE], &length, &spacers, NULL));
        solved.value[BIKE_STEM_LENGTH] = length;
        solved.value[BIKE_SPACERS] = spacers;
        ck_assert(bike_forward(&solved, &points, NULL));
        if (hypot(points.pad.x_mm - target.x_mm, points.pad.y_mm - target.y_mm) > 1e-6) {
            ck_abort_msg("seed %d, bike %d: pad at %.9f, %.9f for %.9f, %.9f", SEED, i,
                         points.pad.x_mm, points.pad.y_mm, target.x_mm, target.y_mm);
        }
    }
}
END_TEST

START_TEST(identities_of_the_stem_over_random_bikes)
{
    struct random_source source;
    random_seed(&source, test_seed(SEED + 1));
    for (int i = 0; i < 5000; i++) {
        struct bike_values bike = random_bike(&source), other = bike;
        struct bike_points points, turned;
        bike.value[BIKE_BAR_ROLL] = other.value[BIKE_BAR_ROLL] = 0.0;
        double angle = bike.value[BIKE_STEM_ANGLE], length = bike.value[BIKE_STEM_LENGTH];
        other.value[BIKE_STEM_ANGLE] = -angle;
        ck_assert(bike_forward(&bike, &points, NULL));
        ck_assert(bike_forward(&other, &turned, NULL));
        /* Turned over, the clamp is mirrored at the perpendicular to the steerer: it moves along
         * the steerer by 2 L sin(angle) and not across it. */
        double head = bike.value[BIKE_HEAD_ANGLE] * acos(-1.0) / 180.0;
        double dx = points.clamp.x_mm - turned.clamp.x_mm,
               dy = points.clamp.y_mm - turned.clamp.y_mm;
        double along = -dx * cos(head) + dy * sin(head), across = dx * sin(head) + dy * cos(head);
        ck_assert_double_eq_tol(across, 0.0, 1e-9);
        ck_assert_double_eq_tol(along, 2.0 * length * sin(angle * acos(-1.0) / 180.0), 1e-9);
        /* -17 at 73 is level: the stem's length does not move the clamp up or down. */
        bike.value[BIKE_HEAD_ANGLE] = 73;
        bike.value[BIKE_STEM_ANGLE] = -17;
        other = bike;
        other.value[BIKE_STEM_LENGTH] = length + 30;
        ck_assert(bike_forward(&bike, &points, NULL));
        ck_assert(bike_forward(&other, &turned, NULL));
        ck_assert_double_eq_tol(turned.clamp.y_mm, points.clamp.y_mm, 1e-9);
        ck_assert_double_eq_tol(turned.clamp.x_mm, points.clamp.x_mm + 30, 1e-9);
        /* A rolled bar turns pads and extensions about the clamp: no distance changes. */
        other = bike;
        other.value[BIKE_BAR_ROLL] = random_between(&source, -10, 10);
        ck_assert(bike_forward(&other, &turned, NULL));
        ck_assert_double_eq_tol(
            hypot(turned.pad.x_mm - turned.clamp.x_mm, turned.pad.y_mm - turned.clamp.y_mm),
            hypot(points.pad.x_mm - points.clamp.x_mm, points.pad.y_mm - points.clamp.y_mm), 1e-9);
        ck_assert_double_eq_tol(hypot(turned.extension_tip.x_mm - turned.pad.x_mm,
                                      turned.extension_tip.y_mm - turned.pad.y_mm),
                                hypot(points.extension_tip.x_mm - points.pad.x_mm,
                                      points.extension_tip.y_mm - points.pad.y_mm),
                                1e-9);
    }
}
END_TEST

START_TEST(everything_missing_is_named_in_order)
{
    struct bike_values bike;
    struct bike_points points;
    struct problem problem = {0};
    double length, spacers;
    bike_values_clear(&bike); /* cap, clamp height and roll are assumed */
    ck_assert(!bike_forward(&bike, &points, &problem));
    ck_assert_str_eq(problem.sentence,
                     "where the bars are needs stack, reach, head angle, spacers, stem length and "
                     "stem angle: not given");
    ck_assert(!bike_inverse(&bike, points.pad, -6, &length, &spacers, &problem));
    ck_assert_str_eq(problem.sentence, "stem and spacers for a place need stack, reach and head "
                                       "angle: not given");
    /* each of the extension's three, the pads' two and the saddle's two is needed */
    static const enum bike_key needed[] = {
        BIKE_PAD_RISE,       BIKE_PAD_FORE_AFT,  BIKE_EXTENSION_LENGTH, BIKE_EXTENSION_ANGLE,
        BIKE_EXTENSION_RISE, BIKE_SADDLE_HEIGHT, BIKE_SEAT_ANGLE};
    for (int i = 0; i < 7; i++) {
        bike = usual_bike();
        bike.value[BIKE_SADDLE_HEIGHT] = 760;
        bike.value[BIKE_SEAT_ANGLE] = 74;
        bike.value[needed[i]] = NAN;
        ck_assert(bike_forward(&bike, &points, NULL));
        ck_assert(points.has_pad == (i > 1));
        ck_assert(points.has_extension == (i > 4));
        ck_assert(points.has_saddle == (i < 5));
    }
}
END_TEST

START_TEST(what_is_missing_is_named)
{
    struct bike_values bike = usual_bike();
    struct bike_points points;
    struct problem problem = {0};
    double length, spacers;
    bike.value[BIKE_HEAD_ANGLE] = NAN;
    bike.value[BIKE_STEM_LENGTH] = NAN;
    bike.value[BIKE_SPACERS] = NAN;
    ck_assert(!bike_forward(&bike, &points, &problem));
    ck_assert_str_eq(problem.sentence,
                     "where the bars are needs head angle, spacers and stem length: not given");
    ck_assert(!bike_inverse(&bike, (struct point){470, 620}, -17, &length, &spacers, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "head angle"));
    ck_assert_ptr_null(strstr(problem.sentence, "stem length"));
    bike = usual_bike();
    bike.value[BIKE_PAD_RISE] = NAN;
    ck_assert(bike_forward(&bike, &points, NULL));
    ck_assert(!points.has_pad && !points.has_extension);
    ck_assert(!bike_inverse(&bike, (struct point){470, 620}, -17, &length, &spacers, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "pad rise"));
    bike.value[BIKE_PAD_RISE] = 60;
    bike.value[BIKE_PAD_FORE_AFT] = NAN;
    ck_assert(!bike_inverse(&bike, (struct point){470, 620}, -17, &length, &spacers, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "pad fore-aft"));
    bike.value[BIKE_PAD_RISE] = NAN;
    /* Without pads the target is the bar clamp's. */
    bike.value[BIKE_PAD_FORE_AFT] = NAN;
    ck_assert(bike_inverse(&bike, (struct point){488.305, 578.252}, -17, &length, &spacers, NULL));
    ck_assert_double_eq_tol(length, 100, 0.001);
    ck_assert_double_eq_tol(spacers, 20, 0.001);
    ck_assert(!bike_inverse(&bike, (struct point){470, 620}, 90, &length, &spacers, &problem));
}
END_TEST

/* Where the bars are needs these; what has an assumed value, and what is beyond the bars, is not
 * asked for. */
START_TEST(only_what_places_the_bars_is_needed)
{
    static const bool needed[BIKE_KEYS] = {
        [BIKE_STACK] = true,   [BIKE_REACH] = true,       [BIKE_HEAD_ANGLE] = true,
        [BIKE_SPACERS] = true, [BIKE_STEM_LENGTH] = true, [BIKE_STEM_ANGLE] = true,
    };
    struct bike_values bike;
    char text[16] = "before";
    for (int key = 0; key < BIKE_KEYS; key++) {
        ck_assert_msg(bike_is_needed((enum bike_key)key) == needed[key], "%s",
                      bike_fields[key].key);
    }
    bike_values_clear(&bike);
    ck_assert_int_eq(bike_missing(&bike, (const enum bike_key[]){BIKE_STACK}, 1, text, 0), 1);
    ck_assert_str_eq(text, "before"); /* no room, not even for an end */
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("geometry");
    TCase *tests = tcase_create("geometry");
    tcase_add_test(tests, worked_values_of_the_clamp);
    tcase_add_test(tests, worked_values_of_pads_extensions_and_saddle);
    tcase_add_test(tests, worked_moves_of_one_part);
    tcase_add_test(tests, worked_values_backwards);
    tcase_add_test(tests, forward_of_inverse_is_itself_over_random_bikes);
    tcase_add_test(tests, identities_of_the_stem_over_random_bikes);
    tcase_add_test(tests, what_is_missing_is_named);
    tcase_add_test(tests, everything_missing_is_named_in_order);
    tcase_add_test(tests, only_what_places_the_bars_is_needed);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
