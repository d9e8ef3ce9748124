/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/practice_plan.h"

#include "base/text.h"
#include "base/words.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LINES_MOST 100
#define LINE_SIZE 2048

/* What of practice is the coach's to say: stops, and the base, are not. */
static bool check_practice(const struct words *words, struct problem *problem)
{
    static const char *const keys[] = {"row", "length", "pieces", "power"};
    for (int i = 1; i < words->count; i++) {
        bool known = false;
        for (size_t k = 0; words->word[i].key != NULL && k < sizeof keys / sizeof keys[0]; k++) {
            known = known || text_equal(words->word[i].key, keys[k]);
        }
        if (!known) {
            return problem_set(problem,
                               "a plan says row, length, pieces and power of practice, "
                               "not '%s'",
                               words->word[i].key != NULL ? words->word[i].key
                                                          : words->word[i].value);
        }
    }
    return true;
}

static bool keep(const char *rest, char *to, size_t size, struct problem *problem)
{
    if (to[0] != '\0') {
        return problem_set(problem, "this was said before");
    }
    text_copy(to, size, rest);
    return strlen(rest) < size || problem_set(problem, "the line is too long");
}

static bool take_line(struct practice_plan *plan, const char *line, struct problem *problem)
{
    struct words words;
    if (!words_split(line, &words, problem)) {
        return false;
    }
    const char *word = words.count == 0            ? ""
                       : words.word[0].key != NULL ? words.word[0].key
                                                   : words.word[0].value;
    const char *rest = line + strspn(line, " \t");
    rest += strcspn(rest, " \t");
    rest += strspn(rest, " \t");
    if (words.count == 0) {
        return true;
    }
    if (text_equal(word, "target")) {
        return keep(rest, plan->target, sizeof plan->target, problem);
    }
    if (text_equal(word, "band")) {
        return keep(rest, plan->band, sizeof plan->band, problem);
    }
    if (text_equal(word, "practice")) {
        return check_practice(&words, problem) &&
               keep(rest, plan->practice, sizeof plan->practice, problem);
    }
    if (text_equal(word, "note")) {
        return keep(line + strspn(line, " \t"), plan->note, sizeof plan->note, problem);
    }
    return problem_set(problem, "'%s' is no word of a plan; there are target, band, practice, note",
                       word);
}

bool practice_plan_read(const char *path, struct practice_plan *plan, struct problem *problem)
{
    char line[LINE_SIZE];
    FILE *file = fopen(path, "re");
    bool done = file != NULL || problem_set(problem, "%s: %s", path, strerror(errno));
    *plan = (struct practice_plan){.target = ""};
    for (int number = 1; done && fgets(line, sizeof line, file) != NULL; number++) {
        bool ends = strchr(line, '\n') != NULL || feof(file), whole = ends && number <= LINES_MOST;
        line[strcspn(line, "\r\n")] = '\0';
        done = whole ? take_line(plan, line, problem) : problem_set(problem, "this is no plan");
        if (!done) {
            problem_prefix(problem, "%s:%d", path, number);
        }
    }
    if (done && ferror(file)) { /* as of a folder */
        done = problem_set(problem, "%s: %s", path, strerror(errno));
    }
    if (done && plan->band[0] != '\0' && plan->target[0] == '\0') {
        done = problem_set(problem, "%s: a band is about a target: say that, too", path);
    }
    if (file != NULL) {
        fclose(file);
    }
    return done;
}
