/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "commands.h"

#include "base/text.h"

#include <string.h>

/* The texts of commands, and how much of each a record keeps. */
static const struct {
    const char *command;
    int word; /* a plain word's place; 0: behind a key */
    const char *key;
    const char *what;
    size_t size;
} kept[] = {
    {"rider", 1, NULL, "the rider's code", sizeof((struct rider_record *)0)->code},
    {"rider", 2, NULL, "the rider's name", sizeof((struct rider_record *)0)->name},
    {"rider", 0, "watch_for", "the old trouble", sizeof((struct rider_record *)0)->watch_for},
    {"bike", 1, NULL, "the bike's name", sizeof((struct bike_record *)0)->name},
    {"sensor", 1, NULL, "the sensor's name", sizeof((struct channel_record *)0)->name},
    {"sensor", 0, "mark", "the mark on the body", sizeof((struct channel_record *)0)->mark},
    {"setup", 2, NULL, "what the setup is for", sizeof((struct setup_record *)0)->intent},
    {"known", 2, NULL, "what the setup is for", sizeof((struct setup_record *)0)->intent},
    {"correct", 2, NULL, "what the setup is for", sizeof((struct setup_record *)0)->intent},
    {"reject", 2, NULL, "the reason", sizeof((struct hold_record *)0)->reject_reason},
    {"reject", 3, NULL, "the reason", sizeof((struct run_record *)0)->reject_reason},
    {"run", 0, "file", "the file's name", sizeof((struct run_record *)0)->file},
    {"run", 0, "laps", "which laps", sizeof((struct run_record *)0)->laps},
    {"leg", 0, "left_out", "the reason", sizeof((struct leg_record *)0)->reason},
    {"choose", 0, "found_by", "what tells the rider of it",
     sizeof((struct comparison_settings *)0)->found_by},
    {"note", 1, NULL, "the note", sizeof((struct note_record *)0)->text},
};

bool machine_texts_fit(const struct words *words, struct problem *problem)
{
    for (size_t i = 0; i < sizeof kept / sizeof kept[0]; i++) {
        if (!text_equal(words->word[0].value, kept[i].command)) {
            continue;
        }
        const char *text = NULL;
        if (kept[i].word == 0) {
            text = words_value(words, kept[i].key);
        } else if (kept[i].word < words->count && words->word[kept[i].word].key == NULL) {
            text = words->word[kept[i].word].value;
        }
        if (text != NULL && strlen(text) >= kept[i].size) {
            char reason[128];
            text_too_long(reason, sizeof reason, text, kept[i].size);
            return problem_set(problem, "%s: %s", kept[i].what, reason);
        }
    }
    return true;
}
