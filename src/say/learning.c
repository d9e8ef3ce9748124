/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/learning.h"

#include "base/numbers.h"
#include "base/text.h"
#include "measure/rules.h"

#include <math.h>
#include <stdio.h>

const char *const say_phases[PHASES] = {"base", "practice", "keep"};
const char *const say_verdicts[PRACTICE_VERDICTS] = {
    [PRACTICE_BASE_SHORT] = "no base yet",
    [PRACTICE_CANNOT_TELL] = "cannot tell yet",
    [PRACTICE_NONE] = "no change that matters",
    [PRACTICE_BETTER] = "better",
    [PRACTICE_WORSE] = "worse",
};
const char *const say_test_left_out[TEST_LEFT_OUTS] = {
    [TEST_COUNTS] = "",
    [TEST_NOT_WHOLE] = "not ridden to its end, or left out",
    [TEST_NO_BAND] = "no target with a band, or no readings",
    [TEST_NOT_TIED] = "nothing ties the sensors to the target's day: read the board",
    [TEST_MOVED] = "the level stepped: sensor or rider? Read the board",
    [TEST_SLIPPED] = "a sensor moved that day: the board says so, not when",
    [TEST_AWAY] = "sat up, or not seen, for too much of it",
    [TEST_TOO_SOON] = "too soon after the last practice",
    [TEST_SECOND] = "the second of its day",
    [TEST_POWER] = "at another power or cadence than the others",
};

void say_test_doubt(char *text, size_t size, enum test_left_out left_out, double board_apart_mm)
{
    char apart[32];
    size_t used = 0;
    text[0] = '\0';
    text_append(text, size, &used, "%s", say_test_left_out[left_out]);
    if (board_apart_mm > 0.0) {
        say_whole(apart, sizeof apart, board_apart_mm);
        text_append(text, size, &used, "%s; the board lay %s mm off the first day's%s",
                    left_out == TEST_COUNTS ? "it counts" : "", apart,
                    board_apart_mm > BOARD_ANEW_MM
                        ? ", taken as sensors placed anew: later days are held against it"
                        : ": heights may be off by that");
    }
}

static const char *tests_word(int count)
{
    return count == 1 ? "test" : "tests";
}

void say_practice_change(char *text, size_t size, const struct practice_change *change,
                         const char *before)
{
    char later[SAY_SIZE], base[SAY_SIZE], low[SAY_SIZE], high[SAY_SIZE];
    size_t used = 0;
    text_copy(text, size, "");
    text_append(text, size, &used, "%s", say_verdicts[change->verdict]);
    if (change->more > 0) {
        text_append(text, size, &used, ": %d more %s%s", change->more, tests_word(change->more),
                    change->verdict == PRACTICE_BASE_SHORT ? " before the first practice" : "");
    }
    if (!isfinite(change->change)) {
        return;
    }
    say_percent(later, sizeof later, change->later_share);
    say_percent(base, sizeof base, change->base_share);
    text_append(text, size, &used, "%s %s of the time in the band, %s %s",
                change->more > 0 ? "." : ":", later, base, before);
    if (isfinite(change->change_low) && isfinite(change->change_high)) {
        say_signed(low, sizeof low, 100.0 * change->change_low, 0);
        say_signed(high, sizeof high, 100.0 * change->change_high, 0);
        text_append(text, size, &used, " (%s to %s points)", low, high);
    }
}

void say_lasting(char *text, size_t size, const struct censored_line *line)
{
    char growth[SAY_SIZE], low[SAY_SIZE], high[SAY_SIZE];
    double half = censored_line_slope_half_width(line);
    say_signed(growth, sizeof growth, 100.0 * (exp(line->slope) - 1.0), 0);
    say_signed(low, sizeof low, 100.0 * (exp(line->slope - half) - 1.0), 0);
    say_signed(high, sizeof high, 100.0 * (exp(line->slope + half) - 1.0), 0);
    size_t used = 0;
    text_copy(text, size, "");
    text_append(text, size, &used, "how long it is kept: %s %% from test to test (%s to %s %%)",
                growth, low, high);
}

void say_discomfort_asks(char *text, size_t size, const struct learning *learning)
{
    const char *where = learning->asks_item >= 0 ? rating_fields[learning->asks_item].words : "";
    size_t used = 0;
    text_copy(text, size, "");
    switch (learning->asks) {
    case DISCOMFORT_ENDS:
        text_append(text, size, &used,
                    "STOP: numbness, tingling, shooting pain, blurred sight or no sight ahead "
                    "was told. Don't "
                    "practise this posture again until it was looked at in the studio or by a "
                    "licensed clinician.");
        break;
    case DISCOMFORT_STUDIO:
        text_append(text, size, &used,
                    "STOP: discomfort (%s). Back to the studio before the next practice; a higher "
                    "target is the first thing to try.",
                    where);
        break;
    case DISCOMFORT_SHORTER:
        text_append(text, size, &used,
                    "Discomfort (%s): pieces are one step shorter, and grow no longer next time.",
                    where);
        break;
    case DISCOMFORT_NOTHING:
        break;
    }
}

static void say_pieces(const struct learning *learning, char *text, size_t size)
{
    static const char *const ways[TOLD_WAYS] = {[TOLD_SEEN] = "seen",
                                                [TOLD_HEARD] = "heard",
                                                [TOLD_AFTER] = "told after",
                                                [TOLD_NONE] = "none"};
    char length[SAY_SIZE], rest[SAY_SIZE];
    size_t used = 0;
    int pieces = learning_pieces(learning);
    say_duration(length, sizeof length, round(learning->piece.length_s));
    say_duration(rest, sizeof rest, round(piece_rest_s(learning->piece.length_s)));
    text_copy(text, size, "");
    text_append(text, size, &used, "%d pieces of %s, %s rest:", pieces, length, rest);
    for (int i = 0; i < pieces; i++) {
        text_append(text, size, &used, "%s %s", i > 0 ? "," : "",
                    ways[feedback_of(learning->feedback_row, i)]);
    }
    text_append(text, size, &used, ".");
}

int say_next_session(const struct learning *learning, char text[NEXT_SENTENCES][512])
{
    int wanted = learning_base_wanted(learning), count = 0;
    if (learning->asks >= DISCOMFORT_STUDIO) {
        say_discomfort_asks(text[0], sizeof text[0], learning);
        return 1;
    }
    snprintf(text[count++], sizeof text[0],
             "Warm-up of %.0f min, board on the pads, then the test of %.0f min: nothing shown.",
             PRACTICE_WARM_UP_S / 60.0, TEST_S / 60.0);
    if (wanted > 0) {
        snprintf(text[count++], sizeof text[0],
                 "%d more %s before the first practice, on %d %s%s; no pieces yet.", wanted,
                 tests_word(wanted), wanted, wanted == 1 ? "day" : "days",
                 wanted + learning->counted[PHASE_BASE] > BASE_TESTS ? " (they were rising already)"
                                                                     : "");
        return count;
    }
    say_pieces(learning, text[count++], sizeof text[0]);
    if (learning->asks != DISCOMFORT_NOTHING) {
        say_discomfort_asks(text[count++], sizeof text[0], learning);
    }
    return count;
}
