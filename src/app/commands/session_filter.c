/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/session_filter.h"

#include "base/clock.h"
#include "base/text.h"

#include <stdio.h>
#include <string.h>
#include <strings.h>

#define DAY_MS 86400000

bool filter_is_option(int option)
{
    return option >= FILTER_RIDER && option <= FILTER_UNTIL;
}

/* '2026-01-10' as its first moment. */
static bool read_day(const char *option, const char *text, int64_t *unix_ms,
                     struct problem *problem)
{
    char whole[64];
    int64_t at_us = 0;
    int length = snprintf(whole, sizeof whole, "%.20sT00:00:00Z", text);
    if (strlen(text) != 10 || !clock_parse_us(whole, (size_t)length, &at_us)) {
        return problem_usage(problem, "--%s: '%s' is no day such as 2026-01-10", option, text);
    }
    *unix_ms = at_us / 1000;
    return true;
}

bool filter_argument(struct session_filter *filter, int option, const char *value,
                     struct problem *problem)
{
    switch (option) {
    case FILTER_RIDER:
        filter->rider = value;
        return true;
    case FILTER_BIKE:
        filter->bike = value;
        return true;
    case FILTER_SINCE:
        return read_day("since", value, &filter->since_ms, problem);
    case FILTER_UNTIL:
        if (!read_day("until", value, &filter->until_ms, problem)) {
            return false;
        }
        filter->until_ms += DAY_MS;
        return true;
    default:
        return problem_usage(problem, "%s", "");
    }
}

bool filter_is_set(const struct session_filter *filter)
{
    return filter->rider != NULL || filter->bike != NULL || filter->since_ms != 0 ||
           filter->until_ms != 0;
}

static bool contains(const char *text, const char *part)
{
    size_t length = strlen(part);
    for (; *text != '\0'; text++) {
        if (strncasecmp(text, part, length) == 0) {
            return true;
        }
    }
    return length == 0;
}

bool filter_fits(const struct session_filter *filter, const struct store_session *session)
{
    return (filter->rider == NULL || text_equal(session->rider_code, filter->rider)) &&
           (filter->bike == NULL || contains(session->bike, filter->bike)) &&
           (filter->since_ms == 0 || session->started_ms >= filter->since_ms) &&
           (filter->until_ms == 0 || session->started_ms < filter->until_ms);
}

struct finding {
    const struct session_filter *filter;
    int64_t *ids;
    int most, count;
};

static bool on_session(void *context, const struct store_session *session)
{
    struct finding *finding = context;
    if (filter_fits(finding->filter, session)) {
        if (finding->count < finding->most) {
            finding->ids[finding->count] = session->id;
        }
        finding->count++;
    }
    return true;
}

bool filter_find(struct store *store, const struct session_filter *filter, int64_t *ids, int most,
                 int *count, struct problem *problem)
{
    struct finding finding = {filter, ids, most, 0};
    if (!store_list(store, on_session, &finding, problem)) {
        return false;
    }
    *count = finding.count;
    return finding.count > 0 ||
           problem_set(problem, "no session in the store is as asked for: see 'holdline list'");
}
