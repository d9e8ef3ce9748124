/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/commands.h"
#include "app/ending.h"
#include "app/no_network.h"
#include "app/standard_output.h"
#include "base/memory.h"
#include "base/text.h"

#include <errno.h>
#include <fcntl.h>
#include <locale.h>
#include <signal.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static void print_help(void)
{
    puts("holdline: measures a rider's posture on the trainer with range sensors on the bike, and\n"
         "says what each setup changed.\n"
         "\n"
         "holdline [RIG]            the live session\n"
         "holdline COMMAND ...      one of these; 'holdline COMMAND --help' says more\n");
    for (int i = 0; i < command_count; i++) {
        printf("  %-10s %s\n", commands[i]->name, commands[i]->summary);
    }
    puts("\n"
         "  --help, help         this text; 'holdline help COMMAND' is 'holdline COMMAND --help'\n"
         "  --version, -V        the program's version\n"
         "\n"
         "Beams only from sensors sold as eye-safe, aimed below the eyes where that can be; stop "
         "on\n"
         "pain or numbness. The program measures posture; it gives no medical advice.\n"
         "\n"
         "docs/ is in " HOLDLINE_DOCUMENTS " where it is installed.");
}

static bool is_help(const char *word)
{
    return text_equal(word, "--help") || text_equal(word, "-h");
}

static bool is_version(const char *word)
{
    return text_equal(word, "--version") || text_equal(word, "-V");
}

/* Looks like a rig or an option of the live session, not like a mistyped command. */
static bool is_for_live(const char *word)
{
    return text_equal(word, "auto") || word[0] == '-' || strpbrk(word, "/:.?") != NULL;
}

static int unknown_command(const char *word)
{
    struct problem problem = {PROBLEM_NONE, ""};
    const struct command *nearest = command_nearest(word);
    if (nearest != NULL) {
        problem_usage(&problem, "there is no command '%s'; did you mean 'holdline %s'?", word,
                      nearest->name);
    } else {
        problem_usage(&problem,
                      "there is no command '%s'; 'holdline --help' lists them (a rig is a path, "
                      "or as virtual:winter)",
                      word);
    }
    return command_fail(&problem);
}

/* argv[0] is the command's name. */
static int run_command(const struct command *command, int argc, char **argv)
{
    for (int i = 1; i < argc && !text_equal(argv[i], "--"); i++) {
        if (is_help(argv[i])) {
            fputs(command->usage, stdout);
            return EXIT_SUCCESS;
        }
        if (is_version(argv[i])) {
            puts("holdline " HOLDLINE_VERSION);
            return EXIT_SUCCESS;
        }
    }
    return command->run(argc, argv);
}

static int dispatch(int argc, char **argv)
{
    const struct command *live = command_find("live");
    const char *first = argc > 1 ? argv[1] : "";
    const struct command *command = command_find(first);
    if (is_help(first) || text_equal(first, "help")) {
        const char *of = text_equal(first, "help") && argc > 2 ? argv[2] : NULL;
        const struct command *told = of != NULL ? command_find(of) : NULL;
        if (of != NULL && told == NULL) {
            return unknown_command(of);
        }
        if (told != NULL) {
            fputs(told->usage, stdout);
        } else {
            print_help();
        }
        return EXIT_SUCCESS;
    }
    if (is_version(first)) {
        puts("holdline " HOLDLINE_VERSION);
        return EXIT_SUCCESS;
    }
    if (command != NULL) {
        return run_command(command, argc - 1, argv + 1);
    }
    if (live != NULL && (argc < 2 || is_for_live(first))) {
        argv[0] = (char *)(uintptr_t)live->name; /* 'holdline RIG' is 'holdline live RIG' */
        return run_command(live, argc, argv);
    }
    if (argc < 2) {
        print_help();
        return 2;
    }
    return unknown_command(first);
}

/* What was printed must have arrived, and be all of it. A reader that has seen enough ('| head') is
 * no failure. */
static int finish_output(int status)
{
    errno = 0;
    bool failed = fflush(stdout) != 0 || ferror(stdout);
    int error = errno;
    struct problem problem = {PROBLEM_NONE, ""};
    if (failed && error != EPIPE && !standard_output_is_left() && !ending_asked()) {
        problem_set(&problem, "the output could not be written: %s",
                    error != 0 ? strerror(error) : "is the disk full?");
    } else if (status != EXIT_SUCCESS || memory_sufficed(0, &problem)) {
        return status;
    }
    int failure = command_fail(&problem);
    return status != EXIT_SUCCESS ? status : failure;
}

/* Where one of the three was closed ('>&-'), the next file or port that is opened would take its
 * number, and get what is printed. In its place stands what can't be written or read. */
static void keep_standard_places(void)
{
    for (int place = STDIN_FILENO; place <= STDERR_FILENO; place++) {
        if (fcntl(place, F_GETFD) < 0) { /* those before it are open: it is the next */
            (void)!open("/dev/null", place == STDIN_FILENO ? O_WRONLY : O_RDONLY);
        }
    }
}

int main(int argc, char **argv)
{
    keep_standard_places();
    memory_large_apart();
    no_network(); /* without a filter it opens no socket to one either */
    umask(077);   /* what is measured of a rider is nobody else's */
    if (setlocale(LC_ALL, "") == NULL) {
        setlocale(LC_ALL, ""); /* once more: it may have found no memory */
    }
    setlocale(LC_NUMERIC, "C"); /* numbers are written with a '.' everywhere */
    signal(SIGPIPE, SIG_IGN);   /* a reader that went away is an error of the write */
    return finish_output(dispatch(argc, argv));
}
