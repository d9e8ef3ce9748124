/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Breaking text into lines of a width. */
#include "base/text.h"
#include "report/table.h"

#include <stdarg.h>
#include <string.h>

#define CHARACTER_SIZE 8

/* Bytes of the character that begins here (sound UTF-8: bytes 10xxxxxx go on). */
static size_t character_length(const char *text)
{
    size_t length = 1;
    while (length < CHARACTER_SIZE - 1 && ((unsigned char)text[length] & 0xC0u) == 0x80u) {
        length++;
    }
    return length;
}

static int character_width(const char *text, size_t length)
{
    char one[CHARACTER_SIZE];
    memcpy(one, text, length);
    one[length] = '\0';
    return text_width(one);
}

/* Where a line may end: at a blank outside brackets if that leaves the line half full, else at any.
 */
struct breaks {
    const char *outside, *any;
    int outside_cells, depth;
};

static void note_break(struct breaks *breaks, const char *at, int used)
{
    if (*at == '(') {
        breaks->depth++;
    } else if (*at == ')') {
        breaks->depth--;
    } else if (*at == ' ') {
        breaks->any = at;
        if (breaks->depth <= 0) {
            breaks->outside = at;
            breaks->outside_cells = used;
        }
    }
}

static const char *best_break(const struct breaks *breaks, const char *end, int width)
{
    if (breaks->outside != NULL && 2 * breaks->outside_cells >= width) {
        return breaks->outside;
    }
    return breaks->any != NULL ? breaks->any : end;
}

bool wrap_next(const char **cursor, int width, const char **start, size_t *length)
{
    const char *at = *cursor + strspn(*cursor, " ");
    struct breaks breaks = {NULL, NULL, 0, 0};
    int used = 0;

    if (*at == '\0') {
        *cursor = at;
        return false;
    }
    *start = at;
    while (*at != '\0' && *at != '\n') {
        size_t bytes = character_length(at);
        int cells = character_width(at, bytes);
        note_break(&breaks, at, used);
        if (used + cells > width && at != *start) {
            break;
        }
        used += cells;
        at += bytes;
    }
    const char *end = at;
    if (*at != '\0' && *at != '\n' && (*at != ' ' || breaks.depth > 0)) {
        end = best_break(&breaks, at, width);
    }
    *cursor = end + strspn(end, " ");
    if (**cursor == '\n') {
        (*cursor)++;
    }
    while (end > *start && end[-1] == ' ') {
        end--;
    }
    *length = (size_t)(end - *start);
    return true;
}

void paragraph_write(FILE *stream, int indent, int hanging, int width, const char *text)
{
    const char *cursor = text, *start = NULL;
    size_t length = 0;
    int left = indent;
    while (wrap_next(&cursor, width - left > 8 ? width - left : 8, &start, &length)) {
        text_print(stream, "%*s%.*s\n", left, "", (int)length, start);
        left = indent + hanging;
    }
}

void paragraph_format(FILE *stream, int indent, int hanging, int width, const char *format, ...)
{
    char text[4096];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    paragraph_write(stream, indent, hanging, width, text);
}

void title_write(FILE *stream, const char *title)
{
    int cells = text_width(title);
    text_print(stream, "\n%s\n", title);
    for (int i = 0; i < cells; i++) {
        fputc('-', stream);
    }
    fputc('\n', stream);
}
