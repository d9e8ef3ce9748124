/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/session_filter.h"

#include "base/clock.h"
#include "base/nearest.h"
#include "base/text.h"

#include <stdio.h>
#include <string.h>
#include <strings.h>

/* The day so many days later. */
static bool read_day(const char *text, int later, int64_t *unix_ms)
{
    char whole[64];
    int64_t at_us = 0;
    int length = snprintf(whole, sizeof whole, "%.20sT00:00:00Z", text);
    if (strlen(text) != 10 || !clock_parse_us(whole, (size_t)length, &at_us)) {
        return false;
    }
    *unix_ms = clock_local_day_ms(at_us / 1000 + later * CLOCK_DAY_MS);
    return true;
}

bool filter_read_day(const char *text, int64_t *unix_ms)
{
    return read_day(text, 0, unix_ms);
}

static bool take_since(void *filter, const char *text, struct problem *problem)
{
    (void)problem;
    return filter_read_day(text, &((struct session_filter *)filter)->since_ms);
}

static bool take_until(void *filter, const char *text, struct problem *problem)
{
    (void)problem;
    return read_day(text, 1, &((struct session_filter *)filter)->until_ms);
}

const struct option_row filter_options[FILTER_OPTIONS] = {
    {"rider", OPTION_TEXT, OPTION_INTO(session_filter, rider)},
    {"bike", OPTION_TEXT, OPTION_INTO(session_filter, bike)},
    {"since", OPTION_OWN, .wants = FILTER_DAY, .take = take_since},
    {"until", OPTION_OWN, .wants = FILTER_DAY, .take = take_until},
};

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
    struct nearest near; /* of riders' codes */
    char code[NAME_SIZE];
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
    nearest_try(&finding->near, session->rider_code);
    if (finding->near.word == session->rider_code) { /* which goes with its row */
        text_copy(finding->code, sizeof finding->code, session->rider_code);
        finding->near.word = finding->code;
    }
    return true;
}

bool filter_find(struct store *store, const struct session_filter *filter, int64_t *ids, int most,
                 int *count, struct problem *problem)
{
    char meant[NEAREST_TEXT_SIZE];
    struct finding finding = {
        filter, ids, most, 0, nearest_to(filter->rider != NULL ? filter->rider : ""), ""};
    if (!store_list(store, on_session, &finding, problem)) {
        return false;
    }
    *count = finding.count;
    if (finding.count == 0 && finding.near.word != NULL && finding.near.slips > 0) {
        return problem_set(problem, "no session in the store is of rider %s%s", filter->rider,
                           nearest_text(&finding.near, "", meant, sizeof meant));
    }
    return finding.count > 0 ||
           problem_set(problem, "no session in the store is as asked for: see 'holdline list'");
}
