/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A rider's record, on whatever paper. Each part is left out where it has nothing to say. */
#include "report/visits.h"

#include "base/language.h"
#include "base/text.h"
#include "say/say.h"
#include "say/setup.h"
#include "say/visits.h"

#include <math.h>
#include <stdlib.h>

#define CELL_SIZE 1024
#define CHANNELS_DRAWN 2 /* of each bike */

static void day_of(const struct across *across, int session, char *text, size_t size)
{
    say_day(text, size, across->session[session].record->started_ms);
}

static const char *bike_of(const struct across *across, int session)
{
    return across->session[session].record->bike.name;
}

/* The first session on its bike? */
static bool begins_bike(const struct across *across, int session)
{
    for (int s = 0; s < session; s++) {
        if (text_equal(bike_of(across, s), bike_of(across, session))) {
            return false;
        }
    }
    return true;
}

static const struct setup_record *record_of(const struct across *across, int setup)
{
    const struct across_setup *one = &across->setup[setup];
    return &across->session[one->session].record->setup[one->setup];
}

void visits_title(const struct across *across, char *text, size_t size)
{
    char first[SAY_SIZE], last[SAY_SIZE];
    const struct rider_record *rider = &across->session[0].record->rider;
    day_of(across, 0, first, sizeof first);
    day_of(across, across->session_count - 1, last, sizeof last);
    if (across->session_count == 1) {
        snprintf(text, size, T_("%s, one visit, %s"), rider->code, first);
    } else {
        snprintf(text, size, T_("%s, %d visits, %s to %s"), rider->code, across->session_count,
                 first, last);
    }
}

/* ---- the visits ---- */

static void rating_cell(struct table *table, const struct across *across, int session, int setup,
                        int item)
{
    char number[32];
    double value = setup >= 0 ? visit_rating(across, session, setup, item) : (double)NAN;
    if (isnan(value)) {
        table_cell(table, "-");
    } else if (rating_fields[item].kind == RATING_WORD) {
        table_cell(table, say_rated_word(item, value));
    } else {
        say_exact(number, sizeof number, value);
        table_cell_format(table, "%s%s%s", number, rating_fields[item].unit[0] != '\0' ? " " : "",
                          rating_fields[item].unit);
    }
}

/* No line ends before a number: not 'neck' / '3', nor 'C' / '(3)'. */
static void together_cell(struct table *table, const char *words)
{
    char text[2 * CELL_SIZE];
    size_t used = 0;
    text_copy(text, sizeof text, "");
    for (const char *at = words; *at != '\0'; at++) {
        const char *next = at[1] == '(' ? at + 2 : at + 1;
        bool keeps = *at == ' ' && *next >= '0' && *next <= '9';
        text_append(text, sizeof text, &used, keeps ? "%s" : "%.1s", keeps ? "\u00A0" : at);
    }
    table_cell(table, text);
}

static void discomfort_cell(struct table *table, const struct across *across, int session,
                            int setup)
{
    char text[CELL_SIZE];
    double values[RATING_ITEMS];
    for (int item = 0; item < RATING_ITEMS; item++) {
        values[item] = setup >= 0 ? visit_rating(across, session, setup, item) : (double)NAN;
    }
    say_discomfort(text, sizeof text, values);
    together_cell(table, text);
}

/* '876 ±11', 'not tied'; channel -1: there is none. */
static void height_cell(struct table *table, const struct across *across, int session, int setup,
                        int channel)
{
    char text[SAY_SIZE] = "-";
    if (setup >= 0 && channel >= 0) {
        struct visit_height height = visit_height(across, session, setup, channel);
        say_mean(text, sizeof text, height.mean_mm, isfinite(height.half_width_mm),
                 height.half_width_mm);
        if (height.measured && !height.tied) {
            text_copy(text, sizeof text, T_("not tied"));
        }
    }
    table_cell(table, text);
}

static bool visits_table(struct paper *paper, const struct across *across, struct problem *problem)
{
    char heads[CHANNELS_DRAWN][CHANNEL_NAME_SIZE + 16];
    int channels = across->channel_count < CHANNELS_DRAWN ? across->channel_count : CHANNELS_DRAWN;
    for (int c = 0; c < CHANNELS_DRAWN; c++) {
        snprintf(heads[c], sizeof heads[c], "%s\nmm",
                 c < channels ? say_sensor(across->channel[c].name) : "");
    }
    const struct table_column columns[] = {
        {T_("visit"), TABLE_LEFT, false},
        {T_("bike"), TABLE_LEFT, true},
        {T_("setups held"), TABLE_LEFT, true},
        {T_("chosen"), TABLE_LEFT, false},
        {heads[0], TABLE_LEFT, false},
        {heads[1], TABLE_LEFT, false},
        {T_("sees\nahead"), TABLE_LEFT, false},
        {T_("effort\n0-10"), TABLE_LEFT, false},
        {T_("discomfort\n0-10"), TABLE_LEFT, true},
        {T_("could\nstay"), TABLE_LEFT, false},
    };
    struct table *table = table_create(columns, 10);
    for (int s = 0; s < across->session_count; s++) {
        char text[CELL_SIZE] = "-", letter[8];
        size_t used = 0;
        int chosen = visit_chosen(across, s);
        day_of(across, s, text, sizeof text);
        table_cell(table, text);
        table_cell(table, bike_of(across, s)[0] != '\0' ? bike_of(across, s) : "-");
        text_copy(text, sizeof text, "-");
        for (int i = 0; i < across->setup_count; i++) {
            if (across->setup[i].number_in[s] > 0) {
                say_setup_letter(letter, sizeof letter, i);
                text_append(text, sizeof text, &used, "%s%s (%d)", used > 0 ? ", " : "", letter,
                            across->setup[i].number_in[s]);
            }
        }
        together_cell(table, text);
        say_setup_letter(letter, sizeof letter, chosen >= 0 ? chosen : 0);
        table_cell(table, chosen >= 0 ? letter : "-");
        for (int c = 0; c < CHANNELS_DRAWN; c++) {
            height_cell(table, across, s, chosen, c < channels ? c : -1);
        }
        rating_cell(table, across, s, chosen, RATING_SEES_AHEAD);
        rating_cell(table, across, s, chosen, RATING_EFFORT);
        discomfort_cell(table, across, s, chosen);
        rating_cell(table, across, s, chosen, RATING_COULD_STAY);
    }
    paper_title(paper, T_("The visits"));
    paper_paragraph(
        paper, "%s",
        T_("Heights and ratings are those of the setup that was chosen. A setup keeps "
           "its letter from visit to visit: the same parts on the same bike. In brackets: "
           "its number on that visit's sheet."));
    bool done = paper_table(paper, table, problem);
    table_destroy(table);
    return done;
}

/* ---- the setups ---- */

/* All parts of a bike's first one, of the others what differs. */
static void parts_words(const struct across *across, int setup, int first, char *text, size_t size)
{
    const struct bike_values *bike = &record_of(across, setup)->bike;
    size_t used = 0;
    text_copy(text, size, "");
    if (!bike_values_any_part(bike)) {
        text_copy(text, size, T_("no part was entered"));
        return;
    }
    if (setup != first) {
        bike_changes_text(text, size, &record_of(across, first)->bike, bike);
        return;
    }
    for (int key = 0; key < BIKE_KEYS; key++) {
        if (bike_fields[key].scope == BIKE_SCOPE_PART && isfinite(bike->value[key])) {
            char number[32], measure[64];
            say_exact(number, sizeof number, bike->value[key]);
            say_with_unit(measure, sizeof measure, number, bike_fields[key].unit);
            text_append(text, size, &used, "%s%s %s", used > 0 ? ", " : "",
                        T_(bike_fields[key].words), measure);
        }
    }
}

static bool setups_table(struct paper *paper, const struct across *across, struct problem *problem)
{
    const struct table_column columns[] = {
        {T_("setup"), TABLE_LEFT, true},
        {T_("bike"), TABLE_LEFT, true},
        {T_("parts; of others than a bike's first, what differs from that"), TABLE_LEFT, true},
        {T_("visits"), TABLE_RIGHT, false},
    };
    if (across->setup_count == 0) {
        return true;
    }
    struct table *table = table_create(columns, 4);
    for (int i = 0; i < across->setup_count; i++) {
        char text[CELL_SIZE], letter[8];
        int first = 0, visits = 0;
        const char *bike = bike_of(across, across->setup[i].session);
        while (!text_equal(bike_of(across, across->setup[first].session), bike)) {
            first++;
        }
        for (int s = 0; s < across->session_count; s++) {
            visits += across->setup[i].number_in[s] > 0 ? 1 : 0;
        }
        say_setup_letter(letter, sizeof letter, i);
        table_cell_format(table, "%s  %s", letter, say_intent(record_of(across, i)->intent));
        table_cell(table, bike[0] != '\0' ? bike : "-");
        parts_words(across, i, first, text, sizeof text);
        table_cell(table, text);
        table_cell_format(table, "%d", visits);
    }
    paper_title(paper, T_("The setups, by their parts"));
    bool done = paper_table(paper, table, problem);
    table_destroy(table);
    return done;
}

/* ---- from day to day ---- */

static bool days_table(struct paper *paper, const struct across *across, struct problem *problem)
{
    const struct table_column columns[] = {
        {T_("setup"), TABLE_LEFT, false},
        {C_("day", "from"), TABLE_LEFT, false},
        {C_("day", "to"), TABLE_LEFT, false},
        {T_("what changed"), TABLE_LEFT, true},
    };
    struct table *table = table_create(columns, 4);
    for (int i = 0; i < across->setup_count; i++) {
        for (int from = 0; from < across->session_count; from++) {
            int to = across->setup[i].number_in[from] > 0 ? visit_next(across, from, i) : -1;
            char words[SAY_SIZE], text[CELL_SIZE] = "", letter[8];
            size_t used = 0;
            for (int c = 0; to >= 0 && c < across->channel_count; c++) {
                say_visit_change(words, sizeof words, across, i, c, from, to);
                if (words[0] != '\0') {
                    text_append(text, sizeof text, &used, "%s%s", used > 0 ? "; " : "", words);
                }
            }
            if (used == 0) {
                continue;
            }
            say_setup_letter(letter, sizeof letter, i);
            table_cell(table, letter);
            day_of(across, from, words, sizeof words);
            table_cell(table, words);
            day_of(across, to, words, sizeof words);
            table_cell(table, words);
            table_cell(table, text);
        }
    }
    bool done = true;
    if (table_rows(table) > 0 || table == NULL) {
        paper_title(paper, T_("The same setup on different days"));
        paper_paragraph(paper, "%s",
                        T_("Nothing was changed on the bike: what differs is the rider, straps and "
                           "marks put on anew, and the measuring. In brackets: the true difference "
                           "lies there, 95 times in 100."));
        done = paper_table(paper, table, problem);
    }
    table_destroy(table);
    return done;
}

/* ---- advice ---- */

/* Heights and ratings of a setup then, against what they were. */
static void came_words(const struct across *across, int setup, int from, int to, char *text,
                       size_t size)
{
    char words[SAY_SIZE];
    size_t used = 0;
    text_copy(text, size, "");
    for (int c = 0; c < across->channel_count; c++) {
        say_visit_change(words, sizeof words, across, setup, c, from, to);
        if (words[0] != '\0') {
            text_append(text, size, &used, "%s%s", used > 0 ? ", " : "", words);
        }
    }
    if (used == 0) {
        text_append(text, size, &used, "%s", T_(say_not_set_against));
    }
    for (int item = 0; item < RATING_ITEMS; item++) {
        double before = visit_rating(across, from, setup, item);
        double now = visit_rating(across, to, setup, item);
        char was[32], is[32];
        if (rating_fields[item].kind == RATING_WORD || isnan(before) || isnan(now) ||
            fabs(now - before) < 0.01) {
            continue;
        }
        say_exact(was, sizeof was, before);
        say_exact(is, sizeof is, now);
        text_append(text, size, &used, ", ");
        text_append(text, size, &used, T_("%s %s, then %s"), T_(rating_fields[item].words), was,
                    is);
    }
}

static void advice_items(struct paper *paper, const struct across *across)
{
    paper_title(paper, T_("What was advised, and what came of it"));
    for (int s = 0; s < across->session_count; s++) {
        char day[SAY_SIZE], then[SAY_SIZE] = "", list[CELL_SIZE] = "", letter[8] = "";
        char text[2 * CELL_SIZE];
        int chosen = visit_chosen(across, s);
        int next = chosen >= 0 ? visit_next(across, s, chosen) : -1;
        enum advice_came came = chosen < 0                       ? ADVICE_CAME_NOT_CHOSEN
                                : next >= 0                      ? ADVICE_CAME_RIDDEN
                                : s == across->session_count - 1 ? ADVICE_CAME_LATEST
                                                                 : ADVICE_CAME_NOT_RIDDEN;
        day_of(across, s, day, sizeof day);
        if (chosen >= 0) {
            say_setup_letter(letter, sizeof letter, chosen);
        }
        if (next >= 0) {
            day_of(across, next, then, sizeof then);
            came_words(across, chosen, s, next, list, sizeof list);
        }
        say_advice_came(text, sizeof text, came, day, letter, then, list);
        paper_item(paper, "%s", text);
    }
}

/* ---- what can't be compared ---- */

static void apart_items(struct paper *paper, const struct across *across)
{
    bool titled = false;
    for (int c = 0; c < across->channel_count; c++) {
        for (int s = 0; s < across->session_count; s++) {
            char day[SAY_SIZE], reason[SAY_SIZE];
            say_apart(reason, sizeof reason, &across->channel[c], s);
            if (reason[0] == '\0') {
                continue;
            }
            if (!titled) {
                paper_title(paper, T_("What can't be compared, and why"));
                titled = true;
            }
            day_of(across, s, day, sizeof day);
            paper_item(paper, T_("%s on %s: %s"), say_sensor(across->channel[c].name), day, reason);
        }
    }
}

/* ---- pictures ---- */

static bool line_of_time(struct paper *paper, const struct across *across, const char *bike,
                         int channel, struct problem *problem)
{
    char *text = NULL;
    size_t length = 0;
    FILE *stream = open_memstream(&text, &length);
    if (stream != NULL) {
        plot_visits(stream, across, bike, channel);
    }
    bool done = stream != NULL && fclose(stream) == 0
                    ? paper_picture(paper, PICTURE_ACROSS, text, problem)
                    : problem_set(problem, "no memory for a picture");
    free(text);
    return done;
}

static bool bikes(struct paper *paper, const struct across *across, struct problem *problem)
{
    bool done = true;
    for (int s = 0; done && s < across->session_count; s++) {
        if (!begins_bike(across, s)) {
            continue;
        }
        int drawn = 0;
        for (int c = 0; done && c < across->channel_count && drawn < CHANNELS_DRAWN; c++, drawn++) {
            done = line_of_time(paper, across, bike_of(across, s), c, problem);
        }
    }
    return done;
}

bool visits_document(struct paper *paper, const struct across *across, struct problem *problem)
{
    const struct rider_record *rider = &across->session[across->session_count - 1].record->rider;
    char title[SAY_SIZE];
    visits_title(across, title, sizeof title);
    paper_part_begin(paper, "record", T_("A rider's record"));
    paper_line(paper, "%s%s%s", title, rider->name[0] != '\0' ? ": " : "", rider->name);
    bool done = bikes(paper, across, problem) && visits_table(paper, across, problem);
    if (done) {
        advice_items(paper, across);
    }
    done = done && setups_table(paper, across, problem) && days_table(paper, across, problem);
    if (done) {
        apart_items(paper, across);
        paper_note(paper, "%s", T_("This measures posture; it gives no medical advice."));
    }
    paper_part_end(paper);
    return done;
}
