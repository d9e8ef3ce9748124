/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_PLAIN_TOKENS_H
#define HOLDLINE_RIG_PLAIN_TOKENS_H

#include "rig/decimal.h"
#include "rig/span.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* A line of plain numbers, cut into its columns. */

#define PLAIN_NAME_SIZE 48 /* of a column */

/* How a line is divided. With a delimiter its fields are the columns, whatever is in them; without
 * one (' ') the numbers in it are, one after the other, and the text between them is passed over.
 */
struct plain_shape {
    char delimiter; /* ',', ';', '\t' or ' ' */
    int columns;
};

enum token_kind {
    TOKEN_EMPTY,
    TOKEN_NUMBER,     /* a number and nothing else */
    TOKEN_NUMBER_IN,  /* one number with text around it */
    TOKEN_CALENDAR,   /* ISO date and time, or hours:minutes:seconds */
    TOKEN_NO_READING, /* nan, inf, null, timeout, ... */
    TOKEN_TEXT,
    TOKEN_SEVERAL, /* more than one number */
};

struct token {
    enum token_kind kind;
    struct decimal number;
    int64_t calendar_us;
    struct span text;    /* all of it, trimmed */
    struct span figures; /* of a number with text around it: the number itself */
    struct span before;  /* what stands before the number: its label */
    struct span after;   /* letters behind the number: its unit */
};

/* The line without escape sequences, byte order mark and blanks at its ends, in place or in
 * scratch. False when other control characters or bytes that are not UTF-8 are in it: noise. */
bool plain_prepare(struct span *line, char *scratch, size_t size);

/* The next number of a line without delimiter, with the text before it. False when there is none.
 */
bool plain_next_number(struct span *rest, struct token *token);
/* What a field holds. */
void plain_read_field(struct span field, bool comma_too, struct token *token);

/* How a line is divided; columns 0 when there is no number in it. */
struct plain_shape plain_shape_of(struct span line);

/* Are there words before the line's numbers? */
bool plain_has_labels(struct span line, struct plain_shape shape);
bool plain_has_letter(struct span line);
bool plain_has_digit(struct span line);
/* Words by which boards say that nothing came back. */
bool plain_says_no_reading(struct span text);

#endif
