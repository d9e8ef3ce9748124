/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Whatever stands in a store, a script, a stream, a file's name or an option: what the whole
 * program writes to terminals and files is plain text. HOLDLINE_HOSTILE=50 for so many rounds of
 * each. */
#include "support/hostile_store.h"
#include "support/hostile_text.h"
#include "support/program.h"
#include "support/test_main.h"
#include "support/test_seed.h"

#include "record/stored.h"

#include <dirent.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define WORDS 12
#define HOSTILE_SIZE 60

static const char *folder;
static struct random_source randomness;
static int seen; /* outputs in which a hostile text was found, made plain */

static void shell(const char *line)
{
    char command[900];
    snprintf(command, sizeof command, "cd '%s' && %s", folder, line);
    ck_assert_msg(system(command) == 0, "%s", line);
}

static int rounds(int usual)
{
    const char *number = getenv("HOLDLINE_HOSTILE");
    return number != NULL ? atoi(number) : usual;
}

/* ---- what was written --------------------------------------------------------------------------
 */

static void show_bytes(char *shown, size_t size, const char *bytes, const char *at,
                       const char *behind)
{
    size_t used = 0;
    shown[0] = '\0';
    for (const char *c = at - bytes > 60 ? at - 60 : bytes; c < behind && c < at + 40; c++) {
        bool plain = *c >= ' ' && *c < 127;
        used += (size_t)snprintf(shown + used, size - used, plain ? "%c" : "\\x%02X",
                                 (unsigned)(unsigned char)*c);
    }
}

static void must_be_plain(const char *what, const char *where, const char *bytes, size_t length,
                          const char *also)
{
    const char *at = hostile_byte(bytes, length, also);
    if (at != NULL) {
        char shown[600];
        show_bytes(shown, sizeof shown, bytes, at, bytes + length);
        ck_abort_msg("%s, %s: byte %td: %s", what, where, at - bytes, shown);
    }
    seen += strstr(bytes, HOSTILE_WORD) != NULL ? 1 : 0;
}

/* A file that was written: a PDF as the text that a reader takes from it. */
static void file_must_be_plain(const char *what, const char *name)
{
    size_t length = 0, name_length = strlen(name);
    bool is_pdf = name_length > 4 && strcmp(name + name_length - 4, ".pdf") == 0;
    if (is_pdf) {
        char line[400];
        snprintf(
            line, sizeof line,
            "{ pdftotext -enc UTF-8 '%s' - && pdfinfo -enc UTF-8 '%s'; } >pdf-text 2>/dev/null",
            name, name);
        shell(line);
    }
    char *text = program_read_file(folder, is_pdf ? "pdf-text" : name, &length);
    must_be_plain(what, name, text, length, is_pdf ? "\f" : "");
    free(text);
}

static void exports_must_be_plain(const char *what)
{
    DIR *directory = opendir(folder);
    ck_assert_ptr_nonnull(directory);
    for (struct dirent *entry = readdir(directory); entry != NULL; entry = readdir(directory)) {
        if (strncmp(entry->d_name, "out", 3) == 0) {
            file_must_be_plain(what, entry->d_name);
        }
    }
    closedir(directory);
}

/* Runs the program; what it says is plain, and so are the files out*. Gives its exit status. */
static int try(const char *what, const char *input, const char *const *arguments)
{
    char named[300] = "";
    size_t used = 0;
    for (int i = 0; i < 3 && arguments[i] != NULL; i++) {
        used += (size_t)snprintf(named + used, sizeof named - used, "%.60s ", arguments[i]);
    }
    snprintf(named + used, sizeof named - used, "(%s)", what);
    shell("rm -f out*");
    struct program_result result = program_run(folder, input, arguments);
    ck_assert_msg(result.status >= 0 && result.status <= 2, "%s: ended with %d: %s", named,
                  result.status, result.errors);
    must_be_plain(named, "standard output", result.output, strlen(result.output), "");
    must_be_plain(named, "standard error", result.errors, strlen(result.errors), "");
    exports_must_be_plain(named);
    int status = result.status;
    program_free(&result);
    return status;
}

/* ---- stores ------------------------------------------------------------------------------------
 */

static const char *const lines[][WORDS] = {
    {"list"},
    {"list", "--json"},
    {"show", "1"},
    {"show", "1", "--json"},
    {"compare", "1"},
    {"compare", "1", "--json"},
    {"export", "1", "out.json"},
    {"export", "1", "out.html"},
    {"export", "1", "out.csv"},
    {"export", "1", "out-setups.csv"},
    {"export", "1", "out-readings.csv"},
    {"export", "1", "out-steps.csv"},
    {"export", "1", "out.txt"},
    {"export", "1", "out.svg"},
    {"export", "1", "out-holds.svg"},
    {"export", "1", "out-bike.svg"},
    {"export", "1", "out.pdf"},
    {"export", "1", "out-rider-sheet.pdf"},
    {"replay", "1"},
    {"plan", "--from", "1"},
    {"place", "--session", "1"},
    {"store", "check"},
    {"store", "check", "--json"},
};
#define LINES (sizeof lines / sizeof lines[0])

/* No text in any table of the store is anything but plain. */
static void store_must_be_plain(const char *what, const char *name)
{
    char path[400], sql[300];
    sqlite3 *db = NULL;
    snprintf(path, sizeof path, "%s/%s", folder, name);
    ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
    for (int id = 0; id < STORED_TABLES; id++) {
        sqlite3_stmt *rows = NULL;
        snprintf(sql, sizeof sql, "SELECT * FROM %s", stored_tables[id]->name);
        ck_assert_int_eq(sqlite3_prepare_v2(db, sql, -1, &rows, NULL), SQLITE_OK);
        while (sqlite3_step(rows) == SQLITE_ROW) {
            for (int c = 0; c < sqlite3_column_count(rows); c++) {
                const char *text = (const char *)sqlite3_column_text(rows, c);
                if (text != NULL && sqlite3_column_type(rows, c) == SQLITE_TEXT) {
                    must_be_plain(what, sqlite3_column_name(rows, c), text,
                                  (size_t)sqlite3_column_bytes(rows, c), "");
                }
            }
        }
        sqlite3_finalize(rows);
    }
    sqlite3_close(db);
}

static void begin(void)
{
    char path[400];
    folder = program_folder();
    snprintf(path, sizeof path, "cp -r '%s'/* .", source_path("sessions"));
    shell(path);
    snprintf(path, sizeof path, "cp '%s' full.db", source_path("tests/store/data/version-10.db"));
    shell(path);
    const char *const run[] = {"run", "spacers-out.session", "--store", "sound.db", NULL};
    struct program_result result = program_run(folder, "", run);
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
    /* the invented session has fewer samples than its captures would need */
    snprintf(path, sizeof path, "%s/full.db", folder);
    hostile_sql(path, "UPDATE hold SET status = 'cut short' WHERE status = 'running';"
                      "UPDATE capture SET first_sample = 4 * place, last_sample = 4 * place + 40");
    random_seed(&randomness, test_seed(20261129));
    seen = 0;
}

static void end(void)
{
    program_folder_remove(folder);
}

START_TEST(texts_of_a_store)
{
    char path[400], what[80];
    snprintf(path, sizeof path, "%s/hostile.db", folder);
    for (int i = 0; i < rounds(2); i++) {
        shell(i % 2 == 0 ? "rm -f hostile.db* && cp full.db hostile.db"
                         : "rm -f hostile.db* && cp sound.db hostile.db");
        hostile_texts_of_store(path, &randomness);
        snprintf(what, sizeof what, "store of round %d", i);
        for (size_t l = 0; l < LINES; l++) {
            const char *arguments[WORDS + 3] = {NULL};
            int count = 0;
            for (; lines[l][count] != NULL; count++) {
                arguments[count] = lines[l][count];
            }
            arguments[count++] = "--store";
            arguments[count] = "hostile.db";
            try(what, "", arguments);
        }
        shell("rm -f into.db* saved.db* && cp sound.db into.db");
        try(what, "",
            (const char *const[]){"store", "merge", "hostile.db", "--store", "into.db", NULL});
        store_must_be_plain(what, "into.db");
        try(what, "",
            (const char *const[]){"store", "rescue", "saved.db", "--store", "hostile.db", NULL});
        snprintf(what, sizeof what, "%s/saved.db", folder);
        if (access(what, F_OK) == 0) {
            store_must_be_plain("rescue", "saved.db");
        }
    }
    printf("texts of stores: seen made plain in %d outputs\n", seen);
    ck_assert_int_gt(seen, 10 * rounds(2));
}
END_TEST

/* ---- scripts -----------------------------------------------------------------------------------
 */

/* %s: a hostile text. */
static const char *const script_lines[] = {
    "rider R-%s \"winter %s\" watch_for=\"%s\"",
    "bike \"%s\" stack=545 reach=410 head_angle=73",
    "rig %s rate=25 channels=head,chest",
    "rig virtual rate=25 channels=%s,chest",
    "sensor head carrier=base_bar x=120 y=40 tilt=0 look=up mark=\"%s\"",
    "sensor %s carrier=stand x=0 y=0",
    "setup 1 \"%s\" stem_length=100 stem_angle=-6 spacers=20 pad_rise=60",
    "note \"%s\"",
    "mark %s",
    "rating %s=4",
    "reject 1 \"%s\"",
    "matters %s=10",
    "limits %s=30",
    "hold 30s free settle=10s from=%s",
    "hold %s free",
    "export %s",
    "export out%s.txt",
    "carry %s",
    "%s",
    "choose %s",
    "target %s keep",
    "band head=%s",
};
#define SCRIPT_LINES (sizeof script_lines / sizeof script_lines[0])

static void add(char *script, size_t size, const char *line)
{
    size_t used = strlen(script);
    char text[HOSTILE_SIZE];
    for (; *line != '\0' && used + HOSTILE_SIZE < size; line++) {
        if (line[0] == '%' && line[1] == 's') {
            hostile_text(&randomness, text, sizeof text);
            /* a script's lines are lines: this is about what stands in them */
            for (char *c = text; *c != '\0'; c++) {
                *c = *c == '\n' || *c == '"' ? ' ' : *c;
            }
            used += (size_t)snprintf(script + used, size - used, "%s", text);
            line++;
        } else {
            script[used++] = *line;
            script[used] = '\0';
        }
    }
    snprintf(script + used, size - used, "\n");
}

/* One line after the other is hostile; what is taken is shown and exported, too. */
START_TEST(texts_of_a_script)
{
    static const char *const usual[] = {
        "session 2026-01-10T18:00:00Z seed=9",
        "rider R-09 \"winter group\"",
        "bike \"training bike\" stack=545 reach=410 head_angle=73",
        "sensor head carrier=base_bar x=120 y=40 tilt=0 look=up",
        "setup 1 \"as it came\" stem_length=100 stem_angle=-6 spacers=20 pad_rise=60",
        "hold 30s free settle=10s from=setup-1-a.rig",
    };
    int taken = 0;
    for (int i = 0; i < rounds(2) * (int)SCRIPT_LINES; i++) {
        char script[4096] = "", what[80];
        const char *line = script_lines[(size_t)i % SCRIPT_LINES];
        size_t word = strcspn(line, " ");
        bool put = false;
        for (size_t u = 0; u < sizeof usual / sizeof usual[0]; u++) {
            bool its_place = u > 0 && strncmp(usual[u], line, word + 1) == 0;
            add(script, sizeof script, its_place ? line : usual[u]);
            put = put || its_place;
        }
        if (!put) {
            add(script, sizeof script, line);
        }
        add(script, sizeof script, "compare");
        add(script, sizeof script, "end");
        shell("rm -f script.db* $(printf 'script-*')");
        program_write_file(folder, "script", script);
        snprintf(what, sizeof what, "script with '%s'", line);
        int status =
            try(what, "", (const char *const[]){"run", "script", "--store", "script.db", NULL});
        if (status == 0) {
            taken++;
            store_must_be_plain(what, "script.db");
            try(what, "", (const char *const[]){"show", "1", "--store", "script.db", NULL});
            try(what, "", (const char *const[]){"list", "--store", "script.db", NULL});
            try(what, "",
                (const char *const[]){"export", "1", "out.html", "--store", "script.db", NULL});
        }
        /* what the script's own exports made */
        shell("rm -f *" HOSTILE_WORD "*");
    }
    printf("texts of scripts: %d taken, seen made plain in %d outputs\n", taken, seen);
    ck_assert_int_ge(taken, 3 * rounds(2));
    ck_assert_int_gt(seen, 10 * rounds(2));
}
END_TEST

/* ---- names of files, options, words -------------------------------------------------------------
 */

static const char *const word_lines[][WORDS] = {
    {"%s"},
    {"--%s"},
    {"list", "--%s"},
    {"list", "--store", "%s"},
    {"list", "--rider", "%s", "--store", "sound.db"},
    {"list", "--since", "%s", "--store", "sound.db"},
    {"list", "%s", "--store", "sound.db"},
    {"show", "%s", "--store", "sound.db"},
    {"show", "1", "--store", "%s"},
    {"show", "1", "--limit", "%s", "--store", "sound.db"},
    {"compare", "1", "--against", "%s", "--store", "sound.db"},
    {"export", "1", "%s", "--store", "sound.db"},
    {"export", "1", "%s.txt", "--store", "sound.db"},
    {"export", "1", "%s/a.txt", "--store", "sound.db"},
    {"export", "%s", "out.txt", "--store", "sound.db"},
    {"replay", "%s", "--store", "sound.db"},
    {"run", "%s", "--no-store"},
    {"run", "spacers-out.session", "%s", "--no-store"},
    {"run", "spacers-out.session", "--store", "%s"},
    {"run", "spacers-out.session", "--store", "sound.db/%s"},
    {"import", "%s", "--store", "new.db"},
    {"import", "--rider", "%s", "setup-1-a.rig", "--store", "new.db"},
    {"import", "--rider", "R-%s", "--script", "setup-1-a.rig"},
    {"import", "--setup", "1 \"%s\"", "setup-1-a.rig", "--store", "new.db"},
    {"import", "--line", "%s", "setup-1-a.rig", "--store", "new.db"},
    {"measure", "%s"},
    {"measure", "setup-1-a.rig", "--columns", "%s"},
    {"listen", "%s"},
    {"listen", "setup-1-a.rig", "--dialect", "%s"},
    {"listen", "virtual:%s"},
    {"listen", "serial:/dev/%s"},
    {"live", "%s", "--store", "new.db"},
    {"watch", "%s"},
    {"plan", "--setups", "%s"},
    {"plan", "--tie", "%s"},
    {"place", "%s"},
    {"place", "%s=4"},
    {"place", "stack=%s"},
    {"place", "stack=545", "reach=410", "head_angle=73", "--parts", "%s"},
    {"place", "stack=545", "reach=410", "head_angle=73", "--limit", "%s=3"},
    {"store", "%s", "--store", "sound.db"},
    {"store", "backup", "%s", "--store", "sound.db"},
    {"store", "merge", "%s", "--store", "sound.db"},
    {"store", "rescue", "%s", "--store", "sound.db"},
    {"store", "forget", "%s", "--yes", "--store", "sound.db"},
    {"check", "%s", "still"},
    {"check", "setup-1-a.rig?speed=max", "%s"},
    {"check", "setup-1-a.rig?speed=max", "still", "%s"},
    {"calibrate", "setup-1-a.rig?speed=max", "%s"},
    {"plate", "setup-1-a.rig?speed=max", "%s"},
    {"demo", "--%s"},
};
#define WORD_LINES (sizeof word_lines / sizeof word_lines[0])

START_TEST(words_of_the_command_line)
{
    for (int i = 0; i < rounds(2); i++) {
        for (size_t l = 0; l < WORD_LINES; l++) {
            char text[HOSTILE_SIZE], filled[WORDS][2 * HOSTILE_SIZE];
            const char *arguments[WORDS + 1] = {NULL};
            hostile_text(&randomness, text, sizeof text);
            for (int w = 0; w < WORDS && word_lines[l][w] != NULL; w++) {
                const char *place = strstr(word_lines[l][w], "%s");
                arguments[w] = word_lines[l][w];
                if (place != NULL) {
                    snprintf(filled[w], sizeof filled[w], "%.*s%s%s",
                             (int)(place - word_lines[l][w]), word_lines[l][w], text, place + 2);
                    arguments[w] = filled[w];
                }
            }
            try("words", "", arguments);
        }
        shell("rm -rf new.db* ./*" HOSTILE_WORD "*");
    }
    printf("words: seen made plain in %d outputs\n", seen);
    ck_assert_int_gt(seen, 15 * rounds(2));
}
END_TEST

/* ---- streams -----------------------------------------------------------------------------------
 */

static const char *const stream_heads[] = {
    "# holdline-rig 1 id=%s rate=25 unit=mm channels=head,chest\n",
    "# holdline-rig 1 id=a rate=25 unit=mm channels=%s,chest\n",
    "# holdline-rig 1 id=a rate=%s unit=mm channels=head,chest\n",
    "# %s\n",
    "%s,distance [cm],%s\n",
    "time,%s\n",
    "Rate,50\n%s\n",
    "[{\"bn\":\"%s\",\"n\":\"%s\",\"u\":\"m\",\"v\":0.412,\"t\":0}]\n",
    "$WIXDR,G,412.5,M,%s*00\n",
};
#define STREAM_HEADS (sizeof stream_heads / sizeof stream_heads[0])

START_TEST(texts_of_a_stream)
{
    for (int i = 0; i < rounds(2) * (int)STREAM_HEADS; i++) {
        static char stream[60000];
        size_t used = 0;
        const char *head = stream_heads[(size_t)i % STREAM_HEADS];
        for (const char *c = head; *c != '\0'; c++) {
            if (c[0] == '%' && c[1] == 's') {
                hostile_text(&randomness, stream + used, HOSTILE_SIZE);
                used += strlen(stream + used);
                c++;
            } else {
                stream[used++] = *c;
            }
        }
        for (int n = 0; n < 300; n++) {
            used += (size_t)snprintf(stream + used, sizeof stream - used, "%d,%d,%d.5\n", n * 40000,
                                     410 + n % 7, 500 + n % 5);
        }
        program_write_file(folder, "stream.rig", stream);
        shell("rm -f new.db*");
        try(head, "", (const char *const[]){"listen", "stream.rig?speed=max&rate=25", NULL});
        try(head, "",
            (const char *const[]){"listen", "stream.rig?speed=max&rate=25", "--json", NULL});
        try(head, "", (const char *const[]){"measure", "stream.rig?rate=25", NULL});
        try(head, "", (const char *const[]){"measure", "stream.rig?rate=25", "--json", NULL});
        try(head, stream, (const char *const[]){"listen", "-", NULL});
        try(head, "",
            (const char *const[]){"check", "stream.rig?speed=max&rate=25", "still", "5s", NULL});
        int status = try(head, "",
                         (const char *const[]){"import", "--rate", "25", "stream.rig", "--store",
                                               "new.db", NULL});
        if (status == 0) {
            store_must_be_plain(head, "new.db");
            try(head, "", (const char *const[]){"show", "1", "--store", "new.db", NULL});
        }
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("way out");
    TCase *tests = tcase_create("way out");
    tcase_set_timeout(tests, 300);
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, texts_of_a_store);
    tcase_add_test(tests, texts_of_a_script);
    tcase_add_test(tests, words_of_the_command_line);
    tcase_add_test(tests, texts_of_a_stream);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
