/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Which reading ties a build where several could, and what is told of it. */
#include "bike/uncertainty.h"
#include "support/test_main.h"
#include "tie_builds.h"

#include <math.h>
#include <string.h>

/* Nothing but its spacers is known: no shift is computed. */
static struct tie_build bare(double spacers_mm)
{
    struct bike_values bike;
    bike_values_clear(&bike);
    bike.value[BIKE_SPACERS] = spacers_mm;
    return build_of(bike);
}

START_TEST(parts_that_were_not_read_go_with_their_best_reading)
{
    struct tie_build low = with(usual(), BIKE_SPACERS, 10);
    struct tie_build builds[4] = {plate(tape(usual(), 620), 300, NAN), tape(low, 611),
                                  plate(low, 310, NAN), low};
    struct tie ties[4];
    tie_resolve(&on_base_bar, builds, 4, NAN, ties);
    ck_assert_int_eq(ties[1].kind,
                     TIE_TAPE); /* a reading of its own is no worse than a new build */
    ck_assert_double_eq_tol(ties[1].shift_mm, -9, 1e-12);
    ck_assert_int_eq(ties[2].kind, TIE_PLATE);
    ck_assert_int_eq(ties[3].kind, TIE_PLATE);
    ck_assert_double_eq_tol(ties[3].shift_mm, -10, 1e-12);
    ck_assert_double_eq_tol(tie_uncertainty_mm(&ties[3]), sqrt(1 + 1 + 0.09), 1e-12);
    ck_assert_int_eq(ties[3].position_group, ties[2].position_group);
    ck_assert_int_ne(ties[1].position_group, ties[2].position_group);
    for (int i = 0; i < 4; i++) {
        ck_assert_int_eq(ties[i].found.kind, i < 3 ? TIE_FOUND_NOTHING : TIE_FOUND_NOT_READ);
        ck_assert(ties[i].has_measured == (i == 1 || i == 2));
        ck_assert(isnan(ties[i].measured_shift_mm) == !ties[i].has_measured);
    }
}
END_TEST

START_TEST(a_reading_of_its_own_wins_though_its_level_is_found_later)
{
    struct tie_build builds[3] = {plate(bare(20), 300, NAN), plate(tape(bare(10), 611), 310, NAN),
                                  tape(bare(10), 612.5)};
    struct tie ties[3];
    struct sensor_mount mount = {CARRIER_BASE_BAR, 120, NAN, 0, +1};
    tie_resolve(&mount, builds, 3, NAN, ties);
    ck_assert_int_eq(ties[2].kind, TIE_TAPE);
    ck_assert_double_eq_tol(ties[2].shift_mm, -10 + 1.5, 1e-9);
}
END_TEST

/* The first build by the second sensor alone, the last by tape alone: one that both second sensor
 * and plate read, one that both plate and tape read. Six readings: 1, 1, 1, 1, 2 and 2 mm. */
START_TEST(a_level_goes_from_means_to_means)
{
    struct tie_build builds[4] = {bare(20), plate(bare(10), 310, NAN),
                                  plate(tape(bare(0), 600), 319, NAN), tape(bare(5), 606)};
    struct tie ties[4];
    struct sensor_mount mount = {CARRIER_BASE_BAR, 120, NAN, 0, +1};
    builds[0].reference_range_mm = 450;
    builds[1].reference_range_mm = 441;
    tie_resolve(&mount, builds, 4, NAN, ties);
    ck_assert_int_eq(ties[1].kind, TIE_REFERENCE);
    ck_assert_double_eq_tol(ties[1].shift_mm, -9, 1e-9);
    ck_assert_int_eq(ties[2].kind, TIE_PLATE);
    ck_assert_double_eq_tol(ties[2].shift_mm, -9 - 9, 1e-9);
    ck_assert_int_eq(ties[3].kind, TIE_TAPE);
    ck_assert_double_eq_tol(ties[3].shift_mm, -18 + 6, 1e-9);
    ck_assert_double_eq_tol(tie_uncertainty_mm(&ties[3]), sqrt(4.0 * 1 + 2.0 * 4), 1e-9);
}
END_TEST

/* What has no reading follows that of its parts when this gets a better level. */
START_TEST(parts_that_were_not_read_follow_a_better_level)
{
    struct tie_build builds[4] = {
        plate(usual(), 300, NAN), tape(plate(with(usual(), BIKE_STEM_ANGLE, -6), 281, NAN), 640),
        tape(with(usual(), BIKE_STEM_ANGLE, 6), 659), with(usual(), BIKE_STEM_ANGLE, 6)};
    struct tie ties[4];
    tie_resolve(&on_base_bar, builds, 4, NAN, ties);
    ck_assert_double_eq_tol(ties[2].shift_mm, 19 + 19, 1e-9);
    ck_assert_int_eq(ties[3].kind, TIE_TAPE);
    ck_assert_double_eq_tol(ties[3].shift_mm, ties[2].shift_mm, 1e-12);
    ck_assert_int_eq(ties[3].found.kind, TIE_FOUND_NOT_READ);
}
END_TEST

/* The first build was not read: the one that gives the level stays where its parts put it. */
START_TEST(what_gives_the_level_is_not_tied_by_it)
{
    struct tie_build stem = with(usual(), BIKE_STEM_ANGLE, -6);
    struct tie_build builds[3] = {usual(), plate(stem, 281, NAN), plate(stem, 280, NAN)};
    struct tie ties[3];
    tie_resolve(&on_base_bar, builds, 3, NAN, ties);
    ck_assert_int_eq(ties[1].kind, TIE_COMPUTED);
    ck_assert_int_eq(ties[2].kind, TIE_PLATE);
    ck_assert_double_eq_tol(ties[2].shift_mm, ties[1].shift_mm + 1, 1e-9);
}
END_TEST

/* Readings on builds between which nothing moved are one, of their mean, better by the root of
 * their number. */
START_TEST(readings_of_one_assembly_are_averaged)
{
    struct tie_build low = with(usual(), BIKE_SPACERS, 10);
    struct tie_build builds[3] = {plate(usual(), 300, NAN), plate(low, 310, NAN),
                                  plate(with(low, BIKE_PAD_RISE, 35), 311, NAN)};
    struct tie ties[3];
    tie_resolve(&on_base_bar, builds, 3, NAN, ties);
    for (int i = 1; i < 3; i++) {
        ck_assert_double_eq_tol(ties[i].shift_mm, -10.5, 1e-9);
        ck_assert_double_eq_tol(tie_uncertainty_mm(&ties[i]), sqrt(1 + 0.5), 1e-12);
    }
}
END_TEST

/* 2.6 times the uncertainty of a difference of two readings, 1 mm of a plate and 2 of a tape: what
 * is no more is not told. */
START_TEST(readings_may_be_so_far_apart)
{
    struct sensor_mount mount = {CARRIER_STAND, 500, 200, 0, +1};
    const double most = 2.6 * (sqrt(2.0) * 2.0);
    struct tie_build builds[2] = {tape(usual(), 0), tape(usual(), most)};
    struct tie ties[2];
    tie_resolve(&mount, builds, 2, NAN, ties);
    ck_assert(!ties[1].alarm);
    builds[1] = tape(usual(), nextafter(most, INFINITY));
    tie_resolve(&mount, builds, 2, NAN, ties);
    ck_assert(ties[1].alarm);
    ck_assert_int_eq(ties[1].found.by, TIE_TAPE);
    /* The same parts put together again, which moves nothing: the same of two plates. */
    const double plates = 2.6 * sqrt(2.0);
    builds[0] = plate(usual(), 0, NAN);
    builds[1] = plate(usual(), plates, NAN);
    tie_resolve(&on_base_bar, builds, 2, NAN, ties);
    ck_assert_int_eq(ties[1].kind, TIE_PLATE);
    ck_assert(!ties[1].alarm);
    builds[1] = plate(usual(), nextafter(plates, INFINITY), NAN);
    tie_resolve(&on_base_bar, builds, 2, NAN, ties);
    ck_assert(ties[1].alarm);
    ck_assert_int_eq(ties[1].found.kind, TIE_FOUND_OFF_PARTS);
}
END_TEST

/* A sensor that was moved by hand is where it is read, which the parts don't contradict. */
START_TEST(a_moved_sensor_is_not_held_against_the_parts)
{
    struct tie_build builds[2] = {plate(usual(), 300, NAN), plate(usual(), 350, NAN)};
    struct tie ties[2];
    builds[1].moved = true;
    tie_resolve(&on_base_bar, builds, 2, NAN, ties);
    ck_assert_int_eq(ties[1].kind, TIE_PLATE);
    ck_assert_double_eq_tol(ties[1].shift_mm, -50, 1e-9);
    ck_assert(!ties[1].has_computed);
    ck_assert(!ties[1].alarm);
    ck_assert_int_eq(ties[1].found.kind, TIE_FOUND_NOTHING);
}
END_TEST

/* A later build over the bottom bracket gives the first its height by the shift between them:
 * 10 mm of spacers move the clamp by 9.563 mm, known to 0.5 and put together again to 0.3. */
START_TEST(the_first_height_from_a_later_reading)
{
    struct tie_build low = with(usual(), BIKE_SPACERS, 10);
    struct tie_build builds[2] = {usual(), plate(low, 300, 930)};
    struct tie ties[3];
    const double own = hypot(0.5, 0.3);
    ck_assert_int_eq(tie_resolve(&on_base_bar, builds, 2, NAN, ties), TIE_PLATE);
    ck_assert_double_eq_tol(ties[0].sensor_height_mm, 630 + 9.563, 0.0006);
    ck_assert_double_eq_tol(ties[1].sensor_height_mm, 630, 0.0006);
    ck_assert_double_eq_tol(ties[0].u_absolute_mm, hypot(1, own), 1e-12);
    ck_assert_double_eq_tol(ties[0].u_own_mm, hypot(1, own), 1e-12);
    /* One that is tied by the same plate adds nothing: it is still the other's height. */
    struct tie_build both[3] = {usual(), plate(with(usual(), BIKE_STEM_ANGLE, -6), 281, 930),
                                plate(low, 300, 930)};
    tie_resolve(&on_base_bar, both, 3, NAN, ties);
    ck_assert_int_eq(ties[1].kind, TIE_PLATE);
    ck_assert_double_eq_tol(ties[0].sensor_height_mm, 630 + 9.563, 0.0006);
    ck_assert_double_eq_tol(ties[0].u_absolute_mm, hypot(1, own), 1e-12);
}
END_TEST

/* Fixed to 2 mm, on a point of the bike that is known as well as the bike was measured. */
START_TEST(the_first_height_from_the_parts)
{
    struct tie_build build = usual();
    struct points_uncertainty u;
    struct tie tie;
    ck_assert(bike_uncertainty(&build.bike, NULL, &u, NULL));
    const struct {
        enum carrier carrier;
        double u_mm;
    } cases[] = {{CARRIER_STAND, 0},
                 {CARRIER_BASE_BAR, u.clamp.y_mm},
                 {CARRIER_PAD_BRACKET, u.pad.y_mm},
                 {CARRIER_EXTENSION, u.extension_tip.y_mm}};
    for (int i = 0; i < 4; i++) {
        struct sensor_mount mount = {cases[i].carrier, 120, 40, 0, +1};
        ck_assert_int_eq(tie_resolve(&mount, &build, 1, NAN, &tie), TIE_COMPUTED);
        ck_assert_double_eq_tol(tie.u_absolute_mm, hypot(2, cases[i].u_mm), 1e-12);
        ck_assert_double_eq(tie.u_own_mm, 2.0);
        ck_assert(i == 0 || cases[i].u_mm > cases[i - 1].u_mm);
    }
}
END_TEST

/* A rolled bar turns the beam: 10 degrees lean less 5. */
START_TEST(a_turned_beam_reads_the_plate_at_its_slant)
{
    struct sensor_mount mount = {CARRIER_BASE_BAR, 120, 40, 10, +1};
    struct tie_build builds[2] = {plate(usual(), 300, 930),
                                  plate(with(usual(), BIKE_BAR_ROLL, 5), 290, 930)};
    struct tie ties[2];
    const double degree = acos(-1.0) / 180.0;
    tie_resolve(&mount, builds, 2, NAN, ties);
    ck_assert_double_eq_tol(ties[1].shift_tilt_deg, -5, 1e-12);
    ck_assert_double_eq_tol(ties[1].tilt_deg, 5, 1e-12);
    ck_assert_double_eq_tol(ties[1].sensor_height_mm, 930 - 290 * cos(5 * degree), 1e-9);
}
END_TEST

/* Under a sloping trunk each place fore-aft is a group of its own, read or not. */
START_TEST(places_under_a_sloping_trunk_are_groups)
{
    struct tie_build builds[3] = {plate(usual(), 300, NAN),
                                  plate(with(usual(), BIKE_STEM_LENGTH, 110), 300, NAN),
                                  plate(with(usual(), BIKE_STEM_LENGTH, 120), 301, NAN)};
    struct tie ties[3];
    tie_resolve(&on_base_bar, builds, 3, 18, ties);
    ck_assert_int_ne(ties[1].position_group, ties[2].position_group);
    tie_resolve(&on_base_bar, builds, 3, NAN, ties);
    ck_assert_int_eq(ties[1].position_group, ties[2].position_group);
}
END_TEST

START_TEST(what_a_kind_of_tie_means)
{
    static const struct {
        enum tie_kind kind;
        bool read;
    } kinds[] = {{TIE_NONE, false}, {TIE_FIRST, false}, {TIE_FIXED, false},   {TIE_REFERENCE, true},
                 {TIE_PLATE, true}, {TIE_TAPE, true},   {TIE_COMPUTED, false}};
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        struct tie tie = {.kind = kinds[i].kind, .absolute = true};
        ck_assert(tie_is_read(&tie) == kinds[i].read);
        ck_assert(tie_is_over_bottom_bracket(&tie) == (kinds[i].kind != TIE_NONE));
        tie.absolute = false;
        ck_assert(!tie_is_over_bottom_bracket(&tie));
    }
}
END_TEST

/* As many as there is room for are taken, and no more is written. */
START_TEST(there_is_room_for_so_many_builds)
{
    static struct tie_build builds[TIE_BUILDS_MAX + 1];
    static struct tie ties[TIE_BUILDS_MAX + 1];
    for (int i = 0; i <= TIE_BUILDS_MAX; i++) {
        builds[i] = plate(with(usual(), BIKE_SPACERS, i), 300 + i, NAN);
    }
    for (int more = 0; more < 2; more++) {
        memset(&ties[TIE_BUILDS_MAX], 0x55, sizeof ties[0]);
        const struct tie untouched = ties[TIE_BUILDS_MAX];
        tie_resolve(&on_base_bar, builds, TIE_BUILDS_MAX + more, NAN, ties);
        ck_assert_double_eq_tol(ties[TIE_BUILDS_MAX - 1].shift_mm, 1 - TIE_BUILDS_MAX, 1e-9);
        ck_assert_mem_eq(&ties[TIE_BUILDS_MAX], &untouched, sizeof untouched);
    }
    ck_assert_int_eq(tie_resolve(&on_base_bar, builds, 0, NAN, ties), TIE_NONE);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("tie readings");
    TCase *tests = tcase_create("tie readings");
    tcase_add_test(tests, parts_that_were_not_read_go_with_their_best_reading);
    tcase_add_test(tests, a_reading_of_its_own_wins_though_its_level_is_found_later);
    tcase_add_test(tests, a_level_goes_from_means_to_means);
    tcase_add_test(tests, parts_that_were_not_read_follow_a_better_level);
    tcase_add_test(tests, what_gives_the_level_is_not_tied_by_it);
    tcase_add_test(tests, readings_of_one_assembly_are_averaged);
    tcase_add_test(tests, readings_may_be_so_far_apart);
    tcase_add_test(tests, a_moved_sensor_is_not_held_against_the_parts);
    tcase_add_test(tests, the_first_height_from_a_later_reading);
    tcase_add_test(tests, the_first_height_from_the_parts);
    tcase_add_test(tests, a_turned_beam_reads_the_plate_at_its_slant);
    tcase_add_test(tests, places_under_a_sloping_trunk_are_groups);
    tcase_add_test(tests, what_a_kind_of_tie_means);
    tcase_add_test(tests, there_is_room_for_so_many_builds);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
