/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_KEY_SCRIPT_H
#define HOLDLINE_TESTS_SUPPORT_KEY_SCRIPT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

/* Scripts of keys, one file a screen: tests/screen/keys/<screen>.txt. A line is one step:
 *     open live 24 80        a terminal of so many rows and columns, a state of made_view on it
 *     press n Tab Enter      keys: a letter, or Space, Tab, Shift-Tab, Enter, Esc, Up, Down, Left,
 *                            Right, Home, End, PageUp, PageDown, Backspace, Delete, Ctrl-L, Ctrl-R,
 * Ctrl-U type stem 20 lower     the rest of the line, letter by letter see THE BAND           these
 * words stand on a row unseen THE BAND        they stand on none makes band head=+12    the next
 * command line that the keys made; 'makes nothing': none is left exports a.csv          likewise, a
 * file ends                   likewise, the end of the session answer no setup        from now on a
 * command is refused with these words; 'answer yes': taken, 'answer asked' and
 * words: it is asked about (a file that is there already, a slip) replaces a.csv like exports, over
 * what is there picture small          what docs/ shows as 'small' of this screen and what stands
 * after a
 * '#' at a line's beginning is for people. All that the keys made must be named before the next
 * terminal and the file's end. */
#define KEY_SCRIPTS "tests/screen/keys"

/* Plays a script. picture NULL: to its end. Else only to the picture of this name, which goes to
 * out. False with what was not so, and the screen then, in problem; "" where there are no
 * pseudo-terminals. */
bool key_script_play(const char *screen, const char *picture, FILE *out, char *problem,
                     size_t size);

#endif
