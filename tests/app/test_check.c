/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* 'holdline check', 'calibrate' and 'plate' as a person or a script runs them. */
#include "support/json_reader.h"
#include "support/program.h"
#include "support/terminal.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct program_result run(const char *const *arguments)
{
    return program_run(source_path("sessions"), NULL, arguments);
}

static void passes(const char *const *arguments, int status, const char *wanted)
{
    struct program_result result = run(arguments);
    ck_assert_msg(result.status == status, "status %d:\n%s%s", result.status, result.output,
                  result.errors);
    ck_assert_msg(strstr(result.output, wanted) != NULL || strstr(result.errors, wanted) != NULL,
                  "'%s' is not in:\n%s%s", wanted, result.output, result.errors);
    program_free(&result);
}
#define CHECK(status, wanted, ...) passes((const char *const[]){__VA_ARGS__, NULL}, status, wanted)

#define GOOD "virtual:steady?seed=3&speed=max"
#define GOOD_BUT(settings) ("virtual:steady?seed=3&speed=max&" settings)

START_TEST(good_sensors_pass)
{
    CHECK(0, "still: passed", "check", GOOD, "still", "20s");
    CHECK(0, "averaged over", "check", GOOD, "still", "head", "20s");
    CHECK(0, "step, head: passed", "check", GOOD, "step", "head", "block=25");
    CHECK(0, "no other sensor responds", "check", GOOD, "beam", "chest", "block=50");
    CHECK(0, "no other sensor responds", "check", GOOD, "beam", "head");
    CHECK(0, "the head follows the nod", "check", GOOD, "rider", "20s");
    CHECK(0, "for the session: sensor head gain=", "calibrate", GOOD, "head", "200", "400", "600");
    CHECK(0, "for the session: plate head=", "plate", GOOD);
}
END_TEST

START_TEST(bad_ones_fail_with_the_reason)
{
    CHECK(1, "jump between two levels", "check", GOOD_BUT("second_share=0.3"), "still", "20s");
    CHECK(1, "calibrate the sensor", "check", GOOD_BUT("scale=1.09"), "step", "head", "block=50");
    CHECK(1, "where the heights are", "check", GOOD_BUT("scale=1.025"), "step", "head", "block=50");
    CHECK(1, "responds as well, by ", "check", GOOD_BUT("crosstalk=0.5"), "beam", "head");
    CHECK(1, "moves with the hands", "check", GOOD_BUT("hands_seen=0.4"), "rider");
    CHECK(1, "sees two things", "check", GOOD_BUT("second_share=0.3"), "rider");
    CHECK(1, "goes down when the body comes up", "check", GOOD, "rider", "--look-down");
    CHECK(1, "stuck", "check", GOOD_BUT("noise=0&quantum=50&missing=0&doubtful=0"), "still", "10s");
    CHECK(1, "it wanders more", "check", "steady.rig?speed=max", "still", "15s");
    CHECK(1, "not taken", "calibrate", GOOD_BUT("scale=1.5"), "head", "200", "400", "600");
    CHECK(1, "the stream ended in step 1 of 1", "check", GOOD_BUT("seconds=5"), "still", "20s");
}
END_TEST

#define ALL "all", "block=50"

START_TEST(all_checks_make_one_report)
{
    CHECK(0, "All 5 checks passed", "check", GOOD, ALL);
    CHECK(0, "All 6 checks passed", "check", GOOD, ALL, "rider");
    CHECK(0, "What the sensors by themselves leave open", "check", GOOD, ALL);
    CHECK(1, "FAILED: 2 of 5 checks", "check", GOOD_BUT("scale=1.025"), ALL);
    CHECK(1, "FAILED: 2 of 5 checks", "check", GOOD_BUT("crosstalk=0.5"), ALL);
}
END_TEST

/* Of so many rigs with this setting, how many fail, and by their scale. */
static void row_of_rigs(const char *setting, int rigs, int *failed, int *scale)
{
    *failed = *scale = 0;
    for (int i = 1; i <= rigs; i++) {
        char rig[120];
        snprintf(rig, sizeof rig, "virtual:%s?seed=%d&speed=max&%s",
                 i % 2 == 0 ? "winter" : "steady", i, setting);
        const char *const arguments[] = {"check", rig, "all", "block=25", NULL};
        struct program_result result = program_run(NULL, NULL, arguments);
        *failed += result.status != 0 && strstr(result.output, "FAILED: ") != NULL;
        *scale += strstr(result.output, "a millimetre reads") != NULL;
        program_free(&result);
    }
}

START_TEST(a_scale_of_two_per_cent_is_found)
{
    int failed, scale;
    row_of_rigs("scale=1.02", 60, &failed, &scale);
    ck_assert_int_ge(scale, 58);
    row_of_rigs("scale=0.98", 60, &failed, &scale);
    ck_assert_int_ge(scale, 58);
    row_of_rigs("scale=1", 60, &failed, &scale);
    ck_assert_int_eq(scale, 0);
    ck_assert_int_le(failed, 1);
    /* as noisy as a block of 25 mm does not bear: it is said */
    CHECK(0, "its scale is known to ±", "check", GOOD_BUT("rate=20&noise=4"), "step", "head",
          "block=25");
}
END_TEST

/* A rider who moves his head while a hand is in the chest's beam: seed 20 of the winter rider. */
START_TEST(a_rider_who_moves_is_no_crosstalk)
{
    CHECK(1, "moves meanwhile", "check", "virtual:winter?seed=20&speed=max", ALL);
    CHECK(1, "1 of 5 checks could not tell", "check", "virtual:winter?seed=20&speed=max", ALL);
}
END_TEST

START_TEST(the_report_of_all_checks_is_a_file)
{
    static const char *const names[] = {"rig.pdf", "rig.html", "rig.txt", "rig.json"};
    static const char *const begins[] = {"%PDF-", "<!DOCTYPE html>", "", "{"};
    const char *folder = program_folder();
    for (size_t i = 0; i < 4; i++) {
        const char *const arguments[] = {"check", GOOD, ALL, "--out", names[i], NULL};
        struct program_result result = program_run(folder, NULL, arguments);
        ck_assert_msg(result.status == 0, "%s", result.errors);
        program_free(&result);
        size_t length = 0;
        char *text = program_read_file(folder, names[i], &length);
        ck_assert_msg(strncmp(text, begins[i], strlen(begins[i])) == 0, "%s", names[i]);
        ck_assert_uint_gt(length, 500);
        free(text);
        result = program_run(folder, NULL, arguments); /* it is there already: told at once */
        ck_assert_int_eq(result.status, 1);
        ck_assert_ptr_null(strstr(result.errors, "check 1 of 5"));
        program_free(&result);
    }
    program_folder_remove(folder);
}
END_TEST

START_TEST(wrong_use_is_told)
{
    CHECK(2, "all: say how thick the block is", "check", GOOD, "all");
    CHECK(2, "'dance' is none of block=", "check", GOOD, ALL, "dance");
    CHECK(2, "ends in .pdf", "check", GOOD, ALL, "--out", "rig.doc");
    CHECK(2, "a report is made of all checks", "check", GOOD, "still", "--out", "rig.pdf");
    CHECK(2, "say which rig", "check");
    CHECK(2, "all, rider, beam, step or still", "check", GOOD);
    CHECK(2, "'dance' is none of", "check", GOOD, "dance");
    CHECK(2, "there are: head, chest", "check", GOOD, "step", "hip", "block=25");
    CHECK(2, "how thick", "check", GOOD, "step", "head");
    CHECK(2, "two known distances", "calibrate", GOOD, "head", "200");
    CHECK(2, "pause=key wants somebody", "check", GOOD, "step", "head", "block=25", "pause=key");
    CHECK(2, "is no word of a check", "check", GOOD, "step", "head block=25");
    CHECK(1, "no-such-file", "check", "no-such-file", "still");
    CHECK(2, "wants a number above 0", "check", GOOD, "still", "--rate", "-1");
}
END_TEST

static double number_of(const struct json_value *value, const char *what, const char *channel)
{
    for (int i = 0; i < 64; i++) {
        char path[80];
        snprintf(path, sizeof path, "numbers/%d/what", i);
        const struct json_value *name = json_at(value, path);
        if (name == NULL) {
            break;
        }
        snprintf(path, sizeof path, "numbers/%d/channel", i);
        const char *of = json_text_at(value, path);
        snprintf(path, sizeof path, "numbers/%d/what", i);
        if (strcmp(json_text_at(value, path), what) == 0 && strcmp(of, channel) == 0) {
            snprintf(path, sizeof path, "numbers/%d/value", i);
            return json_number_at(value, path);
        }
    }
    ck_abort_msg("no %s of %s", what, channel);
    return NAN;
}

static struct json_value *json_of(const char *const *arguments)
{
    char error[160];
    struct program_result result = run(arguments);
    struct json_value *value = json_read(result.output, error);
    ck_assert_msg(value != NULL, "%s: %s%s", error, result.output, result.errors);
    program_free(&result);
    return value;
}

START_TEST(numbers_are_the_virtual_rigs_truth)
{
    /* a scale of 1.03: 50 mm read as 51.5; its line turned round is 1/1.03 */
    struct json_value *step = json_of((const char *const[]){
        "check", GOOD_BUT("scale=1.03&noise=1"), "step", "head", "block=50", "--json", NULL});
    /* within 5 %, and 12 mm at the plate's range: more than heights can bear */
    ck_assert_str_eq(json_text_at(step, "verdict"), "failed");
    ck_assert_double_eq_tol(number_of(step, "block_step_mm", "head"), 51.5, 0.4);
    ck_assert_double_eq_tol(number_of(step, "scale_error_percent", "head"), 3.0, 0.8);
    json_free(step);
    struct json_value *line =
        json_of((const char *const[]){"calibrate", GOOD_BUT("scale=1.03"), "chest", "200", "400",
                                      "600", "400", "200", "--json", NULL});
    ck_assert_double_eq_tol(number_of(line, "gain", "chest"), 1 / 1.03, 0.002);
    ck_assert_double_eq_tol(number_of(line, "offset_mm", "chest"), 0, 0.8);
    json_free(line);
    struct json_value *still = json_of(
        (const char *const[]){"check", GOOD_BUT("noise=1.8"), "still", "60s", "--json", NULL});
    ck_assert_double_eq(number_of(still, "quantum_mm", "head"), 1);
    ck_assert_double_le(fabs(number_of(still, "drift_mm_per_min", "head")), 0.6);
    ck_assert_ptr_nonnull(json_at(still, "averaging/5/deviation_mm"));
    json_free(still);
}
END_TEST

START_TEST(a_script_keeps_them_with_the_session)
{
    const char *folder = program_folder();
    program_write_file(folder, "checks.session",
                       "session 2026-01-10T18:00:00Z seed=5\n"
                       "rider R-07 \"winter group\"\n"
                       "bike \"training bike\" stack=545 reach=410 head_angle=73 stem_length=100 "
                       "stem_angle=-6 spacers=20 pad_rise=60\n"
                       "sensor head carrier=base_bar x=120 y=40\n"
                       "sensor chest carrier=base_bar x=60 y=38\n"
                       "check still 20s\n"
                       "check step head block=25 pause=2s\n"
                       "check rider 20s\n"
                       "calibrate chest 200 400 600 pause=2s\n"
                       "hold 30s free\n"
                       "hold 30s free\n"
                       "export out.json\nexport out.txt\nexport out.html\n");
    const char *arguments[] = {"run",
                               "checks.session",
                               GOOD_BUT("scale=1.02&channels=head/chest/power/cadence&power=215"),
                               "--store",
                               "checks.db",
                               NULL};
    struct program_result result = program_run(folder, NULL, arguments);
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
    char error[160];
    char *text = program_read_file(folder, "out.json", NULL);
    struct json_value *value = json_read(text, error);
    ck_assert_msg(value != NULL, "%s", error);
    ck_assert_str_eq(json_text_at(value, "checks/0/kind"), "still");
    ck_assert_str_eq(json_text_at(value, "checks/1/kind"), "step");
    ck_assert_str_eq(json_text_at(value, "checks/2/verdict"), "passed");
    ck_assert_str_eq(json_text_at(value, "checks/3/kind"), "calibration");
    /* pauses of 2 s: 2 + 20 s, then 2 + 20 + 2 + 20 s */
    ck_assert_double_eq_tol(json_number_at(value, "checks/0/time_s"), 22, 0.2);
    ck_assert_double_eq_tol(json_number_at(value, "checks/1/time_s"), 66, 0.4);
    ck_assert_int_eq(json_at(value, "holds/0/channels/0/sensor/two_levels")->kind, JSON_FALSE);
    ck_assert_double_eq_tol(json_number_at(value, "placings/0/channels/1/gain"), 1 / 1.02, 0.002);
    ck_assert_double_eq_tol(json_number_at(value, "holds/0/ridden_at/power_w"), 215, 2);
    ck_assert_double_eq_tol(json_number_at(value, "holds/0/ridden_at/cadence_per_min"), 87, 2);
    json_free(value);
    free(text);
    text = program_read_file(folder, "out.txt", NULL);
    ck_assert_ptr_nonnull(strstr(text, "Checks of the sensors"));
    ck_assert_ptr_nonnull(strstr(text, "1 still: passed at 0:22"));
    static const char *const made = "Checked in this placing: still passed; step of head";
    ck_assert_ptr_nonnull(strstr(text, made));
    ck_assert_ptr_nonnull(strstr(text, "What the holds were ridden at"));
    free(text);
    text = program_read_file(folder, "out.html", NULL);
    ck_assert_ptr_nonnull(strstr(text, made));
    free(text);
    program_folder_remove(folder);
}
END_TEST

/* The check of a step, as a person makes it. NULL: there is no pseudo-terminal here. */
static struct terminal *check_a_step(void)
{
    const char *const arguments[] = {
        program_path(), "check", "virtual:steady?seed=3", "step", "head", "block=25", "2s", NULL};
    const struct terminal_settings settings = {.rows = 24, .columns = 100};
    struct terminal *terminal = terminal_start(&settings, arguments);
    if (terminal == NULL) {
        printf("skipped: no pseudo-terminal\n");
    }
    return terminal;
}

static void check_passes(struct terminal *terminal)
{
    int status = -1;
    ck_assert(terminal_wait_end(terminal, &status, 20));
    ck_assert(terminal_shows(terminal, "step, head: passed"));
    ck_assert_int_eq(status, 0);
    terminal_end(terminal);
}

START_TEST(a_person_is_asked_and_answers_with_enter)
{
    struct terminal *terminal = check_a_step();
    if (terminal == NULL) {
        return;
    }
    ck_assert(terminal_wait_text(terminal, "1 of 2: a flat plate", 20));
    ck_assert(terminal_wait_text(terminal, "head 2", 20)); /* live numbers meanwhile */
    ck_assert(!terminal_shows(terminal, "reading"));
    terminal_send(terminal, "\r");
    ck_assert(terminal_wait_text(terminal, "reading", 20));
    ck_assert(terminal_wait_text(terminal, "2 of 2: lay the block of 25 mm", 20));
    terminal_pump(terminal, 1.0);
    ck_assert(!terminal_shows(terminal, "passed")); /* it waits */
    terminal_send(terminal, "\r");
    check_passes(terminal);
}
END_TEST

/* The same words stand so many times on the screen; waits for it. */
static bool shows_times(struct terminal *terminal, const char *words, int times)
{
    static char shown[65536];
    for (int turn = 0; turn < 200; turn++) {
        int count = 0;
        terminal_text(terminal, shown, sizeof shown);
        for (const char *at = strstr(shown, words); at != NULL; at = strstr(at + 1, words)) {
            count++;
        }
        if (count >= times) {
            return true;
        }
        terminal_pump(terminal, 0.1);
    }
    return false;
}

/* A slip in a row of checks costs that check, and not the row. */
START_TEST(a_check_can_be_made_once_more)
{
    struct terminal *terminal = check_a_step();
    if (terminal == NULL) {
        return;
    }
    ck_assert(terminal_wait_text(terminal, "b and Enter makes this check", 20));
    ck_assert(terminal_wait_text(terminal, "1 of 2: a flat plate", 20));
    terminal_send(terminal, "\r");
    ck_assert(terminal_wait_text(terminal, "2 of 2: lay the block of 25 mm", 20));
    terminal_send(terminal, "b\r");
    ck_assert(shows_times(terminal, "1 of 2: a flat plate", 2));
    terminal_send(terminal, "\r");
    ck_assert(shows_times(terminal, "2 of 2: lay the block of 25 mm", 2));
    terminal_send(terminal, "\r");
    check_passes(terminal);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("check command");
    TCase *tests = tcase_create("check command");
    tcase_set_timeout(tests, 60);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, good_sensors_pass);
    tcase_add_test(tests, bad_ones_fail_with_the_reason);
    tcase_add_test(tests, all_checks_make_one_report);
    tcase_add_test(tests, a_scale_of_two_per_cent_is_found);
    tcase_add_test(tests, a_rider_who_moves_is_no_crosstalk);
    tcase_add_test(tests, the_report_of_all_checks_is_a_file);
    tcase_add_test(tests, wrong_use_is_told);
    tcase_add_test(tests, numbers_are_the_virtual_rigs_truth);
    tcase_add_test(tests, a_person_is_asked_and_answers_with_enter);
    tcase_add_test(tests, a_check_can_be_made_once_more);
    tcase_add_test(tests, a_script_keeps_them_with_the_session);
    return test_main(suite);
}
