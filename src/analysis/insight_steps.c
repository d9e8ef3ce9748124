/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* How far the heights followed the parts, and the next setup worth trying. */
#include "insight_inside.h"

#include "measure/distribution.h"
#include "measure/rules.h"

#include <math.h>
#include <string.h>

/* One change worth making; 0 = never suggested. */
static double step_of(enum bike_key key)
{
    switch (key) {
    case BIKE_PAD_RISE:
    case BIKE_PAD_FORE_AFT:
    case BIKE_SPACERS:
        return STEP_WORTH_MM;
    case BIKE_EXTENSION_ANGLE:
        return STEP_WORTH_DEG;
    default:
        return 0.0;
    }
}

static double part(const struct session_record *record, int setup, enum bike_key key)
{
    return bike_value(&record->setup[setup].bike, key);
}

/* ---- the parts ----------------------------------------------------------------------------------
 */

static void add_factor(const struct session_record *record, const struct analysis *analysis,
                       enum bike_key key, struct insight *insight)
{
    int k = insight->factor_count++;
    insight->factor[k] = key;
    insight->tried_low[k] = insight->tried_high[k] =
        part(record, session_record_baseline(record), key);
    for (int s = 0; s < record->setup_count; s++) {
        if (analysis->free_holds[s] > 0) {
            insight->tried_low[k] = fmin(insight->tried_low[k], part(record, s, key));
            insight->tried_high[k] = fmax(insight->tried_high[k], part(record, s, key));
        }
    }
}

static bool was_changed(const struct session_record *record, const struct analysis *analysis,
                        enum bike_key key)
{
    double first = part(record, session_record_baseline(record), key);
    for (int s = 0; s < record->setup_count; s++) {
        if (analysis->free_holds[s] > 0 && fabs(part(record, s, key) - first) > 0.0) {
            return true; /* not where one of them is not known */
        }
    }
    return false;
}

static void pick_factors(const struct session_record *record, const struct analysis *analysis,
                         struct insight *insight)
{
    static const enum bike_key usual[] = {BIKE_PAD_RISE, BIKE_PAD_FORE_AFT, BIKE_EXTENSION_ANGLE,
                                          BIKE_SPACERS};
    enum bike_key changed[BIKE_KEYS];
    int count = 0;
    for (int key = 0; key < BIKE_KEYS; key++) {
        if (bike_fields[key].scope == BIKE_SCOPE_PART &&
            was_changed(record, analysis, (enum bike_key)key)) {
            changed[count++] = (enum bike_key)key;
        }
    }
    if (count > STEPS_FACTORS_MAX) {
        insight->factors_too_many = count;
        return;
    }
    for (int i = 0; i < count; i++) {
        add_factor(record, analysis, changed[i], insight);
    }
    for (size_t i = 0; i < sizeof usual / sizeof usual[0]; i++) {
        if (insight->factor_count < STEPS_FACTORS_MAX && !was_changed(record, analysis, usual[i]) &&
            isfinite(part(record, session_record_baseline(record), usual[i]))) {
            add_factor(record, analysis, usual[i], insight);
        }
    }
}

/* ---- the fit ------------------------------------------------------------------------------------
 */

/* False where a part's measure is not known on this setup. */
static bool changes_of(const struct session_record *record, const struct insight *insight,
                       int setup, double *change)
{
    for (int k = 0; k < insight->factor_count; k++) {
        change[k] = part(record, setup, insight->factor[k]) -
                    part(record, session_record_baseline(record), insight->factor[k]);
        if (!isfinite(change[k])) {
            return false;
        }
    }
    return true;
}

static void fit_channel(const struct session_record *record, const struct comparison *comparison,
                        int channel, struct insight *insight)
{
    struct steps_setup setups[STEPS_SETUPS_MAX];
    int baseline = session_record_baseline(record), count = 0;
    insight->steps[channel].status = MEASURE_TOO_FEW;
    if (!comparison->has_repeatability || insight->factor_count == 0) {
        return;
    }
    for (int i = 0; i < record->setup_count && count < STEPS_SETUPS_MAX; i++) {
        /* the baseline first, then the others in their order */
        int s = i == 0 ? baseline : i <= baseline ? i - 1 : i;
        const struct setup_estimate *estimate = &comparison->setup[s];
        struct steps_setup *setup = &setups[count];
        memset(setup, 0, sizeof *setup);
        bool usable = estimate->holds > 0 && estimate->tied && estimate->has_interval &&
                      estimate->standard_error > 0.0 &&
                      changes_of(record, insight, s, setup->change);
        if (!usable && s == baseline) {
            return;
        }
        if (usable) {
            setup->height_mm = estimate->mean;
            setup->u_mm = estimate->standard_error;
            count++;
        }
    }
    struct steps_input input = {.setups = setups,
                                .setup_count = count,
                                .factor_count = insight->factor_count,
                                .df = comparison->repeatability_df};
    insight->steps_setups[channel] = count;
    steps_fit(&input, &insight->steps[channel]);
}

void insight_make_steps(const struct session_record *record, const struct analysis *analysis,
                        struct insight *insight)
{
    if (record->setup_count == 0) {
        return;
    }
    pick_factors(record, analysis, insight);
    for (int c = 0; c < analysis->channel_count; c++) {
        insight->steps[c].status = MEASURE_TOO_FEW;
        if (analysis->body[c] && !analysis->slip[c].asked &&
            analysis->step_open[c] == 0) { /* nothing follows from a slip */
            fit_channel(record, &analysis->free_heights[c], c, insight);
        }
    }
}

/* ---- the suggestion -----------------------------------------------------------------------------
 */

static double higher(double a, double b)
{
    return isnan(b) ? a : fmax(a, b);
}

static double lower(double a, double b)
{
    return isnan(b) ? a : fmin(a, b);
}

/* A step beyond what was tried, inside what can be typed and what was entered. */
static bool limits_of(const struct session_record *record, const struct insight *insight, int setup,
                      const struct bike_limits *entered, struct steps_limits *limits)
{
    memset(limits, 0, sizeof *limits);
    if (!changes_of(record, insight, setup, limits->now)) {
        return false;
    }
    for (int k = 0; k < insight->factor_count; k++) {
        enum bike_key key = insight->factor[k];
        double first = part(record, session_record_baseline(record), key), step = step_of(key);
        double low = fmax(insight->tried_low[k] - step, bike_fields[key].minimum);
        double high = fmin(insight->tried_high[k] + step, bike_fields[key].maximum);
        if (entered != NULL) {
            low = higher(low, entered->least[key]);
            high = lower(high, entered->most[key]);
        }
        limits->low[k] = low - first;
        limits->high[k] = high - first;
        limits->step[k] = step;
    }
    return true;
}

/* As low as, or lower than, a setup on which the rider could not see ahead, or that numbed? */
static bool as_low_as_failed(const struct session_record *record,
                             const struct comparison *comparison, const struct steps *steps,
                             const double *change)
{
    const struct setup_estimate *first = &comparison->setup[comparison->baseline];
    struct steps_forecast forecast = steps_forecast(steps, change);
    for (int s = 0; s < record->setup_count; s++) {
        const struct setup_estimate *failed = &comparison->setup[s];
        enum complaint complaint = setup_complaint(record, s);
        if ((complaint == COMPLAINT_FAILED || complaint == COMPLAINT_NUMB) && failed->holds > 0 &&
            failed->tied && forecast.possible &&
            first->mean + forecast.height_change_mm <= failed->mean + ALIKE_MM) {
            return true;
        }
    }
    return false;
}

static bool passes_limit(const struct session_record *record, int setup,
                         const struct bike_limits *limits, enum bike_key key, double to)
{
    struct bike_values bike = record->setup[setup].bike;
    bike.value[key] = to;
    return bike_limits_passed(limits, &bike, NULL, 0) > 0;
}

/* Did anybody enter how far the part may go on that side? The column's limit is the spacers' too.
 */
static bool limited(const struct bike_limits *limits, enum bike_key key, double change)
{
    if (limits == NULL) {
        return false;
    }
    bool column = key == BIKE_SPACERS;
    const double *side = change < 0.0 ? limits->least : limits->most;
    return isfinite(side[key]) || (column && isfinite(side[BIKE_LIMIT_COLUMN]));
}

/* Was the setup, with this part changed, ridden already? */
static bool was_ridden(const struct session_record *record, const struct analysis *analysis,
                       int setup, enum bike_key key, double to)
{
    struct bike_values bike = record->setup[setup].bike;
    bike.value[key] = to;
    for (int s = 0; s < record->setup_count; s++) {
        if (analysis->free_holds[s] > 0 && bike_values_equal(&bike, &record->setup[s].bike)) {
            return true;
        }
    }
    return false;
}

static int first_body(const struct analysis *analysis)
{
    for (int c = 0; c < analysis->channel_count; c++) {
        if (analysis->body[c]) {
            return c;
        }
    }
    return -1;
}

int insight_suggest_from(const struct session_record *record, const struct analysis *analysis)
{
    const struct insight *insight = &analysis->insight;
    int lowest = -1;
    for (int s = 0; s < record->setup_count; s++) {
        const struct tradeoff_setup *value = &insight->value[s];
        if (insight->mark[s].stands && value->has[TRADEOFF_HEIGHT] &&
            (lowest < 0 ||
             value->value[TRADEOFF_HEIGHT] < insight->value[lowest].value[TRADEOFF_HEIGHT])) {
            lowest = s;
        }
    }
    return lowest;
}

static void forecasts(const struct analysis *analysis, const struct insight *insight, int factor,
                      double change, struct insight_suggestion *suggestion)
{
    double step[STEPS_FACTORS_MAX] = {0};
    step[factor] = change;
    for (int c = 0; c < analysis->channel_count; c++) {
        if (analysis->body[c]) {
            suggestion->forecast[c] = steps_forecast(&insight->steps[c], step);
        }
    }
}

void insight_suggest(const struct session_record *record, const struct analysis *analysis,
                     int setup, const struct bike_limits *limits,
                     struct insight_suggestion *suggestion)
{
    const struct insight *insight = &analysis->insight;
    struct steps_limits room;
    int channel = first_body(analysis);
    memset(suggestion, 0, sizeof *suggestion);
    suggestion->reason = SUGGESTION_TOO_LITTLE;
    if (channel < 0 || setup < 0 || setup >= record->setup_count ||
        insight->steps[channel].status != MEASURE_OK ||
        !limits_of(record, insight, setup, limits, &room)) {
        return;
    }
    suggestion->complaint = setup_complaint(record, setup);
    if (suggestion->complaint != COMPLAINT_NONE) {
        suggestion->reason = SUGGESTION_COMPLAINT;
        return;
    }
    suggestion->reason = SUGGESTION_NO_STEP;
    for (int tries = 0; tries <= insight->factor_count; tries++) {
        struct steps_suggestion found;
        steps_suggest(&insight->steps[channel], &room, &found);
        if (found.purpose == STEPS_NOTHING) {
            return;
        }
        enum bike_key key = insight->factor[found.factor];
        double from = part(record, setup, key);
        double change = found.change[found.factor] - room.now[found.factor];
        if (!limited(limits, key, change)) {
            if (suggestion->reason == SUGGESTION_NO_STEP) {
                suggestion->reason = SUGGESTION_NO_LIMIT;
                suggestion->part = key;
            }
            room.step[found.factor] = 0.0;
            continue;
        }
        if (passes_limit(record, setup, limits, key, from + change) ||
            was_ridden(record, analysis, setup, key, from + change) ||
            as_low_as_failed(record, &analysis->free_heights[channel], &insight->steps[channel],
                             found.change)) {
            room.step[found.factor] = 0.0;
            continue;
        }
        suggestion->purpose = found.purpose;
        suggestion->reason = SUGGESTION_MADE;
        suggestion->part = key;
        suggestion->from = from;
        suggestion->to = from + change;
        forecasts(analysis, insight, found.factor, change, suggestion);
        return;
    }
}
