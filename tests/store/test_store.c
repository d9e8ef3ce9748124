/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "fixture.h"

#include "base/text.h"

#include <string.h>

START_TEST(every_field_comes_back)
{
    struct session_record *record = full_session(7);
    struct store *store = open_store(STORE_RECORD);
    write_session(store, record);
    check_loaded(store, store_recording_id(store), record);
    store_close(store);
    store = open_store(STORE_READ);
    int64_t id = 0;
    MUST(store_find_session(store, "last", &id, &problem));
    check_loaded(store, id, record);
    store_close(store);
    free(record);
}
END_TEST

START_TEST(every_sample_comes_back)
{
    struct session_record *record = full_session(1);
    struct store *store = open_store(STORE_RECORD);
    const struct sample *samples;
    size_t count;
    write_session(store, record);
    int64_t id = store_recording_id(store);
    MUST(store_samples(store, id, 1, 900, &samples, &count, &problem));
    ck_assert_uint_eq(count, 900);
    for (int64_t number = 1; number <= 900; number++) {
        struct sample sample;
        full_session_sample(number, 2, 50.0, &sample);
        const struct sample *got = &samples[number - 1];
        ck_assert_int_eq(got->number, number);
        ck_assert_int_eq(got->time_us, sample.time_us);
        ck_assert_int_eq(got->delay_us, sample.delay_us);
        ck_assert_uint_eq(got->lost_before, sample.lost_before);
        ck_assert(got->link_gap_before == sample.link_gap_before);
        ck_assert_mem_eq(got->range_tenth_mm, sample.range_tenth_mm, sizeof sample.range_tenth_mm);
        ck_assert_mem_eq(got->quality, sample.quality, sizeof sample.quality);
    }
    MUST(store_samples(store, id, 895, 2000, &samples, &count, &problem));
    ck_assert_uint_eq(count, 6);
    ck_assert_int_eq(samples[5].number, 900);
    MUST(store_samples(store, id, 2000, 3000, &samples, &count, &problem));
    ck_assert_uint_eq(count, 0);
    ck_assert(!store_samples(store, id + 1, 1, 2, &samples, &count, &problem));
    struct store_sample_source source = {.store = store, .session_id = id};
    ck_assert(store_sample_source(&source, 5, 7, &samples, &count));
    ck_assert_uint_eq(count, 3);
    ck_assert_int_eq(samples[0].number, 5);
    store_close(store);
    free(record);
}
END_TEST

START_TEST(extreme_sample_values_come_back)
{
    struct session_record *record = full_session(1);
    struct store *store = open_store(STORE_RECORD);
    const struct sample *samples;
    size_t count;
    struct sample sample = {.number = 901,
                            .time_us = INT64_C(86400000000),
                            .delay_us = -INT64_C(5000000000),
                            .lost_before = UINT32_MAX,
                            .link_gap_before = true};
    for (int c = 0; c < CHANNELS_MAX; c++) {
        sample.range_tenth_mm[c] = c % 2 == 0 ? INT32_MAX : INT32_MIN;
        sample.quality[c] = (uint8_t)((c + 2) % 5);
    }
    record->placing[0].channel_count = CHANNELS_MAX; /* only the channels there are come back */
    write_session(store, record);
    MUST(store_begin(store, &problem));
    MUST(store_write_samples(store, &sample, 1, &problem));
    MUST(store_commit(store, &problem));
    MUST(store_samples(store, store_recording_id(store), 901, 901, &samples, &count, &problem));
    ck_assert_uint_eq(count, 1);
    ck_assert_int_eq(samples[0].delay_us, sample.delay_us);
    ck_assert_int_eq(samples[0].time_us, sample.time_us);
    ck_assert_uint_eq(samples[0].lost_before, UINT32_MAX);
    ck_assert(samples[0].link_gap_before);
    ck_assert_mem_eq(samples[0].quality, sample.quality, sizeof sample.quality);
    ck_assert_mem_eq(samples[0].range_tenth_mm, sample.range_tenth_mm,
                     sizeof sample.range_tenth_mm);
    store_close(store);
    free(record);
}
END_TEST

struct scanned_port {
    int count;
    struct command_record last;
};
static bool hear_command(void *context, const struct command_record *command,
                         struct problem *unused)
{
    struct scanned_port *heard = context;
    struct command_record expected;
    (void)unused;
    full_session_command(++heard->count, &expected);
    ck_assert_int_eq(command->ordinal, expected.ordinal);
    ck_assert_int_eq(command->after_sample, expected.after_sample);
    ck_assert_str_eq(command->text, expected.text);
    return true;
}

START_TEST(commands_come_back_in_order)
{
    struct session_record *record = full_session(1);
    struct store *store = open_store(STORE_RECORD);
    struct scanned_port heard = {0};
    write_session(store, record);
    MUST(store_commands(store, store_recording_id(store), hear_command, &heard, &problem));
    ck_assert_int_eq(heard.count, 3);
    store_close(store);
    free(record);
}
END_TEST

/* All that the tables hold, as one text. */
static char *dump(void)
{
    char command[512];
    snprintf(command, sizeof command, "%s/dump.txt", folder);
    char *text = NULL;
    size_t size = 0;
    FILE *stream = open_memstream(&text, &size);
    sqlite3 *db = NULL;
    sqlite3_stmt *tables = NULL, *rows = NULL;
    ck_assert_int_eq(sqlite3_open_v2(path, &db, SQLITE_OPEN_READONLY, NULL), SQLITE_OK);
    ck_assert_int_eq(sqlite3_prepare_v2(db,
                                        "SELECT name FROM sqlite_master WHERE type = 'table'"
                                        " AND name NOT LIKE 'sqlite_%' ORDER BY name",
                                        -1, &tables, NULL),
                     SQLITE_OK);
    while (sqlite3_step(tables) == SQLITE_ROW) {
        char sql[256];
        snprintf(sql, sizeof sql, "SELECT * FROM %s ORDER BY 1, 2",
                 (const char *)sqlite3_column_text(tables, 0));
        ck_assert_int_eq(sqlite3_prepare_v2(db, sql, -1, &rows, NULL), SQLITE_OK);
        while (sqlite3_step(rows) == SQLITE_ROW) {
            fprintf(stream, "%s", (const char *)sqlite3_column_text(tables, 0));
            for (int i = 0; i < sqlite3_column_count(rows); i++) {
                const unsigned char *value = sqlite3_column_text(rows, i);
                fprintf(stream, "|%s", value != NULL ? (const char *)value : "NULL");
            }
            fputc('\n', stream);
        }
        sqlite3_finalize(rows);
    }
    sqlite3_finalize(tables);
    sqlite3_close(db);
    fclose(stream);
    return text;
}

START_TEST(writing_twice_changes_nothing)
{
    struct session_record *record = full_session(4);
    struct store *store = open_store(STORE_RECORD);
    write_session(store, record);
    char *once = dump();
    write_session(store, record);
    char *twice = dump();
    ck_assert_str_eq(once, twice);
    ck_assert(strstr(once, "NaN") == NULL && strstr(once, "Inf") == NULL);
    ck_assert_uint_gt(strlen(once), 20000);
    free(once);
    free(twice);
    store_close(store);
    free(record);
}
END_TEST

START_TEST(a_changed_record_replaces_what_it_owned)
{
    struct session_record *record = full_session(4);
    struct store *store = open_store(STORE_RECORD);
    write_session(store, record);
    bike_values_clear(&record->setup[1].bike);
    record->setup[1].bike.value[BIKE_SPACERS] = 15.0;
    record->target[2].entered_mm[1] = (double)NAN;
    record->target[2].entered_half_width_mm[1] = (double)NAN;
    record->target[2].entered_mm[0] = 880.0;
    record->hold[1].rejected = true;
    memset(record->rider.name, 0, sizeof record->rider.name);
    text_copy(record->rider.name, sizeof record->rider.name, "another name");
    write_session(store, record);
    check_loaded(store, store_recording_id(store), record);
    ck_assert_int_eq(number_of("SELECT count(*) FROM setup_part WHERE setup = 3"), 1);
    ck_assert_int_eq(number_of("SELECT count(*) FROM rider WHERE name = 'another name'"), 1);
    store_close(store);
    free(record);
}
END_TEST

START_TEST(a_rider_is_known_by_the_code)
{
    struct session_record *first = full_session(5), *second = full_session(6);
    struct store *store = open_store(STORE_RECORD);
    write_session(store, first);
    int64_t first_id = store_recording_id(store);
    store_close(store);
    /* the same rider comes again: new session, new identifiers, the same code */
    text_copy(second->rider.code, sizeof second->rider.code, first->rider.code);
    store = open_store(STORE_RECORD);
    write_session(store, second);
    int64_t second_id = store_recording_id(store);
    ck_assert_int_ne(first_id, second_id);
    check_loaded(store, first_id, first);
    check_loaded(store, second_id, second);
    store_close(store);
    ck_assert_int_eq(number_of("SELECT count(*) FROM rider"), 1);
    ck_assert_int_eq(number_of("SELECT count(*) FROM bike"), 1);
    ck_assert_int_eq(number_of("SELECT count(*) FROM session WHERE rider_id = 1 AND bike_id = 1"),
                     2);
    char sql[256], uuid[UUID_TEXT_SIZE];
    uuid_text(uuid, &first->rider.uuid);
    snprintf(sql, sizeof sql, "SELECT count(*) FROM rider WHERE uuid = '%s'", uuid);
    ck_assert_int_eq(number_of(sql), 1);
    /* the latest word on the frame */
    ck_assert_int_eq(number_of("SELECT value FROM bike_value WHERE key = 'stack'"), 551);
    free(first);
    free(second);
}
END_TEST

START_TEST(a_corrected_code_leaves_nobody_behind)
{
    struct session_record *record = full_session(5);
    struct store *store = open_store(STORE_RECORD);
    write_session(store, record);
    text_copy(record->rider.code, sizeof record->rider.code, "R-77");
    record->rider.uuid.bytes[15] = 0xee;
    write_session(store, record);
    ck_assert_int_eq(number_of("SELECT count(*) FROM rider"), 1);
    ck_assert_int_eq(number_of("SELECT count(*) FROM rider WHERE code = 'R-77'"), 1);
    ck_assert_int_eq(number_of("SELECT count(*) FROM bike b JOIN rider r ON r.id = b.rider_id"), 1);
    store_close(store);
    free(record);
}
END_TEST

START_TEST(the_same_session_is_not_recorded_twice)
{
    struct session_record *record = full_session(5);
    struct store *store = open_store(STORE_RECORD);
    write_session(store, record);
    store_close(store);
    store = open_store(STORE_RECORD);
    struct effect *effect = calloc(1, sizeof *effect);
    effect->kind = EFFECT_SESSION;
    session_record_header(record, &effect->record.session);
    MUST(store_begin(store, &problem));
    ck_assert(!store_write_effect(store, effect, &problem));
    ck_assert(store_refused_record(store));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "already, as number 1"));
    store_close(store);
    ck_assert_int_eq(number_of("SELECT count(*) FROM session"), 1);
    free(effect);
    free(record);
}
END_TEST

static bool collect(void *context, const struct store_session *session)
{
    struct store_session *list = context;
    while (list->id != 0) {
        list++;
    }
    *list = *session;
    return session->id != 2; /* stops there */
}

START_TEST(sessions_are_listed_and_found)
{
    struct store *store;
    struct session_record *record;
    for (unsigned seed = 1; seed <= 3; seed++) {
        record = full_session(seed);
        record->ended = seed != 2;
        store = open_store(STORE_RECORD);
        write_session(store, record);
        store_close(store);
        free(record);
    }
    struct store_session list[5] = {0};
    int64_t id = 0;
    store = open_store(STORE_READ);
    MUST(store_list(store, collect, list, &problem));
    ck_assert_int_eq(list[0].id, 3);
    ck_assert_int_eq(list[1].id, 2);
    ck_assert_int_eq(list[2].id, 0);
    ck_assert_str_eq(list[0].rider_code, "R-03");
    ck_assert_str_eq(list[0].bike, "training bike");
    ck_assert_int_eq(list[0].setups, 3);
    ck_assert_int_eq(list[0].holds, 4);
    ck_assert_int_eq(list[0].samples, 900);
    ck_assert(list[0].length_s == 17.98);
    ck_assert_int_eq(list[0].started_ms, INT64_C(1768068000123) + 3 * 86400000);
    ck_assert(list[0].ended && !list[1].ended);
    MUST(store_find_session(store, "last", &id, &problem));
    ck_assert_int_eq(id, 3);
    MUST(store_find_session(store, "2", &id, &problem));
    ck_assert_int_eq(id, 2);
    MUST(store_find_session(store, "R-01", &id, &problem));
    ck_assert_int_eq(id, 1);
    MUST(store_find_session(store, "01000000-0000-7000-8000-00000001", &id, &problem));
    ck_assert_int_eq(id, 1);
    ck_assert(!store_find_session(store, "01000000", &id, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "several"));
    ck_assert(!store_find_session(store, "99", &id, &problem));
    ck_assert(!store_find_session(store, "R-99", &id, &problem));
    ck_assert(!store_find_session(store, "' OR 1 --", &id, &problem));
    MUST(store_find_cut_short(store, &id, &problem));
    ck_assert_int_eq(id, 2);
    store_close(store);
}
END_TEST

START_TEST(a_cut_short_session_goes_on)
{
    struct session_record *record = full_session(1), *later = full_session(2);
    record->ended = false;
    struct store *store = open_store(STORE_RECORD);
    write_session(store, record);
    store_close(store);
    store = open_store(STORE_RECORD);
    write_session(store, later);
    store_close(store);
    store = open_store(STORE_RECORD);
    int64_t id = 0;
    MUST(store_find_cut_short(store, &id, &problem));
    ck_assert_int_eq(id, 1);
    MUST(store_resume(store, id, &problem));
    /* its replay gives everything once more, then it goes on */
    record->ended = true;
    MUST(store_begin(store, &problem));
    full_session_effects(record, 3, write_effect, store);
    write_samples(store, 895, 950);
    MUST(store_commit(store, &problem));
    problem.kind = PROBLEM_FAILED;
    ck_assert(!store_find_cut_short(store, &id, &problem));
    ck_assert_int_eq(problem.kind, PROBLEM_NONE);
    const struct sample *samples;
    size_t count;
    MUST(store_samples(store, 1, 1, 2000, &samples, &count, &problem));
    ck_assert_uint_eq(count, 950);
    for (size_t i = 0; i < count; i++) {
        struct sample sample;
        full_session_sample((int64_t)i + 1, 2, 50.0, &sample);
        ck_assert_int_eq(samples[i].number, sample.number);
        ck_assert_int_eq(samples[i].time_us, sample.time_us);
    }
    check_loaded(store, 2, later);
    ck_assert(!store_resume(store, 3, &problem));
    MUST(store_resume(store, 1, &problem)); /* it ended, and is gone on with all the same */
    store_close(store);
    free(record);
    free(later);
}
END_TEST

START_TEST(a_failed_batch_is_rolled_back_whole)
{
    struct session_record *record = full_session(1);
    struct store *store = open_store(STORE_RECORD);
    write_session(store, record);
    char *before = dump();
    struct effect *effect = calloc(1, sizeof *effect);
    effect->kind = EFFECT_NOTE;
    effect->index = 5;
    effect->record.note = record->note[0]; /* the identifier of another note */
    MUST(store_begin(store, &problem));
    write_samples(store, 901, 920);
    ck_assert(!store_write_effect(store, effect, &problem));
    ck_assert(store_refused_record(store));
    char *after = dump();
    ck_assert_str_eq(before, after);
    /* the same samples again */
    MUST(store_begin(store, &problem));
    write_samples(store, 901, 920);
    MUST(store_commit(store, &problem));
    ck_assert_int_eq(number_of("SELECT count(*) FROM sample"), 920);
    ck_assert_int_eq(number_of("SELECT sample_count FROM session"), 920);
    /* a record that points nowhere is found at the commit */
    effect->kind = EFFECT_BUILD;
    effect->index = 4;
    effect->record.build = record->build[0];
    effect->record.build.uuid.bytes[15] = 0xdd;
    effect->record.build.setup = 30;
    MUST(store_begin(store, &problem));
    MUST(store_write_effect(store, effect, &problem));
    ck_assert(!store_commit(store, &problem));
    ck_assert(store_refused_record(store));
    free(effect);
    free(before);
    free(after);
    store_close(store);
    free(record);
}
END_TEST

START_TEST(records_before_their_session_are_refused)
{
    struct store *store = open_store(STORE_RECORD);
    struct effect *effect = calloc(1, sizeof *effect);
    struct sample sample;
    full_session_sample(1, 2, 50.0, &sample);
    effect->kind = EFFECT_NOTE;
    MUST(store_begin(store, &problem));
    ck_assert(!store_write_effect(store, effect, &problem));
    MUST(store_begin(store, &problem));
    ck_assert(!store_write_samples(store, &sample, 1, &problem));
    store_close(store);
    free(effect);
}
END_TEST

START_TEST(plain_sql_sees_readings)
{
    struct session_record *record = full_session(1), *later = full_session(2);
    struct store *store = open_store(STORE_RECORD);
    write_session(store, record);
    store_close(store);
    store = open_store(STORE_RECORD);
    write_session(store, later);
    store_close(store);
    /* what an auxiliary channel sends is no range; others send nothing else */
    ck_assert_int_gt(number_of("SELECT count(*) FROM reading WHERE role = 'auxiliary'"), 0);
    ck_assert_int_eq(number_of("SELECT count(*) FROM reading WHERE role = 'auxiliary' AND"
                               " (range_mm IS NOT NULL OR (other_value IS NULL AND quality <>"
                               " 'missing'))"),
                     0);
    ck_assert_int_eq(number_of("SELECT count(*) FROM reading WHERE role <> 'auxiliary' AND"
                               " other_value IS NOT NULL"),
                     0);
    /* 500 samples of two channels, then 400 of three */
    ck_assert_int_eq(number_of("SELECT count(*) FROM reading WHERE session = 2"),
                     500 * 2 + 400 * 3);
    ck_assert_int_eq(number_of("SELECT min(sample) FROM reading WHERE session = 2"), 1);
    ck_assert_int_eq(number_of("SELECT max(sample) FROM reading WHERE session = 2"), 900);
    for (int64_t number = 1; number <= 900; number += 13) {
        struct sample sample;
        char sql[512];
        full_session_sample(number, 2, 50.0, &sample);
        static const char *const words[] = {"good", "missing", "weak", "saturated", "out of range"};
        snprintf(sql, sizeof sql,
                 "SELECT count(*) FROM reading WHERE session = 2 AND sample = %d AND channel ="
                 " 'chest' AND range_mm IS %s%.1f%s AND quality = '%s' AND lost_before = %u"
                 " AND link_gap = %d AND abs(seconds - %.6f) < 1e-9",
                 (int)number, sample.quality[1] == READING_MISSING ? "NULL -- " : "",
                 sample.range_tenth_mm[1] / 10.0, sample.quality[1] == READING_MISSING ? "\n" : "",
                 words[sample.quality[1]], (unsigned)sample.lost_before, sample.link_gap_before,
                 (double)sample.time_us / 1e6);
        ck_assert_msg(number_of(sql) == 1, "%s", sql);
    }
    ck_assert_int_eq(number_of("SELECT count(*) FROM hold_reading WHERE session = 1 AND hold = 1"),
                     81 * 2);
    ck_assert_int_eq(number_of("SELECT setup FROM hold_sheet WHERE session = 1 AND hold = 2"), 3);
    free(record);
    free(later);
}
END_TEST

static Suite *store_suite(void)
{
    Suite *suite = suite_create("store");
    TCase *tests = tcase_create("store");
    tcase_set_timeout(tests, 30);
    tcase_add_checked_fixture(tests, make_folder, remove_folder);
    tcase_add_test(tests, every_field_comes_back);
    tcase_add_test(tests, every_sample_comes_back);
    tcase_add_test(tests, extreme_sample_values_come_back);
    tcase_add_test(tests, commands_come_back_in_order);
    tcase_add_test(tests, writing_twice_changes_nothing);
    tcase_add_test(tests, a_changed_record_replaces_what_it_owned);
    tcase_add_test(tests, a_rider_is_known_by_the_code);
    tcase_add_test(tests, a_corrected_code_leaves_nobody_behind);
    tcase_add_test(tests, the_same_session_is_not_recorded_twice);
    tcase_add_test(tests, sessions_are_listed_and_found);
    tcase_add_test(tests, a_cut_short_session_goes_on);
    tcase_add_test(tests, a_failed_batch_is_rolled_back_whole);
    tcase_add_test(tests, records_before_their_session_are_refused);
    tcase_add_test(tests, plain_sql_sees_readings);
    suite_add_tcase(suite, tests);
    return suite;
}

int main(void)
{
    return test_main(store_suite());
}
