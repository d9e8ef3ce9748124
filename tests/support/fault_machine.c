/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/fault_machine.h"

#include "support/fault_folder.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

const char *const fault_verdict_words[FAULT_VERDICTS] = {
    [FAULT_NOT_REACHED] = "not reached",
    [FAULT_NO_MATTER] = "no matter",
    [FAULT_TOLD] = "told",
    [FAULT_CRASH] = "CRASH",
    [FAULT_HANG] = "HANG",
    [FAULT_SILENT] = "SILENT DIFFERENCE",
    [FAULT_MUTE] = "NO SENTENCE",
    [FAULT_HALF_FILE] = "HALF FILE",
    [FAULT_UNSOUND] = "UNSOUND STORE",
    [FAULT_LOCKED_OUT] = "LOCKED OUT",
};

bool fault_is_bad(enum fault_verdict verdict)
{
    return verdict > FAULT_TOLD;
}

/* What a case gives without a fault. */
struct reference {
    char *output;
    char *store; /* what the stores say (fault_folder_store) */
};

struct fault_machine {
    struct fault_folder folder;
    struct reference reference[64];
    char *earlier; /* what is said of session 1 */
};

/* Recorded streams with few seconds of each activity: every kind of record, few samples. */
static const char head[] =
    "rider  %s \"winter group\"\n"
    "bike   \"training bike\" stack=545 reach=410 head_angle=73\n"
    "rig    virtual rate=25 channels=head,chest\n"
    "sensor head  carrier=base_bar x=120 y=40 look=up mark=\"chin strap\"\n"
    "sensor chest carrier=base_bar x=60 y=38 tilt=8 look=up\n"
    "limits spacers=30\n"
    "setup 1 \"as it came\" stem_length=100 stem_angle=-6 spacers=20\n"
    "plate 5s height=930 from=setup-1-plate.rig\n"
    "target until=8mm at_least=8s at_most=10s settle=2s from=setup-1-a.rig\n";
static const char rest[] = "hold 20s free settle=2s from=setup-1-a.rig\n"
                           "hold 20s free settle=2s from=setup-1-b.rig\n"
                           "mark looked\n"
                           "rating effort=4 neck=2 sees_ahead=yes\n"
                           "note \"no draught\"\n"
                           "setup 2 \"spacers out\" spacers=0\n"
                           "plate 5s height=930 from=setup-2-plate.rig\n"
                           "hold 20s free settle=2s from=setup-2-a.rig\n"
                           "reject 2 \"coughed\"\n"
                           "restore 2\n"
                           "choose 2\n";

static void write_script(const struct fault_folder *folder, const char *name, const char *first,
                         const char *rider, const char *last)
{
    char text[4096], start[2048];
    snprintf(start, sizeof start, head, rider);
    snprintf(text, sizeof text, "%s%s%s%s", first, start, rest, last);
    fault_folder_write(folder, "base", name, text);
}

static void run_or_end(struct fault_machine *machine, const char *const *arguments)
{
    struct fault_run run = fault_folder_run(&machine->folder, arguments, NULL);
    if (run.status != 0) {
        fprintf(stderr, "faults: '%s %s' fails without a fault: %s\n", arguments[0], arguments[1],
                run.errors);
        exit(EXIT_FAILURE);
    }
    fault_run_free(&run);
}

static void make_befores(struct fault_machine *machine)
{
    static const char *const first[] = {"run", "first.session", "--store", "s.db", NULL};
    static const char *const second[] = {"run", "second.session", "--store", "s.db", NULL};
    static const char *const other[] = {"run", "second.session", "--store", "other.db", NULL};
    struct fault_folder *folder = &machine->folder;
    fault_folder_lay(folder, "base");
    run_or_end(machine, other);
    fault_folder_keep(folder, "nothing");
    run_or_end(machine, first);
    unlink(fault_folder_path(folder, "work", "run.json"));
    unlink(fault_folder_path(folder, "work", "run.html"));
    fault_folder_keep(folder, "a session");
    run_or_end(machine, second);
    fault_folder_keep(folder, "two sessions");
    machine->earlier = fault_folder_session(folder, "s.db", "1");
}

/* Once, when the case is first asked for. */
static void make_reference(struct fault_machine *machine, const struct fault_case *one)
{
    struct reference *reference = &machine->reference[one - fault_cases];
    if (reference->output != NULL) {
        return;
    }
    fault_folder_lay(&machine->folder, one->before);
    struct fault_run run = fault_folder_run(&machine->folder, one->arguments, NULL);
    if (run.status != 0) {
        fprintf(stderr, "faults: '%s' fails without a fault: %s\n", one->name, run.errors);
        exit(EXIT_FAILURE);
    }
    reference->output = run.output;
    free(run.errors);
    reference->store = fault_folder_stores(&machine->folder);
    fault_folder_keep(&machine->folder, one->name);
}

struct fault_machine *fault_machine_create(const char *program, const char *shim,
                                           const char *sessions)
{
    static const char *const streams[] = {"setup-1-a.rig", "setup-1-b.rig", "setup-1-plate.rig",
                                          "setup-2-a.rig", "setup-2-plate.rig"};
    struct fault_machine *machine = calloc(1, sizeof *machine);
    if (machine == NULL || !fault_folder_create(&machine->folder, program, shim)) {
        fprintf(stderr, "faults: no folder, or no memory\n");
        exit(EXIT_FAILURE);
    }
    for (size_t i = 0; i < sizeof streams / sizeof streams[0]; i++) {
        fault_folder_take(&machine->folder, sessions, streams[i]);
    }
    write_script(&machine->folder, "first.session", "session 2026-01-10T18:00:00Z seed=9\n", "R-09",
                 "compare\nexport run.json\nexport run.html\nend\n");
    write_script(&machine->folder, "second.session", "session 2026-01-11T18:00:00Z seed=10\n",
                 "R-10", "end\n");
    fault_folder_write(
        &machine->folder, "base", "third.session",
        "session 2026-01-12T18:00:00Z seed=11\nrider R-11\nnote \"after it\"\nend\n");
    make_befores(machine);
    return machine;
}

void fault_machine_destroy(struct fault_machine *machine)
{
    for (int i = 0; i < fault_case_count; i++) {
        free(machine->reference[i].output);
        free(machine->reference[i].store);
    }
    free(machine->earlier);
    fault_folder_remove(&machine->folder);
    free(machine);
}

long fault_machine_calls(struct fault_machine *machine, const struct fault_case *one,
                         const char *kind)
{
    const struct fault none = {.kind = kind, .as = "once", .at = 0};
    make_reference(machine, one);
    fault_folder_lay(&machine->folder, one->before);
    struct fault_run run = fault_folder_run(&machine->folder, one->arguments, &none);
    long calls = run.calls;
    fault_run_free(&run);
    return calls;
}

/* ---- the verdict -------------------------------------------------------------------------------
 */

struct judged {
    struct fault_machine *machine;
    const struct fault_case *one;
    const struct fault_run *run;
    char *why;
    size_t size;
};

static enum fault_verdict because(const struct judged *judged, enum fault_verdict verdict,
                                  const char *format, ...) __attribute__((format(printf, 3, 4)));

static enum fault_verdict because(const struct judged *judged, enum fault_verdict verdict,
                                  const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(judged->why, judged->size, format, arguments);
    va_end(arguments);
    return verdict;
}

/* What was printed and written, where the program says that all went well. */
static enum fault_verdict judge_success(const struct judged *judged)
{
    const struct reference *reference = &judged->machine->reference[judged->one - fault_cases];
    const struct fault_folder *folder = &judged->machine->folder;
    char name[256];
    if (strcmp(judged->run->output, reference->output) != 0) {
        return because(judged, FAULT_SILENT,
                       "exit status 0, and another output (%zu bytes for %zu)",
                       strlen(judged->run->output), strlen(reference->output));
    }
    if (fault_folder_differs(folder, judged->one->name, name, sizeof name) &&
        !(strcmp(judged->run->failed, "unlink") == 0 && strstr(name, ".part") != NULL)) {
        return because(judged, FAULT_SILENT, "exit status 0, and %s is missing or other", name);
    }
    char *store = fault_folder_stores(folder);
    bool same = strcmp(store, reference->store) == 0;
    free(store);
    return same ? FAULT_NO_MATTER
                : because(judged, FAULT_SILENT, "exit status 0, and the stores hold other things");
}

/* A store of which something can't be read is a damaged one: the rest is exported or saved, and it
 * is told what lacks. */
static bool told_in_part(const struct fault_run *run)
{
    bool reading = strncmp(run->failed, "pread", 5) == 0 || strcmp(run->failed, "mmap") == 0;
    return reading && (strncmp(run->errors, "holdline: session ", 18) == 0 ||
                       strncmp(run->errors, "session ", 8) == 0);
}

static bool stores_are_whole(const struct judged *judged)
{
    char *store = fault_folder_stores(&judged->machine->folder);
    bool same = strcmp(store, judged->machine->reference[judged->one - fault_cases].store) == 0;
    free(store);
    return same;
}

static enum fault_verdict judge_failure(const struct judged *judged)
{
    const struct reference *reference = &judged->machine->reference[judged->one - fault_cases];
    const struct fault_folder *folder = &judged->machine->folder;
    char name[256];
    bool found = judged->run->output[0] != '\0' &&
                 strcmp(judged->run->output, reference->output) != 0; /* as 'store check' tells */
    if (judged->run->errors[0] == '\0' && !found) {
        return because(judged, FAULT_MUTE, "exit status %d and no sentence", judged->run->status);
    }
    if (told_in_part(judged->run)) {
        return FAULT_TOLD;
    }
    if (strcmp(judged->run->failed, "unlink") != 0 &&
        fault_folder_half(folder, judged->one->before, judged->one->name, name, sizeof name) &&
        !(strstr(name, ".db") != NULL && strstr(name, ".part") == NULL &&
          stores_are_whole(judged))) {
        return because(judged, FAULT_HALF_FILE, "%s was left: %.300s", name, judged->run->errors);
    }
    return FAULT_TOLD;
}

/* The store that was written into, whatever became of the command. */
static enum fault_verdict judge_store(const struct judged *judged, enum fault_verdict so_far)
{
    static const char *const check[] = {"store", "check", "--store", "s.db", NULL};
    static const char *const next[] = {"run", "third.session", "--store", "s.db", NULL};
    struct fault_machine *machine = judged->machine;
    struct fault_folder *folder = &machine->folder;
    struct fault_run run = fault_folder_run(folder, check, NULL);
    bool none = strstr(run.errors, "a session makes it") != NULL;
    bool had = strcmp(judged->one->before, "nothing") != 0;
    if (run.status != 0 && (had || !none)) {
        so_far =
            because(judged, FAULT_UNSOUND, "store check: %.200s%.200s", run.output, run.errors);
    }
    fault_run_free(&run);
    if (had && !fault_is_bad(so_far)) {
        char *earlier = fault_folder_session(folder, "s.db", "1");
        if (strcmp(earlier, machine->earlier) != 0) {
            so_far =
                because(judged, FAULT_UNSOUND, "the earlier session is another: %.200s", earlier);
        }
        free(earlier);
    }
    if (!fault_is_bad(so_far)) {
        run = fault_folder_run(folder, next, NULL);
        if (run.status != 0) {
            so_far = because(judged, FAULT_LOCKED_OUT, "the next session: %.300s", run.errors);
        }
        fault_run_free(&run);
    }
    return so_far;
}

static enum fault_verdict judge(const struct judged *judged)
{
    const struct fault_run *run = judged->run;
    if (run->timed_out) {
        return because(judged, FAULT_HANG, "it did not end");
    }
    if (run->status >= 128) {
        return because(judged, FAULT_CRASH, "signal %d: %.300s", run->status - 128, run->errors);
    }
    enum fault_verdict verdict = run->status == 0 ? judge_success(judged) : judge_failure(judged);
    if (!fault_is_bad(verdict) && judged->one->changes) {
        verdict = judge_store(judged, verdict);
    }
    return verdict;
}

enum fault_verdict fault_machine_try(struct fault_machine *machine, const struct fault_case *one,
                                     const struct fault *fault, char *why, size_t size)
{
    make_reference(machine, one);
    fault_folder_lay(&machine->folder, one->before);
    struct fault_run run = fault_folder_run(&machine->folder, one->arguments, fault);
    const struct judged judged = {machine, one, &run, why, size};
    why[0] = '\0';
    enum fault_verdict verdict = judge(&judged);
    if (!fault_is_bad(verdict) && run.calls > 0 && strcmp(run.failed, "-") == 0) {
        verdict = FAULT_NOT_REACHED;
    }
    if (fault_is_bad(verdict)) {
        size_t used = strlen(why);
        snprintf(why + used, size - used, "\n    after %s; CASE='%s' KIND=%s HOW=%s AT=%ld",
                 run.failed, one->name, fault->kind, fault->as, fault->at);
    }
    fault_run_free(&run);
    return verdict;
}
