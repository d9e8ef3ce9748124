/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The package of a session: what is in it, and what other programs make of it. */

#include "support/json_schema.h"
#include "support/program.h"
#include "support/test_main.h"

#include <minizip/unzip.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define RUN(folder, ...) program_run(folder, NULL, (const char *const[]){__VA_ARGS__, NULL})

static void must(struct program_result result)
{
    ck_assert_msg(result.status == 0, "exit status %d: %s", result.status, result.errors);
    program_free(&result);
}

/* Three setups on the virtual rig, one of them built twice. */
static const char script[] =
    "session 2026-01-10T18:00:00Z seed=7\nrider R-07 \"winter, \"\n"
    "bike \"training bike\" stack=545 reach=410 head_angle=73 headset_cap=10 spacers=20"
    " stem_length=100 stem_angle=-6 pad_rise=60\n"
    "sensor head carrier=base_bar x=110 y=40\nsensor chest carrier=base_bar x=-60 y=35\n"
    "setup 1 \"as it came\"\nplate 2s height=1300\nhold 21s free settle=1s\nhold 21s free "
    "settle=1s\n"
    "rating effort=4 sees_ahead=yes\n"
    "setup 2 \"pads down\" pad_rise=25\nhold 21s free settle=1s\nhold 21s free settle=1s\n"
    "setup 3 \"spacers out\" from=1 spacers=0\nhold 21s free settle=1s\nhold 21s free settle=1s\n"
    "setup 1\nhold 21s free settle=1s\nhold 21s free settle=1s\nend\n";

static const char *folder; /* with the package, unpacked */
#define PARTS 16           /* files in it */

/* Into the folder, by the library's own reader. The names there are. */
static int unpack(const char *name)
{
    char path[512], file[128];
    int count = 0;
    snprintf(path, sizeof path, "%s/%s", folder, name);
    unzFile archive = unzOpen(path);
    ck_assert_ptr_nonnull(archive);
    for (int code = unzGoToFirstFile(archive); code == UNZ_OK; code = unzGoToNextFile(archive)) {
        unz_file_info info;
        ck_assert_int_eq(unzGetCurrentFileInfo(archive, &info, file, sizeof file, NULL, 0, NULL, 0),
                         UNZ_OK);
        char *text = calloc(1, info.uncompressed_size + 1);
        ck_assert_ptr_nonnull(text);
        ck_assert_int_eq(unzOpenCurrentFile(archive), UNZ_OK);
        ck_assert_int_eq(unzReadCurrentFile(archive, text, (unsigned)info.uncompressed_size),
                         (int)info.uncompressed_size);
        ck_assert_int_eq(unzCloseCurrentFile(archive), UNZ_OK); /* its checksum, too */
        program_write_file(folder, file, text);
        free(text);
        count++;
    }
    unzClose(archive);
    return count;
}

static void make_package(void)
{
    folder = program_folder();
    program_write_file(folder, "script.txt", script);
    must(RUN(folder, "run", "script.txt", "virtual:?speed=max", "--store", "s.db"));
    must(RUN(folder, "export", "1", "a.zip", "--store", "s.db"));
    ck_assert_int_eq(unpack("a.zip"), PARTS);
}

static void remove_package(void)
{
    program_folder_remove(folder);
}

static void same_files(const char *a, const char *b)
{
    size_t length_a, length_b;
    char *text_a = program_read_file(folder, a, &length_a);
    char *text_b = program_read_file(folder, b, &length_b);
    ck_assert_msg(length_a == length_b && memcmp(text_a, text_b, length_a) == 0, "%s, %s", a, b);
    free(text_a);
    free(text_b);
}

START_TEST(tables_are_those_that_are_exported_alone)
{
    must(RUN(folder, "export", "1", "b.csv", "--store", "s.db"));
    must(RUN(folder, "export", "1", "b-setups.csv", "--store", "s.db"));
    must(RUN(folder, "export", "1", "b-readings.csv", "--store", "s.db"));
    must(RUN(folder, "export", "1", "b.json", "--store", "s.db"));
    same_files("b.csv", "holds.csv");
    same_files("b-setups.csv", "setups.csv");
    same_files("b-readings.csv", "readings.csv");
    same_files("b.json", "session.json");
    /* the same session, the same bytes */
    must(RUN(folder, "export", "1", "b.zip", "--store", "s.db"));
    same_files("a.zip", "b.zip");
}
END_TEST

/* That of docs/, byte for byte; and the session is as it says. */
START_TEST(the_schema_of_the_json_is_in_it)
{
    char *packed = program_read_file(folder, "session.schema.json", NULL);
    char *written = program_read_file(SOURCE_DIR "/docs", "export.schema.json", NULL);
    ck_assert_str_eq(packed, written);
    free(packed);
    free(written);
    json_validate(folder, "session.schema.json", "session.json");
}
END_TEST

/* Each column of each table has a row with a meaning in the dictionary, and no row is of none. */
START_TEST(every_column_is_in_the_dictionary)
{
    static const char *const tables[] = {"setups.csv",  "holds.csv", "differences.csv",
                                         "ratings.csv", "ties.csv",  "readings.csv",
                                         "runs.csv",    "drag.csv"};
    char *dictionary = program_read_file(folder, "dictionary.csv", NULL);
    int columns = 0, rows = 0;
    for (size_t i = 0; i < sizeof tables / sizeof tables[0]; i++) {
        char *table = program_read_file(folder, tables[i], NULL);
        char *end = strstr(table, "\r\n");
        ck_assert_ptr_nonnull(end);
        *end = '\0';
        for (char *column = strtok(table, ","); column != NULL; column = strtok(NULL, ",")) {
            char start[128];
            snprintf(start, sizeof start, "\r\n%s,%s,", tables[i], column);
            const char *row = strstr(dictionary, start);
            ck_assert_msg(row != NULL, "%s of %s is not in the dictionary", column, tables[i]);
            const char *unit_end = strchr(row + strlen(start), ',');
            ck_assert_msg(unit_end != NULL && unit_end[1] != '\r', "%s of %s has no meaning",
                          column, tables[i]);
            columns++;
        }
        free(table);
    }
    for (const char *line = strstr(dictionary, "\r\n"); line != NULL && line[2] != '\0';
         line = strstr(line + 2, "\r\n")) {
        rows++;
    }
    ck_assert_int_gt(columns, 150);
    ck_assert_int_eq(rows, columns);
    free(dictionary);
}
END_TEST

/* Each script must come to the program's numbers, and say so where a number is another. */
static void run_script(const char *program, const char *run)
{
    char command[1024];
    snprintf(command, sizeof command, "%s --version >/dev/null 2>&1", program);
    if (system(command) != 0) {
        printf("skipped: %s is not here to work the comparison out again\n", program);
        return;
    }
    snprintf(command, sizeof command, "cd %s && %s >out.txt 2>&1", folder, run);
    int status = system(command);
    char *told = program_read_file(folder, "out.txt", NULL);
    ck_assert_msg(status == 0, "%s", told);
    ck_assert_msg(strstr(told, "furthest from what the program says: 0.0") != NULL, "%s", told);
    free(told);
    /* Where the first holds are left out, it says that the numbers are others. */
    snprintf(
        command, sizeof command,
        "cd %s && mkdir other && cp *.csv compare.* other && cd other &&"
        " sed -i '2,9s/,ok,yes,,/,ok,no,,/' holds.csv && %s >out.txt 2>&1; s=$?; rm -rf %s/other;"
        " exit $s",
        folder, run, folder);
    ck_assert_int_ne(system(command), 0);
}

/* Of a day of runs there is no height: the scripts say so, and the text promises no more. */
static void run_without_holds(const char *program, const char *run)
{
    char command[1024];
    snprintf(command, sizeof command, "%s --version >/dev/null 2>&1", program);
    if (system(command) != 0) {
        printf("skipped: %s is not here to work the comparison out again\n", program);
        return;
    }
    program_write_file(folder, "runs.txt",
                       "session 2026-01-10T18:00:00Z seed=3\nrider R-08\nsetup 1\nmass 85kg\n"
                       "course laps length=242m indoors=yes\nair 20C 1007hPa 50%\n"
                       "run setup=1 from=ride.csv speed=wheel laps=1..2\nend\n");
    static char ride[8192];
    size_t used = (size_t)snprintf(ride, sizeof ride, "time (s),power (W),speed (m/s),lap\n");
    for (int t = 0; t <= 88; t++) {
        used +=
            (size_t)snprintf(ride + used, sizeof ride - used, "%d,250,11.0,%d\n", t, t / 22 + 1);
    }
    program_write_file(folder, "ride.csv", ride);
    snprintf(command, sizeof command, "rm -rf %s/runs %s/runs.db %s/runs.zip; mkdir %s/runs",
             folder, folder, folder, folder);
    ck_assert_int_eq(system(command), 0);
    must(RUN(folder, "run", "runs.txt", "--store", "runs.db"));
    must(RUN(folder, "export", "1", "runs.zip", "--store", "runs.db"));
    const char *above = folder;
    char inside[512];
    snprintf(inside, sizeof inside, "%s/runs", above);
    snprintf(command, sizeof command, "mv %s/runs.zip %s", above, inside);
    ck_assert_int_eq(system(command), 0);
    folder = inside;
    ck_assert_int_eq(unpack("runs.zip"), PARTS);
    snprintf(command, sizeof command, "cd %s && %s >out.txt 2>&1", folder, run);
    ck_assert_int_ne(system(command), 0);
    char *told = program_read_file(folder, "out.txt", NULL);
    ck_assert_str_eq(told, "nothing to compare: no free hold in holds.csv counts\n");
    free(told);
    char *readme = program_read_file(folder, "README.txt", NULL);
    ck_assert_ptr_nonnull(strstr(readme, "where no free hold counts, it says so"));
    free(readme);
    folder = above;
}

START_TEST(without_holds_the_scripts_say_so)
{
    run_without_holds("python3", "python3 compare.py");
    run_without_holds("Rscript", "Rscript compare.R");
}
END_TEST

START_TEST(python_comes_to_the_same_numbers)
{
    run_script("python3", "python3 compare.py");
}
END_TEST

START_TEST(r_comes_to_the_same_numbers)
{
    run_script("Rscript", "Rscript compare.R");
}
END_TEST

/* The demo's day of runs, in a folder below: what was found is found again, to the last figure that
 * runs.csv has; a run that is another's setup shows. */
static void run_drag_script(const char *program, const char *run)
{
    char command[1024], inside[512];
    const char *above = folder;
    snprintf(command, sizeof command, "%s --version >/dev/null 2>&1", program);
    if (system(command) != 0) {
        printf("skipped: %s is not here to work the runs out again\n", program);
        return;
    }
    snprintf(command, sizeof command, "rm -rf %s/day; mkdir %s/day", folder, folder);
    ck_assert_int_eq(system(command), 0);
    snprintf(inside, sizeof inside, "%s/day", above);
    folder = inside;
    must(RUN(folder, "demo", "--headless", "--drag"));
    must(RUN(folder, "export", "1", "d.zip", "--store", "holdline-demo-drag.db"));
    ck_assert_int_eq(unpack("d.zip"), PARTS);
    snprintf(command, sizeof command, "cd %s && %s >out.txt 2>&1", folder, run);
    int status = system(command);
    char *told = program_read_file(folder, "out.txt", NULL);
    ck_assert_msg(status == 0, "%s", told);
    ck_assert_msg(strstr(told, "furthest from what the program says: 0.0000") != NULL, "%s", told);
    ck_assert_msg(strstr(told, "lower") != NULL, "%s", told);
    free(told);
    snprintf(command, sizeof command, "cd %s && sed -i 's/,8,1,/,8,2,/' runs.csv && %s >out.txt",
             folder, run);
    ck_assert_int_ne(system(command), 0);
    folder = above;
}

START_TEST(python_comes_to_the_same_drag)
{
    run_drag_script("python3", "python3 drag.py");
}
END_TEST

START_TEST(r_comes_to_the_same_drag)
{
    run_drag_script("Rscript", "Rscript drag.R");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("package");
    TCase *tests = tcase_create("package");
    tcase_set_timeout(tests, 60);
    tcase_add_unchecked_fixture(tests, make_package, remove_package);
    tcase_add_test(tests, tables_are_those_that_are_exported_alone);
    tcase_add_test(tests, the_schema_of_the_json_is_in_it);
    tcase_add_test(tests, every_column_is_in_the_dictionary);
    tcase_add_test(tests, python_comes_to_the_same_numbers);
    tcase_add_test(tests, r_comes_to_the_same_numbers);
    tcase_add_test(tests, python_comes_to_the_same_drag);
    tcase_add_test(tests, r_comes_to_the_same_drag);
    tcase_add_test(tests, without_holds_the_scripts_say_so);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
