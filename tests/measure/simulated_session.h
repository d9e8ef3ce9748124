/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_MEASURE_SIMULATED_SESSION_H
#define HOLDLINE_TESTS_MEASURE_SIMULATED_SESSION_H

#include "simulated_hold.h"

#include "measure/compare.h"
#include "measure/plan.h"
#include "measure/rules.h"

#include <string.h>

/* Invented sessions with a known truth, for the calibration of verdicts. Riders are drawn anew for
 * each session; the truth of a difference is that of the setups, the truth of a hold is its own
 * mean. */
struct condition {
    const char *name;
    const char *design; /* setups in order of riding; '|' takes the parts off and on: a new build */
    double difference_mm; /* of setup B against A; C, D .. are equal to A */
    double tie_own_mm,
        tie_common_mm; /* standard uncertainties, true and stated: builds after the first */
    double rebuild_mm; /* SD between builds that nobody knows of */
    double fatigue_mm; /* a hold */
    double gap_share, outlier_share;
    double hold_sd_low_mm, hold_sd_high_mm;
    bool untied; /* B's sensors moved and nothing says by how much */
    /* how long the holds are, in order of riding: s 25 s, h 30 s, m 60 s, l 120 s; NULL = a minute
     * each */
    const char *lengths;
    /* riders who do not repeat alike on all setups: each setup's SD is drawn from 1/times to times
     * the rider's (log-uniform); 0 = alike */
    double spread_times;
    const double *spread; /* or these times, setup by setup; NULL = not */
    bool heavy_tails;     /* re-sits from Student's t with 3 df, scaled to the SD */
    /* sessions of the same rider before this one, their holds learnt from; from day to day the SD
     * is drawn anew about the rider's (log-normal, this SD of the logarithm) */
    int earlier;
    double day_log_sd;
    /* rows of the design's setups, their holds as the program asks for them in so many minutes,
     * from what is known at each build; 0 = as the design has them */
    double minutes;
};

struct counts {
    long sessions, holds, hold_intervals, hold_covered;
    long setup_intervals, setup_covered, difference_intervals, difference_covered;
    long assumed_intervals, assumed_covered; /* of setups, while a usual repeatability has a say */
    long families, families_covered;         /* sessions whose differences' intervals all hold */
    long equal_sessions, equal_false;  /* sessions in which an equal setup was said to differ */
    long different, found, wrong_sign; /* B */
    long cannot_tell, settled;         /* of them, settled by the holds that the advice asks for */
    long advice_holds;
    long verdicts[8];
    long told_apart,
        false_untold; /* sessions: a spread of its own seen; false and no word of that */
    long not_looked;  /* too few holds for that */
    double difference_half_width, difference_squares;
    /* second opinions, where holds differ much in length */
    long seconds, second_covered;
    double second_half_width, second_squares;
};

#define SIMULATED_D_MM 10.0

struct session_truth {
    double setup_mm[6], common_mm[6], hold_sd_mm;
    double times[6]; /* of it, each setup's */
    bool heavy_tails;
    struct rider rider;
    struct spread learnt;
};

static inline double between(struct random_source *random, double low, double high)
{
    return low + (high - low) * random_uniform(random);
}

static inline struct rider any_rider(struct random_source *random,
                                     const struct condition *condition)
{
    return (struct rider){.breathing_mm = between(random, 2.0, 6.0),
                          .breathing_hz = between(random, 0.2, 0.7),
                          .bob_mm = between(random, 0.5, 5.0),
                          .bob_hz = between(random, 1.2, 3.0),
                          .wander_mm = between(random, 1.5, 4.0),
                          .wander_s = between(random, 1.0, 8.0),
                          .noise_mm = between(random, 1.0, 3.0),
                          .gap_share = condition->gap_share,
                          .outlier_share = condition->outlier_share};
}

/* Student's t with 3 df, of variance 1. */
static inline double heavy(struct random_source *random)
{
    double z = random_normal(random), squares = 0.0;
    for (int i = 0; i < 3; i++) {
        double e = random_normal(random);
        squares += e * e;
    }
    return z / sqrt(squares);
}

/* One hold's measured mean: from simulated readings over so many seconds, or drawn directly (0).
 * kept_s < 0: too few readings for an interval, so that the comparison leaves it out. */
static inline struct compare_hold ride(struct random_source *random,
                                       const struct session_truth *truth, double mean_mm, int setup,
                                       double seconds, struct counts *counts)
{
    static struct simulated hold;
    static const struct hold_settings settings = {.has_target = false};
    struct hold_summary summary;
    double re_sit = truth->heavy_tails ? heavy(random) : random_normal(random);
    double own_mm = mean_mm + truth->hold_sd_mm * truth->times[setup] * re_sit;
    struct compare_hold ridden = {.value = own_mm};
    if (!(seconds > 0.0)) {
        return ridden;
    }
    simulate_hold(random, &truth->rider, own_mm, seconds, 50.0, &hold);
    struct hold_input input = simulated_input(&hold);
    counts->holds++;
    if (hold_summarise(&input, &settings, &summary) != MEASURE_OK) {
        return ridden;
    }
    if (summary.has_interval) {
        counts->hold_intervals++;
        counts->hold_covered += fabs(summary.mean_mm - own_mm) <= summary.mean_half_width_mm;
    }
    ridden.value = summary.mean_mm;
    ridden.mean_se = summary.mean_se_mm;
    ridden.kept_s = summary.has_interval ? summary.kept_s : -1.0;
    return ridden;
}

/* Length of the condition's hold number h (0, 1, ...); later ones are as long as the longest. */
static inline double length_s(const struct condition *condition, int h)
{
    size_t index = (size_t)h;
    if (condition->lengths == NULL) {
        return 60.0;
    }
    char length = index < strlen(condition->lengths) ? condition->lengths[index] : 'l';
    return length == 's' ? 25.0 : length == 'h' ? 30.0 : length == 'l' ? 120.0 : 60.0;
}

struct session {
    struct compare_hold holds[COMPARE_HOLDS_MAX];
    struct compare_build builds[COMPARE_BUILDS_MAX];
    double build_error_mm[COMPARE_BUILDS_MAX];
    int hold_count, build_count, setup_count;
    int ridden; /* with holds that the comparison leaves out */
};

/* Earlier sessions as this one: three setups, two holds each and the first's return, so 8 holds and
 * 4 degrees of freedom; their means drawn directly. The day's own SD is drawn at the end. */
static inline void learn(struct random_source *random, const struct condition *condition,
                         struct session_truth *truth)
{
    struct spread earlier[64];
    for (int e = 0; e < condition->earlier; e++) {
        double sd = truth->hold_sd_mm * exp(condition->day_log_sd * random_normal(random));
        double squares = 0.0;
        for (int i = 0; i < 4; i++) {
            double z = truth->heavy_tails ? heavy(random) : random_normal(random);
            squares += z * z;
        }
        earlier[e] = (struct spread){sd * sd * squares / 4.0, 4.0};
    }
    truth->learnt = spread_of_rider(earlier, condition->earlier, LEARNT_DAY_DF);
    truth->hold_sd_mm *= exp(condition->day_log_sd * random_normal(random));
}

static inline void compare_session(const struct session *session, struct spread learnt,
                                   struct comparison *comparison);

/* What analysis/plan_of_hour.c asks for on the build that begins. */
static inline void plan_holds(const struct condition *condition, const struct session_truth *truth,
                              const struct session *session, int builds_done, double minutes_left,
                              struct plan_holds *holds)
{
    static struct comparison known;
    struct plan_input input = {.setups = (int)strlen(condition->design) - 1,
                               .hold_sd_mm = PLAN_HOLD_SD_MM,
                               .tie_mm = condition->tie_own_mm,
                               .difference_mm = SIMULATED_D_MM,
                               .times = plan_usual_times(),
                               .minutes_left = minutes_left,
                               .builds_done = builds_done};
    struct plan plan;
    if (session->hold_count > 1) {
        compare_session(session, truth->learnt, &known);
        double df = known.has_repeatability ? known.repeatability_df : 0.0;
        double squares = ASSUMED_REPEATABILITY_DF * PLAN_HOLD_SD_MM * PLAN_HOLD_SD_MM;
        squares += df > 0.0 ? df * known.repeatability * known.repeatability : 0.0;
        input.hold_sd_mm = sqrt(squares / (ASSUMED_REPEATABILITY_DF + df));
        input.learnt_df = df > 0.0 ? known.repeatability_learnt_df : 0.0;
    }
    plan_choose_holds(&input, *holds, holds, &plan);
}

/* The next hold of a session, on the build before or on a new one. */
static inline void add_hold(struct random_source *random, const struct condition *condition,
                            struct session_truth *truth, struct session *session, int setup,
                            bool new_build, double seconds, struct counts *counts)
{
    int b = session->build_count - 1;
    if (new_build) {
        b = session->build_count++;
        double own = b > 0 ? condition->tie_own_mm : 0.0;
        session->builds[b] =
            (struct compare_build){.setup = setup,
                                   .tied = !(condition->untied && setup == 1),
                                   .u_build = own,
                                   .u_common = setup ? condition->tie_common_mm : 0.0,
                                   .position_group = setup};
        session->build_error_mm[b] = own * random_normal(random) + truth->common_mm[setup] +
                                     condition->rebuild_mm * random_normal(random);
        if (condition->untied && setup == 1) {
            session->build_error_mm[b] += 20.0;
        }
    }
    double mean = 900.0 + truth->setup_mm[setup] + session->build_error_mm[b] +
                  condition->fatigue_mm * session->ridden;
    struct compare_hold hold = ride(random, truth, mean, setup, seconds, counts);
    hold.setup = setup;
    hold.build = b;
    hold.order = ++session->ridden;
    if (hold.kept_s >= 0.0) {
        session->holds[session->hold_count++] = hold;
    }
    if (setup + 1 > session->setup_count) {
        session->setup_count = setup + 1;
    }
}

static inline void simulate_session(struct random_source *random, const struct condition *condition,
                                    bool samples, struct session_truth *truth,
                                    struct session *session, struct counts *counts)
{
    bool new_build = true;
    memset(session, 0, sizeof *session);
    memset(truth, 0, sizeof *truth);
    truth->rider = any_rider(random, condition);
    truth->hold_sd_mm = between(random, condition->hold_sd_low_mm, condition->hold_sd_high_mm);
    truth->heavy_tails = condition->heavy_tails;
    for (int s = 0; s < 6; s++) {
        truth->times[s] = condition->spread != NULL ? condition->spread[s] : 1.0;
        if (condition->spread_times > 1.0) {
            double log_times = log(condition->spread_times);
            truth->times[s] = exp(between(random, -log_times, log_times));
        }
    }
    if (condition->earlier > 0 || condition->day_log_sd > 0.0) {
        learn(random, condition, truth);
    }
    for (int s = 1; s < 6; s++) {
        truth->common_mm[s] = condition->tie_common_mm * random_normal(random);
    }
    truth->setup_mm[1] = condition->difference_mm;
    struct plan_holds asked = plan_usual_holds();
    double minutes_left = condition->minutes;
    for (const char *p = condition->design; *p; p++) {
        if (*p == '|') {
            new_build = true;
            continue;
        }
        int holds = 1;
        double planned_s = 0.0;
        if (condition->minutes > 0.0) {
            struct plan_times times = plan_usual_times();
            int done = session->build_count;
            plan_holds(condition, truth, session, done, minutes_left, &asked);
            new_build = true;
            holds = asked.holds;
            planned_s = asked.hold_s;
            times.hold_min = planned_s / 60.0;
            minutes_left -= plan_build_minutes(&times, done > 0, holds, p[1] != '\0');
        }
        for (int h = 0; h < holds; h++) {
            add_hold(random, condition, truth, session, *p - 'A', new_build,
                     !samples          ? 0.0
                     : planned_s > 0.0 ? planned_s
                                       : length_s(condition, session->ridden),
                     counts);
            new_build = false;
        }
    }
}

static inline void compare_session(const struct session *session, struct spread learnt,
                                   struct comparison *comparison)
{
    struct compare_input input = {.holds = session->holds,
                                  .hold_count = session->hold_count,
                                  .builds = session->builds,
                                  .build_count = session->build_count,
                                  .setup_count = session->setup_count,
                                  .baseline = 0,
                                  .matters = SIMULATED_D_MM,
                                  .higher_is_up = true,
                                  .learnt = learnt};
    compare_setups(&input, comparison);
}

/* Rides the holds that the advice asks for, of both setups in turn (their means drawn directly),
 * and looks whether there is a verdict. */
static inline bool settled_by_advice(struct random_source *random,
                                     const struct condition *condition,
                                     const struct session_truth *truth,
                                     const struct session *session, int setup, int more)
{
    static struct session longer;
    static struct comparison comparison;
    struct counts ignored = {0};
    longer = *session;
    for (int i = 0; i < 2 * more && longer.hold_count < COMPARE_HOLDS_MAX; i++) {
        int which = i % 2 ? setup : 0, build = 0;
        for (int b = 0; b < longer.build_count; b++) {
            if (longer.builds[b].setup == which) {
                build = b;
            }
        }
        double mean = 900.0 + truth->setup_mm[which] + longer.build_error_mm[build] +
                      condition->fatigue_mm * longer.ridden;
        /* a second opinion needs their own standard errors */
        double seconds = condition->lengths != NULL ? length_s(condition, longer.ridden) : 0.0;
        struct compare_hold hold = ride(random, truth, mean, which, seconds, &ignored);
        hold.setup = which;
        hold.build = build;
        hold.order = ++longer.ridden;
        if (hold.kept_s >= 0.0) {
            longer.holds[longer.hold_count++] = hold;
        }
    }
    compare_session(&longer, truth->learnt, &comparison);
    return comparison.difference[setup].verdict != VERDICT_CANNOT_TELL &&
           comparison.difference[setup].verdict != VERDICT_NOT_COMPARABLE;
}

static inline double square(double x)
{
    return x * x;
}

static inline void count_session(struct random_source *random, const struct condition *condition,
                                 bool samples, struct counts *counts)
{
    static struct session session;
    static struct comparison comparison;
    struct session_truth truth;
    simulate_session(random, condition, samples, &truth, &session, counts);
    compare_session(&session, truth.learnt, &comparison);
    counts->sessions++;
    double middle = condition->fatigue_mm * (session.ridden - 1) / 2.0;
    bool any_equal = false, any_false = false, any_interval = false, all_covered = true;
    for (int s = 0; s < session.setup_count; s++) {
        const struct setup_estimate *estimate = &comparison.setup[s];
        const struct setup_difference *d = &comparison.difference[s];
        if (estimate->has_interval) {
            double error = estimate->mean - 900.0 - truth.setup_mm[s] - middle;
            bool covered = fabs(error) <= estimate->half_width;
            *(estimate->assumed ? &counts->assumed_intervals : &counts->setup_intervals) += 1;
            *(estimate->assumed ? &counts->assumed_covered : &counts->setup_covered) += covered;
        }
        if (s == 0) {
            continue;
        }
        counts->verdicts[d->verdict]++;
        if (d->has_interval) {
            counts->difference_intervals++;
            bool covered = d->low <= truth.setup_mm[s] && truth.setup_mm[s] <= d->high;
            counts->difference_covered += covered;
            any_interval = true;
            all_covered = all_covered && covered;
            counts->difference_half_width += (d->high - d->low) / 2.0;
            counts->difference_squares += square(d->difference - truth.setup_mm[s]);
        }
        if (d->has_second) {
            counts->seconds++;
            counts->second_covered +=
                d->second_low <= truth.setup_mm[s] && truth.setup_mm[s] <= d->second_high;
            counts->second_half_width += (d->second_high - d->second_low) / 2.0;
            counts->second_squares += square(d->second_difference - truth.setup_mm[s]);
        }
        bool called = d->verdict == VERDICT_LOWER || d->verdict == VERDICT_HIGHER;
        if (truth.setup_mm[s] == 0.0) {
            any_equal = true;
            any_false = any_false || called || d->verdict == VERDICT_LESS_THAN_MATTERS;
        } else {
            bool low = truth.setup_mm[s] < 0.0;
            counts->different++;
            counts->found += d->verdict == (low ? VERDICT_LOWER : VERDICT_HIGHER);
            counts->wrong_sign += d->verdict == (low ? VERDICT_HIGHER : VERDICT_LOWER);
        }
        if (d->verdict == VERDICT_CANNOT_TELL && d->advice == ADVICE_MORE_HOLDS) {
            counts->cannot_tell++;
            counts->advice_holds += d->advice_holds;
            counts->settled +=
                settled_by_advice(random, condition, &truth, &session, s, d->advice_holds);
        }
    }
    bool apart = false;
    for (int s = 0; s < session.setup_count; s++) {
        apart = apart || comparison.setup[s].own_spread;
    }
    counts->told_apart += apart;
    counts->not_looked += !comparison.spread_seen;
    counts->false_untold += any_equal && any_false && !apart;
    counts->families += any_interval;
    counts->families_covered += any_interval && all_covered;
    counts->equal_sessions += any_equal;
    counts->equal_false += any_false;
}

static inline double share(long part, long all)
{
    return all > 0 ? (double)part / (double)all : 0.0;
}

#endif
