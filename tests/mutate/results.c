/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "mutate/results.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

#define SURVIVORS_SHARE 0.10

const char *const mutant_verdicts[VERDICTS] = {"survived", "killed", "did not build", "equivalent"};

static uint64_t known_by(const char *kind, const char *file, const char *occurrence,
                         const char *what, const char *text)
{
    uint64_t hash = hash_text(hash_text(0xcbf29ce484222325u, kind), file);
    return hash_text(hash_text(hash_text(hash, occurrence), what), text);
}

static uint64_t known_mutant(const struct mutant *mutant)
{
    char occurrence[16];
    snprintf(occurrence, sizeof occurrence, "%d", mutant->occurrence);
    return known_by(mutant_kinds[mutant->kind], mutant->file, occurrence, mutant->what,
                    mutant->text);
}

static bool read_line(char *line, struct result *result)
{
    enum { VERDICT, KIND, PATH, LINE, OCCURRENCE, WHAT, TEXT, BY, SOURCE, FIELDS };
    char *field[FIELDS] = {line};
    for (int i = 1; i < FIELDS; i++) {
        char *tab = strchr(field[i - 1], '\t');
        if (tab == NULL) {
            return false;
        }
        *tab = '\0';
        field[i] = tab + 1;
    }
    int verdict = 0;
    while (verdict < VERDICTS && strcmp(mutant_verdicts[verdict], field[VERDICT]) != 0) {
        verdict++;
    }
    result->outcome.verdict = (enum verdict)verdict;
    snprintf(result->outcome.by, sizeof result->outcome.by, "%s", field[BY]);
    result->mutant =
        known_by(field[KIND], field[PATH], field[OCCURRENCE], field[WHAT], field[TEXT]);
    result->source = strtoull(field[SOURCE], NULL, 16);
    return verdict < VERDICTS;
}

bool results_read(struct results *results, const char *path)
{
    char *text = file_read(path);
    size_t lines = 0;
    *results = (struct results){.count = 0};
    for (const char *at = text; at != NULL && *at != '\0'; at++) {
        lines += *at == '\n';
    }
    results->all = calloc(lines + 1, sizeof *results->all);
    for (char *line = text, *end; results->all != NULL && line != NULL && lines > 0; line = end) {
        end = strchr(line, '\n');
        if (end == NULL) {
            break;
        }
        *end++ = '\0';
        results->count += read_line(line, &results->all[results->count]);
    }
    free(text);
    return results->all != NULL;
}

void results_free(struct results *results)
{
    free(results->all);
    *results = (struct results){.count = 0};
}

void result_write(FILE *file, const struct mutant *mutant, const struct outcome *outcome,
                  uint64_t source)
{
    fprintf(file, "%s\t%s\t%s\t%d\t%d\t%s\t%s\t%s\t%016" PRIx64 "\n",
            mutant_verdicts[outcome->verdict], mutant_kinds[mutant->kind], mutant->file,
            mutant->line, mutant->occurrence, mutant->what, mutant->text, outcome->by, source);
    fflush(file);
}

const struct outcome *results_find(const struct results *results, const struct mutant *mutant,
                                   uint64_t source)
{
    uint64_t known = known_mutant(mutant);
    for (size_t i = results->count; i-- > 0;) {
        const struct result *result = &results->all[i];
        if (result->mutant == known && result->source == source) {
            return result->outcome.verdict == SURVIVED ? NULL : &result->outcome;
        }
    }
    return NULL;
}

void table_add(struct table *table, const struct mutant *mutant, enum verdict verdict)
{
    char layer[32];
    size_t i = 0;
    layer_of(layer, mutant->file);
    while (i < table->count &&
           (strcmp(table->row[i].layer, layer) != 0 || table->row[i].kind != mutant->kind)) {
        i++;
    }
    if (i == sizeof table->row / sizeof table->row[0]) {
        return;
    }
    struct table_row *row = &table->row[i];
    if (i == table->count) {
        table->count++;
        *row = (struct table_row){.kind = mutant->kind};
        memcpy(row->layer, layer, sizeof layer);
    }
    row->mutants++;
    row->by_verdict[verdict]++;
}

static void print_row(const struct table_row *row, const char *kind, FILE *out)
{
    fprintf(out, "%-10s %-8s %7d %7d %9d %11d %14d\n", row->layer, kind, row->mutants,
            row->by_verdict[KILLED], row->by_verdict[SURVIVED], row->by_verdict[EQUIVALENT],
            row->by_verdict[DID_NOT_BUILD]);
}

void table_print(const struct table *table, FILE *out)
{
    struct table_row all = {.layer = "all"};
    fprintf(out, "%-10s %-8s %7s %7s %9s %11s %14s\n", "layer", "kind", "mutants", "killed",
            "survived", "equivalent", "did not build");
    for (size_t i = 0; i < table->count; i++) {
        const struct table_row *row = &table->row[i];
        print_row(row, mutant_kinds[row->kind], out);
        all.mutants += row->mutants;
        for (int v = 0; v < VERDICTS; v++) {
            all.by_verdict[v] += row->by_verdict[v];
        }
    }
    print_row(&all, "", out);
}

bool table_good(const struct table *table)
{
    for (size_t i = 0; i < table->count; i++) {
        const struct table_row *row = &table->row[i];
        int tried = row->by_verdict[KILLED] + row->by_verdict[SURVIVED];
        double most = row->kind == MUTANT_SAMPLE ? SURVIVORS_SHARE * tried : 0.0;
        if (row->by_verdict[SURVIVED] > most) {
            return false;
        }
    }
    return true;
}
