/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "difference_title.h"

#include "base/language.h"
#include "base/numbers.h"
#include "base/text.h"
#include "say/say.h"
#include "say/setup.h"

#include <stdio.h>

bool difference_tested(const struct comparison *comparison, int setup)
{
    return setup < comparison->setup_count && comparison->setup[setup].holds > 0;
}

/* Where no list of setups fits: 'head: 2 of 5 lower', 'head: of 15, 7 lower, 7 higher'. */
static void counted_title(const char *name, const int count[2], int of, char *text, size_t size)
{
    if (count[0] > 0 && count[1] > 0) {
        snprintf(text, size, T_("%s: of %d, %d lower, %d higher"), name, of, count[0], count[1]);
    } else if (count[0] > 0) {
        snprintf(text, size, T_("%s: %d of %d lower"), name, count[0], of);
    } else {
        snprintf(text, size, T_("%s: %d of %d higher"), name, count[1], of);
    }
}

void difference_title(const struct report_input *input, int channel, int letters, char *text,
                      size_t size)
{
    const struct comparison *comparison = &input->analysis->free_heights[channel];
    const char *name = say_sensor(input->analysis->channel_name[channel]);
    int list[2][SETUPS_MAX], count[2] = {0, 0}, of = 0;
    char lists[2][SAY_SIZE], lower[2 * SAY_SIZE], higher[2 * SAY_SIZE];
    for (int setup = 0; setup < input->record->setup_count; setup++) {
        enum verdict verdict = comparison->difference[setup].verdict;
        if (setup == comparison->baseline || setup_sight_failed(input->record, setup)) {
            continue;
        }
        of += difference_tested(comparison, setup) ? 1 : 0;
        if (verdict == VERDICT_LOWER || verdict == VERDICT_HIGHER) {
            int way = verdict == VERDICT_HIGHER;
            list[way][count[way]++] = input->record->setup[setup].number;
        }
    }
    for (int way = 0; way < 2; way++) {
        say_numbers(lists[way], sizeof lists[way], list[way], count[way]);
    }
    snprintf(lower, sizeof lower, P_("lower on setup %s", "lower on setups %s", count[0]),
             lists[0]);
    snprintf(higher, sizeof higher, P_("higher on setup %s", "higher on setups %s", count[1]),
             lists[1]);
    size_t used = 0;
    text_copy(text, size, "");
    if (count[0] + count[1] == 0) {
        snprintf(text, size, T_("%s: none differs for certain"), name);
    } else if (count[0] > 0 && count[1] > 0) {
        text_append(text, size, &used, "%s: %s, %s", name, lower, higher);
    } else {
        text_append(text, size, &used, "%s: %s", name, count[0] > 0 ? lower : higher);
    }
    if (text_width(text) > letters && count[0] + count[1] > 0) {
        counted_title(name, count, of, text, size);
    }
}
