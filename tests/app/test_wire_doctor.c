/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A board of which nobody knows anything, on a pseudo-terminal whose bytes are garbled as a serial
 * line at another speed garbles them (support/uart.h): what the program finds out, and that its
 * advice works. */

#include "base/clock.h"
#include "base/text.h"
#include "rig/decoder_options.h"
#include "rig/wire_look.h"
#include "say/wire.h"
#include "support/cable.h"
#include "support/program.h"
#include "support/terminal.h"
#include "support/test_main.h"
#include "support/uart.h"

#include <pthread.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

struct board_played {
    struct cable cable;
    double baud; /* 0: as it is */
    int form;    /* of the lines */
    atomic_bool stop;
    pthread_t thread;
};

static void write_line_of(const struct board_played *board, int i, char *line, size_t size)
{
    int head = 412 + (i * 7) % 13 - 6;
    int chest = 296 + (i * 5) % 11 - 5;
    switch (board->form) {
    case 0:
        snprintf(line, size, "%d,%d\r\n", head, chest);
        break;
    case 1:
        snprintf(line, size, "%d.%d\r\n", head / 10, head % 10);
        break;
    case 2: /* a frame: two numbers of 16 bits, and the end */
        snprintf(line, size, "%c\x08%c\x0B\xC0", 0x80 + i % 16, 0x90 + i % 16);
        break;
    default:
        snprintf(line, size, "%s: %d mm\r\n", i % 2 == 0 ? "Head" : "Chest",
                 i % 2 == 0 ? head : chest);
    }
}

/* 25 lines a second, garbled where the program has set another speed. */
static void *play(void *argument)
{
    struct board_played *board = argument;
    for (int i = 0; !atomic_load(&board->stop); i++) {
        char line[64], garbled[1200];
        write_line_of(board, i, line, sizeof line);
        double set = uart_speed_set(board->cable.master);
        bool fits = board->baud == 0 || set == board->baud;
        size_t length =
            fits ? strlen(line)
                 : uart_receive(line, strlen(line), board->baud, set, 0.3, garbled, sizeof garbled);
        (void)!write(board->cable.master, fits ? line : garbled, length);
        usleep(40000);
    }
    return NULL;
}

static bool board_begin(struct board_played *board, double baud, int form)
{
    memset(board, 0, sizeof *board);
    board->baud = baud;
    board->form = form;
    if (!cable_plug(&board->cable)) {
        return false;
    }
    ck_assert_int_eq(pthread_create(&board->thread, NULL, play, board), 0);
    return true;
}

static void board_end(struct board_played *board)
{
    atomic_store(&board->stop, true);
    pthread_join(board->thread, NULL);
    cable_pull(&board->cable);
}

static const double bauds[] = {1200,   2400,   4800,   9600,   19200,   38400,  57600,
                               115200, 230400, 460800, 921600, 1000000, 2000000};

static const char *folder;
static char store[300];

static void begin(void)
{
    folder = program_folder();
    snprintf(store, sizeof store, "%s/holdline.db", folder);
    setenv("HOLDLINE_STORE", store, 1);
}

static void end(void)
{
    unsetenv("HOLDLINE_STORE");
    program_folder_remove(folder);
}

START_TEST(the_speed_is_found_within_five_seconds)
{
    struct board_played board;
    if (!board_begin(&board, bauds[_i], 0)) {
        return;
    }
    int64_t start_us = clock_monotonic_us();
    struct program_result result =
        program_run(NULL, NULL, (const char *const[]){"rigs", board.cable.path, "--json", NULL});
    double took_s = (double)(clock_monotonic_us() - start_us) / 1e6;
    board_end(&board);
    ck_assert_msg(strstr(result.output, "\"state\": \"a rig\"") != NULL, "%.0f baud, %.1f s: %s",
                  bauds[_i], took_s, result.output);
    char baud[40];
    snprintf(baud, sizeof baud, "\"baud\": %.0f", bauds[_i]);
    ck_assert_msg(strstr(result.output, baud) != NULL, "%s", result.output);
    printf("%.0f baud found in %.1f s\n", bauds[_i], took_s);
    ck_assert_msg(took_s < 7 * terminal_patience(), "%.1f s",
                  took_s); /* 5 s of listening, and a loaded machine */
    program_free(&result);
}
END_TEST

START_TEST(what_was_found_is_known_the_next_time)
{
    struct board_played board;
    if (!board_begin(&board, 9600, 0)) {
        return;
    }
    for (int time = 0; time < 2; time++) {
        struct program_result result = program_run(
            NULL, NULL, (const char *const[]){"listen", board.cable.path, "--seconds", "3", NULL});
        ck_assert_msg(result.status == 0, "%s%s", result.output, result.errors);
        ck_assert_ptr_nonnull(strstr(result.output, "nothing says the unit"));
        program_free(&result);
    }
    struct program_result known =
        program_run(NULL, NULL, (const char *const[]){"rigs", board.cable.path, NULL});
    board_end(&board);
    ck_assert_msg(strstr(known.output, "9600 baud; known") != NULL, "%s", known.output);
    program_free(&known);
}
END_TEST

/* 1.2 s of lines that stand in a terminal before the program is there. */
static void write_waiting(const struct cable *cable)
{
    const char *heading = "# holdline-rig 1 id=waiting rate=100 unit=mm channels=head,chest\n";
    ck_assert(cable_write(cable, heading, strlen(heading)));
    for (int i = 1; i <= 120; i++) {
        char body[40], line[60];
        unsigned sum = 0;
        snprintf(body, sizeof body, "%d,%d,412.%d,296.%d", i, i * 10000, i % 10, i % 7);
        for (const char *at = body; *at != '\0'; at++) {
            sum ^= (unsigned char)*at;
        }
        int length = snprintf(line, sizeof line, "$%s*%02X\n", body, sum);
        ck_assert(cable_write(cable, line, (size_t)length));
    }
}

/* The name of a pseudo-terminal is given again: what was found of one is not taken for the next,
 * whose lines would be thrown away with the change of speed. */
START_TEST(the_next_terminal_of_a_known_name_loses_nothing)
{
    struct board_played board;
    struct cable next;
    if (!board_begin(&board, 9600, 0)) {
        return;
    }
    struct program_result result = program_run(
        NULL, NULL, (const char *const[]){"listen", board.cable.path, "--seconds", "2", NULL});
    ck_assert_msg(result.status == 0, "%s%s", result.output, result.errors);
    program_free(&result);
    board_end(&board);
    ck_assert(cable_plug(&next));
    if (!text_equal(next.path, board.cable.path)) {
        printf("skipped: another program took the terminal's name\n");
        cable_pull(&next);
        return;
    }
    write_waiting(&next);
    result = program_run(
        NULL, NULL, (const char *const[]){"listen", next.path, "--seconds", "1", "--health", NULL});
    cable_pull(&next);
    ck_assert_msg(result.status == 0, "%s%s", result.output, result.errors);
    ck_assert_msg(strstr(result.output, "waiting") != NULL, "%s%s", result.output, result.errors);
    ck_assert_msg(strstr(result.output, "lost        0 (0.0 %)") != NULL, "%s", result.output);
    program_free(&result);
}
END_TEST

/* The command behind 'take it: ' works as it is printed, and then the board is known. */
START_TEST(the_advice_printed_is_a_command_that_works)
{
    struct board_played board;
    char command[600], line[1200];
    if (!board_begin(&board, 0, 1)) {
        return;
    }
    struct program_result result =
        program_run(NULL, NULL, (const char *const[]){"rigs", board.cable.path, NULL});
    const char *advice = strstr(result.output, "take it: holdline ");
    ck_assert_msg(advice != NULL, "%s", result.output);
    ck_assert_msg(strstr(result.output, "with --unit cm: ch1 4") != NULL, "%s", result.output);
    snprintf(command, sizeof command, "%.*s", (int)strcspn(advice + 18, "\n"), advice + 18);
    snprintf(line, sizeof line, "%s %s >/dev/null", program_path(), command);
    ck_assert_msg(system(line) == 0, "%s", line);
    program_free(&result);
    result = program_run(NULL, NULL,
                         (const char *const[]){"listen", board.cable.path, "--seconds", "2", NULL});
    board_end(&board);
    ck_assert_msg(result.status == 0, "%s", result.errors);
    ck_assert_msg(strstr(result.output, " 41") != NULL, "%s", result.output);
    program_free(&result);
}
END_TEST

/* Frames of which no byte is text look as a wrong speed does: where they are said none is tried. */
START_TEST(binary_frames_that_are_said_are_no_wrong_speed)
{
    struct board_played board;
    if (!board_begin(&board, 0, 2)) {
        return;
    }
    struct program_result result =
        program_run(NULL, NULL,
                    (const char *const[]){"listen", board.cable.path, "--seconds", "2", "--layout",
                                          "slip,head=u16,chest=u16", "--health", NULL});
    double speed = uart_speed_set(board.cable.master);
    board_end(&board);
    ck_assert_msg(result.status == 0, "%s", result.errors);
    ck_assert_msg(strstr(result.output, "  rejected    0 of ") != NULL, "%s", result.output);
    ck_assert_double_eq(speed, 38400); /* as it was */
    program_free(&result);
}
END_TEST

START_TEST(two_sensors_on_alternating_lines_are_two_channels)
{
    struct board_played board;
    if (!board_begin(&board, 57600, 3)) {
        return;
    }
    struct program_result result = program_run(
        NULL, NULL,
        (const char *const[]){"listen", board.cable.path, "--seconds", "3", "--health", NULL});
    board_end(&board);
    ck_assert_msg(result.status == 0, "%s", result.errors);
    ck_assert_ptr_nonnull(strstr(result.output, "Head"));
    ck_assert_ptr_nonnull(strstr(result.output, "one sensor a line"));
    program_free(&result);
}
END_TEST

/* What the doctor proposes for the forms of sessions/wire/forms.txt that need an option. */
START_TEST(forms_that_need_an_option_have_it_proposed)
{
    FILE *table = fopen("sessions/wire/forms.txt", "r");
    char row[1200];
    int proposed = 0;
    ck_assert_ptr_nonnull(table);
    while (fgets(row, sizeof row, table) != NULL) {
        char *outcome = strstr(row, " | ");
        if (outcome == NULL || !text_starts_with(outcome, " | proposed | ")) {
            continue;
        }
        char *wanted = outcome + strlen(" | proposed | ");
        *strstr(wanted, " | ") = '\0';
        *outcome = '\0';
        char name[1300], options[400];
        size_t length;
        struct wire_finding finding;
        snprintf(name, sizeof name, "wire/%s", row);
        char *bytes = program_read_file("sessions", name, &length);
        wire_look(bytes, length, NULL, &finding);
        say_wire_options(options, sizeof options, &finding);
        ck_assert_msg(text_equal(options, wanted), "%s: '%s', not '%s'", row, options, wanted);
        free(bytes);
        proposed++;
    }
    fclose(table);
    ck_assert_int_ge(proposed, 7);
}
END_TEST

START_TEST(no_readings_says_what_came)
{
    struct program_result result = program_run(
        NULL, NULL, (const char *const[]){"listen", "sessions/wire/page.html?speed=max", NULL});
    ck_assert_int_ne(result.status, 0);
    ck_assert_msg(strstr(result.errors, "markup") != NULL, "%s", result.errors);
    ck_assert_msg(strstr(result.errors, "not a line of this dialect") != NULL, "%s", result.errors);
    program_free(&result);
    result = program_run(
        NULL, NULL,
        (const char *const[]){"listen", "sessions/wire/binary-cobs.bin?speed=max", NULL});
    ck_assert_int_ne(result.status, 0);
    ck_assert_msg(strstr(result.errors, "no text") != NULL, "%s", result.errors);
    program_free(&result);
}
END_TEST

/* One file, every command that reads one: all take it, or none does. */
START_TEST(all_commands_agree_on_every_form)
{
    FILE *table = fopen("sessions/wire/forms.txt", "r");
    char row[1200];
    int forms = 0;
    ck_assert_ptr_nonnull(table);
    while (fgets(row, sizeof row, table) != NULL) {
        char *outcome = strstr(row, " | ");
        if (outcome == NULL || row[0] == '#') {
            continue;
        }
        bool reads = text_starts_with(outcome, " | read | ");
        *outcome = '\0';
        char path[1300], spec[1400];
        snprintf(path, sizeof path, "sessions/wire/%s", row);
        snprintf(spec, sizeof spec, "%s?speed=max&rate=50", path);
        struct program_result listen =
            program_run(NULL, NULL, (const char *const[]){"listen", spec, "--health", NULL});
        struct program_result measure = program_run(
            NULL, NULL, (const char *const[]){"measure", path, "--rate", "50", "--json", NULL});
        struct program_result import = program_run(
            NULL, NULL, (const char *const[]){"import", "--script", "--rate", "50", path, NULL});
        ck_assert_msg((listen.status == 0) == reads, "listen %s: %s", row, listen.errors);
        ck_assert_msg((measure.status == 0) == reads, "measure %s: %s", row, measure.errors);
        /* half a second is no hold: that is why it is refused, and nothing else */
        bool only_short = strstr(import.errors, "a hold has 5 s to 8 h") != NULL;
        /* and what goes into the store is asked for where no heading says it */
        bool only_asks = strstr(import.errors, "Say it: --columns") != NULL;
        ck_assert_msg((import.status == 0 || only_short || only_asks) == reads, "import %s: %s",
                      row, import.errors);
        program_free(&listen);
        program_free(&measure);
        program_free(&import);
        forms++;
    }
    fclose(table);
    ck_assert_int_ge(forms, 60);
}
END_TEST

START_TEST(no_rate_is_assumed_unsaid)
{
    struct program_result result = program_run(
        NULL, NULL, (const char *const[]){"measure", "sessions/wire/two-comma.txt", NULL});
    ck_assert_ptr_nonnull(strstr(result.output, "neither time nor rate: taken as 50"));
    program_free(&result);
    result = program_run(NULL, NULL,
                         (const char *const[]){"import", "--script", "--columns", "ch1=1,ch2=2",
                                               "sessions/wire/two-comma.txt", NULL});
    ck_assert_int_ne(result.status, 0);
    ck_assert_msg(strstr(result.errors, "neither time nor rate") != NULL, "%s", result.errors);
    program_free(&result);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("wire doctor");
    TCase *one = tcase_create("wire doctor");
    tcase_add_checked_fixture(one, begin, end);
    tcase_set_timeout(one, 60);
    tcase_add_loop_test(one, the_speed_is_found_within_five_seconds, 0,
                        (int)(sizeof bauds / sizeof bauds[0]));
    tcase_add_test(one, what_was_found_is_known_the_next_time);
    tcase_add_test(one, the_next_terminal_of_a_known_name_loses_nothing);
    tcase_add_test(one, binary_frames_that_are_said_are_no_wrong_speed);
    tcase_add_test(one, the_advice_printed_is_a_command_that_works);
    tcase_add_test(one, two_sensors_on_alternating_lines_are_two_channels);
    tcase_add_test(one, forms_that_need_an_option_have_it_proposed);
    tcase_add_test(one, no_readings_says_what_came);
    tcase_add_test(one, all_commands_agree_on_every_form);
    tcase_add_test(one, no_rate_is_assumed_unsaid);
    suite_add_tcase(suite, one);
    return test_main(suite);
}
