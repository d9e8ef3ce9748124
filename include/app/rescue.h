/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_RESCUE_H
#define HOLDLINE_APP_RESCUE_H

#include "store/care.h"

struct rescued {
    int whole;   /* sessions in which nothing was damaged */
    int anew;    /* records were, and were worked out again from samples and log */
    int in_part; /* what could be read */
    int lost;
};

/* Writes what can be saved of a store (store_open_damaged) into a new one. told gets what is lost
 * with a session as a whole; what is damaged in it goes to whoever listens to `from`. False only
 * when the writing failed, or was stopped. */
bool rescue_sessions(struct store *from, struct store *to, store_finding *told, void *context,
                     const struct store_watch *watch, struct rescued *rescued,
                     struct problem *problem);

#endif
