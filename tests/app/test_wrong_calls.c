/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Wrong calls, as people make them: each gets one sentence that begins with the program's name and
 * says what was wrong, exit status 2 for wrong use and 1 for what can't be done, and nothing is
 * written: no file comes, goes or changes, and no session is in the store that was not there. */
#include "support/program.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#define WORDS 16
#define BIKE                                                                                       \
    "stack=545", "reach=410", "head_angle=73", "spacers=20", "stem_length=100", "stem_angle=-6"
#define DRAG                                                                                       \
    "drag", "--mass", "85", "--course", "laps", "--length", "250", "--air", "20C 1007hPa 50%"

struct call {
    int status;
    const char *says; /* a part of the sentence */
    const char *words[WORDS];
};

/* ---- words that are no command, no option, no number ---- */
static const struct call wrong_words[] = {
    {2, "there is no command 'nonsense'", {"nonsense"}},
    {2, "did you mean 'holdline list'?", {"lst"}},
    {2, "did you mean 'holdline compare'?", {"help", "comapre"}},
    {2, "live: '--jsno' is no option here", {"--jsno"}},
    {2, "list: '--jsno' is no option here; did you mean '--json'?", {"list", "--jsno"}},
    {2, "did you mean '--replace'?", {"export", "1", "x.csv", "--relpace"}},
    {2, "show: '-1' is no option here", {"show", "-1"}},
    {2, "show: '--json' takes no value", {"show", "1", "--json=1"}},
    {2, "list: '--rider' wants a value", {"list", "--rider"}},
    {2, "list: 'extra' is not understood", {"list", "extra"}},
    {2, "--since wants a day such as 2026-01-10, not 'tomorrow'", {"list", "--since", "tomorrow"}},
    {2, "not '2026-13-01'", {"list", "--since", "2026-13-01"}},
    {2, "not '2026-02-30'", {"list", "--until", "2026-02-30"}},
    {2, "export: takes no --json", {"export", "1", "x.csv", "--json"}},
    {2, "store: there is no 'chekc'; did you mean 'check'?", {"store", "chekc"}},
    {2, "store: say check, backup", {"store"}},
    {2,
     "store check: takes no word, a store is named by --store FILE",
     {"store", "check", "extra"}},
    {2,
     "store compact: takes no word, a store is named by --store FILE",
     {"store", "compact", "extra"}},
    {2, "store results: it doesn't take --json", {"store", "results", "--json"}},
    {2, "store check: it doesn't take --yes", {"store", "check", "--yes"}},
    {2, "plan: takes options only, not 'extra'", {"plan", "extra"}},
    {2, "plan: --setups wants 2 to 20", {"plan", "--setups", "1"}},
    {2, "not 'many'", {"plan", "--setups", "many"}},
    {2, "plan: --minutes wants 1 to 1440", {"plan", "--minutes", "-3"}},
    {2, "plan: --difference wants 0.5 to 200", {"plan", "--difference", "0"}},
    {2, "plan: --hold wants 0.25 to 120", {"plan", "--hold", "99999"}},
    {2, "plan: --tie wants fixed, plate or tape, not 'glue'", {"plan", "--tie", "glue"}},
    {2, "demo: takes no words", {"demo", "extra"}},
    {2, "demo: '--setups' is no option here", {"demo", "--headless", "--setups", "3"}},
    {2, "watch: say nothing, or one session's", {"watch", "extra"}},
    {2, "tell: say a line", {"tell"}},
    {2, "progress: say a rider's code", {"progress"}},
    {2, "progress: say a rider's code", {"progress", "R-07", "--json", "--csv"}},
    {2, "practice: say a rider's code", {"practice"}},
    {2, "replay: say one session", {"replay"}},
    {2, "show: say one session", {"show"}},
    {2, "compare: say one session", {"compare"}},
    {2, "--against wants a setup's number, not 'two'", {"compare", "1", "--against", "two"}},
    {2,
     "limit spacer: there is no such measure; did you mean 'spacers'?",
     {"show", "1", "--limit", "spacer=20"}},
    {2, "--limit=spacers: say KEY=VALUE", {"show", "1", "--limit", "spacers"}},
    {2, "limit spacers=abc", {"show", "1", "--limit", "spacers=abc"}},
    {2, "drag: --mass, --course and --air are needed", {"drag", "--mass", "85"}},
    {2, "drag: --mass wants 30 to 250 kg, not '5'", {"drag", "--mass", "5", "1=ok.txt"}},
    {2, "drag: --rolling wants 0.001 to 0.02, not '1'", {DRAG, "--rolling", "1", "1=ok.txt"}},
    {2, "drag: name the rides", {DRAG}},
    {2, "drag: 'a.csv' is no SETUP=FILE", {DRAG, "a.csv"}},
    {0, NULL, {NULL}},
};

/* ---- sessions, riders, setups that are not there ---- */
static const struct call unknown_names[] = {
    {1, "there is no session '99'", {"show", "99"}},
    {1, "there is no session '0'", {"show", "0"}},
    {1, "there is no session 'R-08' in", {"show", "R-08"}},
    {1, "did you mean R-07?", {"show", "R-08"}},
    {1, "there is no session '2026-01-11'", {"show", "2026-01-11"}},
    {1, "there is no session '99'", {"compare", "99"}},
    {1, "there is no setup 9 in this session", {"compare", "1", "--against", "9"}},
    {1,
     "no session in the store is of rider R-08; did you mean 'R-07'?",
     {"compare", "--rider", "R-08"}},
    {1, "no session in the store is of rider r-07; did you mean 'R-07'?", {"progress", "r-07"}},
    {1, "no session in the store is as asked for", {"progress", "somebody"}},
    {1, "did you mean 'R-07'?", {"practice", "R-70"}},
    {1, "there is no session '99'", {"export", "99", "x.csv"}},
    {1, "no session in the store is as asked for", {"export", "--rider", "nobody", "x.pdf"}},
    {1, "there is no setup 9 in this session", {"export", "1", "x.csv", "--chosen", "9"}},
    {2,
     "--chosen wants a setup's number, not 'none'",
     {"export", "1", "x.csv", "--chosen", "none"}},
    {1, "there is no session '99'", {"replay", "99"}},
    {1, "there is no session '99'", {"plan", "--from", "99"}},
    {1, "there is no session '99'", {"place", "--session", "99"}},
    {1, "training bike has no setup 9", {"place", "--session", "1", "--setup", "9"}},
    {1, "training bike has no setup 9", {"place", "--session", "1", "--from", "9"}},
    {1, "there is no session '99'", {"store", "forget", "--session", "99", "--yes"}},
    {1, "R-99", {"store", "forget", "R-99", "--yes"}},
    {1, "there is no session '99'", {"import", "--carry", "99", "steady.rig"}},
    {1, "there is no live session of this user", {"watch"}},
    {1, "process 999999 is no live session", {"watch", "999999"}},
    {1, "there is no live session of this user", {"tell", "note", "hello"}},
    {0, NULL, {NULL}},
};

/* ---- files and folders that are not there, or not what is wanted ---- */
static const struct call wrong_files[] = {
    {1, "there is no store at missing.db", {"list", "--store", "missing.db"}},
    {1, "folder is a folder, not a store", {"list", "--store", "folder"}},
    {1, "notstore.db is not a Holdline store", {"list", "--store", "notstore.db"}},
    {1, "empty is empty, not a store yet", {"list", "--store", "empty"}},
    {1, "there is no store at missing.db", {"replay", "1", "--store", "missing.db"}},
    {1, "notstore.db is not a Holdline store", {"store", "check", "--store", "notstore.db"}},
    {1, "s.db is there already", {"store", "backup", "s.db"}},
    {1, "folder is there already", {"store", "backup", "folder"}},
    {1,
     "the copy missing/b.db can't be made: its folder is not there",
     {"store", "backup", "missing/b.db"}},
    {1, "there is no store at missing.db", {"store", "merge", "missing.db"}},
    {1, "notstore.db is not a Holdline store", {"store", "merge", "notstore.db"}},
    {1, "s.db is this store itself", {"store", "merge", "s.db"}},
    {1, "s.db is there already", {"store", "rescue", "s.db"}},
    {2, "store merge: say the other store's file", {"store", "merge"}},
    {2, "store forget: say --yes", {"store", "forget", "R-07"}},
    {2, "x.doc: the kind follows the file's ending", {"export", "1", "x.doc"}},
    {2, "folder: the kind follows the file's ending", {"export", "1", "folder"}},
    {2, "export: say a file", {"export", "1"}},
    {2, "export: say which kind goes to standard output", {"export", "1", "-"}},
    {2, "export: 'pfd' is no kind; did you mean 'pdf'?", {"export", "1", "--kind", "pfd"}},
    {2, "export: 'word' is no kind: say", {"export", "1", "-", "--kind", "word"}},
    {2, "--paper wants a4 or letter, not 'a5'", {"export", "1", "x.pdf", "--paper", "a5"}},
    {1, "ok.txt is there already", {"export", "1", "ok.txt"}},
    {1, "missing/x.csv can't be written", {"export", "1", "missing/x.csv"}},
    {1, "/proc/x.csv can't be written", {"export", "1", "/proc/x.csv"}},
    {1, "there is no run that could be drawn", {"export", "1", "x-drag.svg"}},
    {1, "it takes a still test", {"export", "1", "x-still.svg"}},
    {2, "a rider's record ends in", {"export", "--rider", "R-07", "x.zip"}},
    {2, "progress ends in .pdf", {"progress", "R-07", "x.doc"}},
    {1, "missing.txt: No such file", {"run", "missing.txt"}},
    {1, "folder: Is a directory", {"run", "folder"}},
    {1, "empty: an empty script", {"run", "empty"}},
    {1, "'missing.csv' cannot be opened", {"import", "missing.csv"}},
    {1, "'folder' is a folder", {"import", "folder"}},
    {1, "empty: no readings in it", {"import", "empty"}},
    {1, "prose.txt: the stream has no lines with numbers", {"import", "prose.txt"}},
    {1, "noise.bin: ", {"import", "noise.bin"}},
    {1, "bad.csv: the numbers are about 5", {"import", "bad.csv"}},
    {1, "'missing.rig' cannot be opened", {"measure", "missing.rig"}},
    {1, "'folder' is a folder", {"measure", "folder"}},
    {1, "empty: no readings in it", {"measure", "empty"}},
    {1, "noise.bin: no readings in it", {"measure", "noise.bin"}},
    {1, "there is no file or device 'missing.rig'", {"listen", "missing.rig"}},
    {1, "'/dev/ttyNONE7' is not there: plug the rig in", {"listen", "/dev/ttyNONE7"}},
    {1, "'-' is open and silent: no readings come", {"listen", "-"}},
    {1, "there is no file or device 'missing.rig'", {"check", "missing.rig", "still"}},
    {1, "there is no file or device 'missing.rig'", {"plate", "missing.rig"}},
    {1, "missing.script: No such file", {"place", "missing.script"}},
    {1, "missing: No such file", {"place", BIKE, "--at", "470,610", "--parts", "missing"}},
    {1, "folder is there already", {"place", BIKE, "--svg", "folder"}},
    {1, "'missing.csv' cannot be opened", {DRAG, "1=missing.csv"}},
    {1, "'ok.txt': line 1: no heading", {DRAG, "1=ok.txt"}},
    {0, NULL, {NULL}},
};

/* ---- lines and numbers within: file, line, word ---- */
static const struct call wrong_lines[] = {
    {1, "hodl.txt:3: there is no command 'hodl'; did you mean 'hold'?", {"run", "hodl.txt"}},
    {1, "time.txt:3: hold, which is free, guided, test, piece or ride: '20x'", {"run", "time.txt"}},
    {1, "day.txt:1: session: say its start as", {"run", "day.txt"}},
    {1,
     "part.txt:2: setup: there is no bike measure 'stem_lenght'; did you mean 'stem_length'?",
     {"run", "part.txt"}},
    {1, "quote.txt:2: the quote opened at column 6 is not closed", {"run", "quote.txt"}},
    {1, "from.txt:3: 'missing.rig' cannot be opened", {"run", "from.txt"}},
    {1, "prose.txt:1: there is no command 'hello'", {"run", "prose.txt"}},
    {1, "ok.txt:1: there is no file or device 'nosuch'", {"run", "ok.txt", "nosuch"}},
    {1, "ok.txt:1: there is no virtual rig 'nosuch'", {"run", "ok.txt", "virtual:nosuch"}},
    {1,
     "'quantm' is no setting of a virtual rig; did you mean 'quantum'?",
     {"run", "ok.txt", "virtual:steady?quantm=1"}},
    {1, "rate=abc: wanted is a number", {"run", "ok.txt", "virtual:steady?rate=abc"}},
    {2, "run: say a script", {"run"}},
    {2, "import: say the recorded streams", {"import"}},
    {2, "import: say the recorded streams", {"import", "--rider", "R-07"}},
    {1, "'x' is no number of a setup", {"import", "--setup", "x", "steady.rig"}},
    {1,
     "there is no bike measure 'stak'; did you mean 'stack'?",
     {"import", "--bike", "stak=545", "steady.rig"}},
    {2,
     "no file has that channel; there is head, chest",
     {"import", "--sensor", "hed carrier=stand", "steady.rig"}},
    {1, "there is no command 'nonsense'", {"import", "--line", "nonsense", "steady.rig"}},
    {2, "quot", {"import", "--line", "mark=\"x", "steady.rig"}},
    {2,
     "import: --seconds wants a number from 5 to 3600, not '0'",
     {"import", "--seconds", "0", "steady.rig"}},
    {2, "import: --rate wants a number from 0.001", {"import", "--rate", "0", "steady.rig"}},
    {2, "'furlong' is no unit of length here", {"import", "--unit", "furlong", "steady.rig"}},
    {2, "--started wants a time such as", {"import", "--started", "yesterday", "steady.rig"}},
    {2, "import: '--setup' wants a value", {"import", "steady.rig", "--setup"}},
    {2, "measure: say one recorded stream", {"measure"}},
    {2, "measure: say one recorded stream", {"measure", "steady.rig", "extra"}},
    {2, "rate=fast: wanted is a number", {"measure", "steady.rig", "--rate", "fast"}},
    {2, "no dialect is called 'klingon'", {"measure", "steady.rig", "--dialect", "klingon"}},
    {2, "--columns=head=: say a column for each", {"measure", "steady.rig", "--columns", "head="}},
    {2, "'eon' is no unit of time here", {"measure", "steady.rig", "--time-unit", "eon"}},
    {2, "listen: say one rig", {"listen"}},
    {2, "listen: say one rig", {"listen", "a.rig", "b.rig"}},
    {2, "there is no virtual rig 'summer'", {"listen", "virtual:summer"}},
    {2, "'sped=4' is not known behind this link's '?'", {"listen", "steady.rig?sped=4"}},
    {2, "listen: '--loud' is no option here", {"listen", "steady.rig", "--loud"}},
    {2, "no dialect is called 'latin'", {"listen", "steady.rig", "--dialect", "latin"}},
    {2,
     "listen: --seconds wants a number above 0, not '0'",
     {"listen", "steady.rig", "--seconds", "0"}},
    {2,
     "listen: --seconds wants a number above 0, not 'soon'",
     {"listen", "steady.rig", "--seconds", "soon"}},
    {2, "seed=abc: a seed is a whole number", {"listen", "virtual:steady?seed=abc"}},
    {2, "--layout begins with the framing", {"listen", "steady.rig", "--layout", "x"}},
    {2, "rigs: --seconds wants a number above 0", {"rigs", "--seconds", "0"}},
    {2, "check: say which rig", {"check"}},
    {2, "check: say which: all, rider", {"check", "steady.rig"}},
    {2,
     "'stil' is none of: all, rider, beam, step or still; did you mean 'still'?",
     {"check", "steady.rig", "stil"}},
    {2, "step: say how thick the block is", {"check", "steady.rig", "step", "head"}},
    {2, "'nose' is no time and no sensor", {"check", "steady.rig", "step", "nose", "block=25"}},
    {2, "calibrate: say two known distances", {"calibrate", "steady.rig", "head", "200"}},
    {2, "place: say a bike", {"place"}},
    {2, "stack: 'abc' is not a number in mm", {"place", "stack=abc"}},
    {2, "place: a bike has no measure 'stak'; did you mean 'stack'?", {"place", "stak=545"}},
    {1, "where the bars are needs reach, head angle", {"place", "stack=545"}},
    {2, "head_angle=730 is outside 60 to 85 deg", {"place", "head_angle=730"}},
    {2, "--at=470: say forward,up in mm", {"place", BIKE, "--at", "470"}},
    {2, "place: --best wants a whole number from 1 to 20", {"place", BIKE, "--best", "0"}},
    {1,
     "air: 'warm' is in no unit",
     {"drag", "--mass", "85", "--course", "laps", "--length", "250", "--air", "warm", "1=ok.txt"}},
    {1,
     "course: 'laps', or 'out_and_back'",
     {"drag", "--mass", "85", "--course", "circle", "--length", "250", "--air", "20C 1007hPa 50%",
      "1=ok.txt"}},
    {0, NULL, {NULL}},
};

/* ---- what they are tried on ---- */

static const char *folder;

static void write_scripts(void)
{
    static const struct {
        const char *name, *text;
    } files[] = {
        {"ok.txt",
         "session 2026-01-10T18:00:00Z seed=1\nrider R-07 \"winter group\"\n"
         "bike \"training bike\" stack=545 reach=410 head_angle=73\n"
         "sensor head carrier=base_bar x=110 y=40\nsensor chest carrier=base_bar x=-60 y=35\n"
         "setup 1 \"as it came\" stem_length=100 stem_angle=-6 spacers=20 pad_rise=60\n"
         "hold 20s free settle=1s\nhold 20s free settle=1s\nend\n"},
        {"hodl.txt", "session 2026-01-10T18:00:00Z\nrider R-07\nhodl 20s\n"},
        {"time.txt", "session 2026-01-10T18:00:00Z\nrider R-07\nhold 20x free\n"},
        {"day.txt", "session yesterday\n"},
        {"part.txt", "session 2026-01-10T18:00:00Z\nsetup 1 stem_lenght=100\n"},
        {"quote.txt", "session 2026-01-10T18:00:00Z\nnote \"open\n"},
        {"from.txt", "session 2026-01-10T18:00:00Z\nsetup 1\nhold 20s free from=missing.rig\n"},
        {"prose.txt", "hello\nworld\n"},
        {"bad.csv", "time,head\n0,abc\n1,5\n"},
        {"notstore.db", "this is a letter, not a store, and it is long enough to be looked at"},
        {"noise.bin", "\x91\xFE\x03q\x8F\x1B\xC4\x7F\xE1\x02\xAA\x55\x9C\xF0\x17\xD3"},
        {"empty", ""},
    };
    for (size_t i = 0; i < sizeof files / sizeof files[0]; i++) {
        program_write_file(folder, files[i].name, files[i].text);
    }
}

static void begin(void)
{
    static char store[512];
    char path[512];
    folder = program_folder();
    write_scripts();
    char *recording = program_read_file(SOURCE_DIR "/sessions", "steady.rig", NULL);
    program_write_file(folder, "steady.rig", recording);
    free(recording);
    snprintf(path, sizeof path, "%s/folder", folder);
    ck_assert_int_eq(mkdir(path, 0700), 0);
    snprintf(store, sizeof store, "%s/s.db", folder);
    setenv("HOLDLINE_STORE", store, 1);
    setenv("XDG_RUNTIME_DIR", path, 1);
    struct program_result result = program_run(
        folder, NULL,
        (const char *const[]){"run", "ok.txt", "virtual:steady?speed=max&rate=10", NULL});
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
}

static void end(void)
{
    unsetenv("HOLDLINE_STORE");
    program_folder_remove(folder);
}

/* Names, sizes and sums of all files there; of the store what it lists: its pages may be written
 * anew by a session that was begun and taken back. */
static char *everything(void)
{
    char command[1024];
    snprintf(
        command, sizeof command,
        "cd '%s' && { find . | LC_ALL=C sort; find . -type f ! "
        "-name 's.db*' ! -name everything -exec cksum {} + | LC_ALL=C sort; '%s' list --json; } "
        ">everything 2>&1",
        folder, program_path());
    ck_assert_int_eq(system(command), 0);
    return program_read_file(folder, "everything", NULL);
}

static void try_call(const struct call *call, const char *before)
{
    char line[512] = "";
    for (int i = 0; call->words[i] != NULL; i++) {
        snprintf(line + strlen(line), sizeof line - strlen(line), " %s", call->words[i]);
    }
    struct program_result result = program_run(folder, "", call->words);
    ck_assert_msg(result.status == call->status, "holdline%s: exit status %d: %s", line,
                  result.status, result.errors);
    ck_assert_msg(strstr(result.errors, call->says) != NULL, "holdline%s does not say '%s': %s",
                  line, call->says, result.errors);
    ck_assert_msg(strncmp(result.errors, "holdline: ", 10) == 0, "holdline%s: %s", line,
                  result.errors);
    const char *line_end = strchr(result.errors, '\n');
    ck_assert_msg(line_end != NULL && line_end[1] == '\0', "holdline%s: no one sentence: %s", line,
                  result.errors);
    ck_assert_msg(result.output[0] == '\0', "holdline%s prints %s", line, result.output);
    program_free(&result);
    char *after = everything();
    ck_assert_msg(strcmp(before, after) == 0, "holdline%s: there is now\n%s\nand was\n%s", line,
                  after, before);
    free(after);
}

static int try_all(const struct call *calls)
{
    int count = 0;
    char *before = everything();
    free(before);
    before = everything(); /* with its own file there */
    for (; calls[count].words[0] != NULL; count++) {
        try_call(&calls[count], before);
    }
    free(before);
    return count;
}

START_TEST(words_that_are_none)
{
    ck_assert_int_ge(try_all(wrong_words), 40);
}
END_TEST

START_TEST(names_that_are_not_there)
{
    ck_assert_int_ge(try_all(unknown_names), 25);
}
END_TEST

START_TEST(files_that_are_none)
{
    ck_assert_int_ge(try_all(wrong_files), 45);
}
END_TEST

START_TEST(lines_with_a_wrong_word)
{
    ck_assert_int_ge(try_all(wrong_lines), 45);
}
END_TEST

/* Closed standard output is nobody's: no file that is opened later gets what is printed. */
START_TEST(output_that_was_closed)
{
    static const char *const calls[] = {"store backup closed.db", "store check", "list",
                                        "export 1 - --kind csv"};
    char command[1024];
    for (size_t i = 0; i < sizeof calls / sizeof calls[0]; i++) {
        snprintf(command, sizeof command, "cd '%s' && '%s' %s 2>errors >&-", folder, program_path(),
                 calls[i]);
        int status = system(command);
        char *errors = program_read_file(folder, "errors", NULL);
        ck_assert_msg(status == 1 << 8, "%s: %d: %s", calls[i], status, errors);
        ck_assert_msg(strncmp(errors, "holdline: ", 10) == 0, "%s: %s", calls[i], errors);
        free(errors);
    }
    snprintf(command, sizeof command, "cd '%s' && '%s' list >out <&- 2>&-", folder, program_path());
    ck_assert_int_eq(system(command), 0);
}
END_TEST

/* Nobody reads, or there is no room: no silence, but for a reader who went away. */
START_TEST(output_that_goes_nowhere)
{
    static const char *const calls[] = {"list",      "show 1",      "show 1 --json",
                                        "compare 1", "list --json", "measure steady.rig",
                                        "plan"};
    char command[1024];
    for (size_t i = 0; i < sizeof calls / sizeof calls[0]; i++) {
        snprintf(command, sizeof command, "cd '%s' && '%s' %s >/dev/full 2>errors", folder,
                 program_path(), calls[i]);
        int status = system(command);
        char *errors = program_read_file(folder, "errors", NULL);
        ck_assert_msg(status == 1 << 8, "%s: %d: %s", calls[i], status, errors);
        ck_assert_msg(strncmp(errors, "holdline: ", 10) == 0, "%s: %s", calls[i], errors);
        free(errors);
        snprintf(command, sizeof command, "cd '%s' && '%s' %s 2>errors | true", folder,
                 program_path(), calls[i]);
        ck_assert_int_eq(system(command), 0);
        errors = program_read_file(folder, "errors", NULL);
        ck_assert_msg(errors[0] == '\0', "%s | true: %s", calls[i], errors);
        free(errors);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("wrong calls");
    TCase *tests = tcase_create("wrong calls");
    tcase_set_timeout(tests, 180);
    tcase_add_unchecked_fixture(tests, begin, end);
    tcase_add_test(tests, words_that_are_none);
    tcase_add_test(tests, names_that_are_not_there);
    tcase_add_test(tests, files_that_are_none);
    tcase_add_test(tests, lines_with_a_wrong_word);
    tcase_add_test(tests, output_that_was_closed);
    tcase_add_test(tests, output_that_goes_nowhere);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
