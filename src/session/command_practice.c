/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "commands.h"

#include "base/text.h"
#include "machine_effects.h"
#include "measure/rules.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Practice of a rider alone: what is due today, and a ride without a length of its own. */

static bool read_yes(const struct words *words, const char *key, bool *yes, struct problem *problem)
{
    const char *text = words_value(words, key);
    int answer = text != NULL ? word_find(&answer_words, text, -1) : ANSWER_NO;
    *yes = answer == ANSWER_YES;
    return answer >= 0 || problem_set(problem, "practice: %s is yes or no, not '%s'", key, text);
}

static bool read_whole(const struct words *words, enum typed which, int *value,
                       struct problem *problem)
{
    double read = *value;
    if (!typed_read(words, which, &read, problem)) {
        return false;
    }
    *value = (int)read;
    return read == (double)*value ||
           problem_set(problem, "practice: %s is a whole number", typed_numbers[which].key);
}

/* board_was=head:412.5,chest:371: its range on the first day. */
static bool read_board_was(const struct words *words, struct board_first *first,
                           struct problem *problem)
{
    char list[WORD_SIZE], *rest = NULL;
    const char *text = words_value(words, "board_was");
    text_copy(list, sizeof list, text != NULL ? text : "");
    for (char *item = strtok_r(list, ",", &rest); item != NULL; item = strtok_r(NULL, ",", &rest)) {
        char *colon = strchr(item, ':');
        const struct typed_number *range = &typed_numbers[TYPED_RANGE];
        double value_mm = 0.0;
        if (colon == NULL || colon == item || colon - item >= CHANNEL_NAME_SIZE ||
            first->count == CHANNELS_MAX ||
            !words_number(colon + 1, range->unit, &value_mm, NULL) ||
            !(value_mm >= range->least && value_mm <= range->most)) {
            return problem_set(problem,
                               "practice: board_was is a range for each channel, such as "
                               "head:412.5,chest:371, not '%s'",
                               text);
        }
        *colon = '\0';
        text_copy(first->channel[first->count], CHANNEL_NAME_SIZE, item);
        first->range_mm[first->count++] = value_mm;
    }
    return true;
}

/* carried=yes, or the number of the session that had the target. */
static bool read_carried(const struct words *words, struct practice_due *due,
                         struct problem *problem)
{
    const char *text = words_value(words, "carried");
    if (text != NULL && text_to_int64(text, &due->carried_from) && due->carried_from > 0) {
        due->carried = true;
        return true;
    }
    due->carried_from = 0;
    return read_yes(words, "carried", &due->carried, problem);
}

/* target="head=884 chest=771" band="head=+10/-15" power=210W: as a coach planned it. */
static bool read_planned(const struct words *words, struct practice_due *due,
                         struct problem *problem)
{
    const char *target = words_value(words, "target"), *band = words_value(words, "band");
    text_copy(due->target, sizeof due->target, target != NULL ? target : "");
    text_copy(due->band, sizeof due->band, band != NULL ? band : "");
    if ((target != NULL && strlen(target) >= sizeof due->target) ||
        (band != NULL && strlen(band) >= sizeof due->band)) {
        return problem_set(problem, "practice: a planned target or band is too long");
    }
    if (due->band[0] != '\0' && due->target[0] == '\0') {
        return problem_set(problem, "practice: a band is about a target: say that, too");
    }
    return typed_read_key(words, "power", &typed_numbers[TYPED_RUN_POWER], &due->power_w, problem);
}

/* practice row=2 length=45s pieces=6 base=no held=no carried=yes ride=no morning=yes board=930
 * board_was=head:412.5,chest:371 target="head=884" band="head=+10/-15" power=210W; practice off */
bool command_practice(struct session *session, const struct words *words, struct problem *problem)
{
    static const char *const keys[] = {"row",     "length", "pieces",  "base",  "held",
                                       "carried", "ride",   "morning", "board", "board_was",
                                       "target",  "band",   "power",   NULL};
    struct practice_due due = {.on = true,
                               .row = 1,
                               .pieces = PIECES_USUAL,
                               .length_s = PIECE_FIRST_S,
                               .board_mm = NAN,
                               .power_w = NAN};
    const char *length = words_value(words, "length");
    if (words->count == 2 && words->word[1].key == NULL &&
        text_equal(words->word[1].value, "off")) {
        session->settings.practice.on = false;
        machine_say(session, "no practice leads any more");
        return true;
    }
    if (!machine_only_keys(words, keys, problem) ||
        !read_whole(words, TYPED_FEEDBACK_ROW, &due.row, problem) ||
        !read_whole(words, TYPED_PIECES, &due.pieces, problem) ||
        !read_yes(words, "base", &due.base, problem) ||
        !read_yes(words, "held", &due.held, problem) || !read_carried(words, &due, problem) ||
        !read_yes(words, "ride", &due.ride, problem) ||
        !read_yes(words, "morning", &due.morning, problem) ||
        !read_board_was(words, &due.board_first, problem) || !read_planned(words, &due, problem) ||
        !typed_read_key(words, "board", &typed_numbers[TYPED_PLATE_HEIGHT], &due.board_mm,
                        problem) ||
        (length != NULL && !typed_length(length, &due.length_s, problem))) {
        return false;
    }
    if (words->count > 1 && words->word[1].key == NULL) {
        return problem_set(problem,
                           "practice: 'off', or what is due, such as row=2 length=45s "
                           "pieces=6; not '%s'",
                           words->word[1].value);
    }
    due.row--;
    session->settings.practice = due;
    machine_say(session,
                due.ride   ? "practice: a long ride"
                : due.base ? "practice: a test today, no pieces"
                           : "practice: the test, then %d pieces",
                due.pieces);
    return true;
}

/* ride, ride 90min told=seen: until 'stop', or so long */
bool command_ride(struct session *session, const struct words *words, struct problem *problem)
{
    static const char *const keys[] = {"told", "settle", NULL};
    char length[32] = "", line[COMMAND_TEXT_SIZE];
    const char *told = words_value(words, "told"), *settle = words_value(words, "settle");
    struct words hold;
    double length_s = HOLD_MOST_S;
    if (!machine_only_keys(words, keys, problem)) {
        return false;
    }
    if (words->count > 1 && words->word[1].key == NULL &&
        !typed_length(words->word[1].value, &length_s, problem)) {
        return problem_prefix(problem, "ride");
    }
    text_from_double_shortest(length, sizeof length, length_s);
    snprintf(line, sizeof line, "hold %ss ride told=%s settle=%s", length,
             told != NULL ? told : word_of(&told_words, TOLD_HEARD),
             settle != NULL ? settle : "5s");
    return words_split(line, &hold, problem) && command_hold(session, &hold, problem);
}
