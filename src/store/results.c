/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "store/results.h"

#include "analysis/hold_use.h"
#include "database.h"
#include "measure/hold_measures.h"
#include "results_drag.h"
#include "say/difference.h"
#include "say/holds.h"
#include "say/say.h"

#include <math.h>

/* The tables are named by what a person knows a hold, a setup and a channel by: their number and
 * name. Numbers are not rounded. */

#define OF_SESSION "session_id INTEGER NOT NULL REFERENCES result(session_id) ON DELETE CASCADE"

/* clang-format off */
const char *const store_result_tables_sql[] = {
    "CREATE TABLE result (session_id INTEGER PRIMARY KEY REFERENCES session(id) ON DELETE CASCADE,"
    " version TEXT NOT NULL, baseline_setup INTEGER NOT NULL) STRICT",

    "CREATE TABLE result_hold (" OF_SESSION ", hold INTEGER NOT NULL, channel TEXT NOT NULL,"
    " used INTEGER NOT NULL CHECK (used IN (0, 1)), why_not TEXT, tied INTEGER NOT NULL CHECK (tied IN (0, 1)),"
    " absolute INTEGER NOT NULL CHECK (absolute IN (0, 1)), mean_mm REAL, mean_half_width_mm REAL, other_value REAL,"
    " PRIMARY KEY (session_id, hold, channel)) STRICT, WITHOUT ROWID",

    "CREATE TABLE result_measure (" OF_SESSION ", hold INTEGER NOT NULL, channel TEXT NOT NULL,"
    " measure TEXT NOT NULL, value REAL NOT NULL, unit TEXT NOT NULL,"
    " PRIMARY KEY (session_id, hold, channel, measure)) STRICT, WITHOUT ROWID",

    "CREATE TABLE result_setup (" OF_SESSION ", setup INTEGER NOT NULL, channel TEXT NOT NULL,"
    " holds INTEGER NOT NULL, builds INTEGER NOT NULL, tied INTEGER NOT NULL CHECK (tied IN (0, 1)),"
    " mean_mm REAL, half_width_mm REAL, difference_mm REAL, low_mm REAL, high_mm REAL, verdict TEXT, words TEXT,"
    " PRIMARY KEY (session_id, setup, channel)) STRICT, WITHOUT ROWID",
    NULL,
};
/* clang-format on */

bool store_results_clear(struct store *store, int64_t id, struct problem *problem)
{
    struct row row;
    if (!row_prepare(store, "DELETE FROM result WHERE session_id = ?", &row, problem)) {
        return false;
    }
    row_put_integer(&row, id);
    return row_write(&row, problem);
}

bool store_results_are_current(struct store *store, int64_t id, bool *current,
                               struct problem *problem)
{
    int64_t count = 0;
    bool done = store_number(store,
                             "SELECT count(*) FROM result WHERE session_id = ? AND version = "
                             "'" HOLDLINE_VERSION "'",
                             id, &count, problem);
    *current = count > 0;
    return done;
}

static bool put_session(struct store *store, int64_t id, const struct session_record *record,
                        struct problem *problem)
{
    struct row row;
    if (!row_prepare(store,
                     "INSERT INTO result (session_id, version, baseline_setup) VALUES (?, ?, ?)",
                     &row, problem)) {
        return false;
    }
    row_put_integer(&row, id);
    row_put_text(&row, HOLDLINE_VERSION);
    row_put_integer(&row, record->settings.baseline_setup);
    return row_write(&row, problem);
}

static double measure_value(const struct hold_measure *measure, const struct hold_summary *summary)
{
    return measure->member.kind == MEMBER_NUMBER ? member_number(measure->member, summary)
           : measure->member.kind == MEMBER_YES ? (member_yes(measure->member, summary) ? 1.0 : 0.0)
                                                : (double)member_integer(measure->member, summary);
}

static bool put_measures(struct store *store, int64_t id, int hold, const char *channel,
                         const struct hold_summary *summary, struct problem *problem)
{
    static const char sql[] = "INSERT INTO result_measure (session_id, hold, channel, measure,"
                              " value, unit) VALUES (?, ?, ?, ?, ?, ?)";
    for (int i = 0; i < hold_measure_count; i++) {
        const struct hold_measure *measure = &hold_measures[i];
        struct row row;
        if (!hold_measure_there(measure, summary) || !isfinite(measure_value(measure, summary))) {
            continue;
        }
        if (!row_prepare(store, sql, &row, problem)) {
            return false;
        }
        row_put_integer(&row, id);
        row_put_integer(&row, hold);
        row_put_text(&row, channel);
        row_put_text(&row, measure->key);
        row_put_real(&row, measure_value(measure, summary));
        row_put_text(&row, measure->unit);
        if (!row_write(&row, problem)) {
            return false;
        }
    }
    return true;
}

static double other_value(const struct hold_result *result, const char *channel)
{
    int kind = auxiliary_of(channel);
    return kind >= 0 ? result->auxiliary_mean[kind] : (double)NAN;
}

static bool put_hold(struct store *store, int64_t id, const struct session_record *record,
                     const struct analysis *analysis, int hold, int channel,
                     struct problem *problem)
{
    static const char sql[] = "INSERT INTO result_hold (session_id, hold, channel, used, why_not,"
                              " tied, absolute, mean_mm, mean_half_width_mm, other_value)"
                              " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)";
    const struct hold_record *recorded = &record->hold[hold];
    const struct placing_record *placing = &record->placing[record->build[recorded->build].placing];
    const struct hold_result *result = &analysis->hold[hold];
    const struct hold_summary *summary = &result->summary[channel];
    const struct tie *tie = &analysis->tie[recorded->build][channel];
    const char *name = placing->channel[channel].name;
    bool body = placing->channel[channel].role == ROLE_BODY;
    bool other = placing->channel[channel].role == ROLE_AUXILIARY;
    bool has = result->has[channel] && summary->status == MEASURE_OK && !other;
    enum hold_use use = hold_use_of(record, analysis, hold, channel);
    struct row row;
    if (!row_prepare(store, sql, &row, problem)) {
        return false;
    }
    row_put_integer(&row, id);
    row_put_integer(&row, recorded->number);
    row_put_text(&row, name);
    row_put_integer(&row, use == HOLD_USED);
    row_put_text(&row, use == HOLD_USED ? NULL : say_hold_use(use));
    row_put_integer(&row, body && tie->kind != TIE_NONE);
    row_put_integer(&row, body && tie_is_over_bottom_bracket(tie));
    row_put_real(&row, has ? summary->mean_mm : (double)NAN);
    row_put_real(&row, has && summary->has_interval ? summary->mean_half_width_mm : (double)NAN);
    row_put_real(&row, other ? other_value(result, name) : (double)NAN);
    return row_write(&row, problem) &&
           (!result->has[channel] || other ||
            put_measures(store, id, recorded->number, name, summary, problem));
}

static bool put_setup(struct store *store, int64_t id, const struct session_record *record,
                      const struct analysis *analysis, int setup, int channel,
                      struct problem *problem)
{
    static const char sql[] = "INSERT INTO result_setup (session_id, setup, channel, holds, builds,"
                              " tied, mean_mm, half_width_mm, difference_mm, low_mm, high_mm,"
                              " verdict, words) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)";
    const struct setup_estimate *estimate = analysis_estimate(analysis, channel, setup);
    const struct setup_difference *difference = analysis_difference(analysis, channel, setup);
    bool any = estimate->holds > 0;
    bool judged = difference->verdict != VERDICT_NONE;
    char words[2 * SAY_SIZE];
    struct row row;
    if (!row_prepare(store, sql, &row, problem)) {
        return false;
    }
    say_difference(words, sizeof words, difference, SAY_LONG, NULL);
    row_put_integer(&row, id);
    row_put_integer(&row, record->setup[setup].number);
    row_put_text(&row, analysis->channel_name[channel]);
    row_put_integer(&row, estimate->holds);
    row_put_integer(&row, estimate->builds);
    row_put_integer(&row, any && estimate->tied);
    row_put_real(&row, any ? estimate->mean : (double)NAN);
    row_put_real(&row, any && estimate->has_interval ? estimate->half_width : (double)NAN);
    row_put_real(&row, say_has_value(difference) ? difference->difference : (double)NAN);
    row_put_real(&row, judged && difference->has_interval ? difference->low : (double)NAN);
    row_put_real(&row, judged && difference->has_interval ? difference->high : (double)NAN);
    row_put_text(&row, judged ? say_verdict(difference->verdict) : NULL);
    row_put_text(&row, judged ? words : NULL);
    return row_write(&row, problem);
}

static bool put_all(struct store *store, int64_t id, const struct session_record *record,
                    const struct analysis *analysis, struct problem *problem)
{
    bool done = store_results_clear(store, id, problem) && put_session(store, id, record, problem);
    for (int hold = 0; done && hold < record->hold_count; hold++) {
        const struct placing_record *placing =
            &record->placing[record->build[record->hold[hold].build].placing];
        for (int c = 0; done && c < placing->channel_count; c++) {
            done = put_hold(store, id, record, analysis, hold, c, problem);
        }
    }
    for (int setup = 0; done && setup < record->setup_count; setup++) {
        for (int c = 0; done && c < analysis->channel_count; c++) {
            done = !analysis->body[c] || put_setup(store, id, record, analysis, setup, c, problem);
        }
    }
    return done && store_results_write_drag(store, id, record, analysis, problem);
}

bool store_results_write(struct store *store, int64_t id, const struct session_record *record,
                         const struct analysis *analysis, struct problem *problem)
{
    if (!store_execute(store, "BEGIN IMMEDIATE", "writing", problem)) {
        return false;
    }
    if (put_all(store, id, record, analysis, problem) &&
        store_execute(store, "COMMIT", "writing", problem)) {
        return true;
    }
    store_rollback(store);
    return false;
}
