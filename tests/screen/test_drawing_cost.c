/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/showing.h"
#include "support/stage.h"
#include "support/test_main.h"

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

/* What a drawing of the fitter's screen sends to the terminal. */

START_TEST(nothing_is_sent_when_nothing_changes)
{
    struct stage *stage = open_screen(24, 80, MADE_HOLD_FREE);
    if (stage == NULL) {
        return;
    }
    terminal_pump(stage_terminal(stage), 0.1);
    uint64_t before = terminal_bytes(stage_terminal(stage));
    terminal_pump(stage_terminal(stage), 0.4);
    ck_assert_uint_eq(terminal_bytes(stage_terminal(stage)), before);
    /* a new serial and the same numbers: nothing either */
    stage_lock(stage);
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    terminal_pump(stage_terminal(stage), 0.1);
    ck_assert_uint_eq(terminal_bytes(stage_terminal(stage)), before);
    stage_close(stage);
}
END_TEST

static int by_size(const void *a, const void *b)
{
    uint64_t x = *(const uint64_t *)a, y = *(const uint64_t *)b;
    return x < y ? -1 : x > y;
}

START_TEST(a_moving_rider_costs_few_bytes)
{
    struct terminal_settings settings = {.rows = 24, .columns = 80};
    struct stage *stage = stage_open(&settings, MADE_HOLD_FREE);
    if (stage == NULL) {
        return;
    }
    static uint64_t bytes[300];
    uint64_t sum = 0;
    ck_assert(stage_drawn(stage));
    for (int i = 0; i < 300; i++) {
        uint64_t before = terminal_bytes(stage_terminal(stage));
        ck_assert(stage_step(stage, 1.0 / 30.0));
        bytes[i] = terminal_bytes(stage_terminal(stage)) - before;
        sum += bytes[i];
    }
    qsort(bytes, 300, sizeof bytes[0], by_size);
    printf("bytes a drawing at 80x24: median %llu, mean %llu, 95 %% %llu, most %llu\n",
           (unsigned long long)bytes[150], (unsigned long long)(sum / 300),
           (unsigned long long)bytes[285], (unsigned long long)bytes[299]);
    ck_assert_uint_le(bytes[150], 400);
    ck_assert_uint_gt(sum, 300);
    stage_close(stage);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("drawing cost");
    TCase *tcase = tcase_create("drawing cost");
    tcase_set_timeout(tcase, 60);
    tcase_add_test(tcase, nothing_is_sent_when_nothing_changes);
    tcase_add_test(tcase, a_moving_rider_costs_few_bytes);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
