/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"
#include "support/showing.h"
#include "support/stage.h"
#include "support/test_main.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The screens at all sizes, on all kinds of terminals, in both kinds of locale, with and without
 * colours. */

static const char *const kinds[] = {"xterm-256color", "xterm",         "linux",
                                    "vt100",          "tmux-256color", "screen"};
#define KINDS (sizeof kinds / sizeof kinds[0])

static char text[256 * 1024];

static void require(struct terminal *terminal, const char *words, const char *term, int rows,
                    int columns)
{
    if (!terminal_wait_text(terminal, words, 20.0)) {
        terminal_text(terminal, text, sizeof text);
        ck_abort_msg("'%s' is missing on %s, %dx%d:\n%.3000s", words, term, columns, rows, text);
    }
}

/* What must be true of every screen: nothing blinks, nothing lies outside, the last row's last cell
 * is where it should be, without colours there are none, in a plain locale only ASCII was sent. */
static void check_cells(struct terminal *terminal, int rows, int columns, bool colours, bool ascii)
{
    bool coloured = false;
    for (int row = 0; row < rows; row++) {
        for (int column = 0; column < columns; column++) {
            struct terminal_cell cell;
            terminal_cell(terminal, row, column, &cell);
            if (cell.blink) {
                ck_abort_msg("row %d, column %d blinks", row, column);
            }
            if (cell.foreground >= 0 || cell.background >= 0) {
                coloured = true;
            }
            for (const char *next = cell.text; ascii && *next != '\0'; next++) {
                if ((unsigned char)*next >= 0x80) {
                    ck_abort_msg("'%s' in a plain locale", cell.text);
                }
            }
        }
    }
    ck_assert_msg(coloured == colours, "%s colours at %dx%d",
                  coloured ? "there are" : "there are no", columns, rows);
}

START_TEST(every_terminal_and_size)
{
    const char *term = kinds[_i];
    bool has_colours = strcmp(term, "vt100") != 0;
    for (size_t s = 0; s < SCREEN_SIZES; s++) {
        for (int locale = 0; locale < 2; locale++) {
            int rows = screen_sizes[s].rows, columns = screen_sizes[s].columns;
            struct terminal_settings settings = {.rows = rows,
                                                 .columns = columns,
                                                 .term = term,
                                                 .locale = locale == 0 ? "C.UTF-8" : "C"};
            struct stage *stage = stage_open(&settings, MADE_HOLD_GUIDED);
            if (stage == NULL) {
                return;
            }
            struct terminal *terminal = stage_terminal(stage);
            ck_assert(stage_drawn(stage));
            ck_assert(terminal_wait_quiet(terminal, 0.05, 2.0));
            static const char *const words[] = {"SETUP 3",        "HEAD",   "CHEST",
                                                "HOLD 6, guided", "? keys", "hold 5 kept"};
            for (size_t w = 0; w < sizeof words / sizeof words[0]; w++) {
                require(terminal, words[w], term, rows, columns);
            }
            require(terminal, "0:41 of 1:00", term, rows, columns);
            require(terminal, locale == 0 ? "\u25C6 IN" : "* IN", term, rows, columns);
            check_cells(terminal, rows, columns, has_colours, locale == 1);
            /* the message is in the last row, whatever the size */
            int row;
            ck_assert(terminal_find(terminal, "hold 5 kept", &row, NULL));
            ck_assert_int_eq(row, rows - 1);
            /* the rider's screen: the band's edges */
            ck_assert(stage_keys(stage, "v"));
            ck_assert(terminal_wait_gone(terminal, "SETUP 3", 2.0));
            require(terminal, locale == 0 ? "\u2500\u2500\u2500" : "===", term, rows, columns);
            check_cells(terminal, rows, columns, has_colours, locale == 1);
            /* keys, and a form */
            ck_assert(stage_keys(stage, "?"));
            require(terminal, "KEYS THAT WORK HERE", term, rows, columns);
            ck_assert(stage_keys(stage, "\033"));
            ck_assert(terminal_wait_gone(terminal, "KEYS THAT WORK HERE", 2.0));
            ck_assert(stage_keys(stage, "o"));
            require(terminal, "A NOTE", term, rows, columns);
            check_cells(terminal, rows, columns, has_colours, locale == 1);
            stage_close(stage);
        }
    }
}
END_TEST

START_TEST(no_color_is_heeded)
{
    for (size_t s = 0; s < SCREEN_SIZES; s++) {
        for (int kind = 0; kind < MADE_VIEWS; kind++) {
            struct terminal_settings settings = {
                .rows = screen_sizes[s].rows, .columns = screen_sizes[s].columns, .no_color = true};
            struct stage *stage = stage_open(&settings, (enum made_view)kind);
            if (stage == NULL) {
                return;
            }
            ck_assert(stage_drawn(stage));
            ck_assert(terminal_wait_quiet(stage_terminal(stage), 0.03, 2.0));
            check_cells(stage_terminal(stage), screen_sizes[s].rows, screen_sizes[s].columns, false,
                        false);
            stage_close(stage);
        }
    }
}
END_TEST

START_TEST(mono_says_all_in_words_and_shapes)
{
    struct terminal_settings settings = {.rows = 24, .columns = 80, .no_color = true};
    struct stage *stage = stage_open(&settings, MADE_HOLD_GUIDED);
    if (stage == NULL) {
        return;
    }
    struct terminal *terminal = stage_terminal(stage);
    struct view *view = stage_lock(stage);
    view->channel[0].slow_mm = view->channel[0].quick_mm = view->channel[0].shown_mm = 900.0;
    view->channel[0].cue = view->channel[0].seen = CUE_HIGH;
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    int row, column;
    struct terminal_cell cell;
    ck_assert(terminal_find(terminal, "\u25B2 HIGH", &row, &column));
    terminal_cell(terminal, row, column, &cell);
    ck_assert(cell.reverse);
    stage_close(stage);
}
END_TEST

START_TEST(too_small_is_one_line)
{
    static const struct {
        int rows, columns;
    } small[] = {{11, 80}, {24, 39}, {1, 60}, {1, 1}, {2, 3}};
    for (size_t i = 0; i < sizeof small / sizeof small[0]; i++) {
        struct stage *stage = open_screen(small[i].rows, small[i].columns, MADE_HOLD_FREE);
        if (stage == NULL) {
            return;
        }
        struct terminal *terminal = stage_terminal(stage);
        if (small[i].columns >= 30) {
            require(terminal, "too small: ", "xterm-256color", small[i].rows, small[i].columns);
            require(terminal, "40\u00D712 is needed", "xterm-256color", small[i].rows,
                    small[i].columns);
        }
        for (int row = 1; row < small[i].rows; row++) {
            char line[4096];
            terminal_row(terminal, row, line, sizeof line);
            ck_assert_str_eq(line, "");
        }
        /* and it is right again when there is room */
        terminal_resize(terminal, 24, 80);
        ck_assert(terminal_wait_text(terminal, "HOLD 6, free", 20.0));
        stage_close(stage);
    }
}
END_TEST

START_TEST(resize_storm)
{
    struct stage *stage = open_screen(24, 80, MADE_HOLD_FREE);
    if (stage == NULL) {
        return;
    }
    struct terminal *terminal = stage_terminal(stage);
    unsigned state = 12345;
    for (int i = 0; i < 300; i++) {
        state = state * 1103515245u + 12345u;
        int rows = 1 + (int)((state >> 16) % 100), columns = 1 + (int)((state >> 8) % 300);
        if (i % 17 == 0) {
            rows = columns = 1;
        }
        terminal_resize(terminal, rows, columns);
        if (i % 3 == 0) {
            stage_step(stage, 1.0 / 30.0);
        }
        if (i % 40 == 0) {
            terminal_send(terminal, "v");
        }
        if (i % 50 == 0) {
            terminal_send(terminal, "?\033");
        }
    }
    /* v was pressed eight times: the fitter's screen is there */
    terminal_resize(terminal, 24, 80);
    ck_assert(terminal_wait_text(terminal, "HOLD 6, free", 20.0));
    ck_assert(stage_step(stage, 1.0));
    ck_assert(terminal_wait_quiet(terminal, 0.5, 10.0));
    terminal_text(terminal, text, sizeof text);
    /* the same as on a terminal that was never resized */
    static char fresh[64 * 1024];
    struct view *view = stage_lock(stage);
    static struct made_up copy;
    made_copy(&copy, made_of(view));
    copy.view.message[0] = '\0'; /* the keys took it away */
    stage_unlock(stage);
    struct terminal_settings settings = {.rows = 24, .columns = 80};
    struct stage *other = stage_open(&settings, MADE_HOLD_FREE);
    ck_assert_ptr_nonnull(other);
    made_copy(made_of(stage_lock(other)), &copy);
    stage_unlock(other);
    ck_assert(stage_drawn(other));
    /* it may have drawn the message before it was taken away */
    terminal_send(stage_terminal(other), "?");
    ck_assert(terminal_wait_gone(stage_terminal(other), "HOLD 6, free", 20.0));
    terminal_send(stage_terminal(other), "\033");
    ck_assert(terminal_wait_text(stage_terminal(other), "HOLD 6, free", 20.0));
    ck_assert(terminal_wait_quiet(stage_terminal(other), 0.5, 10.0));
    terminal_text(stage_terminal(other), fresh, sizeof fresh);
    ck_assert_str_eq(text, fresh);
    stage_close(other);
    stage_close(stage);
}
END_TEST

START_TEST(larger_than_the_canvas)
{
    struct stage *stage = open_screen(130, 450, MADE_MANY);
    if (stage == NULL) {
        return;
    }
    ck_assert(terminal_shows(stage_terminal(stage), "HEAD"));
    stage_close(stage);
}
END_TEST

START_TEST(unknown_terminal_is_one_line)
{
    static const struct {
        const char *term, *words;
    } terms[] = {{"no-such-terminal", "'no-such-terminal' (TERM) is not known"},
                 {"dumb", "'dumb' (TERM) can't move the cursor"},
                 {"", "TERM is not set"}};
    for (size_t i = 0; i < sizeof terms / sizeof terms[0]; i++) {
        struct terminal_settings settings = {.rows = 24, .columns = 200, .term = terms[i].term};
        struct stage *stage = stage_open(&settings, MADE_LIVE);
        if (stage == NULL) {
            return;
        }
        struct terminal *terminal = stage_terminal(stage);
        int status, row;
        ck_assert(terminal_wait_end(terminal, &status, 3.0));
        ck_assert_int_eq(status, 1);
        ck_assert(terminal_find(terminal, terms[i].words, &row, NULL));
        ck_assert_int_eq(row, 0);
        ck_assert(!terminal_alternate(terminal));
        char line[4096];
        terminal_row(terminal, 1, line, sizeof line);
        ck_assert_str_eq(line, "");
        stage_close(stage);
    }
}
END_TEST

START_TEST(terminal_is_given_back)
{
    struct terminal_settings settings = {.rows = 24, .columns = 80};
    struct stage *stage = stage_open(&settings, MADE_LIVE);
    if (stage == NULL) {
        return;
    }
    struct terminal *terminal = stage_terminal(stage);
    bool visible;
    int status;
    ck_assert(stage_drawn(stage));
    ck_assert(terminal_alternate(terminal));
    terminal_cursor(terminal, NULL, NULL, &visible);
    ck_assert(!visible);
    stage_keys(stage, "q");
    stage_keys(stage, "y");
    ck_assert(terminal_wait_end(terminal, &status, 3.0));
    ck_assert_int_eq(status, 0);
    ck_assert(!terminal_alternate(terminal));
    terminal_cursor(terminal, NULL, NULL, &visible);
    ck_assert(visible);
    stage_close(stage);
}
END_TEST

START_TEST(redraw_after_something_else_wrote)
{
    struct stage *stage = open_screen(24, 80, MADE_LIVE);
    if (stage == NULL) {
        return;
    }
    uint64_t before = terminal_bytes(stage_terminal(stage));
    ck_assert(stage_keys(stage, "\014")); /* Ctrl-L */
    ck_assert(terminal_wait_quiet(stage_terminal(stage), 0.05, 2.0));
    ck_assert_uint_gt(terminal_bytes(stage_terminal(stage)) - before,
                      1500); /* all of it once more */
    ck_assert(terminal_shows(stage_terminal(stage), "HOLDLINE"));
    stage_close(stage);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("terminals");
    TCase *tcase = tcase_create("terminals");
    tcase_set_timeout(tcase, 120);
    tcase_add_loop_test(tcase, every_terminal_and_size, 0, KINDS);
    tcase_add_test(tcase, no_color_is_heeded);
    tcase_add_test(tcase, mono_says_all_in_words_and_shapes);
    tcase_add_test(tcase, too_small_is_one_line);
    tcase_add_test(tcase, resize_storm);
    tcase_add_test(tcase, larger_than_the_canvas);
    tcase_add_test(tcase, unknown_terminal_is_one_line);
    tcase_add_test(tcase, terminal_is_given_back);
    tcase_add_test(tcase, redraw_after_something_else_wrote);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
