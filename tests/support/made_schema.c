/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/made_schema.h"

#include "analysis/hold_health.h"
#include "base/text.h"
#include "measure/hold_measures.h"

/* One object's members, some rows of a table. */
struct rows {
    const struct hold_measure *row;
    int count;
    bool (*wanted)(const struct hold_measure *row);
};

static bool is_band(const struct hold_measure *row)
{
    return row->group == HOLD_BAND;
}

static bool is_no_band(const struct hold_measure *row)
{
    return row->group != HOLD_BAND;
}

static bool is_any(const struct hold_measure *row)
{
    return row != NULL;
}

static void put_type(FILE *out, const struct hold_measure *row)
{
    if (row->member.kind == MEMBER_YES) {
        fputs("\"type\": \"boolean\"", out);
    } else if (row->member.kind == MEMBER_NUMBER) {
        fprintf(out, "\"$ref\": \"#/$defs/%s\"",
                text_equal(row->unit, "share") ? "share_or_null" : "number_or_null");
    } else {
        fputs("\"$ref\": \"#/$defs/count\"", out);
    }
}

static void put_names(FILE *out, const struct rows *rows, const char *between)
{
    for (int i = 0; i < rows->count; i++) {
        if (rows->wanted(&rows->row[i])) {
            fprintf(out, "%s\"%s\"", between, rows->row[i].key);
            between = ", ";
        }
    }
}

static void put_properties(FILE *out, const struct rows *rows, int indent, const char *between)
{
    for (int i = 0; i < rows->count; i++) {
        const struct hold_measure *row = &rows->row[i];
        if (rows->wanted(row)) {
            fprintf(out, "%s%*s\"%s\": { ", between, indent, "", row->key);
            put_type(out, row);
            fprintf(out, ", \"description\": \"%s\" }", row->words);
            between = ",\n";
        }
    }
}

/* An object within the definition, or null. */
static void put_object(FILE *out, const char *name, const char *words, const struct rows *rows)
{
    fprintf(out,
            ",\n        \"%s\": {\n          \"type\": [\"object\", \"null\"],\n"
            "          \"description\": \"%s\",\n          \"additionalProperties\": false,\n"
            "          \"required\": [",
            name, words);
    put_names(out, rows, "");
    fputs("],\n          \"properties\": {\n", out);
    put_properties(out, rows, 12, "");
    fputs("\n          }\n        }", out);
}

static void put_summary(FILE *out)
{
    const struct rows own = {hold_measures, hold_measure_count, is_no_band};
    const struct rows band = {hold_measures, hold_measure_count, is_band};
    const struct rows sensor = {sensor_measures, sensor_measure_count, is_any};
    fputs("      \"type\": \"object\",\n"
          "      \"description\": \"one channel of one hold, as heights; null where there is not "
          "enough for the number\",\n"
          "      \"additionalProperties\": false,\n"
          "      \"required\": [\"channel\", \"outcome\"",
          out);
    put_names(out, &own, ", ");
    fputs(", \"band\", \"sensor\"],\n      \"properties\": {\n"
          "        \"channel\": { \"$ref\": \"#/$defs/channel_name\" },\n"
          "        \"outcome\": { \"type\": \"string\", \"description\": \"'ok', or why there are "
          "no numbers\" }",
          out);
    put_properties(out, &own, 8, ",\n");
    put_object(out, "band", "how the band was kept", &band);
    put_object(out, "sensor", "how the sensor was within the hold", &sensor);
    fputs("\n      }\n", out);
}

static const struct {
    const char *first_line;
    void (*put)(FILE *out);
} definitions[] = {{"    \"summary\": {\n", put_summary}};
#define DEFINITIONS (sizeof definitions / sizeof definitions[0])

bool schema_made(const char *line)
{
    for (size_t i = 0; i < DEFINITIONS; i++) {
        if (text_equal(line, definitions[i].first_line)) {
            return true;
        }
    }
    return false;
}

void schema_put(const char *line, FILE *out)
{
    for (size_t i = 0; i < DEFINITIONS; i++) {
        if (text_equal(line, definitions[i].first_line)) {
            fputs(line, out);
            definitions[i].put(out);
            fputs("    },\n", out);
        }
    }
}
