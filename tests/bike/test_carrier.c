/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bike/carrier.h"
#include "bike/shift.h"
#include "support/bikes.h"
#include "support/test_main.h"
#include "support/test_seed.h"

#include <math.h>
#include <string.h>

#define SEED 20260111

static const double DEGREE = 3.14159265358979323846 / 180.0;

START_TEST(carriers_are_found_by_their_keys)
{
    for (int i = 0; i < CARRIERS; i++) {
        ck_assert_int_eq(word_find(&carrier_keys, word_of(&carrier_keys, i), -1), i);
        ck_assert_int_gt((int)strlen(carrier_words[i]), 0);
        ck_assert(carrier_moves((enum carrier)i) == (carrier_movers((enum carrier)i, NULL) > 0));
    }
    ck_assert_int_eq(word_find(&carrier_keys, "base_bar", -1), CARRIER_BASE_BAR);
    ck_assert_int_eq(word_find(&carrier_keys, "bars", -1), -1);
    ck_assert_int_eq(word_find(&carrier_keys, NULL, -1), -1);
}
END_TEST

/* What turning at a part moves: each sits on the ones before it. */
START_TEST(a_carrier_is_moved_by_what_it_sits_on)
{
    static const enum carrier lowest[BIKE_KEYS] = {
        [BIKE_STACK] = CARRIER_BASE_BAR,
        [BIKE_REACH] = CARRIER_BASE_BAR,
        [BIKE_HEAD_ANGLE] = CARRIER_BASE_BAR,
        [BIKE_HEADSET_CAP] = CARRIER_BASE_BAR,
        [BIKE_SPACERS] = CARRIER_BASE_BAR,
        [BIKE_STEM_LENGTH] = CARRIER_BASE_BAR,
        [BIKE_STEM_ANGLE] = CARRIER_BASE_BAR,
        [BIKE_STEM_CLAMP_HEIGHT] = CARRIER_BASE_BAR,
        [BIKE_BAR_ROLL] = CARRIER_BASE_BAR,
        [BIKE_PAD_RISE] = CARRIER_PAD_BRACKET,
        [BIKE_PAD_FORE_AFT] = CARRIER_PAD_BRACKET,
        [BIKE_EXTENSION_LENGTH] = CARRIER_EXTENSION,
        [BIKE_EXTENSION_ANGLE] = CARRIER_EXTENSION,
        [BIKE_EXTENSION_RISE] = CARRIER_EXTENSION,
    };
    for (int key = 0; key < BIKE_KEYS; key++) {
        struct bike_values first = usual_bike(), other = first;
        other.value[key] = (isnan(first.value[key]) ? 1.0 : first.value[key]) + 5.0;
        for (int c = 0; c < CARRIERS; c++) {
            bool moves = lowest[key] != CARRIER_STAND && c >= (int)lowest[key];
            ck_assert(carrier_unmoved((enum carrier)c, &first, &other) == !moves);
        }
    }
    const enum bike_key *keys = NULL;
    int count = carrier_movers(CARRIER_EXTENSION, &keys);
    for (int i = 1; i < count; i++) {
        ck_assert_int_gt((int)keys[i], (int)keys[i - 1]); /* in order of the table */
    }
}
END_TEST

START_TEST(carriers_and_what_they_need_are_named)
{
    struct problem problem = {0};
    struct sensor_mount mount = {CARRIER_EXTENSION, 0, 0, 0, +1};
    struct sensor_position at;
    struct bike_values bike = usual_bike();
    ck_assert_str_eq(word_of(&carrier_keys, CARRIER_STAND), "stand");
    ck_assert_str_eq(word_of(&carrier_keys, CARRIER_FRAME), "frame");
    ck_assert_str_eq(word_of(&carrier_keys, CARRIER_BASE_BAR), "base_bar");
    ck_assert_str_eq(word_of(&carrier_keys, CARRIER_PAD_BRACKET), "pad_bracket");
    ck_assert_str_eq(word_of(&carrier_keys, CARRIER_EXTENSION), "extension");
    ck_assert_str_eq(look_word(+1), "up");
    ck_assert_str_eq(look_word(-1), "down");
    ck_assert_str_eq(carrier_words[CARRIER_STAND], "floor stand");
    ck_assert_str_eq(carrier_words[CARRIER_FRAME], "bike frame");
    ck_assert_str_eq(carrier_words[CARRIER_BASE_BAR], "base bar");
    ck_assert_str_eq(carrier_words[CARRIER_PAD_BRACKET], "pad bracket");
    ck_assert_str_eq(carrier_words[CARRIER_EXTENSION], "extension");
    ck_assert_str_eq(look_word(-1), "down");
    ck_assert_str_eq(look_word(1), "up");
    ck_assert_int_eq(word_find(&look_words, "up", 0), 1);
    ck_assert_int_eq(word_find(&look_words, "down", 0), -1);
    for (int key = BIKE_PAD_RISE; key <= BIKE_EXTENSION_RISE; key++) {
        bike.value[key] = NAN;
    }
    ck_assert(!sensor_locate(&bike, &bike, &mount, &at, &problem));
    ck_assert_str_eq(problem.sentence,
                     "where the extension is needs pad rise, pad fore-aft, extension length, "
                     "extension angle and extension rise: not given");
    mount.carrier = CARRIER_PAD_BRACKET;
    ck_assert(!sensor_locate(&bike, &bike, &mount, &at, &problem));
    ck_assert_str_eq(problem.sentence,
                     "where the pad bracket is needs pad rise and pad fore-aft: not given");
    mount.carrier = CARRIER_BASE_BAR;
    ck_assert(sensor_locate(&bike, &bike, &mount, &at, &problem));
}
END_TEST

START_TEST(height_from_range_direction_and_tilt)
{
    ck_assert_double_eq_tol(body_height_mm(600, +1, 0, 300), 900, 1e-12);
    ck_assert_double_eq_tol(body_height_mm(1200, -1, 0, 300), 900, 1e-12);
    /* Reading a slant as a height errs by 1.5 % at 10 degrees. */
    double height = body_height_mm(0, +1, 10, 1000);
    ck_assert_double_eq_tol(1000.0 / height - 1.0, 0.0154, 0.00005);
    ck_assert_double_eq_tol(body_height_mm(0, +1, -10, 1000), height, 1e-12);
}
END_TEST

START_TEST(a_sensor_sits_where_its_carrier_is)
{
    struct bike_values bike = usual_bike();
    struct sensor_mount mount = {CARRIER_BASE_BAR, 120, 40, 5, +1};
    struct sensor_position at;
    ck_assert(sensor_locate(&bike, &bike, &mount, &at, NULL));
    ck_assert_double_eq_tol(at.x_mm, 488.305 + 120, 0.0006);
    ck_assert_double_eq_tol(at.y_mm, 578.252 + 40, 0.0006);
    ck_assert_double_eq(at.tilt_deg, 5);
    mount.carrier = CARRIER_PAD_BRACKET;
    ck_assert(sensor_locate(&bike, &bike, &mount, &at, NULL));
    ck_assert_double_eq_tol(at.x_mm, 468.305 + 120, 0.0006);
    ck_assert_double_eq_tol(at.y_mm, 633.252 + 40, 0.0006);
    mount.carrier = CARRIER_EXTENSION;
    ck_assert(sensor_locate(&bike, &bike, &mount, &at, NULL));
    ck_assert_double_eq_tol(at.x_mm, 788.305 + 120, 0.0006);
    ck_assert_double_eq_tol(at.y_mm, 603.252 + 40, 0.0006);
    mount.carrier = CARRIER_STAND;
    ck_assert(sensor_locate(&bike, &bike, &mount, &at, NULL));
    ck_assert_double_eq(at.x_mm, 120);
    ck_assert_double_eq(at.y_mm, 40);
    mount.carrier = CARRIER_BASE_BAR;
    mount.y_mm = NAN;
    ck_assert(sensor_locate(&bike, &bike, &mount, &at, NULL));
    ck_assert(isnan(at.y_mm));
    struct problem problem = {0};
    bike.value[BIKE_EXTENSION_RISE] = NAN;
    mount.carrier = CARRIER_EXTENSION;
    ck_assert(!sensor_locate(&bike, &bike, &mount, &at, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "extension rise"));
    bike.value[BIKE_STEM_ANGLE] = NAN;
    ck_assert(!sensor_locate(&bike, &bike, &mount, &at, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "stem angle"));
}
END_TEST

/* A bar that rolls turns the arm: 1 degree is 1 mm at 60 mm and walks the spot by 7 mm at
 * a range of 400. */
START_TEST(a_rolled_bar_lifts_the_sensor_and_tilts_the_beam)
{
    struct bike_values first = usual_bike(), rolled = first;
    rolled.value[BIKE_BAR_ROLL] = 1.0;
    struct sensor_mount mount = {CARRIER_BASE_BAR, 60, 0, 0, +1};
    struct sensor_position from, to;
    ck_assert(sensor_locate(&first, &first, &mount, &from, NULL));
    ck_assert(sensor_locate(&rolled, &first, &mount, &to, NULL));
    ck_assert_double_eq_tol(to.y_mm - from.y_mm, 1.05, 0.01);
    ck_assert_double_eq_tol(to.tilt_deg, -1.0, 1e-12);
    ck_assert_double_eq_tol(fabs(400 * sin(to.tilt_deg * DEGREE)), 7.0, 0.05);
    mount.direction = -1;
    ck_assert(sensor_locate(&rolled, &first, &mount, &to, NULL));
    ck_assert_double_eq_tol(to.tilt_deg, +1.0, 1e-12);
    /* A first build that was rolled already: only the difference turns. */
    struct bike_values again = rolled;
    ck_assert(sensor_locate(&again, &rolled, &mount, &from, NULL));
    ck_assert_double_eq_tol(from.y_mm, 578.252, 0.0006);
    ck_assert_double_eq(from.tilt_deg, 0.0);
}
END_TEST

START_TEST(an_extension_that_is_tipped_turns_its_sensor)
{
    struct bike_values first = usual_bike(), tipped = first;
    tipped.value[BIKE_EXTENSION_ANGLE] = 10;
    struct sensor_mount mount = {CARRIER_EXTENSION, -100, 20, 3, +1};
    struct sensor_position from, to;
    ck_assert(sensor_locate(&first, &first, &mount, &from, NULL));
    ck_assert(sensor_locate(&tipped, &first, &mount, &to, NULL));
    /* 220 mm from the root along the rod and 20 over it, all turned by 10 degrees. */
    ck_assert_double_eq_tol(to.y_mm - from.y_mm,
                            220 * sin(10 * DEGREE) - 20 * (1 - cos(10 * DEGREE)), 1e-9);
    ck_assert_double_eq_tol(to.x_mm - from.x_mm,
                            -220 * (1 - cos(10 * DEGREE)) - 20 * sin(10 * DEGREE), 1e-9);
    ck_assert_double_eq_tol(to.tilt_deg, 3 - 10, 1e-12);
    /* On the pads it is not touched by that. */
    mount.carrier = CARRIER_PAD_BRACKET;
    ck_assert(sensor_locate(&tipped, &first, &mount, &to, NULL));
    ck_assert_double_eq(to.tilt_deg, 3);
}
END_TEST

/* Where the beam meets a level h above the sensor, turned as a rigid arm: independent of the code's
 * own way round by carrying two points of the beam along. */
START_TEST(the_beam_turns_rigidly_with_its_carrier)
{
    struct random_source source;
    random_seed(&source, test_seed(SEED));
    for (int i = 0; i < 2000; i++) {
        struct bike_values first = random_bike(&source), now = first;
        now.value[BIKE_BAR_ROLL] = random_between(&source, -20, 20);
        first.value[BIKE_BAR_ROLL] = random_between(&source, -20, 20);
        enum carrier carrier =
            (enum carrier)(CARRIER_BASE_BAR + (int)(random_uniform(&source) * 3.0));
        if (carrier == CARRIER_EXTENSION) {
            now.value[BIKE_EXTENSION_ANGLE] = random_between(&source, -20, 20);
        }
        struct sensor_mount mount = {
            carrier, random_between(&source, -100, 150), random_between(&source, -50, 80),
            random_between(&source, -20, 20), random_uniform(&source) < 0.5 ? +1 : -1};
        struct sensor_mount spot = mount; /* a second point on the same beam, 300 mm away */
        spot.x_mm += 300 * sin(mount.tilt_deg * DEGREE);
        spot.y_mm += mount.direction * 300 * cos(mount.tilt_deg * DEGREE);
        struct sensor_position near_end, far_end;
        ck_assert(sensor_locate(&now, &first, &mount, &near_end, NULL));
        ck_assert(sensor_locate(&now, &first, &spot, &far_end, NULL));
        ck_assert_double_eq_tol(far_end.x_mm - near_end.x_mm, 300 * sin(near_end.tilt_deg * DEGREE),
                                1e-8);
        ck_assert_double_eq_tol(far_end.y_mm - near_end.y_mm,
                                mount.direction * 300 * cos(near_end.tilt_deg * DEGREE), 1e-8);
    }
}
END_TEST

START_TEST(shift_is_the_difference_of_two_places)
{
    struct random_source source;
    random_seed(&source, test_seed(SEED + 1));
    for (int i = 0; i < 3000; i++) {
        struct bike_values first = random_bike(&source), now = first, other = random_bike(&source);
        for (int k = 0; k < BIKE_KEYS; k++) {
            if (random_uniform(&source) < 0.4) {
                now.value[k] = other.value[k];
            }
        }
        struct sensor_mount mount = {
            (enum carrier)(int)(random_uniform(&source) * (double)CARRIERS),
            random_between(&source, -100, 150), random_between(&source, -50, 80),
            random_between(&source, -9, 9), +1};
        struct sensor_position from, to;
        struct sensor_shift shift;
        ck_assert(sensor_locate(&first, &first, &mount, &from, NULL));
        ck_assert(sensor_locate(&now, &first, &mount, &to, NULL));
        ck_assert(sensor_shift_make(&first, &now, &mount, &shift, NULL));
        if (fabs(shift.x_mm - (to.x_mm - from.x_mm)) > 1e-8 ||
            fabs(shift.y_mm - (to.y_mm - from.y_mm)) > 1e-8 ||
            fabs(shift.tilt_deg - (to.tilt_deg - from.tilt_deg)) > 1e-9) {
            ck_abort_msg("seed %d, bike %d, %s: shift %.9f, %.9f for %.9f, %.9f", SEED + 1, i,
                         word_of(&carrier_keys, mount.carrier), shift.x_mm, shift.y_mm,
                         to.x_mm - from.x_mm, to.y_mm - from.y_mm);
        }
        ck_assert(shift.moved == !carrier_unmoved(mount.carrier, &first, &now));
    }
}
END_TEST

/* Half a degree over the arm that turns: a bar's roll takes what sits on it along, an extension's
 * angle only its rod and what sits there. */
START_TEST(a_turn_is_known_to_half_a_degree)
{
    static const struct {
        enum bike_key turned;
        enum carrier carrier;
        double arm_mm;
    } cases[] = {
        {BIKE_BAR_ROLL, CARRIER_BASE_BAR, 120.0},
        {BIKE_BAR_ROLL, CARRIER_PAD_BRACKET, 120.0 - 20.0},       /* pads 20 behind the clamp */
        {BIKE_BAR_ROLL, CARRIER_EXTENSION, 120.0 - 20.0 + 320.0}, /* and a rod of 320 */
        {BIKE_EXTENSION_ANGLE, CARRIER_EXTENSION, 120.0 + 320.0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct bike_values first = usual_bike(), now;
        struct sensor_mount mount = {cases[i].carrier, 120, 40, 0, +1};
        struct sensor_shift shift;
        first.value[BIKE_BAR_ROLL] = 0.0;
        now = first;
        now.value[cases[i].turned] += 4.0;
        ck_assert(sensor_shift_make(&first, &now, &mount, &shift, NULL));
        ck_assert_double_eq_tol(shift.u_mm, cases[i].arm_mm * 0.5 * acos(-1.0) / 180.0, 1e-9);
    }
}
END_TEST

START_TEST(a_shift_asks_only_for_what_differs)
{
    struct bike_values first, now;
    struct sensor_shift shift;
    struct problem problem = {0};
    struct sensor_mount mount = {CARRIER_BASE_BAR, 120, NAN, 0, +1};
    bike_values_clear(&first);
    first.value[BIKE_HEAD_ANGLE] = 73;
    first.value[BIKE_SPACERS] = 20;
    now = first;
    now.value[BIKE_SPACERS] = 10;
    ck_assert(sensor_shift_make(&first, &now, &mount, &shift, NULL));
    ck_assert_double_eq_tol(shift.y_mm, -9.563, 0.0006);
    ck_assert_double_eq_tol(shift.x_mm, 2.924, 0.0006);
    ck_assert_double_eq(shift.u_mm, 0.5);
    first.value[BIKE_HEAD_ANGLE] = now.value[BIKE_HEAD_ANGLE] = NAN;
    ck_assert(!sensor_shift_make(&first, &now, &mount, &shift, &problem));
    ck_assert_str_eq(problem.sentence, "how far the base bar moved needs head angle");
    ck_assert(shift.moved && isnan(shift.y_mm));
    /* Pads moved: nothing to the base bar, all of it to a sensor on the pads, and no geometry
     * needed. */
    now = first;
    first.value[BIKE_PAD_RISE] = 60;
    now.value[BIKE_PAD_RISE] = 40;
    ck_assert(sensor_shift_make(&first, &now, &mount, &shift, NULL));
    ck_assert(!shift.moved && shift.y_mm == 0.0 && shift.u_mm == 0.0);
    mount.carrier = CARRIER_PAD_BRACKET;
    ck_assert(sensor_shift_make(&first, &now, &mount, &shift, NULL));
    ck_assert_double_eq_tol(shift.y_mm, -20, 1e-12);
    ck_assert_double_eq(shift.u_mm, 0.5);
    mount.carrier = CARRIER_STAND;
    ck_assert(sensor_shift_make(&first, &now, &mount, &shift, NULL));
    ck_assert(!shift.moved);
    /* A stem changed: a degree of both labels over their lengths, 2 mm at least. */
    first = now = usual_bike();
    mount.carrier = CARRIER_BASE_BAR;
    now.value[BIKE_STEM_ANGLE] = -6;
    ck_assert(sensor_shift_make(&first, &now, &mount, &shift, NULL));
    ck_assert_double_eq_tol(shift.u_mm, sqrt(2.0) * 1.7453, 0.001);
    now.value[BIKE_STEM_LENGTH] = 50;
    first.value[BIKE_STEM_LENGTH] = 50;
    ck_assert(sensor_shift_make(&first, &now, &mount, &shift, NULL));
    ck_assert_double_eq(shift.u_mm, 2.0);
    /* The same stem turned over: its label counts twice. */
    first = now = usual_bike();
    now.value[BIKE_STEM_ANGLE] = 17;
    ck_assert(sensor_shift_make(&first, &now, &mount, &shift, NULL));
    ck_assert_double_eq_tol(shift.u_mm, 2.0 * 1.7453, 0.001);
    now.value[BIKE_STEM_LENGTH] = NAN;
    ck_assert(!sensor_shift_make(&first, &now, &mount, &shift, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "stem length"));
    /* A rolled bar needs to know how far ahead the sensor is. */
    first = now = usual_bike();
    now.value[BIKE_BAR_ROLL] = 2;
    mount.x_mm = NAN;
    ck_assert(!sensor_shift_make(&first, &now, &mount, &shift, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "ahead of its carrier"));
    ck_assert_double_eq(shift.tilt_deg, -2.0);
}
END_TEST

/* An extension's own angle counts where both bikes have it; a sensor without a known height is
 * taken as level with its carrier, and its height stays unknown. */
START_TEST(what_is_not_known_does_not_turn)
{
    struct bike_values first = usual_bike(), now = usual_bike();
    struct sensor_mount mount = {CARRIER_BASE_BAR, 120, NAN, 0, +1};
    struct sensor_position level, rolled;
    first.value[BIKE_EXTENSION_ANGLE] = 10;
    now.value[BIKE_EXTENSION_ANGLE] = 14;
    ck_assert_double_eq(carrier_turn_deg(CARRIER_EXTENSION, &first, &now), 4.0);
    now.value[BIKE_EXTENSION_ANGLE] = NAN;
    ck_assert_double_eq(carrier_turn_deg(CARRIER_EXTENSION, &first, &now), 0.0);
    ck_assert_double_eq(carrier_turn_deg(CARRIER_EXTENSION, &now, &first), 0.0);
    ck_assert(sensor_locate(&first, &first, &mount, &level, NULL));
    now.value[BIKE_BAR_ROLL] = 60;
    ck_assert(sensor_locate(&now, &first, &mount, &rolled, NULL));
    ck_assert_double_eq_tol(level.x_mm - rolled.x_mm, 120.0 / 2.0, 1e-9); /* 120 cos 60 */
    ck_assert(isnan(rolled.y_mm));
    ck_assert_double_eq(rolled.tilt_deg, -60.0);
}
END_TEST

/* Spacers that are known on one of two frames are missed twice, and named once. */
START_TEST(what_is_missing_is_named_once)
{
    struct bike_values first = usual_bike(), now = usual_bike();
    struct sensor_mount mount = {CARRIER_BASE_BAR, 120, 40, 0, +1};
    struct sensor_shift shift;
    struct problem problem = {0};
    now.value[BIKE_HEAD_ANGLE] = first.value[BIKE_HEAD_ANGLE] + 1;
    now.value[BIKE_SPACERS] = NAN;
    ck_assert(!sensor_shift_make(&first, &now, &mount, &shift, &problem));
    const char *named = strstr(problem.sentence, "spacers");
    ck_assert_ptr_nonnull(named);
    ck_assert_ptr_null(strstr(named + 1, "spacers"));
}
END_TEST

/* A measure that one of two bikes alone has is another one; that neither has is the same. */
START_TEST(what_one_bike_lacks_differs)
{
    struct sensor_mount mount = {CARRIER_BASE_BAR, 120, 40, 0, +1};
    for (int lacking = 0; lacking < 2; lacking++) {
        struct bike_values bikes[2] = {usual_bike(), usual_bike()};
        struct sensor_shift shift;
        struct problem problem = {0};
        bikes[lacking].value[BIKE_REACH] = NAN;
        ck_assert(!carrier_unmoved(CARRIER_BASE_BAR, &bikes[0], &bikes[1]));
        ck_assert(!sensor_shift_make(&bikes[0], &bikes[1], &mount, &shift, &problem));
        ck_assert_str_eq(problem.sentence, "how far the base bar moved needs reach");
        bikes[1 - lacking].value[BIKE_REACH] = NAN;
        ck_assert(carrier_unmoved(CARRIER_BASE_BAR, &bikes[0], &bikes[1]));
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("carrier");
    TCase *tests = tcase_create("carrier");
    tcase_add_test(tests, carriers_are_found_by_their_keys);
    tcase_add_test(tests, a_carrier_is_moved_by_what_it_sits_on);
    tcase_add_test(tests, carriers_and_what_they_need_are_named);
    tcase_add_test(tests, height_from_range_direction_and_tilt);
    tcase_add_test(tests, a_sensor_sits_where_its_carrier_is);
    tcase_add_test(tests, a_rolled_bar_lifts_the_sensor_and_tilts_the_beam);
    tcase_add_test(tests, an_extension_that_is_tipped_turns_its_sensor);
    tcase_add_test(tests, the_beam_turns_rigidly_with_its_carrier);
    tcase_add_test(tests, shift_is_the_difference_of_two_places);
    tcase_add_test(tests, a_turn_is_known_to_half_a_degree);
    tcase_add_test(tests, a_shift_asks_only_for_what_differs);
    tcase_add_test(tests, what_is_not_known_does_not_turn);
    tcase_add_test(tests, what_is_missing_is_named_once);
    tcase_add_test(tests, what_one_bike_lacks_differs);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
