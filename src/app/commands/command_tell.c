/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/commands.h"
#include "app/options.h"
#include "app/tell_server.h"
#include "base/text.h"
#include "base/words.h"

#include <errno.h>
#include <getopt.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

/* holdline tell LINE: a command line to a running session, and its answer. */

#define LINE_SIZE (COMMAND_TEXT_SIZE + 1)

struct wanted {
    int64_t process;
};

static const struct option_row option_rows[] = {
    {"process", OPTION_WHOLE, OPTION_INTO(wanted, process), 1, INT_MAX, "a process number"},
};

/* One word as it was given; several are words again, those with blanks in quotes. */
static bool join(int count, char **word, char line[LINE_SIZE], struct problem *problem)
{
    size_t used = 0;
    line[0] = '\0';
    if (count == 1) {
        used = strlen(word[0]);
        text_copy(line, LINE_SIZE, word[0]);
    }
    for (int i = 0; i < count && count > 1; i++) {
        char quoted[2 * WORD_SIZE + 4] = "";
        const char *equals = strchr(word[i], '=');
        size_t key = equals != NULL ? (size_t)(equals - word[i]) + 1 : 0;
        bool is_key = key > 1 && strcspn(word[i], " \t\"") >= key;
        if (strlen(word[i]) >= WORD_SIZE) {
            return problem_usage(problem, "tell: a word of over %d bytes", WORD_SIZE - 1);
        }
        words_quote(quoted, sizeof quoted, word[i] + (is_key ? key : 0));
        text_append(line, LINE_SIZE, &used, "%s%.*s%s", i > 0 ? " " : "", is_key ? (int)key : 0,
                    word[i], quoted);
    }
    return used < COMMAND_TEXT_SIZE - 1 ||
           problem_usage(problem, "tell: a line of over %d bytes", COMMAND_TEXT_SIZE - 2);
}

/* A file's name counts from the folder that it is said in. */
static bool place_export(char line[LINE_SIZE], struct problem *problem)
{
    struct words words;
    char folder[PATH_MAX], path[PATH_MAX + WORD_SIZE], quoted[2 * sizeof path];
    if (!words_split(line, &words, NULL) || words.count != 2 || words.word[0].key != NULL ||
        !text_equal(words.word[0].value, "export") || words.word[1].key != NULL ||
        words.word[1].value[0] == '/') {
        return true;
    }
    if (getcwd(folder, sizeof folder) == NULL) {
        return problem_set(problem, "this folder has no name: %s", strerror(errno));
    }
    snprintf(path, sizeof path, "%s/%s", folder, words.word[1].value);
    words_quote(quoted, sizeof quoted, path);
    size_t used = 0;
    text_append(line, LINE_SIZE, &used, "export %s", quoted);
    return used < COMMAND_TEXT_SIZE - 1 || problem_usage(problem, "tell: the path is too long");
}

static bool send_all(int fd, const char *bytes, size_t length)
{
    while (length > 0) {
        ssize_t sent = send(fd, bytes, length, MSG_NOSIGNAL);
        if (sent < 0 && errno != EINTR) {
            return false;
        }
        bytes += sent > 0 ? sent : 0;
        length -= sent > 0 ? (size_t)sent : 0;
    }
    return true;
}

/* Prints the answer's text and what was said; false with the sentence where it was refused. */
static bool take_answer(FILE *stream, struct problem *problem)
{
    char *line = NULL;
    size_t size = 0;
    ssize_t length;
    bool over = false, done = false;
    while (!over && (length = getline(&line, &size, stream)) > 0) {
        line[length - (line[length - 1] == '\n')] = '\0';
        if (line[0] == TELL_MORE) {
            text_print(stdout, "%s\n", line + 1);
            continue;
        }
        over = true;
        done = text_starts_with(line, TELL_DONE);
        const char *said = strchr(line, ' ');
        if (done && said != NULL) {
            text_print(stdout, "%s\n", said + 1);
        } else if (!done) {
            problem_set(problem, "%s", said != NULL ? said + 1 : "refused");
        }
    }
    free(line);
    if (!over) {
        problem_set(problem, "the session gave no answer: it has ended, or others tell it more "
                             "than it takes");
    }
    return done;
}

static bool tell(const struct wanted *wanted, char line[LINE_SIZE], struct problem *problem)
{
    if (!place_export(line, problem)) {
        return false;
    }
    int fd = tell_connect((long)wanted->process, problem);
    FILE *stream = fd >= 0 ? fdopen(fd, "r") : NULL;
    if (stream == NULL) {
        return false;
    }
    size_t length = strlen(line);
    line[length] = '\n';
    bool sent = send_all(fd, line, length + 1);
    line[length] = '\0';
    (void)sent; /* where it was not, there is an answer that says why, or none */
    bool done = take_answer(stream, problem);
    fclose(stream);
    fflush(stdout);
    return done;
}

/* Each line by itself, whatever came of those before. */
static int tell_lines(const struct wanted *wanted)
{
    char *text = NULL, line[LINE_SIZE];
    size_t size = 0;
    ssize_t length;
    int status = EXIT_SUCCESS;
    while ((length = getline(&text, &size, stdin)) > 0) {
        struct problem problem = {0};
        text[length - (text[length - 1] == '\n')] = '\0';
        if (!join(1, &text, line, &problem) || !tell(wanted, line, &problem)) {
            int failed = command_fail(&problem);
            status = failed > status ? failed : status;
        }
    }
    free(text);
    return status;
}

static int run(int argc, char **argv)
{
    struct problem problem = {0};
    struct wanted wanted = {0};
    char line[LINE_SIZE];
    const struct option_set sets[] = {OPTION_SET(option_rows, &wanted), {NULL, 0, NULL}};
    if (!options_read(sets, argc, argv, &problem)) {
        return command_fail(&problem);
    }
    if (optind == argc) {
        problem_usage(&problem, "tell: say a line, such as 'holdline tell hold 60s free'");
        return command_fail(&problem);
    }
    if (argc - optind == 1 && text_equal(argv[optind], "-")) {
        return tell_lines(&wanted);
    }
    if (!join(argc - optind, argv + optind, line, &problem) || !tell(&wanted, line, &problem)) {
        return command_fail(&problem);
    }
    return EXIT_SUCCESS;
}

const struct command command_tell = {
    .name = "tell",
    .summary = "a command line to a running live session, and its answer",
    .usage =
        "holdline tell [--process N] LINE...\n"
        "Gives this user's running session a command of a script (docs/scripts.md) and prints "
        "what\n"
        "it says: 'holdline tell hold 60s free', 'holdline tell mark slid', 'holdline tell "
        "compare'.\n"
        "'next' does what Space does; 'wait 10s' waits for the session's time, 'wait' until no "
        "hold\n"
        "is running. '-' takes lines from standard input, each by itself. Exit status: 0 done,\n"
        "1 refused, 2 used wrongly (docs/watch.md). Put -- before a word that begins with a dash.\n"
        "  --process N  of several running sessions, this one\n",
    .run = run,
};
