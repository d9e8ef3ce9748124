/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Pairs of legs that nobody rides: no drag comes out of them. */
#include "measure/drag_leg.h"
#include "support/test_main.h"

/* In air alone, by the force (the work over 1 m): speeds so uneven that no wind fits, none at all,
 * a wind that goes with the rider, and a way back or out without a force. */
START_TEST(no_drag_without_air_that_is_met)
{
    static const struct {
        double force_n, speed, squared;
    } rows[][2] = {{{10.0, 1.0, 100.0}, {0.1, 1.0, 100.0}},
                   {{10.0, 0.0, 0.0}, {20.0, 0.0, 0.0}},
                   {{1.0, 10.0, 100.0}, {2.0, -10.0, 100.0}},
                   {{10.0, 10.0, 100.0}, {0.0, 10.0, 100.0}},
                   {{0.0, 10.0, 100.0}, {10.0, 10.0, 100.0}}};
    struct drag_pair pair = {-7.0, -7.0};
    struct drag_rider weightless = {.efficiency = 1.0, .gravity_m_per_s2 = 9.81};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct drag_leg legs[2];
        for (int l = 0; l < 2; l++) {
            legs[l] = (struct drag_leg){.length_m = 1.0,
                                        .work_j = rows[i][l].force_n,
                                        .speed_m_per_s = rows[i][l].speed,
                                        .speed_squared = rows[i][l].squared};
        }
        ck_assert_int_eq(drag_of_pair(&legs[0], &legs[1], &weightless, 1.2, &pair),
                         MEASURE_CONSTANT);
    }
    ck_assert(pair.drag_m2 == -7.0 && pair.wind_m_per_s == -7.0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("drag_pair");
    TCase *tests = tcase_create("drag_pair");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, no_drag_without_air_that_is_met);
    return test_main(suite);
}
