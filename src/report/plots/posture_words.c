/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "posture_words.h"

#include "base/language.h"
#include "base/numbers.h"
#include "base/phrase.h"
#include "base/text.h"
#include "bike/wrench.h"
#include "report/digest.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* How a part's move is told: up or down alone, forward or back alone, both. */
static const struct {
    const char *lower, *higher, *forward, *back;
    const char *lower_forward, *lower_back, *higher_forward, *higher_back;
} part_moves[PARTS_MOVED] = {
    [PART_BAR] = {N_("bar {up} mm lower"), N_("bar {up} mm higher"), N_("bar {on} mm forward"),
                  N_("bar {on} mm back"), N_("bar {up} mm lower, {on} mm forward"),
                  N_("bar {up} mm lower, {on} mm back"), N_("bar {up} mm higher, {on} mm forward"),
                  N_("bar {up} mm higher, {on} mm back")},
    [PART_PADS] = {N_("pads {up} mm lower"), N_("pads {up} mm higher"), N_("pads {on} mm forward"),
                   N_("pads {on} mm back"), N_("pads {up} mm lower, {on} mm forward"),
                   N_("pads {up} mm lower, {on} mm back"),
                   N_("pads {up} mm higher, {on} mm forward"),
                   N_("pads {up} mm higher, {on} mm back")},
    [PART_TIPS] = {N_("extension tips {up} mm lower"), N_("extension tips {up} mm higher"),
                   N_("extension tips {on} mm forward"), N_("extension tips {on} mm back"),
                   N_("extension tips {up} mm lower, {on} mm forward"),
                   N_("extension tips {up} mm lower, {on} mm back"),
                   N_("extension tips {up} mm higher, {on} mm forward"),
                   N_("extension tips {up} mm higher, {on} mm back")},
    [PART_SADDLE] = {N_("saddle {up} mm lower"), N_("saddle {up} mm higher"),
                     N_("saddle {on} mm forward"), N_("saddle {on} mm back"),
                     N_("saddle {up} mm lower, {on} mm forward"),
                     N_("saddle {up} mm lower, {on} mm back"),
                     N_("saddle {up} mm higher, {on} mm forward"),
                     N_("saddle {up} mm higher, {on} mm back")},
};

void posture_moved(char *text, size_t size, enum posture_part part, struct point from,
                   struct point to)
{
    char up[64], on[64];
    double by_up = digest_moved_mm(from.y_mm, to.y_mm), by_on = digest_moved_mm(from.x_mm, to.x_mm);
    bool rose = by_up != 0.0, went = by_on != 0.0;
    const char *phrase = "";
    if (rose && went) {
        phrase = by_up < 0
                     ? (by_on < 0 ? part_moves[part].lower_back : part_moves[part].lower_forward)
                     : (by_on < 0 ? part_moves[part].higher_back : part_moves[part].higher_forward);
    } else if (rose) {
        phrase = by_up < 0 ? part_moves[part].lower : part_moves[part].higher;
    } else if (went) {
        phrase = by_on < 0 ? part_moves[part].back : part_moves[part].forward;
    }
    say_whole(up, sizeof up, fabs(by_up));
    say_whole(on, sizeof on, fabs(by_on));
    const struct phrase_value values[] = {{"up", up}, {"on", on}, {NULL, NULL}};
    phrase_fill(text, size, T_(phrase), values);
}

int posture_words_lines(const char *words, int letters, char line[2][POSTURE_WORDS_SIZE])
{
    const char *comma = strstr(words, ", ");
    text_copy(line[0], POSTURE_WORDS_SIZE, words);
    text_copy(line[1], POSTURE_WORDS_SIZE, "");
    if (comma == NULL || text_width(words) <= letters) {
        return 1;
    }
    snprintf(line[0], POSTURE_WORDS_SIZE, "%.*s", (int)(comma + 1 - words), words);
    text_copy(line[1], POSTURE_WORDS_SIZE, comma + 2);
    return 2;
}

/* Has a picture a place for it, before and after? */
static bool is_placed(enum bike_key key, const struct bike_points *from,
                      const struct bike_points *to)
{
    switch (key) {
    case BIKE_PAD_RISE:
    case BIKE_PAD_FORE_AFT:
        return from->has_pad && to->has_pad;
    case BIKE_EXTENSION_LENGTH:
    case BIKE_EXTENSION_ANGLE:
    case BIKE_EXTENSION_RISE:
        return from->has_extension && to->has_extension;
    case BIKE_SADDLE_HEIGHT:
    case BIKE_SADDLE_SETBACK:
        return from->has_saddle && to->has_saddle;
    default: /* widths, tilts and cranks are told in the table */
        return true;
    }
}

int posture_undrawn(const struct bike_values *found, const struct bike_values *chosen,
                    const struct bike_points *from, const struct bike_points *to,
                    char words[POSTURE_UNDRAWN_MAX][POSTURE_UNDRAWN_SIZE])
{
    struct wrench_list list;
    int count = 0;
    wrench_list_make(found, chosen, &list);
    for (int i = 0; i < list.count && count < POSTURE_UNDRAWN_MAX; i++) {
        if (!is_placed(list.step[i].key, from, to)) {
            snprintf(words[count++], POSTURE_UNDRAWN_SIZE, T_("%s (not drawn)"), list.step[i].work);
        }
    }
    return count;
}

int posture_undrawn_rider(bool has_saddle, bool has_marks,
                          char words[POSTURE_RIDER_MAX][POSTURE_UNDRAWN_SIZE])
{
    int count = 0;
    if (!has_saddle) {
        text_copy(words[count++], POSTURE_UNDRAWN_SIZE,
                  has_marks ? T_("no saddle or rider: enter the saddle height")
                            : T_("no saddle: enter the saddle height"));
    }
    if (!has_marks) {
        text_copy(words[count++], POSTURE_UNDRAWN_SIZE,
                  T_("no rider: needs the heights of two sensors"));
    }
    return count;
}
