/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "carry_inside.h"

#include "base/text.h"
#include "base/words.h"

#include <math.h>

/* Command lines for a new session, word by word. */

void carry_put(struct carry_text *line, const char *word)
{
    text_append(line->text, sizeof line->text, &line->used, "%s%s", line->used > 0 ? " " : "",
                word);
}

void carry_put_quoted(struct carry_text *line, const char *key, const char *text)
{
    char quoted[2 * WORD_SIZE];
    words_quote(quoted, sizeof quoted, text);
    text_append(line->text, sizeof line->text, &line->used, "%s%s%s%s", line->used > 0 ? " " : "",
                key != NULL ? key : "", key != NULL ? "=" : "", quoted);
}

void carry_put_number(struct carry_text *line, const char *key, double value)
{
    char text[64];
    if (isfinite(value)) {
        text_from_double_shortest(text, sizeof text, value);
        text_append(line->text, sizeof line->text, &line->used, " %s=%s", key, text);
    }
}

bool carry_give(const struct carry_text *line, carry_sink *sink, void *context,
                struct problem *problem)
{
    if (line->used + 1 >= sizeof line->text) {
        return problem_set(problem, "'%.40s...' is too long to be carried over", line->text);
    }
    return sink(context, line->text, problem);
}
