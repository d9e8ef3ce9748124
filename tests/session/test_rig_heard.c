/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What is said of sensors before the rig is heard stays with the sensor it was said of, in whatever
 * order the rig has them. */
#include "support/kept_session.h"
#include "support/session_text.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static struct kept_session kept;
static struct session *session;
static const struct session_record *record;

static void begin(void)
{
    const struct session_origin origin = {.wall_ms = 1768068000000, .seed = 7};
    kept_session_begin(&kept);
    session = session_create(&origin, kept_session_take, &kept);
    ck_assert_ptr_nonnull(session);
    record = session_records(session);
}

static void enter(const char *line)
{
    struct problem problem = {0};
    ck_assert_msg(session_command(session, line, &problem), "'%s': %s", line, problem.sentence);
}

static int channel_of(const char *name)
{
    const struct placing_record *placing = &record->placing[0];
    for (int c = 0; c < placing->channel_count; c++) {
        if (strcmp(placing->channel[c].name, name) == 0) {
            return c;
        }
    }
    ck_abort_msg("no channel '%s'", name);
}

static void describe(void)
{
    static const char *const lines[] = {
        "sensor head carrier=base_bar x=120 y=40",
        "sensor chest carrier=base_bar x=-60 y=35 gain=1.01",
        "plate head=412.5 chest=300.5",
        "target head=884 chest=771 known_to=head:2mm sure=yes",
        "cue head on_delay=4s",
        "band head=+10/-20 chest=+8/none",
        "matters head=5 chest=7",
        "learnt channel=head rider_sd=3.9 rider_df=4.3 rider_sessions=3",
    };
    begin();
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        enter(lines[i]);
    }
}

/* By the names, as they were entered. */
static void assert_as_entered(void)
{
    int head = channel_of("head"), chest = channel_of("chest");
    ck_assert_double_eq(record->placing[0].channel[head].mount.x_mm, 120.0);
    ck_assert_double_eq(record->placing[0].channel[chest].gain, 1.01);
    ck_assert_int_eq(record->tie_reading_count, 2);
    for (int t = 0; t < 2; t++) {
        ck_assert_double_eq(record->tie_reading[t].value_mm,
                            record->tie_reading[t].channel == head ? 412.5 : 300.5);
    }
    ck_assert_int_ne(record->tie_reading[0].channel, record->tie_reading[1].channel);
    ck_assert_double_eq(record->target[0].entered_mm[head], 884.0);
    ck_assert_double_eq(record->target[0].entered_mm[chest], 771.0);
    ck_assert_double_eq(record->target[0].entered_half_width_mm[head], 2.0);
    ck_assert_double_eq(record->band[0].cue[head].band_below_mm, 20.0);
    ck_assert(isinf(record->band[0].cue[chest].band_below_mm));
    ck_assert_double_eq(record->band[0].cue[head].on_delay_s, 4.0);
    ck_assert_double_ne(record->band[0].cue[chest].on_delay_s, 4.0);
    ck_assert_double_eq(record->settings.matters_mm[head], 5.0);
    ck_assert_double_eq(record->settings.matters_mm[chest], 7.0);
    ck_assert_double_eq(record->settings.learnt[head].rider_sd_mm, 3.9);
    ck_assert(!(record->settings.learnt[chest].rider_sd_mm > 0.0));
}

static void assert_stored(void)
{
    char difference[200] = "";
    char *stored = kept_session_text(&kept), *is = records_text(record);
    ck_assert_str_eq(kept.damage, "");
    assert_same_text(stored, is, "stored");
    ck_assert_msg(session_is_as_anew(session, difference, sizeof difference), "%s", difference);
    free(stored);
    free(is);
}

static const char *const heard[] = {"rig a rate=50 channels=head,chest",
                                    "rig a rate=50 channels=chest,head",
                                    "rig a rate=50 channels=pads,chest,speed,head"};

START_TEST(it_stays_with_its_sensor)
{
    describe();
    assert_as_entered();
    enter(heard[_i]);
    assert_as_entered();
    enter("band head=+12/-22 chest=+8/none"); /* with the cue's settings as they were */
    ck_assert_double_eq(record->band[1].cue[channel_of("head")].on_delay_s, 4.0);
    assert_stored();
}
END_TEST

/* What was entered is taken back, and put back, as it was entered. */
START_TEST(it_is_taken_back_as_it_was_entered)
{
    describe();
    enter("target head=890 chest=780 sure=yes");
    enter("matters head=15 chest=17");
    enter(heard[_i]);
    ck_assert_double_eq(record->settings.matters_mm[channel_of("head")], 15.0);
    enter("undo");
    enter("undo");
    ck_assert_int_eq(record->target_count, 1);
    assert_as_entered();
    assert_stored();
    enter("redo");
    ck_assert_double_eq(record->target[1].entered_mm[channel_of("head")], 890.0);
    ck_assert_double_eq(record->target[1].entered_mm[channel_of("chest")], 780.0);
    assert_stored();
}
END_TEST

/* A plate's range of a sensor that is not there would be nobody's. */
START_TEST(a_reading_of_a_sensor_that_the_rig_has_not)
{
    struct problem problem = {0};
    describe();
    static const char *const rigs[] = {
        "rig a rate=50 channels=head", "rig a rate=50 channels=head,hip",
        "rig a rate=50 channels=hip,head", "rig a rate=50 channels=a,b,c,d,e,f,g,head"};
    for (size_t i = 0; i < sizeof rigs / sizeof rigs[0]; i++) {
        ck_assert(!session_command(session, rigs[i], &problem));
        ck_assert_ptr_nonnull(
            strstr(problem.sentence, "'chest', of which a plate or tape was read"));
    }
    assert_as_entered();
    assert_stored();
}
END_TEST

/* Which sensors there are is not known: those of the placing before could not be told from them. */
START_TEST(sensors_are_fixed_anew_once_they_are_heard)
{
    struct problem problem = {0};
    begin();
    enter("sensor chest carrier=base_bar x=-60 y=35");
    ck_assert(!session_command(session, "placing", &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "no sensor has been heard yet"));
    ck_assert_int_eq(record->placing_count, 1);
    enter("rig a rate=50 channels=head,chest");
    enter("placing");
    ck_assert_int_eq(record->placing_count, 2);
    assert_stored();
}
END_TEST

/* Nothing was read of it: what else was said of it has no place. */
START_TEST(a_sensor_that_the_rig_has_not)
{
    begin();
    enter("sensor chest carrier=base_bar x=-60 y=35");
    enter("sensor head carrier=base_bar x=120 y=40");
    enter("target head=884 chest=771 sure=yes");
    enter(_i == 0 ? "rig a rate=50 channels=head" : "rig a rate=50 channels=head,hip");
    ck_assert_int_eq(record->placing[0].channel_count, _i + 1);
    ck_assert_double_eq(record->placing[0].channel[0].mount.x_mm, 120.0);
    ck_assert_double_eq(record->target[0].entered_mm[0], 884.0);
    ck_assert(!(record->target[0].entered_mm[1] > 0.0)); /* the hip's is not the chest's */
    assert_stored();
}
END_TEST

static void assert_said(const char *what)
{
    uint64_t serial = 0;
    const char *said = session_message(session, &serial);
    ck_assert_msg(strstr(said, what) != NULL, "%s", said);
}

/* Which of them is the head is not known: the first one, as it was, may be the chest. */
START_TEST(a_rig_with_other_names)
{
    begin();
    enter("sensor head carrier=base_bar x=120 y=40");
    enter("sensor chest carrier=base_bar x=-60 y=35");
    enter("target head=884 chest=771 sure=yes");
    enter(_i == 0 ? "rig a rate=50 channels=Brust,Kopf" : "rig a rate=50 channels=Kopf,Brust");
    ck_assert_int_eq(record->placing[0].channel_count, 2);
    for (int c = 0; c < 2; c++) {
        ck_assert(!record->placing[0].channel[c].mounted);
        ck_assert(!(record->target[0].entered_mm[c] > 0.0));
    }
    ck_assert_ptr_nonnull(strchr("KB", record->placing[0].channel[0].name[0]));
    assert_said("the rig has no sensor head, chest, only");
    assert_stored();
}
END_TEST

START_TEST(what_is_left_without_a_sensor_is_said)
{
    begin();
    enter("sensor chest carrier=base_bar x=-60 y=35");
    enter("sensor head carrier=base_bar x=120 y=40");
    enter("rig a rate=50 channels=head");
    assert_said("the rig has no sensor chest, only head: place, target and band");
    assert_stored();
}
END_TEST

/* A rig that names none has only its order, and of one sensor nothing else can be meant. */
START_TEST(a_rig_without_names)
{
    begin();
    enter("sensor head carrier=base_bar x=120 y=40");
    if (_i == 0) {
        enter("sensor chest carrier=base_bar x=-60 y=35");
    }
    enter(_i == 0 ? "rig a rate=50 channels=ch1,ch2" : "rig a rate=50 channels=range");
    ck_assert_str_eq(record->placing[0].channel[0].name, "head");
    ck_assert_double_eq(record->placing[0].channel[0].mount.x_mm, 120.0);
    assert_stored();
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rig_heard");
    TCase *tests = tcase_create("rig_heard");
    tcase_add_loop_test(tests, it_stays_with_its_sensor, 0, 3);
    tcase_add_loop_test(tests, it_is_taken_back_as_it_was_entered, 0, 3);
    tcase_add_test(tests, a_reading_of_a_sensor_that_the_rig_has_not);
    tcase_add_loop_test(tests, a_sensor_that_the_rig_has_not, 0, 2);
    tcase_add_loop_test(tests, a_rig_with_other_names, 0, 2);
    tcase_add_test(tests, what_is_left_without_a_sensor_is_said);
    tcase_add_loop_test(tests, a_rig_without_names, 0, 2);
    tcase_add_test(tests, sensors_are_fixed_anew_once_they_are_heard);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
