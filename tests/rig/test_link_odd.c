/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Links that are opened with what can't be; streams that tell their pace late or never; ports that
 * are looked for again. */
#include "base/clock.h"
#include "rig/link.h"
#include "rig/link_parameters.h"
#include "rig/port.h"
#include "rig/serial_ports.h"
#include "support/link_reading.h"
#include "support/test_main.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

START_TEST(links_that_can_not_be)
{
    static char path[5000]; /* longer than any path */
    memset(path, 'x', sizeof path - 1);
    path[sizeof path - 1] = '\0';
    const struct {
        const struct link_kind *kind;
        const char *target, *parameters, *why;
    } cases[] = {
        {&link_kind_tty, path, "", "wants the path of a terminal device"},
        {&link_kind_tty, "/dev/null", "bud=9600", "'bud=9600' is not known behind this link's '?'"},
        {&link_kind_tty, "/dev/null", "baud=much", "wanted is a number"},
        {&link_kind_tty, "/dev/null", "baud=77", "no usual speed"},
        {&link_kind_virtual, "winter", "speed=much", "wanted is 'max' or a number"},
        {&link_kind_virtual, "winter", "seconds=-1", "wanted is a number"},
        {&link_kind_stdin, "-", "rate=much", ""},
        {&link_kind_file, "/dev/null", "", "is a device, no file"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct problem problem = {PROBLEM_NONE, ""};
        ck_assert_ptr_null(cases[i].kind->open(cases[i].target, cases[i].parameters, &problem));
        ck_assert_int_ne(problem.kind, PROBLEM_NONE);
        ck_assert_msg(strstr(problem.sentence, cases[i].why) != NULL, "%zu: %s", i,
                      problem.sentence);
    }
    struct problem problem = {PROBLEM_NONE, ""}; /* what is too long is cut in the sentence */
    static const char *const known[] = {"baud"};
    ck_assert(!link_parameters_check(path, known, 1, &problem));
    ck_assert_uint_lt(strlen(problem.sentence), 150);
}
END_TEST

/* With nothing in the way standard input stays open; a keyboard is no stream. */
START_TEST(standard_input_that_can_not_be)
{
    struct problem problem = {PROBLEM_NONE, ""};
    int nothing = open("/dev/null", O_RDONLY);
    ck_assert_int_eq(dup2(nothing, STDIN_FILENO), STDIN_FILENO);
    ck_assert_ptr_null(link_kind_stdin.open("-", "rate=much", &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "rate=much"));
    ck_assert_int_ge(fcntl(STDIN_FILENO, F_GETFD), 0);
    int master = posix_openpt(O_RDWR | O_NOCTTY);
    if (master < 0 || grantpt(master) != 0 || unlockpt(master) != 0) {
        return; /* no terminals here */
    }
    int slave = open(ptsname(master), O_RDWR | O_NOCTTY);
    ck_assert_int_eq(dup2(slave, STDIN_FILENO), STDIN_FILENO);
    ck_assert_ptr_null(link_kind_stdin.open("-", "", &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "that is the keyboard"));
}
END_TEST

/* The arrival of the last line of a file, us; its lines in steps of the rate. */
static int64_t last_arrival(const char *name, const char *text, bool *assumed)
{
    struct link *link = open_link(&link_kind_file, file_with(name, text), "speed=max");
    int64_t last_us = -1;
    for (struct chunk chunk = read_chunk(link, 1000); chunk.result == LINK_BYTES;
         chunk = read_chunk(link, 1000)) {
        last_us = chunk.arrival_us;
    }
    *assumed = link->rate_is_assumed;
    link_close(link);
    return last_us;
}

START_TEST(paces_of_files)
{
    bool assumed;
    /* by the rate above the numbers: 20 ms, three steps */
    ck_assert_int_eq(last_arrival("a.txt", "Fs,50\n412\n413\n414\n415\n", &assumed), 60000);
    ck_assert(!assumed);
    /* by a time that comes with the fourth record only; before, 20 ms are assumed */
    static const char late[] = "[{\"n\":\"head\",\"u\":\"m\",\"v\":0.41}]\n"
                               "[{\"n\":\"head\",\"u\":\"m\",\"v\":0.42}]\n"
                               "[{\"n\":\"head\",\"u\":\"m\",\"v\":0.43}]\n"
                               "[{\"n\":\"head\",\"u\":\"m\",\"v\":0.44,\"t\":5}]\n"
                               "[{\"n\":\"head\",\"u\":\"m\",\"v\":0.45,\"t\":5.1}]\n"
                               "[{\"n\":\"head\",\"u\":\"m\",\"v\":0.46,\"t\":5.2}]\n";
    int64_t last_us = last_arrival("b.txt", late, &assumed);
    ck_assert(assumed);
    ck_assert_int_ge(last_us, 200000);
    ck_assert_int_le(last_us, 400000);
}
END_TEST

/* A pipe with a name is open before anybody writes into it, and quiet till then. */
START_TEST(a_named_pipe_is_not_waited_for)
{
    const char *path = file_with("pipe", "");
    ck_assert_int_eq(remove(path), 0);
    ck_assert_int_eq(mkfifo(path, 0600), 0);
    struct link *link = open_link(&link_kind_file, path, "");
    ck_assert_int_eq(read_chunk(link, 20).result, LINK_QUIET);
    int writer = open(path, O_WRONLY | O_CLOEXEC);
    ck_assert_int_eq(write(writer, "412\n", 4), 4);
    ck_assert_int_eq(read_chunk(link, 1000).result, LINK_BYTES);
    ck_assert_int_eq(read_chunk(link, 20).result, LINK_QUIET);
    close(writer);
    ck_assert_int_eq(read_chunk(link, 1000).result, LINK_END);
    link_close(link);
}
END_TEST

/* Whoever waits without an end gets each line when it is due: 50 ms apart, 20 times as fast. */
START_TEST(waiting_without_an_end)
{
    struct link *link =
        open_link(&link_kind_file,
                  file_with("c.txt", "ms,mm\n0,412\n1000,413\n2000,414\n3000,415\n"), "speed=20");
    int64_t start_us = clock_monotonic_us();
    int lines = 0;
    for (; read_chunk(link, -1).result == LINK_BYTES; lines++) {
    }
    ck_assert_int_eq(lines, 5);
    ck_assert_int_ge(clock_monotonic_us() - start_us, 140000);
    ck_assert(!link_set_speed(link, 9600)); /* a file has none */
    link_close(link);
}
END_TEST

/* ---- a port that is gone --------------------------------------------------------------------- */

static int opened;

static bool open_never(struct port *port, struct problem *problem)
{
    (void)problem;
    opened++;
    port->descriptor = -1;
    return opened == 1; /* at first, as a port is */
}

static ssize_t read_nothing(struct port *port, char *bytes, size_t size)
{
    (void)port;
    (void)bytes;
    (void)size;
    errno = EAGAIN;
    return -1;
}

static bool no_speed(struct port *port, double baud)
{
    (void)port;
    (void)baud;
    return false;
}

static void do_nothing(struct port *port)
{
    (void)port;
}

START_TEST(a_port_that_is_looked_for_again)
{
    static const struct port_functions functions = {.open = open_never,
                                                    .read = read_nothing,
                                                    .set_speed = no_speed,
                                                    .close = do_nothing,
                                                    .release = do_nothing};
    struct port port;
    struct problem problem = {PROBLEM_NONE, ""};
    memset(&port, 0, sizeof port);
    opened = 0;
    ck_assert(port_start(&port, &functions, "test", &problem));
    port.next_try_us = 0; /* it is time */
    ck_assert_int_eq(read_chunk(&port.head, 10).result, LINK_DOWN);
    ck_assert_int_eq(opened, 2);
    port.next_try_us = clock_monotonic_us() + 30000; /* who waits without an end waits for it */
    ck_assert_int_eq(read_chunk(&port.head, -1).result, LINK_DOWN);
    ck_assert_int_eq(opened, 3);
    port.next_try_us = clock_monotonic_us() + 60000000; /* who does not goes on */
    ck_assert_int_eq(read_chunk(&port.head, 10).result, LINK_DOWN);
    ck_assert_int_eq(opened, 3);
    ck_assert(!link_set_speed(&port.head, 9600));
    link_close(&port.head);
}
END_TEST

START_TEST(the_same_usb_device_among_others)
{
    struct serial_port wanted, ports[5];
    memset(&wanted, 0, sizeof wanted);
    wanted.is_usb = true;
    wanted.vendor = 7;
    wanted.product = 9;
    snprintf(wanted.serial_number, sizeof wanted.serial_number, "A1");
    for (int i = 0; i < 5; i++) {
        ports[i] = wanted;
    }
    ports[0].is_usb = false;
    ports[1].vendor = 8;
    ports[2].product = 8;
    ports[3].serial_number[1] = '2';
    ck_assert_int_eq(serial_ports_find(ports, 5, &wanted), 4);
    ck_assert_int_eq(serial_ports_find(ports, 4, &wanted), -1);
    ports[3] = wanted; /* two alike */
    ck_assert_int_eq(serial_ports_find(ports, 5, &wanted), -1);
    wanted.is_usb = false;
    ck_assert_int_eq(serial_ports_find(ports, 5, &wanted), -1);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("link odd");
    TCase *tests = tcase_create("link odd");
    tcase_add_checked_fixture(tests, folder_make, folder_remove);
    tcase_set_timeout(tests, 30);
    tcase_add_test(tests, links_that_can_not_be);
    tcase_add_test(tests, standard_input_that_can_not_be);
    tcase_add_test(tests, paces_of_files);
    tcase_add_test(tests, a_named_pipe_is_not_waited_for);
    tcase_add_test(tests, waiting_without_an_end);
    tcase_add_test(tests, a_port_that_is_looked_for_again);
    tcase_add_test(tests, the_same_usb_device_among_others);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
