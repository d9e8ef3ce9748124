/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/setup_ratings.h"

#include "measure/rules.h"
#include "measure/statistics.h"

#include <math.h>

double setup_rating(const struct session_record *record, int setup, int item)
{
    double values[RATINGS_MAX], over = NAN;
    size_t count = 0;
    for (int i = 0; i < record->rating_count; i++) {
        double value = record->rating[i].value[item];
        if (record->rating[i].setup == setup && !isnan(value)) {
            values[count++] = value;
        }
    }
    switch (rating_fields[item].over) {
    case OVER_MEDIAN:
        statistics_median(values, count, &over);
        break;
    case OVER_LOWEST:
        statistics_quantile(values, count, 0.0, &over);
        break;
    case OVER_HIGHEST:
        statistics_quantile(values, count, 1.0, &over);
        break;
    case OVER_LATEST:
        over = count > 0 ? values[count - 1] : (double)NAN;
        break;
    }
    return over;
}

static bool blocked(const struct session_record *record, int setup, enum rating_blocks by)
{
    for (int item = 0; item < RATING_ITEMS; item++) {
        if (rating_fields[item].blocks == by &&
            rating_blocks(item, setup_rating(record, setup, item))) {
            return true;
        }
    }
    return false;
}

bool setup_sight_failed(const struct session_record *record, int setup)
{
    return blocked(record, setup, BLOCKS_SIGHT);
}

enum complaint setup_complaint(const struct session_record *record, int setup)
{
    return setup_sight_failed(record, setup)     ? COMPLAINT_FAILED
           : blocked(record, setup, BLOCKS_NUMB) ? COMPLAINT_NUMB
           : setup_rating(record, setup, RATING_SEES_AHEAD) >= (double)SEES_STRAINED
               ? COMPLAINT_STRAINED
               : COMPLAINT_NONE;
}
