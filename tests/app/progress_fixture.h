/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_APP_PROGRESS_FIXTURE_H
#define HOLDLINE_TESTS_APP_PROGRESS_FIXTURE_H

#include "support/json_reader.h"
#include "support/program.h"
#include "support/test_main.h"

#include <stdio.h>

/* Days of practice of a rider, by script on the virtual rig, in a store s.db of a new folder. */

static const char *folder;

static inline struct program_result ask(const char *const *words)
{
    return program_run(folder, NULL, words);
}
#define ASK(...) ask((const char *const[]){__VA_ARGS__, "--store", "s.db", NULL})

/* A session of R-07 whose steady rider sits where the target is (884, 771), or off_mm below it. */
static inline void day(const char *start, const char *lines, double off_mm)
{
    char script[2048], rig[80];
    static int seed;
    snprintf(script, sizeof script,
             "session %s seed=%d\nrider R-07 \"winter group\" health=yes\n"
             "bike \"training bike\" stack=545 reach=410 head_angle=73\n"
             "sensor head carrier=base_bar look=up\nsensor chest carrier=base_bar look=up\n"
             "setup 1 \"as chosen\" stem_length=100 stem_angle=-6 spacers=20 pad_rise=60\n"
             "plate 5s height=930 rest=pads\n"
             "target head=%.0f chest=%.0f known_to=4mm sure=yes\nband head=+20/-20 chest=+20/-20\n"
             "%s\nend\n",
             start, ++seed, 884 + off_mm, 771 + off_mm, lines);
    snprintf(rig, sizeof rig, "virtual:steady?speed=max&rate=10&hold=0&settle=0&seed=%d", seed);
    program_write_file(folder, "script.txt", script);
    struct program_result result = ASK("run", "script.txt", rig);
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
}

static const char test_alone[] = "hold 60s test settle=2s\nguess 4";
static const char practice[] = "hold 60s test settle=2s\nhold 30s piece told=seen settle=2s\n"
                               "hold 30s piece told=after settle=2s\nguess 9\n"
                               "rating effort=3 neck=2 hands=1";

/* Two base tests 30 mm off; tests on the target while practising. */
static inline void four_weeks(void)
{
    static const char *const base[] = {"2026-01-05T18:00:00Z", "2026-01-07T18:00:00Z"};
    static const char *const later[] = {"2026-01-12T18:00:00Z", "2026-01-14T18:00:00Z",
                                        "2026-01-16T18:00:00Z", "2026-01-19T18:00:00Z",
                                        "2026-01-21T18:00:00Z", "2026-01-23T18:00:00Z"};
    folder = program_folder();
    for (int i = 0; i < 2; i++) {
        day(base[i], test_alone, -30);
    }
    for (int i = 0; i < 6; i++) {
        day(later[i], practice, i == 0 ? -30 : 0);
    }
}

static inline struct json_value *told(void)
{
    struct program_result result = ASK("progress", "R-07", "--json");
    struct json_value *value = program_json(&result, 0);
    program_free(&result);
    return value;
}

/* A day of another rig, with or without the board. */
static inline void day_with(const char *start, const char *rig, const char *plate,
                            const char *lines)
{
    char script[2048];
    static int seed = 70;
    snprintf(script, sizeof script,
             "session %s seed=%d\nrider R-07 \"winter group\" health=yes\n"
             "bike \"training bike\" stack=545 reach=410 head_angle=73\n"
             "sensor head carrier=base_bar look=up\nsensor chest carrier=base_bar look=up\n"
             "setup 1 \"as chosen\" stem_length=100 stem_angle=-6 spacers=20 pad_rise=60\n%s"
             "target head=884 chest=771 known_to=4mm sure=yes\nband head=+20/-20 chest=+20/-20\n"
             "%s\nend\n",
             start, ++seed, plate, lines);
    char where[160];
    snprintf(where, sizeof where, "virtual:steady?speed=max&rate=10&hold=0&settle=0&seed=%d&%s",
             seed, rig);
    program_write_file(folder, "script.txt", script);
    struct program_result result = ASK("run", "script.txt", where);
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
}

#define PLATE "plate 5s height=930 rest=pads\n"
#define POWERED "channels=head/chest/power&power="

#endif
