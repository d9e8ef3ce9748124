/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What a virtual rig and a day of runs can't be made of, and lines that they do not take: nothing
 * has changed then. */
#include "rig/virtual_day.h"
#include "rig/virtual_rig.h"
#include "support/test_main.h"

#include <math.h>
#include <string.h>

START_TEST(settings_that_cannot_be)
{
    static const struct {
        const char *name, *parameters, *why;
    } cases[] = {
        {"summer", "", "there is no virtual rig 'summer'"},
        {"winter", "channels=0", "1 to 8 channels"},
        {"winter", "channels=9", "1 to 8 channels"},
        {"winter", "channels=", "names apart by '/'"},
        {"winter", "channels=head//chest", "names apart by '/'"},
        {"winter", "channels=a/b/c/d/e/f/g/h/i", "names apart by '/'"},
        {"winter", "channels=a_name_that_is_longer_than_any_channel_may_have",
         "names apart by '/'"},
        {"winter", "channels=1head", "letters, digits"},
        {"winter", "channels=-head", "letters, digits"},
        {"winter", "channels=he.ad", "letters, digits"},
        {"winter", "channels=he~ad", "letters, digits"},
        {"winter", "channels=he@ad", "letters, digits"},
        {"winter", "channels=he[ad", "letters, digits"},
        {"winter", "follow=x", "a share from -2 to 2"},
        {"winter", "follow=3", "a share from -2 to 2"},
        {"winter", "follow=-3", "a share from -2 to 2"},
        {"winter", "follow=1/1/1/1/1/1/1/1/1", "a share from -2 to 2"},
        {"winter", "follow=0.000000000000000000000000000000001", "a share from -2 to 2"},
        {"winter", "noize=1", "is no setting of a virtual rig"},
        {"winter", "zzzzzzzzzzzzzzzz=1", "; there are seed"},
        {"winter", "noise", "noise"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct virtual_rig_settings settings;
        struct problem problem = {PROBLEM_NONE, ""};
        ck_assert_msg(
            !virtual_rig_settings_read(cases[i].name, cases[i].parameters, &settings, &problem),
            "%s", cases[i].parameters);
        ck_assert_msg(strstr(problem.sentence, cases[i].why) != NULL, "%s: %s", cases[i].parameters,
                      problem.sentence);
    }
    char longer[400];
    struct virtual_rig_settings settings;
    memset(longer, 'x', sizeof longer - 1);
    longer[sizeof longer - 1] = '\0';
    ck_assert(!virtual_rig_settings_read("winter", longer, &settings, NULL));
}
END_TEST

START_TEST(settings_that_can_be)
{
    struct virtual_rig_settings settings;
    ck_assert(virtual_rig_settings_read("winter", "channels=Head_2/c-3/_z9&follow=0.5&&seed=7",
                                        &settings, NULL));
    ck_assert_int_eq(settings.channel_count, 3);
    ck_assert_str_eq(settings.channel_name[1], "c-3");
    ck_assert_double_eq(settings.follow_share[7], 0.5); /* one for all */
    ck_assert(virtual_rig_settings_read("", "follow=0.5/0.25", &settings, NULL));
    ck_assert_double_eq(settings.follow_share[1], 0.25);
    ck_assert(virtual_rig_settings_read("rough", NULL, &settings, NULL));
}
END_TEST

/* Each is refused, and a rig that heard them goes on as one that did not. */
START_TEST(lines_that_are_refused_change_nothing)
{
    static const char *const lines[] = {
        "sit guided head=x",
        "sit guided head=-501",
        "sit guided head=3001",
        "plate x",
        "plate -501",
        "plate 3001",
        "ride power=x",
        "ride cadence=x",
        "ride heart=x",
        "ride power=-1",
        "ride power=2001",
        "ride cadence=0",
        "ride cadence=201",
        "ride heart=-1",
        "ride heart=251",
        "block 25 nose",
        "block x head",
        "block -1 head",
        "block 9999 head",
        "distance 400",
        "hand nose",
        "nod",
        "nod x",
        "nod 40 x",
        "nod 501 5s",
        "nod 40 0.05s",
        "nod 40 601s",
        "mount nose",
        "mount",
        "mount head carrier=tree",
        "mount head x=far",
        "mount head x=-2001",
        "mount head tilt=61",
        "mount head look=sideways",
    };
    struct virtual_rig_settings settings;
    char heard[VIRTUAL_RIG_BYTES], plain[VIRTUAL_RIG_BYTES];
    int64_t time_us;
    virtual_rig_defaults(&settings, 5);
    struct virtual_rig *rig = virtual_rig_create(&settings);
    struct virtual_rig *other = virtual_rig_create(&settings);
    ck_assert(rig != NULL && other != NULL);
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        struct problem problem = {PROBLEM_NONE, ""};
        ck_assert_msg(!virtual_rig_tell(rig, lines[i], &problem), "%s", lines[i]);
        ck_assert_msg(problem.sentence[0] != '\0', "%s", lines[i]);
    }
    ck_assert(virtual_rig_tell(rig, "whistle", NULL)); /* unknown lines are passed over */
    for (int i = 0; i < 200; i++) {
        size_t length = virtual_rig_next(rig, heard, sizeof heard, &time_us);
        ck_assert_uint_eq(virtual_rig_next(other, plain, sizeof plain, &time_us), length);
        ck_assert_mem_eq(heard, plain, length);
    }
    ck_assert_uint_eq(virtual_rig_next(rig, heard, VIRTUAL_RIG_BYTES - 1, &time_us), 0);
    virtual_rig_destroy(rig);
    virtual_rig_destroy(other);
}
END_TEST

START_TEST(days_that_cannot_be)
{
    for (int what = 0; what < 14; what++) {
        struct virtual_day_settings day;
        virtual_day_defaults(&day, 3);
        day.runs = what == 1 ? 0 : what == 2 ? VIRTUAL_RUNS_MAX + 1 : day.runs;
        day.legs_a_run = what == 3 ? 0 : what == 4 ? VIRTUAL_LEGS_MAX + 1 : day.legs_a_run;
        day.course_m = what == 5 ? 99.0 : what == 6 ? 5001.0 : day.course_m;
        day.mass_kg = what == 7 ? 0.0 : day.mass_kg;
        day.power_w = what == 8 ? 0.0 : day.power_w;
        day.gust_s = what == 9 ? 0.0 : day.gust_s;
        day.setup_of_run[1] = what == 10 ? -1 : what == 11 ? VIRTUAL_SETUPS_MAX : 1;
        day.drag_m2[1] = what == 12 ? 0.0 : what == 13 ? (double)NAN : day.drag_m2[1];
        struct virtual_day *made = virtual_day_create(&day);
        ck_assert_msg((made != NULL) == (what == 0), "%d", what);
        virtual_day_free(made);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("virtual_refusals");
    TCase *tests = tcase_create("virtual_refusals");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, settings_that_cannot_be);
    tcase_add_test(tests, settings_that_can_be);
    tcase_add_test(tests, lines_that_are_refused_change_nothing);
    tcase_add_test(tests, days_that_cannot_be);
    return test_main(suite);
}
