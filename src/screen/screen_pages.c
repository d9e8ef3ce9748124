/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen_inside.h"

#include "screen/scroll.h"
#include "screen/sensors.h"

#include <stdio.h>

/* The pages beside the fitter's: keys, comparison, sensors, and the second screen. */

void screen_open_comparison(struct screen *screen)
{
    screen->compare_page = true;
    screen->compare_first = 0;
    screen->stale = true;
}

void screen_open_sensors(struct screen *screen)
{
    screen->sensors_page = true;
    screen->sensors_first = 0;
    screen->stale = true;
}

void screen_open_journal(struct screen *screen, const struct view *view)
{
    journal_open(&screen->journal, view);
    screen->journal_page = true;
    screen->stale = true;
}

void screen_open_help(struct screen *screen)
{
    screen->help_page = true;
    screen->help_first = 0;
    screen->stale = true;
}

/* On the page of keys the arrows move; every other key goes back. */
void screen_help_key(struct screen *screen, uint32_t key)
{
    int rows = screen->canvas.rows - 2, step = scroll_step(key, rows);
    screen->stale = true;
    if (step == 0) {
        screen->help_page = false;
        return;
    }
    screen->help_first = scroll_moved(screen->help_first, step, screen->help_lines, rows);
}

/* On the comparison the arrows move, Space too, and goes back from its end (a foot switch has no
 * other way); Esc, c and Enter go back. Choosing is done with the page open; every other key does
 * what it does elsewhere: true. */
bool screen_compare_key(struct screen *screen, uint32_t key)
{
    int rows = screen->canvas.rows - 2;
    int page = rows > 2 * COMPARISON_PICTURE_ROWS ? rows - COMPARISON_PICTURE_ROWS : rows / 2;
    int step = scroll_step(key, page);
    bool at_end = screen->compare_first + rows >= screen->compare_lines;
    screen->stale = true;
    if (step != 0 && !(key == ' ' && at_end)) {
        screen->compare_first =
            scroll_moved(screen->compare_first, step, screen->compare_lines, rows);
        return false;
    }
    const struct key_entry *entry = key_find(key, AT_LIVE, NULL);
    if (entry != NULL && (entry->action == ACT_QUIT || entry->action == ACT_CHOOSE)) {
        return true; /* the question stands below it, the form over it */
    }
    screen->compare_page = false;
    return !(key == ' ' || key == KEY_ESCAPE || key == 'c' || key == 'C' || key == KEY_ACCEPT ||
             key >= KEY_OTHER);
}

/* On the sensors' page the arrows move; Space and Enter do its next step: go on with a check that
 * waits, the check that is due, or back; Esc and i go back. What is about the sensors is done with
 * the page open, every other key does what it does elsewhere: true. */
bool screen_sensors_key(struct screen *screen, const struct view *view, uint32_t key)
{
    struct sensors_due due;
    enum key_place place = key_place_of(view);
    const struct key_entry *entry = key_find(key, place, NULL);
    int rows = screen->canvas.rows - 3, step = key == ' ' ? 0 : scroll_step(key, rows);
    screen->stale = true;
    if (step != 0) {
        screen->sensors_first =
            scroll_moved(screen->sensors_first, step, screen->sensors_lines, rows);
        return false;
    }
    if (entry == NULL) {
        return key < KEY_OTHER;
    }
    switch (entry->action) {
    case ACT_NEXT:
        if (place != AT_LIVE) {
            return true;
        }
        if (sensors_check_due(view, &due)) {
            screen_open_form(screen, view, FORM_CHECK);
        } else {
            screen->sensors_page = false;
        }
        return false;
    case ACT_BACK:
    case ACT_SENSOR_PAGE:
        screen->sensors_page = false;
        return false;
    case ACT_STOP:
    case ACT_CHECK:
    case ACT_SENSORS:
    case ACT_PLATE:
    case ACT_TAPE:
    case ACT_NOTE:
    case ACT_TONES:
    case ACT_HELP:
    case ACT_REDRAW:
    case ACT_QUIT:
        return true;
    default:
        screen->sensors_page = false;
        return true;
    }
}

/* The form of the hold that is chosen in the journal. */
static void open_chosen_hold(struct screen *screen, const struct view *view)
{
    char number[16];
    snprintf(number, sizeof number, "%d", view->event[screen->journal.chosen].hold);
    screen->draft[FORM_REJECT].has = false;
    screen_open_form(screen, view, FORM_REJECT);
    form_prefill(form_find(&screen->form, "number"), number);
    screen->form.focus = 1; /* the reason */
    screen->form.cursor = 0;
}

/* In the journal letters are looked for, so few keys do what they do elsewhere: true. */
bool screen_journal_key(struct screen *screen, const struct view *view, uint32_t key)
{
    screen->stale = true;
    screen->state.message[0] = '\0';
    switch (journal_key(&screen->journal, view, key)) {
    case JOURNAL_LEFT:
        screen->journal_page = false;
        return false;
    case JOURNAL_HOLD:
        open_chosen_hold(screen, view);
        return false;
    case JOURNAL_STAYS:
        return false;
    case JOURNAL_OTHER:
        break;
    }
    return true;
}

/* Of a second screen: it looks on, so it asks nothing and commands nothing. */
enum screen_request screen_watching_key(struct screen *screen, uint32_t key)
{
    if (key == 'q' || key == 'Q' || key == KEY_INTERRUPT || key == KEY_ESCAPE) {
        return SCREEN_QUIT;
    }
    if (key == 'z' || key == 'Z') {
        screen->state.tones = !screen->state.tones;
    }
    const struct key_entry *entry = key_find(key, AT_LIVE, NULL);
    if (entry != NULL && entry->action == ACT_REDRAW) {
        display_renew(screen->display);
    }
    screen->stale = true;
    return SCREEN_NOTHING;
}

void screen_say_why_not(struct screen *screen, const struct key_entry *entry, enum key_place place)
{
    char text[256];
    if (place == AT_LIVE && entry->action == ACT_STOP) {
        snprintf(text, sizeof text, "%s: nothing is running that it could stop", entry->name);
    } else if (place == AT_LIVE && entry->action == ACT_KEEP_TARGET) {
        snprintf(text, sizeof text, "%s: no target is being taken (a takes one)", entry->name);
    } else if (entry->places & AT_LIVE) {
        snprintf(text, sizeof text, "%s: not while %s (x stops it)", entry->name,
                 place == AT_TARGET  ? "a target is being taken"
                 : place == AT_PLATE ? "the sensors are being read"
                                     : "a hold is running");
    } else {
        snprintf(text, sizeof text, "%s: no hold is running to be marked (%s)", entry->name,
                 entry->words != NULL ? entry->words : "");
    }
    screen_say(screen, false, text);
}
