/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/plain_labels.h"

#include "rig/plain_columns.h"
#include "rig/plain_words.h"

#include <string.h>

/* Behind the last brace: the first of '{"at":{"head":412,"chest":370}}' is called head. */
static struct span innermost(struct span text)
{
    struct span label = plain_strip(text);
    size_t at = label.length;
    while (at > 0 && label.text[at - 1] != '{') {
        at--;
    }
    return plain_strip(span_between(label.text + at, label.text + label.length));
}

void plain_labels_learn(struct plain_labels *labels, const struct plain_columns *columns)
{
    memset(labels, 0, sizeof *labels);
    int count =
        columns->shape.columns < PLAIN_LABELS_MAX ? columns->shape.columns : PLAIN_LABELS_MAX;
    bool ambiguous[PLAIN_LABELS_MAX] = {false}, named = false;
    for (int i = 0; i < count; i++) {
        const char *name = columns->column[i].name;
        struct span label = innermost(span_between(name, name + strlen(name)));
        memcpy(labels->text[i], label.text, label.length); /* no longer than the name */
        for (int j = 0; j < i; j++) {
            bool same = span_equals(label, labels->text[j]);
            ambiguous[i] = ambiguous[i] || same;
            ambiguous[j] = ambiguous[j] || same;
        }
        labels->columns = label.length > 0 ? i + 1 : labels->columns;
        named = named || (label.length > 0 && !plain_says_good(label) && !plain_says_bad(label));
    }
    labels->columns = named ? labels->columns : 0; /* 'ok 412 weak 370' */
    for (int i = 0; i < count; i++) {
        if (ambiguous[i]) {
            labels->text[i][0] = '\0';
        }
    }
}

int plain_labels_column(const struct plain_labels *labels, int place, struct span before)
{
    if (place >= labels->columns || before.length == 0) {
        return place;
    }
    struct span label = innermost(before);
    if (label.length == 0 || span_is(label, labels->text[place])) {
        return place;
    }
    for (int i = 0; i < labels->columns; i++) {
        if (span_equals(label, labels->text[i])) {
            return i;
        }
    }
    return place;
}

/* The heading's column of this name that none before has; -1: none. */
static int column_named(struct span heading, struct span name, char delimiter, const bool *taken)
{
    struct span field;
    for (int i = 0; span_next_field(&heading, delimiter, &field); i++) {
        field = span_trim(field);
        if (i < PLAIN_COLUMNS_MAX && !taken[i] && field.length == name.length &&
            memcmp(field.text, name.text, name.length) == 0) {
            return i;
        }
    }
    return -1;
}

bool plain_labels_turned(const struct plain_layout *layout, struct span line, uint8_t place[])
{
    const struct plain_shape shape = layout->shape;
    struct span heading = span_between(layout->heading, layout->heading + layout->heading_length);
    uint8_t found[PLAIN_COLUMNS_MAX];
    bool taken[PLAIN_COLUMNS_MAX] = {false}, moved = false;
    struct span field;
    int count = 0;
    if (heading.length == 0 || shape.delimiter == ' ' || !plain_has_letter(line)) {
        return false;
    }
    while (span_next_field(&line, shape.delimiter, &field)) {
        int column = count < shape.columns
                         ? column_named(heading, span_trim(field), shape.delimiter, taken)
                         : -1;
        if (column < 0) {
            return false;
        }
        taken[column] = true;
        moved = moved || column != count;
        found[count++] = (uint8_t)column;
    }
    bool turned = moved && count == shape.columns;
    if (turned) {
        memcpy(place, found, (size_t)count * sizeof *found);
    }
    return turned;
}
