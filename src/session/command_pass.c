/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "commands.h"

#include "base/text.h"
#include "next_step.h"
#include "say/next.h"

/* pass STEP: it leads no more, for what it is of (say/next.h). Nothing else comes of it: its own
 * command does it all the same, then or later. */
bool command_pass(struct session *session, const struct words *words, struct problem *problem)
{
    const char *text = words->count > 1 && words->word[1].key == NULL ? words->word[1].value : "";
    int step = word_find(&next_step_words, text, -1);
    if (step < 0 || words->count > 2) {
        char all[256];
        word_list_text(all, sizeof all, &next_step_words);
        return problem_set(problem, "pass: '%s' is none of %s", text, all);
    }
    next_step_pass(session, (enum next_step)step);
    return true;
}
