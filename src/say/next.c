/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/next.h"

#include "base/numbers.h"
#include "base/phrase.h"
#include "base/text.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const struct {
    const char *words;
    enum next_scope scope;
} steps[NEXT_STEPS] = {
    [NEXT_SENSORS] = {"waiting for the sensors", NEXT_NEVER_PASSED},
    [NEXT_SETTLE] = {"settle: no talking, eyes where they will be", NEXT_NEVER_PASSED},
    [NEXT_SIT_UP] = {"hands off, sit up, back: not seen yet since the hold before",
                     NEXT_NEVER_PASSED},
    [NEXT_HOLDING] = {"holding", NEXT_NEVER_PASSED},
    [NEXT_HOLDING_TARGET] = {"holding the posture that is to be the target", NEXT_NEVER_PASSED},
    [NEXT_PLATE] = {"keep the plate still", NEXT_NEVER_PASSED},
    [NEXT_RIDER] = {"who rides?", NEXT_OF_SESSION},
    [NEXT_MINUTES] = {"how many minutes are booked?", NEXT_OF_SESSION},
    [NEXT_BIKE] = {"the bike's measures, for heights", NEXT_OF_SESSION},
    [NEXT_PLACES] = {"where is each sensor fixed?", NEXT_OF_SESSION},
    [NEXT_CHECKS] = {"check the sensors with the rider on", NEXT_OF_SESSION},
    [NEXT_WARM_UP] = {"warm-up; go on when the rider is warm", NEXT_OF_SESSION},
    [NEXT_MOVED] = {"did a sensor move with this build? not compared until said", NEXT_OF_BUILD},
    [NEXT_SLIPPED] = {"sensor or rider? two builds disagree; not compared until said",
                      NEXT_OF_BUILD},
    [NEXT_STEPPED] =
        {"a sensor moved in hold {a}: leave it out (u), or b, sensor moved, and the plate",
         NEXT_OF_BUILD},
    [NEXT_FAR] = {"hold {a} is far from those before: look at beam and cables; u leaves it out",
                  NEXT_OF_HOLD},
    [NEXT_TARGET] = {"ride in, then take the target", NEXT_OF_SESSION},
    [NEXT_BAND] = {"take the band suggested (or set another)", NEXT_OF_SESSION},
    [NEXT_HOLD] = {"free hold {a} of {b} on this build, {s} s", NEXT_OF_BUILD},
    [NEXT_HOLD_AGAIN] = {"hold {a} had not settled: one more free hold, {s} s", NEXT_OF_BUILD},
    [NEXT_RATING] = {"rate this setup", NEXT_OF_BUILD},
    [NEXT_PLATE_AGAIN] = {"plate or board again, before parts change: did a sensor slip?",
                          NEXT_OF_BUILD},
    [NEXT_FIRST_CHANGE] = {"change a part and enter it as the next setup", NEXT_OF_BUILD},
    [NEXT_SETUP] = {"the next setup, or back to setup {a} to close the round", NEXT_OF_BUILD},
    [NEXT_RETURN] = {"back to setup {a}: without it, setup and tiredness can't be told apart",
                     NEXT_OF_BUILD},
    [NEXT_CHOOSE] = {"compare (c); which setup does the rider go home with?", NEXT_OF_SESSION},
    [NEXT_PUT_ON] = {"put setup {a} on the bike: it was chosen", NEXT_OF_CHOICE},
    [NEXT_CHECK_HOLD] = {"one check hold on setup {a}", NEXT_OF_CHOICE},
    [NEXT_OWN_TARGET] = {"take setup {a}'s own target, to practise by", NEXT_OF_CHOICE},
    [NEXT_OWN_BAND] = {"take the band suggested for it", NEXT_OF_CHOICE},
    [NEXT_SHEET] = {"write the rider's sheet", NEXT_OF_CHOICE},
    [NEXT_EASY] = {"warm up for 10 min, easily, gauge unseen; then go on", NEXT_OF_SESSION},
    [NEXT_BOARD] = {"before you get on: the board across both pads, and keep off it",
                    NEXT_OF_SESSION},
    [NEXT_TEST] = {"the test: 3 min, nothing shown; the tone begins and ends it", NEXT_OF_SESSION},
    [NEXT_GUESS] = {"guess: how many tenths in the band? 0 to 9, or plus for all", NEXT_OF_SESSION},
    [NEXT_PIECE] = {"piece {a} of {b}, {s} s, after as long a rest: sit up", NEXT_OF_SESSION},
    [NEXT_FELT] = {"how was it? discomfort by region, numbness", NEXT_OF_SESSION},
    [NEXT_RIDE] = {"the long ride, by sound alone: the same key twice ends it", NEXT_OF_SESSION},
    [NEXT_MORNING] = {"how was it the morning after the last time? by region", NEXT_OF_SESSION},
    [NEXT_BOARD_APART] =
        {"the board is {a} mm off the first day's: look at the clamps, lay it again",
         NEXT_OF_BUILD},
    [NEXT_BOARD_ANEW] = {"{a} mm off the first day's: sensors placed anew. Aim them, lay the board "
                         "again",
                         NEXT_OF_BUILD},
    [NEXT_BOARD_AGAIN] = {"sensor or rider? hold {a} stepped: off the bike, and the board again",
                          NEXT_OF_BUILD},
    [NEXT_BOARD_AFTER] = {"off the bike, and the same board once more: did a sensor move?",
                          NEXT_OF_BUILD},
    [NEXT_COMPARED_WITH] = {"on to setup {a}: compared against it, and it has no hold yet",
                            NEXT_OF_BUILD},
    [NEXT_PLACES_CARRIED] = {"are the sensors where they were? measure again", NEXT_OF_SESSION},
    [NEXT_STOP] = {"STOP: not again before the studio or a licensed clinician looked",
                   NEXT_NEVER_PASSED},
    [NEXT_TARGET_CARRIED] = {"take the target of the session before over", NEXT_OF_SESSION},
    [NEXT_TARGET_PLANNED] = {"take the target of the coach's plan", NEXT_OF_SESSION},
    [NEXT_BAND_PLANNED] = {"take the band of the coach's plan", NEXT_OF_SESSION},
    [NEXT_TEST_AT] = {"the test at {a} W: 3 min, nothing shown; the tone begins and ends it",
                      NEXT_OF_SESSION},
    [NEXT_DONE] = {"all is done for today: end the session", NEXT_NEVER_PASSED},
    [NEXT_DONE_SLIPPED] =
        {"the board lies {a} mm elsewhere now: a sensor moved, no test of today counts",
         NEXT_NEVER_PASSED},
    [NEXT_END] = {"all is done: end the session", NEXT_NEVER_PASSED},
    [NEXT_ROUND_CLOSED] = {"compare, decide, export; or change the next part", NEXT_NEVER_PASSED},
    [NEXT_SESSION_ENDED] = {"the session has ended", NEXT_NEVER_PASSED},
};

WORD_LIST_FROM(next_step_words, NEXT_RIDER, "rider", "minutes", "bike", "places", "checks",
               "warm_up", "moved", "slipped", "stepped", "far", "target", "band", "holds", NULL,
               "rating", "plate", "change", "setup", "return", "decision", "put_on", "check_hold",
               "own_target", "own_band", "sheet", "easy", "board", "test", "guess", "pieces",
               "felt", "ride", "morning", "apart");

enum next_scope next_step_scope(enum next_step step)
{
    return step < NEXT_STEPS ? steps[step].scope : NEXT_NEVER_PASSED;
}

enum next_step next_step_as(enum next_step step)
{
    switch (step) {
    case NEXT_HOLD_AGAIN:
        return NEXT_HOLD;
    case NEXT_TARGET_CARRIED:
    case NEXT_TARGET_PLANNED:
        return NEXT_TARGET;
    case NEXT_BAND_PLANNED:
        return NEXT_BAND;
    case NEXT_TEST_AT:
        return NEXT_TEST;
    case NEXT_BOARD_ANEW:
        return NEXT_BOARD_APART;
    case NEXT_COMPARED_WITH:
        return NEXT_SETUP;
    case NEXT_PLACES_CARRIED:
        return NEXT_PLACES;
    case NEXT_BOARD_AFTER:
        return NEXT_PLATE_AGAIN;
    case NEXT_BOARD_AGAIN:
        return NEXT_STEPPED;
    default:
        return step;
    }
}

void say_next_step(char *text, size_t size, enum next_step step, int a, int b, double hold_s)
{
    char first[16], second[16], length[16];
    snprintf(first, sizeof first, "%d", a);
    snprintf(second, sizeof second, "%d", b);
    snprintf(length, sizeof length, "%g", hold_s);
    const struct phrase_value values[] = {{"a", first}, {"b", second}, {"s", length}, {NULL, NULL}};
    phrase_fill(text, size, steps[step].words, values);
}

void say_hour_why(char *text, size_t size, const struct hour_holds *asked)
{
    char sd[32];
    size_t used = strlen(text);
    say_number(sd, sizeof sd, asked->hold_sd_mm, 1);
    if (asked->why == HOUR_NO_MORE_FIT) {
        text_append(text, size, &used, ": more don't fit into the time");
    } else if (asked->why == HOUR_REPEATS) {
        text_append(text, size, &used, ": from hold to hold it varies by %s mm", sd);
    }
}

void say_sit_up(char *text, size_t size)
{
    size_t used = strlen(text);
    text_append(text, size, &used, ": hands off, sit up, back");
}

void say_session_clock(char *text, size_t size, double minutes_left,
                       const struct plan_of_hour *plan, int first)
{
    char back[32];
    snprintf(back, sizeof back, "back to setup %d", first);
    char minutes[32];
    if (isnan(minutes_left)) {
        text_copy(text, size, "");
    } else if (minutes_left < 0.0) {
        say_whole(minutes, sizeof minutes, ceil(-minutes_left));
        snprintf(text, size, "%s min over time", minutes);
    } else {
        say_whole(minutes, sizeof minutes, minutes_left);
        if (plan->setups_fit > 0) {
            snprintf(text, size, "%s min left: %d more setup%s%s%s", minutes, plan->setups_fit,
                     plan->setups_fit == 1 ? "" : "s", plan->keeps_room ? ", then " : "",
                     plan->keeps_room ? back : "");
        } else {
            snprintf(text, size, "%s min left: no other setup fits%s%s", minutes,
                     plan->keeps_room ? "; go " : "", plan->keeps_room ? back : "");
        }
    }
}
