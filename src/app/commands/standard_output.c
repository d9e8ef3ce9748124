/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/standard_output.h"

#include "base/text.h"

#include <errno.h>
#include <poll.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

#define WIDTH_UNKNOWN 80
#define WIDTH_MOST 120
#define WIDTH_LEAST 40

/* 0 by 0 where there is no terminal, or where it does not know. */
static struct winsize window(void)
{
    struct winsize size = {0};
    if (!isatty(STDOUT_FILENO) || ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) != 0) {
        return (struct winsize){0};
    }
    return size;
}

/* What a person or a pager says of the width goes before what the terminal says. */
static int said_columns(void)
{
    const char *text = getenv("COLUMNS");
    int64_t columns = 0;
    return text != NULL && text_to_int64(text, &columns) && columns >= WIDTH_LEAST &&
                   columns <= INT16_MAX
               ? (int)columns
               : 0;
}

int standard_output_width(void)
{
    int said = said_columns(), columns = said > 0 ? said : window().ws_col;
    return columns == 0 ? WIDTH_UNKNOWN : columns < WIDTH_MOST ? columns : WIDTH_MOST;
}

int standard_output_rows(void)
{
    return window().ws_row;
}

bool standard_output_is_left(void)
{
    struct pollfd output = {.fd = STDOUT_FILENO, .events = POLLOUT};
    return poll(&output, 1, 0) > 0 && (output.revents & POLLERR) != 0;
}

bool standard_output_end(struct problem *problem)
{
    if (fflush(stdout) == 0 && !ferror(stdout)) {
        return true;
    }
    return errno == EPIPE || problem_set(problem, "standard output: %s", strerror(errno));
}
