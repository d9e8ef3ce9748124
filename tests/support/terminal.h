/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_TERMINAL_H
#define HOLDLINE_TESTS_SUPPORT_TERMINAL_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* A terminal for tests: a program runs in a pseudo-terminal, what it sends is read by a terminal
 * emulator (libvterm), and the test sends keys and looks at words, cells and colours. Every wait
 * has a limit in seconds and gives false when it passes; nothing here aborts. */
struct terminal;

struct terminal_settings {
    int rows, columns;
    const char *term;   /* TERM; NULL = xterm-256color */
    const char *locale; /* LC_ALL; NULL = C.UTF-8 */
    bool no_color;      /* NO_COLOR=1 (else it is not in the environment) */
    bool keep_errors;   /* standard error stays the caller's instead of the pseudo-terminal */
    bool keep_bytes;    /* for terminal_kept */
    const char *const *environment; /* more NAME=value, ends with NULL; NULL = none */
};

/* argv ends with NULL; argv[0] is the program's path. NULL when there is no pseudo-terminal (no
 * /dev/pts) or no memory. The caller ends it with terminal_end. */
struct terminal *terminal_start(const struct terminal_settings *settings, const char *const argv[]);

/* The same for a function of the test program: it runs in a child, its result is the exit status.
 */
typedef int terminal_body(void *context);
struct terminal *terminal_start_function(const struct terminal_settings *settings,
                                         terminal_body *body, void *context);

/* Hangs up, waits up to 2 s, then kills; frees. */
void terminal_end(struct terminal *terminal);

/* Keys as the terminal would send them: "f", "\r", "\033" (Esc), "\003" (Ctrl-C), UTF-8 text. */
void terminal_send(struct terminal *terminal, const char *keys);

/* Waits for bytes and takes the first that come; false when none came in time. */
bool terminal_take(struct terminal *terminal, double limit_s);
/* Takes what the program sends for this long. */
void terminal_pump(struct terminal *terminal, double seconds);
/* Until text stands on one row of the screen. */
bool terminal_wait_text(struct terminal *terminal, const char *text, double limit_s);
/* Until text stands nowhere any more. */
bool terminal_wait_gone(struct terminal *terminal, const char *text, double limit_s);
/* Where Check is told to wait longer (CK_TIMEOUT_MULTIPLIER), so is who waits here, by so many
 * times. */
double terminal_patience(void);
/* Until nothing was sent for quiet_s. */
bool terminal_wait_quiet(struct terminal *terminal, double quiet_s, double limit_s);
/* Until the program has ended; status as exit() got it, 128 + number for a signal. */
bool terminal_wait_end(struct terminal *terminal, int *status, double limit_s);

/* Process of the program. */
int terminal_process(const struct terminal *terminal);
/* Size changes; the program gets SIGWINCH. */
void terminal_resize(struct terminal *terminal, int rows, int columns);
/* Closes the terminal's side: the program gets SIGHUP. */
void terminal_hang_up(struct terminal *terminal);
/* Nothing is read from now on (as after Ctrl-S in a terminal window), or again. */
void terminal_stop_reading(struct terminal *terminal, bool stopped);

/* All bytes taken since the start, where they are kept. */
const char *terminal_kept(const struct terminal *terminal, size_t *length);

/* Bytes taken and bells rung since the start. */
uint64_t terminal_bytes(const struct terminal *terminal);
int terminal_bells(const struct terminal *terminal);

/* One row as UTF-8 text without blanks at its end. Buffer: 4096 is enough. */
void terminal_row(const struct terminal *terminal, int row, char *text, size_t size);
/* All rows, each ended with a line feed. */
void terminal_text(const struct terminal *terminal, char *text, size_t size);
/* Place of the first occurrence; false when it is not there. Either pointer may be NULL. */
bool terminal_find(const struct terminal *terminal, const char *text, int *row, int *column);
bool terminal_shows(const struct terminal *terminal, const char *text);

struct terminal_cell {
    char text[32]; /* UTF-8; "" = blank, or the second half of a wide character */
    int width;
    bool bold, reverse, underline, blink;
    int foreground, background; /* index in the 256-colour palette; -1 = the terminal's own */
};
void terminal_cell(const struct terminal *terminal, int row, int column,
                   struct terminal_cell *cell);
void terminal_cursor(const struct terminal *terminal, int *row, int *column, bool *visible);
/* True while the program uses the alternate screen. */
bool terminal_alternate(const struct terminal *terminal);

#endif
