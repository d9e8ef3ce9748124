/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "database.h"

#include "base/text.h"

#include <stdio.h>
#include <string.h>

/* The statements that write and read records, from their tables of fields. */

enum { KIND_UPSERT = 1, KIND_SELECT, KIND_CLEAR, KIND_UPDATE, KIND_INSERT, KIND_EXTENT, KIND_SAME };

#define LIST_SIZE 1024

struct list {
    char text[LIST_SIZE];
    size_t used;
};

static void add(struct list *list, const char *text)
{
    text_append(list->text, sizeof list->text, &list->used, "%s%s", list->used == 0 ? "" : ", ",
                text);
}

static void list_keys(struct list *list, const struct stored_table *table)
{
    add(list, "session_id");
    for (int i = 0; i < table->key_count; i++) {
        add(list, table->key[i].key);
    }
}

/* Those that a record has, each as 'name', or 'name = value', or (value ending in '.') as 'name =
 * value.name'. */
static void list_fields(struct list *list, const struct stored_table *table, const char *value)
{
    for (int i = 0; i < table->field_count; i++) {
        const char *name = table->field[i].key;
        char text[128];
        if (table->field[i].type != STORED_KEPT) {
            bool of = value != NULL && value[strlen(value) - 1] == '.';
            snprintf(text, sizeof text, "%s%s%s%s", name, value != NULL ? " = " : "",
                     value != NULL ? value : "", of ? name : "");
            add(list, text);
        }
    }
}

static void upsert(const struct stored_table *table, char *sql, size_t size)
{
    struct list columns = {"", 0}, values = {"", 0}, keys = {"", 0}, set = {"", 0};
    list_keys(&keys, table);
    list_keys(&columns, table);
    list_fields(&columns, table, NULL);
    for (int i = -1; i < 0 || stored_column(table, i) != NULL; i++) {
        add(&values, "?");
    }
    list_fields(&set, table, "excluded.");
    snprintf(sql, size, "INSERT INTO %s (%s) VALUES (%s) ON CONFLICT (%s) DO UPDATE SET %s",
             table->name, columns.text, values.text, keys.text, set.text);
}

static void select_rows(const struct stored_table *table, char *sql, size_t size)
{
    struct list columns = {"", 0}, keys = {"", 0};
    list_keys(&keys, table);
    list_keys(&columns, table);
    list_fields(&columns, table, NULL);
    snprintf(sql, size, "SELECT %s FROM %s WHERE session_id = ? ORDER BY %s", columns.text,
             table->name, keys.text);
}

static void clear_rows(const struct stored_table *table, char *sql, size_t size)
{
    snprintf(sql, size,
             table->key_count > 1 ? "DELETE FROM %s WHERE session_id = ? AND %s = ?"
                                  : "DELETE FROM %s WHERE session_id = ?",
             table->name, table->key[0].key);
}

static void update_session(const struct stored_table *table, char *sql, size_t size)
{
    struct list set = {"", 0};
    list_fields(&set, table, "?");
    snprintf(sql, size, "UPDATE %s SET %s WHERE id = ?", table->name, set.text);
}

#define EXTENT "first_n, last_n, sample_count"

static void insert_session(const struct stored_table *table, char *sql, size_t size)
{
    struct list columns = {EXTENT, sizeof EXTENT - 1}, values = {"?, ?, ?", 7};
    list_fields(&columns, table, NULL);
    for (int i = 0; i < table->field_count; i++) {
        if (table->field[i].type != STORED_KEPT) {
            add(&values, "?");
        }
    }
    snprintf(sql, size, "INSERT INTO %s (%s) VALUES (%s)", table->name, columns.text, values.text);
}

static void select_extent(const struct stored_table *table, char *sql, size_t size)
{
    struct list columns = {EXTENT, sizeof EXTENT - 1};
    list_fields(&columns, table, NULL);
    snprintf(sql, size, "SELECT %s FROM %s WHERE id = ?", columns.text, table->name);
}

/* A session recorded again, by another version of the program, is the same. */
static void select_same(const struct stored_table *table, char *sql, size_t size)
{
    struct list columns = {"", 0};
    for (int i = 0; i < table->field_count; i++) {
        const struct stored_field *field = &table->field[i];
        if (field->type != STORED_KEPT && !text_equal(field->key, "version")) {
            add(&columns, field->key);
        }
    }
    add(&columns, "sample_count");
    snprintf(sql, size, "SELECT %s FROM %s WHERE id = ?", columns.text, table->name);
}

static void select_session(const struct stored_table *table, char *sql, size_t size)
{
    struct list columns = {"", 0};
    list_fields(&columns, table, NULL);
    snprintf(sql, size, "SELECT %s FROM %s WHERE id = ?", columns.text, table->name);
}

bool row_upsert(struct store *store, enum stored_table_id table, struct row *row,
                struct problem *problem)
{
    return row_prepare_table(store, table, upsert, KIND_UPSERT, row, problem);
}

bool row_select(struct store *store, enum stored_table_id table, struct row *row,
                struct problem *problem)
{
    return row_prepare_table(store, table, select_rows, KIND_SELECT, row, problem);
}

bool row_clear(struct store *store, enum stored_table_id table, struct row *row,
               struct problem *problem)
{
    return row_prepare_table(store, table, clear_rows, KIND_CLEAR, row, problem);
}

bool row_update_session(struct store *store, struct row *row, struct problem *problem)
{
    return row_prepare_table(store, TABLE_SESSION, update_session, KIND_UPDATE, row, problem);
}

bool row_select_session(struct store *store, struct row *row, struct problem *problem)
{
    return row_prepare_table(store, TABLE_SESSION, select_session, KIND_SELECT, row, problem);
}

bool row_insert_session(struct store *store, struct row *row, struct problem *problem)
{
    return row_prepare_table(store, TABLE_SESSION, insert_session, KIND_INSERT, row, problem);
}

bool row_select_session_extent(struct store *store, struct row *row, struct problem *problem)
{
    return row_prepare_table(store, TABLE_SESSION, select_extent, KIND_EXTENT, row, problem);
}

bool row_select_session_same(struct store *store, struct row *row, struct problem *problem)
{
    return row_prepare_table(store, TABLE_SESSION, select_same, KIND_SAME, row, problem);
}
