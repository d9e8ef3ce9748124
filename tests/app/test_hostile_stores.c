/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Every command on stores that were damaged, or made to do harm. HOLDLINE_HOSTILE=1000 for so many
 * of each kind, by hand, with the program of a sanitized build. */
#include "support/hostile_store.h"
#include "support/program.h"
#include "support/sanitized.h"
#include "support/test_main.h"
#include "support/test_seed.h"

#include "base/clock.h"
#include "base/random.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#define CPU_S 20 /* a command that takes so long hangs, under any sanitizer */
/* ... and without one, of a processor's time: another's load is no hang. */
#define HANGS_US 2000000
#define WORDS 6

/* The invented session has fewer samples than its captures would need. */
#define FULL_SOUND                                                                                 \
    "UPDATE hold SET status = 'cut short' WHERE status = 'running';"                               \
    "UPDATE capture SET first_sample = 4 * place, last_sample = 4 * place + 40"

static const char *folder;
static char from[300], to[300];
static int64_t longest_us, longest_processor_us; /* of a command */

static int64_t processor_us(void)
{
    struct rusage usage;
    ck_assert_int_eq(getrusage(RUSAGE_CHILDREN, &usage), 0);
    return (usage.ru_utime.tv_sec + usage.ru_stime.tv_sec) * INT64_C(1000000) +
           usage.ru_utime.tv_usec + usage.ru_stime.tv_usec;
}

static void begin(void)
{
    const struct rlimit limit = {CPU_S, RLIM_INFINITY};
    char command[900];
    folder = program_folder();
    snprintf(command, sizeof command, "cp -r '%s'/* '%s'", source_path("sessions"), folder);
    ck_assert_int_eq(system(command), 0);
    const char *const run[] = {"run", "spacers-out.session", "--store", "sound.db", NULL};
    struct program_result result = program_run(folder, "", run);
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
    snprintf(command, sizeof command, "cp '%s' '%s/full.db'",
             source_path("tests/store/data/version-6.db"), folder);
    ck_assert_int_eq(system(command), 0);
    snprintf(to, sizeof to, "%s/full.db", folder);
    hostile_sql(to, FULL_SOUND);
    const char *const bring_up[] = {"store", "check", "--quick", "--store", "full.db", NULL};
    result = program_run(folder, "", bring_up);
    ck_assert_msg(result.status == 0, "%s%s", result.output, result.errors);
    program_free(&result);
    snprintf(to, sizeof to, "%s/hostile.db", folder);
    ck_assert_int_eq(setrlimit(RLIMIT_CPU, &limit), 0);
}

static void end(void)
{
    program_folder_remove(folder);
}

static const char *const lines[][WORDS] = {
    {"list"},
    {"show", "1"},
    {"compare", "1"},
    {"export", "1", "out.json"},
    {"export", "1", "out.html"},
    {"export", "1", "out-readings.csv"},
    {"export", "1", "out.csv"},
    {"export", "1", "out.pdf"},
    {"export", "1", "out-holds.svg"},
    {"export", "1", "out.txt"},
    {"replay", "1"},
    {"plan", "--from", "1"},
    {"place", "--session", "1"},
    {"store", "check"},
    {"store", "backup", "copy.db"},
    {"list", "--json"},
    {"store", "compact"},
    {"store", "forget", "R-01", "--yes"},
    {"live", "--resume", "-"},
};
#define LINES (int)(sizeof lines / sizeof lines[0])

static struct program_result run_line(const char *const line[WORDS], const char *store)
{
    const char *arguments[WORDS + 3] = {NULL};
    int count = 0;
    for (; line[count] != NULL; count++) {
        arguments[count] = line[count];
    }
    arguments[count++] = "--store";
    arguments[count] = store;
    int64_t begun_us = clock_monotonic_us(), used_us = processor_us();
    struct program_result result = program_run(folder, "", arguments);
    used_us = processor_us() - used_us;
    longest_processor_us = used_us > longest_processor_us ? used_us : longest_processor_us;
    int64_t took_us = clock_monotonic_us() - begun_us;
    longest_us = took_us > longest_us ? took_us : longest_us;
    return result;
}

/* It ends by itself, with a sentence where it fails, and no sanitizer has a word to say. */
static void must_end_well(const struct program_result *result, const char *const line[WORDS],
                          const struct hostile *made)
{
    bool says = result->status == 0 || result->errors[0] != '\0' || result->output[0] != '\0';
    ck_assert_msg(result->status >= 0 && result->status <= 2 && says &&
                      strstr(result->errors, "Sanitizer") == NULL &&
                      strstr(result->errors, "runtime error") == NULL,
                  "%s %s, %s: ended with %d: %s", line[0], line[1] != NULL ? line[1] : "",
                  made->what, result->status, result->errors);
#ifndef SANITIZED
    ck_assert_msg(longest_processor_us < HANGS_US, "%s %s, %s: took %lld ms of a processor",
                  line[0], line[1] != NULL ? line[1] : "", made->what,
                  (long long)longest_processor_us / 1000);
#endif
}

/* Sessions are taken from it into another store, which stays sound. */
static void merge_from(const struct hostile *made)
{
    static const char *const merge[WORDS] = {"store", "merge", "hostile.db"};
    static const char *const check[WORDS] = {"store", "check", "--quick"};
    char command[900];
    snprintf(command, sizeof command, "cd '%s' && rm -f into.db* && cp sound.db into.db", folder);
    ck_assert_int_eq(system(command), 0);
    struct program_result result = run_line(merge, "into.db");
    must_end_well(&result, merge, made);
    program_free(&result);
    result = run_line(check, "into.db");
    ck_assert_msg(result.status == 0, "after a merge of %s: %s%s", made->what, result.output,
                  result.errors);
    program_free(&result);
}

/* What is saved of it is sound; nothing is lost without a word. */
static void rescue_from(const struct hostile *made)
{
    static const char *const rescue[WORDS] = {"store", "rescue", "saved.db"};
    static const char *const check[WORDS] = {"store", "check"};
    static const char *const quick[WORDS] = {"store", "check", "--quick"};
    char command[900], saved[400];
    snprintf(command, sizeof command, "cd '%s' && rm -f saved.db*", folder);
    ck_assert_int_eq(system(command), 0);
    snprintf(saved, sizeof saved, "%s/saved.db", folder);
    struct program_result result = run_line(rescue, "hostile.db");
    must_end_well(&result, rescue, made);
    bool there = access(saved, F_OK) == 0;
    ck_assert_msg(there == (strstr(result.output, "worked out again") != NULL), "%s: %s%s",
                  made->what, result.output, result.errors);
    ck_assert_msg(result.status == 0 || result.errors[0] != '\0', "%s", made->what);
    program_free(&result);
    /* the invented session's log is not its own */
    bool full = strstr(from, "full.db") != NULL;
    result = there ? run_line(full ? quick : check, "saved.db") : run_line(lines[0], "sound.db");
    ck_assert_msg(result.status == 0, "saved of %s: %s%s", made->what, result.output,
                  result.errors);
    program_free(&result);
}

static void clear_outputs(void)
{
    char command[400];
    snprintf(command, sizeof command, "cd '%s' && rm -f out* copy.db*", folder);
    ck_assert_int_eq(system(command), 0);
}

/* Each line on a store of its own; few: three of them only, others with each seed. */
static void try_commands(enum hostile_kind kind, unsigned seed, bool few)
{
    struct hostile made = {0};
    clear_outputs();
    for (int i = 0; i < (few ? 3 : LINES); i++) {
        const char *const *line = lines[few ? (int)((seed * 3 + (unsigned)i) % LINES) : i];
        if (i == 0 || strcmp(line[0], "store") == 0 || strcmp(line[0], "live") == 0) {
            hostile_store_make(from, to, kind, seed, &made);
        }
        struct program_result result = run_line(line, "hostile.db");
        must_end_well(&result, line, &made);
        program_free(&result);
    }
    hostile_store_make(from, to, kind, seed, &made);
    if (!few || seed % 4 == 0) {
        merge_from(&made);
    }
    if (!few || seed % 2 == 0) {
        rescue_from(&made);
    }
}

static int wanted(int usual)
{
    const char *number = getenv("HOLDLINE_HOSTILE");
    return number != NULL ? atoi(number) : usual;
}

START_TEST(no_command_trips_over_a_hostile_store)
{
    static const char *const names[] = {"a value", "a row", "a sample", "the schema", "bytes"};
#ifdef SANITIZED
    int count = wanted(3); /* it takes three times as long */
#else
    int count = wanted(6);
#endif
    unsigned first = (unsigned)test_seed(1);
    for (int i = 0; i < count; i++) {
        snprintf(from, sizeof from, "%s/%s", folder, i % 2 == 0 ? "sound.db" : "full.db");
        try_commands((enum hostile_kind)_i, first + (unsigned)i,
                     getenv("HOLDLINE_HOSTILE") == NULL);
    }
    printf("%d stores by %s: the longest command took %lld ms, %lld ms of a processor at most\n",
           count, names[_i], (long long)longest_us / 1000, (long long)longest_processor_us / 1000);
}
END_TEST

/* Those that were found by hand once. */
START_TEST(crafted_references_and_numbers_are_refused)
{
    static const struct {
        const char *sql, *words;
    } cases[] = {
        {"UPDATE tie_reading SET build = 850", "its build is number 850, which is not there"},
        {"UPDATE hold SET capture = 400 WHERE number = 1", "its capture is number 400"},
        {"UPDATE hold SET build = NULL WHERE number = 1", "it has no build"},
        {"UPDATE hold SET capture = -5 WHERE number = 1", "its capture is out of range"},
        {"UPDATE build SET setup = 39", "its setup is number 39, which is not there"},
        {"UPDATE build SET placing = 8", "its placing is number 8, which is not there"},
        {"UPDATE build SET placing = NULL", "it is of a sensor that was not there"},
        {"UPDATE channel SET gain = 1e15", "its gain is out of range"},
        {"UPDATE channel SET x_mm = 1e308", "its x_mm is out of range"},
        {"UPDATE setup_value SET value = 1e308", "its value is out of range"},
        {"UPDATE setup_value SET value = 9e999", "its value is out of range"},
        {"UPDATE channel SET channel = channel + 3", "one is missing"},
        {"UPDATE capture SET last_sample = 9223372036854775807 WHERE place = 1",
         "its last_sample is out of range"},
        {"UPDATE capture SET first_sample = -9223372036854775808 WHERE place = 1",
         "its first_sample is out of range"},
        {"UPDATE hold SET status = 'flying' WHERE number = 1", "its status is a word"},
        {"UPDATE setup SET intent = char(27) || ']0;x'", "its intent has characters"},
        {"UPDATE sample SET v1 = 9223372036854775807 WHERE n = 40", "samples 40 to 40"},
        {"UPDATE sample SET rig_us = 0 WHERE n = 300", "samples 300 to 300"},
        {"DELETE FROM sample WHERE n BETWEEN 100 AND 120", "samples 100 to 120"},
        {"UPDATE session SET last_n = 9223372036854775807", "stretch of its samples"},
        {"UPDATE command SET ordinal = ordinal + 1000 WHERE ordinal > 3",
         "the log has no command 4"},
    };
    static const char *const show[WORDS] = {"show", "1"};
    static const char *const check[WORDS] = {"store", "check"};
    static const char *const html[WORDS] = {"export", "1", "out.html"};
    static const char *const readings[WORDS] = {"export", "1", "out-readings.csv"};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct hostile made = {0};
        char command[900];
        snprintf(made.what, sizeof made.what, "%s", cases[i].sql);
        snprintf(command, sizeof command,
                 "cd '%s' && rm -f out* hostile.db* && cp sound.db hostile.db", folder);
        ck_assert_int_eq(system(command), 0);
        hostile_sql(to, cases[i].sql);
        const char *const *const each[] = {show, check, html, readings};
        for (int k = 0; k < 4; k++) {
            struct program_result result = run_line(each[k], "hostile.db");
            must_end_well(&result, each[k], &made);
            const char *said = k == 1 ? result.output : result.errors;
            bool reads_sample = strstr(cases[i].words, "samples ") == NULL || k == 1;
            ck_assert_msg(!reads_sample ||
                              (strstr(said, cases[i].words) != NULL && result.status == 1),
                          "%s %s, %s: ended with %d: %s", each[k][0], each[k][1], cases[i].sql,
                          result.status, said);
            program_free(&result);
        }
    }
}
END_TEST

/* Larger than any store of the program's: told, and not worked on. */
START_TEST(what_passes_a_limit_is_told)
{
    static const struct {
        const char *what, *sql;
        const char *words; /* of what 'store check' says; NULL: it is told somehow */
    } cases[] = {
        {"a text of over 1 MB",
         "UPDATE setup SET intent = replace(hex(zeroblob(600000)), '0', 'x')", NULL},
        {"a table of 101 columns", NULL, NULL},
        {"an expression 200 deep", NULL, NULL},
        {"30 tables joined in a view",
         "CREATE VIEW joined AS WITH c(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM c LIMIT 9) "
         "SELECT a.n FROM c a, c b, c d, c e, c f, c g, c h, c i, c j",
         "joined"},
    };
    static const char *const few[][WORDS] = {
        {"list"}, {"show", "1"}, {"export", "1", "out.json"}, {"store", "check"}};
    static char sql[8192];
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct hostile made = {0};
        const char *statement = cases[i].sql;
        size_t used = 0;
        if (i == 1) {
            used = (size_t)snprintf(sql, sizeof sql, "CREATE TABLE wide (c0");
            for (int c = 1; c <= 100; c++) {
                used += (size_t)snprintf(sql + used, sizeof sql - used, ", c%d", c);
            }
            snprintf(sql + used, sizeof sql - used, ")");
            statement = sql;
        } else if (i == 2) {
            used = (size_t)snprintf(sql, sizeof sql, "CREATE VIEW deep AS SELECT ");
            for (int c = 0; c < 200; c++) {
                used += (size_t)snprintf(sql + used, sizeof sql - used, "1 + ");
            }
            snprintf(sql + used, sizeof sql - used, "1");
            statement = sql;
        }
        char command[900];
        snprintf(made.what, sizeof made.what, "%s", cases[i].what);
        snprintf(command, sizeof command,
                 "cd '%s' && rm -f out* hostile.db* && cp sound.db hostile.db", folder);
        ck_assert_int_eq(system(command), 0);
        hostile_sql(to, statement);
        int told = 0;
        for (size_t k = 0; k < sizeof few / sizeof few[0]; k++) {
            struct program_result result = run_line(few[k], "hostile.db");
            must_end_well(&result, few[k], &made);
            told += result.status != 0 ? 1 : 0;
            ck_assert_msg(k < 3 || cases[i].words == NULL ||
                              strstr(result.errors, cases[i].words) != NULL ||
                              strstr(result.output, cases[i].words) != NULL,
                          "%s: %s%s", cases[i].what, result.output, result.errors);
            program_free(&result);
        }
        ck_assert_msg(told >= 3, "%s: told by %d of 4 commands", cases[i].what, told);
    }
}
END_TEST

/* ---- one bit ---- */

static void flip_bit(const char *file, struct random_source *random)
{
    struct stat status;
    ck_assert_int_eq(stat(file, &status), 0);
    FILE *stream = fopen(file, "r+b");
    ck_assert_ptr_nonnull(stream);
    long at = (long)(random_uniform(random) * (double)status.st_size);
    fseek(stream, at, SEEK_SET);
    int byte = fgetc(stream) ^ 1 << (int)(random_uniform(random) * 8);
    fseek(stream, at, SEEK_SET);
    fputc(byte, stream);
    fclose(stream);
}

/* What the export of a store says; NULL where the program told that something is wrong. */
static char *export_of(const char *store, const char *name)
{
    const char *const line[WORDS] = {"export", "1", name};
    clear_outputs();
    struct program_result result = run_line(line, store);
    bool whole = result.status == 0;
    program_free(&result);
    return whole ? program_read_file(folder, name, NULL) : NULL;
}

/* A store that is called sound says what it said before. */
START_TEST(one_flipped_bit_changes_nothing_without_a_word)
{
    static const char *const check[WORDS] = {"store", "check"};
    static const char *const names[] = {"out.json", "out-readings.csv"};
    char *sound[2] = {export_of("sound.db", names[0]), export_of("sound.db", names[1])};
    int count = wanted(12), told = 0, silent = 0;
    struct random_source random;
    random_seed(&random, test_seed(20261129));
    ck_assert(sound[0] != NULL && sound[1] != NULL);
    for (int i = 0; i < count; i++) {
        char command[900];
        snprintf(command, sizeof command, "cd '%s' && rm -f hostile.db* && cp sound.db hostile.db",
                 folder);
        ck_assert_int_eq(system(command), 0);
        flip_bit(to, &random);
        struct program_result result = run_line(check, "hostile.db");
        bool is_sound = result.status == 0;
        program_free(&result);
        told += is_sound ? 0 : 1;
        for (int k = 0; k < 2; k++) {
            char *text = export_of("hostile.db", names[k]);
            silent += text != NULL && is_sound && strcmp(text, sound[k]) != 0 ? 1 : 0;
            free(text);
        }
    }
    printf("%d stores with one bit flipped: %d told, %d exports differ without a word\n", count,
           told, silent);
    ck_assert_int_eq(silent, 0);
    free(sound[0]);
    free(sound[1]);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("hostile stores");
    TCase *tests = tcase_create("hostile stores");
    tcase_set_timeout(tests, 300);
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_loop_test(tests, no_command_trips_over_a_hostile_store, 0, HOSTILE_KINDS);
    tcase_add_test(tests, crafted_references_and_numbers_are_refused);
    tcase_add_test(tests, what_passes_a_limit_is_told);
    suite_add_tcase(suite, tests);
    TCase *bit = tcase_create("one bit");
    tcase_set_timeout(bit, 300);
    tcase_add_checked_fixture(bit, begin, end);
    tcase_add_test(bit, one_flipped_bit_changes_nothing_without_a_word);
    suite_add_tcase(suite, bit);
    return test_main(suite);
}
