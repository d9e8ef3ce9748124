/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Command lines that can't be done: a sentence that names the word, and nothing has changed. */
#include "session/session.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define FIFTY "0123456789abcdefghijklmnopqrstuvwxyz0123456789abcd"

static const struct {
    const char *line, *word;
} refused[] = {
    {"fly", "fly"},
    {"hold 60s flying", "flying"},
    {"hold sixty free", "sixty"},
    {"hold -5s free", "-5s"},
    {"target 884", "884"},
    {"target knee=884", "knee"},
    {"target head=low", "low"},
    {"target head=884cm", "884cm"},
    {"target known_to=4", "height"},
    {"target head=884 known_to=0", "0"},
    {"target head=884 known_to=well", "well"},
    {"target head=884 known_to=chest:4", "chest"},
    {"target head=884 known_to=knee:4", "knee"},
    {"band 10", "10"},
    {"band head=10", "10"},
    {"band head=-10/-20", "the limits above and below"},
    {"band head=+10/+20", "the limits above and below"},
    {"band knee=+10/-20", "knee"},
    {"cue knee on_delay=2s", "knee"},
    {"setup one", "one"},
    {"setup 7 \"x\" wings=3", "wings"},
    {"setup 7 \"x\" spacers=4000", "spacers"},
    {"setup 7 \"x\" spacers=", "spacers"},
    {"setup 7 \"x\" from=9", "9"},
    {"correct 9 spacers=5", "9"},
    {"bike \"b\" stack=-1", "stack"},
    {"rig bench rate=0.0005 channels=head", "0.0005"},
    {"sensor knee carrier=base_bar", "knee"},
    {"sensor head carrier=roof", "roof"},
    {"sensor head carrier=base_bar look=sideways", "sideways"},
    {"plate head=near", "near"},
    {"tape knee=632", "knee"},
    {"reject 99 \"moved\"", "99"},
    {"restore 99", "99"},
    {"mark slipped", "slipped"},
    {"rating effort=11", "11"},
    {"rating mood=3", "mood"},
    {"rating sees_ahead=perhaps", "perhaps"},
    {"rating effort=4.5", "a whole number"},
    {"rating effort=4 morning=perhaps", "perhaps"},
    {"rating sign=perhaps", "perhaps"},
    {"rating same", "there is none before"},
    {"rating", "say item=number"},
    {"rating 4", "say item=number"},
    {"matters 10", "10"},
    {"moved perhaps", "perhaps"},
    {"matters knee=10", "knee"},
    {"baseline 99", "99"},
    {"baseline", "is no number of a setup"},
    {"baseline setup=1", "is no number of a setup"},
    {"baseline 1 1", "is no number of a setup"},
    {"choose -1", "-1"},
    {"choose head=1", "number of a setup"},
    {"keep forever", "forever"},
    {"moved", "''"},
    {"moved moved=yes", "moved"},
    {"android", "android"},
    {"and", "and"},
    {"air 20C 1013hPa at=12.05", "no time of day"},
    {"air 20C 1013hPa at=:30", "no time of day"},
    {"air 20C 1013hPa at=123:45", "no time of day"},
    {"air 20C 1013hPa at=12:5", "no time of day"},
    {"air 20C 1013hPa at=12:345", "no time of day"},
    {"air 20C 1013hPa at=24:00", "no time of day"},
    {"air 20C 1013hPa at=12:60", "no time of day"},
    {"air 20C 1013hPa at=-1:30", "no time of day"},
    {"air 20C 1013hPa at=12:-1", "no time of day"},
    {"air 20C 1013hPa at=x1:30", "no time of day"},
    {"practice board_was=head", "a range for each channel"},
    {"practice board_was=:412", "a range for each channel"},
    {"practice board_was=head:", "a range for each channel"},
    {"practice board_was=head:far", "a range for each channel"},
    {"practice board_was=head:0.5", "a range for each channel"},
    {"practice board_was=" FIFTY ":412", "a range for each channel"},
    {"practice board_was=a:400,b:400,c:400,d:400,e:400,f:400,g:400,h:400,i:400",
     "a range for each channel"},
    {"note \"never closed", "column 6"},
    /* more than is kept */
    {"rider " FIFTY FIFTY, "the rider's code: 100 characters, at most 95"},
    {"rider R-07 " FIFTY FIFTY, "the rider's name: 100 characters, at most 95"},
    {"rider R-07 watch_for=" FIFTY FIFTY FIFTY FIFTY FIFTY FIFTY,
     "the old trouble: 300 characters, at most 255"},
    {"bike " FIFTY FIFTY, "the bike's name: 100 characters, at most 95"},
    {"sensor " FIFTY, "the sensor's name: 50 characters, at most 31"},
    {"sensor head mark=" FIFTY FIFTY, "the mark on the body: 100 characters, at most 95"},
    {"setup 7 " FIFTY FIFTY FIFTY FIFTY FIFTY FIFTY,
     "what the setup is for: 300 characters, at most 255"},
    {"known 7 " FIFTY FIFTY FIFTY FIFTY FIFTY FIFTY,
     "what the setup is for: 300 characters, at most 255"},
    {"correct 1 " FIFTY FIFTY FIFTY FIFTY FIFTY FIFTY,
     "what the setup is for: 300 characters, at most 255"},
    {"reject 1 " FIFTY FIFTY FIFTY FIFTY FIFTY FIFTY, "the reason: 300 characters, at most 255"},
    {"reject run 1 " FIFTY FIFTY FIFTY FIFTY FIFTY FIFTY, "the reason: 300 characters, at most 95"},
    {"run file=" FIFTY FIFTY FIFTY FIFTY FIFTY FIFTY,
     "the file's name: 300 characters, at most 95"},
    {"run laps=" FIFTY, "which laps: 50 characters, at most 31"},
    {"leg left_out=" FIFTY FIFTY FIFTY FIFTY FIFTY FIFTY, "the reason: 300 characters, at most 95"},
    {"choose 1 found_by=" FIFTY FIFTY FIFTY FIFTY FIFTY FIFTY,
     "what tells the rider of it: 300 characters, at most 255"},
    {"note " FIFTY FIFTY FIFTY FIFTY FIFTY FIFTY, "the note: 300 characters, at most 255"},
    {"note \"" FIFTY FIFTY FIFTY FIFTY FIFTY "m\u00fcde\u00e4\"",
     "the note: 257 bytes, at most 255"},
};
#define REFUSED (int)(sizeof refused / sizeof refused[0])

static void forget(void *context, const struct effect *effect)
{
    (void)context;
    (void)effect;
}

START_TEST(it_names_the_word_and_changes_nothing)
{
    static const char *const before[] = {
        "rig bench rate=50 channels=head,chest",
        "bike \"training bike\" stack=545 reach=410 head_angle=73 stem_length=100 spacers=20",
        "sensor head carrier=base_bar x=120 y=40",
        "setup 1 \"as it came\"",
    };
    const struct session_origin origin = {.wall_ms = 1768068000000, .seed = 7};
    struct session *session = session_create(&origin, forget, NULL);
    struct session_record *kept = malloc(sizeof *kept);
    ck_assert_ptr_nonnull(session);
    ck_assert_ptr_nonnull(kept);
    struct problem problem = {0};
    for (size_t i = 0; i < sizeof before / sizeof before[0]; i++) {
        ck_assert_msg(session_command(session, before[i], &problem), "%s", problem.sentence);
    }
    memcpy(kept, session_records(session), sizeof *kept);
    const char *line = refused[_i].line;
    ck_assert_msg(!session_command(session, line, &problem), "'%s' was taken", line);
    ck_assert_msg(strstr(problem.sentence, refused[_i].word) != NULL, "'%s' gives: %s", line,
                  problem.sentence);
    ck_assert_msg(memcmp(kept, session_records(session), sizeof *kept) == 0,
                  "'%s' was refused and changed a record", line);
    free(kept);
    session_destroy(session);
}
END_TEST

static void count_effect(void *context, const struct effect *effect)
{
    (void)effect;
    ++*(int *)context;
}

static const char *const more[] = {"plate b",
                                   "plate head=12",
                                   "plate 5s",
                                   "plate 5s rest=x",
                                   "plate height=x",
                                   "plate 5s height=-3000",
                                   "tape",
                                   "tape head=x",
                                   "moved perhaps",
                                   "hold 20s free is",
                                   "target until=0.01mm",
                                   "check still 1"};
#define MORE_REFUSED (int)(sizeof more / sizeof more[0])

/* The same before there is a setup, or anything: some of them are taken then; a refused one begins
 * no setup, and nothing of it goes out, the line for the log neither. */
START_TEST(a_refused_line_begins_nothing)
{
    const struct session_origin origin = {.wall_ms = 1768068000000, .seed = 7};
    const char *line = _i / 2 < REFUSED ? refused[_i / 2].line : more[_i / 2 - REFUSED];
    int effects = 0;
    struct session *session = session_create(&origin, count_effect, &effects);
    struct session_record *kept = malloc(sizeof *kept);
    struct problem problem = {0};
    if (_i % 2 == 1) {
        ck_assert(session_command(session, "rig bench rate=50 channels=head,chest", &problem));
    }
    memcpy(kept, session_records(session), sizeof *kept);
    int before = effects;
    if (!session_command(session, line, &problem)) {
        ck_assert_msg(effects == before, "'%s' was refused ('%s'), and %d effects went out", line,
                      problem.sentence, effects - before);
        ck_assert_msg(memcmp(kept, session_records(session), sizeof *kept) == 0,
                      "'%s' was refused and changed a record", line);
    }
    free(kept);
    session_destroy(session);
}
END_TEST

/* 0.001 a second is the least. */
START_TEST(the_slowest_rig_is_taken)
{
    const struct session_origin origin = {.wall_ms = 1768068000000, .seed = 7};
    struct session *session = session_create(&origin, forget, NULL);
    ck_assert(session_command(session, "rig bench rate=0.001 channels=head", NULL));
    ck_assert_double_eq(session_records(session)->placing[0].announced_rate_hz, 0.001);
    session_destroy(session);
}
END_TEST

START_TEST(long_names_are_told)
{
    const struct session_origin origin = {.wall_ms = 1768068000000, .seed = 7};
    struct session *session = session_create(&origin, forget, NULL);
    struct problem problem = {0};
    char name[10001], line[10100];
    ck_assert_ptr_nonnull(session);
    memset(name, 'A', sizeof name - 1);
    name[sizeof name - 1] = '\0';
    /* no line at all */
    snprintf(line, sizeof line, "rider R-01 \"%s\"", name);
    ck_assert(!session_command(session, line, &problem));
    ck_assert_str_eq(problem.sentence, "a command of over 1023 characters");
    ck_assert(!session_records(session)->has_rider);
    /* no word */
    name[600] = '\0';
    snprintf(line, sizeof line, "rider R-01 \"%s\"", name);
    ck_assert(!session_command(session, line, &problem));
    ck_assert_msg(strstr(problem.sentence, "511 bytes") != NULL, "%s", problem.sentence);
    /* more than is kept; in bytes where characters take several */
    for (int i = 0; i < 100; i++) {
        memcpy(name + 2 * i, "\xC3\xBC", 3);
    }
    static const char *const commands[] = {"rider R-01", "bike"};
    for (int i = 0; i < 2; i++) {
        snprintf(line, sizeof line, "%s \"%s\"", commands[i], name);
        ck_assert(!session_command(session, line, &problem));
        ck_assert_msg(strstr(problem.sentence, "200 bytes, at most 95") != NULL, "%s",
                      problem.sentence);
    }
    /* what just fits */
    name[94] = '\0';
    snprintf(line, sizeof line, "rider R-01 \"%s\"", name);
    ck_assert_msg(session_command(session, line, &problem), "%s", problem.sentence);
    ck_assert_str_eq(session_records(session)->rider.name, name);
    ck_assert(!session_records(session)->has_bike);
    session_destroy(session);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("refusals");
    TCase *lines = tcase_create("lines");
    tcase_add_loop_test(lines, it_names_the_word_and_changes_nothing, 0, REFUSED);
    tcase_add_loop_test(lines, a_refused_line_begins_nothing, 0, 2 * (REFUSED + MORE_REFUSED));
    tcase_add_test(lines, long_names_are_told);
    tcase_add_test(lines, the_slowest_rig_is_taken);
    suite_add_tcase(suite, lines);
    return test_main(suite);
}
