/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "schema.h"

#include "base/text.h"

#include <stdio.h>

/* The tables of a session's records, from their fields. A record is known by its session and its
 * place there (1, 2, ...), and across stores by its uuid. References within a session are places,
 * and deferred, so that records may come in any order within a commit. NULL is 'not known' or
 * 'none'. The CHECKs say only what holds for every record the program can make: a row that is
 * refused while a session runs would be a reading lost. */

struct statement {
    char *sql;
    size_t size, used;
};

static void add(struct statement *statement, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static void add(struct statement *statement, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    text_append_list(statement->sql, statement->size, &statement->used, format, arguments);
    va_end(arguments);
}

static void add_words(struct statement *statement, const struct stored_field *field)
{
    const char *between = "";
    add(statement, " CHECK (%s IN (", field->key);
    for (int i = 0; i < field->list->count; i++) {
        const char *word = word_of(field->list, field->list->first + i);
        if (word != NULL) {
            add(statement, "%s'%s'", between, word);
            between = ", ";
        }
    }
    add(statement, "))");
}

static void add_limits(struct statement *statement, const struct stored_field *field)
{
    switch (field->type) {
    case STORED_UUID:
        add(statement, " CHECK (length(%s) = 36)", field->key);
        break;
    case STORED_MOMENT:
        add(statement, " CHECK (%s GLOB '*[0-9]T[0-9]*Z')", field->key);
        break;
    case STORED_TRUTH:
        add(statement, " CHECK (%s IN (0, 1))", field->key);
        break;
    case STORED_WORD:
    case STORED_ANSWER:
        if (!field->any_word) {
            add_words(statement, field);
        }
        break;
    default:
        if (field->has_least && field->has_most) {
            add(statement, " CHECK (%s BETWEEN %.0f AND %.0f)", field->key, field->least,
                field->most);
        } else if (field->has_least) {
            add(statement, " CHECK (%s >= %.0f)", field->key, field->least);
        }
        break;
    }
}

static void add_column(struct statement *statement, const struct stored_table *table,
                       const struct stored_field *field)
{
    /* what a session says of rider and bike has the identifier of the session before */
    bool unique =
        field->type == STORED_UUID && (table->shape == SHAPE_RECORD || table->key == NULL);
    unique = unique && table->name != stored_tables[TABLE_SESSION_RIDER]->name &&
             table->name != stored_tables[TABLE_SESSION_BIKE]->name;
    add(statement, "%s %s%s%s%s", field->key, stored_type_word(field),
        field->optional ? "" : " NOT NULL", field->defaulted ? " DEFAULT 0" : "",
        unique ? " UNIQUE" : "");
    add_limits(statement, field);
    if (field->references != NULL) {
        add(statement, " REFERENCES %s", field->references);
    }
}

static void add_reference(struct statement *statement, const char *column, const char *table)
{
    add(statement,
        ", FOREIGN KEY (session_id, %s) REFERENCES %s(session_id, place) DEFERRABLE INITIALLY "
        "DEFERRED",
        column, table);
}

static void add_primary_key(struct statement *statement, const struct stored_table *table)
{
    add(statement, ", PRIMARY KEY (session_id");
    for (int i = 0; i < table->key_count; i++) {
        add(statement, ", %s", table->key[i].key);
    }
    add(statement, ")");
}

static bool makes(const struct store_migration *step, enum stored_table_id id, const char *column)
{
    return step->sql == NULL && step->table == id &&
           (column == NULL ? step->column == NULL
                           : step->column != NULL && text_equal(step->column, column));
}

/* The migration that made the table (column NULL), or a column of it; NULL: it was there first. */
static const struct store_migration *made_by(enum stored_table_id id, const char *column)
{
    for (int i = 0; i < store_migration_count; i++) {
        if (makes(&store_migrations[i], id, column)) {
            return &store_migrations[i];
        }
    }
    return NULL;
}

/* In the order in which a store that was brought up has them: what came later stands behind,
 * wherever its row is. */
static void add_columns(struct statement *statement, enum stored_table_id id, int64_t version)
{
    const struct stored_table *table = stored_tables[id];
    const struct stored_field *field;
    for (int i = 0; (field = stored_column(table, i)) != NULL; i++) {
        if (made_by(id, field->key) == NULL) {
            add(statement, ", ");
            add_column(statement, table, field);
        }
    }
    for (int m = 0; m < store_migration_count; m++) {
        for (int i = 0; (field = stored_column(table, i)) != NULL; i++) {
            if (store_migrations[m].from < version && makes(&store_migrations[m], id, field->key)) {
                add(statement, ", ");
                add_column(statement, table, field);
            }
        }
    }
}

void store_table_sql(enum stored_table_id id, char *sql, size_t size)
{
    store_table_sql_of(id, STORE_VERSION, sql, size);
}

void store_table_sql_of(enum stored_table_id id, int64_t version, char *sql, size_t size)
{
    const struct stored_table *table = stored_tables[id];
    const struct store_migration *made = made_by(id, NULL);
    bool own = id == TABLE_SESSION, one = !own && table->shape == SHAPE_ONE;
    struct statement statement = {sql, size, 0};
    sql[0] = '\0';
    if (made != NULL && made->from >= version) {
        return;
    }
    add(&statement, "CREATE TABLE %s (%s", table->name,
        own ? "id INTEGER PRIMARY KEY AUTOINCREMENT" : "session_id INTEGER NOT NULL");
    if (!own) {
        add(&statement, "%s REFERENCES session(id) ON DELETE CASCADE", one ? " PRIMARY KEY" : "");
    }
    add_columns(&statement, id, version);
    if (table->shape == SHAPE_OWNED) {
        add_primary_key(&statement, table);
        if (table->key_count > 1) {
            add_reference(&statement, table->key[0].key, stored_tables[table->owner]->name);
        }
    }
    for (int i = 0; i < table->field_count; i++) {
        if (table->field[i].of != TABLE_SESSION) {
            add_reference(&statement, table->field[i].key, stored_tables[table->field[i].of]->name);
        }
    }
    if (table->shape == SHAPE_RECORD) {
        add_primary_key(&statement, table);
    }
    add(&statement, own ? ", CHECK (last_n >= first_n - 1)) STRICT" : ") STRICT, WITHOUT ROWID");
}

void store_column_sql(enum stored_table_id id, const char *key, char *sql, size_t size)
{
    const struct stored_table *table = stored_tables[id];
    struct statement statement = {sql, size, 0};
    for (int i = 0; i < table->field_count; i++) {
        if (text_equal(table->field[i].key, key)) {
            add(&statement, "ALTER TABLE %s ADD COLUMN ", table->name);
            add_column(&statement, table, &table->field[i]);
        }
    }
}
