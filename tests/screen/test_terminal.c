/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/terminal.h"
#include "support/test_main.h"

#include <stdio.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

/* The harness itself: words, cells, colours, wide characters, keys, sizes, ends. */

static int print_and_echo(void *context)
{
    (void)context;
    char key = '\0';
    struct winsize size;
    printf("\033[2J\033[3;5Hab\u65e5c \033[30;42mgreen\033[0m \033[1mbold\033[0m\a");
    fflush(stdout);
    while (read(STDIN_FILENO, &key, 1) == 1 && key != 'q') {
        ioctl(STDOUT_FILENO, TIOCGWINSZ, &size);
        printf("\033[5;1Hgot %c at %dx%d", key, size.ws_col, size.ws_row);
        fflush(stdout);
    }
    return key == 'q' ? 7 : 9;
}

START_TEST(words_cells_keys_sizes)
{
    struct terminal_settings settings = {.rows = 10, .columns = 40};
    struct terminal *terminal = terminal_start_function(&settings, print_and_echo, NULL);
    if (terminal == NULL) {
        printf("skipped: no pseudo-terminals here (/dev/pts)\n");
        return;
    }
    int row, column, status;
    struct terminal_cell cell;
    char text[4096];
    ck_assert(terminal_wait_text(terminal, "bold", 20.0));
    ck_assert(terminal_find(terminal, "c green", &row, &column));
    ck_assert_int_eq(row, 2);
    ck_assert_int_eq(column, 8); /* a, b, and two cells of the wide one */
    terminal_row(terminal, 2, text, sizeof text);
    ck_assert_str_eq(text, "    ab\u65e5c green bold");
    terminal_cell(terminal, 2, 10, &cell);
    ck_assert_int_eq(cell.foreground, 0);
    ck_assert_int_eq(cell.background, 2);
    terminal_cell(terminal, 2, 6, &cell);
    ck_assert_str_eq(cell.text, "\u65e5");
    ck_assert_int_eq(cell.width, 2);
    ck_assert_int_eq(cell.background, -1);
    ck_assert(terminal_find(terminal, "bold", &row, &column));
    terminal_cell(terminal, row, column, &cell);
    ck_assert(cell.bold && !cell.reverse && !cell.blink);
    ck_assert_int_eq(terminal_bells(terminal), 1);
    ck_assert(!terminal_shows(terminal, "nowhere"));
    terminal_resize(terminal, 12, 60);
    terminal_send(terminal, "x\r");
    ck_assert(terminal_wait_text(terminal, "at 60x12", 20.0));
    ck_assert(!terminal_wait_text(terminal, "never", 0.05));
    terminal_send(terminal, "q\r");
    ck_assert(terminal_wait_end(terminal, &status, 5.0));
    ck_assert_int_eq(status, 7);
    terminal_end(terminal);
}
END_TEST

START_TEST(programs_and_hang_up)
{
    static const char *const argv[] = {
        "/bin/sh", "-c", "echo $TERM $LC_ALL $EXTRA ${NO_COLOR-none}; exec cat", NULL};
    static const char *const more[] = {"EXTRA=more", NULL};
    struct terminal_settings settings = {
        .rows = 5, .columns = 60, .term = "vt100", .locale = "C", .environment = more};
    struct terminal *terminal = terminal_start(&settings, argv);
    if (terminal == NULL) {
        return;
    }
    int status;
    ck_assert(terminal_wait_text(terminal, "vt100 C more none", 20.0));
    terminal_hang_up(terminal);
    ck_assert(terminal_wait_end(terminal, &status, 5.0));
    terminal_end(terminal);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("terminal harness");
    TCase *tcase = tcase_create("harness");
    tcase_set_timeout(tcase, 30);
    tcase_add_test(tcase, words_cells_keys_sizes);
    tcase_add_test(tcase, programs_and_hang_up);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
