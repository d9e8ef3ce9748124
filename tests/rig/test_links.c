#include "base/clock.h"
#include "rig/device.h"
#include "rig/link.h"
#include "rig/link_parameters.h"
#include "support/cable.h"
#include "support/test_main.h"

#include <fcntl.h>
#include <grp.h>
#include <math.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#define NOBODY 65534

static char folder[64];

static void make_folder(void)
{
    strcpy(folder, "/tmp/holdline-links-XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
}

static void remove_folder(void)
{
    char command[128];
    snprintf(command, sizeof command, "rm -rf %s", folder);
    ck_assert_int_eq(system(command), 0);
}

static const char *file_with(const char *name, const char *text)
{
    static char path[128];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "w");
    ck_assert_ptr_nonnull(file);
    ck_assert_int_ge(fputs(text, file), 0);
    fclose(file);
    return path;
}

static struct link *open_link(const struct link_kind *kind, const char *target,
                              const char *parameters)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct link *link = kind->open(target, parameters, &problem);
    ck_assert_msg(link != NULL, "%s", problem.sentence);
    return link;
}

struct chunk {
    enum link_result result;
    size_t length;
    int64_t arrival_us;
    char bytes[4096];
};

static struct chunk read_chunk(struct link *link, int timeout_ms)
{
    struct chunk chunk = {.length = 0};
    struct problem problem = {PROBLEM_NONE, ""};
    chunk.result = link_read(link, chunk.bytes, sizeof chunk.bytes - 1, &chunk.length, timeout_ms,
                             &chunk.arrival_us, &problem);
    chunk.bytes[chunk.length] = '\0';
    return chunk;
}

/* ---- parameters ----------------------------------------------------------------------------- */

START_TEST(parameters_are_checked_by_name)
{
    static const char *const known[] = {"speed", "rate"};
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert(link_parameters_check("", known, 2, &problem));
    ck_assert(link_parameters_check("rate=5&speed=max", known, 2, &problem));
    ck_assert(!link_parameters_check("rat=5", known, 2, &problem));
    ck_assert(!link_parameters_check("speeds=5", known, 2, &problem));
    ck_assert(!link_parameters_check("rate=5&spe", known, 2, &problem));
    ck_assert_int_eq(problem.kind, PROBLEM_USAGE);
    ck_assert_ptr_nonnull(strstr(problem.sentence, "'spe'"));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "speed="));
    double value = 7;
    ck_assert(link_parameter_number("rate=2.5", "rate", 1, 10, &value, &problem));
    ck_assert_double_eq(value, 2.5);
    ck_assert(link_parameter_number("speed=3", "rate", 1, 10, &value, &problem));
    ck_assert_double_eq(value, 2.5);
    ck_assert(!link_parameter_number("rate=0.5", "rate", 1, 10, &value, &problem));
    ck_assert(!link_parameter_number("rate=", "rate", 1, 10, &value, &problem));
    ck_assert(link_parameter_speed("speed=max", &value, &problem));
    ck_assert(isinf(value));
    ck_assert(!link_parameter_speed("speed=fast", &value, &problem));
}
END_TEST

/* ---- recorded streams ----------------------------------------------------------------------- */

#define BENCH                                                                                      \
    "# holdline-rig 1 id=a rate=100 unit=mm channels=head\n"                                       \
    "$1,1000000,412.5*2C\n"                                                                        \
    "$2,1010000,413.5*2F\n"                                                                        \
    "$3,1030000,414.5*2B\n"

START_TEST(file_gives_every_byte_in_order_and_ends)
{
    const char *text = "one\r\ntwo\rthree\n\nlast without an end";
    struct link *link = open_link(&link_kind_file, file_with("a.txt", text), "speed=max");
    ck_assert(link->can_wait);
    ck_assert(!link->time_is_arrival);
    char all[200] = "";
    int chunks = 0;
    struct chunk chunk;
    while ((chunk = read_chunk(link, 1000)).result == LINK_BYTES) {
        strcat(all, chunk.bytes);
        chunks++;
    }
    ck_assert_int_eq(chunk.result, LINK_END);
    ck_assert_str_eq(all, text);
    ck_assert_int_eq(chunks, 5);
    ck_assert_int_eq(read_chunk(link, 0).result, LINK_END);
    link_close(link);
}
END_TEST

START_TEST(file_longer_than_its_buffer_is_whole)
{
    char path[128];
    snprintf(path, sizeof path, "%s/long.txt", folder);
    FILE *file = fopen(path, "w");
    ck_assert_ptr_nonnull(file);
    unsigned long sum = 0;
    for (int i = 0; i < 300000; i++) { /* a line of 150,000 bytes among short ones */
        int character = i % 11 == 10 && !(i > 70000 && i < 220000) ? '\n' : 'a' + i % 7;
        fputc(character, file);
        sum = sum * 31 + (unsigned char)character;
    }
    fclose(file);
    struct link *link = open_link(&link_kind_file, path, "speed=max");
    unsigned long again = 0;
    size_t total = 0;
    struct chunk chunk;
    while ((chunk = read_chunk(link, 1000)).result == LINK_BYTES) {
        for (size_t i = 0; i < chunk.length; i++) {
            again = again * 31 + (unsigned char)chunk.bytes[i];
        }
        total += chunk.length;
    }
    ck_assert_int_eq(chunk.result, LINK_END);
    ck_assert_uint_eq(total, 300000);
    ck_assert_uint_eq(again, sum);
    link_close(link);
}
END_TEST

/* Arrivals are the stream's own pace, whatever the speed: from its times, else from the rate. */
START_TEST(arrival_is_the_streams_own_pace)
{
    static const char *const speeds[] = {"speed=max", "speed=4"};
    for (int i = 0; i < 2; i++) {
        struct link *link = open_link(&link_kind_file, file_with("b.rig", BENCH), speeds[i]);
        read_chunk(link, 1000);
        ck_assert_int_eq(read_chunk(link, 1000).arrival_us, 0);
        ck_assert_int_eq(read_chunk(link, 1000).arrival_us, 10000);
        ck_assert_int_eq(read_chunk(link, 1000).arrival_us, 30000);
        link_close(link);
    }
}
END_TEST

static int64_t time_to_read(const char *path, const char *parameters)
{
    struct link *link = open_link(&link_kind_file, path, parameters);
    int64_t start_us = clock_monotonic_us();
    struct chunk chunk;
    while ((chunk = read_chunk(link, 1000)).result != LINK_END) {
        ck_assert_int_ne(chunk.result, LINK_FAILED);
    }
    link_close(link);
    return clock_monotonic_us() - start_us;
}

START_TEST(file_at_its_own_pace_faster_and_with_a_stop_cut_short)
{
    const char *path = file_with("c.rig", "# holdline-rig 1 id=a rate=10 unit=mm channels=head\n"
                                          "$1,1000000,412.5*2C\n"
                                          "$2,1200000,412.5*2D\n"
                                          "$3,1400000,412.5*2A\n");
    int64_t own_us = time_to_read(path, "");
    ck_assert_int_ge(own_us, 400000);
    ck_assert_int_lt(own_us, 700000);
    int64_t fast_us = time_to_read(path, "speed=4");
    ck_assert_int_ge(fast_us, 100000);
    ck_assert_int_lt(fast_us, 300000);
    ck_assert_int_lt(time_to_read(path, "speed=max"), 100000);
    /* Ten minutes between two lines: not sat through (2 s at most, at 10 times the speed). */
    path = file_with("d.rig", "# holdline-rig 1 id=a rate=10 unit=mm channels=head\n"
                              "$1,1000000,412.5*2C\n"
                              "$2,601000000,412.5*29\n");
    int64_t stop_us = time_to_read(path, "speed=10");
    ck_assert_int_ge(stop_us, 200000);
    ck_assert_int_lt(stop_us, 600000);
}
END_TEST

START_TEST(wait_of_a_paced_file_ends_by_timeout_and_by_wake)
{
    const char *path = file_with("e.rig", "# holdline-rig 1 id=a rate=10 unit=mm channels=head\n"
                                          "$1,1000000,412.5*2C\n"
                                          "$2,2500000,412.5*29\n");
    int wake[2];
    ck_assert_int_eq(pipe(wake), 0);
    struct link *link = open_link(&link_kind_file, path, "");
    link->wake_fd = wake[0];
    read_chunk(link, 1000);
    ck_assert_int_eq(read_chunk(link, 1000).result, LINK_BYTES);
    int64_t start_us = clock_monotonic_us();
    ck_assert_int_eq(read_chunk(link, 50).result, LINK_QUIET);
    int64_t waited_us = clock_monotonic_us() - start_us;
    ck_assert_int_ge(waited_us, 49000);
    ck_assert_int_lt(waited_us, 500000);
    ck_assert_int_eq(write(wake[1], "x", 1), 1);
    start_us = clock_monotonic_us();
    ck_assert_int_eq(read_chunk(link, 5000).result, LINK_QUIET);
    ck_assert_int_lt(clock_monotonic_us() - start_us, 500000);
    link_close(link);
}
END_TEST

static const struct {
    const char *target, *parameters, *named;
} wrong_files[] = {
    {"/nowhere/at/all.rig", "", "all.rig"},
    {"/tmp", "", "folder"},
    {"/dev/null", "", "device"},
    {"", "", "path"},
    {"/etc/hostname", "speed=0", "speed"},
    {"/etc/hostname", "sped=max", "sped"},
    {"/etc/hostname", "rate=-1", "rate"},
};

START_TEST(files_that_cannot_be_read_are_named)
{
    struct problem problem = {PROBLEM_NONE, ""};
    int before = descriptors_open();
    ck_assert_ptr_null(
        link_kind_file.open(wrong_files[_i].target, wrong_files[_i].parameters, &problem));
    ck_assert_int_ne(problem.kind, PROBLEM_NONE);
    ck_assert_msg(strstr(problem.sentence, wrong_files[_i].named) != NULL, "%s", problem.sentence);
    ck_assert_int_eq(descriptors_open(), before);
}
END_TEST

START_TEST(standard_input_comes_as_it_comes)
{
    int ends[2];
    ck_assert_int_eq(pipe(ends), 0);
    ck_assert_int_eq(dup2(ends[0], STDIN_FILENO), STDIN_FILENO);
    struct link *link = open_link(&link_kind_stdin, "-", "");
    ck_assert(link->can_wait);
    ck_assert_int_eq(read_chunk(link, 10).result, LINK_QUIET);
    ck_assert_int_eq(write(ends[1], "412\n41", 6), 6);
    struct chunk chunk = read_chunk(link, 1000);
    ck_assert_int_eq(chunk.result, LINK_BYTES);
    ck_assert_str_eq(chunk.bytes, "412\n");
    ck_assert_int_eq(read_chunk(link, 10).result, LINK_QUIET);
    ck_assert_int_eq(write(ends[1], "3\n", 2), 2);
    ck_assert_str_eq(read_chunk(link, 1000).bytes, "413\n");
    ck_assert_int_eq(write(ends[1], "41", 2), 2);
    close(ends[1]);
    ck_assert_str_eq(read_chunk(link, 1000).bytes, "41");
    ck_assert_int_eq(read_chunk(link, 1000).result, LINK_END);
    link_close(link);
    ck_assert_int_ge(fcntl(STDIN_FILENO, F_GETFD), 0); /* not the link's to close */
}
END_TEST

/* ---- terminals ------------------------------------------------------------------------------ */

START_TEST(terminal_is_read_raw_and_to_the_last_byte)
{
    struct cable cable;
    if (!cable_plug(&cable)) {
        return;
    }
    struct link *link = open_link(&link_kind_tty, cable.path, "baud=115200");
    ck_assert(!link->can_wait);
    ck_assert(link->time_is_arrival);
    ck_assert_int_eq(read_chunk(link, 10).result, LINK_QUIET);
    char all[256];
    for (int i = 0; i < 256; i++) { /* every byte there is: no line end turned, no signal sent */
        all[i] = (char)i;
    }
    ck_assert(cable_write(&cable, all, sizeof all));
    size_t got = 0;
    while (got < sizeof all) {
        int64_t before_us = clock_monotonic_us();
        struct chunk chunk = read_chunk(link, 1000);
        ck_assert_int_eq(chunk.result, LINK_BYTES);
        ck_assert_int_ge(chunk.arrival_us, before_us);
        ck_assert_int_le(chunk.arrival_us, clock_monotonic_us());
        ck_assert_mem_eq(chunk.bytes, all + got, chunk.length);
        got += chunk.length;
    }
    struct pollfd echo = {.fd = cable.master, .events = POLLIN};
    ck_assert_int_eq(poll(&echo, 1, 50), 0);
    link_close(link);
    cable_pull(&cable);
}
END_TEST

START_TEST(wake_ends_the_wait_for_a_terminal)
{
    struct cable cable;
    int wake[2];
    if (!cable_plug(&cable)) {
        return;
    }
    ck_assert_int_eq(pipe(wake), 0);
    struct link *link = open_link(&link_kind_tty, cable.path, "");
    link->wake_fd = wake[0];
    ck_assert_int_eq(write(wake[1], "x", 1), 1);
    int64_t start_us = clock_monotonic_us();
    ck_assert_int_eq(read_chunk(link, 5000).result, LINK_QUIET);
    ck_assert_int_lt(clock_monotonic_us() - start_us, 500000);
    cable_pull(&cable); /* and while it is down */
    ck_assert_int_eq(read_chunk(link, 5000).result, LINK_DOWN);
    start_us = clock_monotonic_us();
    ck_assert_int_eq(read_chunk(link, 5000).result, LINK_DOWN);
    ck_assert_int_lt(clock_monotonic_us() - start_us, 500000);
    link_close(link);
}
END_TEST

/* Time until the link says what is wanted, at most three seconds. */
static int64_t time_until(struct link *link, enum link_result wanted)
{
    int64_t start_us = clock_monotonic_us();
    while (clock_monotonic_us() - start_us < 3000000) {
        if (read_chunk(link, 100).result == wanted) {
            return clock_monotonic_us() - start_us;
        }
    }
    ck_abort_msg("the link never said %d", (int)wanted);
}

START_TEST(pulled_cable_is_noticed_and_taken_up_again)
{
    struct cable cable;
    char name[128];
    if (!cable_plug(&cable)) {
        return;
    }
    snprintf(name, sizeof name, "%s/rig", folder);
    ck_assert(cable_link(&cable, name));
    struct link *link = open_link(&link_kind_tty, name, "");
    ck_assert(cable_write(&cable, "$1\n", 3));
    ck_assert_str_eq(read_chunk(link, 1000).bytes, "$1\n");
    for (uint64_t pull = 1; pull <= 3; pull++) {
        cable_pull(&cable);
        ck_assert_int_lt(time_until(link, LINK_DOWN), 1000000);
        ck_assert_uint_eq(link->times_down, pull);
        ck_assert_int_eq(read_chunk(link, 50).result, LINK_DOWN); /* and stays so */
        ck_assert(cable_plug(&cable));
        ck_assert(cable_link(&cable, name));
        ck_assert_int_lt(time_until(link, LINK_UP), 1000000);
        ck_assert(cable_write(&cable, "again\n", 6));
        struct chunk chunk = read_chunk(link, 1000);
        ck_assert_int_eq(chunk.result, LINK_BYTES);
        ck_assert_str_eq(chunk.bytes, "again\n");
        ck_assert_uint_eq(link->times_down, pull);
    }
    link_close(link);
    cable_pull(&cable);
}
END_TEST

/* The number of a pseudo-terminal that went is given to the next window, which is somebody else's.
 */
START_TEST(another_terminal_under_the_same_number_is_left_alone)
{
    struct cable cable;
    struct cable other;
    char name[128];
    char direct[64];
    if (!cable_plug(&cable)) {
        return;
    }
    snprintf(name, sizeof name, "%s/rig", folder);
    ck_assert(cable_link(&cable, name));
    for (int through_link = 0; through_link < 2; through_link++) {
        struct link *link = open_link(&link_kind_tty, through_link ? name : cable.path, "");
        strcpy(direct, cable.path);
        cable_pull(&cable);
        time_until(link, LINK_DOWN);
        ck_assert(
            cable_plug(&other)); /* takes the lowest free number: the same, if nobody is quicker */
        for (int i = 0; i < 5; i++) {
            ck_assert_int_eq(read_chunk(link, 100).result, LINK_DOWN);
        }
        if (strcmp(other.path, direct) != 0) {
            printf("skipped: %s was not given out again\n", direct);
        }
        link_close(link);
        cable = other;
        ck_assert(cable_link(&cable, name));
    }
    cable_pull(&cable);
}
END_TEST

/* The design's trap: a link that is down must not spin. */
START_TEST(down_link_sleeps)
{
    struct cable cable;
    if (!cable_plug(&cable)) {
        return;
    }
    struct link *link = open_link(&link_kind_tty, cable.path, "");
    cable_pull(&cable);
    time_until(link, LINK_DOWN);
    clock_t before = clock();
    int64_t start_us = clock_monotonic_us();
    int reads = 0;
    while (clock_monotonic_us() - start_us < 1000000) {
        ck_assert_int_eq(read_chunk(link, 100).result, LINK_DOWN);
        reads++;
    }
    ck_assert_int_le(reads, 30);
    ck_assert_int_lt((int)((clock() - before) * 1000 / CLOCKS_PER_SEC), 100);
    link_close(link);
}
END_TEST

START_TEST(busy_terminal_says_so)
{
    struct cable cable;
    struct problem problem = {PROBLEM_NONE, ""};
    if (!cable_plug(&cable)) {
        return;
    }
    struct link *first = open_link(&link_kind_tty, cable.path, "");
    ck_assert_ptr_null(link_kind_tty.open(cable.path, "", &problem));
    ck_assert_msg(strstr(problem.sentence, "busy") != NULL, "%s", problem.sentence);
    ck_assert_ptr_nonnull(strstr(problem.sentence, cable.path));
    link_close(first);
    link_close(open_link(&link_kind_tty, cable.path, "")); /* free again */
    cable_pull(&cable);
}
END_TEST

START_TEST(forbidden_device_names_the_group_to_join)
{
    struct cable cable;
    struct problem problem = {PROBLEM_NONE, ""};
    if (!cable_plug(&cable)) {
        return;
    }
    const struct group *group = getgrnam("dialout");
    ck_assert_int_eq(chmod(cable.path, 0060), 0);
    if (geteuid() == 0 &&
        group != NULL) { /* root may open anything: as somebody else, with a group of root's */
        ck_assert_int_eq(chown(cable.path, 0, group->gr_gid), 0);
        ck_assert_int_eq(setegid(NOBODY), 0);
        ck_assert_int_eq(seteuid(NOBODY), 0);
        ck_assert_ptr_null(link_kind_tty.open(cable.path, "", &problem));
        ck_assert_msg(strstr(problem.sentence, "the group 'dialout'") != NULL, "%s",
                      problem.sentence);
        ck_assert_msg(strstr(problem.sentence, "sudo usermod -aG dialout ") != NULL, "%s",
                      problem.sentence);
        ck_assert_int_eq(seteuid(0), 0);
    } else if (geteuid() != 0) {
        ck_assert_int_eq(chmod(cable.path, 0), 0);
        ck_assert_ptr_null(link_kind_tty.open(cable.path, "", &problem));
        ck_assert_msg(strstr(problem.sentence, "may not be opened") != NULL, "%s",
                      problem.sentence);
    } else {
        printf("skipped: there is no group dialout here\n");
        strcpy(problem.sentence, cable.path);
    }
    ck_assert_ptr_nonnull(strstr(problem.sentence, cable.path));
    cable_pull(&cable);
}
END_TEST

START_TEST(what_is_no_terminal_is_refused)
{
    struct problem problem = {PROBLEM_NONE, ""};
    int before = descriptors_open();
    ck_assert_ptr_null(link_kind_tty.open(file_with("f", "x"), "", &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "no terminal"));
    ck_assert_ptr_null(link_kind_tty.open("/dev/ttyNONE7", "", &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "not there"));
    ck_assert_ptr_null(link_kind_tty.open("/dev/ttyNONE7", "baud=31337", &problem));
    ck_assert_int_eq(problem.kind, PROBLEM_USAGE);
    ck_assert_ptr_null(link_kind_tty.open("", "", &problem));
    ck_assert_int_eq(descriptors_open(), before);
}
END_TEST

/* ---- the virtual rig ------------------------------------------------------------------------ */

START_TEST(virtual_rig_at_full_speed_is_one_line_a_read)
{
    struct link *link = open_link(&link_kind_virtual, "steady", "speed=max&seconds=10&seed=5");
    ck_assert(link->can_wait);
    struct problem problem = {PROBLEM_NONE, ""};
    int samples = 0;
    struct chunk chunk;
    double before_mm = 0;
    while ((chunk = read_chunk(link, 0)).result == LINK_BYTES) {
        samples++;
        const char *line = strrchr(chunk.bytes, '$');
        ck_assert_ptr_nonnull(line);
        double range_mm = 0;
        if (sscanf(line, "$%*d,%*d,%lf", &range_mm) != 1) {
            continue;
        }
        if (samples == 250) {
            before_mm = range_mm;
            ck_assert(link_write_line(link, "plate 1930", &problem));
        }
        if (samples == 251) { /* acts from the very next sample on */
            ck_assert_double_gt(range_mm, before_mm + 800);
        }
    }
    ck_assert_int_eq(chunk.result, LINK_END);
    ck_assert_int_eq(samples, 500);
    ck_assert(!link_write_line(link, "plate high", &problem));
    link_close(link);
}
END_TEST

START_TEST(virtual_rig_plays_through_a_pseudo_terminal)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct link *link = link_kind_virtual.open("steady", "rate=100&seconds=0.5", &problem);
    if (link == NULL && access("/dev/pts/ptmx", F_OK) != 0) {
        printf("skipped: no pseudo-terminal here\n");
        return;
    }
    ck_assert_msg(link != NULL, "%s", problem.sentence);
    ck_assert(!link->can_wait);
    ck_assert(link->time_is_arrival);
    char all[8192] = "";
    int64_t start_us = clock_monotonic_us();
    struct chunk chunk;
    while ((chunk = read_chunk(link, 100)).result != LINK_END) {
        ck_assert(chunk.result == LINK_BYTES || chunk.result == LINK_QUIET);
        ck_assert_uint_lt(strlen(all) + chunk.length, sizeof all);
        strcat(all, chunk.bytes);
    }
    int64_t took_us = clock_monotonic_us() - start_us;
    ck_assert_int_ge(took_us, 480000); /* its real pace */
    ck_assert_int_lt(took_us, 1500000);
    unsigned next = 1;
    for (char *line = all; (line = strchr(line, '$')) != NULL; line++) {
        ck_assert_uint_eq(strtoul(line + 1, NULL, 10), next++);
    }
    ck_assert_uint_eq(next, 51);
    link_close(link);
}
END_TEST

START_TEST(virtual_rig_is_told_while_it_plays)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct link *link = link_kind_virtual.open("steady", "rate=200&speed=5", &problem);
    if (link == NULL) {
        ck_assert_msg(access("/dev/pts/ptmx", F_OK) != 0, "%s", problem.sentence);
        printf("skipped: no pseudo-terminal here\n");
        return;
    }
    read_chunk(link, 1000);
    for (int i = 0; i < 50; i++) {
        ck_assert(link_write_line(link, i % 2 == 0 ? "sit free" : "build", &problem));
        read_chunk(link, 5);
    }
    ck_assert(link_write_line(link, "plate 1930", &problem));
    int64_t start_us = clock_monotonic_us();
    double range_mm = 0;
    while (range_mm < 1000 && clock_monotonic_us() - start_us < 2000000) {
        struct chunk chunk = read_chunk(link, 100);
        const char *line = strrchr(chunk.bytes, '$');
        if (line == NULL || sscanf(line, "$%*d,%*d,%lf", &range_mm) != 1) {
            range_mm = 0;
        }
    }
    ck_assert_double_gt(range_mm, 1000);
    start_us = clock_monotonic_us();
    link_close(link);
    ck_assert_int_lt(clock_monotonic_us() - start_us, 500000);
}
END_TEST

START_TEST(virtual_rig_that_nobody_reads_waits_for_nobody)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct link *link = link_kind_virtual.open("steady", "rate=1000&speed=20&seconds=20", &problem);
    if (link == NULL) {
        ck_assert_msg(access("/dev/pts/ptmx", F_OK) != 0, "%s", problem.sentence);
        printf("skipped: no pseudo-terminal here\n");
        return;
    }
    usleep(1500000); /* it has run dry by now: 20,000 lines, and the terminal keeps some hundreds */
    unsigned long last = 0;
    unsigned long lines = 0;
    struct chunk chunk;
    while ((chunk = read_chunk(link, 100)).result == LINK_BYTES) {
        for (char *line = chunk.bytes; (line = strchr(line, '$')) != NULL; line++) {
            unsigned long number = strtoul(line + 1, NULL, 10);
            last = number > last && number <= 20000 ? number : last;
            lines++;
        }
    }
    ck_assert_int_eq(chunk.result, LINK_END);
    ck_assert_uint_gt(lines, 10);
    ck_assert_uint_lt(lines, 20000);
    link_close(link);
}
END_TEST

START_TEST(links_leave_nothing_open)
{
    struct problem problem = {PROBLEM_NONE, ""};
    int before = descriptors_open();
    for (int i = 0; i < 20; i++) {
        struct link *link = link_kind_virtual.open("winter", "rate=1000", &problem);
        if (link != NULL) {
            read_chunk(link, 5);
            link_close(link);
        }
        ck_assert_ptr_null(link_kind_virtual.open("autumn", "", &problem));
        link_close(open_link(&link_kind_file, file_with("g.rig", BENCH), ""));
    }
    ck_assert_int_eq(descriptors_open(), before);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("links");
    TCase *tests = tcase_create("links");
    tcase_add_checked_fixture(tests, make_folder, remove_folder);
    tcase_set_timeout(tests, 30);
    tcase_add_test(tests, parameters_are_checked_by_name);
    tcase_add_test(tests, file_gives_every_byte_in_order_and_ends);
    tcase_add_test(tests, file_longer_than_its_buffer_is_whole);
    tcase_add_test(tests, arrival_is_the_streams_own_pace);
    tcase_add_test(tests, file_at_its_own_pace_faster_and_with_a_stop_cut_short);
    tcase_add_test(tests, wait_of_a_paced_file_ends_by_timeout_and_by_wake);
    tcase_add_loop_test(tests, files_that_cannot_be_read_are_named, 0,
                        (int)(sizeof wrong_files / sizeof wrong_files[0]));
    tcase_add_test(tests, standard_input_comes_as_it_comes);
    tcase_add_test(tests, terminal_is_read_raw_and_to_the_last_byte);
    tcase_add_test(tests, wake_ends_the_wait_for_a_terminal);
    tcase_add_test(tests, pulled_cable_is_noticed_and_taken_up_again);
    tcase_add_test(tests, another_terminal_under_the_same_number_is_left_alone);
    tcase_add_test(tests, down_link_sleeps);
    tcase_add_test(tests, busy_terminal_says_so);
    tcase_add_test(tests, forbidden_device_names_the_group_to_join);
    tcase_add_test(tests, what_is_no_terminal_is_refused);
    tcase_add_test(tests, virtual_rig_at_full_speed_is_one_line_a_read);
    tcase_add_test(tests, virtual_rig_plays_through_a_pseudo_terminal);
    tcase_add_test(tests, virtual_rig_is_told_while_it_plays);
    tcase_add_test(tests, virtual_rig_that_nobody_reads_waits_for_nobody);
    tcase_add_test(tests, links_leave_nothing_open);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
