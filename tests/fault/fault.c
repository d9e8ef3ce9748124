/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* make fault: every call (or COUNT of them, as SEED picks them) of each command on the short
 * session fails once; what must hold afterwards is in tests/support/fault_machine.h. Prints a
 * table, and each bad one. CASE, KIND, HOW and AT leave only those. */
#include "support/fault_machine.h"

#include "base/random.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const struct way {
    const char *kind, *as;
} ways[] = {{"disk", "once"},  {"disk", "good"},   {"disk", "full"},
            {"disk", "short"}, {"memory", "once"}, {"memory", "good"}};
#define WAYS ((int)(sizeof ways / sizeof ways[0]))

struct table {
    long calls[WAYS], tried[WAYS], count[WAYS][FAULT_VERDICTS];
};

static const char *wanted(const char *name)
{
    const char *text = getenv(name);
    return text != NULL && text[0] != '\0' ? text : NULL;
}

static bool is_wanted(const char *name, const char *value)
{
    const char *text = wanted(name);
    return text == NULL || strcmp(text, value) == 0;
}

static long number(const char *name, long usual)
{
    const char *text = wanted(name);
    return text != NULL ? strtol(text, NULL, 10) : usual;
}

static void try_one(struct fault_machine *machine, const struct fault_case *one, int way, long at,
                    struct table *table)
{
    const struct fault fault = {ways[way].kind, ways[way].as, at};
    char why[1500];
    enum fault_verdict verdict = fault_machine_try(machine, one, &fault, why, sizeof why);
    table->tried[way]++;
    table->count[way][verdict]++;
    if (fault_is_bad(verdict)) {
        printf("%s: %s\n", fault_verdict_words[verdict], why);
        fflush(stdout);
    }
}

/* Those of one case and way: all of them, or some that stand apart by chance. */
static void try_case(struct fault_machine *machine, const struct fault_case *one, int way,
                     struct random_source *random, struct table *table)
{
    long calls = fault_machine_calls(machine, one, ways[way].kind);
    long most = number("COUNT", 0), at = number("AT", 0);
    table->calls[way] += calls;
    if (at > 0) {
        try_one(machine, one, way, at, table);
        return;
    }
    double step = most > 0 && calls > most ? (double)calls / (double)most : 1.0;
    double first = step > 1.0 ? random_uniform(random) * step : 0.0;
    for (double next = first; next < (double)calls; next += step) {
        try_one(machine, one, way, 1 + (long)next, table);
    }
}

static long print_table(const struct table *table)
{
    long bad = 0;
    printf("\n%-14s %9s %7s %9s %7s", "", "calls", "tried", "no matter", "told");
    for (int v = FAULT_TOLD + 1; v < FAULT_VERDICTS; v++) {
        printf("  %s", fault_verdict_words[v]);
    }
    printf("\n");
    for (int w = 0; w < WAYS; w++) {
        if (table->tried[w] == 0) {
            continue;
        }
        printf("%-6s %-7s %9ld %7ld %9ld %7ld", ways[w].kind, ways[w].as, table->calls[w],
               table->tried[w] - table->count[w][FAULT_NOT_REACHED],
               table->count[w][FAULT_NO_MATTER], table->count[w][FAULT_TOLD]);
        for (int v = FAULT_TOLD + 1; v < FAULT_VERDICTS; v++) {
            printf("  %*ld", (int)strlen(fault_verdict_words[v]), table->count[w][v]);
            bad += table->count[w][v];
        }
        printf("\n");
    }
    return bad;
}

int main(int argc, char **argv)
{
    static struct table table;
    struct random_source random;
    if (argc != 4) {
        fprintf(stderr, "fault PROGRAM PRELOADED_LIBRARY SESSIONS_FOLDER\n");
        return 2;
    }
    random_seed(&random, (uint64_t)number("SEED", 1));
    struct fault_machine *machine = fault_machine_create(argv[1], argv[2], argv[3]);
    for (int way = 0; way < WAYS; way++) {
        for (int i = 0; i < fault_case_count; i++) {
            if (!(fault_cases[i].disk_only && strcmp(ways[way].kind, "memory") == 0) &&
                is_wanted("KIND", ways[way].kind) && is_wanted("HOW", ways[way].as) &&
                is_wanted("CASE", fault_cases[i].name)) {
                try_case(machine, &fault_cases[i], way, &random, &table);
            }
        }
    }
    fault_machine_destroy(machine);
    long bad = print_table(&table);
    printf("%s\n", bad == 0 ? "all as wanted" : "NOT AS WANTED");
    return bad == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
