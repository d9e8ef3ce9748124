/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What a row of checks found of a rig: can it be trusted, why, and what it leaves open. */
#include "report/sensors.h"

#include "analysis/check_budget.h"
#include "base/numbers.h"
#include "base/text.h"
#include "measure/rules.h"
#include "report/cautions.h"
#include "say/say.h"

void sensors_title(const struct sensors_checked *checked, char *text, size_t size)
{
    char day[SAY_SIZE];
    size_t used = 0;
    say_day(day, sizeof day, checked->checked_ms);
    text_copy(text, size, "");
    text_append(text, size, &used, "Sensors of %s, %s", checked->rig, day);
}

static int count_of(const struct sensors_checked *checked, enum check_verdict verdict)
{
    int count = 0;
    for (int i = 0; i < checked->count; i++) {
        count += checked->check[i].verdict == verdict ? 1 : 0;
    }
    return count;
}

static void decide(struct paper *paper, const struct sensors_checked *checked)
{
    int failed = count_of(checked, CHECK_FAILED), passed = count_of(checked, CHECK_PASSED);
    if (failed > 0) {
        paper_decision(paper, "FAILED: %d of %d checks", failed, checked->count);
        paper_lead(paper,
                   "Put right what is said below, and check again before a rider is measured.");
    } else if (passed < checked->count) {
        paper_decision(paper, "%d of %d checks could not tell", checked->count - passed,
                       checked->count);
        paper_lead(paper, "What they want is said below.");
    } else {
        paper_decision(paper, "All %d checks passed", checked->count);
        paper_lead(paper,
                   "As far as these checks go, the sensors can be trusted as they are now: fixed "
                   "anew, they are checked anew.");
    }
}

static bool checks_table(struct paper *paper, const struct sensors_checked *checked,
                         struct problem *problem)
{
    static const struct table_column columns[] = {{"check", TABLE_LEFT, false},
                                                  {"sensor", TABLE_LEFT, false},
                                                  {"verdict", TABLE_LEFT, false},
                                                  {"what was found", TABLE_LEFT, true}};
    struct table *table = table_create(columns, 4);
    for (int i = 0; i < checked->count; i++) {
        const struct check_record *check = &checked->check[i];
        table_cell(table, word_of(&check_kind_words, check->kind));
        table_cell(table,
                   check->channel >= 0 ? checked->placing->channel[check->channel].name : "all");
        table_cell(table, word_of(&check_verdict_words, check->verdict));
        table_cell(table, check->words);
    }
    bool done = paper_table(paper, table, problem);
    table_destroy(table);
    return done;
}

static void cell(struct table *table, double value, int decimals)
{
    char text[32];
    say_number(text, sizeof text, value, decimals);
    table_cell(table, text);
}

static void budget_row(struct table *table, const char *name, const struct check_budget *budget)
{
    char error[32], u[32];
    table_cell(table, name);
    cell(table, budget->mean_u_mm, 2);
    cell(table, budget->step_u_mm, 2);
    say_number(error, sizeof error, 100.0 * budget->scale_error, 1);
    say_number(u, sizeof u, STEP_COVERAGE * 100.0 * budget->scale_u, 1);
    table_cell_format(table, "%s%s ±%s", budget->scale_error > 0 ? "+" : "", error, u);
    cell(table, budget->scale_u_mm, 2);
    cell(table, STEP_COVERAGE * budget->u_mm, 1);
}

static bool budget_table(struct paper *paper, const struct sensors_checked *checked,
                         struct problem *problem)
{
    static const struct table_column columns[] = {{"sensor", TABLE_LEFT, false},
                                                  {"noise of\na hold, mm", TABLE_RIGHT, false},
                                                  {"step of\nreadings, mm", TABLE_RIGHT, false},
                                                  {"scale, %", TABLE_RIGHT, false},
                                                  {"that is,\nmm", TABLE_RIGHT, false},
                                                  {"together\n±mm", TABLE_RIGHT, false}};
    struct table *table = table_create(columns, 6);
    char difference[32];
    say_number(difference, sizeof difference, BUDGET_MM, 0);
    for (int c = 0; c < checked->placing->channel_count; c++) {
        struct check_budget budget;
        if (check_budget(checked->check, checked->count, c, &budget)) {
            budget_row(table, checked->placing->channel[c].name, &budget);
        }
    }
    bool any = table_rows(table) > 0, done = true;
    if (any) {
        paper_title(paper, "What the sensors by themselves leave open");
        paper_paragraph(paper,
                        "Of a difference of %s mm between two setups, in holds as long as the "
                        "averaging that the still test found worth doing:",
                        difference);
        done = paper_table(paper, table, problem);
        paper_note(paper,
                   "Standard uncertainties; 'together' with the factor 2. A scale error costs in "
                   "proportion. How a rider sits down, how the sensors are tied to the bike and "
                   "what warms up later is not in it: the session reckons with those.");
    }
    table_destroy(table);
    return done;
}

bool sensors_document(struct paper *paper, const struct sensors_checked *checked,
                      struct problem *problem)
{
    char title[SAY_SIZE];
    sensors_title(checked, title, sizeof title);
    paper_part_begin(paper, "record", "Sensors");
    paper_line(paper, "%s", title);
    decide(paper, checked);
    bool done = checks_table(paper, checked, problem) && budget_table(paper, checked, problem);
    if (done) {
        paper_note(paper, "%s", report_cautions[CAUTION_BEAMS]);
    }
    paper_part_end(paper);
    return done;
}
