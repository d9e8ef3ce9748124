/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/keys.h"

#include "screen/display.h"

/* The order is that of the help; hints are taken in this order as far as the line has room. */
const struct key_entry key_table[] = {
    {' ', "Space", ACT_NEXT, AT_ANY, NULL,
     "the next step, as the line at the bottom says (Enter too)", .command = NULL},
    {KEY_ACCEPT, "Enter", ACT_NEXT, AT_ANY, NULL, NULL, .command = NULL},
    {KEY_TAB, "Tab", ACT_SKIP, AT_LIVE, NULL, "pass the next step over, and on to the one after",
     .command = NULL},
    {'y', "y", ACT_COMMAND, AT_LIVE, "read it so",
     "read the sensors' lines as is proposed where no gauge is yet, now and next time",
     .command = "read proposed", .why_not = "no target is being taken (a takes one)"},
    {'x', "x", ACT_COMMAND, AT_CAPTURE, "stop",
     "stop the countdown or hold now; throw a target's capture away", .command = "stop",
     .keeps = KEEPS_SENSORS, .why_not = "nothing is running that it could stop"},
    {'f', "f", ACT_FORM, AT_LIVE, "hold free",
     "a free hold, as long as the last (Enter) or as typed: the rider sees the time only",
     .form = FORM_HOLD_FREE},
    {'g', "g", ACT_FORM, AT_LIVE, "guided",
     "a guided hold, as long as the last (Enter) or as typed: the rider sees the gauge",
     .form = FORM_HOLD_GUIDED},
    {'n', "n", ACT_FORM, AT_LIVE, "new setup", "a changed setup, or back to an earlier one",
     .form = FORM_SETUP, .keeps = KEEPS_DRAG},
    {'s', "s", ACT_COMMAND, AT_HOLD, "slid",
     "mark: slid on the saddle; 1 s before to 3 s after now is left out", .command = "mark slid"},
    {'l', "l", ACT_COMMAND, AT_HOLD, "looked", "mark: looked up; left out likewise",
     .command = "mark looked"},
    {'d', "d", ACT_COMMAND, AT_HOLD, "drank", "mark: drank; left out likewise",
     .command = "mark drank"},
    {'c', "c", ACT_COMMAND, AT_HOLD, "coughed", "mark: coughed; left out likewise",
     .command = "mark coughed"},
    {'t', "t", ACT_COMMAND, AT_HOLD, "talked", "mark: talked; left out likewise",
     .command = "mark talked"},
    {'a', "a", ACT_COMMAND, AT_LIVE, "target",
     "aim: capture the target anew, until its mean is known", .command = "target"},
    {'y', "y", ACT_COMMAND, AT_TARGET, "keep it", "keep the target as far as it is known now",
     .command = "target keep", .why_not = "no target is being taken (a takes one)"},
    {'k', "k", ACT_COMMAND, AT_LIVE, "keep last 60 s of this build",
     "keep the last 60 s as a hold kept afterwards (left out of verdicts)", .command = "keep 60s"},
    {'w', "w", ACT_FORM, AT_LIVE, "band", "the band's width above and below the target",
     .form = FORM_BAND},
    {'r', "r", ACT_FORM, AT_LIVE, "rating", "the rider's ratings of this setup",
     .form = FORM_RATING},
    {'e', "e", ACT_COMMAND, AT_LIVE, "rated as before", "ratings equal to those before",
     .command = "rating same"},
    {'b', "b", ACT_COMMAND, AT_LIVE, "built again", "parts taken off and put on again: a new build",
     .command = "build",
     .asks = "Were the parts taken off and put on again? It makes a new build."},
    {'p', "p", ACT_FORM, AT_LIVE, "plate", "a plate over the sensors: read by them, or typed",
     .form = FORM_PLATE, .keeps = KEEPS_SENSORS},
    {'m', "m", ACT_FORM, AT_LIVE, "tape", "a sensor's height measured by tape", .form = FORM_TAPE,
     .keeps = KEEPS_SENSORS},
    {'.', ".", ACT_FORM, AT_LIVE, NULL, "whether a sensor moved when this was built",
     .form = FORM_MOVED, .keeps = KEEPS_SENSORS},
    {',', ",", ACT_FORM, AT_LIVE, NULL,
     "whether a sensor slipped, where builds of a setup disagree", .form = FORM_SLIPPED,
     .keeps = KEEPS_SENSORS},
    {'u', "u", ACT_FORM, AT_LIVE, "leave out",
     "leave a hold out with a reason, or take it in again; in drag a run or a lap",
     .form = FORM_REJECT},
    {KEY_ERASE, "Backspace", ACT_COMMAND, AT_ANY, "take back",
     "take the last act back, and again the one before: it is marked, nothing is deleted",
     .command = "undo", .keeps = KEEPS_COMPARISON | KEEPS_SENSORS | KEEPS_DRAG},
    {KEY_ERASE_FORWARD, "Delete", ACT_COMMAND, AT_ANY, NULL,
     "put back again what was taken back last", .command = "redo",
     .keeps = KEEPS_COMPARISON | KEEPS_SENSORS | KEEPS_DRAG},
    {'o', "o", ACT_FORM, AT_ANY, "note", "a note", .form = FORM_NOTE,
     .keeps = KEEPS_SENSORS | KEEPS_DRAG},
    {'c', "c", ACT_PAGE, AT_ALWAYS & ~AT_HOLD, "compare",
     "the comparison: all setups, verdicts in full, the latest holds", .page = PAGE_COMPARISON},
    {'j', "j", ACT_PAGE, AT_LIVE | AT_ENDED, "journal",
     "the journal: all that has happened, searched by typing", .page = PAGE_JOURNAL},
    {'h', "h", ACT_FORM, AT_LIVE, "goes home with",
     "the setup the rider goes home with: the sheet is about it", .form = FORM_CHOOSE,
     .keeps = KEEPS_COMPARISON},
    {'i', "i", ACT_PAGE, AT_ALWAYS, "sensors",
     "the sensors in full: readings, health, clock, and what was checked", .page = PAGE_SENSORS},
    {'-', "-", ACT_PAGE, AT_LIVE | AT_ENDED, "drag",
     "drag: a day of runs on road or track; Tab there goes through ride, air and course",
     .page = PAGE_DRAG},
    {'v', "v", ACT_PAGE, AT_ALWAYS, "rider's view", "the rider's screen, and back",
     .page = PAGE_RIDER, .keeps = KEEPS_PROBLEM},
    {'0', "0", ACT_FORM, AT_LIVE, NULL,
     "an earlier session taken over: its bike, setups, sensors and target", .form = FORM_CARRY},
    {'1', "1", ACT_FORM, AT_LIVE, NULL, "who rides", .form = FORM_RIDER},
    {'2', "2", ACT_FORM, AT_LIVE, NULL, "the bike: its frame, and parts as it came",
     .form = FORM_BIKE},
    {'3', "3", ACT_FORM, AT_LIVE, NULL,
     "the sensors: where each is fixed, and its mark on the body", .form = FORM_SENSORS,
     .keeps = KEEPS_SENSORS},
    {'4', "4", ACT_FORM, AT_LIVE, NULL, "target heights agreed otherwise, typed",
     .form = FORM_TARGET},
    {'5', "5", ACT_FORM, AT_LIVE, NULL,
     "a slip put right: a setup's values or number, or the setup of a build", .form = FORM_CORRECT},
    {'6', "6", ACT_FORM, AT_LIVE, NULL, "what the comparison is made with", .form = FORM_SETTINGS},
    {'7', "7", ACT_FORM, AT_LIVE, NULL,
     "a check of the sensors: rider, beam, step, still, calibration, plate", .form = FORM_CHECK,
     .keeps = KEEPS_SENSORS},
    {'8', "8", ACT_FORM, AT_LIVE, NULL,
     "limits and torques from the makers' papers: spacers, steerer, bolts", .form = FORM_LIMITS},
    {'9', "9", ACT_FORM, AT_LIVE | AT_ENDED, NULL, "export the session to a file",
     .form = FORM_EXPORT},
    {'/', "/", ACT_COMMAND, AT_ANY, NULL,
     "where the cue is heard: in guided holds, in all, in none", .command = "sound next",
     .keeps = KEEPS_SENSORS},
    {'z', "z", ACT_TONES, AT_ALWAYS, NULL, "all sounds here on or off (three, two, one, the cue)",
     .keeps = KEEPS_SENSORS | KEEPS_DRAG | KEEPS_PROBLEM},
    {'?', "?", ACT_PAGE, AT_ALWAYS, NULL, "the keys that work here", .page = PAGE_KEYS,
     .keeps = KEEPS_SENSORS | KEEPS_DRAG | KEEPS_PROBLEM},
    {12, "Ctrl-L", ACT_REDRAW, AT_ALWAYS, NULL, "draw the whole screen again",
     .keeps = KEEPS_SENSORS | KEEPS_DRAG | KEEPS_PROBLEM},
    {KEY_ESCAPE, "Esc", ACT_BACK, AT_ALWAYS, NULL, "back; nothing is lost", .command = NULL},
    {'q', "q", ACT_QUIT, AT_ALWAYS, NULL, "end the session (asks once; Ctrl-C too)",
     .keeps = KEEPS_COMPARISON | KEEPS_SENSORS | KEEPS_DRAG},
    {KEY_INTERRUPT, "Ctrl-C", ACT_QUIT, AT_ALWAYS, NULL, NULL,
     .keeps = KEEPS_COMPARISON | KEEPS_SENSORS | KEEPS_DRAG},
};
const int key_count = (int)(sizeof key_table / sizeof key_table[0]);

enum key_place key_place_of(const struct view *view)
{
    switch (view->phase) {
    case VIEW_SETTLING:
        return AT_SETTLING;
    case VIEW_HOLD:
        return AT_HOLD;
    case VIEW_TARGET:
        return AT_TARGET;
    case VIEW_PLATE:
    case VIEW_CHECK:
        return AT_PLATE;
    case VIEW_ENDED:
        return AT_ENDED;
    case VIEW_WAITING:
    case VIEW_LIVE:
        break;
    }
    return AT_LIVE;
}

const struct key_entry *key_find(uint32_t key, enum key_place place,
                                 const struct key_entry **elsewhere)
{
    if (elsewhere != NULL) {
        *elsewhere = NULL;
    }
    if (key >= 'A' && key <= 'Z') {
        key += 'a' - 'A'; /* a stuck shift lock is no other key */
    }
    for (int i = 0; i < key_count; i++) {
        if (key_table[i].key != key) {
            continue;
        }
        if (key_table[i].places & (unsigned)place) {
            return &key_table[i];
        }
        if (elsewhere != NULL) {
            *elsewhere = &key_table[i];
        }
    }
    return NULL;
}
