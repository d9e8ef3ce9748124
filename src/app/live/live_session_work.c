/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "live_session_inside.h"

#include "app/carry_offers.h"
#include "app/run_lines.h"
#include "base/text.h"

#include <stdlib.h>
#include <string.h>

/* What a live session is asked. Commands it does at once; what may wait on a disk becomes a job. */

/* ---- in the session's loop ----------------------------------------------------------------------
 */

/* 'carry' stands for the lines of an earlier session; all others are the session's own. *later: the
 * worker answers. */
static bool do_line(struct live_session *live, const struct asked *asked, bool *later,
                    struct problem *problem)
{
    struct words words;
    bool split =
        words_split(asked->line, &words, NULL) && words.count > 0 && words.word[0].key == NULL;
    const char *word = split ? words.word[0].value : "";
    if (text_equal(word, "carry")) {
        *later = live_job_carry(live, asked->number, asked->line, &words, problem);
        return *later;
    }
    if (text_equal(word, "learn")) {
        *later = live_job_learn(live, asked->number, problem);
        return *later;
    }
    if (text_equal(word, "read") && words.count == 2 &&
        text_equal(words.word[1].value, "proposed")) {
        return live_session_take_offer(live, problem);
    }
    if (split && run_lines_wanted(&words)) {
        *later = live_job_run(live, asked->number, asked->line, problem);
        return *later;
    }
    bool done = live_session_do(live, asked->line, problem);
    if (done) {
        live_job_learn_if_due(live, word);
        carry_offers_forget_look(&live->earlier);
    }
    bool waits = live_asker_of(asked->number) == LIVE_SCREEN;
    *later = done && text_equal(word, "rider") &&
             live_job_offers(live, waits ? asked->number : 0) && waits;
    return done;
}

/* ---- what tellers may ask for as well ---- */

/* 'next': what Space does, where a command does it. */
static bool tell_next(struct live_session *live, const struct asked *asked, bool *later,
                      struct problem *problem)
{
    struct asked step = *asked;
    struct view view = live->back;
    session_fill_view(live->session, &view);
    if (view.next != VIEW_NEXT_COMMAND || view.next_command[0] == '\0') {
        return problem_set(problem, "next: no command does it: %s", view.next_step);
    }
    text_copy(step.line, sizeof step.line, view.next_command);
    return do_line(live, &step, later, problem);
}

static bool tell_comparison(struct live_session *live, char **text, struct problem *problem)
{
    size_t size = 0;
    FILE *stream = open_memstream(text, &size);
    bool done =
        stream != NULL && session_reports_compare(&live->reports, live->session, stream, problem);
    if (stream == NULL || fclose(stream) != 0) {
        return problem_set(problem, "no memory for a comparison");
    }
    return done;
}

/* Answered with what the session said to it. */
static void answer_teller(struct live_session *live, const struct asked *asked)
{
    struct problem problem = {0};
    uint64_t before, after;
    char *text = NULL;
    bool later = false, done;
    session_message(live->session, &before);
    if (text_equal(asked->line, "next")) {
        done = tell_next(live, asked, &later, &problem);
    } else if (text_equal(asked->line, "compare")) {
        done = tell_comparison(live, &text, &problem);
    } else {
        done = do_line(live, asked, &later, &problem);
    }
    const char *said = session_message(live->session, &after);
    if (!later) {
        live_session_answer_text(live, asked->number, done,
                                 !done             ? problem.sentence
                                 : after != before ? said
                                                   : "",
                                 text);
    }
}

static void answer(struct live_session *live, const struct asked *asked)
{
    struct problem problem = {0};
    bool later = false, done;
    if (asked->request == LIVE_EXPORT || asked->request == LIVE_REPLACE) {
        bool replace = asked->request == LIVE_REPLACE;
        done = later = live_job_export(live, asked->number, asked->line, replace, &problem);
    } else if (live_asker_of(asked->number) == LIVE_TELLER) {
        answer_teller(live, asked);
        return;
    } else {
        done = do_line(live, asked, &later, &problem);
    }
    if (!later && problem.kind == PROBLEM_ASKED) {
        live_session_answer_asked(live, asked->number, problem.sentence);
    } else if (!later) {
        live_session_answer_with(live, asked->number, done, done ? "" : problem.sentence);
    }
}

bool live_work_asked(struct live_session *live)
{
    struct asked asked;
    bool news = false;
    for (;;) {
        pthread_mutex_lock(&live->lock);
        bool any = live->asked_count > 0;
        news = news || any || live->link_changed;
        if (any) {
            asked = live->asked[0];
            live->asked_count--;
            memmove(&live->asked[0], &live->asked[1], (size_t)live->asked_count * sizeof asked);
        }
        pthread_mutex_unlock(&live->lock);
        if (!any) {
            return news;
        }
        answer(live, &asked);
        live_job_name(live, false);
    }
}
