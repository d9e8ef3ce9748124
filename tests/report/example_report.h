/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_REPORT_EXAMPLE_REPORT_H
#define HOLDLINE_TESTS_REPORT_EXAMPLE_REPORT_H

#include "report/report.h"
#include "report/sheet.h"
#include "support/example_session.h"
#include "support/report_text.h"
#include "support/test_main.h"

#include <stdlib.h>
#include <string.h>

/* The example session as a report's input, made anew for each test. */

static struct session_record *record;
static struct analysis *analysis;
static struct report_input input;

static inline void begin(void)
{
    record = example_record();
    analysis = example_analysis();
    input = (struct report_input){.record = record, .analysis = analysis};
}

/* The same with a setup chosen for the sheet. */
static inline void begin_chosen(void)
{
    begin();
    input.chosen_setup = 2;
}

/* Nobody was numb, nor strained to see ahead: in the example the rider was on setup 2. */
static inline void at_ease(void)
{
    for (int i = 0; i < record->rating_count; i++) {
        if (record->rating[i].value[RATING_SEES_AHEAD] != (double)SEES_NO) {
            record->rating[i].value[RATING_SEES_AHEAD] = SEES_YES;
        }
        record->rating[i].value[RATING_NUMB_HANDS] = record->rating[i].value[RATING_NUMB_SADDLE] =
            ANSWER_NO;
    }
}

/* The example's target is setup 1's: here it is setup 2's own. */
static inline void of_its_own(void)
{
    record->target[0].build = 1;
}

static inline void end(void)
{
    free(record);
    free(analysis);
}

/* One text is in the section, the other is not; NULL: no matter. */
static inline void check_section(report_section *section, const char *there, const char *not_there)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct caught caught;
    struct paper paper;
    paper_begin(&paper, &paper_text, catch_begin(&caught), 200);
    ck_assert(section(&paper, &input, &problem));
    paper_end(&paper);
    char *text = catch_end(&caught);
    ck_assert_msg(there == NULL || strstr(text, there) != NULL, "'%s' is not in: %s", there, text);
    ck_assert_msg(not_there == NULL || strstr(text, not_there) == NULL, "'%s' is in: %s", not_there,
                  text);
    free(text);
}

#endif
