/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/test_main.h"
#include "tie_builds.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

START_TEST(carriers_that_stand_still_stay_where_they_are)
{
    struct tie_build builds[3] = {usual(), with(usual(), BIKE_SPACERS, 0), usual()};
    struct tie ties[3];
    struct sensor_mount mount = {CARRIER_STAND, 500, 200, 0, +1};
    tie_resolve(&mount, builds, 3, 18, ties);
    ck_assert_int_eq(ties[0].kind, TIE_FIRST);
    for (int i = 1; i < 3; i++) {
        ck_assert_int_eq(ties[i].kind, TIE_FIXED);
        ck_assert_double_eq(ties[i].shift_mm, 0);
        ck_assert_double_eq(tie_uncertainty_mm(&ties[i]), 0);
        ck_assert_double_eq(ties[i].sensor_height_mm, 200);
        ck_assert_double_eq(ties[i].u_absolute_mm, 2.0); /* its place, by tape */
        ck_assert(ties[i].absolute);
        ck_assert_int_eq(ties[i].position_group, 0);
        ck_assert(!ties[i].alarm);
    }
    /* Two plate readings that disagree: it was knocked. */
    builds[0] = plate(builds[0], 400, NAN);
    builds[2] = plate(builds[2], 405, NAN);
    tie_resolve(&mount, builds, 3, NAN, ties);
    ck_assert(ties[2].alarm);
    ck_assert_int_eq(ties[2].found.kind, TIE_FOUND_SPREAD);
    ck_assert_int_eq(ties[2].found.by, TIE_PLATE);
    ck_assert_double_eq_tol(ties[2].found.apart_mm, 5.0, 1e-9);
    ck_assert(!ties[2].found.carrier_moves);
    builds[2].plate_range_mm = 402;
    tie_resolve(&mount, builds, 3, NAN, ties);
    ck_assert(!ties[2].alarm);
}
END_TEST

START_TEST(computed_from_the_parts)
{
    struct tie_build builds[5] = {usual(), with(usual(), BIKE_SPACERS, 10),
                                  with(usual(), BIKE_SPACERS, 10), usual(),
                                  with(usual(), BIKE_STEM_ANGLE, -6)};
    struct tie ties[5];
    ck_assert_int_eq(tie_resolve(&on_base_bar, builds, 5, NAN, ties), TIE_COMPUTED);
    ck_assert_int_eq(ties[1].kind, TIE_COMPUTED);
    ck_assert_double_eq_tol(ties[1].shift_mm, -9.563, 0.0006);
    ck_assert_double_eq_tol(ties[1].shift_x_mm, 2.924, 0.0006);
    ck_assert_double_eq_tol(ties[0].sensor_height_mm, 618.252, 0.0006);
    ck_assert_double_eq_tol(ties[1].sensor_height_mm, 608.689, 0.0006);
    ck_assert(ties[1].absolute);
    ck_assert_double_gt(ties[1].u_absolute_mm,
                        3.0); /* where the bars are at all is known less well */
    ck_assert_double_eq(ties[1].u_common_mm, 0.5);
    ck_assert_double_eq(ties[1].u_build_mm, 0.3);
    /* The same parts put together again share what is wrong with their labels. */
    ck_assert_int_eq(ties[1].position_group, ties[2].position_group);
    ck_assert_double_eq_tol(between_mm(&ties[1], &ties[2]), 0.3 * sqrt(2.0), 1e-12);
    /* Back to setup 1: nothing but the putting together. */
    ck_assert_int_eq(ties[3].position_group, 0);
    ck_assert_double_eq(ties[3].shift_mm, 0);
    ck_assert_double_eq(ties[3].u_common_mm, 0);
    ck_assert_double_eq(ties[3].u_build_mm, 0.3);
    /* Another stem: 597.333 - 578.252 (tests/bike/test_geometry.c). */
    ck_assert_double_eq_tol(ties[4].shift_mm, 19.081, 0.0011);
    ck_assert_double_eq_tol(ties[4].u_common_mm, 2.468, 0.001);
    ck_assert_int_ne(ties[4].position_group, ties[1].position_group);
}
END_TEST

/* There is nothing before it that it could have moved since. */
START_TEST(on_the_first_build_no_sensor_has_moved)
{
    struct tie_build builds[2] = {usual(), with(usual(), BIKE_SPACERS, 10)};
    struct tie ties[2];
    builds[0].moved = true;
    tie_resolve(&on_base_bar, builds, 2, NAN, ties);
    ck_assert_int_eq(ties[0].kind, TIE_FIRST);
    ck_assert_int_eq(ties[1].kind, TIE_COMPUTED);
    ck_assert_double_eq_tol(ties[1].shift_mm, -9.563, 0.0006);
}
END_TEST

START_TEST(what_was_not_touched_is_fixed)
{
    /* Pads lowered: a sensor on the base bar stays; one on the pad bracket goes with them. */
    struct tie_build builds[3] = {usual(), with(usual(), BIKE_PAD_RISE, 35), usual()};
    struct tie ties[3];
    tie_resolve(&on_base_bar, builds, 3, NAN, ties);
    ck_assert_int_eq(ties[1].kind, TIE_FIXED);
    ck_assert_int_eq(ties[2].kind, TIE_FIXED);
    ck_assert_double_eq(tie_uncertainty_mm(&ties[2]), 0);
    struct sensor_mount on_pads = on_base_bar;
    on_pads.carrier = CARRIER_PAD_BRACKET;
    tie_resolve(&on_pads, builds, 3, NAN, ties);
    ck_assert_int_eq(ties[1].kind, TIE_COMPUTED);
    ck_assert_double_eq_tol(ties[1].shift_mm, -20, 1e-9);
    ck_assert_int_eq(ties[2].kind, TIE_COMPUTED);
    ck_assert_double_eq(ties[2].u_build_mm, 0.3);
    /* Setup 2 read; then only pads changed: the same reading, and no averaging of it. */
    struct tie_build more[4] = {
        plate(usual(), 400, NAN), plate(with(usual(), BIKE_SPACERS, 10), 410, NAN),
        with(with(usual(), BIKE_SPACERS, 10), BIKE_PAD_RISE, 35), with(usual(), BIKE_SPACERS, 10)};
    struct tie four[4];
    tie_resolve(&on_base_bar, more, 4, NAN, four);
    for (int i = 1; i < 4; i++) {
        ck_assert_int_eq(four[i].kind, TIE_PLATE);
        ck_assert_double_eq_tol(four[i].shift_mm, -10, 1e-9);
        ck_assert_int_eq(four[i].position_group, four[1].position_group);
        ck_assert_double_eq_tol(four[i].u_common_mm, sqrt(2.0), 1e-12);
        ck_assert_double_eq(four[i].u_build_mm, 0);
    }
    ck_assert_double_eq(between_mm(&four[1], &four[3]), 0);
}
END_TEST

START_TEST(the_plate_wins_over_the_parts)
{
    struct tie_build builds[4] = {plate(usual(), 300, NAN),
                                  plate(with(usual(), BIKE_SPACERS, 10), 310.5, NAN),
                                  plate(with(usual(), BIKE_SPACERS, 0), 319, NAN), usual()};
    struct tie ties[4];
    tie_resolve(&on_base_bar, builds, 4, NAN, ties);
    ck_assert_int_eq(ties[1].kind, TIE_PLATE);
    ck_assert(ties[1].has_measured && ties[1].has_computed);
    ck_assert_double_eq_tol(ties[1].shift_mm, -10.5, 1e-9);
    ck_assert_double_eq_tol(ties[1].measured_shift_mm, -10.5, 1e-9);
    ck_assert_double_eq_tol(ties[1].computed_shift_mm, -9.563, 0.0006);
    ck_assert(!ties[1].alarm);
    ck_assert_double_eq_tol(ties[2].shift_mm, -19, 1e-9);
    /* Against the first build both readings count; between two read builds the first one's cancels.
     */
    ck_assert_double_eq_tol(tie_uncertainty_mm(&ties[1]), sqrt(2.0), 1e-12);
    ck_assert_int_eq(ties[1].position_group, ties[2].position_group);
    ck_assert_double_eq_tol(between_mm(&ties[1], &ties[2]), sqrt(2.0), 1e-12);
    ck_assert_double_eq_tol(between_mm(&ties[0], &ties[2]), sqrt(2.0), 1e-12);
    /* The return to setup 1 that was not read is tied by its parts, not by the plate. */
    ck_assert_int_eq(ties[3].kind, TIE_COMPUTED);
    ck_assert_double_eq(tie_uncertainty_mm(&ties[3]), 0.3);
    ck_assert_double_eq_tol(between_mm(&ties[3], &ties[2]), sqrt(2.0 + 0.09), 1e-12);
}
END_TEST

START_TEST(a_plate_of_known_height_gives_heights_over_the_bottom_bracket)
{
    struct sensor_mount mount = {CARRIER_BASE_BAR, 120, NAN, 10, +1};
    struct tie_build builds[2] = {plate(usual(), 300, 930),
                                  plate(with(usual(), BIKE_SPACERS, 10), 309.7, 930)};
    struct tie ties[2];
    ck_assert_int_eq(tie_resolve(&mount, builds, 2, NAN, ties), TIE_PLATE);
    double cosine = cos(10 * acos(-1.0) / 180.0);
    ck_assert(ties[0].absolute);
    ck_assert_double_eq_tol(ties[0].sensor_height_mm, 930 - 300 * cosine, 1e-9);
    ck_assert_double_eq(ties[0].u_absolute_mm, 1.0);
    ck_assert_double_eq(ties[1].u_absolute_mm, 1.0);
    ck_assert_double_eq_tol(ties[1].sensor_height_mm, 930 - 309.7 * cosine, 1e-9);
    /* Stated once: the others are of the same plate. */
    builds[1].plate_height_mm = NAN;
    tie_resolve(&mount, builds, 2, NAN, ties);
    ck_assert_double_eq_tol(ties[1].sensor_height_mm, 930 - 309.7 * cosine, 1e-9);
    /* Two plates of different stated heights agree on one scale; the third, not stated, is neither.
     */
    struct tie_build three[3] = {plate(usual(), 300, 930),
                                 plate(with(usual(), BIKE_SPACERS, 10), 269.7, 890),
                                 plate(with(usual(), BIKE_SPACERS, 0), 319, NAN)};
    struct tie other[3];
    tie_resolve(&mount, three, 3, NAN, other);
    ck_assert_double_eq_tol(other[1].shift_mm, 890 - 269.7 * cosine - (930 - 300 * cosine), 1e-9);
    ck_assert_int_eq(other[2].kind, TIE_COMPUTED);
    /* A sensor that looks down at a plate under it. */
    mount.direction = -1;
    mount.tilt_deg = 0;
    struct tie_build down[2] = {plate(usual(), 300, 200),
                                plate(with(usual(), BIKE_SPACERS, 10), 290.4, 200)};
    tie_resolve(&mount, down, 2, NAN, ties);
    ck_assert_double_eq_tol(ties[0].sensor_height_mm, 500, 1e-9);
    ck_assert_double_eq_tol(ties[1].shift_mm, -9.6, 1e-9);
    /* Unknown height, no height of the sensor: only shifts. */
    down[0].plate_height_mm = down[1].plate_height_mm = NAN;
    ck_assert_int_eq(tie_resolve(&mount, down, 2, NAN, ties), TIE_NONE);
    ck_assert(!ties[0].absolute && isnan(ties[0].u_absolute_mm));
    ck_assert_double_eq(ties[0].sensor_height_mm, 0);
    ck_assert_double_eq_tol(ties[1].sensor_height_mm, -9.6, 1e-9);
}
END_TEST

START_TEST(tape_and_the_second_sensor)
{
    struct tie_build builds[3] = {tape(usual(), 620), tape(with(usual(), BIKE_SPACERS, 10), 611),
                                  tape(with(usual(), BIKE_SPACERS, 0), 601)};
    struct tie ties[3];
    ck_assert_int_eq(tie_resolve(&on_base_bar, builds, 3, NAN, ties), TIE_TAPE);
    ck_assert_int_eq(ties[1].kind, TIE_TAPE);
    ck_assert_double_eq(ties[0].sensor_height_mm, 620); /* the tape's, not the parts' 618.25 */
    ck_assert_double_eq(ties[0].u_absolute_mm, 2.0);
    ck_assert_double_eq(ties[1].sensor_height_mm, 611);
    ck_assert_double_eq_tol(tie_uncertainty_mm(&ties[1]), 2.0 * sqrt(2.0), 1e-12);
    /* A plate on two of them wins there. */
    builds[0] = plate(builds[0], 300, NAN);
    builds[1] = plate(builds[1], 310, NAN);
    tie_resolve(&on_base_bar, builds, 3, NAN, ties);
    ck_assert_int_eq(ties[1].kind, TIE_PLATE);
    ck_assert_double_eq(ties[1].sensor_height_mm, 610);
    ck_assert_int_eq(ties[2].kind, TIE_TAPE);
    ck_assert_int_ne(ties[1].position_group, ties[2].position_group);
    /* A second sensor wins over all. */
    builds[0].reference_range_mm = 450;
    builds[1].reference_range_mm = 441;
    tie_resolve(&on_base_bar, builds, 3, NAN, ties);
    ck_assert_int_eq(ties[1].kind, TIE_REFERENCE);
    ck_assert_double_eq_tol(ties[1].shift_mm, -9, 1e-12);
    ck_assert_double_eq_tol(tie_uncertainty_mm(&ties[1]), sqrt(2.0), 1e-12); /* 1 mm, twice */
    builds[0].reference_direction = builds[1].reference_direction = +1;
    tie_resolve(&on_base_bar, builds, 3, NAN, ties);
    ck_assert_double_eq_tol(ties[1].shift_mm, 9, 1e-12);
    ck_assert(ties[1].alarm);
    /* It sees each build for itself, also where no part that moves it was changed. */
    struct tie_build flexing[2] = {usual(), with(usual(), BIKE_PAD_RISE, 35)};
    flexing[0].reference_range_mm = 450;
    tie_resolve(&on_base_bar, flexing, 2, NAN, ties);
    ck_assert_int_eq(ties[1].kind, TIE_FIXED);
    flexing[1].reference_range_mm = 448.5;
    tie_resolve(&on_base_bar, flexing, 2, NAN, ties);
    ck_assert_int_eq(ties[1].kind, TIE_REFERENCE);
    ck_assert_double_eq_tol(ties[1].shift_mm, -1.5, 1e-12);
}
END_TEST

/* Each plate 1 mm, twice; spacers 0.5: u = 1.5, told from 2.6 u = 3.9 mm on. */
START_TEST(measured_and_computed_too_far_apart)
{
    struct tie_build builds[2] = {plate(usual(), 300, NAN),
                                  plate(with(usual(), BIKE_SPACERS, 10), 305.7, NAN)};
    struct tie ties[2];
    tie_resolve(&on_base_bar, builds, 2, NAN, ties);
    ck_assert(!ties[1].alarm); /* -5.7 for -9.56: 3.86 */
    builds[1].plate_range_mm = 305.6;
    tie_resolve(&on_base_bar, builds, 2, NAN, ties);
    ck_assert(ties[1].alarm);
    ck_assert_int_eq(ties[1].found.kind, TIE_FOUND_OFF_PARTS);
    ck_assert_int_eq(ties[1].found.by, TIE_PLATE);
    ck_assert_double_eq_tol(ties[1].found.apart_mm, 3.96, 0.005);
    ck_assert(!ties[1].found.other_stem);
    ck_assert_double_eq_tol(ties[1].shift_mm, -5.6, 1e-9);
    ck_assert(!ties[0].alarm);
    builds[1] = plate(with(usual(), BIKE_STEM_ANGLE, -6), 265, NAN);
    tie_resolve(&on_base_bar, builds, 2, NAN, ties);
    ck_assert(ties[1].alarm);
    ck_assert(ties[1].found.other_stem);
    /* two tapes of 2 mm: u = 2.87, 7.47 mm */
    builds[0] = tape(usual(), 620);
    builds[1] = tape(with(usual(), BIKE_SPACERS, 10), 603);
    tie_resolve(&on_base_bar, builds, 2, NAN, ties);
    ck_assert(!ties[1].alarm); /* -17 for -9.56: 7.44 */
    builds[1] = tape(with(usual(), BIKE_SPACERS, 10), 602.9);
    tie_resolve(&on_base_bar, builds, 2, NAN, ties);
    ck_assert(ties[1].alarm);
    ck_assert_int_eq(ties[1].found.by, TIE_TAPE);
    ck_assert_double_eq_tol(ties[1].found.apart_mm, 7.54, 0.005);
    ck_assert(!ties[1].found.other_stem);
}
END_TEST

START_TEST(not_tied_until_it_is_known)
{
    struct bike_values bare;
    bike_values_clear(&bare);
    struct tie_build builds[3] = {build_of(bare), with(build_of(bare), BIKE_SPACERS, 10),
                                  build_of(bare)};
    struct tie ties[3];
    struct sensor_mount mount = {CARRIER_BASE_BAR, 120, NAN, 0, +1};
    builds[0].bike.value[BIKE_SPACERS] = builds[2].bike.value[BIKE_SPACERS] = 20;
    tie_resolve(&mount, builds, 3, NAN, ties);
    ck_assert_int_eq(ties[1].kind, TIE_NONE);
    ck_assert(isnan(ties[1].shift_mm) && isnan(ties[1].u_build_mm));
    ck_assert_double_eq(ties[1].sensor_height_mm, 0);
    ck_assert_int_eq(ties[1].found.kind, TIE_FOUND_MISSING);
    ck_assert_ptr_nonnull(strstr(ties[1].found.missing, "needs head angle"));
    ck_assert(!ties[1].found.read);
    ck_assert_int_eq(ties[2].kind, TIE_COMPUTED); /* the same parts again need no geometry */
    /* Read on this build alone: the level of the plate is not known. */
    builds[1] = plate(builds[1], 310, NAN);
    tie_resolve(&mount, builds, 3, NAN, ties);
    ck_assert_int_eq(ties[1].kind, TIE_NONE);
    ck_assert(ties[1].found.read);
    /* Read on the return to setup 1: that ties it. */
    builds[2] = plate(builds[2], 300, NAN);
    tie_resolve(&mount, builds, 3, NAN, ties);
    ck_assert_int_eq(ties[1].kind, TIE_PLATE);
    ck_assert_double_eq_tol(ties[1].shift_mm, -10, 1e-9);
    ck_assert_double_eq_tol(tie_uncertainty_mm(&ties[1]), sqrt(2.0 + 0.09), 1e-12);
    ck_assert_int_eq(ties[2].kind, TIE_COMPUTED);
    ck_assert_double_eq(tie_uncertainty_mm(&ties[2]), 0.3);
    /* Read late on the first too: that is better still. */
    builds[0] = plate(builds[0], 300.5, NAN);
    tie_resolve(&mount, builds, 3, NAN, ties);
    ck_assert_double_eq_tol(ties[1].shift_mm, -9.5, 1e-9);
    ck_assert_int_eq(ties[2].kind, TIE_PLATE);
}
END_TEST

START_TEST(which_reading_a_build_hangs_on)
{
    /* The first parts again and not read: tied by being the same, not by another return that was
     * read. */
    struct tie_build returns[4] = {plate(usual(), 300, NAN),
                                   plate(with(usual(), BIKE_SPACERS, 10), 310, NAN),
                                   plate(usual(), 301, NAN), usual()};
    struct tie ties[4];
    tie_resolve(&on_base_bar, returns, 4, NAN, ties);
    ck_assert_double_eq_tol(ties[2].shift_mm, -1, 1e-9);
    ck_assert_double_eq(ties[3].shift_mm, 0);
    ck_assert_double_eq(tie_uncertainty_mm(&ties[3]), 0.3);
    /* Read by tape alone, on a level that a build tied by plate gives it: 1 and 1 of the plate, 2
     * and 2 of the tape, though the stem's label alone would be 2.5. */
    struct tie_build mixed[3] = {plate(usual(), 300, NAN),
                                 tape(plate(with(usual(), BIKE_STEM_ANGLE, -6), 281, NAN), 640),
                                 tape(with(usual(), BIKE_STEM_ANGLE, 6), 659)};
    tie_resolve(&on_base_bar, mixed, 3, NAN, ties);
    ck_assert_int_eq(ties[2].kind, TIE_TAPE);
    ck_assert_double_eq_tol(ties[2].shift_mm, 19 + 19, 1e-9);
    ck_assert_double_eq_tol(tie_uncertainty_mm(&ties[2]), sqrt(1 + 1 + 4 + 4), 1e-12);
    /* The first was not read: two others with stems of unsure label are known well against each
     * other. */
    struct tie_build not_first[3] = {usual(), plate(with(usual(), BIKE_STEM_ANGLE, -6), 281, NAN),
                                     plate(with(usual(), BIKE_STEM_ANGLE, 6), 262, NAN)};
    tie_resolve(&on_base_bar, not_first, 3, NAN, ties);
    ck_assert_int_eq(ties[1].kind, TIE_COMPUTED);
    ck_assert_double_eq_tol(ties[2].shift_mm, ties[1].shift_mm + 19, 1e-9);
    ck_assert_double_eq_tol(between_mm(&ties[1], &ties[2]), sqrt(2.0), 1e-12);
    ck_assert_double_gt(tie_uncertainty_mm(&ties[2]), 2.46);
}
END_TEST

START_TEST(a_sensor_that_went_fore_aft_under_a_sloping_trunk)
{
    struct tie_build builds[3] = {plate(usual(), 300, NAN),
                                  plate(with(usual(), BIKE_STEM_LENGTH, 110), 300, NAN),
                                  plate(with(usual(), BIKE_STEM_LENGTH, 110), 301, NAN)};
    struct tie ties[3];
    tie_resolve(&on_base_bar, builds, 3, 18, ties);
    ck_assert_double_eq_tol(ties[1].shift_x_mm, 10, 1e-9);
    /* 3 to 4 mm per 10 mm; 10 tan 18 = 3.249. It is the same for both builds. */
    ck_assert_double_eq_tol(ties[1].u_common_mm, sqrt(3.2492 * 3.2492 + 1.0), 0.0005);
    ck_assert_double_eq_tol(ties[1].u_build_mm, 1.0, 1e-12);
    ck_assert_int_eq(ties[1].position_group, ties[2].position_group);
    tie_resolve(&on_base_bar, builds, 3, NAN, ties);
    ck_assert_double_eq_tol(tie_uncertainty_mm(&ties[1]), sqrt(2.0), 1e-12);
}
END_TEST

START_TEST(many_builds_and_none)
{
    static struct tie_build builds[TIE_BUILDS_MAX];
    static struct tie ties[TIE_BUILDS_MAX];
    for (int i = 0; i < TIE_BUILDS_MAX; i++) {
        builds[i] = plate(with(usual(), BIKE_SPACERS, i), 300 + i, NAN);
    }
    tie_resolve(&on_base_bar, builds, 0, NAN, ties);
    tie_resolve(&on_base_bar, builds, TIE_BUILDS_MAX, NAN, ties);
    ck_assert_double_eq_tol(ties[TIE_BUILDS_MAX - 1].shift_mm, 1 - TIE_BUILDS_MAX, 1e-9);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("tie");
    TCase *tests = tcase_create("tie");
    tcase_add_test(tests, carriers_that_stand_still_stay_where_they_are);
    tcase_add_test(tests, computed_from_the_parts);
    tcase_add_test(tests, on_the_first_build_no_sensor_has_moved);
    tcase_add_test(tests, what_was_not_touched_is_fixed);
    tcase_add_test(tests, the_plate_wins_over_the_parts);
    tcase_add_test(tests, a_plate_of_known_height_gives_heights_over_the_bottom_bracket);
    tcase_add_test(tests, tape_and_the_second_sensor);
    tcase_add_test(tests, measured_and_computed_too_far_apart);
    tcase_add_test(tests, not_tied_until_it_is_known);
    tcase_add_test(tests, which_reading_a_build_hangs_on);
    tcase_add_test(tests, a_sensor_that_went_fore_aft_under_a_sloping_trunk);
    tcase_add_test(tests, many_builds_and_none);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
