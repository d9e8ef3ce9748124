/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_MUTATE_PROGRAMS_H
#define HOLDLINE_TESTS_MUTATE_PROGRAMS_H

#include "mutate/tree.h"

/* Where things are and how they are compiled. */
struct workshop {
    const char *build;    /* build folder: tests/<layer>/test_<module>, linked to shared objects */
    const char *compiler; /* with all its options for a shared object, before '-o file sources' */
    double longest_s;     /* a program that takes more processor time is left out; 0: none is */
    int jobs;             /* processes at a time */
    const char *without;  /* words, sources below tests/ without '.c' that are left out, or NULL */
};

/* A test program. */
struct program {
    char path[256], source[256]; /* the program's and its source's */
    char layer[32];
    double time_s; /* of the processor, with the sources as they are */
    bool forks;    /* its tests pass only in processes of their own */
    bool fails;    /* also with the sources as they are, or takes too long: left out */
};
struct programs {
    struct program *all;
    size_t count;
};

/* Those of the layers, each run once. False without memory. */
bool programs_find(struct programs *programs, const struct workshop *workshop,
                   const struct names *layers);
void programs_free(struct programs *programs);
/* Whether a source, 'measure/test_rules.c', is to be left out. */
bool program_left_out(const struct workshop *workshop, const char *source);

enum verdict { SURVIVED, KILLED, DID_NOT_BUILD, EQUIVALENT, VERDICTS };
struct outcome {
    enum verdict verdict;
    char by[64]; /* what killed it: a program, 'static assertion' */
};

/* Notes by which program a mutant of a file was killed, once for each of the two together. Without
 * memory nothing is noted: it only says what is tried first. */
void killers_add(struct names *killers, const char *file, const struct outcome *outcome);

/* Compiles the mutant's users in a folder of its own, layer by layer, and runs the programs with
 * those of the layers that they are linked with in the place of the originals until one fails:
 * first those that killed another of the same file, then the module's own, then those that include
 * its header, then the others, short ones first. What runs ten times its time (at least 2 s) has
 * failed. A program whose source names a rule can't pin its number and is left out for it. */
struct outcome mutant_try(const struct mutant *mutant, const struct workshop *workshop,
                          const struct programs *programs, const struct names *killers,
                          const char *folder);

#endif
