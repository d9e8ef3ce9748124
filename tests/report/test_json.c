/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "example_report.h"

#include "report/across.h"
#include "support/json_reader.h"
#include "support/json_schema.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static struct command_record commands[2];

static void begin_commanded(void)
{
    begin();
    commands[0] = (struct command_record){.ordinal = 1, .after_sample = 0};
    commands[1] = (struct command_record){.ordinal = 2, .after_sample = 17500};
    snprintf(commands[0].text, sizeof commands[0].text, "rider R-07 \"winter group\"");
    snprintf(commands[1].text, sizeof commands[1].text, "note \"fan moved nearer\"");
    input.commands = commands;
    input.command_count = 2;
}

typedef bool json_report(FILE *stream, const struct report_input *input, struct problem *problem);

static char *written(json_report *report)
{
    struct caught caught;
    ck_assert(report(catch_begin(&caught), &input, NULL));
    return catch_end(&caught);
}

static struct json_value *read_back(json_report *report)
{
    char error[160];
    char *text = written(report);
    struct json_value *value = json_read(text, error);
    ck_assert_msg(value != NULL, "%s", error);
    free(text);
    return value;
}

static void check_number(const struct json_value *value, const char *path, double expected)
{
    double found = json_number_at(value, path);
    ck_assert_msg(found == expected, "%s is %.17g, not %.17g", path, found, expected);
}

static void check_text(const struct json_value *value, const char *path, const char *expected)
{
    const char *found = json_text_at(value, path);
    ck_assert_msg(found != NULL && strcmp(found, expected) == 0, "%s is '%s', not '%s'", path,
                  found != NULL ? found : "(none)", expected);
}

static void check_kind(const struct json_value *value, const char *path, enum json_kind kind)
{
    const struct json_value *found = json_at(value, path);
    ck_assert_msg(found != NULL && found->kind == kind, "%s is of another kind", path);
}

START_TEST(the_reader_refuses_what_is_no_json)
{
    static const char *const wrong[] = {
        "{\"a\":1,}", "[1 2]", "{\"a\":NaN}", "{\"a\":1,\"a\":2}", "[01]", "[1.]",
        "\"\t\"",     "[1] 2", "{a:1}",       "[\"\\x\"]"};
    char error[160];
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        ck_assert_msg(json_read(wrong[i], error) == NULL, "taken: %s", wrong[i]);
        ck_assert(error[0] != '\0');
    }
}
END_TEST

START_TEST(records_come_back)
{
    struct json_value *value = read_back(report_json);
    check_text(value, "format", "holdline-session");
    check_text(value, "session/uuid", "01000000-0000-7000-8000-000000000100");
    check_text(value, "session/seed", "18446744073709551615");
    check_text(value, "session/started", "2026-01-10T18:00:00.000Z");
    check_text(value, "rider/code", "R-07");
    check_number(value, "bike/frame/stack", 540);
    check_kind(value, "settings/trunk_slope_deg", JSON_NULL);
    check_kind(value, "settings/chosen_setup", JSON_NULL);
    check_text(value, "placings/0/channels/1/aimed_at", "chest strap");
    check_number(value, "placings/0/channels/1/mount/tilt_deg", 8);
    check_number(value, "setups/2/parts/spacers", 0);
    check_kind(value, "setups/0/parts/crank_length", JSON_NULL);
    check_kind(value, "setups/2/failed", JSON_TRUE);
    check_number(value, "builds/3/setup", 1);
    check_number(value, "builds/3/ordinal", 2);
    check_number(value, "builds/1/ties/0/measured_shift_mm", -9.2);
    check_kind(value, "builds/1/ties/0/alarm", JSON_TRUE);
    check_kind(value, "builds/2/ties/1/tied", JSON_FALSE);
    check_kind(value, "builds/2/ties/1/shift_mm", JSON_NULL);
    check_number(value, "tie_readings/0/value_mm", 412.5);
    check_number(value, "tie_readings/0/build", 2);
    check_kind(value, "tie_readings/0/plate_height_mm", JSON_NULL);
    check_number(value, "captures/0/last_sample", 3150);
    check_number(value, "targets/0/channels/0/half_width_mm", 1.8);
    check_number(value, "bands/0/channels/0/below_mm", 20);
    check_kind(value, "bands/0/channels/1/below_mm", JSON_NULL);
    check_text(value, "notes/0/text", "fan moved nearer");
    check_text(value, "commands/1/text", "note \"fan moved nearer\"");
    check_number(value, "commands/1/after_sample", 17500);
    json_free(value);
}
END_TEST

START_TEST(limits_and_the_chosen_setup_come_back)
{
    record->settings.chosen_setup = 2;
    record->limits.most[BIKE_SPACERS] = 15;
    record->limits.least[BIKE_LIMIT_COLUMN] = 40;
    struct json_value *value = read_back(report_json);
    check_number(value, "settings/chosen_setup", 2);
    check_kind(value, "settings/limits/spacers/least", JSON_NULL);
    check_number(value, "settings/limits/spacers/most", 15);
    check_number(value, "settings/limits/column/least", 40);
    check_text(value, "settings/limits/column/unit", "mm");
    check_kind(value, "setups/0/chosen", JSON_FALSE);
    check_kind(value, "setups/1/chosen", JSON_TRUE);
    check_text(value, "setups/0/limits_passed", "spacers 20 mm: over the limit entered, 15 mm");
    check_kind(value, "setups/1/limits_passed", JSON_NULL);
    json_free(value);
}
END_TEST

/* What is told as it is stored: places count from 1, setups and holds go by their numbers, channels
 * by their names; 0 and -1 say that there is none. */
START_TEST(stored_columns_are_told_in_the_export_s_terms)
{
    record->setup[0].number = 7;
    record->hold[1].number = 12;
    record->mark[1].hold = -1;
    record->capture[2].last_sample = 0;
    record->target[0].until_mm = (double)NAN;
    record->tie_reading_count = 1;
    record->tie_reading[0] = (struct tie_reading_record){.kind = TIE_READING_TAPE,
                                                         .build = 1,
                                                         .channel = 1,
                                                         .value_mm = 631.5,
                                                         .plate_height_mm = (double)NAN,
                                                         .at_sample = 20500};
    record->cue_sound_count = 1;
    record->cue_sound[0] = (struct cue_sound_record){
        .kind = CUE_SOUND_RAISE, .channel = 1, .hold = 2, .sample = 20600};
    struct json_value *value = read_back(report_json);
    check_text(value, "cue_sounds/0/kind", "raise");
    check_text(value, "cue_sounds/0/channel", "chest");
    check_number(value, "cue_sounds/0/hold", 3);
    check_number(value, "builds/0/setup", 7);
    check_number(value, "builds/3/ordinal", 2);
    check_number(value, "builds/0/placing", 1);
    check_text(value, "placings/0/channels/1/mount/carrier", "base_bar");
    check_number(value, "placings/0/channels/1/mount/tilt_deg", 8);
    check_number(value, "marks/0/hold", 12);
    check_kind(value, "marks/0/cut", JSON_TRUE);
    check_kind(value, "marks/1/hold", JSON_NULL);
    check_kind(value, "marks/1/cut", JSON_FALSE);
    check_number(value, "captures/0/number", 1);
    check_text(value, "captures/0/kind", "target");
    check_number(value, "captures/0/last_sample", 3150);
    check_kind(value, "captures/2/last_sample", JSON_NULL);
    check_number(value, "targets/0/capture", 1);
    check_kind(value, "targets/0/until_mm", JSON_NULL);
    check_number(value, "bands/0/channels/0/below_mm", 20);
    check_kind(value, "bands/0/channels/1/below_mm", JSON_NULL);
    check_number(value, "bands/0/channels/1/on_delay_s", 0.7);
    check_text(value, "tie_readings/0/kind", "tape");
    check_text(value, "tie_readings/0/channel", "chest");
    check_number(value, "tie_readings/0/build", 2);
    check_number(value, "tie_readings/0/value_mm", 631.5);
    check_kind(value, "tie_readings/0/plate_height_mm", JSON_NULL);
    check_text(value, "holds/4/reject_reason", "slid back on the saddle");
    json_free(value);
}
END_TEST

START_TEST(holds_and_ratings_come_back)
{
    struct json_value *value = read_back(report_json);
    ck_assert_uint_eq(json_at(value, "holds")->count, 9);
    check_number(value, "holds/3/channels/0/mean_mm", 871.6);
    check_number(value, "holds/3/setup", 2);
    check_number(value, "holds/3/build", 2);
    check_number(value, "holds/3/capture", 5);
    check_number(value, "holds/3/lost_samples", 12);
    check_number(value, "holds/3/channels/0/sensor/missing", 30);
    check_kind(value, "holds/3/channels/0/sensor/quantum_mm", JSON_NULL);
    check_number(value, "holds/5/channels/0/band/in_band_share", 0.78);
    check_kind(value, "holds/3/channels/0/band", JSON_NULL);
    check_kind(value, "holds/4/rejected", JSON_TRUE);
    check_kind(value, "holds/4/counts", JSON_FALSE);
    check_kind(value, "holds/6/channels/1/mean_half_width_mm", JSON_NULL);
    check_kind(value, "holds/8/kept_afterwards", JSON_TRUE);
    check_text(value, "marks/0/kind", "drank");
    check_number(value, "marks/0/hold", 2);
    check_number(value, "ratings/0/scores/effort", 4);
    check_kind(value, "ratings/0/scores/hips", JSON_NULL);
    check_kind(value, "ratings/1/numb_hands", JSON_TRUE);
    check_kind(value, "ratings/0/numb_hands", JSON_NULL);
    check_text(value, "ratings/2/sees_ahead", "no");
    check_kind(value, "ratings/3/sees_ahead", JSON_NULL);
    json_free(value);
}
END_TEST

START_TEST(what_follows_comes_back)
{
    at_ease();
    struct setup_difference *difference = &analysis->free_heights[0].difference[1];
    difference->has_second = true;
    difference->second_difference = -11.2;
    struct json_value *value = read_back(report_json);
    check_kind(value, "insight/tradeoff/0/stands", JSON_TRUE);
    check_kind(value, "insight/tradeoff/2/stands", JSON_FALSE);
    check_kind(value, "insight/tradeoff/2/sight_failed", JSON_TRUE);
    check_kind(value, "insight/tradeoff/0/beaten_by", JSON_NULL);
    check_number(value, "insight/tradeoff/1/discomfort", 5);
    check_number(value, "insight/tradeoff/0/effort", 5);
    check_number(value, "insight/tradeoff/1/height_mm", 871.6);
    check_kind(value, "insight/tradeoff/2/second_height_mm", JSON_NULL);
    check_text(value, "insight/together/y_channel", "head");
    check_number(value, "insight/together/setups/1/ellipse/readings", 40);
    check_kind(value, "insight/together/setups/2/ellipse", JSON_NULL);
    /* 40 points of 4 cos t against 5 cos(t - 1): correlation cos 1 */
    ck_assert_double_eq_tol(json_number_at(value, "holds/3/together/correlation"), cos(1), 1e-12);
    check_text(value, "insight/steps/channels/0/parts/0/part", "spacers");
    ck_assert_double_eq_tol(json_number_at(value, "insight/steps/channels/0/parts/0/mm_per_unit"),
                            (881.0 - 871.6) / -10, 1e-9);
    check_text(value, "insight/steps/channels/1/parts/1/state", "not told apart");
    check_text(value, "insight/steps/channels/1/change_alone", "spacers");
    check_text(value, "insight/steps/suggestion/purpose", "none");
    check_text(value, "insight/steps/suggestion/reason",
               "no limit was entered for pad rise: look into the papers of the parts and enter it");
    check_text(value, "comparison/guided_in_band/0/setups/1/difference/words",
               "cannot tell yet: -14 points; 1 more hold");
    check_number(value, "comparison/free_heights/0/setups/1/difference/weighted", -11.2);
    check_kind(value, "comparison/free_heights/1/setups/1/difference/weighted", JSON_NULL);
    json_free(value);
}
END_TEST

START_TEST(the_comparison_comes_back_alone_and_within)
{
    struct json_value *whole = read_back(report_json), *alone = read_back(report_compare_json);
    const struct json_value *both[] = {whole, alone};
    check_text(alone, "format", "holdline-comparison");
    for (int i = 0; i < 2; i++) {
        const struct json_value *head = json_at(both[i], "comparison/free_heights/0");
        check_text(head, "channel", "head");
        check_number(head, "repeatability", 1.4);
        check_number(head, "setups/0/mean", 884.1);
        check_kind(head, "setups/0/difference", JSON_NULL);
        check_number(head, "setups/1/difference/value", -12.4);
        check_number(head, "setups/1/difference/low", -18.3);
        check_text(head, "setups/1/difference/verdict", "lower");
        check_number(head, "setups/2/difference/advice_holds", 2);
        check_text(head, "setups/2/difference/words",
                   "cannot tell yet: -3 (-9 to 3); 2 more holds");
        check_kind(both[i], "comparison/free_heights/1/setups/2/difference/value", JSON_NULL);
        check_number(both[i], "comparison/guided_in_band/0/setups/1/mean", 0.78);
    }
    ck_assert(json_at(alone, "holds") == NULL);
    json_free(whole);
    json_free(alone);
}
END_TEST

START_TEST(the_same_records_give_the_same_bytes)
{
    char *first = written(report_json), *second = written(report_json);
    ck_assert_str_eq(first, second);
    free(first);
    free(second);
}
END_TEST

START_TEST(hostile_texts_come_back_whole)
{
    snprintf(record->rider.name, sizeof record->rider.name,
             "\"}\\ </script> \xE9\xAB\x98\xE3\x81\x84 \x01");
    struct json_value *value = read_back(report_json);
    check_text(value, "rider/name", "\"}\\ </script> \xE9\xAB\x98\xE3\x81\x84 \x01");
    json_free(value);
}
END_TEST

/* ---- the schema, where a validator is here --------------------------------------------------- */

static int validate(json_report *report, const char *damage)
{
    char command[2048];
    const char *path = BUILD_DIR "/tests/report/export.json";
    FILE *stream = fopen(path, "w");
    ck_assert(stream != NULL && report(stream, &input, NULL));
    fclose(stream);
    snprintf(command, sizeof command,
             "python3 -c \"import json,jsonschema\n"
             "s=json.load(open('%s'))\n"
             "d=json.load(open('%s'))\n"
             "jsonschema.Draft202012Validator.check_schema(s)\n"
             "%s\n"
             "jsonschema.Draft202012Validator(s).validate(d)\" %s",
             source_path("docs/export.schema.json"), path, damage,
             damage[0] != '\0' ? ">/dev/null 2>&1" : "");
    return system(command);
}

/* The session beside itself on another day: two of one rider's. */
static bool report_across(FILE *stream, const struct report_input *both, struct problem *problem)
{
    const struct across_session sessions[] = {{1, both->record, both->analysis},
                                              {2, both->record, both->analysis}};
    struct across *across = across_make(sessions, 2, -1, problem);
    bool done = across != NULL && report_across_json(stream, across, problem);
    across_destroy(across);
    return done;
}

START_TEST(exports_are_as_the_schema_says)
{
    if (!json_validator_or_skip()) {
        return;
    }
    ck_assert_int_eq(validate(report_json, ""), 0);
    ck_assert_int_eq(validate(report_compare_json, ""), 0);
    ck_assert_int_eq(validate(report_across, ""), 0);
    ck_assert_int_ne(validate(report_across, "del d['sessions'][0]['channels'][0]['reason']"), 0);
    record->has_rider = record->has_bike = false;
    record->hold_count = record->target_count = record->rating_count = 0;
    record->mark_count = 0;
    analysis->has_guided[0] = analysis->has_guided[1] = false;
    ck_assert_int_eq(validate(report_json, ""), 0);
}
END_TEST

START_TEST(the_schema_is_no_open_door)
{
    static const char *const damages[] = {
        "d['extra']=1",
        "del d['holds'][0]['uuid']",
        "d['holds'][0]['kind']='hidden'",
        "d['setups'][0]['number']='1'",
        "d['ratings'][0]['scores']['neck']=11",
        "d['holds'][0]['channels'][0]['mean_mm']='x'",
    };
    if (!json_validator_or_skip()) {
        return;
    }
    for (size_t i = 0; i < sizeof damages / sizeof damages[0]; i++) {
        ck_assert_msg(validate(report_json, damages[i]) != 0, "taken: %s", damages[i]);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("json");
    TCase *tests = tcase_create("json");
    tcase_set_timeout(tests, 60);
    tcase_add_checked_fixture(tests, begin_commanded, end);
    tcase_add_test(tests, the_reader_refuses_what_is_no_json);
    tcase_add_test(tests, records_come_back);
    tcase_add_test(tests, limits_and_the_chosen_setup_come_back);
    tcase_add_test(tests, stored_columns_are_told_in_the_export_s_terms);
    tcase_add_test(tests, holds_and_ratings_come_back);
    tcase_add_test(tests, the_comparison_comes_back_alone_and_within);
    tcase_add_test(tests, what_follows_comes_back);
    tcase_add_test(tests, the_same_records_give_the_same_bytes);
    tcase_add_test(tests, hostile_texts_come_back_whole);
    tcase_add_test(tests, exports_are_as_the_schema_says);
    tcase_add_test(tests, the_schema_is_no_open_door);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
