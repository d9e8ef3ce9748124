/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "commands.h"

#include "base/text.h"
#include "heights.h"
#include "hour.h"
#include "machine_effects.h"
#include "record/typed.h"
#include "say/repeatability.h"

#include <limits.h>
#include <math.h>

/* How holds repeated before this session, as a record of this one: a replay needs no other. */

static bool read_count(const struct words *words, const char *key, int *count,
                       struct problem *problem)
{
    int64_t number = 0;
    const char *text = words_value(words, key);
    if (text == NULL) {
        return true;
    }
    if (!text_to_int64(text, &number) || number < 0 || number > INT_MAX) {
        return problem_set(problem, "learnt: %s=%s is no number of sessions", key, text);
    }
    *count = (int)number;
    return true;
}

static bool read_learnt(const struct words *words, struct learnt_repeatability *learnt,
                        struct problem *problem)
{
    return typed_read(words, TYPED_RIDER_SD, &learnt->rider_sd_mm, problem) &&
           typed_read(words, TYPED_RIDER_DF, &learnt->rider_df, problem) &&
           read_count(words, "rider_sessions", &learnt->rider_sessions, problem) &&
           typed_read(words, TYPED_STORE_SD, &learnt->store_sd_mm, problem) &&
           typed_read(words, TYPED_STORE_DF, &learnt->store_df, problem) &&
           read_count(words, "store_sessions", &learnt->store_sessions, problem);
}

static bool read_from(const char *text, enum learnt_from *from, struct problem *problem)
{
    char known[128];
    int found = word_find(&learnt_from_words, text, -1);
    word_list_text(known, sizeof known, &learnt_from_words);
    *from = (enum learnt_from)found;
    return found >= 0 || problem_set(problem, "learnt: '%s' is none of %s", text, known);
}

/* learnt channel=head rider_sd=3.9 rider_df=4.3 rider_sessions=3 store_sd=4.4 store_df=4
 * store_sessions=22, or learnt rider */
bool command_learnt(struct session *session, const struct words *words, struct problem *problem)
{
    static const char *const keys[] = {"channel",  "rider_sd", "rider_df",       "rider_sessions",
                                       "store_sd", "store_df", "store_sessions", NULL};
    struct comparison_settings *settings = &session->record.settings;
    const char *name = words_value(words, "channel");
    const char *from = words->count > 1 && words->word[1].key == NULL ? words->word[1].value : NULL;
    enum learnt_from wanted = settings->learnt_from;
    struct learnt_repeatability learnt;
    int channel = -1;
    learnt_clear(&learnt);
    if (!machine_only_keys(words, keys, problem)) {
        return false;
    }
    if ((name == NULL) == (from == NULL) || (from != NULL && words->count > 2)) {
        return problem_set(problem, "learnt: say channel=NAME with what was learnt, or all, rider, "
                                    "store or none");
    }
    if ((from != NULL && !read_from(from, &wanted, problem)) ||
        (name != NULL && ((channel = machine_channel(session, name, problem)) < 0 ||
                          !read_learnt(words, &learnt, problem)))) {
        return false;
    }
    if (isnan(learnt.rider_sd_mm) != isnan(learnt.rider_df) ||
        isnan(learnt.store_sd_mm) != isnan(learnt.store_df)) {
        return problem_set(problem, "learnt: an SD and what it is worth (_sd and _df) go together");
    }
    settings->learnt_from = wanted;
    if (channel >= 0) {
        settings->learnt[channel] = learnt;
    }
    machine_emit(session, EFFECT_SESSION, 0);
    machine_ties_changed(session);
    hour_plan(session);
    if (from != NULL) {
        machine_say(session, "%s", say_learnt_from(wanted));
    }
    return true;
}
