/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_SHOWING_H
#define HOLDLINE_TESTS_SUPPORT_SHOWING_H

#include "support/stage.h"

/* What the tests of pages and forms share: one that is open, words that must stand there. */

/* The sizes every screen is tried at: the smallest it promises, the usual one, larger ones. */
#define SCREEN_SIZES 4
struct screen_size {
    int rows, columns;
};
extern const struct screen_size screen_sizes[SCREEN_SIZES];

/* A stage of that size, drawn once. NULL as stage_open. */
struct stage *open_screen(int rows, int columns, enum made_view kind);
/* The same with a key pressed, which opens a page or a form. */
struct stage *open_with_key(int rows, int columns, enum made_view kind, const char *key);
/* The same on another kind of terminal. */
struct stage *open_on_terminal(const struct terminal_settings *settings, enum made_view kind,
                               const char *key);

/* Waits for the words to stand on a row; else the test fails and shows the whole screen. */
void assert_terminal_shows(struct terminal *terminal, const char *words);
void assert_shows(struct stage *stage, const char *words);

#endif
