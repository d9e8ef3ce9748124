/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What stands in the store for SQL is what the other exports tell. */

#include "base/text.h"
#include "support/program.h"
#include "support/test_main.h"

#include <math.h>
#include <sqlite3.h>
#include <stdlib.h>
#include <string.h>

#define RUN(folder, ...) program_run(folder, NULL, (const char *const[]){__VA_ARGS__, NULL})

static void must(struct program_result result)
{
    ck_assert_msg(result.status == 0, "exit status %d: %s", result.status, result.errors);
    program_free(&result);
}

/* Two setups of two holds of 8 s on the virtual rig, and power beside them. */
static const char script[] =
    "session 2026-01-10T18:00:00Z seed=7\n"
    "bike \"training bike\" stack=545 reach=410 head_angle=73 headset_cap=10 spacers=20"
    " stem_length=100 stem_angle=-6 pad_rise=60\n"
    "sensor head carrier=base_bar x=110 y=40\nsensor chest carrier=base_bar x=-60 y=35\n"
    "setup 1 \"as it came\"\nhold 21s free settle=1s\nhold 21s free settle=1s\n"
    "setup 2 \"pads down\" pad_rise=25\nhold 21s free settle=1s\nhold 21s free settle=1s\nend\n";

static sqlite3 *open_store(const char *folder, const char *name)
{
    char path[512];
    sqlite3 *db = NULL;
    snprintf(path, sizeof path, "%s/%s", folder, name);
    ck_assert_int_eq(sqlite3_open_v2(path, &db, SQLITE_OPEN_READONLY, NULL), SQLITE_OK);
    return db;
}

static sqlite3 *open_plain(const char *folder)
{
    return open_store(folder, "s.db");
}

static double number(sqlite3 *db, const char *sql)
{
    sqlite3_stmt *statement = NULL;
    ck_assert_msg(sqlite3_prepare_v2(db, sql, -1, &statement, NULL) == SQLITE_OK, "%s: %s", sql,
                  sqlite3_errmsg(db));
    ck_assert_msg(sqlite3_step(statement) == SQLITE_ROW, "no row: %s", sql);
    double value = sqlite3_column_type(statement, 0) == SQLITE_NULL
                       ? (double)NAN
                       : sqlite3_column_double(statement, 0);
    sqlite3_finalize(statement);
    return value;
}

/* The cell of a CSV's line under a heading; no cell here has quotes around it before it. */
static void cell(const char *csv, int line, const char *heading, char *text, size_t size)
{
    const char *at = csv;
    int column = 0;
    for (;; column++) {
        size_t length = strcspn(at, ",\r");
        if (length == strlen(heading) && memcmp(at, heading, length) == 0) {
            break;
        }
        ck_assert_msg(at[length] == ',', "no column %s", heading);
        at += length + 1;
    }
    at = csv;
    for (int i = 0; i < line; i++) {
        at = strchr(at, '\n') + 1;
    }
    for (int i = 0; i < column; i++) {
        at += strcspn(at, ",\r") + 1;
    }
    snprintf(text, size, "%.*s", (int)strcspn(at, ",\r"), at);
}

static void is_within(sqlite3 *db, const char *sql, const char *csv, int line, const char *heading,
                      double within)
{
    char text[128];
    double wanted = (double)NAN, found = number(db, sql);
    cell(csv, line, heading, text, sizeof text);
    if (text[0] != '\0') {
        ck_assert(text_to_double(text, &wanted));
    }
    ck_assert_msg((isnan(wanted) && isnan(found)) || fabs(found - wanted) <= within, "%s: %s, %f",
                  heading, text, found);
}

static void is_same(sqlite3 *db, const char *sql, const char *csv, int line, const char *heading)
{
    is_within(db, sql, csv, line, heading, 0.00501);
}

START_TEST(sql_and_csv_have_the_same_numbers)
{
    const char *folder = program_folder();
    char sql[400], text[64];
    program_write_file(folder, "script.txt", script);
    must(RUN(folder, "run", "script.txt", "virtual:?speed=max", "--store", "s.db"));
    must(RUN(folder, "export", "1", "a.csv", "--store", "s.db"));
    must(RUN(folder, "export", "1", "a-setups.csv", "--store", "s.db"));
    char *holds = program_read_file(folder, "a.csv", NULL);
    char *setups = program_read_file(folder, "a-setups.csv", NULL);
    sqlite3 *db = open_plain(folder);
    ck_assert_int_eq((int)number(db, "SELECT count(*) FROM hold_height"), 8);
    ck_assert_int_eq((int)number(db, "SELECT count(*) FROM setup_difference"), 2);
    for (int line = 1; line <= 8; line++) {
        int hold = (line + 1) / 2;
        const char *channel = line % 2 == 1 ? "head" : "chest";
        static const struct {
            const char *column, *heading;
        } columns[] = {{"mean_mm", "mean_mm"},
                       {"mean_half_width_mm", "mean_half_width_mm"},
                       {"setup", "setup"},
                       {"build", "build"}};
        cell(holds, line, "channel", text, sizeof text);
        ck_assert_str_eq(text, channel);
        for (size_t i = 0; i < sizeof columns / sizeof columns[0]; i++) {
            snprintf(sql, sizeof sql,
                     "SELECT %s FROM hold_height WHERE session=1 AND hold=%d AND channel='%s'",
                     columns[i].column, hold, channel);
            is_same(db, sql, holds, line, columns[i].heading);
        }
        snprintf(sql, sizeof sql,
                 "SELECT value FROM result_measure WHERE session_id=1 AND hold=%d AND channel='%s'"
                 " AND measure='steadiness_mm'",
                 hold, channel);
        is_same(db, sql, holds, line, "steadiness_mm");
    }
    for (int line = 1; line <= 4; line++) {
        static const struct {
            const char *view, *column, *heading;
        } columns[] = {{"setup_height", "mean_mm", "mean_mm"},
                       {"setup_height", "half_width_mm", "mean_half_width_mm"},
                       {"result_setup", "difference_mm", "difference_mm"},
                       {"result_setup", "low_mm", "difference_low_mm"},
                       {"result_setup", "high_mm", "difference_high_mm"}};
        for (size_t i = 0; i < sizeof columns / sizeof columns[0]; i++) {
            snprintf(sql, sizeof sql, "SELECT %s FROM %s WHERE setup=%d AND channel='%s'",
                     columns[i].column, columns[i].view, (line + 1) / 2,
                     line % 2 == 1 ? "head" : "chest");
            is_same(db, sql, setups, line, columns[i].heading);
        }
    }
    sqlite3_close(db);
    free(holds);
    free(setups);
    program_folder_remove(folder);
}
END_TEST

/* The demo's day: 8 runs out and back, twice each way; a setup with pads down has less drag. */
START_TEST(sql_has_a_day_of_runs)
{
    const char *folder = program_folder();
    char sql[200];
    must(RUN(folder, "demo", "--headless", "--drag"));
    must(RUN(folder, "export", "1", "a-runs.csv", "--store", "holdline-demo-drag.db"));
    char *runs = program_read_file(folder, "a-runs.csv", NULL);
    sqlite3 *db = open_store(folder, "holdline-demo-drag.db");
    ck_assert_int_eq((int)number(db, "SELECT count(*) FROM run_sheet"), 8);
    ck_assert_int_eq((int)number(db, "SELECT count(*) FROM leg_sheet"), 32);
    for (int line = 1; line <= 32; line++) {
        static const struct {
            const char *column, *heading;
        } columns[] = {{"round(drag_m2, 5)", "drag_m2"},
                       {"round(wind_m_per_s, 3)", "wind_m_per_s"},
                       {"round(length_m, 2)", "length_m"},
                       {"setup", "setup"}};
        int run = (line + 3) / 4, leg = (line - 1) % 4 + 1;
        for (size_t i = 0; i < sizeof columns / sizeof columns[0]; i++) {
            snprintf(sql, sizeof sql, "SELECT %s FROM leg_sheet WHERE run=%d AND leg=%d",
                     columns[i].column, run, leg);
            is_within(db, sql, runs, line, columns[i].heading, 1e-9);
        }
        snprintf(sql, sizeof sql, "SELECT round(drag_m2, 5) FROM run_sheet WHERE run=%d", run);
        is_within(db, sql, runs, line, "run_drag_m2", 1e-9);
    }
    ck_assert_int_eq((int)number(db, "SELECT sum(legs_used) FROM run_sheet"),
                     (int)number(db, "SELECT count(*) FROM leg_sheet WHERE used"));
    ck_assert_int_eq((int)number(db, "SELECT count(*) FROM setup_drag WHERE runs = 4 AND drag_m2 "
                                     "BETWEEN 0.2 AND 0.3 AND level_half_width_m2 > 0"),
                     2);
    ck_assert_int_eq((int)number(db, "SELECT count(*) FROM setup_drag WHERE setup = 2 AND baseline "
                                     "= 1 AND verdict = 'lower' AND high_m2 < 0 AND low_m2 < "
                                     "difference_m2 AND words LIKE 'lower by %'"),
                     1);
    sqlite3_close(db);
    free(runs);
    program_folder_remove(folder);
}
END_TEST

/* A session that was merged has none until they are asked for; then they are the same. */
START_TEST(results_are_made_where_a_session_has_none)
{
    const char *folder = program_folder();
    program_write_file(folder, "script.txt", script);
    must(RUN(folder, "run", "script.txt", "virtual:?speed=max", "--store", "o.db"));
    program_write_file(folder, "other.txt", "session 2026-01-11T18:00:00Z seed=8\nend\n");
    must(RUN(folder, "run", "other.txt", "--store", "s.db"));
    must(RUN(folder, "store", "merge", "o.db", "--store", "s.db"));
    sqlite3 *db = open_plain(folder);
    ck_assert_int_eq((int)number(db, "SELECT count(*) FROM result_hold"), 0);
    sqlite3_close(db);
    must(RUN(folder, "store", "results", "--store", "s.db"));
    db = open_plain(folder);
    ck_assert_int_eq((int)number(db, "SELECT count(*) FROM result_hold"), 8);
    char sql[600];
    snprintf(sql, sizeof sql, "ATTACH '%s/o.db' AS o", folder);
    ck_assert_int_eq(sqlite3_exec(db, sql, NULL, NULL, NULL), SQLITE_OK);
    ck_assert_int_eq((int)number(db, "SELECT count(*) FROM (SELECT hold, channel, mean_mm, "
                                     "why_not FROM main.result_hold EXCEPT SELECT hold, channel, "
                                     "mean_mm, why_not FROM o.result_hold)"),
                     0);
    sqlite3_close(db);
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("results");
    TCase *tests = tcase_create("results");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, sql_and_csv_have_the_same_numbers);
    tcase_add_test(tests, sql_has_a_day_of_runs);
    tcase_add_test(tests, results_are_made_where_a_session_has_none);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
