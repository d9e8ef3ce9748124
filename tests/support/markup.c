/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/markup.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

#define DEPTH_MAX 64
#define NAME_MAX_SIZE 32

struct checker {
    const char *start, *at;
    char *error;
    char open[DEPTH_MAX][NAME_MAX_SIZE];
    int depth;
};

static bool refuse(struct checker *checker, const char *why)
{
    snprintf(checker->error, 160, "%s at byte %td: '%.40s'", why, checker->at - checker->start,
             checker->at);
    return false;
}

static bool has_no_end(const char *name)
{
    return strcmp(name, "meta") == 0 || strcmp(name, "br") == 0;
}

/* &name; or &#39; */
static bool entity(struct checker *checker)
{
    const char *end = strchr(checker->at, ';');
    if (end == NULL || end - checker->at > 8 || end == checker->at + 1) {
        return refuse(checker, "a bare '&'");
    }
    checker->at = end + 1;
    return true;
}

static void read_name(struct checker *checker, char name[NAME_MAX_SIZE])
{
    size_t length = 0;
    while (isalnum((unsigned char)*checker->at) ||
           (*checker->at != '\0' && strchr(":-_", *checker->at) != NULL)) {
        if (length < NAME_MAX_SIZE - 1) {
            name[length++] = *checker->at;
        }
        checker->at++;
    }
    name[length] = '\0';
}

static bool attributes(struct checker *checker)
{
    char name[NAME_MAX_SIZE];
    for (;;) {
        while (isspace((unsigned char)*checker->at)) {
            checker->at++;
        }
        if (*checker->at == '/' || *checker->at == '>' || *checker->at == '?') {
            return true;
        }
        read_name(checker, name);
        if (name[0] == '\0' || checker->at[0] != '=' || checker->at[1] != '"') {
            return refuse(checker, "no attribute in quotes");
        }
        checker->at += 2;
        while (*checker->at != '"') {
            if (*checker->at == '\0' || *checker->at == '<') {
                return refuse(checker, "an attribute that does not end");
            }
            if (*checker->at == '&') {
                if (!entity(checker)) {
                    return false;
                }
            } else {
                checker->at++;
            }
        }
        checker->at++;
    }
}

static bool closing_tag(struct checker *checker)
{
    char name[NAME_MAX_SIZE];
    checker->at += 2;
    read_name(checker, name);
    if (checker->depth == 0 || strcmp(checker->open[checker->depth - 1], name) != 0) {
        return refuse(checker, "an end of something else");
    }
    checker->depth--;
    if (*checker->at != '>') {
        return refuse(checker, "no '>'");
    }
    checker->at++;
    return true;
}

static bool opening_tag(struct checker *checker)
{
    char name[NAME_MAX_SIZE];
    checker->at++;
    read_name(checker, name);
    if (name[0] == '\0') {
        return refuse(checker, "a bare '<'");
    }
    if (!attributes(checker)) {
        return false;
    }
    if (checker->at[0] == '/' && checker->at[1] == '>') {
        checker->at += 2;
        return true;
    }
    checker->at++;
    if (has_no_end(name)) {
        return true;
    }
    if (checker->depth == DEPTH_MAX) {
        return refuse(checker, "too deep");
    }
    memcpy(checker->open[checker->depth++], name, sizeof name);
    if (strcmp(name, "style") == 0) {
        const char *end = strstr(checker->at, "</style>");
        if (end == NULL) {
            return refuse(checker, "a style that does not end");
        }
        checker->at = end;
    }
    return true;
}

/* <!DOCTYPE html>, <?xml ...?> */
static bool declaration(struct checker *checker)
{
    const char *end = strchr(checker->at, '>');
    if (end == NULL) {
        return refuse(checker, "a declaration that does not end");
    }
    checker->at = end + 1;
    return true;
}

bool markup_check(const char *text, char *error)
{
    struct checker checker = {.start = text, .at = text, .error = error};
    error[0] = '\0';
    while (*checker.at != '\0') {
        bool sound = true;
        if (checker.at[0] == '<' && (checker.at[1] == '!' || checker.at[1] == '?')) {
            sound = declaration(&checker);
        } else if (checker.at[0] == '<' && checker.at[1] == '/') {
            sound = closing_tag(&checker);
        } else if (checker.at[0] == '<') {
            sound = opening_tag(&checker);
        } else if (checker.at[0] == '&') {
            sound = entity(&checker);
        } else if ((unsigned char)checker.at[0] < 0x20 && checker.at[0] != '\n') {
            sound = refuse(&checker, "a control character");
        } else {
            checker.at++;
        }
        if (!sound) {
            return false;
        }
    }
    return checker.depth == 0 || refuse(&checker, "something is left open");
}

int markup_count(const char *text, const char *start)
{
    int count = 0;
    for (const char *at = strstr(text, start); at != NULL; at = strstr(at + 1, start)) {
        count++;
    }
    return count;
}
