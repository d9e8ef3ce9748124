/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "record/rating.h"

#include <math.h>
#include <string.h>

#define RATED_SCORE(item, named, ...)                                                              \
    [RATING_##                                                                                     \
        item] = {RATING_SCORE, named, named, .unit = "", .most = RATING_SCORE_MOST, __VA_ARGS__},
#define RATED_WORD(item, named, of, ...)                                                           \
    [RATING_##item] = {RATING_WORD, named, named, &(of), "", __VA_ARGS__},
#define RATED_NUMBER(item, named, stored, from, to, ...)                                           \
    [RATING_##item] = {RATING_NUMBER, named, stored, .least = (from), .most = (to), __VA_ARGS__},
const struct rating_field rating_fields[RATING_ITEMS] = {
#include "record/rating_rows.h"
};

void rating_clear(struct rating_record *rating)
{
    memset(rating, 0, sizeof *rating);
    rating->setup = -1;
    for (int item = 0; item < RATING_ITEMS; item++) {
        rating->value[item] = NAN;
    }
}

bool rating_blocks(int item, double value)
{
    const struct rating_field *field = &rating_fields[item];
    return field->blocks != BLOCKS_NOTHING &&
           (field->over == OVER_HIGHEST ? value >= field->bad : value <= field->bad);
}

bool rating_ends_practice(const struct rating_record *rating)
{
    bool ends = rating->sign;
    for (int item = 0; item < RATING_ITEMS; item++) {
        ends = ends || rating_blocks(item, rating->value[item]);
    }
    return ends;
}

double rating_worst_discomfort(const struct rating_record *rating)
{
    double worst = NAN;
    for (int item = 0; item < RATING_ITEMS; item++) {
        if (rating_fields[item].discomfort) {
            worst = fmax(worst, rating->value[item]); /* of NAN and a number the number */
        }
    }
    return worst;
}

const char *rating_word(int item, double value)
{
    return isnan(value) ? NULL : word_of(rating_fields[item].list, (int64_t)value);
}

void rating_sort(enum rating_order order, int items[RATING_ITEMS])
{
    int count = 0;
    for (int rank = 0; count < RATING_ITEMS; rank++) {
        for (int item = 0; item < RATING_ITEMS; item++) {
            const struct rating_field *field = &rating_fields[item];
            if ((order == RATING_ASKED ? field->asked : field->told) == rank) {
                items[count++] = item;
            }
        }
    }
}
