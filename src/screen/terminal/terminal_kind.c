/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/terminal_kind.h"

#include "base/text.h"

#include <curses.h>
#include <stdio.h>
#include <stdlib.h>
#include <term.h>
#include <unistd.h>

/* Curses would print its own complaint and leave the program where it does not know the terminal.
 */
bool terminal_kind_usable(struct problem *problem)
{
    const char *name = getenv("TERM");
    int found = 0;
    if (!isatty(STDOUT_FILENO)) {
        return problem_set(problem,
                           "standard output is no terminal: the screen can't be shown there");
    }
    if (name == NULL || name[0] == '\0') {
        return problem_set(problem,
                           "TERM is not set: set it to the terminal's kind, xterm-256color say");
    }
    if (setupterm(name, STDOUT_FILENO, &found) != OK) {
        return problem_set(
            problem,
            "the terminal's kind '%s' (TERM) is not known on this machine: set TERM to "
            "one that is, xterm-256color or vt100 say",
            name);
    }
    const char *move = tigetstr("cup");
    bool usable = move != NULL && move != (char *)-1;
    del_curterm(cur_term);
    if (!usable) {
        return problem_set(
            problem,
            "the terminal's kind '%s' (TERM) can't move the cursor: set TERM to what the "
            "terminal is, xterm-256color or vt100 say",
            name);
    }
    return true;
}

void terminal_kind_marks_pastes(bool on)
{
    const char *move = tigetstr("cup");
    if (move != NULL && move != (char *)-1 && text_starts_with(move, "\033[")) {
        fputs(on ? "\033[?2004h" : "\033[?2004l", stdout);
        fflush(stdout);
    }
}
