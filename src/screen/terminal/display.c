/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/display.h"
#include "screen/terminal_kind.h"

#include "base/text.h"

#include <curses.h>
#include <langinfo.h>
#include <locale.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <termios.h>
#include <unistd.h>
#include <wchar.h>

#define WINDOWS_ROOM 8 /* curses has three windows, and both sizes of each for a moment */
#define STARTING_ROOM (4U << 20)
/* Ours, far above those that curses counts on for a terminal's own keys. */
#define PASTE_BEGINS_CODE 0x700
#define PASTE_ENDS_CODE 0x701

struct display {
    SCREEN *terminal;
    WINDOW *keys; /* nothing is drawn in it: wgetch would send a window that has changed */
    FILE *input;  /* other than stdin; NULL = stdin */
    enum letters letters;
    enum colour_depth depth;
    struct termios before;
    bool has_before;
    struct canvas shown;
    int renew; /* so many drawings are sent whole */
    int cursor_row, cursor_column;
    attr_t attributes[STYLES];
    short pair[STYLES];
};

static enum letters find_letters(void)
{
    const char *name = getenv("TERM");
    if (strcmp(nl_langinfo(CODESET), "UTF-8") != 0) {
        return LETTERS_ASCII;
    }
    return name != NULL && text_starts_with(name, "linux") ? LETTERS_BLOCK : LETTERS_FULL;
}

static void start_colours(struct display *display)
{
    const char *unwanted = getenv("NO_COLOR");
    display->depth = COLOURS_NONE;
    if ((unwanted == NULL || unwanted[0] == '\0') && has_colors() && start_color() == OK &&
        COLORS >= 8 && COLOR_PAIRS > STYLES) {
        display->depth = COLORS >= 256 ? COLOURS_256 : COLOURS_8;
    }
    bool own = display->depth != COLOURS_NONE && use_default_colors() == OK;
    for (int style = 0; style < STYLES; style++) {
        struct palette_entry entry = palette_entry((enum style)style, display->depth);
        attr_t attributes = 0;
        if (entry.bold) {
            attributes |= A_BOLD;
        }
        if (entry.reverse) {
            attributes |= A_REVERSE;
        }
        short pair = 0;
        if (entry.letter >= 0 || entry.ground >= 0) {
            pair = (short)(style + 1);
            init_pair(pair,
                      entry.letter >= 0 ? entry.letter
                      : own             ? -1
                                        : COLOR_WHITE,
                      entry.ground >= 0 ? entry.ground
                      : own             ? -1
                                        : COLOR_BLACK);
        }
        display->attributes[style] = attributes;
        display->pair[style] = pair;
    }
}

/* Keys one by one as they come. Ctrl-C is a key that asks; Ctrl-Z and Ctrl-\ are nothing, since a
 * program that is stopped reads no sensors. Ctrl-S and Ctrl-Q stay the terminal's. */
static void start_keys(struct display *display)
{
    struct termios now;
    cbreak();
    noecho();
    nonl();
    if (tcgetattr(display_input(display), &now) == 0) {
        now.c_cc[VINTR] = now.c_cc[VSUSP] = now.c_cc[VQUIT] = _POSIX_VDISABLE;
        tcsetattr(display_input(display), TCSANOW, &now);
        def_prog_mode();
    }
    display->keys = newwin(1, 1, 0, 0);
    if (display->keys != NULL) {
        keypad(display->keys, TRUE);
        define_key("\033[200~", PASTE_BEGINS_CODE);
        define_key("\033[201~", PASTE_ENDS_CODE);
        nodelay(display->keys, TRUE);
    }
}

struct display *display_open(struct problem *problem)
{
    setlocale(LC_ALL, "");
    setlocale(LC_NUMERIC, "C");
    unsetenv("LINES");
    unsetenv("COLUMNS");
    if (!terminal_kind_usable(problem)) {
        return NULL;
    }
    struct display *display = calloc(1, sizeof *display);
    if (display == NULL || !canvas_create(&display->shown, find_letters())) {
        free(display);
        problem_set(problem, "not enough memory for the screen");
        return NULL;
    }
    display->letters = display->shown.letters;
    display->cursor_row = -1;
    display->renew = 1;
    if (!isatty(STDIN_FILENO)) {
        display->input = fopen("/dev/tty", "r"); /* standard input may be the sensors' */
        if (display->input == NULL) {
            problem_set(problem,
                        "standard input is no terminal and there is no other to take keys from");
            display_close(display);
            return NULL;
        }
    }
    /* curses crashes where it finds none while it starts */
    void *room = malloc(STARTING_ROOM);
    free(room);
    if (room == NULL) {
        problem_set(problem, "not enough memory for the screen");
        display_close(display);
        return NULL;
    }
    display->has_before = tcgetattr(display_input(display), &display->before) == 0;
    display->terminal = newterm(NULL, stdout, display->input != NULL ? display->input : stdin);
    if (display->terminal == NULL) {
        problem_set(problem, "the terminal can't be used for the screen (TERM is '%s')",
                    getenv("TERM"));
        display_close(display);
        return NULL;
    }
    set_escdelay(25);
    start_colours(display);
    start_keys(display);
    terminal_kind_marks_pastes(true);
    if (display->keys == NULL) {
        problem_set(problem, "not enough memory for the screen");
        display_close(display);
        return NULL;
    }
    leaveok(stdscr, FALSE);
    scrollok(stdscr, FALSE);
    typeahead(-1); /* a drawing is finished though keys wait, and asks for none */
    curs_set(0);
    return display;
}

void display_close(struct display *display)
{
    if (display == NULL) {
        return;
    }
    if (display->terminal != NULL) {
        if (display->keys != NULL) {
            delwin(display->keys);
        }
        terminal_kind_marks_pastes(false);
        endwin();
        /* delscreen() asks for memory, and crashes where there is none; the program ends soon */
    }
    if (display->has_before) {
        tcsetattr(display_input(display), TCSANOW, &display->before);
    }
    if (display->input != NULL) {
        fclose(display->input);
    }
    canvas_destroy(&display->shown);
    free(display);
}

enum letters display_letters(const struct display *display)
{
    return display->letters;
}

void display_size(const struct display *display, int *rows, int *columns)
{
    (void)display;
    *rows = getmaxy(stdscr);
    *columns = getmaxx(stdscr);
}

void display_renew(struct display *display)
{
    display->renew = display->renew > 1 ? display->renew : 1;
}

void display_resized(struct display *display)
{
    display->renew = 2;
}

bool display_owes(const struct display *display)
{
    return display->renew > 0;
}

static void send_cell(struct display *display, int row, int column, const struct canvas_cell *cell)
{
    wchar_t letters[4] = {(wchar_t)cell->code[0], (wchar_t)cell->code[1], (wchar_t)cell->code[2],
                          L'\0'};
    bool wide = column + 1 < display->shown.columns && (cell + 1)->code[0] == 0;
    if (wcwidth(letters[0]) != (wide ? 2 : 1)) {
        /* the C library and our table differ about it: something that both know */
        letters[0] = wide ? L'\uFF1F' : L'?';
        letters[1] = L'\0';
    }
    for (int i = 1; letters[i] != L'\0'; i++) {
        if (wcwidth(letters[i]) != 0) {
            letters[i] = L'\0';
        }
    }
    cchar_t complex;
    attr_t attributes = display->attributes[cell->style] ^ (cell->reverse ? A_REVERSE : 0);
    if (setcchar(&complex, letters, attributes, display->pair[cell->style], NULL) == OK) {
        mvadd_wch(row, column, &complex);
    }
}

static bool same_cell(const struct canvas_cell *a, const struct canvas_cell *b)
{
    return a->code[0] == b->code[0] && a->code[1] == b->code[1] && a->code[2] == b->code[2] &&
           a->style == b->style && a->reverse == b->reverse;
}

/* curses changes the size of its windows one by one and stops where one finds no memory; drawing
 * would then write beyond it. */
static bool sizes_agree(void)
{
    WINDOW *const windows[] = {stdscr, newscr, curscr};
    for (int i = 0; i < 3; i++) {
        if ((getmaxy(windows[i]) != LINES || getmaxx(windows[i]) != COLS) &&
            wresize(windows[i], LINES, COLS) != OK) {
            return false;
        }
    }
    return true;
}

void display_show(struct display *display, const struct canvas *canvas)
{
    struct canvas *shown = &display->shown;
    if (!sizes_agree()) {
        display_resized(display); /* the next picture, then */
        return;
    }
    if (display->renew > 0 || shown->rows != canvas->rows || shown->columns != canvas->columns) {
        erase();
        canvas_begin(shown, canvas->rows, canvas->columns);
        if (display->renew > 0) {
            clearok(stdscr, TRUE);
            display->renew--;
        }
    }
    for (int row = 0; row < canvas->rows; row++) {
        size_t at = (size_t)row * CANVAS_COLUMNS_MAX;
        const struct canvas_cell *now = canvas->cell + at;
        struct canvas_cell *before = shown->cell + at;
        for (int column = 0; column < canvas->columns; column++) {
            if (same_cell(&now[column], &before[column])) {
                continue;
            }
            before[column] = now[column];
            if (now[column].code[0] != 0) {
                if (column + 1 < canvas->columns && now[column + 1].code[0] == 0) {
                    before[column + 1] = now[column + 1];
                }
                send_cell(display, row, column, &now[column]);
            }
        }
    }
    if (display->cursor_row >= 0) {
        move(display->cursor_row, display->cursor_column);
    }
    refresh();
}

void display_cursor(struct display *display, int row, int column)
{
    if ((row >= 0) != (display->cursor_row >= 0)) {
        curs_set(row >= 0 ? 1 : 0);
    }
    display->cursor_row = row;
    display->cursor_column = column;
}

void display_bell(struct display *display)
{
    (void)display;
    beep();
}

bool display_is_gone(const struct display *display)
{
    struct pollfd input = {.fd = display_input(display), .events = POLLIN};
    int waiting = 0;
    /* one that has hung up is said to have something to read for ever: its end */
    return poll(&input, 1, 0) > 0 && (input.revents & (POLLHUP | POLLERR | POLLNVAL)) != 0 &&
           (ioctl(input.fd, FIONREAD, &waiting) != 0 || waiting == 0);
}

/* curses takes a new size with the next key, and frees twice what it finds no memory for: so it is
 * let only where there is enough for all its cells. */
static bool may_take_size(const struct display *display)
{
    struct winsize size;
    if (ioctl(display_input(display), TIOCGWINSZ, &size) != 0 ||
        (size.ws_row == getmaxy(stdscr) && size.ws_col == getmaxx(stdscr))) {
        return true;
    }
    void *room = malloc(WINDOWS_ROOM * (size.ws_row + 1U) * (size.ws_col + 1U) * sizeof(cchar_t));
    free(room);
    return room != NULL;
}

uint32_t display_key(struct display *display)
{
    wint_t key = 0;
    if (!may_take_size(display)) {
        return KEY_NOT_ANY;
    }
    int kind = wget_wch(display->keys, &key);
    if (kind == ERR) {
        return KEY_NOT_ANY;
    }
    if (kind == OK) {
        return key == L'\n' || key == L'\r' ? KEY_ACCEPT
               : key == 8 || key == 127     ? KEY_ERASE
               : key == 0                   ? KEY_OTHER
                                            : (uint32_t)key;
    }
    switch (key) {
    case KEY_RESIZE:
        return KEY_SIZE;
    case KEY_UP:
        return KEY_GO_UP;
    case KEY_DOWN:
        return KEY_GO_DOWN;
    case KEY_LEFT:
        return KEY_GO_LEFT;
    case KEY_RIGHT:
        return KEY_GO_RIGHT;
    case KEY_HOME:
        return KEY_GO_HOME;
    case KEY_END:
        return KEY_GO_END;
    case KEY_PPAGE:
        return KEY_PAGE_UP;
    case KEY_NPAGE:
        return KEY_PAGE_DOWN;
    case KEY_BACKSPACE:
        return KEY_ERASE;
    case KEY_DC:
        return KEY_ERASE_FORWARD;
    case KEY_ENTER:
        return KEY_ACCEPT;
    case KEY_BTAB:
        return KEY_TAB_BACK;
    case PASTE_BEGINS_CODE:
        return KEY_PASTE_BEGINS;
    case PASTE_ENDS_CODE:
        return KEY_PASTE_ENDS;
    default:
        return KEY_OTHER;
    }
}

int display_input(const struct display *display)
{
    return display->input != NULL ? fileno(display->input) : STDIN_FILENO;
}
