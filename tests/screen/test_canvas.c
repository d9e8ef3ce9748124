/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/check.h"
#include "base/random.h"
#include "base/text.h"
#include "screen/page_kinds.h"
#include "support/test_main.h"
#include "support/test_seed.h"
#include "support/views.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The canvas: nothing is drawn outside, no wide letter is cut in half; and pages drawn from views
 * with anything in them, at any size. */

static void row_text(struct canvas *canvas, int row, char *text)
{
    size_t used = 0;
    for (int column = 0; column < canvas->columns; column++) {
        const struct canvas_cell *cell = canvas_at(canvas, row, column);
        for (int i = 0; i < 3 && cell->code[i] != 0; i++) {
            used += canvas_encode(text + used, cell->code[i]);
        }
    }
    text[used] = '\0';
}

/* What is wrong with a cell, or NULL. */
static const char *cell_fault(struct canvas *canvas, int row, int column)
{
    const struct canvas_cell *cell = canvas_at(canvas, row, column);
    uint32_t code = cell->code[0];
    if (cell->style >= STYLES) {
        return "no such style";
    }
    if (code == 0) {
        const struct canvas_cell *before = canvas_at(canvas, row, column - 1);
        return before != NULL && text_cells(before->code[0]) == 2 ? NULL : "half a letter alone";
    }
    int cells = text_cells(code);
    if (cells < 1 || code < 0x20 || (code >= 0x7F && code < 0xA0)) {
        return "nothing that can be shown";
    }
    if (canvas->letters == LETTERS_ASCII && code >= 0x80) {
        return "not in ASCII";
    }
    const struct canvas_cell *after = canvas_at(canvas, row, column + 1);
    if (cells == 2 && (after == NULL || after->code[0] != 0)) {
        return "a wide letter without its second half";
    }
    for (int i = 1; i < 3 && cell->code[i] != 0; i++) {
        if (text_cells(cell->code[i]) != 0) {
            return "no combining mark";
        }
    }
    return NULL;
}

/* Every wide letter has its second half and every half its letter; only showable characters stand
 * there. One assertion for all: Check notes each on a file. */
static void check_canvas(struct canvas *canvas)
{
    for (int row = 0; row < canvas->rows; row++) {
        for (int column = 0; column < canvas->columns; column++) {
            const char *fault = cell_fault(canvas, row, column);
            if (fault != NULL) {
                ck_abort_msg("%dx%d, row %d, column %d: %s", canvas->columns, canvas->rows, row,
                             column, fault);
            }
        }
    }
}

START_TEST(a_wait_says_what_for_and_how_far)
{
    struct canvas canvas;
    char text[1024];
    ck_assert(canvas_create(&canvas, LETTERS_FULL));
    canvas_begin(&canvas, 3, 20);
    page_wait(&canvas, "opening", NAN);
    row_text(&canvas, 0, text);
    ck_assert_str_eq(text, " HOLDLINE           ");
    row_text(&canvas, 2, text);
    ck_assert_str_eq(text, " opening ...        ");
    page_wait(&canvas, "opening", 0.459);
    row_text(&canvas, 2, text);
    ck_assert_str_eq(text, " opening ... 45 %   ");
    canvas_begin(&canvas, 1, 8); /* on any terminal */
    page_wait(&canvas, "opening", 1.0);
    check_canvas(&canvas);
    canvas_destroy(&canvas);
}
END_TEST

START_TEST(text_stays_in_its_place)
{
    struct canvas canvas;
    char text[1024];
    ck_assert(canvas_create(&canvas, LETTERS_FULL));
    canvas_begin(&canvas, 3, 10);
    ck_assert_int_eq(canvas_text(&canvas, 1, 2, 5, STYLE_PLAIN, "abcdefgh"), 5);
    row_text(&canvas, 1, text);
    ck_assert_str_eq(text, "  abcd\u2026   ");
    ck_assert_int_eq(canvas_text(&canvas, 0, 7, 50, STYLE_PLAIN, "abcdefgh"),
                     3); /* cut at the right edge */
    row_text(&canvas, 0, text);
    ck_assert_str_eq(text, "       ab\u2026");
    ck_assert_int_eq(canvas_text(&canvas, -1, 0, 5, STYLE_PLAIN, "x"), 0);
    ck_assert_int_eq(canvas_text(&canvas, 3, 0, 5, STYLE_PLAIN, "x"), 0);
    ck_assert_int_eq(canvas_text(&canvas, 2, 10, 5, STYLE_PLAIN, "x"), 0);
    ck_assert_ptr_null(canvas_at(&canvas, 0, 10));
    canvas_put(&canvas, 5, 5, STYLE_PLAIN, 'x');
    canvas_fill(&canvas, -2, -2, 100, 100, STYLE_STRONG, '.');
    check_canvas(&canvas);
    canvas_destroy(&canvas);
}
END_TEST

/* '0.5 %' is not to be read over two lines, nor a number without its '±'. */
START_TEST(a_number_stays_with_its_unit)
{
    struct canvas canvas;
    static const struct {
        const char *text, *fits;
        int width;
    } cases[] = {
        {"SD 0.5 %, from", "SD", 6},
        {"SD 0.5 %, from", "SD 0.5 %,", 9},
        {"(1 to 3) m\u00B2 on", "(1 to", 8},
        {"chest 780 \u00B12", "chest", 9},
        {"at 40 km/h; so", "at", 8},
        {"run 8 laps", "run 8", 8},
        {"of 8 mmm", "of 8", 6},
        {"a %b", "a", 3},
    };
    ck_assert(canvas_create(&canvas, LETTERS_FULL));
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        size_t fits = canvas_fitting(&canvas, cases[i].text, cases[i].width);
        ck_assert_msg(fits == strlen(cases[i].fits), "'%.*s', not '%s'", (int)fits, cases[i].text,
                      cases[i].fits);
    }
    canvas_destroy(&canvas);
}
END_TEST

START_TEST(wide_letters_are_never_halved)
{
    struct canvas canvas;
    char text[1024];
    ck_assert(canvas_create(&canvas, LETTERS_FULL));
    canvas_begin(&canvas, 1, 6);
    canvas_text(&canvas, 0, 0, 6, STYLE_PLAIN, "\u65E5\u672C\u8A9E");
    canvas_put(&canvas, 0, 1, STYLE_PLAIN, 'x'); /* on a second half */
    row_text(&canvas, 0, text);
    ck_assert_str_eq(text, " x\u672C\u8A9E");
    canvas_put(&canvas, 0, 2, STYLE_PLAIN, 'y'); /* on a letter */
    row_text(&canvas, 0, text);
    ck_assert_str_eq(text, " xy \u8A9E");
    canvas_begin(&canvas, 1, 6);
    ck_assert_int_eq(canvas_text(&canvas, 0, 3, 2, STYLE_PLAIN, "a\u65E5"),
                     2); /* one cell is left for two */
    check_canvas(&canvas);
    canvas_destroy(&canvas);
}
END_TEST

START_TEST(combining_marks_join_their_letter)
{
    struct canvas canvas;
    ck_assert(canvas_create(&canvas, LETTERS_FULL));
    canvas_begin(&canvas, 1, 10);
    ck_assert_int_eq(canvas_text(&canvas, 0, 0, 10, STYLE_PLAIN, "e\u0301\u0302\u0303\u0304x"), 2);
    ck_assert_uint_eq(canvas_at(&canvas, 0, 0)->code[0], 'e');
    ck_assert_uint_eq(canvas_at(&canvas, 0, 0)->code[1], 0x301);
    ck_assert_uint_eq(canvas_at(&canvas, 0, 0)->code[2], 0x302);
    ck_assert_uint_eq(canvas_at(&canvas, 0, 1)->code[0], 'x');
    ck_assert_int_eq(canvas_text(&canvas, 0, 4, 3, STYLE_PLAIN, "\u0301\u0301"),
                     0); /* without a letter: nothing */
    check_canvas(&canvas);
    canvas_destroy(&canvas);
}
END_TEST

START_TEST(poorer_letters)
{
    struct canvas canvas;
    char text[1024];
    ck_assert(canvas_create(&canvas, LETTERS_ASCII));
    canvas_begin(&canvas, 1, 40);
    canvas_text(&canvas, 0, 0, 40, STYLE_PLAIN, "\u25B2 \u00B14 \u22125 \u00E9\u65E5 x");
    row_text(&canvas, 0, text);
    text[strlen("^ +-4 -5 ??? x")] = '\0';
    ck_assert_str_eq(text, "^ +-4 -5 ??? x");
    check_canvas(&canvas);
    canvas_destroy(&canvas);
}
END_TEST

/* ---- views with anything in them ---- */

static double odd_number(struct random_source *random)
{
    static const double odd[] = {0.0, -0.0, 1e-9, 884.0, -884.0, 1e6, -1e6, 1e18, -1e300, 3.0};
    switch (random_u64(random) % 5) {
    case 0:
        return NAN;
    case 1:
        return random_u64(random) % 2 ? INFINITY : -INFINITY;
    case 2:
        return odd[random_u64(random) % 10];
    default:
        return 884.0 + 30.0 * random_normal(random);
    }
}

static void odd_text(struct random_source *random, char *text, size_t size)
{
    size_t length = (size_t)(random_u64(random) % size);
    for (size_t i = 0; i < length; i++) {
        text[i] = (char)(1 + random_u64(random) % 255);
    }
    text[length] = '\0';
}

static void odd_channel(struct random_source *random, struct view_channel *channel)
{
    double *const numbers[] = {&channel->slow_mm,
                               &channel->quick_mm,
                               &channel->shown_mm,
                               &channel->target_mm,
                               &channel->target_half_width_mm,
                               &channel->band_above_mm,
                               &channel->band_below_mm,
                               &channel->mean_mm,
                               &channel->mean_half_width_mm,
                               &channel->creep_mm_per_min,
                               &channel->in_band_share};
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++) {
        if (random_u64(random) % 3 == 0) {
            *numbers[i] = odd_number(random);
        }
    }
    channel->has_target = random_u64(random) % 3 != 0;
    channel->has_band = random_u64(random) % 3 != 0;
    channel->cue = (enum cue_state)(random_u64(random) % 4);
    channel->seen = (enum cue_state)(random_u64(random) % 4);
}

static void odd_sensor(struct random_source *random, struct view *view, int c)
{
    struct snapshot *snapshot = made_snapshot(view);
    struct channel_record *sensor = made_sensor(view, c);
    sensor->role = (enum channel_role)(random_u64(random) % 3 == 0 ? random_u64(random) % 3 : 0);
    if (random_u64(random) % 4 == 0) {
        odd_text(random, sensor->name, sizeof sensor->name);
        odd_text(random, sensor->mark, sizeof sensor->mark);
    }
    if (snapshot->build >= 0 && random_u64(random) % 2 == 0) {
        struct tie *tie = &snapshot->analysis.tie[snapshot->build][c];
        tie->kind = (enum tie_kind)(random_u64(random) % 7);
        tie->absolute = random_u64(random) % 2;
        tie->shift_mm = odd_number(random);
        tie->u_build_mm = odd_number(random);
    }
}

static void odd_history(struct random_source *random, struct view_history *history, int channel)
{
    for (int p = 0; p < VIEW_HISTORY; p += 1 + (int)(random_u64(random) % 50)) {
        struct view_point *point = &history->point[channel][p];
        point->slow_mm = (float)odd_number(random);
        point->phase = (uint8_t)(random_u64(random) % 7);
        point->setup = (uint8_t)(random_u64(random) % 4);
    }
}

static void odd_check(struct random_source *random, struct view *view)
{
    struct view_check *check = &view->check;
    check->running = random_u64(random) % 2;
    check->kind = (enum check_kind)(random_u64(random) % CHECK_KINDS);
    check->channel = (int)(random_u64(random) % (size_t)(view->channel_count + 1)) - 1;
    check->left_s = odd_number(random);
    check->length_s = odd_number(random);
    odd_text(random, check->ask, sizeof check->ask);
    int checks = (int)(random_u64(random) % CHECK_LATEST_MAX);
    for (int i = 0; i < checks && view->channel_count > 0; i++) {
        char words[CHECK_WORDS_SIZE];
        odd_text(random, words, sizeof words);
        made_checked(view, (enum check_kind)(random_u64(random) % CHECK_KINDS),
                     (int)(random_u64(random) % ((unsigned)view->channel_count + 1)) - 1,
                     (enum check_verdict)(random_u64(random) % CHECK_VERDICTS), (double)i, words);
    }
    for (int c = 0; c < CHANNELS_MAX; c++) {
        check->range_mm[c] = odd_number(random);
        check->former_mm[c] = odd_number(random);
        view->health.channel[c].levels_apart_mm = odd_number(random);
        view->health.channel[c].two_levels = random_u64(random) % 2;
        view->health.channel[c].noise_mm = odd_number(random);
    }
    view->health.clock_rate_ppm = odd_number(random);
    view->health.rate_hz = odd_number(random);
}

static void odd_view(struct random_source *random, struct made_up *made)
{
    struct view *view = &made->view;
    made_view(made, (enum made_view)(random_u64(random) % MADE_VIEWS));
    view->phase = (enum view_phase)(random_u64(random) % 7);
    made->history.steps = (int64_t)(random_u64(random) % (2 * VIEW_HISTORY));
    view->session_s = fabs(odd_number(random));
    view->minutes_left = odd_number(random);
    view->elapsed_s = odd_number(random);
    view->planned_s = odd_number(random);
    view->countdown_s = odd_number(random);
    view->guided = random_u64(random) % 2;
    view->asked_channel = (int)(random_u64(random) % (CHANNELS_MAX + 1)) - 1;
    view->asked_cue = (enum cue_state)(random_u64(random) % 4);
    for (int c = 0; c < view->channel_count; c++) {
        odd_channel(random, &view->channel[c]);
        odd_sensor(random, view, c);
        odd_history(random, &made->history, c);
    }
    for (int s = 0; s < made->snapshot.record.setup_count; s++) {
        for (int c = 0; c < view->channel_count; c++) {
            struct comparison *heights = &made->snapshot.analysis.free_heights[c];
            struct setup_difference *difference = &heights->difference[s];
            difference->verdict = (enum verdict)(random_u64(random) % 7);
            difference->difference = odd_number(random);
            difference->low = odd_number(random);
            difference->high = odd_number(random);
            difference->has_interval = random_u64(random) % 2;
            heights->setup[s].mean = odd_number(random);
            heights->setup[s].half_width = odd_number(random);
            heights->setup[s].holds = (int)(random_u64(random) % 3);
        }
    }
    odd_check(random, view);
    if (random_u64(random) % 3 == 0) {
        struct session_record *record = &made->snapshot.record;
        odd_text(random, record->rider.name, sizeof record->rider.name);
        odd_text(random, record->setup[2].intent, sizeof record->setup[2].intent);
        odd_text(random, view->next_step, sizeof view->next_step);
        odd_text(random, view->store_text, sizeof view->store_text);
    }
}

START_TEST(anything_can_be_drawn)
{
    static struct made_up made;
    const struct view *view = &made.view;
    static struct page_stack pages;
    struct random_source random;
    struct canvas canvas;
    enum letters letters = (enum letters)_i;
    random_seed(&random, test_seed(20260110u + (unsigned)_i));
    ck_assert(canvas_create(&canvas, letters));
    ck_assert(plot_create(&pages.state.plot, letters));
    pages.count = 1;
    for (int i = 0; i < 2000; i++) {
        int rows = 1 + (int)(random_u64(&random) % 70),
            columns = 1 + (int)(random_u64(&random) % 210);
        odd_view(&random, &made);
        odd_text(&random, pages.state.message, sizeof pages.state.message);
        for (int kind = 0; kind < PAGE_KINDS; kind++) {
            struct page_frame frame = {.canvas = &canvas};
            pages.open[0] = (enum page_kind)kind;
            pages.first[kind] = (int)(random_u64(&random) % 60);
            if (kind != PAGE_FORM) { /* it is not open */
                canvas_begin(&canvas, rows, columns);
                page_draw(&pages, &frame, view);
                check_canvas(&canvas);
            }
        }
    }
    plot_destroy(&pages.state.plot);
    canvas_destroy(&canvas);
}
END_TEST

/* ---- the history's columns stand still while they move left ---- */

START_TEST(a_column_holds_the_same_points_while_it_moves)
{
    for (int columns = 1; columns <= 400; columns++) {
        int points = gauge_points_per_column(columns);
        ck_assert_int_eq(VIEW_HISTORY % points, 0);
        /* at least a minute where two minutes of history allow it */
        ck_assert(columns * points * VIEW_HISTORY_STEP_S >= 60.0 ||
                  columns * points >= VIEW_HISTORY || points == 120);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("canvas");
    TCase *tcase = tcase_create("canvas");
    tcase_set_timeout(tcase, 120);
    tcase_add_test(tcase, a_wait_says_what_for_and_how_far);
    tcase_add_test(tcase, text_stays_in_its_place);
    tcase_add_test(tcase, a_number_stays_with_its_unit);
    tcase_add_test(tcase, wide_letters_are_never_halved);
    tcase_add_test(tcase, combining_marks_join_their_letter);
    tcase_add_test(tcase, poorer_letters);
    tcase_add_loop_test(tcase, anything_can_be_drawn, 0, 3);
    tcase_add_test(tcase, a_column_holds_the_same_points_while_it_moves);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
