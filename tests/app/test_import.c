/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Recorded streams as holds of a session, after the fact. */

#include "base/text.h"
#include "store/store.h"
#include "support/program.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define BIKE                                                                                       \
    "\"training bike\" stack=545 reach=410 head_angle=73 spacers=20 stem_length=100 stem_angle=-6"
#define HEAD "head carrier=base_bar x=110 y=40"

/* 50 samples a second: milliseconds and a range that goes from first_mm up by 0.1 a sample. */
static void write_stream(const char *folder, const char *name, int samples, double first_mm)
{
    char *text = malloc((size_t)samples * 32 + 64);
    ck_assert_ptr_nonnull(text);
    size_t used = (size_t)sprintf(text, "ms,head,extra\n");
    for (int i = 0; i < samples; i++) {
        used += (size_t)sprintf(text + used, "%d,%.1f,7\n", 20 * i, first_mm + 0.1 * i);
    }
    program_write_file(folder, name, text);
    free(text);
}

static struct program_result import(const char *folder, const char *const *words)
{
    const char *arguments[40] = {"import", "--store", "s.db"};
    int count = 3;
    for (int i = 0; words[i] != NULL; i++) {
        arguments[count++] = words[i];
    }
    return program_run(folder, NULL, arguments);
}

#define IMPORT(folder, ...) import(folder, (const char *const[]){__VA_ARGS__, NULL})

static void must(struct program_result result)
{
    ck_assert_msg(result.status == 0, "exit status %d: %s", result.status, result.errors);
    program_free(&result);
}

static struct store *open_store(const char *folder)
{
    char path[400];
    struct problem problem = {0};
    snprintf(path, sizeof path, "%s/s.db", folder);
    struct store *store = store_open(path, STORE_READ, &problem);
    ck_assert_msg(store != NULL, "%s", problem.sentence);
    return store;
}

START_TEST(each_file_is_a_hold_of_the_setup_before_it)
{
    const char *folder = program_folder();
    struct problem problem = {0};
    write_stream(folder, "a.csv", 600, 300.0);
    write_stream(folder, "a b.csv", 500, 400.0);
    write_stream(folder, "c.csv", 500, 500.0);
    write_stream(folder, "d.csv", 500, 600.0);
    must(IMPORT(folder, "--started", "2026-01-10T18:00:00Z", "--rider", "R-07 \"winter group\"",
                "--bike", BIKE, "--sensor", HEAD, "--columns", "head=2", "--time-column", "ms",
                "--time-unit", "ms", "--setup", "1 \"as it came\"", "a.csv", "--build", "a b.csv",
                "--setup", "2 \"spacers out\" spacers=0", "--line", "target head=900", "--guided",
                "c.csv", "--free", "--seconds", "6", "d.csv"));
    struct session_record *record = malloc(sizeof *record);
    struct store *store = open_store(folder);
    ck_assert_msg(store_load(store, 1, record, &problem), "%s", problem.sentence);
    ck_assert(record->ended);
    ck_assert_int_eq(record->started_ms, 1768068000000);
    ck_assert_str_eq(record->rider.code, "R-07");
    ck_assert_int_eq(record->hold_count, 4);
    static const struct {
        int setup, ordinal, samples;
        bool guided;
        double first_mm;
    } expected[] = {{1, 1, 599, false, 300.0},
                    {1, 2, 499, false, 400.0},
                    {2, 1, 499, true, 500.0},
                    {2, 1, 301, false, 600.0}};
    for (int h = 0; h < 4; h++) {
        const struct hold_record *hold = &record->hold[h];
        const struct build_record *build = &record->build[hold->build];
        const struct capture_record *capture = &record->capture[hold->capture];
        const struct sample *samples = NULL;
        size_t count = 0;
        ck_assert_int_eq(record->setup[build->setup].number, expected[h].setup);
        ck_assert_int_eq(build->ordinal, expected[h].ordinal);
        ck_assert_int_eq(hold->guided, expected[h].guided);
        ck_assert_int_eq(hold->status, HOLD_COMPLETE);
        ck_assert(store_samples(store, 1, capture->first_sample, capture->last_sample, &samples,
                                &count, &problem));
        /* all but what the settling and the last interval take */
        ck_assert_msg(abs((int)count - expected[h].samples) <= 2, "hold %d has %zu", h + 1, count);
        int shift = (int)lround(samples[0].range_tenth_mm[0] - expected[h].first_mm * 10.0);
        ck_assert_msg(shift >= 0 && shift <= 2, "hold %d begins %d samples late", h + 1, shift);
        for (size_t i = 0; i < count; i++) {
            ck_assert_int_eq(samples[i].range_tenth_mm[0], samples[0].range_tenth_mm[0] + (int)i);
        }
    }
    store_close(store);
    free(record);
    program_folder_remove(folder);
}
END_TEST

START_TEST(the_script_that_it_is_gives_the_same_session)
{
    const char *folder = program_folder();
    write_stream(folder, "a.csv", 600, 300.0);
    struct program_result script =
        IMPORT(folder, "--script", "--started", "2026-01-10T18:00:00Z", "--bike", BIKE, "--sensor",
               HEAD, "--columns", "head=2", "--time-column", "ms", "--time-unit", "ms", "a.csv");
    ck_assert_msg(script.status == 0, "%s", script.errors);
    program_write_file(folder, "script.txt", script.output);
    program_free(&script);
    must(program_run(folder, NULL,
                     (const char *const[]){"run", "script.txt", "--store", "other.db", "--columns",
                                           "head=2", "--time-column", "ms", "--time-unit", "ms",
                                           NULL}));
    must(IMPORT(folder, "--started", "2026-01-10T18:00:00Z", "--bike", BIKE, "--sensor", HEAD,
                "--columns", "head=2", "--time-column", "ms", "--time-unit", "ms", "a.csv"));
    must(program_run(folder, NULL,
                     (const char *const[]){"export", "1", "a.json", "--store", "s.db", NULL}));
    must(program_run(folder, NULL,
                     (const char *const[]){"export", "1", "b.json", "--store", "other.db", NULL}));
    char *a = program_read_file(folder, "a.json", NULL);
    char *b = program_read_file(folder, "b.json", NULL);
    ck_assert_str_eq(a, b);
    free(a);
    free(b);
    program_folder_remove(folder);
}
END_TEST

START_TEST(an_earlier_session_gives_who_and_what)
{
    const char *folder = program_folder();
    struct problem problem = {0};
    write_stream(folder, "a.csv", 600, 300.0);
    must(IMPORT(folder, "--started", "2026-01-10T18:00:00Z", "--rider", "R-07", "--bike", BIKE,
                "--sensor", HEAD, "--rate", "50", "--columns", "head=2", "a.csv"));
    must(IMPORT(folder, "--started", "2026-02-10T18:00:00Z", "--carry", "last", "--rate", "50",
                "--columns", "head=2", "--setup", "2 \"spacers out\" spacers=0", "a.csv"));
    struct session_record *record = malloc(sizeof *record);
    struct store *store = open_store(folder);
    ck_assert_msg(store_load(store, 2, record, &problem), "%s", problem.sentence);
    ck_assert_str_eq(record->rider.code, "R-07");
    ck_assert(record->setup[1].bike.value[BIKE_SPACERS] == 0.0);
    ck_assert(record->placing[0].channel[0].mount.x_mm == 110.0);
    store_close(store);
    free(record);
    program_folder_remove(folder);
}
END_TEST

START_TEST(what_cannot_be_imported_leaves_nothing)
{
    static const struct {
        const char *words[12], *part;
        int status;
    } cases[] = {
        {{NULL}, "say the recorded streams", 2},
        {{"a.csv", "missing.csv"}, "missing.csv", 1},
        {{"short.csv"}, "short.csv is 1.", 1},
        {{"a.csv", "short.csv", "b.csv", "--line", "reject 2 x"}, "'--line reject 2 x' counts", 2},
        {{"a.csv", "empty.csv"}, "empty.csv", 1},
        {{"--guided", "a.csv"}, "needs a target", 1},
        {{"a.csv", "--setup", "2 \"x\" wings=3", "b.csv"}, "wings", 1},
        {{"a.csv", "--line", "fly"}, "fly", 1},
        {{"--carry", "last", "a.csv"}, "there is no store", 1},
        {{"--seconds", "1", "a.csv"}, "--seconds", 2},
        {{"--started", "noon", "a.csv"}, "'noon'", 2},
        {{"-"}, "standard input", 2},
    };
    const char *folder = program_folder();
    write_stream(folder, "a.csv", 600, 300.0);
    write_stream(folder, "b.csv", 600, 310.0);
    write_stream(folder, "short.csv", 60, 300.0);
    program_write_file(folder, "empty.csv", "");
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const char *words[24] = {"--time-column", "ms", "--time-unit", "ms", "--columns", "head=2"};
        for (int w = 0; cases[i].words[w] != NULL; w++) {
            words[6 + w] = cases[i].words[w];
        }
        struct program_result result = import(folder, words);
        ck_assert_msg(result.status == cases[i].status &&
                          strstr(result.errors, cases[i].part) != NULL,
                      "'%s': %d: %s", cases[i].part, result.status, result.errors);
        program_free(&result);
    }
    struct program_result listed =
        program_run(folder, NULL, (const char *const[]){"list", "--json", "--store", "s.db", NULL});
    ck_assert_ptr_null(strstr(listed.output, "uuid"));
    program_free(&listed);
    /* the same stream twice is the same session */
    must(IMPORT(folder, "--rate", "50", "--columns", "head=2", "a.csv"));
    struct program_result again = IMPORT(folder, "--rate", "50", "--columns", "head=2", "a.csv");
    ck_assert_msg(again.status == 1 && strstr(again.errors, "already") != NULL, "%s", again.errors);
    program_free(&again);
    program_folder_remove(folder);
}
END_TEST

/* A file that is too short for a hold leaves the others where they would be without it: the same
 * session, to the byte. */
START_TEST(a_short_file_is_left_out_and_the_others_taken)
{
    const char *folder = program_folder();
    char *text[2];
    write_stream(folder, "a.csv", 600, 300.0);
    write_stream(folder, "b.csv", 600, 310.0);
    write_stream(folder, "short.csv", 60, 300.0);
    for (int with = 0; with < 2; with++) {
        const char *words[16] = {"--columns",   "head=2", "--time-column", "ms",
                                 "--time-unit", "ms",     "--started",     "2026-01-10T18:00:00Z"};
        int count = 8;
        if (with == 1) {
            words[count++] = "short.csv";
        }
        words[count++] = "a.csv";
        if (with == 1) {
            words[count++] = "short.csv";
        }
        words[count] = "b.csv";
        struct program_result result = import(folder, words);
        ck_assert_msg(result.status == with, "%d: %s", result.status, result.errors);
        ck_assert_msg(strstr(result.errors, "session 1: 2 holds") != NULL, "%s", result.errors);
        bool named =
            strstr(result.errors, "short.csv is 1.2 s long: a hold has 5 s to 8 h") &&
            strstr(result.errors, "left out, too short for a hold: short.csv, short.csv\n");
        ck_assert_msg(named == (with == 1), "%s", result.errors);
        program_free(&result);
        must(program_run(
            folder, NULL,
            (const char *const[]){"export", "1", "s.json", "--replace", "--store", "s.db", NULL}));
        text[with] = program_read_file(folder, "s.json", NULL);
        char store[400];
        snprintf(store, sizeof store, "%s/s.db", folder);
        ck_assert_int_eq(remove(store), 0);
    }
    ck_assert_str_eq(text[0], text[1]);
    free(text[0]);
    free(text[1]);
    program_folder_remove(folder);
}
END_TEST

static void must_refuse(const char *folder, const char *const *words, int status, const char *part)
{
    struct program_result result = import(folder, words);
    ck_assert_msg(result.status == status && strstr(result.errors, part) != NULL,
                  "not '%s', but %d: %s", part, result.status, result.errors);
    program_free(&result);
}

static void nothing_is_stored(const char *folder)
{
    struct program_result listed =
        program_run(folder, NULL, (const char *const[]){"list", "--json", "--store", "s.db", NULL});
    ck_assert_ptr_null(strstr(listed.output, "uuid"));
    program_free(&listed);
}

/* 1,234.5 mm of a spreadsheet are neither 234 nor 1.2345 mm; in the second file only the last line
 * has it, far behind what the columns are told by. */
START_TEST(a_comma_that_may_be_of_thousands_is_refused_by_line_and_field)
{
    static const char *const names[] = {"all.csv", "last.csv"};
    static const char *const said[] = {
        "all.csv: line 2, field 2 ('head (mm)'): \"1,200.5\" is no number",
        "last.csv: line 2001, field 2 ('head (mm)'): \"1,206.5\" is no number"};
    const char *folder = program_folder();
    for (int file = 0; file < 2; file++) {
        char *text = malloc(100000);
        ck_assert_ptr_nonnull(text);
        size_t used = (size_t)sprintf(text, "time (s),head (mm)\n");
        for (int i = 0; i < 2000; i++) {
            used += (size_t)sprintf(
                text + used, file == 0 || i == 1999 ? "%.2f,\"1,20%d.5\"\n" : "%.2f,90%d.5\n",
                0.02 * i, i == 1999 ? 6 : i % 7);
        }
        program_write_file(folder, names[file], text);
        free(text);
        must_refuse(folder, (const char *const[]){names[file], NULL}, 1, said[file]);
    }
    program_write_file(folder, "broken.csv",
                       "\"time (s)\",\"head\nrange (mm)\"\n0,400.1\n0.02,401\n");
    must_refuse(folder, (const char *const[]){"broken.csv", NULL}, 1,
                "broken.csv: line 1, field 2: what stands in quotation marks goes on");
    nothing_is_stored(folder);
    program_folder_remove(folder);
}
END_TEST

START_TEST(what_would_not_count_is_refused)
{
    static const struct {
        const char *words[6], *part;
        int status;
    } cases[] = {
        {{"--unit", "cm", "a.csv"}, "column 2 'head (mm)' says mm, and --unit says cm", 1},
        {{"a.csv", "--setup", "2 \"b\""}, "--setup belongs before the file it is for", 2},
        {{"a.csv", "--build"}, "--build belongs before", 2},
        {{"a.csv", "--sensor", HEAD}, "--sensor belongs before", 2},
        {{"a.csv", "--rate", "50"}, "--rate belongs before", 2},
        {{"a.csv", "--seconds", "6"}, "--seconds belongs before", 2},
        {{"a.csv", "--guided"}, "--guided or --free belongs before", 2},
        {{"a.csv", "--build", "a.csv"}, "its readings are those of hold 1", 2},
        {{"--sensor", "nose carrier=base_bar x=1 y=2", "a.csv"}, "'nose ...': no file has", 2},
        {{"ride.csv"}, "'holdline drag' takes it", 1},
        {{"ride.gpx"}, "'holdline drag' takes it", 1},
    };
    const char *folder = program_folder();
    char *text = malloc(100000);
    ck_assert_ptr_nonnull(text);
    size_t used = (size_t)sprintf(text, "time (s),head (mm)\n");
    for (int i = 0; i < 600; i++) {
        used += (size_t)sprintf(text + used, "%.2f,%d.5\n", 0.02 * i, 400 + i % 7);
    }
    program_write_file(folder, "a.csv", text);
    used = (size_t)sprintf(text, "time (s),power (W),speed (m/s),distance (m)\n");
    for (int i = 0; i < 100; i++) {
        used += (size_t)sprintf(text + used, "%d,%d,10.0,%d\n", i, 200 + i % 7, 10 * i);
    }
    program_write_file(folder, "ride.csv", text);
    used = (size_t)sprintf(text, "<?xml version=\"1.0\"?>\n<gpx version=\"1.1\" creator=\"test\" "
                                 "xmlns=\"http://www.topografix.com/GPX/1/1\"><trk><trkseg>\n");
    for (int i = 0; i < 60; i++) {
        used += (size_t)sprintf(text + used,
                                "<trkpt lat=\"%.4f\" lon=\"7.0\"><ele>100</ele><time>2026-01-10T"
                                "18:00:%02dZ</time><extensions><power>200</power></extensions>"
                                "</trkpt>\n",
                                50.0 + 1e-4 * i, i);
    }
    sprintf(text + used, "</trkseg></trk></gpx>\n");
    program_write_file(folder, "ride.gpx", text);
    free(text);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        must_refuse(folder, cases[i].words, cases[i].status, cases[i].part);
    }
    nothing_is_stored(folder);
    must(IMPORT(folder, "--unit", "mm", "--sensor", HEAD, "a.csv"));
    program_folder_remove(folder);
}
END_TEST

/* Its readings are in order all the same, and none is lost: it is told, and they count. The two
 * recordings have readings of their own, since the same ones of the same second are one recording,
 * refused the second time. */
START_TEST(a_clock_that_goes_back_is_told)
{
    const char *folder = program_folder();
    char *text = malloc(100000);
    ck_assert_ptr_nonnull(text);
    for (int back = 0; back < 2; back++) {
        size_t used = (size_t)sprintf(text, "time (s),head (mm)\n");
        for (int i = 0; i < 1500; i++) {
            used += (size_t)sprintf(text + used, "%.2f,%d.%d\n",
                                    100.0 + 0.02 * i - (i >= 750 ? 10.0 * back : 0.0),
                                    400 + back + i % 7, i % 10);
        }
        program_write_file(folder, "a.csv", text);
        struct program_result result = IMPORT(folder, "--sensor", HEAD, "a.csv");
        bool told = strstr(result.errors, "clock jumped or started anew once") != NULL;
        ck_assert_msg(result.status == 0 && told == (back == 1), "%s", result.errors);
        ck_assert_msg(strstr(result.errors, "1 hold, 30 s, 1499 samples, 0 lost, 0 lines") != NULL,
                      "%s", result.errors);
        program_free(&result);
    }
    free(text);
    program_folder_remove(folder);
}
END_TEST

/* As a download leaves them: all files of one second, some equally long. The session that was made
 * is named, since the latest by date may be another. */
START_TEST(recordings_of_one_date_are_sessions_of_their_own)
{
    static const char *const names[] = {"a.csv", "b.csv", "c.csv"};
    const char *folder = program_folder();
    for (int i = 0; i < 3; i++) {
        char words[64], command[600];
        write_stream(folder, names[i], 600, 300.0 + 50.0 * i);
        snprintf(command, sizeof command, "touch -d 2026-01-10T18:00:00Z '%s/%s'", folder,
                 names[i]);
        ck_assert_int_eq(system(command), 0);
        struct program_result result =
            IMPORT(folder, "--rate", "50", "--columns", "head=2", names[i]);
        snprintf(words, sizeof words, "session %d: 1 hold, ", i + 1);
        ck_assert_msg(result.status == 0 && strstr(result.errors, words) != NULL, "%s",
                      result.errors);
        program_free(&result);
    }
    /* a copy of one is the same session, whatever its name */
    program_write_file(folder, "d.csv", "");
    char command[600];
    snprintf(command, sizeof command, "cp -p '%s/b.csv' '%s/d.csv'", folder, folder);
    ck_assert_int_eq(system(command), 0);
    struct program_result again = IMPORT(folder, "--rate", "50", "--columns", "head=2", "d.csv");
    ck_assert_msg(again.status == 1 && strstr(again.errors, "as number 2") != NULL, "%s",
                  again.errors);
    program_free(&again);
    program_folder_remove(folder);
}
END_TEST

/* Whatever they are called, and whenever their file was written: which session has them is said,
 * and what is called otherwise there. The command that is named takes it out. */
START_TEST(the_same_readings_are_known_by_other_names)
{
    static const struct {
        const char *columns, *option, *value, *told;
    } calls[] = {
        {"head=2,chest=3", NULL, NULL, "session 1: 1 hold, "},
        {"head=2,chest=3", NULL, NULL, "already, as number 1: nothing is taken twice"},
        {"chest=2,head=3", NULL, NULL,
         "already, as number 1, where they are called head, chest, and here chest, head: "},
        {"chest=2,head=3", "--seed", "1", "session 2: 1 hold, "},
        {"chest=2,head=3", "--started", "2026-01-09T18:00:00Z", "session 3: 1 hold, "},
    };
    const char *folder = program_folder();
    char text[16384] = "ms,a,b\n", date[600];
    size_t used = strlen(text);
    for (int i = 0; i < 600; i++) {
        used += (size_t)sprintf(text + used, "%d,%d.5,%d.5\n", 20 * i, 400 + i % 9, 300 + i % 7);
    }
    program_write_file(folder, "two.csv", text);
    for (size_t i = 0; i < sizeof calls / sizeof calls[0]; i++) {
        snprintf(date, sizeof date, "touch -d 2026-01-1%zuT18:00:00Z '%s/two.csv'", i, folder);
        ck_assert_int_eq(system(date), 0);
        struct program_result result = IMPORT(folder, "--unit", "mm", "--columns", calls[i].columns,
                                              "two.csv", calls[i].option, calls[i].value);
        ck_assert_msg(strstr(result.errors, calls[i].told) != NULL, "call %zu: %s", i,
                      result.errors);
        ck_assert_int_eq(result.status, strstr(calls[i].told, "already") != NULL ? 1 : 0);
        const char *forget = strstr(result.errors, "'holdline store forget --session 1 --store ");
        ck_assert((forget != NULL) == (i == 2));
        program_free(&result);
    }
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("import");
    TCase *tests = tcase_create("import");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, each_file_is_a_hold_of_the_setup_before_it);
    tcase_add_test(tests, the_script_that_it_is_gives_the_same_session);
    tcase_add_test(tests, an_earlier_session_gives_who_and_what);
    tcase_add_test(tests, what_cannot_be_imported_leaves_nothing);
    tcase_add_test(tests, a_short_file_is_left_out_and_the_others_taken);
    tcase_add_test(tests, a_comma_that_may_be_of_thousands_is_refused_by_line_and_field);
    tcase_add_test(tests, what_would_not_count_is_refused);
    tcase_add_test(tests, a_clock_that_goes_back_is_told);
    tcase_add_test(tests, recordings_of_one_date_are_sessions_of_their_own);
    tcase_add_test(tests, the_same_readings_are_known_by_other_names);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
