/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What follows from made-up records: ties, comparison, what is asked of slips and steps, insight,
 * the hour and several sessions together. */
#include "made_records.h"

#include "analysis/across.h"
#include "analysis/hold_use.h"
#include "analysis/insight.h"
#include "analysis/plan_of_hour.h"
#include "analysis/plate_ends.h"
#include "analysis/practice_band.h"
#include "analysis/setup_ratings.h"
#include "analysis/slip.h"
#include "analysis/visits.h"
#include "support/outcome.h"

#include <string.h>

#define RECORDS 24

static struct made_records made[RECORDS];

static void make_all(void)
{
    for (int n = 0; n < RECORDS; n++) {
        made_records(&made[n], n);
    }
}

static void end_all(void)
{
    for (int n = 0; n < RECORDS; n++) {
        made_records_end(&made[n]);
    }
}

static void pin_builds(const struct session_record *record, const struct analysis *analysis)
{
    char text[400], name[40];
    for (int b = 0; b < record->build_count; b++) {
        for (int c = 0; c < 2; c++) {
            const struct tie *tie = &analysis->tie[b][c];
            struct plate_ends ends = plate_ends_of(record, b, c);
            snprintf(name, sizeof name, "build%d.%d", b, c);
            snprintf(
                text, sizeof text,
                "tie %d %.4g u %.4g %.4g group %d found %d ends %.4g %.4g apart %.4g %d before "
                "%d moved %d asks %d",
                (int)tie->kind, tie->shift_mm, tie->u_common_mm, tie->u_build_mm,
                tie->position_group, (int)tie->found.kind, ends.first_mm, ends.last_mm,
                plate_ends_apart_mm(&ends), plate_ends_disagree(&ends),
                slip_build_before(record, b), (int)slip_or_moved(record, b),
                analysis_moved_unanswered(record, analysis, b));
            outcome_text(name, text);
        }
        snprintf(name, sizeof name, "open%d", b);
        outcome_number(name, plate_ends_open(record, b));
    }
}

static void pin_setups(const struct session_record *record, const struct analysis *analysis)
{
    char text[400], name[40];
    for (int s = 0; s < record->setup_count; s++) {
        struct practice_band band;
        practice_band_find(record, analysis, s, &band);
        struct practice_kept kept = practice_kept_of(record, analysis, s, &band);
        for (int c = 0; c < 2; c++) {
            const struct setup_estimate *estimate = analysis_estimate(analysis, c, s);
            const struct setup_difference *difference = analysis_difference(analysis, c, s);
            const struct setup_difference *share = &analysis->guided_in_band[c].difference[s];
            snprintf(name, sizeof name, "setup%d.%d", s, c);
            snprintf(text, sizeof text,
                     "holds %d mean %.6g half %.5g verdict %d reason %d advice %d %d first %d low "
                     "%.5g high %.5g share %d %.5g",
                     estimate->holds, estimate->mean, estimate->half_width,
                     (int)difference->verdict, (int)difference->reason, (int)difference->advice,
                     difference->advice_holds, difference->first_setup, difference->low,
                     difference->high, (int)share->verdict, share->difference);
            outcome_text(name, text);
        }
        snprintf(name, sizeof name, "setup%d", s);
        snprintf(text, sizeof text,
                 "free %d guided %d complaint %d band %d kept %.4g %.4g %.4g marks %d %d",
                 analysis->free_holds[s], analysis->guided_holds[s],
                 (int)setup_complaint(record, s), (int)band.of, kept.gone_after_s, kept.kept_s,
                 kept.of_s, analysis->insight.mark[s].stands, analysis->insight.mark[s].beaten_by);
        outcome_text(name, text);
        for (int c = 0; c < TRADEOFF_CRITERIA; c++) {
            const struct tradeoff_setup *value = &analysis->insight.value[s];
            if (value->has[c]) {
                snprintf(text, sizeof text, "%d %.6g se %.5g df %.4g leads %d", c, value->value[c],
                         value->se[c], value->df[c], analysis->insight.mark[s].leads[c]);
                outcome_text(name, text);
            }
        }
    }
}

static void pin_holds(const struct session_record *record, const struct analysis *analysis)
{
    char text[200], name[40];
    for (int h = 0; h < record->hold_count; h++) {
        bool lost = false;
        double worst = hold_worst_share(analysis, h, &lost);
        snprintf(name, sizeof name, "hold%d", h);
        snprintf(text, sizeof text, "use %d %d readings %d same %d long %d worst %.4g %d apart %d",
                 (int)hold_use_of(record, analysis, h, 0), (int)hold_use_of(record, analysis, h, 1),
                 (int)hold_use_of_readings(record, analysis, h, 0),
                 hold_is_same_sit(record, analysis, h), analysis_hold_is_long(analysis, h), worst,
                 lost, analysis->hold[h].auxiliary_apart[0]);
        outcome_text(name, text);
    }
}

static void pin_insight(const struct session_record *record, const struct analysis *analysis)
{
    const struct insight *insight = &analysis->insight;
    struct bike_limits limits;
    char text[300], name[40];
    bike_limits_clear(&limits);
    limits.least[BIKE_SPACERS] = 0.0;
    limits.most[BIKE_SPACERS] = 30.0;
    limits.least[BIKE_PAD_RISE] = 35.0;
    limits.most[BIKE_PAD_RISE] = 65.0;
    for (int s = 0; s < record->setup_count; s++) {
        struct insight_suggestion suggestion;
        insight_suggest(record, analysis, s, &limits, &suggestion);
        snprintf(name, sizeof name, "suggest%d", s);
        snprintf(text, sizeof text, "%d reason %d complaint %d part %d from %.4g to %.4g",
                 (int)suggestion.purpose, (int)suggestion.reason, (int)suggestion.complaint,
                 suggestion.purpose == STEPS_NOTHING ? -1 : (int)suggestion.part,
                 suggestion.purpose == STEPS_NOTHING ? 0.0 : suggestion.from,
                 suggestion.purpose == STEPS_NOTHING ? 0.0 : suggestion.to);
        outcome_text(name, text);
    }
    outcome_number("suggest_from", insight_suggest_from(record, analysis));
    outcome_number("factors", insight->factor_count);
    for (int f = 0; f < insight->factor_count; f++) {
        const struct steps_factor *factor = &insight->steps[0].factor[f];
        snprintf(name, sizeof name, "factor%d", f);
        snprintf(text, sizeof text, "%d low %.4g high %.4g state %d %.5g", (int)insight->factor[f],
                 insight->tried_low[f], insight->tried_high[f], (int)factor->state,
                 factor->state == STEPS_KNOWN ? factor->per_unit : 0.0);
        outcome_text(name, text);
    }
}

START_TEST(records)
{
    make_all();
    outcome_begin("analysis-records");
    for (int n = 0; n < RECORDS; n++) {
        const struct session_record *record = &made[n].record;
        const struct analysis *analysis = made[n].analysis;
        outcome_of("record%d", n);
        pin_builds(record, analysis);
        pin_setups(record, analysis);
        pin_holds(record, analysis);
        pin_insight(record, analysis);
        for (int c = 0; c < 2; c++) {
            const struct slip *slip = &analysis->slip[c];
            outcome_number("slip", slip->asked ? slip->apart_mm : 0.0);
            outcome_number("slip.later", slip->asked ? slip->later : -1);
            outcome_number("slip.beside", slip->beside);
            outcome_number("step_open", analysis->step_open[c]);
            outcome_number("withheld", analysis_is_withheld(analysis, c));
        }
        outcome_number("slip_unanswered", slip_unanswered(record, analysis));
    }
    outcome_end();
    end_all();
}
END_TEST

START_TEST(hours)
{
    make_all();
    outcome_begin("analysis-hours");
    for (int n = 0; n < RECORDS; n++) {
        const struct session_record *record = &made[n].record;
        struct plan_holds so_far = plan_usual_holds();
        for (int m = 0; m < 5; m++) {
            struct hour_holds asked;
            struct plan_of_hour plan;
            char text[400];
            double minutes_left = m == 4 ? NAN : 5.0 + 15.0 * m + n % 7;
            int build = m == 3 ? -1 : record->build_count - 1 - m % 2;
            plan_of_hour_choose(record, made[n].analysis, build, minutes_left, &so_far, &asked);
            plan_of_hour_make(record, made[n].analysis, build, minutes_left, &asked, &plan);
            outcome_of("hour%d.%d", n, m);
            snprintf(text, sizeof text,
                     "%d of %.4g s, why %d, sd %.5g, chance %.5g, times %.4g %.4g %.4g %.4g %.4g",
                     asked.each.holds, asked.each.hold_s, (int)asked.why, asked.hold_sd_mm,
                     asked.chance, asked.times.change_min, asked.times.ride_in_min,
                     asked.times.hold_min, asked.times.rating_min, asked.times.rest_min);
            outcome_text("asked", text);
            snprintf(text, sizeof text,
                     "holds %d of %d, unsettled %d, closed %d, room %d, fit %d, return %d",
                     plan.holds, plan.holds_wanted, plan.unsettled, plan.closed, plan.keeps_room,
                     plan.setups_fit, plan.return_due);
            outcome_text("plan", text);
            outcome_number("setup_min", plan_of_hour_setup_min(&asked));
        }
    }
    outcome_end();
    end_all();
}
END_TEST

static void pin_across(const struct across *across, int count)
{
    char text[400], name[60];
    for (int s = 0; s < across->setup_count; s++) {
        const struct across_setup *setup = &across->setup[s];
        snprintf(text, sizeof text, "session %d setup %d numbers %d %d %d holds %d %d %d",
                 setup->session, setup->setup, setup->number_in[0], setup->number_in[1],
                 setup->number_in[2], setup->holds_in[0], setup->holds_in[1], setup->holds_in[2]);
        snprintf(name, sizeof name, "setup%d", s);
        outcome_text(name, text);
    }
    for (int c = 0; c < across->channel_count; c++) {
        const struct across_channel *channel = &across->channel[c];
        for (int i = 0; i < count; i++) {
            snprintf(name, sizeof name, "channel%d.session%d", c, i);
            outcome_number(name, channel->u_session_mm[i]);
            outcome_number(name, channel->apart[i]);
            outcome_number(name, channel->reference);
            for (int s = 0; s < across->setup_count; s++) {
                struct visit_height height = visit_height(across, i, s, c);
                struct visit_change change = visit_change(across, s, c, 0, i);
                snprintf(text, sizeof text, "%d %d %.6g %.5g change %d %.5g %.5g", height.measured,
                         height.tied, height.measured ? height.mean_mm : 0.0,
                         height.measured ? height.half_width_mm : 0.0, change.known,
                         change.known ? change.change_mm : 0.0,
                         change.known ? change.half_width_mm : 0.0);
                outcome_text(name, text);
            }
        }
        for (int s = 0; s < across->setup_count; s++) {
            snprintf(name, sizeof name, "channel%d.setup%d", c, s);
            outcome_number(name, channel->heights.setup[s].mean);
            outcome_number(name, channel->heights.setup[s].half_width);
            outcome_number(name, channel->heights.difference[s].verdict);
            outcome_number(name, channel->heights.difference[s].reason);
            outcome_number(name, channel->heights.difference[s].tie_error);
        }
    }
}

START_TEST(several_sessions)
{
    make_all();
    outcome_begin("analysis-sessions");
    for (int n = 0; n + 12 < RECORDS; n++) {
        struct across_session sessions[3];
        int count = 1 + n % 3;
        for (int i = 0; i < count; i++) {
            sessions[i] =
                (struct across_session){i + 1, &made[n + 6 * i].record, made[n + 6 * i].analysis};
        }
        struct problem problem = {.sentence = ""};
        struct across *across = across_make(sessions, count, n % 4 == 3 ? 1 : -1, &problem);
        outcome_of("across%d", n);
        if (across == NULL) {
            outcome_text("none", problem.sentence);
            continue;
        }
        outcome_number("baseline", across->baseline);
        pin_across(across, count);
        for (int i = 0; i < count; i++) {
            outcome_number("chosen", visit_chosen(across, i));
            outcome_number("next", visit_next(across, i, 0));
            outcome_number("rating", visit_rating(across, i, 0, 0));
            outcome_number("found", across_find_setup(across, i, 1));
            struct across_place one = {sessions[0].record, sessions[0].analysis, 0, 0};
            struct across_place two = {sessions[i].record, sessions[i].analysis, 1, 0};
            outcome_number("u_mm", across_u_mm(&one, &two));
            outcome_number("common", across_common_u_mm(&two, &one));
            outcome_number("same", across_same_measures(&one, &two));
        }
        across_destroy(across);
    }
    outcome_end();
    end_all();
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("outcome_records");
    TCase *tests = tcase_create("outcome_records");
    tcase_set_timeout(tests, 60);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, records);
    tcase_add_test(tests, hours);
    tcase_add_test(tests, several_sessions);
    return test_main(suite);
}
