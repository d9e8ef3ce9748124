/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BASE_LANGUAGE_H
#define HOLDLINE_BASE_LANGUAGE_H

#include <stdbool.h>

/* The language of what is being written. It is a thread's, from language_enter on, so that a sheet
 * is written in one beside a screen in another; a thread that entered none writes English, which is
 * what stands in the sources. Catalogues are those of gettext, compiled (.mo), with two forms of
 * the plural. They are read here, not by libintl: that looks at the process's locale and its
 * environment, gives nothing at all in the locale C, and can't tell one thread from another. */
struct language {
    const char *code;               /* 'de', as HTML has it */
    const unsigned char *catalogue; /* NULL: English */
    const unsigned char *end;       /* one behind its last byte */
};
extern const struct language language_english;

/* A catalogue that can be read: nothing in it points outside it, and its texts end. */
bool language_sound(const struct language *language);

/* From here on this thread writes in it (NULL: English); it must stay there so long. Gives what it
 * was before. */
const struct language *language_enter(const struct language *language);
const struct language *language_now(void);

/* What is written for an English text: itself where the catalogue has none. */
const char *language_text(const char *english) __attribute__((format_arg(1)));
/* The same of a text that means two things: context says which. */
const char *language_text_of(const char *context, const char *english)
    __attribute__((format_arg(2)));
/* Of a count: one or many, in English as well. */
const char *language_counted(const char *one, const char *many, long count)
    __attribute__((format_arg(1), format_arg(2)));

/* Texts that catalogues have; each is a whole sentence, or a phrase that stands by itself. N_ and
 * CN_ are those of tables, which are looked up where they are written. */
#define N_(english) english
#define CN_(context, english) english
#define T_(english) language_text(english)
#define C_(context, english) language_text_of(context, english)
#define P_(one, many, count) language_counted(one, many, count)

#endif
