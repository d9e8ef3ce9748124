/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/key_script.h"

#include "base/text.h"
#include "base/words.h"
#include "support/stage.h"
#include "support/test_main.h"

#include <stdlib.h>
#include <string.h>

#define LINE_SIZE 1024
#define SEEN_WITHIN_S 5.0

struct player {
    struct stage *stage;
    int rows;
    int named; /* requests that the script has named */
    const char *picture;
    FILE *out;
    bool shown; /* the picture that was asked for */
    bool no_terminals;
    char why[LINE_SIZE * 2];
};

static bool refuse(struct player *player, const char *why)
{
    text_copy(player->why, sizeof player->why, why);
    return false;
}

/* ---- the steps ---- */

/* The next thing the keys made is this; NULL: there is none. */
static bool made(struct player *player, const char *wanted)
{
    bool any = player->named < stage_requests(player->stage);
    const char *there = any ? stage_request(player->stage, player->named) : "nothing";
    if (any && wanted != NULL && text_equal(there, wanted)) {
        struct words words;
        struct problem problem = {PROBLEM_NONE, ""};
        player->named++; /* what was made can be read again, word by word */
        return words_split(there, &words, &problem) || refuse(player, problem.sentence);
    }
    snprintf(player->why, sizeof player->why, "the keys made '%s'", there);
    return !any && wanted == NULL;
}

static int state_named(const char *name)
{
    int i = 0;
    while (i < MADE_VIEWS && !text_equal(made_view_names[i], name)) {
        i++;
    }
    return i;
}

static bool step_open(struct player *player, const char *rest)
{
    char state[32] = "";
    struct terminal_settings settings = {.rows = 0};
    if (player->stage != NULL && !made(player, NULL)) {
        return false;
    }
    if (sscanf(rest, "%31s %d %d", state, &settings.rows, &settings.columns) != 3 ||
        state_named(state) == MADE_VIEWS) {
        return refuse(player, "a state, rows and columns are wanted");
    }
    stage_close(player->stage);
    player->rows = settings.rows;
    player->named = 0;
    player->stage = stage_open(&settings, (enum made_view)state_named(state));
    player->no_terminals = player->stage == NULL;
    return player->stage != NULL && stage_drawn(player->stage);
}

static const char *key_named(const char *name)
{
    static const struct {
        const char *name, *keys;
    } named[] = {{"Space", " "},          {"Tab", "\t"},         {"Shift-Tab", "\033[Z"},
                 {"Enter", "\r"},         {"Esc", "\033"},       {"Up", "\033OA"},
                 {"Down", "\033OB"},      {"Left", "\033OD"},    {"Right", "\033OC"},
                 {"Home", "\033OH"},      {"End", "\033OF"},     {"PageUp", "\033[5~"},
                 {"PageDown", "\033[6~"}, {"Backspace", "\177"}, {"Delete", "\033[3~"},
                 {"Ctrl-C", "\003"},      {"Ctrl-L", "\014"},    {"Ctrl-U", "\025"},
                 {"Ctrl-R", "\022"}};
    for (size_t i = 0; i < sizeof named / sizeof named[0]; i++) {
        if (text_equal(name, named[i].name)) {
            return named[i].keys;
        }
    }
    return strlen(name) == 1 ? name : NULL;
}

static bool step_press(struct player *player, const char *rest)
{
    char words[LINE_SIZE], *next = NULL;
    text_copy(words, sizeof words, rest);
    for (char *word = strtok_r(words, " ", &next); word != NULL;
         word = strtok_r(NULL, " ", &next)) {
        const char *keys = key_named(word);
        if (keys == NULL) {
            return refuse(player, "there is no key of that name");
        }
        stage_keys(player->stage, keys); /* false after the last one of a session */
    }
    return true;
}

static bool step_type(struct player *player, const char *rest)
{
    return stage_keys(player->stage, rest);
}

static bool step_see(struct player *player, const char *rest)
{
    return terminal_wait_text(stage_terminal(player->stage), rest, SEEN_WITHIN_S) ||
           refuse(player, "it is not on the screen");
}

static bool step_unseen(struct player *player, const char *rest)
{
    return terminal_wait_gone(stage_terminal(player->stage), rest, SEEN_WITHIN_S) ||
           refuse(player, "it is on the screen");
}

static bool step_makes(struct player *player, const char *rest)
{
    char wanted[LINE_SIZE + 16];
    snprintf(wanted, sizeof wanted, "command: %s", rest);
    return made(player, text_equal(rest, "nothing") ? NULL : wanted);
}

static bool step_exports(struct player *player, const char *rest)
{
    char wanted[LINE_SIZE + 16];
    snprintf(wanted, sizeof wanted, "export: %s", rest);
    return made(player, wanted);
}

static bool step_ends(struct player *player, const char *rest)
{
    (void)rest;
    return terminal_wait_end(stage_terminal(player->stage), NULL, SEEN_WITHIN_S) &&
           made(player, "quit");
}

static bool step_replaces(struct player *player, const char *rest)
{
    char wanted[LINE_SIZE + 16];
    snprintf(wanted, sizeof wanted, "replace: %s", rest);
    return made(player, wanted);
}

static bool step_answer(struct player *player, const char *rest)
{
    if (text_starts_with(rest, "asked ")) {
        stage_answer_asked(player->stage, rest + strlen("asked "));
        return true;
    }
    bool refused = text_starts_with(rest, "no ");
    if (!refused && !text_equal(rest, "yes")) {
        return refuse(player, "'yes', or 'no' or 'asked' and a sentence");
    }
    stage_answer(player->stage, !refused, refused ? rest + strlen("no ") : "");
    return true;
}

/* Rows to the last one that has anything in it. */
static void put_rows(struct player *player, FILE *out)
{
    char row[LINE_SIZE * 4];
    const struct terminal *terminal = stage_terminal(player->stage);
    int rows = player->rows;
    do {
        rows--;
        terminal_row(terminal, rows, row, sizeof row);
    } while (rows > 0 && row[0] == '\0');
    for (int r = 0; r <= rows; r++) {
        terminal_row(terminal, r, row, sizeof row);
        fprintf(out, "%s\n", row);
    }
}

static bool step_picture(struct player *player, const char *rest)
{
    if (player->picture != NULL && text_equal(player->picture, rest)) {
        terminal_wait_quiet(stage_terminal(player->stage), 0.05, 2.0);
        put_rows(player, player->out);
        player->shown = true;
    }
    return true;
}

static const struct {
    const char *word;
    bool (*take)(struct player *player, const char *rest);
} steps[] = {
    {"open", step_open},       {"press", step_press},       {"type", step_type},
    {"see", step_see},         {"unseen", step_unseen},     {"makes", step_makes},
    {"exports", step_exports}, {"replaces", step_replaces}, {"ends", step_ends},
    {"answer", step_answer},   {"picture", step_picture},
};
#define STEPS (sizeof steps / sizeof steps[0])

/* ---- a script ---- */

static bool take_line(struct player *player, char *line)
{
    line[strcspn(line, "\n")] = '\0';
    if (line[0] == '\0' || line[0] == '#') {
        return true;
    }
    size_t length = strcspn(line, " ");
    for (size_t i = 0; i < STEPS; i++) {
        if (strlen(steps[i].word) == length && strncmp(steps[i].word, line, length) == 0) {
            if (player->stage == NULL && i > 0) {
                return refuse(player, "a terminal is opened first");
            }
            return steps[i].take(player, line + length + (line[length] == ' ' ? 1 : 0));
        }
    }
    return refuse(player, "there is no such step");
}

static void tell(struct player *player, const char *screen, int number, const char *line,
                 char *problem, size_t size)
{
    size_t used = 0;
    char *shown = NULL;
    size_t shown_size = 0;
    FILE *rows = open_memstream(&shown, &shown_size);
    if (rows != NULL) {
        if (player->stage != NULL) {
            put_rows(player, rows);
        }
        fclose(rows);
    }
    text_copy(problem, size, "");
    text_append(problem, size, &used, "%s/%s.txt:%d: %s\n%s\n%s", KEY_SCRIPTS, screen, number, line,
                player->why, shown != NULL ? shown : "");
    free(shown);
}

bool key_script_play(const char *screen, const char *picture, FILE *out, char *problem, size_t size)
{
    char path[256], line[LINE_SIZE];
    struct player player = {.picture = picture, .out = out};
    int number = 0;
    snprintf(path, sizeof path, "%s/%s.txt", KEY_SCRIPTS, screen);
    text_copy(problem, size, path);
    FILE *file = fopen(source_path(path), "r");
    if (file == NULL) {
        return false;
    }
    bool done = true;
    while (done && !player.shown && fgets(line, sizeof line, file) != NULL) {
        number++;
        done = take_line(&player, line);
    }
    fclose(file);
    if (done && !player.shown && player.stage != NULL) {
        text_copy(line, sizeof line, "(the end)");
        done = made(&player, NULL);
    }
    if (done && picture != NULL && !player.shown) {
        text_copy(line, sizeof line, picture);
        done = refuse(&player, "there is no such picture");
    }
    if (player.no_terminals) {
        text_copy(problem, size, "");
    } else if (!done) {
        tell(&player, screen, number, line, problem, size);
    }
    stage_close(player.stage);
    return done;
}
