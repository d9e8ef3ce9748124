/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BASE_TEXT_H
#define HOLDLINE_BASE_TEXT_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

/* Text is UTF-8 in fixed buffers, cleaned once where it comes in. All functions end their result
 * with a NUL and never split a character. Sizes are bytes with the NUL; widths are terminal cells.
 */

/* A character that may stand in a text: none that a terminal or a page obeys (C0, DEL, C1, ends of
 * lines, what turns the direction), and none that is not seen (zero-width, joiners, variation
 * selectors, fillers, tags). */
bool text_is_plain(uint32_t character);

/* Copies source cleaned: characters that are obeyed become spaces, those not seen go, bad UTF-8
 * becomes U+FFFD, spaces at both ends go, runs of white space become one. Cut at size. */
void text_clean(char *destination, size_t size, const char *source);

/* Sound UTF-8 of plain characters only. */
bool text_is_clean(const char *text);

/* Copies source with every byte of what is not plain written as \xHH, so that it can be shown on a
 * terminal whatever it was. length: bytes of source. */
void text_escape(char *destination, size_t size, const char *source, size_t length);

/* The way out to a terminal or a file: text_escape of any length, line feeds as they are. Whatever
 * has a name, a path or a word from outside in it is written by these. */
void text_write(FILE *stream, const char *text);
void text_print(FILE *stream, const char *format, ...) __attribute__((format(printf, 2, 3)));
#define TEXT_PRINT_SIZE 16384 /* bytes of it that text_print writes at most */

/* The first character of the length bytes at text: how many bytes it takes (0 at the end), its code
 * point; a byte that is not sound UTF-8 takes one and gives TEXT_NOT_SOUND. */
#define TEXT_NOT_SOUND UINT32_MAX
size_t text_decode(const char *text, size_t length, uint32_t *character);

/* Cells of one character: 0 for combining, format and control characters, 2 for wide ones. */
int text_cells(uint32_t character);

/* Cells that text takes on a terminal (combining 0, wide 2), independent of the locale. */
int text_width(const char *text);

/* Copies as much of source as fits into width cells; where it was cut the last cell is an ellipsis
 * ('.' when ascii). Returns the cells used. Not padded. */
int text_fit(char *destination, size_t size, const char *source, int width, bool ascii);

/* Appends formatted text at *used, never past size. */
void text_append(char *buffer, size_t size, size_t *used, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

void text_append_list(char *buffer, size_t size, size_t *used, const char *format,
                      va_list arguments) __attribute__((format(printf, 4, 0)));

/* Plain bounded copy (cut at a character's border). */
void text_copy(char *destination, size_t size, const char *source);

/* The whole of text as a finite number, '.' as decimal sign in every locale; false when it is none.
 */
bool text_to_double(const char *text, double *value);
bool text_to_int64(const char *text, int64_t *value);

/* Decimal number with a '.' in every locale. A value that rounds to zero has no minus sign. */
void text_from_double(char *destination, size_t size, double value, int decimals);

/* The shortest decimal text that reads back as the same double ('.' in every locale; finite only).
 */
void text_from_double_shortest(char *destination, size_t size, double value);

/* Why text can't be kept in size bytes: '300 characters, at most 255'. */
void text_too_long(char *reason, size_t reason_size, const char *text, size_t size);

bool text_equal(const char *a, const char *b);
bool text_starts_with(const char *text, const char *start);
bool text_ends_with(const char *text, const char *end);
/* The same of a file's name: PLAN.PDF ends in .pdf, too. end: in small letters. */
bool text_is_named(const char *name, const char *end);

#endif
