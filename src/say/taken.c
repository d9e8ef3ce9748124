/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/taken.h"

#include "base/phrase.h"
#include "say/say.h"

#include <math.h>
#include <stdio.h>

void say_plate_read(char *text, size_t size, int channels, const char *moved, double moved_mm,
                    double ends_apart_mm)
{
    char way[64], apart[64];
    say_whole(way, sizeof way, moved_mm);
    if (moved != NULL && channels == 0) {
        snprintf(text, size,
                 "the plate moved by %s mm while it was read: hold it still, and read it again",
                 way);
    } else if (moved != NULL) {
        snprintf(
            text, size,
            "plate read on %d channel%s; before %s it moved by %s mm and is not taken: read it "
            "again",
            channels, channels == 1 ? "" : "s", moved, way);
    } else if (channels > 0 && isfinite(ends_apart_mm)) {
        say_number(apart, sizeof apart, ends_apart_mm, 1);
        snprintf(text, size,
                 "plate read on %d channel%s, within %s mm of before the holds: no sensor slipped "
                 "further",
                 channels, channels == 1 ? "" : "s", apart);
    } else if (channels > 0) {
        snprintf(text, size, "plate read on %d channel%s", channels, channels == 1 ? "" : "s");
    } else {
        snprintf(text, size, "no good readings of the plate: read it again");
    }
}

void say_height_then(char *text, size_t size, double mean_mm, bool has_interval,
                     double half_width_mm)
{
    char mean[64], half[64];
    say_whole(mean, sizeof mean, mean_mm);
    say_whole(half, sizeof half, ceil(half_width_mm));
    if (isnan(half_width_mm)) {
        snprintf(text, size, "%s", say_tie_kind(TIE_NONE));
    } else if (has_interval) {
        snprintf(text, size, "%s ±%s mm", mean, half);
    } else {
        snprintf(text, size, "%s mm (one hold; the places alone ±%s)", mean, half);
    }
}

const char *const say_sensors_then = "where they were then; measure again where they are";

static const char *const reasons[NOT_CARRIED_REASONS] = {
    [CARRIED] = "",
    [NOT_CARRIED_UNKNOWN_THEN] = "its height was not known well enough then",
    [NOT_CARRIED_NO_SENSOR] = "there is no such sensor now",
    [NOT_CARRIED_NOT_TIED_THEN] =
        "not tied: nothing said then how high its sensor was over the bottom bracket ('tape "
        "{name}=...' or a plate with its height= does): take the target anew",
    [NOT_CARRIED_NOT_TIED_NOW] =
        "not tied: say how high its sensor is over the bottom bracket now ('tape {name}=...', or a "
        "plate with its height=), then 'carry ... target'",
};

void say_not_carried(char *text, size_t size, enum not_carried reason, const char *name)
{
    const struct phrase_value values[] = {{"name", name}, {NULL, NULL}};
    phrase_fill(text, size, reasons[reason], values);
}

void say_was_here(char *text, size_t size, const char *code, const char *day)
{
    snprintf(text, size, "%s was here on %s: key 0 shows what can be taken over", code, day);
}

void say_was_here_alike(char *text, size_t size, const char *code, const char *alike,
                        const char *day)
{
    snprintf(text, size, "%s is new, %s was here on %s: the same rider? then key 1", code, alike,
             day);
}
