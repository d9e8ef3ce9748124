/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_PLAIN_QUOTES_H
#define HOLDLINE_RIG_PLAIN_QUOTES_H

#include "rig/span.h"

#include <stdbool.h>

/* Fields in quotation marks (RFC 4180, section 2): what divides columns does not do so in one, ""
 * is one mark. Within a field a comma between figures becomes a point, another delimiter a blank;
 * what may be thousands or a decimal ("1,234.5") is no
 * number, and '?' is written for its figures. Marks that are not around a whole
 * field are text. The line is changed in scratch, only where it has to be (it may stand there).
 * False where it is too long for it. */
bool plain_unquote(struct span *line, char *scratch, size_t size);

/* The first field of a line that is no number for that reason: its text without the marks, its
 * place from 1, and what divides it from the one before it (',' before the first). False: there is
 * none.
 */
struct plain_unclear {
    struct span text;
    int field;
    char delimiter;
};
bool plain_unclear_field(struct span line, struct plain_unclear *unclear);

/* A field begins with a mark, and no other stands behind it: it goes on in the next line (RFC 4180
 * allows it; here a reading is a line). Its place from 1; 0: there is none. */
int plain_open_field(struct span line);

#endif
