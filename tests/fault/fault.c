/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* make fault-calls: every call (or COUNT of them, as SEED picks them) of each command on the short
 * session fails once; what must hold afterwards is in tests/support/fault_machine.h. Prints a line
 * for each command and way when it is through, each bad one, and a table. CASE, KIND, HOW and AT
 * leave only those. PART=3/50 is the third of fifty shares, each of calls of every command:
 * together they are all. MINUTES=10 ends it then, with what it came to. */
#include "support/fault_machine.h"

#include "base/clock.h"
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

/* What is asked for, and how far it has come. */
struct going {
    struct fault_machine *machine;
    struct random_source random;
    struct table table;
    long part, parts; /* from 1 */
    int64_t end_us;   /* INT64_MAX: when all is done */
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

static bool is_over(const struct going *going)
{
    return clock_monotonic_us() >= going->end_us;
}

/* 1 where it is a bad one. */
static long try_one(struct going *going, const struct fault_case *one, int way, long at)
{
    const struct fault fault = {ways[way].kind, ways[way].as, at};
    char why[1500];
    enum fault_verdict verdict = fault_machine_try(going->machine, one, &fault, why, sizeof why);
    going->table.tried[way]++;
    going->table.count[way][verdict]++;
    if (fault_is_bad(verdict)) {
        printf("%s: %s\n", fault_verdict_words[verdict], why);
        fflush(stdout);
        return 1;
    }
    return 0;
}

/* Those of one case and way: all of the part's, or some that stand apart by chance. */
static void try_case(struct going *going, const struct fault_case *one, int way)
{
    int64_t began_us = clock_monotonic_us();
    long calls = fault_machine_calls(going->machine, one, ways[way].kind);
    long most = number("COUNT", 0), at = number("AT", 0), tried = 0, bad = 0, place = 0;
    double step = most > 0 && calls > most ? (double)calls / (double)most : 1.0;
    double next = step > 1.0 ? random_uniform(&going->random) * step : 0.0;
    if (at > 0) {
        next = (double)(at - 1);
        step = (double)calls + 1.0;
        calls = calls < at ? at : calls;
    }
    for (; next < (double)calls && !is_over(going); next += step) {
        if (at > 0 || place++ % going->parts == going->part - 1) {
            bad += try_one(going, one, way, 1 + (long)next);
            tried++;
        }
    }
    going->table.calls[way] += calls;
    printf("%-6s %-5s  %-19s %6ld calls %6ld tried %4ld bad %6.0f s%s\n", ways[way].kind,
           ways[way].as, one->name, calls, tried, bad,
           (double)(clock_monotonic_us() - began_us) / 1e6, is_over(going) ? ", cut off" : "");
    fflush(stdout);
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

/* PART=3/50; false where it is none. */
static bool read_part(struct going *going)
{
    const char *text = wanted("PART");
    going->part = going->parts = 1;
    return text == NULL || (sscanf(text, "%ld/%ld", &going->part, &going->parts) == 2 &&
                            going->part >= 1 && going->part <= going->parts);
}

/* False where the time was over before. */
static bool try_all(struct going *going)
{
    for (int way = 0; way < WAYS; way++) {
        for (int i = 0; i < fault_case_count; i++) {
            if ((fault_cases[i].disk_only && strcmp(ways[way].kind, "memory") == 0) ||
                !is_wanted("KIND", ways[way].kind) || !is_wanted("HOW", ways[way].as) ||
                !is_wanted("CASE", fault_cases[i].name)) {
                continue;
            }
            if (is_over(going)) {
                return false;
            }
            try_case(going, &fault_cases[i], way);
        }
    }
    return !is_over(going);
}

int main(int argc, char **argv)
{
    static struct going going;
    long minutes = number("MINUTES", 0);
    if (argc != 4 || !read_part(&going)) {
        fprintf(stderr, "[PART=3/50] fault PROGRAM PRELOADED_LIBRARY SESSIONS_FOLDER\n");
        return 2;
    }
    random_seed(&going.random, (uint64_t)number("SEED", 1));
    going.machine = fault_machine_create(argv[1], argv[2], argv[3]);
    going.end_us = minutes > 0 ? clock_monotonic_us() + minutes * 60000000 : INT64_MAX;
    bool through = try_all(&going);
    fault_machine_destroy(going.machine);
    long bad = print_table(&going.table);
    printf("%s%s\n", bad == 0 ? "all as wanted" : "NOT AS WANTED",
           through ? "" : ", as far as it came: the time was over");
    return bad == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
