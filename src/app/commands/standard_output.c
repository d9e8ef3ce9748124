/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/standard_output.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

#define WIDTH_UNKNOWN 80
#define WIDTH_MOST 120

/* 0 by 0 where there is no terminal, or where it does not know. */
static struct winsize window(void)
{
    struct winsize size = {0};
    if (!isatty(STDOUT_FILENO) || ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) != 0) {
        return (struct winsize){0};
    }
    return size;
}

int standard_output_width(void)
{
    int columns = window().ws_col;
    return columns == 0 ? WIDTH_UNKNOWN : columns < WIDTH_MOST ? columns : WIDTH_MOST;
}

int standard_output_rows(void)
{
    return window().ws_row;
}

bool standard_output_end(struct problem *problem)
{
    if (fflush(stdout) == 0 && !ferror(stdout)) {
        return true;
    }
    return errno == EPIPE || problem_set(problem, "standard output: %s", strerror(errno));
}
