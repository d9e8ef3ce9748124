/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_PLAIN_MOULD_H
#define HOLDLINE_RIG_PLAIN_MOULD_H

#include "rig/plain_layout.h"
#include "rig/plain_tokens.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* What a line of numbers with text between them looked like: the next one mostly has the same text
 * around other figures, and then need not be taken apart word by word. A line fits only where
 * taking it apart would give the same numbers in the same text. */
struct plain_mould {
    int numbers; /* 0: there is none */
    bool is_broken;
    size_t length;
    char line[DECODER_LINE_MAX];
    struct {
        uint16_t start, end;  /* of the figures */
        bool has_text_around; /* before them or their unit */
    } number[PLAIN_COLUMNS_MAX];
};

/* A line is taken apart: begin, each of its tokens, and end when all of it was fine. */
void plain_mould_begin(struct plain_mould *mould);
void plain_mould_add(struct plain_mould *mould, struct span line, const struct token *token);
void plain_mould_end(struct plain_mould *mould, struct span line);

/* Goes through a line that fits, number by number: *at is the figures' place, 0 before the first.
 * False when the line does not fit (from there on), or behind the last number (number is then
 * mould->numbers). */
bool plain_mould_next(const struct plain_mould *mould, struct span line, int number, size_t *at,
                      struct decimal *decimal);
/* Whether the line also ends as the mould does. */
bool plain_mould_ends(const struct plain_mould *mould, struct span line, size_t at);

#endif
