/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "plain_kinds.h"

#include "measure/rules.h"
#include "rig/plain_words.h"

#include <math.h>
#include <string.h>

#define LINES_OF_STANDING 4
#define LINES_OF_COUNTING 8
#define CODE_MOST_MILLI 255000

static int kept(const struct plain_column *column)
{
    return column->numbers < HELD_LINES_MAX ? column->numbers : HELD_LINES_MAX;
}

bool plain_counts_lines(const struct plain_column *column)
{
    int64_t step_milli = column->least_step_milli; /* some count down */
    return column->numbers >= LINES_OF_COUNTING && !column->has_fraction &&
           (step_milli == 1000 || step_milli == -1000) && column->largest_step_milli == step_milli;
}

bool plain_stands_still(const struct plain_column *column)
{
    return column->numbers >= LINES_OF_STANDING && column->least_step_milli == 0 &&
           column->largest_step_milli == 0;
}

bool plain_goes_on(const struct plain_column *column)
{
    int back = 0;
    int count = kept(column);
    for (int i = 1; i < count; i++) {
        int64_t before = column->value_milli[i - 1];
        bool round = column->value_milli[i] < before / 2;
        back += column->value_milli[i] >= before ? 0 : round ? 1 : 2;
    }
    return back <= 1;
}

int64_t plain_median_milli(const struct plain_column *column)
{
    int64_t sorted[HELD_LINES_MAX];
    int count = 0;
    for (int i = 0; i < kept(column); i++) {
        int64_t value = column->value_milli[i];
        int at = count;
        if (value <= 0) {
            continue;
        }
        for (; at > 0 && sorted[at - 1] > value; at--) {
            sorted[at] = sorted[at - 1];
        }
        sorted[at] = value;
        count++;
    }
    return count > 0 ? sorted[count / 2] : 0;
}

int64_t plain_spread_milli(const struct plain_column *column)
{
    int64_t least = INT64_MAX;
    int64_t most = 0;
    for (int i = 0; i < kept(column); i++) {
        int64_t value = column->value_milli[i];
        if (value > 0) {
            least = value < least ? value : least;
            most = value > most ? value : most;
        }
    }
    return most > 0 ? most - least : 0;
}

bool plain_usual_code(const struct plain_column *column, int64_t *milli)
{
    int count = kept(column);
    for (int i = 0; i < count; i++) {
        int alike = 0;
        for (int j = 0; j < count; j++) {
            alike += column->value_milli[j] == column->value_milli[i] ? 1 : 0;
        }
        int64_t value = column->value_milli[i];
        if (2 * alike > count && value >= 0 && value <= CODE_MOST_MILLI) {
            *milli = value;
            return true;
        }
    }
    return false;
}

double plain_mm(int64_t milli, struct span unit)
{
    uint8_t more_decimals;
    uint32_t tenths = plain_unit_tenths(unit, &more_decimals);
    tenths = tenths > 0 ? tenths : 10;
    return (double)milli / 1000 * tenths / 10 / pow(10, more_decimals);
}

bool plain_same_range(const struct plain_column *a, const struct plain_column *b)
{
    struct span unit_a = {a->unit, strlen(a->unit)};
    struct span unit_b = {b->unit, strlen(b->unit)};
    uint8_t more;
    int count = kept(a);
    if (strcmp(a->unit, b->unit) == 0 || plain_unit_tenths(unit_a, &more) == 0 ||
        plain_unit_tenths(unit_b, &more) == 0 || count != kept(b)) {
        return false;
    }
    for (int i = 0; i < count; i++) {
        double mm_a = plain_mm(a->value_milli[i], unit_a);
        double mm_b = plain_mm(b->value_milli[i], unit_b);
        if (fabs(mm_a - mm_b) > fmax(SAME_RANGE_MM, SAME_RANGE_SHARE * mm_a)) {
            return false;
        }
    }
    return true;
}

bool plain_is_plausible(const struct plain_column *column, struct span unit)
{
    int64_t median_milli = plain_median_milli(column);
    double mm = plain_mm(median_milli, unit);
    return median_milli == 0 || (mm >= RIDER_RANGE_LEAST_MM && mm <= RIDER_RANGE_MOST_MM);
}
