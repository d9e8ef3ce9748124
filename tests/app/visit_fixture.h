/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_APP_VISIT_FIXTURE_H
#define HOLDLINE_TESTS_APP_VISIT_FIXTURE_H

#include "support/json_reader.h"
#include "support/program.h"
#include "support/test_main.h"

#include <sqlite3.h>
#include <stdio.h>
#include <string.h>

/* A visit that the real program has run into a store s.db in a new folder, for each test. */

/* Two setups, free and guided holds, a plate of known height over both builds, a rejected hold,
 * marks, ratings, and a rider whose name a spreadsheet would take for a formula. */
static const char script[] =
    "session 2026-01-10T18:00:00Z seed=7\n"
    "rider R-09 \"=1+1, \\\"winter\\\" group; Zo\xC3\xAB\" watch_for=\"-left knee\"\n"
    "bike \"training bike\" stack=545 reach=410 head_angle=73 headset_cap=0 spacers=20 "
    "stem_length=100 "
    "stem_angle=-6 pad_rise=60 pad_fore_aft=-20\n"
    "sensor head carrier=base_bar x=110 y=40 mark=\"chin strap\"\n"
    "sensor chest carrier=base_bar x=-60 y=35 mark=\"chest strap\"\n"
    "matters head=8 chest=6\nlimits spacers=15 stem_length=90..120\n"
    "setup 1 \"as it came\"\n"
    "target\n"
    "band head=+12/-20 chest=+10/none\n"
    "hold 30s free\nhold 30s free\nhold 30s guided\n"
    "rating effort=4 neck=2 sees_ahead=yes could_stay=30\n"
    "setup 2 \"spacers out, 'low'\" spacers=0\n"
    "hold 30s free\nhold 30s free\nhold 30s guided\n"
    "rating effort=6 hands=3 numb_hands=yes sees_ahead=no\n"
    "setup 1\n"
    "hold 30s free\nhold 30s free\n"
    "reject 2 \"@slid, back\"\n"
    "note \"+fan moved\"\nchoose 1\n"
    "end\n";

static const char *folder;
static sqlite3 *database; /* s.db, to be read */

static inline struct program_result run(const char *const *arguments)
{
    return program_run(folder, NULL, arguments);
}
#define RUN(...) run((const char *const[]){__VA_ARGS__, NULL})

static inline void must(struct program_result result)
{
    ck_assert_msg(result.status == 0, "exit status %d: %s", result.status, result.errors);
    program_free(&result);
}

static inline void begin(void)
{
    char path[512];
    folder = program_folder();
    program_write_file(folder, "session.txt", script);
    must(RUN("run", "session.txt", "virtual:winter?speed=max&seed=11", "--store", "s.db"));
    snprintf(path, sizeof path, "%s/s.db", folder);
    ck_assert_int_eq(sqlite3_open_v2(path, &database, SQLITE_OPEN_READONLY, NULL), SQLITE_OK);
}

static inline void end(void)
{
    sqlite3_close(database);
    program_folder_remove(folder);
}

static inline void check_text(const char *found, const char *expected, const char *what)
{
    ck_assert_msg(found != NULL && strcmp(found, expected) == 0, "%s is '%s', not '%s'", what,
                  found != NULL ? found : "(none)", expected);
}

static inline struct json_value *json_of(struct program_result result)
{
    struct json_value *value = program_json(&result, 0);
    program_free(&result);
    return value;
}

#endif
