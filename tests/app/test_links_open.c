/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/links.h"
#include "app/port_scan.h"
#include "support/cable.h"
#include "support/test_main.h"

#include <pthread.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static struct decoder_options nothing_said;

/* A rig that plays on a cable until it is told to stop. */
struct player {
    struct cable cable;
    const char *line; /* sent 100 times a second */
    atomic_bool stop;
    pthread_t thread;
};

static void *play(void *context)
{
    struct player *player = context;
    while (!atomic_load(&player->stop)) {
        cable_write(&player->cable, player->line, strlen(player->line));
        usleep(10000);
    }
    return NULL;
}

static bool player_start(struct player *player, const char *line)
{
    player->line = line;
    atomic_init(&player->stop, false);
    return cable_plug(&player->cable) && pthread_create(&player->thread, NULL, play, player) == 0;
}

static void player_end(struct player *player)
{
    atomic_store(&player->stop, true);
    pthread_join(player->thread, NULL);
    cable_pull(&player->cable);
}

static const char *const bench = "# holdline-rig 1 id=a rate=100 unit=mm channels=head\n"
                                 "$1,1000000,412.5*2C\n";

static struct link *open_or_fail(const char *spec)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct link *link = links_open(spec, &nothing_said, &problem);
    ck_assert_msg(link != NULL, "%s: %s", spec, problem.sentence);
    return link;
}

START_TEST(paths_and_schemes_are_told_apart)
{
    char path[] = "/tmp/holdline-odd?name-XXXXXX";
    char spec[256];
    int descriptor = mkstemp(path);
    ck_assert_int_ge(descriptor, 0);
    ck_assert_int_eq(write(descriptor, "412\n", 4), 4);
    close(descriptor);
    struct link *link = open_or_fail(path); /* a '?' in the name itself */
    ck_assert(link->can_wait);
    ck_assert_str_eq(link->name, path);
    link_close(link);
    snprintf(spec, sizeof spec, "file:%s?rate=25&speed=max", path);
    link = open_or_fail(spec);
    ck_assert_double_eq(link->stated_rate_hz, 25);
    link_close(link);
    unlink(path);
    link = open_or_fail("virtual:winter?speed=max&seed=3");
    ck_assert(link->can_wait);
    ck_assert_str_eq(link->name, "virtual:winter?speed=max&seed=3");
    link_close(link);
}
END_TEST

START_TEST(bare_path_of_a_terminal_is_a_terminal)
{
    struct cable cable;
    if (!cable_plug(&cable)) {
        return;
    }
    struct link *link = open_or_fail(cable.path);
    ck_assert(!link->can_wait);
    link_close(link);
    char name[] = "/tmp/holdline-link-XXXXXX";
    ck_assert_ptr_nonnull(mkdtemp(name));
    char through[64];
    snprintf(through, sizeof through, "%s/rig", name);
    ck_assert(cable_link(&cable, through));
    link_close(open_or_fail(through));
    unlink(through);
    rmdir(name);
    cable_pull(&cable);
}
END_TEST

static const struct {
    const char *spec, *named;
    enum problem_kind kind;
} wrong_specs[] = {
    {"nothing.rig", "nothing.rig", PROBLEM_FAILED},
    {"/dev/ttyNONE7", "plug the rig in", PROBLEM_FAILED},
    {"/tmp", "folder", PROBLEM_FAILED},
    {"virtual:summer", "summer", PROBLEM_USAGE},
    {"virtual:winter?seed=x", "seed", PROBLEM_USAGE},
    {"file:/etc/hostname?loops=3", "loops", PROBLEM_USAGE},
    {"tty:/etc/hostname", "no terminal", PROBLEM_FAILED},
    {"", "", PROBLEM_FAILED},
};

START_TEST(wrong_rigs_are_told)
{
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert_ptr_null(links_open(wrong_specs[_i].spec, &nothing_said, &problem));
    ck_assert_int_eq(problem.kind, wrong_specs[_i].kind);
    ck_assert_msg(strstr(problem.sentence, wrong_specs[_i].named) != NULL, "%s", problem.sentence);
}
END_TEST

START_TEST(the_one_rig_that_is_heard_is_picked)
{
    struct player rig;
    struct player noise;
    struct cable silent;
    if (!cable_plug(&silent)) {
        return;
    }
    ck_assert(player_start(&rig, bench));
    ck_assert(player_start(&noise, "login: \n"));
    const char *specs[] = {silent.path, "/dev/ttyNONE7", noise.cable.path, rig.cable.path};
    struct problem problem = {PROBLEM_NONE, ""};
    struct link *link = port_scan_pick(specs, 4, 1, &nothing_said, NULL, &problem);
    ck_assert_msg(link != NULL, "%s", problem.sentence);
    ck_assert_str_eq(link->name, rig.cable.path);
    char bytes[256];
    size_t length = 0;
    int64_t arrival_us = 0;
    ck_assert_int_eq(link_read(link, bytes, sizeof bytes, &length, 1000, &arrival_us, NULL),
                     LINK_BYTES); /* still open */
    link_close(link);
    player_end(&rig);
    player_end(&noise);
    cable_pull(&silent);
}
END_TEST

START_TEST(none_and_several_are_told_apart)
{
    struct player rig;
    struct player other;
    struct cable silent;
    struct problem problem = {PROBLEM_NONE, ""};
    int before = descriptors_open();
    if (!cable_plug(&silent)) {
        return;
    }
    ck_assert(player_start(&rig, bench));
    ck_assert(player_start(&other, "412 387\n"));
    const char *specs[] = {rig.cable.path, other.cable.path, silent.path};
    ck_assert_ptr_null(port_scan_pick(specs, 3, 1, &nothing_said, NULL, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "several"));
    ck_assert_ptr_nonnull(strstr(problem.sentence, rig.cable.path));
    ck_assert_ptr_nonnull(strstr(problem.sentence, other.cable.path));
    ck_assert_ptr_null(strstr(problem.sentence, silent.path));
    ck_assert_ptr_null(port_scan_pick(&specs[2], 1, 0.5, &nothing_said, NULL, &problem));
    ck_assert_msg(strstr(problem.sentence, "silent") != NULL, "%s", problem.sentence);
    ck_assert_ptr_null(port_scan_pick(specs, 0, 1, &nothing_said, NULL, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "no serial port"));
    player_end(&rig);
    player_end(&other);
    cable_pull(&silent);
    ck_assert_int_eq(descriptors_open(), before);
}
END_TEST

static bool at_once(void *context)
{
    (*(int *)context)++;
    return true;
}

/* The one that might be read another way is offered; of two, none. */
START_TEST(what_might_be_read_is_offered)
{
    struct player centimetres, more;
    struct problem problem = {PROBLEM_NONE, ""};
    struct port_search search = {.ends = NULL};
    if (!player_start(&centimetres, "41.2\n")) {
        return;
    }
    ck_assert(player_start(&more, "login: \n"));
    const char *specs[] = {centimetres.cable.path, more.cable.path};
    for (int i = 0; i < 20 && !search.has_offer; i++) { /* a busy machine hears fewer lines */
        ck_assert_ptr_null(port_scan_pick(specs, 2, 2, &nothing_said, &search, &problem));
    }
    ck_assert(search.has_offer);
    ck_assert_str_eq(search.spec, centimetres.cable.path);
    ck_assert_str_eq(search.finding.proposal.unit, "cm");
    player_end(&more);
    ck_assert(player_start(&more, "0.305\n"));
    specs[1] = more.cable.path;
    for (int i = 0; i < 20 && search.has_offer; i++) {
        ck_assert_ptr_null(port_scan_pick(specs, 2, 2, &nothing_said, &search, &problem));
    }
    ck_assert(!search.has_offer);
    int asked = 0;
    search = (struct port_search){.ends = at_once, .context = &asked};
    ck_assert_ptr_null(port_scan_pick(specs, 2, 1000, &nothing_said, &search, &problem));
    ck_assert_int_eq(asked, 1);
    player_end(&centimetres);
    player_end(&more);
}
END_TEST

START_TEST(rate_is_measured_as_it_comes)
{
    struct scanned_port port = {.samples = 0};
    strcpy(port.spec, "virtual:steady?rate=200");
    port_scan_open(&port);
    if (port.link == NULL && access("/dev/pts/ptmx", F_OK) != 0) {
        printf("skipped: no pseudo-terminal here\n");
        port_scan_close(&port);
        return;
    }
    ck_assert_msg(port.link != NULL, "%s", port.problem.sentence);
    port_scan_listen(&port, 1, 5, 1, NULL);
    ck_assert(port_scan_is_rig(&port));
    ck_assert_double_eq_tol(port_scan_rate_hz(&port), 200, 20);
    ck_assert_uint_eq(port_scan_rejected(&port), 0);
    port_scan_close(&port);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("links_open");
    TCase *tests = tcase_create("links_open");
    tcase_set_timeout(tests, 30);
    tcase_add_test(tests, paths_and_schemes_are_told_apart);
    tcase_add_test(tests, bare_path_of_a_terminal_is_a_terminal);
    tcase_add_loop_test(tests, wrong_rigs_are_told, 0,
                        (int)(sizeof wrong_specs / sizeof wrong_specs[0]));
    tcase_add_test(tests, the_one_rig_that_is_heard_is_picked);
    tcase_add_test(tests, none_and_several_are_told_apart);
    tcase_add_test(tests, what_might_be_read_is_offered);
    tcase_add_test(tests, rate_is_measured_as_it_comes);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
