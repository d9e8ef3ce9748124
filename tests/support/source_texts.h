/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_SOURCE_TEXTS_H
#define HOLDLINE_TESTS_SUPPORT_SOURCE_TEXTS_H

/* The texts in quotes of C sources, as the compiler sees them: joined, escapes taken; long ones
 * cut.
 */
struct source_text {
    const char *file; /* 'src/report/sheet.c' */
    int line;
    const char *macro; /* of base/language.h, in which it stands: 'T_', 'C_', ...; "": in none */
    char context[64];  /* of C_ and CN_ */
    char text[2048];
    char many[256]; /* of P_ */
};
typedef void source_text_seen(void *context, const struct source_text *text);

/* Of one file. */
void source_texts_of(const char *file, source_text_seen *seen, void *context);
/* Of all sources and headers in a folder, 'src'. */
void source_texts_in(const char *folder, source_text_seen *seen, void *context);

#endif
