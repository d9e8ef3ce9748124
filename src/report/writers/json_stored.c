/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* JSON of records, by the tables of what is stored of them. */
#include "report/digest.h"
#include "report/json_parts.h"

#include <string.h>

static const struct stored_field *column_of(enum stored_table_id id, const char *key, size_t length)
{
    const struct stored_table *table = stored_tables[id];
    for (int i = 0; i < table->field_count; i++) {
        if (strlen(table->field[i].key) == length &&
            memcmp(table->field[i].key, key, length) == 0) {
            return &table->field[i];
        }
    }
    return NULL;
}

/* Setups and holds go by their numbers, channels by their names. */
static void put_value(struct json_writer *json, const struct json_row *row,
                      const struct stored_field *field)
{
    struct stored_value value;
    stored_value(field, row->of, row->index, &value);
    bool place = field->type == STORED_PLACE && value.is == STORED_IS_INTEGER;
    int64_t index = value.integer - 1;
    if (place && field->has_most) {
        json_string(json, row->placing != NULL ? row->placing->channel[index].name : NULL);
    } else if (place && field->of == TABLE_SETUP) {
        json_integer(json, row->record->setup[index].number);
    } else if (place && field->of == TABLE_HOLD) {
        json_integer(json, row->record->hold[index].number);
    } else if (field->type == STORED_TRUTH) {
        json_boolean(json, value.integer != 0);
    } else if (value.is == STORED_IS_INTEGER) {
        json_integer(json, value.integer);
    } else if (value.is == STORED_IS_REAL) {
        json_number(json, value.real);
    } else {
        json_string(json, value.is == STORED_IS_TEXT ? value.text : NULL);
    }
}

void json_columns(struct json_writer *json, const struct json_row *row, const char *columns)
{
    const struct stored_table *table = stored_tables[row->table];
    for (int i = 0; columns == NULL && i < table->field_count; i++) {
        if (strcmp(table->field[i].key, STORED_UNDONE) != 0) { /* of none that is here */
            json_name(json, table->field[i].key);
            put_value(json, row, &table->field[i]);
        }
    }
    for (const char *next = columns; next != NULL && *next != '\0';) {
        char name[32];
        size_t length = strcspn(next, " "), named = strcspn(next, "= ");
        const char *key = next[named] == '=' ? next + named + 1 : next;
        snprintf(name, sizeof name, "%.*s", (int)named, next);
        json_name(json, name);
        put_value(json, row, column_of(row->table, key, (size_t)(next + length - key)));
        next += length + strspn(next + length, " ");
    }
}

struct json_row json_row(const struct report_input *input, enum stored_table_id id, int place)
{
    const struct stored_table *table = stored_tables[id];
    struct json_row row = {.record = input->record,
                           .table = id,
                           .of = (const char *)input->record + table->offset +
                                 (size_t)place * table->size};
    const struct stored_field *build = column_of(id, "build", strlen("build"));
    const struct stored_field *hold = column_of(id, "hold", strlen("hold"));
    struct stored_value found;
    if (build != NULL) {
        stored_value(build, row.of, 0, &found);
        row.placing = digest_placing(input, (int)found.integer - 1);
    } else if (hold != NULL) { /* its channels are those of its hold */
        stored_value(hold, row.of, 0, &found);
        row.placing = found.integer > 0 && found.integer <= input->record->hold_count
                          ? digest_placing(input, input->record->hold[found.integer - 1].build)
                          : NULL;
    }
    return row;
}

void json_member_place(struct json_writer *json, const char *name, int index)
{
    json_name(json, name);
    if (index < 0) {
        json_null(json);
    } else {
        json_integer(json, index + 1);
    }
}

void json_record_array(struct json_writer *json, const struct report_input *input, const char *name,
                       enum stored_table_id id, bool numbered)
{
    int count = 0;
    memcpy(&count, (const char *)input->record + stored_tables[id]->count_offset, sizeof count);
    json_array_member(json, name);
    for (int i = 0; i < count; i++) {
        struct json_row row = json_row(input, id, i);
        json_object_begin(json);
        if (numbered) {
            json_member_place(json, "number", i);
        }
        json_columns(json, &row, NULL);
        json_object_end(json);
    }
    json_array_end(json);
}
