/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What is taken of what people type, and what of a damaged session is left. */
#include "record/typed.h"
#include "base/random.h"
#include "record/sound.h"
#include "record/stored.h"
#include "support/full_session.h"
#include "support/outcome.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* At its limits, beyond them, with its unit and another. */
static void pin_typed(enum typed which)
{
    const struct typed_number *number = &typed_numbers[which];
    double step = (number->most - number->least) / 1000.0;
    double tried[] = {
        number->least, number->least - step, number->most, number->most + step, 0.0, 1.0, 1.5};
    const char *const units[] = {"", number->unit, " ", "x"};
    for (size_t t = 0; t < sizeof tried / sizeof tried[0]; t++) {
        for (size_t u = 0; u < sizeof units / sizeof units[0]; u++) {
            char text[80];
            double value = NAN;
            int whole = -1;
            snprintf(text, sizeof text, "%.9g%s", tried[t], units[u]);
            bool taken = typed_text(text, which, &value);
            bool is_whole = typed_whole(text, which, &whole);
            outcome_text("typed", text);
            outcome_number(taken ? "taken" : "refused", taken ? value : 0.0);
            outcome_number(is_whole ? "whole" : "none", is_whole ? whole : 0);
        }
    }
}

START_TEST(numbers)
{
    outcome_begin("record-typed");
    for (int which = 0; which < TYPED_NUMBERS; which += 2) {
        struct words words;
        struct problem problem = {.sentence = ""};
        char line[80];
        double value = -1.0;
        const struct typed_number *number = &typed_numbers[which];
        outcome_of("typed%d", which);
        pin_typed((enum typed)which);
        snprintf(line, sizeof line, "word %s=%.9g", number->key[0] != '\0' ? number->key : "key",
                 number->most * 1.001 + 1.0);
        ck_assert(words_split(line, &words, &problem));
        bool read = typed_read(&words, (enum typed)which, &value, &problem);
        outcome_text(read ? "read" : "not", problem.sentence);
        outcome_number("value", value);
    }
    outcome_end();
}
END_TEST

START_TEST(lengths)
{
    static const char *const texts[] = {
        "60",      "60s",    "90 s",  "20min",  "8 h",     "8.01h",   "1h30min", "1:30",
        "1:30:00", "",       "5",     "4.99",   "5s",      "0:05",    "0:04",    "1:60",
        "1:5",     "1:05",   "-5",    "x",      "8:00:00", "8:00:01", "28800",   "28801",
        "1 min",   "1.5min", "1h 5s", "1 h 30", "59:59",   "::",
    };
    static const double lengths_s[] = {5,    59,   60,   61,    90,   119,  120,
                                       121,  180,  600,  3599,  3600, 3601, 3660,
                                       5400, 7200, 7260, 28800, 30.5, 0.0,  86400};
    outcome_begin("record-lengths");
    for (size_t t = 0; t < sizeof texts / sizeof texts[0]; t++) {
        struct problem problem = {.sentence = ""};
        double length_s = -1.0;
        outcome_of("length%zu", t);
        bool read = typed_length(texts[t], &length_s, &problem);
        outcome_text(texts[t], read ? "read" : problem.sentence);
        outcome_number("length_s", read ? length_s : 0.0);
    }
    for (size_t l = 0; l < sizeof lengths_s / sizeof lengths_s[0]; l++) {
        char text[40];
        typed_length_text(text, sizeof text, lengths_s[l]);
        outcome_of("words%zu", l);
        outcome_text("text", text);
    }
    outcome_end();
}
END_TEST

static struct random_source source;

static int any(int count)
{
    return (int)(random_uniform(&source) * count);
}

static int *count_of(struct session_record *record, const struct stored_table *table)
{
    return (int *)(void *)((char *)record + table->count_offset);
}

/* Some of its places point elsewhere, some of its numbers are none. */
static void damage(struct session_record *record, const struct stored_table *table)
{
    int count = *count_of(record, table);
    for (int d = 0; count > 0 && d < 2; d++) {
        char *row = (char *)record + table->offset + (size_t)any(count) * table->size;
        const struct stored_field *field = &table->field[any(table->field_count)];
        if (field->type == STORED_PLACE && field->size == sizeof(int)) {
            int place = any(12) - 2;
            memcpy(row + field->offset, &place, sizeof place);
        } else if (field->type == STORED_REAL) {
            double value = any(2) ? NAN : 1e9;
            memcpy(row + field->offset, &value, sizeof value);
        } else if (field->type == STORED_INTEGER && field->size == sizeof(int64_t)) {
            int64_t value = any(2) ? -5 : 99999999;
            memcpy(row + field->offset, &value, sizeof value);
        }
    }
}

static void told(void *context, const struct record_damage *damaged)
{
    char text[400];
    (void)context;
    snprintf(text, sizeof text, "%s %d %s: %s, %lld to %lld", stored_tables[damaged->table]->name,
             damaged->index, damaged->kept ? "kept" : "out", damaged->why,
             (long long)damaged->first_sample, (long long)damaged->last_sample);
    outcome_text("told", text);
}

static void pin_sound(struct session_record *record, unsigned seed)
{
    struct record_faults *faults = record_faults_create();
    ck_assert_ptr_nonnull(faults);
    random_seed(&source, 60 + seed);
    for (int id = 0; id < STORED_TABLES; id++) {
        const struct stored_table *table = stored_tables[id];
        if (table->shape != SHAPE_RECORD || id == TABLE_COMMAND) {
            continue;
        }
        for (int i = 0; i < *count_of(record, table); i++) {
            enum stored_table_id at = (enum stored_table_id)id;
            int chance = any(30);
            if (chance > 0) {
                record_fault_there(faults, at, i);
            }
            if (chance == 1) {
                record_fault(faults, at, i, "its word is not known");
            } else if (chance == 2) {
                record_fault_other(faults, at, i);
            } else if (chance == 3) {
                record_fault_later(faults, at, i);
            }
        }
        if (any(3) == 0) {
            damage(record, table);
        }
    }
    record_make_sound(record, faults, told, NULL);
    for (int id = 0; id < STORED_TABLES; id++) {
        const struct stored_table *table = stored_tables[id];
        if (table->shape == SHAPE_RECORD && id != TABLE_COMMAND) {
            outcome_number(table->name, *count_of(record, table));
        }
    }
    for (int h = 0; h < record->hold_count; h++) {
        char text[100];
        const struct hold_record *hold = &record->hold[h];
        snprintf(text, sizeof text, "%d capture %d build %d target %d band %d", hold->number,
                 hold->capture, hold->build, hold->target, hold->band);
        outcome_text("hold", text);
    }
    record_faults_destroy(faults);
}

START_TEST(what_is_sound)
{
    outcome_begin("record-sound");
    for (unsigned seed = 0; seed < 30; seed++) {
        struct session_record *record = full_session(seed);
        outcome_of("session%u", seed);
        pin_sound(record, seed);
        free(record);
    }
    outcome_end();
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("outcome_typed");
    TCase *tests = tcase_create("outcome_typed");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, numbers);
    tcase_add_test(tests, lengths);
    tcase_add_test(tests, what_is_sound);
    return test_main(suite);
}
