/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "fields.h"
#include "session_row.h"
#include "sums.h"

#include "record/stored_sum.h"

/* A record's row (inserted, or updated where it is there already) and the rows it owns, by the
 * tables of fields: so writing a record twice changes nothing. */

static void put_fields(struct row *row, const struct stored_table *table, const void *base,
                       int index)
{
    for (int i = 0; i < table->field_count; i++) {
        field_put(row, &table->field[i], base, index);
    }
}

/* Rows of an owner go before they are written anew. */
static bool clear_owned(struct store *store, enum stored_table_id id, int64_t session_id, int place,
                        struct problem *problem)
{
    struct row row;
    if (!row_clear(store, id, &row, problem)) {
        return false;
    }
    row_put_integer(&row, session_id);
    if (stored_tables[id]->key_count > 1) {
        row_put_place(&row, place);
    }
    return row_write(&row, problem);
}

bool store_write_owned(struct store *store, enum stored_table_id id, int64_t session_id, int place,
                       const void *owner, struct problem *problem)
{
    const struct stored_table *table = stored_tables[id];
    const struct stored_field *key = &table->key[table->key_count - 1];
    if (!clear_owned(store, id, session_id, place, problem)) {
        return false;
    }
    for (int index = 0; index < stored_owned_count(table, owner); index++) {
        struct row row;
        if (!stored_owned_is_kept(table, owner, index)) {
            continue;
        }
        if (!row_upsert(store, id, &row, problem)) {
            return false;
        }
        row_put_integer(&row, session_id);
        if (table->key_count > 1) {
            row_put_place(&row, place);
        }
        field_put_key(&row, key, index);
        put_fields(&row, table, owner, index);
        if (!row_write(&row, problem)) {
            return false;
        }
    }
    return true;
}

bool store_write_all_owned(struct store *store, enum stored_table_id owner, int place,
                           const void *base, struct problem *problem)
{
    for (int id = 0; id < STORED_TABLES; id++) {
        if (stored_tables[id]->shape == SHAPE_OWNED && stored_tables[id]->owner == owner &&
            !store_write_owned(store, (enum stored_table_id)id, store->now.session_id, place, base,
                               problem)) {
            return false;
        }
    }
    return true;
}

static bool write_record(struct store *store, enum stored_table_id id, const struct effect *effect,
                         struct problem *problem)
{
    const struct stored_table *table = stored_tables[id];
    struct row row;
    if (!row_upsert(store, id, &row, problem)) {
        return false;
    }
    row_put_integer(&row, store->now.session_id);
    if (table->shape == SHAPE_RECORD) {
        row_put_place(&row, effect->index);
    }
    put_fields(&row, table, &effect->record, 0);
    return row_write(&row, problem) &&
           store_write_all_owned(store, id, effect->index, &effect->record, problem) &&
           sum_write_record(store, id, store->now.session_id,
                            table->shape == SHAPE_RECORD ? effect->index : 0, &effect->record,
                            problem);
}

static bool write_one(struct store *store, const struct effect *effect, struct problem *problem)
{
    enum stored_table_id id = effect_table(effect->kind);
    if (id == TABLE_SESSION) {
        return session_row_write(store, &effect->record.session, problem);
    }
    if (store->now.session_id == 0) {
        return problem_set(problem, "a record came before its session");
    }
    if (!write_record(store, id, effect, problem)) {
        return false;
    }
    if (id == TABLE_PLACING) {
        store->now.channel_count = effect->record.placing.channel_count;
    }
    return stored_tables[id]->shape != SHAPE_ONE ||
           store_link_people(store, store->now.session_id, false, problem);
}

bool store_write_effect(struct store *store, const struct effect *effect, struct problem *problem)
{
    store->record_refused = false;
    if (write_one(store, effect, problem)) {
        return true;
    }
    store_rollback(store);
    return false;
}
