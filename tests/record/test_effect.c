/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* In which table of the store what goes out of a session is kept (docs/schema.md). */
#include "record/effect.h"

#include "support/test_main.h"

START_TEST(each_effect_goes_into_its_table)
{
    static const struct {
        enum effect_kind kind;
        const char *table;
    } effects[] = {
        {EFFECT_SESSION, "session"},
        {EFFECT_RIDER, "session_rider"},
        {EFFECT_BIKE, "session_bike"},
        {EFFECT_PLACING, "placing"},
        {EFFECT_SETUP, "setup"},
        {EFFECT_BUILD, "build"},
        {EFFECT_TIE_READING, "tie_reading"},
        {EFFECT_CAPTURE, "capture"},
        {EFFECT_TARGET, "target"},
        {EFFECT_BAND, "band"},
        {EFFECT_HOLD, "hold"},
        {EFFECT_MARK, "mark"},
        {EFFECT_RATING, "rating"},
        {EFFECT_NOTE, "note"},
        {EFFECT_COMMAND, "command"},
        {EFFECT_CHECK, "sensor_check"},
        {EFFECT_CUE_SOUND, "cue_sound"},
        {EFFECT_AIR, "air"},
        {EFFECT_RUN, "run"},
        {EFFECT_LEG, "leg"},
    };
    ck_assert_uint_eq(sizeof effects / sizeof effects[0], EFFECT_KINDS);
    for (size_t i = 0; i < sizeof effects / sizeof effects[0]; i++) {
        ck_assert_str_eq(stored_tables[effect_table(effects[i].kind)]->name, effects[i].table);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("effect");
    TCase *tests = tcase_create("effect");
    tcase_add_test(tests, each_effect_goes_into_its_table);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
