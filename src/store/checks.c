/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "checks.h"

#include "base/text.h"

#include <math.h>

/* A check of the sensors: its row, what was asked in each phase, and its numbers. */

static bool write_asked(struct store *store, int check, int phase, double asked_mm,
                        struct problem *problem)
{
    struct row row;
    if (!row_upsert(store, TABLE_SENSOR_CHECK_ASKED, &row, problem)) {
        return false;
    }
    row_put_integer(&row, store->now.session_id);
    row_put_place(&row, check);
    row_put_place(&row, phase);
    row_put_real(&row, asked_mm);
    return row_write(&row, problem);
}

static bool write_number(struct store *store, int check, int ordinal,
                         const struct check_number *number, struct problem *problem)
{
    struct row row;
    if (!row_upsert(store, TABLE_SENSOR_CHECK_NUMBER, &row, problem)) {
        return false;
    }
    row_put_integer(&row, store->now.session_id);
    row_put_place(&row, check);
    row_put_place(&row, ordinal);
    row_put_text(&row, check_quantities[number->quantity].key);
    row_put_place(&row, number->channel);
    row_put_place(&row, number->phase);
    row_put_real(&row, number->value);
    row_put_text(&row, check_quantities[number->quantity].unit);
    return row_write(&row, problem);
}

bool checks_write(struct store *store, int index, const struct check_record *check,
                  struct problem *problem)
{
    struct row row;
    if (!row_upsert(store, TABLE_SENSOR_CHECK, &row, problem)) {
        return false;
    }
    row_put_integer(&row, store->now.session_id);
    row_put_place(&row, index);
    row_put_uuid(&row, &check->uuid);
    row_put_text(&row, word_of(&check_kind_words, check->kind));
    row_put_place(&row, check->placing);
    row_put_place(&row, check->build);
    row_put_place(&row, check->channel);
    row_put_place(&row, check->capture);
    row_put_integer(&row, check->phase_count);
    row_put_text(&row, word_of(&check_verdict_words, check->verdict));
    row_put_text(&row, check->words);
    if (!row_write(&row, problem)) {
        return false;
    }
    static const enum store_table owned[] = {TABLE_SENSOR_CHECK_ASKED, TABLE_SENSOR_CHECK_NUMBER};
    for (int i = 0; i < 2; i++) {
        if (!row_clear(store, owned[i], &row, problem)) {
            return false;
        }
        row_put_integer(&row, store->now.session_id);
        row_put_place(&row, index);
        if (!row_write(&row, problem)) {
            return false;
        }
    }
    for (int p = 0; p < CHECK_PHASES_MAX; p++) {
        if (isfinite(check->asked_mm[p]) &&
            !write_asked(store, index, p, check->asked_mm[p], problem)) {
            return false;
        }
    }
    for (int i = 0; i < check->number_count; i++) {
        if (!write_number(store, index, i, &check->number[i], problem)) {
            return false;
        }
    }
    return true;
}

/* ---- back ------------------------------------------------------------------------------------ */

static int word_in(struct row *row, const char *(*word)(int), int count, int otherwise)
{
    char text[64];
    row_take_text(row, text, sizeof text);
    for (int i = 0; i < count; i++) {
        if (text_equal(word(i), text)) {
            return i;
        }
    }
    return otherwise;
}

static const char *quantity_key(int quantity)
{
    return check_quantities[quantity].key;
}

bool checks_read(struct row *row, struct session_record *record, struct problem *problem)
{
    int index = row_take_place(row);
    if (index < 0 || index >= CHECKS_MAX) {
        return problem_set(problem,
                           "%s: the session has a check of place %d; this program holds %d",
                           row->store->path, index + 1, CHECKS_MAX);
    }
    struct check_record *check = &record->check[index];
    record->check_count = index >= record->check_count ? index + 1 : record->check_count;
    row_take_uuid(row, &check->uuid);
    check->kind = (enum check_kind)row_take_word(row, &check_kind_words, CHECK_STILL);
    check->placing = row_take_place(row);
    check->build = row_take_place(row);
    check->channel = row_take_place(row);
    check->capture = row_take_place(row);
    check->phase_count = (int)row_take_integer(row);
    check->verdict = (enum check_verdict)row_take_word(row, &check_verdict_words, CHECK_UNCERTAIN);
    row_take_text(row, check->words, sizeof check->words);
    bool sound = check->placing >= 0 && check->placing < record->placing_count &&
                 check->channel < CHANNELS_MAX && check->phase_count >= 0 &&
                 check->phase_count <= CHECK_PHASES_MAX;
    return sound || problem_set(problem, "%s: check %d points at what is not there",
                                row->store->path, index + 1);
}

/* The check a row belongs to, which must have been read; NULL with a problem. */
static struct check_record *owner(struct row *row, struct session_record *record,
                                  struct problem *problem)
{
    int index = row_take_place(row);
    if (index < 0 || index >= record->check_count) {
        problem_set(problem, "%s: a row belongs to check %d, which is not there", row->store->path,
                    index + 1);
        return NULL;
    }
    return &record->check[index];
}

bool checks_read_asked(struct row *row, struct session_record *record, struct problem *problem)
{
    struct check_record *check = owner(row, record, problem);
    int phase = check != NULL ? row_take_place(row) : -1;
    if (phase < 0 || phase >= CHECK_PHASES_MAX) {
        return check != NULL &&
               problem_set(problem, "%s: a check with a phase %d", row->store->path, phase + 1);
    }
    check->asked_mm[phase] = row_take_real(row, (double)NAN);
    return true;
}

bool checks_read_number(struct row *row, struct session_record *record, struct problem *problem)
{
    struct check_record *check = owner(row, record, problem);
    if (check == NULL) {
        return false;
    }
    row_skip(row); /* ordinal: rows come in its order */
    struct check_number number = {.quantity = CHECK_RANGE};
    int quantity = word_in(row, quantity_key, CHECK_QUANTITIES, -1);
    number.channel = row_take_place(row);
    number.phase = row_take_place(row);
    number.value = row_take_real(row, (double)NAN);
    row_skip(row); /* unit */
    if (quantity >= 0 && number.channel >= 0 && number.channel < CHANNELS_MAX &&
        check->number_count < CHECK_NUMBERS_MAX) {
        number.quantity = (enum check_quantity)quantity; /* one not known is a later version's */
        check->number[check->number_count++] = number;
    }
    return true;
}
