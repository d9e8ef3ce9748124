/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/problem.h"
#include "bike/bolts.h"
#include "screen/display.h"
#include "screen/form_page.h"
#include "screen/form_typing.h"
#include "support/test_main.h"
#include "support/views.h"

#include <stdio.h>
#include <string.h>

/* A line that is asked about ('is it meant so?') is taken with Enter, whatever form made it: every
 * form, and each line of those that make several. */

#define NEXT "\t"
#define TO "\016"     /* the next of its choices */
#define TORQUE "\017" /* to the first torque */

static const struct {
    enum made_view on;
    const char *keys; /* what makes lines of it */
    int lines;
} typed[FORMS] = {
    [FORM_SETUP] = {MADE_LIVE, "lower" NEXT "25", 1},
    [FORM_RIDER] = {MADE_LIVE, "R-09", 1},
    [FORM_BIKE] = {MADE_LIVE, NEXT NEXT NEXT NEXT "25", 3}, /* the bike, and two setups of it */
    [FORM_SENSORS] = {MADE_LIVE, "", 1},                    /* at the chest's place: it asks, too */
    [FORM_BAND] = {MADE_LIVE, "11", 1},
    [FORM_RATING] = {MADE_LIVE, "4", 1},
    [FORM_MOVED] = {MADE_LIVE, TO, 1},
    [FORM_SLIPPED] = {MADE_LIVE, TO, 1},
    [FORM_PLATE] = {MADE_LIVE, NEXT "930", 1},
    [FORM_TAPE] = {MADE_LIVE, "64.2", 1},
    [FORM_NOTE] = {MADE_LIVE, "tired", 1},
    [FORM_REJECT] = {MADE_LIVE, NEXT "coughed", 1},
    [FORM_TARGET] = {MADE_LIVE, "700", 1},
    [FORM_CORRECT] = {MADE_LIVE, NEXT "7" NEXT NEXT "lower", 2}, /* what is right, and its number */
    [FORM_SETTINGS] = {MADE_LIVE, "1" NEXT "1" NEXT "2", 2},
    [FORM_CHECK] = {MADE_LIVE, "", 1},
    [FORM_CHOOSE] = {MADE_LIVE, "1", 1},
    [FORM_LIMITS] = {MADE_LIVE, "85" TORQUE "40", 2},
    [FORM_CARRY] = {MADE_LIVE, "7", 1},
    [FORM_HOLD_FREE] = {MADE_LIVE, "", 1},
    [FORM_HOLD_GUIDED] = {MADE_LIVE, "", 1},
    [FORM_MINUTES] = {MADE_LIVE, "45", 1},
    [FORM_COURSE] = {MADE_RUNS, "150" NEXT NEXT NEXT NEXT NEXT NEXT "0.004", 3},
    [FORM_AIR] = {MADE_RUNS, "20" NEXT "1010" NEXT "50", 1},
    [FORM_RIDE] = {MADE_RUNS, "1" NEXT "ride.csv", 1},
    [FORM_RIDE_OUT] = {MADE_RUNS, NEXT "stopped at a light", 1},
    [FORM_FELT] = {MADE_LIVE, TO, 1},
    [FORM_MORNING] = {MADE_LIVE, TO, 1},
    /* FORM_EXPORT: a file's name and no command (keys/export.txt) */
};

static struct made_up made;
static struct form_page page;

/* Enter, and 'y' to what the form itself asks. */
static void enter(void)
{
    enum form_result result = form_key(&page.form, &made.view, KEY_ACCEPT);
    ck_assert_msg(result == FORM_MADE, "%s: %s", page.form.title, page.form.problem);
    page.form.question[0] = '\0';
}

/* The lines before this one are taken; it comes out. */
static void take_to(int number, char *line, size_t size)
{
    for (int i = 0; i < number; i++) {
        ck_assert(form_page_has_line(&page));
        form_page_take_line(&page, line, size);
        ck_assert_ptr_null(strstr(line, "sure=yes"));
        form_page_answer(&page, true, "");
    }
    ck_assert(form_page_has_line(&page));
    form_page_take_line(&page, line, size);
}

static void go_to_key(const char *key)
{
    while (strcmp(page.form.field[page.form.focus].key, key) != 0) {
        form_key(&page.form, &made.view, KEY_TAB);
    }
}

static void open_typed(enum form_kind kind)
{
    memset(&page, 0, sizeof page);
    made_view(&made, typed[kind].on);
    ck_assert(form_page_open(&page, &made.view, kind));
    for (const char *key = typed[kind].keys; *key != '\0'; key++) {
        if (*key == *TORQUE) {
            go_to_key(bike_bolt_key(0));
        } else {
            form_key(&page.form, &made.view,
                     *key == *TO ? KEY_GO_RIGHT : (uint32_t)(unsigned char)*key);
        }
    }
}

START_TEST(enter_again_takes_what_was_asked_about)
{
    enum form_kind kind = (enum form_kind)_i;
    if (kind == FORM_EXPORT) {
        return;
    }
    ck_assert_msg(typed[kind].keys != NULL, "form %d is not tried", _i);
    for (int i = 0; i < typed[kind].lines; i++) {
        char line[COMMAND_TEXT_SIZE], again[COMMAND_TEXT_SIZE], sure[COMMAND_TEXT_SIZE + 16];
        open_typed(kind);
        enter();
        ck_assert_int_eq(page.form.line_count, typed[kind].lines);
        take_to(i, line, sizeof line);
        ck_assert_ptr_null(strstr(line, "sure=yes"));
        form_page_ask(&page, "is it meant so?" PROBLEM_SURE);
        ck_assert(!form_page_has_line(&page));
        ck_assert_str_eq(page.form.problem, "is it meant so? Enter again takes it");
        enter();
        take_to(i, again, sizeof again);
        snprintf(sure, sizeof sure, "%s sure=yes", line);
        ck_assert_str_eq(again, sure);
        form_page_answer(&page, true, "");
        ck_assert(page.done == (i + 1 == typed[kind].lines));
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("questions of forms");
    TCase *tcase = tcase_create("questions");
    tcase_add_loop_test(tcase, enter_again_takes_what_was_asked_about, 0, FORMS);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
