/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The arrows between the layers, read from the #include lines of every file (DEVELOPERS.md has the
 * picture). The first arrow that points up, to a neighbour, or to an outside library from a room
 * that may not know it fails. */
#include "support/circles.h"
#include "support/test_main.h"

#include <ctype.h>
#include <dirent.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

struct layer {
    const char *name;
    int level;
};
static const struct layer layers[] = {
    {"base", 0},   {"measure", 1},  {"bike", 2}, {"drag", 3},    {"rig", 4},
    {"record", 5}, {"analysis", 6}, {"say", 7},  {"session", 8}, {"store", 9},
    {"screen", 9}, {"report", 9},   {"app", 10},
};

/* Who may know what is outside ISO C and POSIX's everyday headers: header's start, then the starts
 * of the files that may include it. */
struct room {
    const char *what;
    const char *files[6];
};
static const struct room rooms[] = {
    {"gsl/", {"src/measure/"}},
    {"sqlite3.h", {"src/store/", "include/store/"}},
    {"curses.h", {"src/screen/", "include/screen/"}},
    {"term.h", {"src/screen/"}},
    {"cairo", {"src/report/pages/pages_library.h"}},
    {"pango/", {"src/report/pages/pages_library.h"}},
    {"librsvg/", {"src/report/pages/pages_library.h"}},
    {"dlfcn.h", {"src/report/pages/pages_library.c"}},
    {"libserialport.h", {"src/rig/links/link_serial.c"}},
    {"expat.h", {"src/rig/ride/"}},
    {"minizip/", {"src/app/sessions/package.c"}},
    {"pthread.h", {"src/app/", "src/rig/links/", "src/base/", "src/store/"}},
    {"stdatomic.h", {"src/base/ring.c", "src/app/", "src/rig/"}},
    {"getopt.h", {"src/app/", "include/app/"}},
    {"locale.h", {"src/base/text", "src/app/", "src/screen/"}},
    {"langinfo.h", {"src/app/", "src/screen/"}},
    {"termios.h", {"src/rig/", "src/screen/", "src/app/"}},
    {"glob.h", {"src/app/live/tones.c"}},
    {"spawn.h", {"src/app/live/tones.c"}},
    {"linux/", {"src/app/commands/no_network.c"}},
    {"jsmn.h", {"src/base/json_read.c", "src/rig/senml_pack.c"}},
    {"malloc.h", {"src/base/memory.c"}},
};

static const char *const everywhere[] = {
    "assert.h", "ctype.h",  "dirent.h", "errno.h",  "fcntl.h",    "float.h",   "inttypes.h",
    "limits.h", "math.h",   "poll.h",   "signal.h", "stdalign.h", "stdarg.h",  "stdbool.h",
    "stddef.h", "stdint.h", "stdio.h",  "stdlib.h", "string.h",   "strings.h", "time.h",
    "unistd.h", "wchar.h",  "wctype.h", "grp.h",    "pwd.h",
};

/* Functions that only some files may call, and names that only some may use. */
static const struct room calls[] = {
    {"clock_gettime", {"src/base/clock.c"}},
    {"gettimeofday", {NULL}},
    {"time", {"src/base/clock.c"}},
    {"exit", {"src/app/"}},
    {"abort", {"src/app/"}},
    {"printf", {"src/app/"}},
    {"puts", {"src/app/"}},
    {"perror", {"src/app/"}},
    {"system", {NULL}},
};
static const struct room names[] = {
    {"stdout", {"src/app/", "src/screen/"}},
    {"stderr", {"src/app/", "src/screen/"}},
};

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static bool starts_with(const char *text, const char *start)
{
    return strncmp(text, start, strlen(start)) == 0;
}

static bool in_room(const struct room *room, const char *file)
{
    for (size_t i = 0; i < COUNT(room->files) && room->files[i] != NULL; i++) {
        if (starts_with(file, room->files[i])) {
            return true;
        }
    }
    return false;
}

/* Level of the layer that a path's first folder names; -1 when it names none. */
static int level_of(const char *path, char *name, size_t size)
{
    const char *slash = strchr(path, '/');
    size_t length = slash == NULL ? 0 : (size_t)(slash - path);
    for (size_t i = 0; i < COUNT(layers); i++) {
        if (strlen(layers[i].name) == length && strncmp(path, layers[i].name, length) == 0) {
            snprintf(name, size, "%s", layers[i].name);
            return layers[i].level;
        }
    }
    snprintf(name, size, "%.*s", (int)length, path);
    return -1;
}

/* The path behind src/, include/ or tests/. */
static const char *within(const char *file)
{
    const char *slash = strchr(file, '/');
    return slash == NULL ? file : slash + 1;
}

static bool quoted_allowed(const char *file, const char *included, char *why, size_t size)
{
    char from[64], to[64];
    int level = level_of(within(file), from, sizeof from);
    int other = level_of(included, to, sizeof to);
    bool test = starts_with(file, "tests/");
    if (strchr(included, '/') == NULL) {
        return true; /* a header of the same folder */
    }
    if (other < 0) {
        if (test) {
            return true; /* tests/support and the like */
        }
        snprintf(why, size, "%s includes \"%s\", which is in no layer", file, included);
        return false;
    }
    if (level < 0) {
        return test; /* benches and support use what they like */
    }
    if (other < level || strcmp(from, to) == 0) {
        return true;
    }
    snprintf(why, size, "%s includes \"%s\": %s may not know %s", file, included, from, to);
    return false;
}

static bool angled_allowed(const char *file, const char *included, char *why, size_t size)
{
    if (starts_with(file, "tests/")) {
        return true;
    }
    for (size_t i = 0; i < COUNT(rooms); i++) {
        if (starts_with(included, rooms[i].what)) {
            if (in_room(&rooms[i], file)) {
                return true;
            }
            snprintf(why, size, "%s includes <%s>, which belongs in %s", file, included,
                     rooms[i].files[0]);
            return false;
        }
    }
    for (size_t i = 0; i < COUNT(everywhere); i++) {
        if (strcmp(included, everywhere[i]) == 0) {
            return true;
        }
    }
    if (starts_with(included, "sys/")) {
        return true; /* the system's own */
    }
    snprintf(why, size, "%s includes <%s>, which no room is named for in test_layers.c", file,
             included);
    return false;
}

static char *file_text(const char *path)
{
    FILE *stream = fopen(path, "rb");
    ck_assert_msg(stream != NULL, "%s cannot be read", path);
    struct stat status;
    ck_assert_int_eq(fstat(fileno(stream), &status), 0);
    size_t size = (size_t)status.st_size;
    char *text = malloc(size + 1);
    ck_assert_ptr_nonnull(text);
    ck_assert_uint_eq(fread(text, 1, size, stream), size);
    text[size] = '\0';
    fclose(stream);
    return text;
}

static bool includes_allowed(const char *file, const char *text, char *why, size_t size);

/* What a header of the project brings with it. */
static bool header_allowed(const char *file, const char *included, char *why, size_t size)
{
    char path[512];
    snprintf(path, sizeof path, "include/%s", included);
    if (access(source_path(path), R_OK) != 0) {
        return true; /* beside the file: read with its own folder */
    }
    char *text = file_text(source_path(path));
    bool allowed = includes_allowed(file, text, why, size);
    free(text);
    return allowed;
}

/* Every #include line of a text, and of the headers it includes: what file gets to see. */
static bool includes_allowed(const char *file, const char *text, char *why, size_t size)
{
    for (const char *line = text; line != NULL && *line != '\0';) {
        const char *end = strchr(line, '\n');
        const char *at = line + strspn(line, " \t");
        if (*at == '#') {
            at++;
            at += strspn(at, " \t");
            if (starts_with(at, "include")) {
                at += strlen("include");
                at += strspn(at, " \t");
                char closing = *at == '<' ? '>' : '"';
                char included[256];
                size_t length = *at == '\0' ? 0 : strcspn(at + 1, ">\"\n");
                if ((*at != '<' && *at != '"') || at[1 + length] != closing ||
                    length >= sizeof included) {
                    snprintf(why, size, "%s: an #include that cannot be read", file);
                    return false;
                }
                memcpy(included, at + 1, length);
                included[length] = '\0';
                bool angled = closing == '>';
                if (!(angled ? angled_allowed : quoted_allowed)(file, included, why, size) ||
                    (!angled && !header_allowed(file, included, why, size))) {
                    return false;
                }
            }
        }
        line = end == NULL ? NULL : end + 1;
    }
    return true;
}

static bool part_of_name(char character)
{
    return isalnum((unsigned char)character) || character == '_';
}

static bool used(const char *code, const char *name, bool as_call)
{
    size_t length = strlen(name);
    for (const char *at = code; (at = strstr(at, name)) != NULL; at += length) {
        const char *behind = at + length;
        bool whole = !part_of_name(*behind) &&
                     (at == code || (!part_of_name(at[-1]) && at[-1] != '.' && at[-1] != '>'));
        if (whole && (!as_call || behind[strspn(behind, " \t\n")] == '(')) {
            return true;
        }
    }
    return false;
}

static bool uses_allowed(const char *file, const char *code, char *why, size_t size)
{
    for (size_t i = 0; i < COUNT(calls) + COUNT(names); i++) {
        bool as_call = i < COUNT(calls);
        const struct room *room = as_call ? &calls[i] : &names[i - COUNT(calls)];
        if (!in_room(room, file) && used(code, room->what, as_call)) {
            snprintf(why, size, "%s uses %s, which belongs %s%s", file, room->what,
                     room->files[0] == NULL ? "nowhere" : "in ",
                     room->files[0] == NULL ? "" : room->files[0]);
            return false;
        }
    }
    return true;
}

/* Both looks at one file's text. */
static bool file_allowed(const char *file, const char *text, char *why, size_t size)
{
    if (!includes_allowed(file, text, why, size)) {
        return false;
    }
    if (starts_with(file, "tests/")) {
        return true;
    }
    char *code = strdup(text);
    ck_assert_ptr_nonnull(code);
    code_keep(code);
    bool allowed = uses_allowed(file, code, why, size);
    free(code);
    return allowed;
}

static bool is_module(const char *name)
{
    size_t length = strlen(name);
    return length >= 3 && name[length - 2] == '.' && strchr("ch", name[length - 1]) != NULL;
}

/* Every .c and .h of a folder and of the folders in it; returns how many were read. */
static int tree_allowed(const char *top)
{
    int files = 0;
    DIR *folder = opendir(source_path(top));
    for (struct dirent *entry; folder != NULL && (entry = readdir(folder)) != NULL;) {
        char path[1024], why[1600];
        snprintf(path, sizeof path, "%s/%s", top, entry->d_name);
        if (entry->d_name[0] == '.') {
            continue;
        }
        if (is_module(entry->d_name)) {
            char *text = file_text(source_path(path));
            ck_assert_msg(file_allowed(path, text, why, sizeof why), "%s", why);
            free(text);
            files++;
        } else if (strchr(entry->d_name, '.') == NULL) {
            files += tree_allowed(path); /* a file without a dot is no folder: nothing is read */
        }
    }
    if (folder != NULL) {
        closedir(folder);
    }
    return files;
}

START_TEST(every_arrow_points_down)
{
    ck_assert_int_gt(tree_allowed("include"), 30);
    ck_assert_int_gt(tree_allowed("src"), 8);
    ck_assert_int_gt(tree_allowed("src/report/pages"), 3); /* rooms within a layer too */
    ck_assert_int_gt(tree_allowed("tests"), 1);
}
END_TEST

/* The look itself: what must be found and what must not. */
static const struct {
    const char *file, *text;
    bool allowed;
} looks[] = {
    {"src/session/live.c", "#include \"base/text.h\"\n", true},
    {"src/session/live.c", "#include \"session/view.h\"\n", true},
    {"src/session/live.c", "#include \"machine.h\"\n", true},
    {"src/app/main.c", "#include \"store/store.h\"\n#include \"screen/screen.h\"\n", true},
    {"src/session/live.c", "int a;\n  #  include \"store/store.h\"\n", false},
    {"include/base/text.h", "#include \"measure/hold.h\"", false},
    {"src/store/store.c", "#include \"report/report.h\"\n", false},
    {"src/screen/screen.c", "#include \"store/store.h\"\n", false},
    {"src/report/report.c", "#include \"nowhere/thing.h\"\n", false},
    {"tests/rig/test_decoder.c", "#include \"session/session.h\"\n", false},
    {"tests/rig/test_decoder.c", "#include \"support/test_main.h\"\n#include <check.h>\n", true},
    {"tests/bench/ring.c", "#include \"app/commands.h\"\n", true},
    {"src/measure/hold.c", "#include <gsl/gsl_cdf.h>\n", true},
    {"src/session/live.c", "#include <gsl/gsl_cdf.h>\n", false},
    {"src/store/store.c", "#include <sqlite3.h>\n", true},
    {"src/app/main.c", "#include <sqlite3.h>\n", false},
    {"src/report/pages/pages_library.h", "#include <pango/pangocairo.h>\n", true},
    {"src/report/writers/html.c", "#include <pango/pangocairo.h>\n", false},
    {"src/report/plots/svg.c", "#include \"store/store.h\"\n", false},
    {"src/rig/links/link_serial.c", "#include <libserialport.h>\n", true},
    {"src/rig/link_tty.c", "#include <libserialport.h>\n", false},
    {"src/screen/draw.c", "#include <curses.h>\n", true},
    {"src/app/live/live.c", "#include <curses.h>\n", false},
    {"src/session/live.c", "#include <pthread.h>\n", false},
    {"src/base/text.c", "#include <libunheard.h>\n", false},
    {"src/base/clock.c", "void f(void) { clock_gettime(0, 0); }\n", true},
    {"src/rig/reader.c", "void f(void) { clock_gettime (0, 0); }\n", false},
    {"src/rig/reader.c", "/* clock_gettime(0, 0) */ // exit(1)\nchar *s = \"exit(1)\";\n", true},
    {"src/rig/reader.c", "int64_t rig_time(int a); int f(void) { return sample->time(1); }\n",
     true},
    {"src/rig/reader.c", "long f(void) { return time(NULL); }\n", false},
    {"src/store/store.c", "void f(void) { exit(1); }\n", false},
    {"src/store/store.c", "void f(void) { fprintf(stderr, \"x\"); }\n", false},
    {"src/report/report.c", "void f(FILE *stream) { fprintf(stream, \"x\"); }\n", true},
    {"src/app/main.c", "int main(void) { printf(\"x\"); exit(1); }\n", true},
};

START_TEST(a_wrong_arrow_is_found)
{
    char why[1600];
    ck_assert_msg(file_allowed(looks[_i].file, looks[_i].text, why, sizeof why) ==
                      looks[_i].allowed,
                  "%s: %s", looks[_i].file, looks[_i].text);
}
END_TEST

/* Layers in which modules still use each other. */
static const char *const circles_known[] = {"store"};

enum { MODULES_MAX = 200 };
static size_t add_modules(const char *top, struct module *modules, size_t count)
{
    DIR *folder = opendir(source_path(top));
    for (struct dirent *entry; folder != NULL && (entry = readdir(folder)) != NULL;) {
        char path[sizeof modules->path];
        int length = snprintf(path, sizeof path, "%s/%s", top, entry->d_name);
        ck_assert_int_lt(length, (int)sizeof path);
        if (is_module(entry->d_name) && path[length - 1] == 'c') {
            ck_assert_uint_lt(count, MODULES_MAX);
            struct module *module = &modules[count++];
            snprintf(module->path, sizeof module->path, "%s", path);
            module->code = file_text(source_path(path));
            code_keep(module->code);
        } else if (strchr(entry->d_name, '.') == NULL) {
            count = add_modules(path, modules, count);
        }
    }
    if (folder != NULL) {
        closedir(folder);
    }
    return count;
}

START_TEST(no_two_modules_of_a_layer_use_each_other)
{
    static struct module modules[MODULES_MAX];
    char top[64], why[512] = "";
    bool known = false;
    snprintf(top, sizeof top, "src/%s", layers[_i].name);
    size_t count = add_modules(top, modules, 0);
    for (size_t i = 0; i < COUNT(circles_known); i++) {
        known = known || strcmp(circles_known[i], layers[_i].name) == 0;
    }
    bool found = circle_find(modules, count, why, sizeof why);
    for (size_t i = 0; i < count; i++) {
        free(modules[i].code);
    }
    ck_assert_msg(found == known, "%s: %s", layers[_i].name,
                  found ? why : "no circle any more: take it from the list");
}
END_TEST

START_TEST(a_circle_is_found)
{
    static const struct {
        const char *code[3];
        bool circle;
    } trials[] = {
        {{"int a(void)\n{\n    return b();\n}\n", "int b(void)\n{\n    return 1;\n}\n", ""}, false},
        {{"int a(void)\n{\n    return b();\n}\n", "int b(void)\n{\n    return a();\n}\n", ""},
         true},
        {{"int a(void)\n{\n    return b();\n}\n", "int b(void)\n{\n    return c();\n}\n",
          "int c(void)\n{\n    return a();\n}\n"},
         true},
        {{"int a(void)\n{\n    return b();\n}\n",
          "static int a(void)\n{\n    return 2;\n}\nint b(void)\n{\n    return a();\n}\n", ""},
         false},
        {{"const int a[] = {1};\nint f(void)\n{\n    return b();\n}\n",
          "int b(void)\n{\n    return a[0];\n}\n", ""},
         true},
        {{"int a(void)\n{\n    return b();\n}\n",
          "int b(struct s *s)\n{\n    return s->a + s->c.a; /* a() */\n}\n", ""},
         false},
    };
    for (size_t i = 0; i < COUNT(trials); i++) {
        struct module modules[3] = {{.code = NULL}};
        char why[512] = "";
        for (int m = 0; m < 3; m++) {
            snprintf(modules[m].path, sizeof modules[m].path, "%c.c", 'a' + m);
            modules[m].code = strdup(trials[i].code[m]);
            code_keep(modules[m].code);
        }
        bool found = circle_find(modules, 3, why, sizeof why);
        ck_assert_msg(found == trials[i].circle, "trial %zu: %s", i, why);
        for (int m = 0; m < 3; m++) {
            free(modules[m].code);
        }
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("layers");
    TCase *arrows = tcase_create("arrows");
    tcase_set_timeout(arrows, 120); /* it reads every file */
    tcase_add_test(arrows, every_arrow_points_down);
    tcase_add_loop_test(arrows, a_wrong_arrow_is_found, 0, (int)COUNT(looks));
    tcase_add_loop_test(arrows, no_two_modules_of_a_layer_use_each_other, 0, (int)COUNT(layers));
    tcase_add_test(arrows, a_circle_is_found);
    suite_add_tcase(suite, arrows);
    return test_main(suite);
}
