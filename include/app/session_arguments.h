/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_SESSION_ARGUMENTS_H
#define HOLDLINE_APP_SESSION_ARGUMENTS_H

#include "app/session_filter.h"
#include "report/report.h"

/* What show, compare and export take alike. */
struct session_arguments {
    const char *command; /* the command's name, for its sentences */
    const char *words;   /* which session; NULL: the filter says it */
    char *const *all;    /* compare: all sessions named, all_count of them */
    int all_count;
    struct session_filter filter;    /* show and compare */
    const char *file;                /* export only; NULL: it is proposed */
    const char *kind;                /* export only: of a file that is not named */
    const char *store_path;          /* NULL: the default */
    int against;                     /* setup's number; 0: the session's own */
    int chosen;                      /* export only: setup's number; 0: none */
    enum page_size page_size;        /* export only: a4 unless said */
    const struct language *language; /* export only: of riders' papers; NULL: not said */
    struct bike_limits limits;       /* for the next setup's suggestion */
    bool json, replace;
};

enum {
    TAKES_FILE = 1, /* a file behind the session; --replace, --chosen, --paper, --language */
    TAKES_JSON = 2,
    TAKES_AGAINST = 4,
    TAKES_FILTER = 8,  /* --rider and so on, instead of a session */
    TAKES_LIMITS = 32, /* --limit */
    TAKES_MANY = 16,   /* more than one session */
};

/* Reads options and words. False with a problem of wrong use. */
bool session_arguments_read(struct session_arguments *arguments, int takes, int argc, char **argv,
                            struct problem *problem);

#define SESSION_USAGE                                                                              \
    "SESSION is its number in 'holdline list', 'last', a day (2026-01-10), the start of its "      \
    "uuid, "                                                                                       \
    "or\n"                                                                                         \
    "a rider's code for that rider's latest.\n"
#define STORE_USAGE "  --store FILE   the store (default: HOLDLINE_STORE, else the data folder's)\n"

#endif
