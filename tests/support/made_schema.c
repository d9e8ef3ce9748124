/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/made_schema.h"

#include "analysis/hold_health.h"
#include "base/text.h"
#include "bike/carrier.h"
#include "bike/fields.h"
#include "measure/hold_measures.h"
#include "record/enum_words.h"
#include "record/record.h"
#include "record/stored.h"
#include "rig/sample.h"
#include "say/wire.h"

#include <string.h>

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
            fprintf(out, ", \"description\": \"%s%s%s\" }", row->unit,
                    row->unit[0] != '\0' ? "; " : "", row->words);
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

/* What a recorded stream comes to, as one hold. */
static void put_measured(FILE *out)
{
    const struct rows own = {hold_measures, hold_measure_count, is_no_band};
    fputs("      \"type\": \"object\",\n"
          "      \"description\": \"one channel, in its own ranges; null where there is not enough "
          "for the number\",\n"
          "      \"additionalProperties\": false,\n"
          "      \"required\": [\"channel\", \"outcome\"",
          out);
    put_names(out, &own, ", ");
    fputs("],\n      \"properties\": {\n"
          "        \"channel\": { \"$ref\": \"#/$defs/channel_name\", \"description\": \"the "
          "sensor's; 'numbers': it has none\" },\n"
          "        \"outcome\": { \"type\": \"string\", \"description\": \"'ok', or why there are "
          "no numbers\" }",
          out);
    put_properties(out, &own, 8, ",\n");
    fputs("\n      }\n", out);
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
          "      \"required\": [\"channel\", \"outcome\", \"used\", \"why_not\"",
          out);
    put_names(out, &own, ", ");
    fputs(", \"band\", \"sensor\"],\n      \"properties\": {\n"
          "        \"channel\": { \"$ref\": \"#/$defs/channel_name\" },\n"
          "        \"outcome\": { \"type\": \"string\", \"description\": \"'ok', or why there are "
          "no numbers\" }",
          out);
    put_properties(out, &own, 8,
                   ",\n"
                   "        \"used\": { \"type\": \"boolean\", \"description\": \"in the "
                   "comparison of its kind, on this channel\" },\n"
                   "        \"why_not\": { \"type\": [\"string\", \"null\"], \"description\": "
                   "\"why it is not used; null: it is\" },\n");
    put_object(out, "band", "how the band was kept", &band);
    put_object(out, "sensor", "how the sensor was within the hold", &sensor);
    fputs("\n      }\n", out);
}

/* ---- numbers by the keys of a table --- */

static void put_keyed_begin(FILE *out, const char *words)
{
    fprintf(out,
            "      \"type\": \"object\",\n      \"description\": \"%s\",\n"
            "      \"additionalProperties\": false,\n      \"required\": [",
            words);
}

static bool is_score(const struct rating_field *field)
{
    return field->kind == RATING_SCORE;
}

static bool is_discomfort(const struct rating_field *field)
{
    return field->discomfort;
}

static void put_rated_scores(FILE *out, bool (*wanted)(const struct rating_field *field))
{
    put_keyed_begin(out, "0 none, 10 the most there is; null: not asked");
    const char *between = "";
    for (int item = 0; item < RATING_ITEMS; item++) {
        if (wanted(&rating_fields[item])) {
            fprintf(out, "%s\"%s\"", between, rating_fields[item].column);
            between = ", ";
        }
    }
    fputs("],\n      \"properties\": {\n", out);
    between = "";
    for (int item = 0; item < RATING_ITEMS; item++) {
        if (wanted(&rating_fields[item])) {
            fprintf(out,
                    "%s        \"%s\": { \"$ref\": \"#/$defs/score\", \"description\": \"%s\" }",
                    between, rating_fields[item].column, rating_fields[item].words);
            between = ",\n";
        }
    }
    fputs("\n      }\n", out);
}

static void put_scores(FILE *out)
{
    put_rated_scores(out, is_score);
}

static void put_discomfort(FILE *out)
{
    put_rated_scores(out, is_discomfort);
}

static void put_rated(FILE *out, const struct rating_field *field)
{
    fprintf(out, ",\n        \"%s\": { ", field->column);
    if (field->kind == RATING_NUMBER) {
        fputs("\"$ref\": \"#/$defs/number_or_null\"", out);
    } else if (field->list == &answer_words) {
        fputs("\"$ref\": \"#/$defs/answer\"", out);
    } else {
        fputs("\"enum\": [", out);
        for (int word = 0; word < field->list->count; word++) {
            if (field->list->word[word] != NULL) {
                fprintf(out, "\"%s\", ", field->list->word[word]);
            }
        }
        fputs("null]", out);
    }
    fprintf(out, ", \"description\": \"%s\" }", field->words);
}

static void put_rating(FILE *out)
{
    int items[RATING_ITEMS];
    rating_sort(RATING_TOLD, items);
    fputs("      \"type\": \"object\",\n      \"additionalProperties\": false,\n"
          "      \"required\": [\"uuid\", \"setup\", \"sample\", \"morning\", \"sign\", \"scores\"",
          out);
    for (int i = 0; i < RATING_ITEMS; i++) {
        if (rating_fields[items[i]].kind != RATING_SCORE) {
            fprintf(out, ", \"%s\"", rating_fields[items[i]].column);
        }
    }
    fputs("],\n      \"properties\": {\n"
          "        \"uuid\": { \"$ref\": \"#/$defs/uuid\" },\n"
          "        \"setup\": { \"$ref\": \"#/$defs/position_or_null\", \"description\": \"its "
          "number\" },\n"
          "        \"sample\": { \"$ref\": \"#/$defs/count\", \"description\": \"when\" },\n"
          "        \"morning\": { \"type\": \"boolean\", \"description\": \"how it is the morning "
          "after the session before\" },\n"
          "        \"sign\": { \"type\": \"boolean\", \"description\": \"tingling, pain that "
          "shoots, or blurred sight\" },\n"
          "        \"scores\": { \"$ref\": \"#/$defs/scores\" }",
          out);
    for (int i = 0; i < RATING_ITEMS; i++) {
        if (rating_fields[items[i]].kind != RATING_SCORE) {
            put_rated(out, &rating_fields[items[i]]);
        }
    }
    fputs("\n      }\n", out);
}

#define ANY_SCOPE (-1)

static void put_bike(FILE *out, int scope, const char *words)
{
    const char *between = "";
    put_keyed_begin(out, words);
    for (int key = 0; key < BIKE_KEYS; key++) {
        if (scope == ANY_SCOPE || (int)bike_fields[key].scope == scope) {
            fprintf(out, "%s\"%s\"", between, bike_fields[key].key);
            between = ", ";
        }
    }
    fputs("],\n      \"properties\": {\n", out);
    between = "";
    for (int key = 0; key < BIKE_KEYS; key++) {
        if (scope == ANY_SCOPE || (int)bike_fields[key].scope == scope) {
            fprintf(out,
                    "%s        \"%s\": { \"$ref\": \"#/$defs/number_or_null\", \"description\": "
                    "\"%s, %s\" }",
                    between, bike_fields[key].key, bike_fields[key].words, bike_fields[key].unit);
            between = ",\n";
        }
    }
    fputs("\n      }\n", out);
}

static void put_frame(FILE *out)
{
    put_bike(out, BIKE_SCOPE_FRAME, "by the keys of the bike's frame; null: not measured");
}

static void put_parts(FILE *out)
{
    put_bike(out, BIKE_SCOPE_PART, "by the keys of the bike's parts; null: not measured");
}

static void put_values(FILE *out)
{
    put_bike(out, ANY_SCOPE, "by the keys of the bike's measures; null: not measured");
}

/* ---- records, as they are stored --- */

static void put_stored_type(FILE *out, const struct stored_field *field)
{
    const char *of = field->type == STORED_UUID      ? "uuid"
                     : field->type == STORED_INTEGER ? "count"
                     : field->type == STORED_PLACE
                         ? (field->optional ? "position_or_null" : "position")
                         : "number_or_null";
    if (field->type == STORED_WORD) {
        const char *between = "";
        fputs("\"enum\": [", out);
        for (int i = 0; i < field->list->count; i++) {
            const char *word = word_of(field->list, field->list->first + i);
            if (word != NULL) {
                fprintf(out, "%s\"%s\"", between, word);
                between = ", ";
            }
        }
        fputs(field->optional ? ", null]" : "]", out);
    } else if (field->type == STORED_PLACE && field->has_most) {
        fputs("\"description\": \"the channel's name\", \"type\": [\"string\", \"null\"]", out);
    } else if (field->type == STORED_TEXT || field->type == STORED_TRUTH) {
        fprintf(out, "\"type\": \"%s\"", field->type == STORED_TEXT ? "string" : "boolean");
    } else if (field->type == STORED_INTEGER && field->optional) {
        fputs("\"type\": [\"integer\", \"null\"]", out);
    } else {
        fprintf(out, "\"$ref\": \"#/$defs/%s\"", of);
    }
}

/* The column's words, where JSON says the same: it knows null, true and false, and no places. */
static void put_stored_words(FILE *out, const struct stored_field *field)
{
    static const char place[] = "its place";
    const char *words = field->words;
    if (field->type == STORED_UUID || (field->type == STORED_PLACE && field->has_most)) {
        return;
    }
    words += text_starts_with(words, place) ? sizeof place - 1 : 0;
    words += strspn(words, ";: ");
    words = *words == '\0' && field->type == STORED_PLACE ? "its number" : words;
    fputs(*words != '\0' ? ", \"description\": \"" : "", out);
    if (field->type == STORED_TRUTH && (*words == '0' || *words == '1')) {
        fputs(*words++ == '1' ? "true" : "false", out);
    }
    while (*words != '\0') {
        bool null = text_starts_with(words, "NULL");
        fprintf(out, null ? "null" : "%.1s", words);
        words += null ? 4 : 1;
        fputs(*words == '\0' ? "\"" : "", out);
    }
}

/* Of what was taken back nothing is exported but the log's lines. */
static bool is_exported(const struct stored_field *field)
{
    return !text_equal(field->key, STORED_UNDONE);
}

static void put_record(FILE *out, enum stored_table_id id, bool numbered)
{
    const struct stored_table *table = stored_tables[id];
    bool one = table->shape == SHAPE_ONE;
    fprintf(out,
            "      \"type\": %s,\n      \"additionalProperties\": false,\n      \"required\": [%s",
            one ? "[\"object\", \"null\"],\n      \"description\": \"null: there is none\""
                : "\"object\"",
            numbered ? "\"number\", " : "");
    for (int i = 0; i < table->field_count; i++) {
        if (is_exported(&table->field[i])) {
            fprintf(out, "%s\"%s\"", i > 0 ? ", " : "", table->field[i].key);
        }
    }
    fprintf(out, "],\n      \"properties\": {\n%s",
            numbered ? "        \"number\": { \"$ref\": \"#/$defs/position\", \"description\": "
                       "\"in the order "
                       "recorded\" },\n"
                     : "");
    const char *between = "";
    for (int i = 0; i < table->field_count; i++) {
        if (is_exported(&table->field[i])) {
            fprintf(out, "%s        \"%s\": { ", between, table->field[i].key);
            put_stored_type(out, &table->field[i]);
            put_stored_words(out, &table->field[i]);
            fputs(" }", out);
            between = ",\n";
        }
    }
    fputs("\n      }\n", out);
}

static void put_tie_reading(FILE *out)
{
    put_record(out, TABLE_TIE_READING, false);
}

static void put_capture(FILE *out)
{
    put_record(out, TABLE_CAPTURE, true);
}

static void put_mark(FILE *out)
{
    put_record(out, TABLE_MARK, false);
}

static void put_cue_sound(FILE *out)
{
    put_record(out, TABLE_CUE_SOUND, false);
}

static void put_air(FILE *out)
{
    put_record(out, TABLE_AIR, false);
}

static void put_note(FILE *out)
{
    put_record(out, TABLE_NOTE, false);
}

static void put_rider(FILE *out)
{
    put_record(out, TABLE_SESSION_RIDER, false);
}

static const struct {
    const char *first_line;
    void (*put)(FILE *out);
} definitions[] = {
    {"    \"rider\": {\n", put_rider},           {"    \"tie_reading\": {\n", put_tie_reading},
    {"    \"capture\": {\n", put_capture},       {"    \"mark\": {\n", put_mark},
    {"    \"cue_sound\": {\n", put_cue_sound},   {"    \"note\": {\n", put_note},
    {"    \"summary\": {\n", put_summary},       {"    \"rating\": {\n", put_rating},
    {"    \"scores\": {\n", put_scores},         {"    \"bike_frame\": {\n", put_frame},
    {"    \"bike_parts\": {\n", put_parts},      {"    \"air\": {\n", put_air},
    {"    \"bike_values\": {\n", put_values},    {"    \"measured\": {\n", put_measured},
    {"    \"discomfort\": {\n", put_discomfort},
};
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
