/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/fault_sequence.h"

#include "support/fault_acts.h"
#include "support/fault_model.h"

#include "base/clock.h"
#include "base/random.h"

#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#define SHOWN_S 20.0
#define ENDS_S 2.0

struct fault_sequences {
    struct fault_folder folder;
    struct fault_page *page;
    char page_path[128];
    char *earlier; /* what is said of session 1 */
    struct fault_sequence_counts counts;
};

/* ---- one sequence ------------------------------------------------------------------------------
 */

struct sequence {
    struct fault_sequences *all;
    struct fault_acting acting;
    struct fault_seen seen;
};

static const char *const ending_words[] = {"asked to end", "killed", "died at a call",
                                           "ended by itself"};

/* At a call, by the shim. */
static bool died(const struct fault_world *world)
{
    return world->ended && world->status == 128 + SIGKILL && world->page->disk.as == FAULT_DIES &&
           world->page->disk.failed > 0;
}

/* A lock that can't be given back holds SQLite up for ten seconds before it says so, and may at the
 * closing once more. */
static double may_take_s(const struct fault_world *world)
{
    return world->page->disk.failed > 0 ? ENDS_S + 28.0 : ENDS_S;
}

/* By a signal, the terminal's end or a kill. */
static void end_it(struct sequence *sequence)
{
    static const int signals[] = {SIGTERM, SIGHUP, SIGINT, SIGKILL, SIGKILL, 0};
    static const char *const words[] = {"SIGTERM", "SIGHUP",  "SIGINT",
                                        "SIGKILL", "SIGKILL", "terminal gone"};
    struct fault_world *world = &sequence->acting.world;
    int which = fault_pick(&sequence->acting, 6);
    if (fault_pick(&sequence->acting, 3) > 0 && signals[which] != SIGKILL) {
        fault_world_heal(world);
    }
    sequence->seen.asked_us = clock_monotonic_us();
    fault_note(&sequence->acting, words[which]);
    world->silent = true;
    if (signals[which] == 0) {
        terminal_hang_up(world->terminal);
    } else {
        kill(terminal_process(world->terminal), signals[which]);
    }
    sequence->seen.in_time = fault_world_ends(world, may_take_s(world));
    sequence->seen.ending = signals[which] == SIGKILL ? ENDING_KILLED : ENDING_ASKED;
    if (died(world)) {
        sequence->seen.ending = ENDING_DIED;
        sequence->seen.asked_us = world->ended_us;
    }
}

static void play(struct sequence *sequence)
{
    struct fault_world *world = &sequence->acting.world;
    bool broken = world->ill_since_us != 0;
    if (fault_world_shows(world, "HEAD", broken ? 3.0 : SHOWN_S) &&
        fault_world_shows(world, "all stored", broken ? 3.0 : SHOWN_S)) {
        sequence->seen.heard = world->lines;
    }
    for (int left = 4 + fault_pick(&sequence->acting, 12); left > 0 && !world->ended; left--) {
        sequence->all->counts.act[fault_act(&sequence->acting)]++;
        fault_world_play(world, 0.03 + 0.02 * fault_pick(&sequence->acting, 12));
    }
    if (!world->ended) {
        end_it(sequence);
        return;
    }
    sequence->seen.ending = died(world) ? ENDING_DIED : ENDING_OWN;
    sequence->seen.asked_us = world->ended_us;
    sequence->seen.in_time = true;
}

static void count(struct sequence *sequence)
{
    struct fault_sequence_counts *counts = &sequence->all->counts;
    const struct fault_world *world = &sequence->acting.world;
    counts->ending[sequence->seen.ending]++;
    counts->lines += world->lines;
    for (int i = 0; i < world->commands; i++) {
        counts->commands += world->command[i].done;
    }
    counts->failed_disk += world->page->disk.failed;
    counts->failed_memory += world->page->memory.failed;
}

/* The folder and the page as they are before a sequence. */
static void lay(struct fault_sequences *sequences, bool earlier)
{
    fault_folder_empty(&sequences->folder, "work");
    fault_folder_empty(&sequences->folder, "home");
    fault_folder_lay(&sequences->folder, earlier ? "a session" : "base");
    memset(sequences->page, 0, sizeof *sequences->page);
}

/* why: what did not hold, and what was done; written where it broke. */
static enum fault_sequence_result play_one(struct fault_sequences *sequences, uint64_t seed,
                                           char *why, size_t size)
{
    static struct sequence sequence;
    struct fault_acting *acting = &sequence.acting;
    const struct fault_page *page = sequences->page;
    char found[900] = "";
    memset(&sequence, 0, sizeof sequence);
    sequence.all = sequences;
    random_seed(&acting->random, seed);
    acting->committed = -1;
    acting->world.earlier = fault_pick(acting, 2);
    acting->world.page = sequences->page;
    sequence.seen.earlier = acting->world.earlier > 0 ? sequences->earlier : NULL;
    lay(sequences, acting->world.earlier > 0);
    if (fault_pick(acting, 8) == 0) {
        fault_at_start(acting);
    }
    if (!fault_world_start(&acting->world, &sequences->folder, sequences->page,
                           sequences->page_path)) {
        return SEQUENCE_SKIPPED;
    }
    play(&sequence);
    fault_world_heal(&acting->world);
    count(&sequence);
    sequence.seen.committed = acting->committed;
    bool holds = fault_model_holds(&acting->world, &sequence.seen, found, sizeof found);
    fault_world_end(&acting->world);
    if (!holds) {
        snprintf(why, size,
                 "seed %llu, %s: %s\n    %s\n    failed: %ld of the disk, %s first; %ld of memory",
                 (unsigned long long)seed, ending_words[sequence.seen.ending], found, acting->done,
                 (long)page->disk.failed, page->disk.name, (long)page->memory.failed);
    }
    return holds ? SEQUENCE_HELD : SEQUENCE_BROKE;
}

/* ---- what all of them share --------------------------------------------------------------------
 */

static const char earlier_script[] =
    "session 2026-01-10T18:00:00Z seed=9\n"
    "rider  R-09 \"winter group\"\n"
    "bike   \"training bike\" stack=545 reach=410 head_angle=73\n"
    "rig    virtual rate=25 channels=head,chest\n"
    "sensor head  carrier=base_bar x=120 y=40 look=up\n"
    "sensor chest carrier=base_bar x=60 y=38 tilt=8 look=up\n"
    "setup 1 \"as it came\" stem_length=100 stem_angle=-6 spacers=20\n"
    "plate 5s height=930 from=setup-1-plate.rig\n"
    "hold 20s free settle=2s from=setup-1-a.rig\n"
    "note \"no draught\"\n"
    "end\n";

static void stop(const char *what)
{
    fprintf(stderr, "faults together: %s\n", what);
    exit(EXIT_FAILURE);
}

static void make_page(struct fault_sequences *sequences)
{
    snprintf(sequences->page_path, sizeof sequences->page_path, "%s",
             fault_folder_path(&sequences->folder, "page", ""));
    int descriptor = open(sequences->page_path, O_RDWR | O_CREAT | O_CLOEXEC, 0600);
    if (descriptor < 0 || ftruncate(descriptor, sizeof *sequences->page) != 0) {
        stop("no page");
    }
    sequences->page =
        mmap(NULL, sizeof *sequences->page, PROT_READ | PROT_WRITE, MAP_SHARED, descriptor, 0);
    close(descriptor);
    if (sequences->page == MAP_FAILED) {
        stop("no page");
    }
}

static struct fault_sequences *create(const char *program, const char *shim, const char *sessions)
{
    static const char *const first[] = {"run", "first.session", "--store", "s.db", NULL};
    struct fault_sequences *sequences = calloc(1, sizeof *sequences);
    if (sequences == NULL || !fault_folder_create(&sequences->folder, program, shim)) {
        stop("no folder, or no memory");
    }
    struct fault_folder *folder = &sequences->folder;
    umask(077); /* what is laid there is as the program makes it */
    make_page(sequences);
    fault_folder_take(folder, sessions, "setup-1-plate.rig");
    fault_folder_take(folder, sessions, "setup-1-a.rig");
    fault_folder_write(folder, "base", "first.session", earlier_script);
    fault_folder_write(
        folder, "base", "third.session",
        "session 2026-01-12T18:00:00Z seed=11\nrider R-11\nnote \"after it\"\nend\n");
    fault_folder_lay(folder, "base");
    struct fault_run run = fault_folder_run(folder, first, NULL);
    if (run.status != 0) {
        stop(run.errors);
    }
    fault_run_free(&run);
    fault_folder_keep(folder, "a session");
    sequences->earlier = fault_folder_session(folder, "s.db", "1");
    return sequences;
}

static void destroy(struct fault_sequences *sequences)
{
    free(sequences->earlier);
    munmap(sequences->page, sizeof *sequences->page);
    if (chdir("/") != 0) {
        stop("no way out of the folder");
    }
    fault_folder_remove(&sequences->folder);
    free(sequences);
}

/* ---- many, several at once ---------------------------------------------------------------------
 */

#define JOBS_MOST 64

/* One job's share. */
static void work(const struct fault_sequences_wanted *wanted, long first, long step,
                 struct fault_sequence_counts *counts)
{
    char why[2600];
    struct fault_sequences *sequences = create(wanted->program, wanted->shim, wanted->sessions);
    for (long i = first; i < wanted->count; i += step) {
        enum fault_sequence_result result =
            play_one(sequences, wanted->seed + (uint64_t)i, why, sizeof why);
        sequences->counts.result[result]++;
        if (result == SEQUENCE_BROKE) {
            printf("%s\n", why);
            fflush(stdout);
        }
    }
    *counts = sequences->counts;
    destroy(sequences);
}

static void add(struct fault_sequence_counts *all, const struct fault_sequence_counts *one)
{
    long *to = (long *)all;
    const long *from = (const long *)one;
    for (size_t i = 0; i < sizeof *all / sizeof(long); i++) {
        to[i] += from[i];
    }
}

bool fault_sequences_run(const struct fault_sequences_wanted *wanted,
                         struct fault_sequence_counts *counts)
{
    struct fault_sequence_counts *of_job =
        mmap(NULL, JOBS_MOST * sizeof *of_job, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS,
             -1, 0);
    long jobs = wanted->jobs > JOBS_MOST ? JOBS_MOST : wanted->jobs;
    bool ended = of_job != MAP_FAILED;
    memset(counts, 0, sizeof *counts);
    fflush(NULL);
    for (long i = 0; ended && i < jobs; i++) {
        if (fork() == 0) {
            signal(SIGPIPE, SIG_IGN);
            work(wanted, i, jobs, &of_job[i]);
            fflush(NULL);
            _exit(EXIT_SUCCESS);
        }
    }
    for (int status = 0; wait(&status) > 0;) {
        ended = ended && WIFEXITED(status) && WEXITSTATUS(status) == 0;
    }
    for (long i = 0; of_job != MAP_FAILED && i < jobs; i++) {
        add(counts, &of_job[i]);
    }
    return ended && counts->result[SEQUENCE_HELD] == wanted->count;
}

void fault_sequences_print(const struct fault_sequence_counts *counts)
{
    for (int i = 0; fault_act_name(i) != NULL; i++) {
        printf("  %-26s %7ld\n", fault_act_name(i), counts->act[i]);
    }
    for (int i = 0; i < 4; i++) {
        printf("  %-26s %7ld\n", ending_words[i], counts->ending[i]);
    }
    printf("  lines %ld, commands done %ld, calls failed: disk %ld, memory %ld\n", counts->lines,
           counts->commands, counts->failed_disk, counts->failed_memory);
    printf("sequences: %ld held, %ld broke, %ld could not be tried\n",
           counts->result[SEQUENCE_HELD], counts->result[SEQUENCE_BROKE],
           counts->result[SEQUENCE_SKIPPED]);
}
