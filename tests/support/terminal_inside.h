/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_TERMINAL_INSIDE_H
#define HOLDLINE_TESTS_SUPPORT_TERMINAL_INSIDE_H

/* Shared by the files of the terminal only: terminal.c runs the program in it, terminal_picture.c
 * says what it shows. */
#include "support/terminal.h"

#include <stdint.h>
#include <sys/types.h>
#include <vterm.h>

struct terminal {
    int master;
    pid_t process;
    bool ended, stopped;
    int status;
    VTerm *emulator;
    VTermScreen *screen;
    int rows, columns;
    uint64_t bytes;
    int bells;
    bool cursor_visible, alternate;
    char *kept; /* all that was sent; NULL: not wanted */
    size_t kept_length, kept_room;
};

#endif
