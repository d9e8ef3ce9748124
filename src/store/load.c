/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "damage.h"
#include "fields.h"
#include "session_row.h"
#include "sums.h"

#include "base/text.h"
#include "record/sound.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* A session's records, by the tables of fields: table after table, in the order of their places. A
 * place is the index in the record's array plus one. Nothing in a row is believed: what can't be
 * is noted, and taken out when all is read (record/sound.h). */

#define ORPHANS_MOST 20 /* of one table; behind so many the rest of it is not read */
#define OWNERS_MOST 1000

struct loading {
    struct store *store;
    int64_t session_id;
    int64_t last_sample;
    bool summed; /* its rows have checksums */
    struct session_record *record;
    struct session_header *header; /* the session's own row, until all is read */
    struct record_faults *faults;
    int orphans;           /* of the table being read */
    int rows[OWNERS_MOST]; /* of each owner in it */
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

/* Each field; FIELD_DAMAGED at the first that is, or FIELD_UNKNOWN. */
static enum field_taken take_fields(struct loading *loading, struct row *row,
                                    const struct stored_table *table, void *base, int index,
                                    char why[FIELD_WHY_SIZE])
{
    for (int i = 0; i < table->field_count; i++) {
        enum field_taken taken =
            field_take(row, &table->field[i], base, index, loading->last_sample, why);
        if (taken == FIELD_CLEANED) {
            damage_tell(loading->store, loading->session_id,
                        "in a row of %s, %s: they were left out", table->name, why);
        } else if (taken != FIELD_TAKEN) {
            return taken;
        }
    }
    return FIELD_TAKEN;
}

/* Gives whether the table is read on. */
static bool too_far(struct loading *loading, const struct stored_table *table, int place)
{
    if (place >= table->most) {
        damage_tell(loading->store, loading->session_id,
                    "rows of %s from place %d on are left out: this program holds %d of them",
                    table->name, place + 1, table->most);
        return false;
    }
    damage_tell(loading->store, loading->session_id,
                "a row of %s is left out: its place is out of range", table->name);
    return ++loading->orphans < ORPHANS_MOST;
}

static bool read_record(struct row *row, enum stored_table_id id, struct loading *loading)
{
    const struct stored_table *table = stored_tables[id];
    char why[FIELD_WHY_SIZE] = "it is of a kind that this program doesn't know";
    int place = table->shape == SHAPE_ONE ? 0 : row_take_place(row);
    if (place < 0 || place >= table->most) {
        return too_far(loading, table, place);
    }
    bool taken =
        take_fields(loading, row, table, element(loading, id, place), 0, why) == FIELD_TAKEN;
    if (table->shape == SHAPE_ONE) {
        bool stands = taken && !stored_is_undone(table, element(loading, id, 0));
        *(bool *)member(loading, table->count_offset) = stands;
        if (!stands) {
            memset(element(loading, id, 0), 0, table->size);
        }
        if (!taken) {
            damage_tell(loading->store, loading->session_id, "its %s is left out: %s", table->what,
                        why);
        }
        return true;
    }
    int *count = record_count(loading, id);
    *count = place >= *count ? place + 1 : *count;
    record_fault_there(loading->faults, id, place);
    if (!taken) {
        record_fault(loading->faults, id, place, why);
    }
    return true;
}

/* What is wrong with a row is wrong with what owns it. */
static void blame(struct loading *loading, const struct stored_table *table, int place,
                  const char *why)
{
    char sentence[FIELD_WHY_SIZE + 80];
    if (stored_tables[table->owner]->shape == SHAPE_RECORD) {
        snprintf(sentence, sizeof sentence, "in its row of %s, %s", table->name, why);
        record_fault(loading->faults, table->owner, place, sentence);
    } else {
        damage_tell(loading->store, loading->session_id, "a row of %s is left out: %s", table->name,
                    why);
    }
}

/* A key may be of a later program, which put it into the table that it refers to. */
static bool is_known_elsewhere(struct loading *loading, const struct stored_field *key,
                               sqlite3_stmt *statement, int column)
{
    struct row row;
    bool failed = false, known = false;
    if (key->references == NULL ||
        !row_prepare(loading->store, "SELECT 1 FROM bike_measure WHERE key = ?", &row, NULL)) {
        return false;
    }
    sqlite3_bind_value(row.statement, 1, sqlite3_column_value(statement, column));
    known = row_next(&row, &failed, NULL);
    if (known) {
        row_end(&row);
    }
    return known;
}

static bool is_there(struct loading *loading, enum stored_table_id owner, int place)
{
    return stored_tables[owner]->shape != SHAPE_RECORD ||
           (place >= 0 && place < *record_count(loading, owner));
}

static bool read_owned(struct row *row, enum stored_table_id id, struct loading *loading)
{
    const struct stored_table *table = stored_tables[id];
    const struct stored_field *key = &table->key[table->key_count - 1];
    char why[FIELD_WHY_SIZE] = "it is of a kind that this program doesn't know";
    int place = table->key_count > 1 ? row_take_place(row) : 0;
    if (!is_there(loading, table->owner, place)) {
        damage_tell(loading->store, loading->session_id,
                    "a row of %s belongs to %s %d, which is not there: it is left out", table->name,
                    stored_tables[table->owner]->what, place + 1);
        return ++loading->orphans < ORPHANS_MOST;
    }
    void *base = element(loading, table->owner, place);
    int *count = table->counted ? (int *)(void *)((char *)base + table->count_offset) : NULL;
    int key_column = row->column, index = field_take_key(row, key);
    if (index < 0 && key->type == STORED_KEY &&
        is_known_elsewhere(loading, key, row->statement, key_column)) {
        record_fault_later(loading->faults, table->owner, place);
        return true; /* a later program's */
    }
    if (table->appended && count != NULL && index >= 0) {
        index = *count; /* rows come in the order of their key */
    }
    if (index < 0 || index >= table->most) {
        snprintf(why, sizeof why, "its %s is out of range", key->key);
        blame(loading, table, place, why);
        return ++loading->orphans < ORPHANS_MOST;
    }
    enum field_taken taken = take_fields(loading, row, table, base, index, why);
    if (taken != FIELD_TAKEN) {
        blame(loading, table, place, why);
        return true;
    }
    if (count != NULL && index >= *count) {
        *count = index + 1;
    }
    loading->rows[place < OWNERS_MOST ? place : 0]++;
    return true;
}

/* Rows that are counted stand one behind the other. */
static void look_for_gaps(struct loading *loading, enum stored_table_id id)
{
    const struct stored_table *table = stored_tables[id];
    if (table->shape != SHAPE_OWNED || !table->counted ||
        stored_tables[table->owner]->shape != SHAPE_RECORD) {
        return;
    }
    for (int i = 0; i < *record_count(loading, table->owner); i++) {
        const char *base = element(loading, table->owner, i);
        int count = *(const int *)(const void *)(base + table->count_offset);
        if (count != loading->rows[i]) {
            blame(loading, table, i, "one is missing");
        }
    }
}

static bool read_table(struct loading *loading, enum stored_table_id id, struct problem *problem)
{
    const struct stored_table *table = stored_tables[id];
    struct row row;
    bool failed = false;
    if (loading->store->passed_over[id]) {
        damage_tell(loading->store, loading->session_id, "rows of %s are left out", table->name);
        return true;
    }
    if (!row_select(loading->store, id, &row, problem)) {
        return false;
    }
    loading->orphans = 0;
    memset(loading->rows, 0, sizeof loading->rows);
    row_put_integer(&row, loading->session_id);
    while (row_next(&row, &failed, problem)) {
        row_skip(&row); /* session_id */
        if (!(table->shape == SHAPE_OWNED ? read_owned : read_record)(&row, id, loading)) {
            row_end(&row);
            break;
        }
    }
    if (failed && !store_is_corrupt(loading->store)) {
        return false;
    }
    if (failed) {
        damage_tell(loading->store, loading->session_id,
                    "rows of %s can't be read: the file is damaged where they are", table->name);
    }
    look_for_gaps(loading, id);
    return true;
}

static void on_damage(void *context, const struct record_damage *damage)
{
    struct loading *loading = context;
    char span[DAMAGE_SPAN_SIZE];
    damage_span(loading->store, loading->session_id, damage->first_sample, damage->last_sample,
                span, sizeof span);
    damage_tell(loading->store, loading->session_id, "%s of place %d%s %s: %s",
                stored_tables[damage->table]->what, damage->index + 1, span,
                damage->kept ? "has lost something" : "is left out", damage->why);
}

static bool load(struct loading *loading, struct problem *problem)
{
    bool done = session_row_read(loading->store, loading->session_id, loading->header,
                                 loading->record, problem);
    loading->last_sample = loading->record->last_sample;
    for (int table = TABLE_SESSION + 1; done && table < TABLE_COMMAND; table++) {
        done = read_table(loading, (enum stored_table_id)table, problem);
    }
    done = done && sum_compare_records(loading->store, loading->session_id, loading->record,
                                       loading->header, loading->faults, problem);
    if (done) {
        record_make_sound(loading->record, loading->faults, on_damage, loading);
    }
    session_record_take_header(loading->record, loading->header);
    return done;
}

bool store_load(struct store *store, int64_t id, struct session_record *record,
                struct problem *problem)
{
    struct session_header header;
    struct loading loading = {.store = store,
                              .session_id = id,
                              .record = record,
                              .header = &header,
                              .faults = record_faults_create()};
    /* one view of the file over all tables, also while a session is being recorded */
    bool own = sqlite3_get_autocommit(store->db) != 0;
    if (loading.faults == NULL || (own && !store_execute(store, "BEGIN", "reading", problem))) {
        record_faults_destroy(loading.faults);
        return loading.faults == NULL ? problem_set(problem, "there is no memory left") : false;
    }
    int64_t begun = damage_begin(store);
    session_record_clear(record);
    session_record_header(record, &header);
    bool done = load(&loading, problem) && damage_end(store, begun, problem);
    if (own) {
        sqlite3_exec(store->db, "COMMIT", NULL, NULL, NULL);
    }
    record_faults_destroy(loading.faults);
    return done;
}

/* ---- the log -----------------------------------------------------------------------------------
 */

static bool read_command(struct loading *loading, struct row *row, int64_t expected,
                         struct command_record *command)
{
    char why[FIELD_WHY_SIZE];
    row_skip(row);
    command->ordinal = row_take_integer(row);
    if (command->ordinal != expected) {
        damage_tell(loading->store, loading->session_id,
                    "the log has no command %lld: from there on it is left out",
                    (long long)expected);
        return false;
    }
    if (take_fields(loading, row, stored_tables[TABLE_COMMAND], command, 0, why) != FIELD_TAKEN) {
        damage_tell(loading->store, loading->session_id,
                    "command %lld of the log: %s: from there on it is left out",
                    (long long)command->ordinal, why);
        return false;
    }
    int same = 1;
    if (loading->summed &&
        !sum_compare_command(loading->store, loading->session_id, command, &same, NULL)) {
        same = -1;
    }
    if (same != 1) {
        damage_tell(loading->store, loading->session_id,
                    "command %lld of the log is not what was written: from there on it is left out",
                    (long long)command->ordinal);
    }
    return same == 1;
}

/* Commands that were summed and are gone from the log's end. */
static bool look_behind_log(struct loading *loading, int64_t expected, struct problem *problem)
{
    int64_t last = 0;
    if (!loading->summed) {
        return true;
    }
    bool done = store_number(loading->store,
                             "SELECT max(place) FROM record_sum WHERE session_id = ? AND"
                             " kind = 'command'",
                             loading->session_id, &last, problem);
    if (done && last >= expected) {
        damage_tell(loading->store, loading->session_id, "the log ends before command %lld",
                    (long long)last);
    }
    return done;
}

static bool read_log(struct loading *loading, command_sink *sink, void *context,
                     struct problem *problem)
{
    struct store *store = loading->store;
    struct row row;
    struct command_record command;
    bool failed = false, whole = true;
    int64_t expected = 1;
    if (!row_select(store, TABLE_COMMAND, &row, problem)) {
        return false;
    }
    row_put_integer(&row, loading->session_id);
    while (whole && row_next(&row, &failed, problem)) {
        whole = expected <= COMMANDS_MAX && read_command(loading, &row, expected, &command);
        if (expected > COMMANDS_MAX) {
            damage_tell(store, loading->session_id,
                        "the log is longer than %d commands: the rest is left out", COMMANDS_MAX);
        }
        if (whole && !sink(context, &command, problem)) {
            row_end(&row);
            return false;
        }
        if (!whole) {
            row_end(&row);
        }
        expected++;
    }
    if (failed && !store_is_corrupt(store)) {
        return false;
    }
    if (failed) {
        damage_tell(store, loading->session_id,
                    "the log can't be read behind command %lld: the file is damaged there",
                    (long long)expected - 1);
    }
    return failed || !whole || look_behind_log(loading, expected, problem);
}

bool store_commands(struct store *store, int64_t id, command_sink *sink, void *context,
                    struct problem *problem)
{
    struct loading loading = {.store = store, .session_id = id};
    int64_t first_n = 1, last_n = 0, begun = damage_begin(store);
    if (store->passed_over[TABLE_COMMAND]) {
        damage_tell(store, id, "its log is passed over");
        return true;
    }
    /* log and sums of one moment, also while a session is being recorded */
    bool own = sqlite3_get_autocommit(store->db) != 0;
    if (own && !store_execute(store, "BEGIN", "reading", problem)) {
        return false;
    }
    bool done = session_extent(store, id, &first_n, &last_n, problem) &&
                sum_is_kept(store, id, &loading.summed, problem);
    loading.last_sample = last_n - first_n + 1;
    done = done && read_log(&loading, sink, context, problem);
    if (own) {
        sqlite3_exec(store->db, "COMMIT", NULL, NULL, NULL);
    }
    return done && damage_end(store, begun, problem);
}

static bool pass_command(void *context, const struct command_record *command,
                         struct problem *problem)
{
    (void)context;
    (void)command;
    (void)problem;
    return true;
}

#define SAMPLES_A_TIME 4096

bool store_read_all(struct store *store, int64_t id, struct session_record *record,
                    struct problem *problem)
{
    bool done = store_load(store, id, record, problem) &&
                store_commands(store, id, pass_command, NULL, problem);
    for (int64_t first = 1; done && first <= record->last_sample; first += SAMPLES_A_TIME) {
        const struct sample *samples = NULL;
        size_t count = 0;
        done = store_samples(store, id, first, first + SAMPLES_A_TIME - 1, &samples, &count,
                             problem) &&
               store_go_ahead(store, (double)NAN);
    }
    return done;
}
