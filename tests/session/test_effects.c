/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What goes out to be kept is what was said. */
#include "record/effect.h"
#include "support/test_main.h"

#include "session/session.h"

#include <string.h>

static struct effect last[EFFECT_KINDS]; /* of each kind */
static struct session *session;

static void keep(void *context, const struct effect *effect)
{
    (void)context;
    last[effect->kind] = *effect;
}

static void say(const char *line)
{
    struct problem problem = {0};
    ck_assert_msg(session_command(session, line, &problem), "%s", problem.sentence);
}

START_TEST(each_record_goes_out_as_it_was_said)
{
    const struct session_origin origin = {.wall_ms = 1768068000000, .seed = 7};
    session = session_create(&origin, keep, NULL);
    ck_assert_ptr_nonnull(session);
    ck_assert_int_eq(last[EFFECT_SESSION].record.session.started_ms, 1768068000000);
    ck_assert_uint_eq(last[EFFECT_SESSION].record.session.seed, 7);
    say("rider R-01 watch_for=\"left knee\"");
    ck_assert_str_eq(last[EFFECT_RIDER].record.rider.code, "R-01");
    ck_assert_str_eq(last[EFFECT_RIDER].record.rider.watch_for, "left knee");
    say("bike \"training bike\" stack=540 reach=400");
    ck_assert_str_eq(last[EFFECT_BIKE].record.bike.name, "training bike");
    say("rig bench rate=50 channels=head,chest");
    ck_assert_str_eq(last[EFFECT_PLACING].record.placing.channel[1].name, "chest");
    say("setup 1 \"as it came\"");
    say("setup 4 \"pads down\" pad_rise=40");
    ck_assert_int_eq(last[EFFECT_SETUP].index, 1);
    ck_assert_int_eq(last[EFFECT_SETUP].record.setup.number, 4);
    ck_assert_int_eq(last[EFFECT_BUILD].record.build.setup, 1);
    say("matters head=12 chest=9");
    ck_assert_double_eq(last[EFFECT_SESSION].record.session.settings.matters_mm[0], 12.0);
    ck_assert_double_eq(last[EFFECT_SESSION].record.session.settings.matters_mm[1], 9.0);
    ck_assert_int_eq(last[EFFECT_SESSION].record.session.started_ms, 1768068000000);
    say("mass 84kg");
    ck_assert_double_eq(last[EFFECT_SESSION].record.session.drag.mass_kg, 84.0);
    say("note \"after lunch\"");
    ck_assert_str_eq(last[EFFECT_NOTE].record.note.text, "after lunch");
    say("undo");
    say("undo");
    say("undo");
    ck_assert_double_ne(last[EFFECT_SESSION].record.session.settings.matters_mm[0], 12.0);
    session_destroy(session);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("effects");
    TCase *tests = tcase_create("effects");
    tcase_add_test(tests, each_record_goes_out_as_it_was_said);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
