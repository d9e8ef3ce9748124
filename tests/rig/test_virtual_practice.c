/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What the virtual rig's rider does over a practice. */
#include "rig/virtual_rig.h"
#include "support/test_main.h"
#include "support/virtual_line.h"

#include <math.h>

#define STILL "rate=10&hold=0&build=0&breathing=0&bob=0&wander=0&creep=0&settle=0&glances=0&"
#define CLEAR "noise=0&missing=0&doubtful=0&outliers=0&lost=0&quantum=0.1&"

static double posture_mm(const char *parameters, const char *sit)
{
    struct virtual_rig *rig = rig_of("steady", parameters);
    tell(rig, sit);
    next_line(rig, 2);
    double mm = truth_of(rig).posture_height_mm[0];
    virtual_rig_destroy(rig);
    return mm;
}

/* 24 mm off at first, by e less after the time constant's sessions; the chest goes with 0.7 of it.
 */
START_TEST(what_was_learnt_is_held_from_memory)
{
    static const char recalled[] = "sit recalled head=900 chest=780";
    ck_assert_double_eq_tol(posture_mm(STILL "unlearnt=24", recalled), 924, 1e-9);
    ck_assert_double_eq_tol(posture_mm(STILL "unlearnt=24&learns=5&practised=5", recalled),
                            900 + 24 * exp(-1), 1e-9);
    ck_assert_double_eq_tol(posture_mm(STILL "unlearnt=24", "sit guided head=900 chest=780"), 900,
                            1e-9);
    ck_assert_double_eq_tol(posture_mm(STILL, recalled), posture_mm(STILL, "sit free"), 1e-9);
    struct virtual_rig *rig = rig_of("steady", STILL "unlearnt=24&learns=1");
    for (int piece = 0; piece < 6; piece++) { /* as many as a session has */
        tell(rig, "sit guided head=900 chest=780");
    }
    tell(rig, recalled);
    ck_assert_double_eq_tol(truth_of(rig).posture_height_mm[0], 900 + 24 * exp(-1), 1e-9);
    ck_assert_double_eq_tol(truth_of(rig).posture_height_mm[1], 780 + 0.7 * 24 * exp(-1), 1e-9);
    virtual_rig_destroy(rig);
}
END_TEST

/* Evenly within five minutes from the second on; sitting down anew it begins again. */
START_TEST(the_rider_tires)
{
    struct virtual_rig *rig = rig_of("steady", STILL "tires=12&tires_at=2");
    tell(rig, "sit guided head=900 chest=780");
    for (int i = 0; i < 10 * 60 * 8; i++) {
        next_line(rig, 2);
        double over_mm = truth_of(rig).body_height_mm[0] - 900, minutes = (i + 1) / 600.0;
        ck_assert_double_eq_tol(over_mm, 12 * fmin(1, fmax(0, (minutes - 2) / 5)), 0.02);
    }
    tell(rig, "sit guided head=900 chest=780");
    next_line(rig, 2);
    ck_assert_double_eq_tol(truth_of(rig).body_height_mm[0], 900, 0.02);
    virtual_rig_destroy(rig);
}
END_TEST

/* 30 an hour of 5 to 60 s: 90 to 250 mm over the posture, the head more than the chest. */
START_TEST(the_rider_sits_up)
{
    struct virtual_rig *rig = rig_of("steady", STILL "sits_up=30&seed=4");
    int times = 0;
    bool was_up = false;
    tell(rig, "sit guided head=900 chest=780");
    for (int i = 0; i < 10 * 3600 * 4; i++) {
        next_line(rig, 2);
        double over_mm = truth_of(rig).body_height_mm[0] - 900;
        bool up = over_mm > 1;
        ck_assert(!up || (over_mm > 89.9 && over_mm < 250.1));
        times += up && !was_up;
        was_up = up;
    }
    ck_assert_int_ge(times, 60); /* 120 but for those within another, SD 10 */
    ck_assert_int_le(times, 130);
    virtual_rig_destroy(rig);
}
END_TEST

/* A sensor that sits higher reads the body nearer: it looks lower. The other reads on. */
START_TEST(a_sensor_is_bumped_or_propped_up)
{
    struct virtual_rig *rig =
        rig_of("steady", STILL CLEAR "bump=8&bump_at=1&props=15&props_at=2&props_for=30");
    tell(rig, "sit guided head=900 chest=780");
    struct line line = next_line(rig, 2);
    double head_mm = line.range_mm[0], chest_mm = line.range_mm[1];
    double sensor_mm = truth_of(rig).sensor_height_mm[0];
    for (int i = 1; i < 10 * 200; i++) {
        line = next_line(rig, 2);
        double up_mm = i >= 1500 ? 8 : i >= 1200 ? 23 : i >= 600 ? 8 : 0;
        ck_assert_double_eq_tol(line.range_mm[0], head_mm - up_mm, 0.11);
        ck_assert_double_eq_tol(line.range_mm[1], chest_mm, 0.11);
        ck_assert_double_eq_tol(truth_of(rig).sensor_height_mm[0], sensor_mm + up_mm, 1e-9);
    }
    virtual_rig_destroy(rig);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("virtual_practice");
    TCase *tests = tcase_create("virtual_practice");
    tcase_set_timeout(tests, 60);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, what_was_learnt_is_held_from_memory);
    tcase_add_test(tests, the_rider_tires);
    tcase_add_test(tests, the_rider_sits_up);
    tcase_add_test(tests, a_sensor_is_bumped_or_propped_up);
    return test_main(suite);
}
