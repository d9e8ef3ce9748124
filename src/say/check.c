/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/check.h"

#include "base/numbers.h"
#include "base/phrase.h"
#include "base/text.h"
#include "measure/status.h"

#include <stdio.h>

/* {name} the sensor, {a} to {d} the values: decimals of each, '+' with a sign, 'g' as few digits as
 * tell it, 's' a time (a decimal under 10). */
static const struct {
    const char *phrase;
    const char *numbers[CHECK_FINDING_VALUES];
} findings_said[CHECK_FOUND] = {
    [CHECK_FOUND_STATUS] = {"{name}: {status}", {0}},
    [CHECK_FOUND_NOISE] = {"{name}: noise {a} mm", {"1"}},
    [CHECK_FOUND_DRIFT] = {"drift {a} ±{b} mm a minute", {"+1", "1"}},
    [CHECK_FOUND_AVERAGING] = {"averaging over {a} s leaves {b} mm", {"s", "2"}},
    [CHECK_FOUND_AVERAGING_LONGEST] =
        {"averaging over {a} s (a longer test would say more) leaves {b} mm", {"s", "2"}},
    [CHECK_FOUND_STUCK] = {"every reading is the same: the sensor is stuck", {0}},
    [CHECK_FOUND_BLOCKED] = {"something lies on its window", {0}},
    [CHECK_FOUND_JUMPS] = {"readings jump between two levels: the beam sees two things", {0}},
    [CHECK_FOUND_NOISY] =
        {"too noisy: more light on the plate, a matt light surface, a shorter range", {0}},
    [CHECK_FOUND_DROPS] = {"readings drop out: missing, doubtful or far off", {0}},
    [CHECK_FOUND_WANDERS] = {"it wanders more than its noise explains: the plate, the clamp or the "
                             "sensor is not still",
                             {0}},
    [CHECK_FOUND_DRIFTS] = {"it drifts: still warming up, or the plate moves", {0}},
    [CHECK_FOUND_WARMS_UP] = {"it slows down, as what warms up does: about {a} minutes more",
                              {"0"}},
    [CHECK_FOUND_RIPPLE] = {"a ripple of {a} mm at {b} Hz, or at {c} Hz that {d} readings a second "
                            "show there: lamps, a fan, a motor; off, one after the other",
                            {"1", "1", "1", "1"}},
    [CHECK_FOUND_RIPPLE_MAINS] = {"lamps or supplies on the mains would show there ({a} Hz)",
                                  {"0"}},
    [CHECK_FOUND_BLOCK_READS] = {"{name}: the block of {a} mm reads {b} ±{c} mm (limit ±{d})",
                                 {"g", "1", "1", "1"}},
    [CHECK_FOUND_BLOCK_NOT_SEEN] = {"the beam does not see the block: is it in the beam?", {0}},
    [CHECK_FOUND_SCALE] = {"a millimetre reads {a} ±{b} %: calibrate the sensor", {"+0", "0"}},
    [CHECK_FOUND_SCALE_COSTS] = {"that is {a} mm at {b} mm, where the heights are", {"0", "0"}},
    [CHECK_FOUND_TOO_NEAR] =
        {"the block's face is {a} mm from the sensor, and nearer than {b} mm many "
         "measure wrong: once more, the plate further off",
         {"0", "0"}},
    [CHECK_FOUND_PLATE_TOO_NEAR] =
        {"the plate is {a} mm from the sensor, and nearer than {b} mm many measure wrong: once "
         "more, the plate further off",
         {"0", "0"}},
    [CHECK_FOUND_SCALE_OPEN] = {"its scale is known to ±{a} % only: a thicker block, or a longer "
                                "test, tells an error of {b} %",
                                {"1", "0"}},
    [CHECK_FOUND_SCATTER] = {"readings scatter too much to tell: a longer test, a matt light plate",
                             {0}},
    [CHECK_FOUND_SHIFTED] = {"{a} mm against this session's first step test: what lies between is "
                             "in doubt",
                             {"+1"}},
    [CHECK_FOUND_LINE] = {"{name}: true range = {a} × reading {b} mm", {"4", "+1"}},
    [CHECK_FOUND_LINE_ERRORS] = {"gain ±{a}, scatter about the line {b} mm, furthest off {c} mm",
                                 {"4", "1", "+1"}},
    [CHECK_FOUND_TWO_DISTANCES] = {"two distances only: nothing tells whether a line is right",
                                   {0}},
    [CHECK_FOUND_WRONG_DISTANCES] =
        {"not taken: no sensor is that wrong; was the plate at these distances?", {0}},
    [CHECK_FOUND_NOT_STRAIGHT] = {"not taken: the readings do not lie on a straight line; measure "
                                  "again, or over a shorter range",
                                  {0}},
    [CHECK_FOUND_FOLLOWS_HAND] = {"{name} follows: {a} mm shorter", {"0"}},
    [CHECK_FOUND_FOLLOWS_BLOCK] = {"{name} follows: {a} mm shorter for the block of {b} mm",
                                   {"1", "g"}},
    [CHECK_FOUND_WRONG_WAY] = {"{name} reads longer, where it should read shorter", {0}},
    [CHECK_FOUND_WRONG_AMOUNT] = {"{name} changes by {a} mm for a block of {b} mm", {"1", "g"}},
    [CHECK_FOUND_NO_RESPONSE] = {"{name} does not respond: does its beam meet what was moved?",
                                 {0}},
    [CHECK_FOUND_SWAPPED] = {"{name} responds instead: are the names of the two swapped?", {0}},
    [CHECK_FOUND_CROSSTALK] =
        {"{name} responds as well, by {a} % of it: their beams meet, or each hears the other; "
         "move them apart, tilt them apart, or let them measure in turn",
         {"0"}},
    [CHECK_FOUND_MOVES_BY_ITSELF] =
        {"{name} moves meanwhile, but not with the hand: once more, the rider still", {0}},
    [CHECK_FOUND_ALONE] = {"no other sensor responds", {0}},
    [CHECK_FOUND_BAD_READINGS] = {"{name}: {a} % of the readings are missing or doubtful", {"0"}},
    [CHECK_FOUND_TWO_LEVELS] = {"{name} jumps between two levels {a} mm apart: the beam sees two "
                                "things; aim it at the middle of a patch",
                                {"0"}},
    [CHECK_FOUND_NO_NOD] = {"{name} does not follow the nod: does its beam meet the head?", {0}},
    [CHECK_FOUND_NOD_WRONG_WAY] = {"{name} goes up when the head goes down: does the sensor look "
                                   "the way that was said?",
                                   {0}},
    [CHECK_FOUND_NO_RISE] = {"{name} does not follow the body: what does its beam see?", {0}},
    [CHECK_FOUND_RISE_WRONG_WAY] = {"{name} goes down when the body comes up: does the sensor look "
                                    "the way that was said?",
                                    {0}},
    [CHECK_FOUND_HANDS] =
        {"{name} moves with the hands: hands, thumbs or the straw are in its beam "
         "(or the rider looked up)",
         {0}},
    [CHECK_FOUND_NO_BODY] = {"no sensor looks at the rider", {0}},
    [CHECK_FOUND_HEAD_AND_BODY] = {"the head follows the nod, the body is followed up and down; "
                                   "nothing follows the hands, no beam sees two things",
                                   {0}},
    [CHECK_FOUND_BODY] = {"the body is followed up and down; nothing follows the hands, no beam "
                          "sees two things",
                          {0}},
};

static void number_words(char *text, size_t size, const char *how, double value)
{
    if (how == NULL) {
        text_copy(text, size, "");
    } else if (how[0] == 'g') {
        text_from_double_shortest(text, size, value);
    } else if (how[0] == 's') {
        say_number(text, size, value, value < 10 ? 1 : 0);
    } else {
        /* not say_signed: stores hold these sentences, and replays are compared with them */
        size_t used = 0;
        text_copy(text, size, "");
        text_append(text, size, &used, how[0] == '+' ? "%+.*f" : "%.*f", how[how[0] == '+'] - '0',
                    value);
    }
}

void say_check(char *text, size_t size, const struct check_findings *findings,
               const struct placing_record *placing)
{
    size_t used = 0;
    text_copy(text, size, "");
    for (int i = 0; i < findings->count; i++) {
        const struct check_finding *found = &findings->finding[i];
        char number[CHECK_FINDING_VALUES][64], sentence[CHECK_WORDS_SIZE];
        for (int n = 0; n < CHECK_FINDING_VALUES; n++) {
            number_words(number[n], sizeof number[n], findings_said[found->kind].numbers[n],
                         found->value[n]);
        }
        const struct phrase_value values[] = {
            {"name", found->channel >= 0 ? placing->channel[found->channel].name : ""},
            {"status", found->kind == CHECK_FOUND_STATUS
                           ? measure_status_sentence((enum measure_status)found->value[0])
                           : ""},
            {"a", number[0]},
            {"b", number[1]},
            {"c", number[2]},
            {"d", number[3]},
            {NULL, NULL}};
        phrase_fill(sentence, sizeof sentence, findings_said[found->kind].phrase, values);
        text_append(text, size, &used, "%s%s", i > 0 ? "; " : "", sentence);
    }
}
