/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "results_drag.h"

#include "database.h"
#include "say/drag.h"
#include "say/say.h"
#include "schema.h"

#include <math.h>

#define OF_SESSION "session_id INTEGER NOT NULL REFERENCES result(session_id) ON DELETE CASCADE"
#define USED "used INTEGER NOT NULL CHECK (used IN (0, 1)), why_not TEXT"

/* clang-format off */
const char *const store_result_drag_sql[] = {
    "CREATE TABLE result_run (" OF_SESSION ", run INTEGER NOT NULL, " USED ", legs INTEGER NOT NULL,"
    " legs_used INTEGER NOT NULL, drag_m2 REAL, speed_m_per_s REAL, wind_m_per_s REAL, density_kg_per_m3 REAL,"
    " PRIMARY KEY (session_id, run)) STRICT, WITHOUT ROWID",

    "CREATE TABLE result_leg (" OF_SESSION ", run INTEGER NOT NULL, leg INTEGER NOT NULL, " USED ","
    " drag_m2 REAL, wind_m_per_s REAL, PRIMARY KEY (session_id, run, leg)) STRICT, WITHOUT ROWID",

    "CREATE TABLE result_drag (" OF_SESSION ", setup INTEGER NOT NULL, runs INTEGER NOT NULL, drag_m2 REAL,"
    " level_half_width_m2 REAL, difference_m2 REAL, low_m2 REAL, high_m2 REAL, verdict TEXT, words TEXT,"
    " PRIMARY KEY (session_id, setup)) STRICT, WITHOUT ROWID",
    NULL,
};
/* clang-format on */

static bool put_run(struct store *store, int64_t id, const struct session_record *record,
                    const struct drag_analysis *drag, int r, struct problem *problem)
{
    static const char sql[] = "INSERT INTO result_run (session_id, run, used, why_not, legs,"
                              " legs_used, drag_m2, speed_m_per_s, wind_m_per_s, density_kg_per_m3)"
                              " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)";
    const struct run_record *of = &record->run[r];
    const struct drag_run_result *run = &drag->run[r];
    bool used = run->state == DRAG_RUN_COUNTS;
    struct row row;
    if (!row_prepare(store, sql, &row, problem)) {
        return false;
    }
    row_put_integer(&row, id);
    row_put_integer(&row, of->number);
    row_put_integer(&row, used);
    row_put_text(&row, used ? NULL : say_drag_run_why(record, drag, r));
    row_put_integer(&row, run->legs);
    row_put_integer(&row, run->legs_used);
    row_put_real(&row, run->mean.count > 0 ? run->mean.drag_m2 : (double)NAN);
    row_put_real(&row, run->speed_m_per_s);
    row_put_real(&row, run->wind_m_per_s);
    row_put_real(&row, run->density_kg_per_m3);
    return row_write(&row, problem);
}

static bool put_leg(struct store *store, int64_t id, const struct session_record *record,
                    const struct drag_analysis *drag, int l, struct problem *problem)
{
    static const char sql[] = "INSERT INTO result_leg (session_id, run, leg, used, why_not,"
                              " drag_m2, wind_m_per_s) VALUES (?, ?, ?, ?, ?, ?, ?)";
    const struct leg_record *of = &record->leg[l];
    const struct drag_leg_result *leg = &drag->leg[l];
    bool used = leg->state == DRAG_LEG_USED;
    struct row row;
    if (!row_prepare(store, sql, &row, problem)) {
        return false;
    }
    row_put_integer(&row, id);
    row_put_integer(&row, record->run[of->run].number);
    row_put_integer(&row, of->number);
    row_put_integer(&row, used);
    row_put_text(&row, used ? NULL : say_drag_leg_why(record, drag, l));
    row_put_real(&row, leg->drag_m2);
    row_put_real(&row, leg->wind_m_per_s);
    return row_write(&row, problem);
}

/* With too few runs there is no number, here as on paper. */
static bool put_setup(struct store *store, int64_t id, const struct session_record *record,
                      const struct drag_analysis *drag, int s, struct problem *problem)
{
    static const char sql[] =
        "INSERT INTO result_drag (session_id, setup, runs, drag_m2,"
        " level_half_width_m2, difference_m2, low_m2, high_m2, verdict, words)"
        " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)";
    const struct drag_setup_result *setup = &drag->setup[s];
    const struct setup_difference *d = &drag->compare.difference[s];
    bool level = !setup->few && isfinite(setup->level_half_width_m2);
    bool judged = !setup->few && d->verdict != VERDICT_NONE;
    char words[SAY_SIZE];
    struct row row;
    if (!row_prepare(store, sql, &row, problem)) {
        return false;
    }
    say_drag_difference(words, sizeof words, drag, drag->compare.baseline, s);
    row_put_integer(&row, id);
    row_put_integer(&row, record->setup[s].number);
    row_put_integer(&row, setup->runs);
    row_put_real(&row, level ? drag->compare.setup[s].mean : (double)NAN);
    row_put_real(&row, level ? setup->level_half_width_m2 : (double)NAN);
    row_put_real(&row, judged && d->has_interval ? d->difference : (double)NAN);
    row_put_real(&row, judged && d->has_interval ? d->low : (double)NAN);
    row_put_real(&row, judged && d->has_interval ? d->high : (double)NAN);
    row_put_text(&row, judged ? say_verdict(d->verdict) : NULL);
    row_put_text(&row, words[0] != '\0' ? words : NULL);
    return row_write(&row, problem);
}

bool store_results_write_drag(struct store *store, int64_t id, const struct session_record *record,
                              const struct analysis *analysis, struct problem *problem)
{
    const struct drag_analysis *drag = &analysis->drag;
    bool done = true;
    for (int r = 0; done && r < record->run_count; r++) {
        done = put_run(store, id, record, drag, r, problem);
    }
    for (int l = 0; done && l < record->leg_count; l++) {
        done = put_leg(store, id, record, drag, l, problem);
    }
    for (int s = 0; done && record->run_count > 0 && s < record->setup_count; s++) {
        bool ridden = drag->setup[s].runs + drag->setup[s].left_out > 0;
        done = !ridden || put_setup(store, id, record, drag, s, problem);
    }
    return done;
}
