/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Each call for memory of the rig fails once: what is made is not made and says so, nothing is
 * kept, and the next time all is as ever. */
#include "rig/health.h"
#include "rig/plain_describe.h"
#include "rig/reader.h"
#include "rig/ride_file.h"
#include "rig/virtual_day.h"
#include "rig/virtual_rig.h"
#include "rig/wire_look.h"
#include "support/scarce_memory.h"
#include "support/test_main.h"

#include <stdio.h>
#include <string.h>

static struct problem problem;

/* True: it came to what it should. Check asks for memory itself, so nothing is asserted here. */
typedef bool rig_run(void);

static bool run_decoder(void)
{
    struct decoder_options options = {.dialect = "plain"};
    struct decoder *decoder = decoder_create(&options, &problem);
    bool made = decoder != NULL;
    decoder_destroy(decoder);
    return made;
}

static void drop(void *context, const struct sample *sample)
{
    (void)context;
    (void)sample;
}

/* A link with its reader; where there is no reader, it has closed the link. */
static bool run_reader(const struct link_kind *kind, const char *target, const char *parameters)
{
    struct decoder_options options = {.dialect = ""};
    struct link *link = kind->open(target, parameters, &problem);
    struct reader *reader = link != NULL ? reader_create(link, &options, 1, &problem) : NULL;
    bool read = reader != NULL && reader_step(reader, 100, drop, NULL, &problem) == LINK_BYTES;
    reader_destroy(reader);
    return read;
}

static bool run_file(void)
{
    char path[1000];
    snprintf(path, sizeof path, "%s", source_path("sessions/raw-log-8ch.csv"));
    return run_reader(&link_kind_file, path, "rate=50");
}

static bool run_virtual(void)
{
    return run_reader(&link_kind_virtual, "steady", "seed=3&speed=max");
}

static bool run_terminal(void)
{
    struct link *link = link_kind_tty.open("/dev/ptmx", "", &problem);
    if (link != NULL) {
        link_close(link);
    }
    return link != NULL;
}

static bool run_virtual_day(void)
{
    struct virtual_day_settings settings;
    virtual_day_defaults(&settings, 4);
    struct virtual_day *day = virtual_day_create(&settings);
    bool made = day != NULL;
    virtual_day_free(day);
    return made;
}

static bool run_health(void)
{
    struct health_monitor *monitor = health_create(2);
    bool made = monitor != NULL;
    health_destroy(monitor);
    return made;
}

static bool run_ride(const char *text)
{
    struct ride_reader *reader = ride_reader_create(&problem);
    struct ride *ride = reader != NULL && ride_reader_feed(reader, text, strlen(text), &problem)
                            ? ride_reader_finish(reader, &problem)
                            : NULL;
    bool read = ride != NULL;
    ride_free(ride);
    ride_reader_free(reader);
    return read;
}

static bool run_ride_table(void)
{
    return run_ride("time,power,speed,distance\n0,200,10,0\n1,201,10,10\n2,202,10,20\n");
}

static bool run_ride_tree(void)
{
    return run_ride(
        "<?xml version=\"1.0\"?><gpx><trk><trkseg>"
        "<trkpt lat=\"50\" lon=\"8.5\"><time>2026-03-01T09:00:00Z</time><extensions>"
        "<power>200</power></extensions></trkpt>"
        "<trkpt lat=\"50.0001\" lon=\"8.5\"><time>2026-03-01T09:00:01Z</time><extensions>"
        "<power>200</power></extensions></trkpt>"
        "</trkseg></trk></gpx>");
}

static bool run_ride_file(void)
{
    uint64_t sum;
    struct ride *ride =
        ride_file_read(source_path("sessions/still-one-number.csv"), NULL, &sum, &problem);
    ride_free(ride);
    return problem.kind != PROBLEM_NONE && strstr(problem.sentence, "memory") == NULL;
}

static bool run_look(void)
{
    static const char text[] =
        "<xml>\n<a>1</a>\n<a>2</a>\n<a>3</a>\n<a>4</a>\n<a>5</a>\n<a>6</a>\n";
    struct decoder_options options = {.dialect = ""};
    struct wire_finding finding;
    wire_look(text, sizeof text - 1, &options, &finding);
    return finding.cause == WIRE_MARKUP;
}

static bool run_describe(void)
{
    static const char text[] = "time,head,chest\n0,400,500\n20,401,500\n40,402,500\n60,400,501\n";
    struct decoder_options options = {.unit = "mm"};
    struct plain_description description;
    return plain_describe(text, sizeof text - 1, &options, &description, &problem);
}

static const struct {
    const char *words;
    rig_run *run;
    int least;         /* calls for memory at least */
    bool goes_without; /* may do with less (base/memory.h tells of it) */
} runs[] = {
    {"decoder", run_decoder, 2, false},         {"file", run_file, 6, false},
    {"virtual", run_virtual, 6, false},         {"terminal", run_terminal, 1, false},
    {"virtual day", run_virtual_day, 1, false}, {"health", run_health, 3, false},
    {"table", run_ride_table, 3, false},        {"tree", run_ride_tree, 4, false},
    {"ride file", run_ride_file, 2, false},     {"look", run_look, 1, true},
    {"describe", run_describe, 1, false},
};

START_TEST(what_lacks_memory_is_not_made_and_keeps_none)
{
    if (!scarce_memory_is_here()) {
        printf("skipped: the sanitizers have their own memory\n");
        return;
    }
    ck_assert_msg(runs[_i].run(), "%s: %s", runs[_i].words, problem.sentence);
    bool failed = true;
    long calls = 0;
    for (long call = 1; failed; call++) {
        long before = scarce_memory_blocks();
        memset(&problem, 0, sizeof problem);
        scarce_memory_begin(call);
        bool made = runs[_i].run();
        failed = scarce_memory_end();
        long kept = scarce_memory_blocks() - before;
        ck_assert_msg(kept == 0, "%s, call %ld: %ld blocks kept", runs[_i].words, call, kept);
        ck_assert_msg(made != failed || runs[_i].goes_without, "%s, call %ld: %d, %s",
                      runs[_i].words, call, made, problem.sentence);
        calls += failed;
    }
    ck_assert_msg(calls >= runs[_i].least, "%s: %ld calls", runs[_i].words, calls);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("scarce_memory");
    TCase *tests = tcase_create("scarce_memory");
    suite_add_tcase(suite, tests);
    tcase_add_loop_test(tests, what_lacks_memory_is_not_made_and_keeps_none, 0,
                        sizeof runs / sizeof runs[0]);
    return test_main(suite);
}
