/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_REPORT_TEXT_H
#define HOLDLINE_TESTS_SUPPORT_REPORT_TEXT_H

#include <stdio.h>

/* Text that something wrote to a stream: open, write, take. The caller frees what is taken. */
struct caught {
    FILE *stream;
    char *text;
    size_t length;
};

static inline FILE *catch_begin(struct caught *caught)
{
    caught->text = NULL;
    caught->length = 0;
    caught->stream = open_memstream(&caught->text, &caught->length);
    return caught->stream;
}

static inline char *catch_end(struct caught *caught)
{
    fclose(caught->stream);
    return caught->text;
}

#endif
