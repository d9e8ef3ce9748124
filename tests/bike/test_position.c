/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bike/position.h"
#include "bike/uncertainty.h"
#include "bike/wrench.h"
#include "support/bikes.h"
#include "support/test_main.h"
#include "support/test_seed.h"

#include <math.h>
#include <string.h>

#define SEED 20260113

START_TEST(a_degree_of_the_head_angle_moves_the_bars)
{
    struct bike_values bike = usual_bike();
    struct points_uncertainty u;
    double error[BIKE_KEYS] = {0};
    error[BIKE_HEAD_ANGLE] = 1.0;
    bike.value[BIKE_STEM_ANGLE] = 0;
    ck_assert(bike_uncertainty(&bike, error, &u, NULL));
    /* own computation: 0.01745 sqrt(h^2 + L^2) = 1.9 mm at h = 40, L = 100 (a stem at
     * right angles to the steerer). */
    ck_assert_double_eq_tol(hypot(u.clamp.x_mm, u.clamp.y_mm), 1.88, 0.01);
    ck_assert_double_eq_tol(hypot(u.pad.x_mm, u.pad.y_mm), 1.88, 0.01);
    bike.value[BIKE_STEM_ANGLE] = -17;
    error[BIKE_HEAD_ANGLE] = 0.0;
    error[BIKE_STEM_ANGLE] = 1.0;
    ck_assert(bike_uncertainty(&bike, error, &u, NULL));
    ck_assert_double_eq_tol(u.clamp.y_mm, 1.7453, 0.001); /* a level stem of 100 mm */
    ck_assert_double_eq_tol(u.clamp.x_mm, 0.0, 1e-9);
    ck_assert(isnan(u.saddle.y_mm));
}
END_TEST

START_TEST(uncertainty_is_the_scatter_of_measured_bikes)
{
    struct random_source source;
    struct bike_values bike = usual_bike();
    struct points_uncertainty u;
    random_seed(&source, test_seed(SEED));
    bike.value[BIKE_SADDLE_HEIGHT] = 760;
    bike.value[BIKE_SEAT_ANGLE] = 74;
    bike.value[BIKE_BAR_ROLL] = 4;
    bike.value[BIKE_HEADSET_CAP] = 5;
    ck_assert(bike_uncertainty(&bike, NULL, &u, NULL));
    enum { N = 20000 };
    double sum[8] = {0}, squares[8] = {0};
    for (int i = 0; i < N; i++) {
        struct bike_values measured = bike;
        struct bike_points p;
        for (int k = 0; k < BIKE_KEYS; k++) {
            measured.value[k] = bike_value(&bike, (enum bike_key)k) +
                                measuring_error(&bike, (enum bike_key)k) * random_normal(&source);
        }
        ck_assert(bike_forward(&measured, &p, NULL));
        double at[8] = {p.clamp.x_mm,         p.clamp.y_mm,         p.pad.x_mm,    p.pad.y_mm,
                        p.extension_tip.x_mm, p.extension_tip.y_mm, p.saddle.x_mm, p.saddle.y_mm};
        for (int k = 0; k < 8; k++) {
            sum[k] += at[k];
            squares[k] += at[k] * at[k];
        }
    }
    double stated[8] = {u.clamp.x_mm,         u.clamp.y_mm,         u.pad.x_mm,    u.pad.y_mm,
                        u.extension_tip.x_mm, u.extension_tip.y_mm, u.saddle.x_mm, u.saddle.y_mm};
    for (int k = 0; k < 8; k++) {
        double mean = sum[k] / (double)N, sd = sqrt(squares[k] / (double)N - mean * mean);
        ck_assert_double_gt(stated[k], 0.3);
        ck_assert_double_lt(fabs(sd / stated[k] - 1.0), 0.03);
    }
    /* What is assumed is known less well. */
    struct points_uncertainty more;
    bike.value[BIKE_STEM_CLAMP_HEIGHT] = 40;
    ck_assert(bike_uncertainty(&bike, NULL, &u, NULL));
    bike.value[BIKE_STEM_CLAMP_HEIGHT] = NAN;
    ck_assert(bike_uncertainty(&bike, NULL, &more, NULL));
    ck_assert_double_gt(more.clamp.y_mm, u.clamp.y_mm + 0.3);
    bike.value[BIKE_REACH] = NAN;
    ck_assert(!bike_uncertainty(&bike, NULL, &u, NULL));
}
END_TEST

START_TEST(what_to_turn_from_one_setup_to_another)
{
    struct bike_values from = usual_bike(), to = from;
    struct wrench_list list;
    char text[64];
    wrench_list_make(&from, &to, &list);
    ck_assert_int_eq(list.count, 0);
    ck_assert(list.has_moves);
    move_text(text, sizeof text, list.clamp_move);
    ck_assert_str_eq(text, "not at all");
    to.value[BIKE_SPACERS] = 10;
    to.value[BIKE_PAD_RISE] = 35;
    to.value[BIKE_STEM_ANGLE] = 17;
    wrench_list_make(&from, &to, &list);
    ck_assert_int_eq(list.count, 3);
    ck_assert_str_eq(list.step[0].text, "stem: turn it over (-17 to 17 deg)");
    ck_assert_str_eq(list.step[1].text,
                     "spacers: move 10 mm from under the stem to above it (20 to 10)");
    ck_assert_str_eq(list.step[2].text, "pad rise: lower by 20 mm (55 to 35)");
    wrench_list_make(&to, &from, &list);
    ck_assert_str_eq(list.step[1].text,
                     "spacers: put 10 mm under the stem, from above it (10 to 20)");
    ck_assert_str_eq(list.step[2].text, "pad rise: raise by 20 mm (35 to 55)");
    to = from;
    to.value[BIKE_SPACERS] = 10;
    to.value[BIKE_STEM_LENGTH] = 90;
    to.value[BIKE_STEM_ANGLE] = -6;
    to.value[BIKE_SADDLE_SETBACK] = 50.5;
    to.value[BIKE_CRANK_LENGTH] = 165;
    from.value[BIKE_CRANK_LENGTH] = 170;
    wrench_list_make(&from, &to, &list);
    ck_assert_int_eq(list.count, 4);
    ck_assert_str_eq(list.step[0].text, "stem: change 100 mm, -17 deg for 90 mm, -6 deg");
    ck_assert_str_eq(list.step[2].text, "saddle set-back: not known to 50.5 mm");
    ck_assert_str_eq(list.step[3].text, "crank length: 170 to 165 mm");
    /* By hand: stem end (90 cos 11, 90 sin 11) against (100, 0), spacers (+2.92, -9.56). */
    ck_assert_double_eq_tol(list.clamp_move.x_mm, 88.35 - 100 + 2.92, 0.01);
    ck_assert_double_eq_tol(list.clamp_move.y_mm, 17.17 - 9.56, 0.01);
    move_text(text, sizeof text, list.clamp_move);
    ck_assert_str_eq(text, "up 8, back 9");
    to.value[BIKE_HEAD_ANGLE] = NAN;
    wrench_list_make(&from, &to, &list);
    ck_assert(!list.has_moves);
    ck_assert_ptr_nonnull(strstr(wrench_cautions, "torque"));
    ck_assert_ptr_nonnull(strstr(wrench_cautions, "leaning rider"));
}
END_TEST

START_TEST(what_a_change_does_to_a_sensor)
{
    struct bike_values before = usual_bike(), after = before;
    struct sensor_mount mount = {CARRIER_BASE_BAR, 120, 40, 0, +1};
    char text[256];
    sensor_move_text(text, sizeof text, "head", &mount, &before, &after);
    ck_assert_str_eq(text, "head (base bar): does not move");
    ck_assert(!sensor_needs_plate(&mount, &before, &after));
    after.value[BIKE_SPACERS] = 10;
    sensor_move_text(text, sizeof text, "head", &mount, &before, &after);
    ck_assert_str_eq(text,
                     "head (base bar): down 10, forward 3; its height is known to 0.5 mm from the "
                     "parts; a plate reading checks it");
    ck_assert(!sensor_needs_plate(&mount, &before, &after));
    after.value[BIKE_STEM_ANGLE] = -6;
    after.value[BIKE_BAR_ROLL] = 2;
    sensor_move_text(text, sizeof text, "head", &mount, &before, &after);
    ck_assert_ptr_nonnull(strstr(text, "its beam turns by -2.0 deg: aim it again; read the plate"));
    ck_assert(sensor_needs_plate(&mount, &before, &after));
    after.value[BIKE_STEM_LENGTH] = NAN;
    sensor_move_text(text, sizeof text, "head", &mount, &before, &after);
    ck_assert_ptr_nonnull(strstr(text, "needs stem length: read the plate before and after"));
    ck_assert(sensor_needs_plate(&mount, &before, &after));
    mount.carrier = CARRIER_FRAME;
    ck_assert(!sensor_needs_plate(&mount, &before, &after));
}
END_TEST

START_TEST(every_changed_measure_is_on_the_list)
{
    struct random_source source;
    random_seed(&source, test_seed(SEED + 1));
    for (int i = 0; i < 500; i++) {
        struct bike_values from = random_bike(&source), other = random_bike(&source), to = from;
        struct wrench_list list;
        bool stem = false;
        int changed = 0;
        for (int k = BIKE_SPACERS; k < BIKE_KEYS; k++) {
            if (random_uniform(&source) < 0.5) {
                to.value[k] = other.value[k];
                if (k == BIKE_STEM_LENGTH || k == BIKE_STEM_ANGLE) {
                    changed += !stem;
                    stem = true;
                } else {
                    changed++;
                }
            }
        }
        wrench_list_make(&from, &to, &list);
        ck_assert_int_eq(list.count, changed);
        for (int k = 0; k < list.count; k++) {
            ck_assert_int_gt((int)strlen(list.step[k].text), 5);
        }
    }
}
END_TEST

/* What a hand does for more and for less of each measure, in the order of work. */
START_TEST(the_hand_is_told_which_way)
{
    static const struct {
        enum bike_key key;
        const char *more, *less; /* 5 more than 40, and back */
    } rows[] = {
        {BIKE_HEADSET_CAP, "headset cap: 40 to 45 mm", "headset cap: 45 to 40 mm"},
        {BIKE_STEM_CLAMP_HEIGHT, "stem clamp height: 40 to 45 mm",
         "stem clamp height: 45 to 40 mm"},
        {BIKE_SPACERS, "spacers: put 5 mm under the stem, from above it (40 to 45)",
         "spacers: move 5 mm from under the stem to above it (45 to 40)"},
        {BIKE_BAR_ROLL, "bar roll: front up by 5 deg (40 to 45)",
         "bar roll: front down by 5 deg (45 to 40)"},
        {BIKE_PAD_RISE, "pad rise: raise by 5 mm (40 to 45)", "pad rise: lower by 5 mm (45 to 40)"},
        {BIKE_PAD_FORE_AFT, "pad fore-aft: forward by 5 mm (40 to 45)",
         "pad fore-aft: back by 5 mm (45 to 40)"},
        {BIKE_PAD_WIDTH, "pad width: apart by 5 mm (40 to 45)",
         "pad width: together by 5 mm (45 to 40)"},
        {BIKE_PAD_TILT, "pad tilt: front up by 5 deg (40 to 45)",
         "pad tilt: front down by 5 deg (45 to 40)"},
        {BIKE_EXTENSION_LENGTH, "extension length: out by 5 mm (40 to 45)",
         "extension length: in by 5 mm (45 to 40)"},
        {BIKE_EXTENSION_ANGLE, "extension angle: front up by 5 deg (40 to 45)",
         "extension angle: front down by 5 deg (45 to 40)"},
        {BIKE_EXTENSION_RISE, "extension rise: raise by 5 mm (40 to 45)",
         "extension rise: lower by 5 mm (45 to 40)"},
        {BIKE_SADDLE_HEIGHT, "saddle height: raise by 5 mm (40 to 45)",
         "saddle height: lower by 5 mm (45 to 40)"},
        {BIKE_SADDLE_SETBACK, "saddle set-back: back by 5 mm (40 to 45)",
         "saddle set-back: forward by 5 mm (45 to 40)"},
        {BIKE_SADDLE_TILT, "saddle tilt: nose up by 5 deg (40 to 45)",
         "saddle tilt: nose down by 5 deg (45 to 40)"},
        {BIKE_CRANK_LENGTH, "crank length: 40 to 45 mm", "crank length: 45 to 40 mm"},
    };
    enum { ROWS = sizeof rows / sizeof rows[0] };
    struct bike_values low = usual_bike(), high;
    struct wrench_list list;
    for (int i = 0; i < ROWS; i++) {
        low.value[rows[i].key] = 40;
    }
    high = low;
    for (int i = 0; i < ROWS; i++) {
        high.value[rows[i].key] = 45;
    }
    wrench_list_make(&low, &high, &list);
    ck_assert_int_eq(list.count, ROWS);
    for (int i = 0; i < ROWS; i++) {
        ck_assert_int_eq(list.step[i].key, rows[i].key);
        ck_assert_str_eq(list.step[i].text, rows[i].more);
    }
    wrench_list_make(&high, &low, &list);
    for (int i = 0; i < ROWS; i++) {
        ck_assert_str_eq(list.step[i].text, rows[i].less);
    }
}
END_TEST

/* 'Common practice, no source': the numbers that docs/heights.md and the sheets are built on. */
START_TEST(what_a_measure_is_good_for)
{
    static const struct {
        double error;
        enum bike_key key[9];
        int count;
    } groups[] = {
        {0.5,
         {BIKE_HEAD_ANGLE, BIKE_HEADSET_CAP, BIKE_SEAT_ANGLE, BIKE_SPACERS, BIKE_STEM_CLAMP_HEIGHT,
          BIKE_BAR_ROLL, BIKE_SADDLE_TILT, BIKE_CRANK_LENGTH},
         8},
        {1.0,
         {BIKE_STEM_LENGTH, BIKE_STEM_ANGLE, BIKE_PAD_RISE, BIKE_PAD_TILT, BIKE_EXTENSION_ANGLE,
          BIKE_EXTENSION_RISE},
         6},
        {2.0,
         {BIKE_STACK, BIKE_REACH, BIKE_PAD_FORE_AFT, BIKE_PAD_WIDTH, BIKE_EXTENSION_LENGTH,
          BIKE_SADDLE_HEIGHT, BIKE_SADDLE_SETBACK},
         7},
    };
    struct bike_values bike = usual_bike();
    bike.value[BIKE_HEADSET_CAP] = 10;
    bike.value[BIKE_STEM_CLAMP_HEIGHT] = 40;
    bike.value[BIKE_BAR_ROLL] = 0;
    for (int g = 0; g < 3; g++) {
        for (int i = 0; i < groups[g].count; i++) {
            ck_assert_double_eq(measuring_error(&bike, groups[g].key[i]), groups[g].error);
        }
    }
    /* nobody measured it: a cap may be 10 mm high, a clamp 30 to 50, a bar a degree off level */
    bike = usual_bike();
    ck_assert_double_eq(measuring_error(&bike, BIKE_HEADSET_CAP), 5.0);
    ck_assert_double_eq(measuring_error(&bike, BIKE_STEM_CLAMP_HEIGHT), 5.0);
    ck_assert_double_eq(measuring_error(&bike, BIKE_BAR_ROLL), 1.0);
    ck_assert_double_eq(measuring_error(&bike, BIKE_CRANK_LENGTH), 0.5);
}
END_TEST

/* From the parts to 1 mm and better needs no plate: spacers alone, each change good to 0.5. */
START_TEST(when_a_plate_is_needed)
{
    struct bike_values before = usual_bike(), after = before;
    struct sensor_mount mount = {CARRIER_EXTENSION, 0, 0, 0, +1};
    static const enum bike_key changed[] = {BIKE_SPACERS, BIKE_HEADSET_CAP, BIKE_PAD_RISE,
                                            BIKE_EXTENSION_RISE, BIKE_EXTENSION_LENGTH};
    for (int i = 0; i < 5; i++) { /* 0.5 sqrt(1 ... 5): 1.000 with four, 1.118 with five */
        after.value[changed[i]] = bike_value(&before, changed[i]) + 5;
        ck_assert(sensor_needs_plate(&mount, &before, &after) == (i == 4));
    }
}
END_TEST

START_TEST(a_position_goes_to_another_bike)
{
    struct bike_values from = usual_bike(), to;
    struct position position;
    char note[160];
    from.value[BIKE_SADDLE_HEIGHT] = 760;
    from.value[BIKE_SEAT_ANGLE] = 74;
    from.value[BIKE_SADDLE_SETBACK] = 50;
    ck_assert(position_of(&from, &position, NULL));
    ck_assert(position.of_pads && position.has_extension);
    ck_assert_double_eq_tol(position.arms.y_mm, 633.252, 0.0006);
    ck_assert_double_eq_tol(position.drop_mm, 730.559 - 633.252, 0.0011);
    bike_values_clear(&to);
    to.value[BIKE_STACK] = 560;
    to.value[BIKE_REACH] = 390;
    to.value[BIKE_HEAD_ANGLE] = 72;
    to.value[BIKE_SEAT_ANGLE] = 78;
    from.value[BIKE_SADDLE_TILT] = -2;
    from.value[BIKE_CRANK_LENGTH] = 165;
    to.value[BIKE_CRANK_LENGTH] = 170; /* the rider's length goes along */
    position_carry(&from, &to, note, sizeof note);
    ck_assert_str_eq(note, "");
    /* The saddle's top stays as high over the bottom bracket: 730.559 / sin 78 = 746.9. */
    ck_assert_double_eq_tol(to.value[BIKE_SADDLE_HEIGHT], 746.9, 0.051);
    ck_assert_double_eq(to.value[BIKE_SADDLE_SETBACK], 50);
    ck_assert_double_eq(to.value[BIKE_SADDLE_TILT], -2);
    ck_assert_double_eq(to.value[BIKE_CRANK_LENGTH], 165);
    ck_assert_double_eq(to.value[BIKE_PAD_RISE], 55);
    ck_assert_double_eq(to.value[BIKE_STACK], 560);
    double length, spacers;
    ck_assert(bike_inverse(&to, position.arms, -17, &length, &spacers, NULL));
    to.value[BIKE_STEM_LENGTH] = length;
    to.value[BIKE_STEM_ANGLE] = -17;
    to.value[BIKE_SPACERS] = spacers;
    struct position there;
    ck_assert(position_of(&to, &there, NULL));
    ck_assert_double_eq_tol(there.arms.x_mm, position.arms.x_mm, 1e-9);
    ck_assert_double_eq_tol(there.arms.y_mm, position.arms.y_mm, 1e-9);
    ck_assert_double_eq_tol(there.hands.x_mm, position.hands.x_mm, 1e-9);
    ck_assert_double_eq_tol(there.hands.y_mm, position.hands.y_mm, 1e-9);
    ck_assert_double_eq_tol(there.drop_mm, position.drop_mm, 0.06);
    to.value[BIKE_SEAT_ANGLE] = NAN;
    position_carry(&from, &to, note, sizeof note);
    ck_assert_ptr_nonnull(strstr(note, "seat angle"));
    ck_assert_double_eq(to.value[BIKE_SADDLE_HEIGHT], 760);
    from.value[BIKE_SADDLE_HEIGHT] = NAN;
    position_carry(&from, &to, note, sizeof note);
    ck_assert_str_eq(note, "no saddle height to carry over");
}
END_TEST

/* Each measure of pads and extensions goes along where the other bike has none of its own. */
START_TEST(pads_and_extensions_go_along)
{
    static const enum bike_key keys[] = {
        BIKE_BAR_ROLL, BIKE_PAD_RISE,         BIKE_PAD_FORE_AFT,    BIKE_PAD_WIDTH,
        BIKE_PAD_TILT, BIKE_EXTENSION_LENGTH, BIKE_EXTENSION_ANGLE, BIKE_EXTENSION_RISE};
    struct bike_values from = usual_bike(), to;
    char note[160];
    from.value[BIKE_BAR_ROLL] = 3;
    from.value[BIKE_PAD_WIDTH] = 190;
    from.value[BIKE_PAD_TILT] = 12;
    for (size_t own = 0; own < sizeof keys / sizeof keys[0]; own++) {
        bike_values_clear(&to);
        to.value[keys[own]] = 7;
        position_carry(&from, &to, note, sizeof note);
        for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++) {
            ck_assert_msg(to.value[keys[i]] == (i == own ? 7.0 : from.value[keys[i]]), "%s",
                          bike_fields[keys[i]].key);
        }
        ck_assert(isnan(to.value[BIKE_SPACERS]) && isnan(to.value[BIKE_STEM_ANGLE]));
    }
}
END_TEST

/* Without a stem there is no position; pads that one of two setups lacks have no move. */
START_TEST(what_is_missing_has_no_place_and_no_move)
{
    struct bike_values from = usual_bike(), to = usual_bike();
    struct position position;
    struct wrench_list list;
    struct problem problem = {0};
    to.value[BIKE_SPACERS] = from.value[BIKE_SPACERS] - 10;
    wrench_list_make(&from, &to, &list);
    ck_assert(list.has_moves && list.has_pad_move);
    to.value[BIKE_PAD_RISE] = NAN;
    wrench_list_make(&from, &to, &list);
    ck_assert(list.has_moves && !list.has_pad_move);
    wrench_list_make(&to, &from, &list);
    ck_assert(list.has_moves && !list.has_pad_move);
    to.value[BIKE_STEM_LENGTH] = NAN;
    ck_assert(!position_of(&to, &position, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "stem length"));
}
END_TEST

/* The same for a table: what is done, from what, to what. */
START_TEST(a_change_in_the_columns_of_a_table)
{
    struct bike_values from = usual_bike(), to = from;
    struct wrench_list list;
    to.value[BIKE_STEM_ANGLE] = 17;
    to.value[BIKE_PAD_RISE] = 35;
    wrench_list_make(&from, &to, &list);
    ck_assert_int_eq(list.count, 2);
    ck_assert_str_eq(list.step[0].work, "stem: turn it over");
    ck_assert_str_eq(list.step[0].from_text, "100 mm, -17\u00b0");
    ck_assert_str_eq(list.step[0].to_text, "100 mm, 17\u00b0");
    ck_assert_str_eq(list.step[1].work, "pad rise: lower by 20 mm");
    ck_assert_str_eq(list.step[1].from_text, "55 mm");
    ck_assert_str_eq(list.step[1].to_text, "35 mm");
    to.value[BIKE_STEM_LENGTH] = 90; /* the angle of a turned one, and shorter: another stem */
    wrench_list_make(&from, &to, &list);
    ck_assert_str_eq(list.step[0].work, "stem: change it");
    ck_assert_str_eq(list.step[0].text, "stem: change 100 mm, -17 deg for 90 mm, 17 deg");
    to.value[BIKE_STEM_LENGTH] = 100;
    to.value[BIKE_STEM_ANGLE] = 6; /* as long, at another angle: likewise */
    wrench_list_make(&from, &to, &list);
    ck_assert_str_eq(list.step[0].work, "stem: change it");
    ck_assert_str_eq(list.step[0].text, "stem: change 100 mm, -17 deg for 100 mm, 6 deg");
    to.value[BIKE_STEM_LENGTH] = to.value[BIKE_STEM_ANGLE] = NAN;
    wrench_list_make(&from, &to, &list);
    ck_assert_str_eq(list.step[0].work, "stem: change it");
    ck_assert_str_eq(list.step[0].to_text, "not known, not known");
}
END_TEST

START_TEST(pads_go_where_bar_and_pads_took_them)
{
    struct bike_values from = usual_bike(), to = from;
    struct wrench_list list;
    to.value[BIKE_PAD_RISE] = 35;
    to.value[BIKE_PAD_FORE_AFT] = -5;
    wrench_list_make(&from, &to, &list);
    ck_assert_double_eq_tol(list.pad_move.x_mm, 15, 1e-9);
    ck_assert_double_eq_tol(list.pad_move.y_mm, -20, 1e-9);
    ck_assert_double_eq_tol(list.clamp_move.x_mm, 0, 1e-9);
}
END_TEST

/* A twentieth of a degree is no turn of the beam. */
START_TEST(a_turn_that_is_aimed_again)
{
    struct bike_values before = usual_bike(), after = before;
    struct sensor_mount mount = {CARRIER_BASE_BAR, 120, 40, 0, +1};
    char text[256];
    before.value[BIKE_BAR_ROLL] = 0.0;
    after.value[BIKE_BAR_ROLL] = 0.05;
    sensor_move_text(text, sizeof text, "head", &mount, &before, &after);
    ck_assert_ptr_null(strstr(text, "its beam turns"));
    after.value[BIKE_BAR_ROLL] = -0.06;
    sensor_move_text(text, sizeof text, "head", &mount, &before, &after);
    ck_assert_ptr_nonnull(strstr(text, "its beam turns by 0.1 deg"));
}
END_TEST

START_TEST(a_position_carried_without_room_for_a_note)
{
    struct bike_values from = usual_bike(), to = usual_bike();
    char note[16] = "before";
    position_carry(&from, &to, note, 0);
    ck_assert_str_eq(note, "before");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("position");
    TCase *tests = tcase_create("position");
    tcase_add_test(tests, a_degree_of_the_head_angle_moves_the_bars);
    tcase_add_test(tests, uncertainty_is_the_scatter_of_measured_bikes);
    tcase_add_test(tests, what_to_turn_from_one_setup_to_another);
    tcase_add_test(tests, what_a_change_does_to_a_sensor);
    tcase_add_test(tests, every_changed_measure_is_on_the_list);
    tcase_add_test(tests, the_hand_is_told_which_way);
    tcase_add_test(tests, what_a_measure_is_good_for);
    tcase_add_test(tests, when_a_plate_is_needed);
    tcase_add_test(tests, a_position_goes_to_another_bike);
    tcase_add_test(tests, pads_and_extensions_go_along);
    tcase_add_test(tests, what_is_missing_has_no_place_and_no_move);
    tcase_add_test(tests, a_change_in_the_columns_of_a_table);
    tcase_add_test(tests, pads_go_where_bar_and_pads_took_them);
    tcase_add_test(tests, a_turn_that_is_aimed_again);
    tcase_add_test(tests, a_position_carried_without_room_for_a_note);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
