/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/across.h"

#include "analysis_inside.h"

#include "base/text.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The setups of several sessions as one comparison: the same parts on the same bike are one setup,
 * position groups stay apart, and what each session's sensors are uncertain by over the bottom
 * bracket is one number for all its builds. */

/* ---- setups --------------------------------------------------------------------------------- */

bool across_same_setup(const struct across_session *a, int setup_a, const struct across_session *b,
                       int setup_b)
{
    const struct bike_values *one = &a->record->setup[setup_a].bike;
    return text_equal(a->record->bike.name, b->record->bike.name) && bike_values_any_part(one) &&
           bike_values_equal(one, &b->record->setup[setup_b].bike);
}

int across_find_setup(const struct across *across, int session, int setup)
{
    for (int i = 0; i < across->setup_count; i++) {
        const struct across_setup *known = &across->setup[i];
        if ((known->session == session && known->setup == setup) ||
            (known->session != session && known->number_in[session] == 0 &&
             across_same_setup(&across->session[known->session], known->setup,
                               &across->session[session], setup)) ||
            known->number_in[session] == across->session[session].record->setup[setup].number) {
            return i;
        }
    }
    return -1;
}

static int hold_setup(const struct across_session *session, int hold)
{
    return session->record->build[session->record->hold[hold].build].setup;
}

static bool free_and_counts(const struct across_session *session, int hold)
{
    return !session->record->hold[hold].guided && session->analysis->hold[hold].counts;
}

static bool collect_setups(struct across *across, struct problem *problem)
{
    for (int s = 0; s < across->session_count; s++) {
        const struct across_session *session = &across->session[s];
        for (int h = 0; h < session->record->hold_count; h++) {
            if (!free_and_counts(session, h)) {
                continue;
            }
            int setup = hold_setup(session, h), found = across_find_setup(across, s, setup);
            if (found < 0 && across->setup_count == COMPARE_SETUPS_MAX) {
                return problem_set(problem,
                                   "more than %d setups: choose fewer sessions, such as with "
                                   "--since",
                                   COMPARE_SETUPS_MAX);
            }
            if (found < 0) {
                found = across->setup_count++;
                across->setup[found].session = s;
                across->setup[found].setup = setup;
            }
            across->setup[found].number_in[s] = session->record->setup[setup].number;
            across->setup[found].holds_in[s]++;
        }
    }
    return true;
}

/* ---- channels ------------------------------------------------------------------------------- */

static int channel_in(const struct across_session *session, const char *name)
{
    for (int c = 0; c < session->analysis->channel_count; c++) {
        if (session->analysis->body[c] && text_equal(session->analysis->channel_name[c], name)) {
            return c;
        }
    }
    return -1;
}

static void collect_channels(struct across *across)
{
    for (int s = 0; s < across->session_count; s++) {
        const struct across_session *session = &across->session[s];
        for (int c = 0; c < session->analysis->channel_count; c++) {
            const char *name = session->analysis->channel_name[c];
            int found = 0;
            while (found < across->channel_count &&
                   !text_equal(across->channel[found].name, name)) {
                found++;
            }
            if (!session->analysis->body[c] || found == CHANNELS_MAX) {
                continue;
            }
            if (found == across->channel_count) {
                text_copy(across->channel[across->channel_count++].name, CHANNEL_NAME_SIZE, name);
            }
            across->channel[found].matters_mm = session->record->settings.matters_mm[c];
        }
    }
}

/* The channel on the first build of a session that was held free on; false when there is none. */
static bool first_place(const struct across *across, int s, const char *name,
                        struct across_place *place)
{
    const struct across_session *session = &across->session[s];
    int channel = channel_in(session, name);
    for (int h = 0; channel >= 0 && h < session->record->hold_count; h++) {
        if (free_and_counts(session, h)) {
            *place = (struct across_place){session->record, session->analysis,
                                           session->record->hold[h].build, channel};
            return true;
        }
    }
    return false;
}

static const char *mark_at(const struct across_place *place)
{
    return analysis_placing_of(place->record, place->build)->channel[place->channel].mark;
}

static bool is_over_bottom_bracket(const struct across_place *place)
{
    return !isnan(across_common_u_mm(place, NULL)) && !across_from_board(place);
}

/* How well each session's heights are known over the bottom bracket, or why not at all. Errors of
 * the frame's measures cancel only where all sessions share them. */
static void tie_sessions(const struct across *across, struct across_channel *channel)
{
    struct across_place place[ACROSS_SESSIONS_MAX];
    int reference = -1;
    bool shared = true, over_bottom_bracket = false, there[ACROSS_SESSIONS_MAX];
    for (int s = 0; s < across->session_count; s++) {
        there[s] = first_place(across, s, channel->name, &place[s]);
        over_bottom_bracket =
            over_bottom_bracket || (there[s] && is_over_bottom_bracket(&place[s]));
    }
    for (int s = 0; s < across->session_count; s++) {
        channel->u_session_mm[s] = NAN;
        channel->mark[s] = there[s] ? mark_at(&place[s]) : NULL;
        if (!there[s]) {
            channel->apart[s] = APART_NOT_MEASURED;
        } else if (isnan(across_common_u_mm(&place[s], NULL)) ||
                   (over_bottom_bracket && across_from_board(&place[s]))) {
            channel->apart[s] = APART_NOT_TIED;
        } else if (reference >= 0 && !text_equal(channel->mark[reference], channel->mark[s])) {
            channel->apart[s] = APART_OTHER_MARK;
        } else {
            reference = reference < 0 ? s : reference;
            shared = shared && across_same_measures(&place[reference], &place[s]);
            channel->apart[s] = APART_NOT;
            channel->u_session_mm[s] = 0.0;
        }
    }
    channel->reference = reference;
    for (int s = 0; s < across->session_count; s++) {
        if (!isnan(channel->u_session_mm[s])) {
            channel->u_session_mm[s] =
                across_common_u_mm(&place[s], shared ? &place[reference] : NULL);
        }
    }
}

/* ---- comparison ----------------------------------------------------------------------------- */

struct merged {
    struct compare_hold hold[COMPARE_HOLDS_MAX];
    struct compare_build build[COMPARE_BUILDS_MAX];
    int hold_count, build_count;
};

static bool merge_session(const struct across *across, const struct across_channel *channel, int s,
                          struct merged *merged, struct problem *problem)
{
    const struct across_session *session = &across->session[s];
    int c = channel_in(session, channel->name), order = 0, merged_build[BUILDS_MAX];
    memset(merged_build, -1, sizeof merged_build);
    for (int h = 0; h < session->record->hold_count; h++) {
        const struct hold_result *result = &session->analysis->hold[h];
        if (!free_and_counts(session, h)) {
            continue;
        }
        order++;
        if (c < 0 || !result->has[c] || result->summary[c].status != MEASURE_OK ||
            !result->summary[c].has_interval) {
            continue;
        }
        int build = session->record->hold[h].build;
        const struct tie *tie = &session->analysis->tie[build][c];
        int setup = across_find_setup(across, s, session->record->build[build].setup);
        if (merged->hold_count == COMPARE_HOLDS_MAX ||
            (merged_build[build] < 0 && merged->build_count == COMPARE_BUILDS_MAX)) {
            return problem_set(problem,
                               "more than %d holds or %d builds: choose fewer sessions, such as "
                               "with --since",
                               COMPARE_HOLDS_MAX, COMPARE_BUILDS_MAX);
        }
        if (merged_build[build] < 0) {
            bool tied = !isnan(channel->u_session_mm[s]) && tie->kind != TIE_NONE;
            merged_build[build] = merged->build_count++;
            merged->build[merged_build[build]] = (struct compare_build){
                .setup = setup,
                .tied = tied,
                .u_build = tied ? tie->u_build_mm : 0.0,
                .u_common = tied ? tie->u_common_mm : 0.0,
                .position_group = tie->position_group + s * BUILDS_MAX * PLACINGS_MAX,
                .u_session = tied ? channel->u_session_mm[s] : 0.0,
                .session = s,
            };
        }
        merged->hold[merged->hold_count++] = (struct compare_hold){
            .setup = setup,
            .build = merged_build[build],
            .order = order,
            .value = result->summary[c].mean_mm,
            .mean_se = result->summary[c].mean_se_mm,
            .kept_s = result->summary[c].kept_s,
        };
    }
    return true;
}

static bool compare_channel(struct across *across, struct across_channel *channel,
                            struct problem *problem)
{
    struct merged *merged = calloc(1, sizeof *merged);
    bool done = true;
    if (merged == NULL) {
        return problem_set(problem, "no memory for a comparison");
    }
    tie_sessions(across, channel);
    for (int s = 0; done && s < across->session_count; s++) {
        done = merge_session(across, channel, s, merged, problem);
    }
    if (done) {
        const struct compare_input input = {
            .holds = merged->hold,
            .hold_count = merged->hold_count,
            .builds = merged->build,
            .build_count = merged->build_count,
            .setup_count = across->setup_count,
            .baseline = across->baseline,
            .matters = channel->matters_mm,
            .higher_is_up = true,
        };
        compare_setups(&input, &channel->heights);
    }
    free(merged);
    return done;
}

static bool choose_baseline(struct across *across, int baseline, struct problem *problem)
{
    if (baseline >= across->setup_count) {
        return problem_set(problem, "there is no setup %d here: there are %d", baseline + 1,
                           across->setup_count);
    }
    across->baseline = baseline;
    for (int i = 0; baseline < 0 && i < across->setup_count; i++) {
        const struct across_setup *setup = &across->setup[i];
        const struct session_record *record = across->session[setup->session].record;
        if (across->baseline < 0 || (setup->session == 0 && record->setup[setup->setup].number ==
                                                                record->settings.baseline_setup)) {
            across->baseline = i;
        }
    }
    return true;
}

static bool one_rider(const struct across *across, struct problem *problem)
{
    const struct session_record *first = across->session[0].record;
    for (int s = 1; s < across->session_count; s++) {
        const struct session_record *other = across->session[s].record;
        if (!first->has_rider || !other->has_rider ||
            !text_equal(first->rider.code, other->rider.code)) {
            return problem_set(problem,
                               "sessions %lld and %lld are not of one rider ('%s' and '%s'): two "
                               "riders' heights are not compared",
                               (long long)across->session[0].id, (long long)across->session[s].id,
                               first->rider.code, other->rider.code);
        }
    }
    return true;
}

static bool has_setups(const struct across *across, bool wanted, struct problem *problem)
{
    for (int s = 0; wanted && across->setup_count == 0 && s < across->session_count; s++) {
        if (across->session[s].record->run_count > 0) {
            return problem_set(problem,
                               "these sessions have runs and no free hold that counts: runs are "
                               "compared within a session ('holdline compare %lld'), not across "
                               "sessions",
                               (long long)across->session[s].id);
        }
    }
    return !wanted || across->setup_count > 0 ||
           problem_set(problem, "there is no free hold that counts in these sessions");
}

static struct across *make(const struct across_session *sessions, int count, int baseline,
                           bool compares, struct problem *problem)
{
    struct across *across = calloc(1, sizeof *across);
    if (across == NULL) {
        problem_set(problem, "no memory for a comparison");
        return NULL;
    }
    bool done = count >= 1 && count <= ACROSS_SESSIONS_MAX;
    if (!done) {
        problem_set(problem, "%d sessions: at least one and at most %d can be compared", count,
                    ACROSS_SESSIONS_MAX);
    } else {
        across->session_count = count;
        memcpy(across->session, sessions, (size_t)count * sizeof *sessions);
    }
    done = done && one_rider(across, problem) && collect_setups(across, problem) &&
           has_setups(across, compares, problem) && choose_baseline(across, baseline, problem);
    if (done) {
        collect_channels(across);
    }
    for (int c = 0; done && c < across->channel_count; c++) {
        done = compare_channel(across, &across->channel[c], problem);
    }
    if (!done) {
        across_destroy(across);
        return NULL;
    }
    return across;
}

struct across *across_make(const struct across_session *sessions, int count, int baseline,
                           struct problem *problem)
{
    return make(sessions, count, baseline, true, problem);
}

struct across *across_make_visits(const struct across_session *sessions, int count,
                                  struct problem *problem)
{
    return make(sessions, count, -1, false, problem);
}

void across_destroy(struct across *across)
{
    free(across);
}
