/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#undef _FORTIFY_SOURCE /* whose calls of the library could not be stood before */
#define _GNU_SOURCE    /* for the pseudo-terminals that play serial ports */
#include "rig/link.h"
#include "rig/serial_ports.h"
#include "support/cable.h"
#include "support/link_reading.h"
#include "support/test_main.h"

#include <grp.h>
#include <libserialport.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <termios.h>

/* Linked into this test alone, so that libserialport takes pseudo-terminals. */
#include "preload/pty_as_serial.c"

/* A pseudo-terminal that libserialport takes for a port; false = skipped, loudly. */
static bool plug(struct cable *cable)
{
    struct sp_port *port = NULL;
    if (!cable_plug(cable)) {
        return false;
    }
    if (sp_get_port_by_name(cable->path, &port) != SP_OK) {
        printf("skipped: THE LIBSERIALPORT WAY IS NOT TESTED: this libserialport (%s) does not ask "
               "through the calls that tests/preload/pty_as_serial.c answers\n",
               sp_get_lib_version_string());
        cable_pull(cable);
        return false;
    }
    sp_free_port(port);
    return true;
}

START_TEST(port_is_opened_with_its_settings_and_read_raw)
{
    struct cable cable;
    if (!plug(&cable)) {
        return;
    }
    struct link *link = open_link(&link_kind_serial, cable.path, "baud=57600");
    ck_assert(!link->can_wait);
    struct termios settings;
    ck_assert_int_eq(tcgetattr(cable.master, &settings), 0);
    ck_assert_int_eq((int)cfgetispeed(&settings), B57600);
    ck_assert_int_eq((int)(settings.c_lflag & (ECHO | ICANON | ISIG)), 0);
    ck_assert_int_eq((int)(settings.c_cflag & (CSIZE | PARENB | CSTOPB)), CS8);
    char all[256];
    for (int i = 0; i < 256; i++) {
        all[i] = (char)i;
    }
    ck_assert(cable_write(&cable, all, sizeof all));
    size_t got = 0;
    while (got < sizeof all) {
        struct chunk chunk = read_chunk(link, 1000);
        ck_assert_int_eq(chunk.result, LINK_BYTES);
        ck_assert_mem_eq(chunk.bytes, all + got, chunk.length);
        got += chunk.length;
    }
    ck_assert_int_eq(read_chunk(link, 10).result, LINK_QUIET);
    link_close(link);
    cable_pull(&cable);
}
END_TEST

START_TEST(usual_speed_is_115200)
{
    struct cable cable;
    struct termios settings;
    if (!plug(&cable)) {
        return;
    }
    struct link *link = open_link(&link_kind_serial, cable.path, "");
    ck_assert_int_eq(tcgetattr(cable.master, &settings), 0);
    ck_assert_int_eq((int)cfgetispeed(&settings), B115200);
    link_close(link);
    link = open_link(&link_kind_serial, cable.path, "baud=9600&bits=7&parity=even&stop=2");
    ck_assert_int_eq(tcgetattr(cable.master, &settings), 0);
    ck_assert_int_eq((int)cfgetispeed(&settings), B9600);
    ck_assert_int_eq((int)(settings.c_cflag & CSTOPB), CSTOPB);
    link_close(link);
    cable_pull(&cable);
}
END_TEST

START_TEST(pulled_port_is_noticed_and_taken_up_through_its_link)
{
    struct cable cable;
    char name[512];
    if (!plug(&cable)) {
        return;
    }
    snprintf(name, sizeof name, "%s", folder_path("by-id"));
    ck_assert(cable_link(&cable, name)); /* libserialport 0.1.1 itself refuses links */
    struct link *link = open_link(&link_kind_serial, name, "");
    ck_assert(cable_write(&cable, "one\n", 4));
    ck_assert_str_eq(read_chunk(link, 1000).bytes, "one\n");
    int before = descriptors_open();
    for (uint64_t pull = 1; pull <= 3; pull++) {
        unlink(name); /* the number may be given to somebody else before the link is made anew */
        cable_pull(&cable);
        ck_assert_int_lt(time_until(link, LINK_DOWN), 1000000);
        ck_assert_uint_eq(link->times_down, pull);
        ck_assert(plug(&cable));
        ck_assert(cable_link(&cable, name));
        ck_assert_int_lt(time_until(link, LINK_UP), 1000000);
        ck_assert(cable_write(&cable, "two\n", 4));
        ck_assert_str_eq(read_chunk(link, 1000).bytes, "two\n");
    }
    ck_assert_int_eq(descriptors_open(), before);
    link_close(link);
    cable_pull(&cable);
}
END_TEST

START_TEST(busy_port_says_so)
{
    struct cable cable;
    struct problem problem = {PROBLEM_NONE, ""};
    if (!plug(&cable)) {
        return;
    }
    int other = open(cable.path, O_RDWR | O_NOCTTY | O_CLOEXEC);
    ck_assert_int_ge(other, 0);
    ck_assert_int_eq(flock(other, LOCK_EX | LOCK_NB), 0);
    int before = descriptors_open();
    ck_assert_ptr_null(link_kind_serial.open(cable.path, "", &problem));
    ck_assert_msg(strstr(problem.sentence, "busy") != NULL, "%s", problem.sentence);
    ck_assert_int_eq(descriptors_open(), before);
    close(other);
    struct link *first = open_link(&link_kind_serial, cable.path, "");
    ck_assert_ptr_null(link_kind_serial.open(cable.path, "", &problem));
    ck_assert_msg(strstr(problem.sentence, "busy") != NULL, "%s", problem.sentence);
    link_close(first);
    cable_pull(&cable);
}
END_TEST

START_TEST(forbidden_port_names_the_group_to_join)
{
    struct cable cable;
    struct problem problem = {PROBLEM_NONE, ""};
    struct group *group = getgrnam("dialout");
    if (!plug(&cable)) {
        return;
    }
    if (geteuid() != 0 || group == NULL) {
        printf("skipped: only root can give a port to the group dialout\n");
        cable_pull(&cable);
        return;
    }
    ck_assert_int_eq(chown(cable.path, 0, group->gr_gid), 0);
    ck_assert_int_eq(chmod(cable.path, 0060), 0);
    ck_assert_int_eq(setegid(65534), 0);
    ck_assert_int_eq(seteuid(65534), 0);
    ck_assert_ptr_null(link_kind_serial.open(cable.path, "", &problem));
    ck_assert_int_eq(seteuid(0), 0);
    ck_assert_msg(strstr(problem.sentence, "usermod -aG dialout") != NULL, "%s", problem.sentence);
    cable_pull(&cable);
}
END_TEST

static const struct {
    const char *target, *parameters, *named;
} wrong_ports[] = {
    {"/dev/ttyNONE7", "", "not there"},
    {"/dev/null", "", "no serial port"},
    {"", "", "path"},
    {"/dev/ttyNONE7", "baud=0", "baud"},
    {"/dev/ttyNONE7", "bits=9", "bits"},
    {"/dev/ttyNONE7", "parity=some", "parity"},
    {"/dev/ttyNONE7", "flow=over", "flow"},
    {"/dev/ttyNONE7", "speed=max", "speed"},
    {"/dev/ttyNONE7", "stop=3", "stop"},
};

START_TEST(wrong_ports_and_settings_are_named)
{
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert_ptr_null(
        link_kind_serial.open(wrong_ports[_i].target, wrong_ports[_i].parameters, &problem));
    ck_assert_msg(strstr(problem.sentence, wrong_ports[_i].named) != NULL, "%s", problem.sentence);
}
END_TEST

START_TEST(path_that_is_longer_than_any_is_none)
{
    static char path[5000];
    struct problem problem = {PROBLEM_NONE, ""};
    memset(path, 'x', sizeof path - 1);
    ck_assert_ptr_null(link_kind_serial.open(path, "", &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "wants the path of a port"));
}
END_TEST

START_TEST(same_usb_device_is_found_under_another_name)
{
    const struct serial_port ports[] = {
        {.device = "/dev/ttyS0"},
        {.device = "/dev/ttyUSB0", .is_usb = true, .vendor = 1, .product = 2, .serial_number = "A"},
        {.device = "/dev/ttyUSB1", .is_usb = true, .vendor = 1, .product = 2, .serial_number = "B"},
        {.device = "/dev/ttyUSB2", .is_usb = true, .vendor = 1, .product = 3, .serial_number = ""},
        {.device = "/dev/ttyUSB3", .is_usb = true, .vendor = 1, .product = 4, .serial_number = ""},
        {.device = "/dev/ttyUSB4", .is_usb = true, .vendor = 1, .product = 4, .serial_number = ""},
    };
    struct serial_port wanted = {.is_usb = true, .vendor = 1, .product = 2, .serial_number = "B"};
    ck_assert_int_eq(serial_ports_find(ports, 6, &wanted), 2);
    strcpy(wanted.serial_number, "C");
    ck_assert_int_eq(serial_ports_find(ports, 6, &wanted), -1);
    wanted.product = 3;
    strcpy(wanted.serial_number, "");
    ck_assert_int_eq(serial_ports_find(ports, 6, &wanted), 3);
    wanted.product = 4; /* two alike */
    ck_assert_int_eq(serial_ports_find(ports, 6, &wanted), -1);
    ck_assert_int_eq(serial_ports_find(ports, 5, &wanted), 4);
    wanted.is_usb = false;
    ck_assert_int_eq(serial_ports_find(ports, 6, &wanted), -1);
}
END_TEST

START_TEST(ports_of_this_computer_are_listed)
{
    struct serial_port *ports = calloc(SERIAL_PORTS_MAX, sizeof *ports);
    ck_assert_ptr_nonnull(ports);
    struct problem problem = {PROBLEM_NONE, ""};
    int count = serial_ports_list(ports, SERIAL_PORTS_MAX, &problem);
    if (access("/sys/class", F_OK) != 0) { /* a bare root: there is nothing to ask */
        ck_assert_int_eq(count, -1);
        ck_assert_ptr_nonnull(strstr(problem.sentence, "is /sys mounted?"));
        free(ports);
        return;
    }
    ck_assert_msg(count >= 0, "%s", problem.sentence);
    for (int i = 0; i < count; i++) {
        ck_assert_int_eq(strncmp(ports[i].device, "/dev/", 5), 0);
        ck_assert_msg(access(ports[i].device, F_OK) == 0, "%s is listed", ports[i].device);
    }
    ck_assert_int_eq(serial_ports_list(ports, 0, &problem), 0);
    free(ports);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("link_serial");
    TCase *tests = tcase_create("link_serial");
    tcase_add_checked_fixture(tests, folder_make, folder_remove);
    tcase_set_timeout(tests, 30);
    tcase_add_test(tests, path_that_is_longer_than_any_is_none);
    tcase_add_test(tests, port_is_opened_with_its_settings_and_read_raw);
    tcase_add_test(tests, usual_speed_is_115200);
    tcase_add_test(tests, pulled_port_is_noticed_and_taken_up_through_its_link);
    tcase_add_test(tests, busy_port_says_so);
    tcase_add_test(tests, forbidden_port_names_the_group_to_join);
    tcase_add_loop_test(tests, wrong_ports_and_settings_are_named, 0,
                        (int)(sizeof wrong_ports / sizeof wrong_ports[0]));
    tcase_add_test(tests, same_usb_device_is_found_under_another_name);
    tcase_add_test(tests, ports_of_this_computer_are_listed);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
