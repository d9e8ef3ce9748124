/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "plain_status.h"

#include "base/text.h"
#include "plain_kinds.h"
#include "rig/plain_words.h"

#include <math.h>
#include <string.h>

static bool add_range(struct plain_status *status, int64_t least_milli, int64_t most_milli)
{
    if (status->ranges == (int)(sizeof status->least_milli / sizeof status->least_milli[0])) {
        return false;
    }
    status->least_milli[status->ranges] = least_milli;
    status->most_milli[status->ranges++] = most_milli;
    return true;
}

static bool read_milli(struct span text, int64_t *milli)
{
    struct decimal number;
    const char *end = text.text + text.length;
    return text.length > 0 && decimal_read(text.text, end, false, &number) == end &&
           decimal_scale(&number, 1000, INT64_MAX / 4, milli);
}

/* '0', '100..', '100..6000', 'ok'. */
static bool add_good(struct plain_status *status, struct span good)
{
    int64_t least, most = INT64_MAX;
    const char *dots = NULL;
    for (size_t i = 0; i + 1 < good.length && dots == NULL; i++) {
        dots = good.text[i] == '.' && good.text[i + 1] == '.' ? good.text + i : NULL;
    }
    if (dots != NULL) {
        struct span above = span_between(dots + 2, good.text + good.length);
        return read_milli(span_between(good.text, dots), &least) &&
               (above.length == 0 || read_milli(above, &most)) && add_range(status, least, most);
    }
    if (read_milli(good, &least)) {
        return add_range(status, least, least);
    }
    status->in_words = plain_says_good(good);
    return status->in_words;
}

static struct plain_status *new_status(const struct chooser *chooser, int column)
{
    struct plain_layout *layout = chooser->layout;
    if (layout->status_count == CHANNELS_MAX) {
        return NULL;
    }
    struct plain_status *status = &layout->status[layout->status_count++];
    *status = (struct plain_status){.column = column, .channel = -1};
    layout->column_use[column] = PLAIN_STATUS_COLUMN;
    return status;
}

static void note_status(const struct chooser *chooser, int column, enum wire_note_kind kind,
                        int64_t good_milli)
{
    struct wire_note *noted = dialect_note(chooser->info, kind, column + 1, -1);
    struct span name = plain_name_of(&chooser->columns->column[column]);
    if (noted != NULL) {
        size_t length = name.length < sizeof noted->name ? name.length : sizeof noted->name - 1;
        memcpy(noted->name, name.text, length);
        noted->name[length] = '\0';
        noted->value_milli = good_milli;
    }
}

/* 'COLUMN=GOOD/GOOD', divided by commas. */
static bool said_statuses(const struct chooser *chooser)
{
    const char *said = chooser->options->status;
    struct span rest = {said, strlen(said)};
    struct span item;
    while (said[0] != '\0' && span_next_field(&rest, ',', &item)) {
        const char *equals = memchr(item.text, '=', item.length);
        struct span wanted =
            span_trim(span_between(item.text, equals != NULL ? equals : item.text + item.length));
        int column = plain_column_find(chooser->columns, wanted);
        if (column < 0) {
            return plain_no_such_column(chooser, wanted, "is not there");
        }
        if (equals == NULL || chooser->layout->column_use[column] != PLAIN_PASSED_OVER) {
            return plain_no_such_column(chooser, wanted,
                                        equals == NULL ? "wants its good code, as status=0"
                                                       : "is named twice");
        }
        struct plain_status *status = new_status(chooser, column);
        if (status == NULL) {
            return problem_set(chooser->problem, "more than %d columns are said to be a status",
                               CHANNELS_MAX);
        }
        struct span codes = span_between(equals + 1, item.text + item.length);
        struct span code;
        while (span_next_field(&codes, '/', &code)) {
            if (!add_good(status, span_trim(code))) {
                return problem_set(chooser->problem,
                                   "--status: '%.40s' is no good code: wanted is a number, several "
                                   "with '/' between, LEAST.. or LEAST..MOST, or ok",
                                   said);
            }
        }
    }
    return true;
}

/* The word itself: of '"status":"ok"' what stands behind the colon. */
static struct span status_word(struct span text)
{
    for (size_t i = text.length; i > 0; i--) {
        if (text.text[i - 1] == ':' || text.text[i - 1] == '=') {
            text = span_between(text.text + i, text.text + text.length);
            break;
        }
    }
    text = plain_strip(text);
    while (text.length > 0 && strchr("}])", text.text[text.length - 1]) != NULL) {
        text.length--;
        text = plain_strip(text);
    }
    return text;
}

/* A column of words: 'ok', 'weak'. */
static bool holds_status_words(const struct plain_column *column)
{
    struct span text = status_word(span_between(column->text, column->text + strlen(column->text)));
    return column->texts > 0 && column->numbers == 0 && column->calendars == 0 &&
           (plain_says_good(text) || plain_says_bad(text));
}

/* Of whole numbers: a column without a name that is always the same small code, beside one that
 * moves. */
static bool is_still_code(const struct plain_columns *columns, int index)
{
    const struct plain_column *column = &columns->column[index];
    bool other_moves = false;
    for (int i = 0; i < columns->shape.columns; i++) {
        other_moves = other_moves || (i != index && plain_holds_numbers(&columns->column[i]) &&
                                      !plain_stands_still(&columns->column[i]));
    }
    return index > 0 && other_moves && column->name[0] == '\0' && column->is_bare &&
           column->numbers >= 8 && plain_stands_still(column) && column->last_milli >= 0 &&
           column->last_milli <= 15000;
}

bool plain_guess_statuses(const struct chooser *chooser)
{
    if (!said_statuses(chooser)) {
        return false;
    }
    for (int i = 0; i < chooser->columns->shape.columns; i++) {
        const struct plain_column *column = &chooser->columns->column[i];
        int64_t good_milli = 0;
        if (chooser->layout->column_use[i] != PLAIN_PASSED_OVER) {
            continue;
        }
        bool words = holds_status_words(column);
        bool codes =
            plain_holds_numbers(column) && !column->has_fraction &&
            (plain_names_a_status(plain_name_of(column)) || is_still_code(chooser->columns, i)) &&
            plain_usual_code(column, &good_milli);
        struct plain_status *status = words || codes ? new_status(chooser, i) : NULL;
        if (status != NULL) {
            status->in_words = words;
            if (codes) {
                add_range(status, good_milli, good_milli);
            }
            note_status(chooser, i, words ? WIRE_STATUS_WORDS : WIRE_STATUS, good_milli);
        }
    }
    return true;
}

void plain_match_statuses(struct plain_layout *layout)
{
    for (int i = 0; layout->status_count > 1 && layout->status_count == layout->channel_count &&
                    i < layout->status_count;
         i++) {
        layout->status[i].channel = i;
    }
}

bool plain_status_is_good(const struct plain_status *status, const struct token *token)
{
    int64_t milli;
    if (token->kind == TOKEN_TEXT || token->kind == TOKEN_NO_READING ||
        token->kind == TOKEN_EMPTY) {
        return token->kind == TOKEN_EMPTY || plain_says_good(status_word(token->text));
    }
    if ((token->kind != TOKEN_NUMBER && token->kind != TOKEN_NUMBER_IN) ||
        !decimal_scale(&token->number, 1000, INT64_MAX / 4, &milli)) {
        return false;
    }
    for (int i = 0; i < status->ranges; i++) {
        if (milli >= status->least_milli[i] && milli <= status->most_milli[i]) {
            return true;
        }
    }
    return false;
}
