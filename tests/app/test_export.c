/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "visit_fixture.h"

#include "support/csv_reader.h"
#include "support/json_reader.h"
#include "support/json_schema.h"
#include "support/program.h"
#include "support/test_main.h"

#include <math.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* What JSON and CSV say is what the store holds, number by number, by plain SQL and by other
 * readers. */

static struct csv_file csv_of(const char *name)
{
    struct csv_file file;
    size_t length = 0;
    must(RUN("export", "last", name, "--store", "s.db"));
    char *text = program_read_file(folder, name, &length);
    ck_assert_msg(csv_read(text, length, &file), "%s: %s", name, file.error);
    free(text);
    return file;
}

static sqlite3_stmt *query(const char *sql)
{
    sqlite3_stmt *statement = NULL;
    int code = sqlite3_prepare_v2(database, sql, -1, &statement, NULL);
    ck_assert_msg(code == SQLITE_OK, "%s", sqlite3_errmsg(database));
    return statement;
}

static double number_by(const char *sql)
{
    sqlite3_stmt *statement = query(sql);
    ck_assert_int_eq(sqlite3_step(statement), SQLITE_ROW);
    double value = sqlite3_column_double(statement, 0);
    sqlite3_finalize(statement);
    return value;
}

static const char *text_column(sqlite3_stmt *statement, int column)
{
    const unsigned char *text = sqlite3_column_text(statement, column);
    return text != NULL ? (const char *)text : "";
}

static void check_path(const struct json_value *value, const char *path, sqlite3_stmt *statement,
                       int column)
{
    if (sqlite3_column_type(statement, column) == SQLITE_TEXT) {
        check_text(json_text_at(value, path), text_column(statement, column), path);
        return;
    }
    double found = json_number_at(value, path), expected = sqlite3_column_double(statement, column);
    ck_assert_msg(found == expected, "%s is %.17g, not %.17g", path, found, expected);
}

/* ---- JSON against the store ------------------------------------------------------------------ */

START_TEST(json_has_the_stores_records)
{
    static const struct {
        const char *array, *member, *sql;
    } columns[] = {
        {"setups", "uuid", "SELECT uuid FROM setup ORDER BY place"},
        {"setups", "number", "SELECT number FROM setup ORDER BY place"},
        {"setups", "intent", "SELECT intent FROM setup ORDER BY place"},
        {"setups", "parts/spacers",
         "SELECT v.value FROM setup_value v WHERE v.key = 'spacers' ORDER BY v.setup"},
        {"builds", "uuid", "SELECT uuid FROM build ORDER BY place"},
        {"builds", "ordinal", "SELECT ordinal FROM build ORDER BY place"},
        {"builds", "first_sample", "SELECT first_sample FROM build ORDER BY place"},
        {"captures", "first_sample", "SELECT first_sample FROM capture ORDER BY place"},
        {"captures", "last_sample", "SELECT last_sample FROM capture ORDER BY place"},
        {"captures", "kind", "SELECT kind FROM capture ORDER BY place"},
        {"holds", "uuid", "SELECT uuid FROM hold ORDER BY place"},
        {"holds", "number", "SELECT number FROM hold ORDER BY place"},
        {"holds", "kind", "SELECT iif(guided, 'guided', 'free') FROM hold ORDER BY place"},
        {"holds", "status", "SELECT status FROM hold ORDER BY place"},
        {"holds", "reject_reason", "SELECT reject_reason FROM hold ORDER BY place"},
        {"holds", "planned_s", "SELECT planned_s FROM hold ORDER BY place"},
        {"holds", "start_s", "SELECT from_seconds FROM hold_sheet ORDER BY hold"},
        {"ratings", "scores/effort", "SELECT effort FROM rating ORDER BY place"},
        {"ratings", "sees_ahead", "SELECT sees_ahead FROM rating ORDER BY place"},
        {"notes", "text", "SELECT text FROM note ORDER BY place"},
        {"commands", "text", "SELECT text FROM command ORDER BY ordinal"},
        {"commands", "after_sample", "SELECT after_sample FROM command ORDER BY ordinal"},
    };
    struct json_value *value = json_of(RUN("show", "last", "--json", "--store", "s.db"));
    for (size_t i = 0; i < sizeof columns / sizeof columns[0]; i++) {
        sqlite3_stmt *statement = query(columns[i].sql);
        size_t rows = 0;
        for (; sqlite3_step(statement) == SQLITE_ROW; rows++) {
            char path[128];
            snprintf(path, sizeof path, "%s/%zu/%s", columns[i].array, rows, columns[i].member);
            check_path(value, path, statement, 0);
        }
        sqlite3_finalize(statement);
        ck_assert_uint_gt(rows, 0);
        ck_assert_uint_eq(json_at(value, columns[i].array)->count, rows);
    }
    ck_assert_double_eq(json_number_at(value, "session/samples"),
                        number_by("SELECT sample_count FROM session"));
    ck_assert_double_eq(json_number_at(value, "settings/matters_mm/head"), 8);
    ck_assert_double_eq(json_number_at(value, "settings/matters_mm/chest"), 6);
    check_text(json_text_at(value, "rider/name"), "=1+1, \"winter\" group; Zo\xC3\xAB",
               "the rider");
    json_free(value);
}
END_TEST

/* The readings of a hold and channel, counted and averaged by the database. */
START_TEST(json_summaries_agree_with_the_readings)
{
    struct json_value *value = json_of(RUN("show", "last", "--json", "--store", "s.db"));
    sqlite3_stmt *statement =
        query("SELECT h.hold, c.channel - 1, count(*), sum(h.quality = 'good'),"
              " avg(iif(h.quality = 'good', h.range_mm, NULL)), b.place - 1"
              " FROM hold_reading h JOIN channel c ON c.name = h.channel"
              " JOIN hold o ON o.number = h.hold JOIN build b ON b.place = o.build"
              " GROUP BY h.hold, c.channel");
    int rows = 0;
    for (; sqlite3_step(statement) == SQLITE_ROW; rows++) {
        char path[96];
        int hold = sqlite3_column_int(statement, 0) - 1, channel = sqlite3_column_int(statement, 1);
        snprintf(path, sizeof path, "holds/%d/channels/%d", hold, channel);
        const struct json_value *summary = json_at(value, path);
        ck_assert_double_eq(json_number_at(summary, "readings"),
                            sqlite3_column_double(statement, 2));
        ck_assert_double_eq(json_number_at(summary, "valid"), sqlite3_column_double(statement, 3));
        /* beams are upright: height = sensor + range; outliers and the unsettled start move the
         * mean by less than its spread */
        snprintf(path, sizeof path, "builds/%d/ties/%d/sensor_height_mm",
                 sqlite3_column_int(statement, 5), channel);
        double rough = json_number_at(value, path) + sqlite3_column_double(statement, 4);
        double mean = json_number_at(summary, "mean_mm");
        ck_assert_msg(fabs(mean - rough) < json_number_at(summary, "sd_mm") + 1, "%s: %g and %g",
                      path, mean, rough);
    }
    sqlite3_finalize(statement);
    ck_assert_int_eq(rows, 8 * 2);
    json_free(value);
}
END_TEST

START_TEST(heights_are_above_the_bottom_bracket)
{
    /* Worked by hand: stack 545, reach 410, 73 deg, spacers 20 and half a clamp of 40
     * are 40 along the steerer; stem 100 at 90 - 73 - 6 = 11 deg: y = 545 + 40 sin 73 + 100 sin 11
     * = 602.333; the head's sensor is 40 above, the chest's 35. 20 mm of spacers less: 19.126
     * lower. */
    const double clamp = 545 + 40 * sin(73 * M_PI / 180) + 100 * sin(11 * M_PI / 180);
    const double drop = 20 * sin(73 * M_PI / 180);
    struct json_value *value = json_of(RUN("show", "last", "--json", "--store", "s.db"));
    ck_assert_double_eq_tol(json_number_at(value, "builds/0/ties/0/sensor_height_mm"), clamp + 40,
                            1e-6);
    ck_assert_double_eq_tol(json_number_at(value, "builds/0/ties/1/sensor_height_mm"), clamp + 35,
                            1e-6);
    ck_assert_double_eq_tol(json_number_at(value, "builds/1/ties/0/sensor_height_mm"),
                            clamp + 40 - drop, 1e-6);
    ck_assert_double_eq_tol(json_number_at(value, "builds/2/ties/0/sensor_height_mm"), clamp + 40,
                            1e-6);
    json_free(value);
}
END_TEST

/* ---- CSV against the store and the JSON ------------------------------------------------------ */

/* A CSV cell is the JSON number rounded to the cell's decimals; an empty cell is null. */
static void check_rounded(const char *cell, double exact, const char *what)
{
    if (cell == NULL || cell[0] == '\0') {
        ck_assert_msg(cell != NULL && isnan(exact), "%s is empty, not %g", what, exact);
        return;
    }
    const char *point = strchr(cell, '.');
    int decimals = point != NULL ? (int)strlen(point + 1) : 0;
    ck_assert_msg(fabs(strtod(cell, NULL) - exact) <= 0.5001 * pow(10, -decimals),
                  "%s is %s, not %.9g", what, cell, exact);
}

START_TEST(csv_of_holds_agrees_with_the_json)
{
    static const char *const members[][2] = {
        {"mean_mm", "mean_mm"},
        {"mean_half_width_mm", "mean_half_width_mm"},
        {"sd_mm", "sd_mm"},
        {"median_mm", "quantile_50_mm"},
        {"steadiness_mm", "steadiness_mm"},
        {"rms_breathing_mm", "rms_breathing_mm"},
        {"creep_mm_per_min", "creep_mm_per_min"},
        {"valid_share", "valid_share"},
        {"kept_s", "kept_s"},
        {"offset_mm", "offset_mm"},
        {"in_band_share", "band/in_band_share"},
        {"excursion_total_s", "band/excursion_total_s"},
        {"readings", "readings"},
        {"outliers", "outliers"},
        {"missing", "sensor/missing"},
        {"doubtful", "sensor/doubtful"},
        {"noise_mm", "sensor/noise_mm"},
    };
    struct json_value *value = json_of(RUN("show", "last", "--json", "--store", "s.db"));
    struct csv_file file = csv_of("holds.csv");
    ck_assert_uint_eq(file.rows, 1 + 8 * 2);
    for (size_t row = 1; row < file.rows; row++) {
        for (size_t i = 0; i < sizeof members / sizeof members[0]; i++) {
            char path[96];
            snprintf(path, sizeof path, "holds/%zu/channels/%zu/%s", (row - 1) / 2, (row - 1) % 2,
                     members[i][1]);
            check_rounded(csv_under(&file, row, members[i][0]), json_number_at(value, path), path);
        }
    }
    csv_free(&file);
    json_free(value);
}
END_TEST

START_TEST(csv_of_holds_has_the_stores_records)
{
    struct csv_file file = csv_of("holds.csv");
    sqlite3_stmt *statement =
        query("SELECT h.uuid, h.number, t.number, t.intent, b.ordinal,"
              " iif(h.guided, 'guided', 'free'), iif(h.rejected, 'yes', 'no'), v.value"
              " FROM hold h JOIN build b ON b.place = h.build"
              " JOIN setup t ON t.place = b.setup"
              " JOIN setup_value v ON v.setup = t.place AND v.key = 'spacers'"
              " ORDER BY h.place");
    static const char *const headings[] = {"hold_uuid", "hold", "setup",    "intent",
                                           "build",     "kind", "rejected", "spacers_mm"};
    for (size_t row = 1; sqlite3_step(statement) == SQLITE_ROW; row += 2) {
        for (size_t column = 0; column < 7; column++) {
            check_text(csv_under(&file, row, headings[column]), text_column(statement, (int)column),
                       headings[column]);
        }
        ck_assert_double_eq(strtod(csv_under(&file, row, headings[7]), NULL),
                            sqlite3_column_double(statement, 7));
    }
    sqlite3_finalize(statement);
    check_text(csv_under(&file, 1, "rider"), "'=1+1, \"winter\" group; Zo\xC3\xAB",
               "the rider's cell");
    check_text(csv_under(&file, 3, "reject_reason"), "'@slid, back", "the reason's cell");
    csv_free(&file);
}
END_TEST

START_TEST(csv_of_readings_is_the_stored_stream)
{
    struct csv_file file = csv_of("all-readings.csv");
    /* holds first to last, sample by sample, channel by channel */
    sqlite3_stmt *statement =
        query("SELECT r.sample, r.seconds, r.channel, r.range_mm, r.quality, r.hold,"
              " r.setup FROM hold_reading r JOIN channel c ON c.name = r.channel"
              " ORDER BY r.hold, r.n, c.channel");
    struct json_value *value = json_of(RUN("show", "last", "--json", "--store", "s.db"));
    size_t row = 1;
    while (row < file.rows && strcmp(csv_under(&file, row, "kind"), "hold") != 0) {
        row++;
    }
    size_t target_rows = row - 1, compared = 0;
    for (; sqlite3_step(statement) == SQLITE_ROW; row++, compared++) {
        const char *range = csv_cell(&file, row, 8);
        ck_assert_msg(range != NULL, "only %zu readings", compared);
        check_text(csv_cell(&file, row, 0), text_column(statement, 0), "sample");
        ck_assert_double_eq_tol(strtod(csv_cell(&file, row, 1), NULL),
                                sqlite3_column_double(statement, 1), 1e-9);
        check_text(csv_cell(&file, row, 7), text_column(statement, 2), "channel");
        check_text(csv_cell(&file, row, 9), text_column(statement, 4), "quality");
        check_text(csv_cell(&file, row, 4), text_column(statement, 5), "hold");
        check_text(csv_cell(&file, row, 5), text_column(statement, 6), "setup");
        if (strcmp(text_column(statement, 4), "missing") == 0) {
            check_text(range, "", "a missing range");
            continue;
        }
        ck_assert_double_eq_tol(strtod(range, NULL), sqlite3_column_double(statement, 3), 1e-9);
        /* beams are upright */
        bool head = strcmp(text_column(statement, 2), "head") == 0;
        int build = strcmp(csv_cell(&file, row, 5), "2") == 0 ? 1 : 0;
        char path[64];
        snprintf(path, sizeof path, "builds/%d/ties/%d/sensor_height_mm", build, head ? 0 : 1);
        ck_assert_double_eq_tol(strtod(csv_cell(&file, row, 10), NULL),
                                json_number_at(value, path) + strtod(range, NULL), 0.0051);
    }
    sqlite3_finalize(statement);
    ck_assert_uint_eq(row, file.rows);
    ck_assert_double_eq(
        (double)target_rows,
        2 * number_by("SELECT last_sample - first_sample + 1 FROM capture WHERE kind = 'target'"));
    csv_free(&file);
    json_free(value);
}
END_TEST

START_TEST(csv_of_setups_agrees_with_the_json)
{
    static const char *const members[][2] = {
        {"mean_mm", "mean"},
        {"mean_half_width_mm", "half_width"},
        {"difference_mm", "difference/value"},
        {"difference_low_mm", "difference/low"},
        {"difference_high_mm", "difference/high"},
        {"tie_error_mm", "difference/tie_error"},
        {"difference_se_mm", "difference/standard_error"},
        {"free_holds", "holds"},
    };
    struct json_value *value = json_of(RUN("compare", "last", "--json", "--store", "s.db"));
    struct csv_file file = csv_of("my-setups.csv");
    ck_assert_uint_eq(file.rows, 1 + 2 * 2);
    for (size_t row = 1; row < file.rows; row++) {
        for (size_t i = 0; i < sizeof members / sizeof members[0]; i++) {
            char path[96];
            snprintf(path, sizeof path, "comparison/free_heights/%zu/setups/%zu/%s", (row - 1) % 2,
                     (row - 1) / 2, members[i][1]);
            check_rounded(csv_under(&file, row, members[i][0]), json_number_at(value, path), path);
        }
    }
    /* hold 2 was rejected: three free holds are left on two builds */
    check_text(csv_under(&file, 1, "free_holds"), "3", "holds of setup 1");
    check_text(csv_under(&file, 1, "builds"), "2", "builds of setup 1");
    check_text(csv_under(&file, 3, "failed"), "yes", "setup 2 can't be seen from");
    check_text(csv_under(&file, 3, "numb_hands"), "yes", "numb hands on setup 2");
    csv_free(&file);
    json_free(value);
}
END_TEST

START_TEST(json_is_as_the_schema_says)
{
    static const char *const commands[] = {"show", "compare"};
    for (size_t i = 0; i < 2; i++) {
        struct program_result result = RUN(commands[i], "last", "--json", "--store", "s.db");
        program_write_file(folder, "out.json", result.output);
        program_free(&result);
        json_validate(folder, source_path("docs/export.schema.json"), "out.json");
    }
}
END_TEST

/* Another reader than ours, and another way into the store. */
START_TEST(pythons_readers_find_the_stores_numbers)
{
    static const char *const files[] = {"all.json", "all.csv", "all-setups.csv",
                                        "all-readings.csv"};
    char line[4096];
    if (system("python3 -c 'import csv,json,sqlite3' >/dev/null 2>&1") != 0) {
        printf("skipped: python3 is not here to read the exports a second time\n");
        return;
    }
    for (size_t i = 0; i < sizeof files / sizeof files[0]; i++) {
        must(RUN("export", "last", files[i], "--store", "s.db"));
    }
    snprintf(line, sizeof line,
             "cd '%s' && python3 '%s' s.db 1 all.json all.csv all-setups.csv all-readings.csv",
             folder, source_path("tests/support/compare_export.py"));
    ck_assert_int_eq(system(line), 0);
    /* and would see a number that is another */
    snprintf(line, sizeof line,
             "cd '%s' && sed '5000s/,good,/,weak,/' all-readings.csv > other-readings.csv && "
             "python3 '%s' s.db 1 all.json all.csv all-setups.csv other-readings.csv 2>/dev/null",
             folder, source_path("tests/support/compare_export.py"));
    ck_assert_int_ne(system(line), 0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("exports");
    TCase *tests = tcase_create("exports");
    tcase_set_timeout(tests, 120);
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, json_has_the_stores_records);
    tcase_add_test(tests, json_summaries_agree_with_the_readings);
    tcase_add_test(tests, heights_are_above_the_bottom_bracket);
    tcase_add_test(tests, csv_of_holds_agrees_with_the_json);
    tcase_add_test(tests, csv_of_holds_has_the_stores_records);
    tcase_add_test(tests, csv_of_readings_is_the_stored_stream);
    tcase_add_test(tests, csv_of_setups_agrees_with_the_json);
    tcase_add_test(tests, json_is_as_the_schema_says);
    tcase_add_test(tests, pythons_readers_find_the_stores_numbers);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
