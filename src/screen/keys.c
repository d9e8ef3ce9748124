/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/keys.h"

#include "screen/display.h"

/* The order is that of the help; hints are taken in this order as far as the line has room. */
const struct key_entry key_table[] = {
    {' ', "Space", ACT_NEXT, AT_ANY, NULL,
     "the next step, as the line at the bottom says (Enter too)", NULL},
    {KEY_ACCEPT, "Enter", ACT_NEXT, AT_ANY, NULL, NULL, NULL},
    {'x', "x", ACT_STOP, AT_CAPTURE, "stop", "stop the countdown, hold or capture now", "stop"},
    {'f', "f", ACT_HOLD_FREE, AT_LIVE, "hold free",
     "a free hold of 60 s: the rider sees the time only", "hold 60s free"},
    {'g', "g", ACT_HOLD_GUIDED, AT_LIVE, "guided",
     "a guided hold of 60 s: the rider sees the gauge", "hold 60s guided"},
    {'n', "n", ACT_SETUP, AT_LIVE, "new setup", "a changed setup, or back to an earlier one", NULL},
    {'s', "s", ACT_MARK_SLID, AT_HOLD, "slid",
     "mark: slid on the saddle; 1 s before to 3 s after now is left out", "mark slid"},
    {'l', "l", ACT_MARK_LOOKED, AT_HOLD, "looked", "mark: looked up; left out likewise",
     "mark looked"},
    {'d', "d", ACT_MARK_DRANK, AT_HOLD, "drank", "mark: drank; left out likewise", "mark drank"},
    {'c', "c", ACT_MARK_COUGHED, AT_HOLD, "coughed", "mark: coughed; left out likewise",
     "mark coughed"},
    {'t', "t", ACT_MARK_TALKED, AT_HOLD, "talked", "mark: talked; left out likewise",
     "mark talked"},
    {'a', "a", ACT_TARGET, AT_LIVE, "target",
     "aim: capture the target anew, until its mean is known", "target"},
    {'y', "y", ACT_KEEP_TARGET, AT_TARGET, "keep it", "keep the target as far as it is known now",
     "target keep"},
    {'k', "k", ACT_KEEP_LAST, AT_LIVE, "keep last 60 s of this build",
     "keep the last 60 s as a hold kept afterwards (left out of verdicts)", "keep 60s"},
    {'w', "w", ACT_BAND, AT_LIVE, "band", "the band's width above and below the target", NULL},
    {'r', "r", ACT_RATING, AT_LIVE, "rating", "the rider's ratings of this setup", NULL},
    {'e', "e", ACT_RATING_SAME, AT_LIVE, "rated as before", "ratings equal to those before",
     "rating same"},
    {'b', "b", ACT_BUILD, AT_LIVE, "built again", "parts taken off and put on again: a new build",
     "build"},
    {'p', "p", ACT_PLATE, AT_LIVE, "plate", "a plate over the sensors: read by them, or typed",
     NULL},
    {'m', "m", ACT_TAPE, AT_LIVE, "tape", "a sensor's height measured by tape", NULL},
    {'u', "u", ACT_REJECT, AT_LIVE, "leave out",
     "leave a hold out with a reason, or take it in again", NULL},
    {'o', "o", ACT_NOTE, AT_ANY, "note", "a note", NULL},
    {'c', "c", ACT_COMPARE, AT_ANY & ~AT_HOLD, "compare",
     "the comparison: all setups, verdicts in full, the latest holds", NULL},
    {'j', "j", ACT_JOURNAL, AT_LIVE, "journal",
     "the journal: all that has happened, searched by typing", NULL},
    {'h', "h", ACT_CHOOSE, AT_LIVE, "goes home with",
     "the setup the rider goes home with: the sheet is about it", NULL},
    {'i', "i", ACT_SENSOR_PAGE, AT_ANY, "sensors",
     "the sensors in full: readings, health, clock, and what was checked", NULL},
    {'v', "v", ACT_RIDER_SCREEN, AT_ANY, "rider's view", "the rider's screen, and back", NULL},
    {'0', "0", ACT_CARRY, AT_LIVE, NULL,
     "an earlier session taken over: its bike, setups, sensors and target", NULL},
    {'1', "1", ACT_RIDER, AT_LIVE, NULL, "who rides", NULL},
    {'2', "2", ACT_BIKE, AT_LIVE, NULL, "the bike: its frame, and parts as it came", NULL},
    {'3', "3", ACT_SENSORS, AT_LIVE, NULL,
     "the sensors: where each is fixed, and its mark on the body", NULL},
    {'4', "4", ACT_TARGET_TYPED, AT_LIVE, NULL, "target heights agreed otherwise, typed", NULL},
    {'5', "5", ACT_CORRECT, AT_LIVE, NULL, "a typing slip in a setup's values put right", NULL},
    {'6', "6", ACT_SETTINGS, AT_LIVE, NULL, "what the comparison is made with", NULL},
    {'7', "7", ACT_CHECK, AT_LIVE, NULL,
     "a check of the sensors: rider, beam, step, still, calibration, plate", NULL},
    {'8', "8", ACT_LIMITS, AT_LIVE, NULL,
     "limits from the makers' papers: spacers, steerer, risers and the like", NULL},
    {'9', "9", ACT_EXPORT, AT_LIVE, NULL, "export the session to a file", NULL},
    {'z', "z", ACT_TONES, AT_ANY, NULL, "tones on or off (three, two, one, start, end)", NULL},
    {'?', "?", ACT_HELP, AT_ANY, "keys", "the keys that work here", NULL},
    {12, "Ctrl-L", ACT_REDRAW, AT_ANY, NULL, "draw the whole screen again", NULL},
    {KEY_ESCAPE, "Esc", ACT_BACK, AT_ANY, NULL, "back; nothing is lost", NULL},
    {'q', "q", ACT_QUIT, AT_ANY, "end", "end the session (asks once; Ctrl-C too)", NULL},
    {KEY_INTERRUPT, "Ctrl-C", ACT_QUIT, AT_ANY, NULL, NULL, NULL},
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
    case VIEW_WAITING:
    case VIEW_LIVE:
    case VIEW_ENDED:
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
