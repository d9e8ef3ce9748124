/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "fields.h"
#include "session_row.h"

/* A session's records, by the tables of fields: table after table, in the order of their places. A
 * place is the index in the record's array plus one. */

struct loading {
    struct session_record *record;
    struct session_header *header; /* the session's own row, until all is read */
    struct problem *problem;
};

static void *member(struct loading *loading, size_t offset)
{
    return (char *)loading->record + offset;
}

/* The record at a place of a table; place is of no matter where there is one at most. */
static void *element(struct loading *loading, enum stored_table_id id, int place)
{
    const struct stored_table *table = stored_tables[id];
    if (id == TABLE_SESSION) {
        return loading->header;
    }
    return member(loading,
                  table->offset + (table->shape == SHAPE_RECORD ? (size_t)place * table->size : 0));
}

static int *record_count(struct loading *loading, enum stored_table_id id)
{
    return member(loading, stored_tables[id]->count_offset);
}

static bool not_there(struct row *row, const char *what, int index, struct problem *problem)
{
    return problem_set(problem, "%s: a row belongs to %s %d, which is not there", row->store->path,
                       what, index + 1);
}

static enum field_taken take_fields(struct row *row, const struct stored_table *table, void *base,
                                    int index, struct problem *problem)
{
    enum field_taken taken = FIELD_TAKEN;
    for (int i = 0; i < table->field_count && taken == FIELD_TAKEN; i++) {
        taken = field_take(row, &table->field[i], base, index, problem);
    }
    return taken;
}

/* A check is of sensors that were placed, and its phases fit. */
static bool is_sound(const struct loading *loading, enum stored_table_id id, int place)
{
    if (id != TABLE_SENSOR_CHECK) {
        return true;
    }
    const struct check_record *check = &loading->record->check[place];
    return check->placing >= 0 && check->placing < loading->record->placing_count &&
           check->phase_count >= 0 && check->phase_count <= CHECK_PHASES_MAX;
}

static bool read_record(struct row *row, enum stored_table_id id, struct loading *loading)
{
    const struct stored_table *table = stored_tables[id];
    int place = 0;
    if (table->shape == SHAPE_ONE) {
        *(bool *)member(loading, table->count_offset) = true;
    } else {
        int *count = record_count(loading, id);
        place = row_take_place(row);
        if (place < 0 || place >= table->most) {
            return problem_set(loading->problem,
                               "%s: the session has a %s of place %d; this program holds %d",
                               row->store->path, table->what, place + 1, table->most);
        }
        *count = place >= *count ? place + 1 : *count;
    }
    switch (take_fields(row, table, element(loading, id, place), 0, loading->problem)) {
    case FIELD_TAKEN:
        if (is_sound(loading, id, place)) {
            return true;
        }
        break;
    case FIELD_UNKNOWN:
        break;
    case FIELD_REFUSED:
        return false;
    }
    return problem_set(loading->problem, "%s: %s %d points at what is not there", row->store->path,
                       table->what, place + 1);
}

static bool read_owned(struct row *row, enum stored_table_id id, struct loading *loading)
{
    const struct stored_table *table = stored_tables[id], *owner = stored_tables[table->owner];
    const struct stored_field *key = &table->key[table->key_count - 1];
    int place = table->key_count > 1 ? row_take_place(row) : 0;
    if (owner->shape == SHAPE_RECORD &&
        (place < 0 || place >= *record_count(loading, table->owner))) {
        return not_there(row, owner->what, place, loading->problem);
    }
    void *base = element(loading, table->owner, place);
    int *count = table->counted ? (int *)(void *)((char *)base + table->count_offset) : NULL;
    int index = field_take_key(row, key);
    if (index < 0 && key->type == STORED_KEY) {
        return true; /* a later program's */
    }
    if (table->appended && count != NULL) {
        index = *count; /* rows come in the order of their key */
        if (index >= table->most) {
            return true;
        }
    }
    if (index < 0 || index >= table->most) {
        return not_there(row, key->key, index, loading->problem);
    }
    enum field_taken taken = take_fields(row, table, base, index, loading->problem);
    if (count != NULL && taken == FIELD_TAKEN && index >= *count) {
        *count = index + 1;
    }
    return taken != FIELD_REFUSED;
}

static bool read_table(struct store *store, enum stored_table_id id, int64_t session_id,
                       struct loading *loading)
{
    struct row row;
    bool failed = false;
    if (!row_select(store, id, &row, loading->problem)) {
        return false;
    }
    row_put_integer(&row, session_id);
    while (row_next(&row, &failed, loading->problem)) {
        row_skip(&row); /* session_id */
        if (!(stored_tables[id]->shape == SHAPE_OWNED ? read_owned : read_record)(&row, id,
                                                                                  loading)) {
            row_end(&row);
            return false;
        }
    }
    return !failed;
}

bool store_load(struct store *store, int64_t id, struct session_record *record,
                struct problem *problem)
{
    struct session_header header;
    struct loading loading = {record, &header, problem};
    /* one view of the file over all tables, also while a session is being recorded */
    bool own = sqlite3_get_autocommit(store->db) != 0;
    if (own && !store_execute(store, "BEGIN", "reading", problem)) {
        return false;
    }
    session_record_clear(record);
    session_record_header(record, &header);
    bool done = session_row_read(store, id, &header, record, problem);
    for (int table = TABLE_SESSION + 1; done && table < TABLE_COMMAND; table++) {
        done = read_table(store, (enum stored_table_id)table, id, &loading);
    }
    session_record_take_header(record, &header);
    if (own) {
        sqlite3_exec(store->db, "COMMIT", NULL, NULL, NULL);
    }
    return done;
}

bool store_commands(struct store *store, int64_t id, command_sink *sink, void *context,
                    struct problem *problem)
{
    struct row row;
    struct command_record command;
    bool failed = false;
    if (!row_select(store, TABLE_COMMAND, &row, problem)) {
        return false;
    }
    row_put_integer(&row, id);
    while (row_next(&row, &failed, problem)) {
        row_skip(&row);
        command.ordinal = row_take_integer(&row);
        take_fields(&row, stored_tables[TABLE_COMMAND], &command, 0, problem);
        if (!sink(context, &command, problem)) {
            row_end(&row);
            return false;
        }
    }
    return !failed;
}
