/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_KEYS_H
#define HOLDLINE_SCREEN_KEYS_H

#include "screen/open_kinds.h"
#include "session/view.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* One table of the keys: what each is, where it works, and what it does in words. The screen acts
 * by it, the help shows it, the manual's list is made from it. A key means the same everywhere,
 * but for 'c', a mark in a hold and the comparison outside of one; 'y' says yes to what is offered:
 * the target as it is known, or a way to read the lines. */
enum key_action {
    ACT_COMMAND, /* the line that its row has */
    ACT_FORM,    /* opens its row's form */
    ACT_PAGE,    /* opens its row's page; there it goes back */
    ACT_NEXT,
    ACT_SKIP,
    ACT_TONES,
    ACT_REDRAW,
    ACT_BACK,
    ACT_QUIT,
};

/* Where a key works: bits. */
enum key_place {
    AT_LIVE = 1, /* nothing is being captured */
    AT_SETTLING = 2,
    AT_HOLD = 4,
    AT_TARGET = 8,
    AT_PLATE = 16,
    AT_CAPTURE = AT_SETTLING | AT_HOLD | AT_TARGET | AT_PLATE,
    AT_ANY = AT_LIVE | AT_CAPTURE,
    AT_ENDED = 32, /* the session has ended: its record is read and exported, nothing is added */
    AT_ALWAYS = AT_ANY | AT_ENDED,
};

/* What stays as it is when the key is pressed: bits. */
enum key_keeps {
    KEEPS_COMPARISON = 1, /* the page stays open below */
    KEEPS_SENSORS = 2,
    KEEPS_DRAG = 8,    /* likewise */
    KEEPS_PROBLEM = 4, /* the message of what went wrong */
};

struct key_entry {
    uint32_t key;     /* character, or a display_key */
    const char *name; /* 'f', 'Space' */
    enum key_action action;
    unsigned places;
    const char *hint;    /* a word or two for the line of keys; NULL = not in it */
    const char *words;   /* for help and manual */
    const char *command; /* what it makes: ACT_COMMAND */
    enum form_kind form;
    enum page_kind page;
    unsigned keeps;      /* key_keeps */
    const char *why_not; /* at rest, where it does nothing then */
    const char *asks;    /* before the command is made; NULL = nothing */
};
extern const struct key_entry key_table[];
extern const int key_count;

/* The place that a view is in. */
enum key_place key_place_of(const struct view *view);
/* The entry of a key at a place, or NULL. elsewhere (may be NULL) gets the entry where the key
 * works at another place. */
const struct key_entry *key_find(uint32_t key, enum key_place place,
                                 const struct key_entry **elsewhere);

#endif
