/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/test_main.h"

#include "base/own_file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

static char folder[64];
static char path[128], other[128];

static void begin(void)
{
    snprintf(folder, sizeof folder, "/tmp/holdline-own-XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/file", folder);
    snprintf(other, sizeof other, "%s/other", folder);
    umask(0);
}

static void end(void)
{
    unlink(path);
    unlink(other);
    rmdir(folder);
}

static mode_t mode_of(const char *file)
{
    struct stat status;
    ck_assert_int_eq(lstat(file, &status), 0);
    return status.st_mode & 07777;
}

static void make_other(mode_t mode)
{
    int descriptor = open(other, O_CREAT | O_WRONLY, mode);
    ck_assert_int_eq(write(descriptor, "kept", 4), 4);
    close(descriptor);
}

static int64_t size_of(const char *file)
{
    struct stat status;
    ck_assert_int_eq(stat(file, &status), 0);
    return status.st_size;
}

START_TEST(a_file_is_its_owners_whatever_the_umask)
{
    static const mode_t masks[] = {0, 022, 077, 0777};
    for (size_t i = 0; i < sizeof masks / sizeof masks[0]; i++) {
        umask(masks[i]);
        int descriptor = own_file_open(path, O_EXCL);
        ck_assert_int_ge(descriptor, 0);
        close(descriptor);
        ck_assert_uint_eq(mode_of(path), 0600);
        unlink(path);
    }
    umask(0);
    make_other(0666);
    close(own_file_open(other, O_APPEND));
    ck_assert_uint_eq(mode_of(other), 0600);
}
END_TEST

START_TEST(what_is_no_plain_file_of_ones_own_is_refused)
{
    make_other(0600);
    ck_assert_int_eq(symlink(other, path), 0);
    ck_assert_int_eq(own_file_open(path, O_RDWR), -1);
    ck_assert_int_eq(errno, ELOOP);
    unlink(path);
    ck_assert_int_eq(link(other, path), 0); /* another file by a second name */
    ck_assert_int_eq(own_file_open(path, O_RDWR), -1);
    ck_assert_int_eq(errno, EPERM);
    unlink(path);
    ck_assert_int_eq(mkfifo(path, 0600), 0);
    ck_assert_int_eq(own_file_open(path, O_RDWR), -1);
    ck_assert_int_eq(errno, EPERM);
    unlink(path);
    ck_assert_int_eq(symlink("/dev/null", path), 0);
    ck_assert_int_eq(own_file_open(path, O_APPEND), -1);
    ck_assert_int_eq(size_of(other), 4);
    ck_assert_int_eq(own_file_open(other, O_EXCL), -1);
    ck_assert_int_eq(errno, EEXIST);
}
END_TEST

/* A file of somebody else's is neither written nor closed, even by a user who could. */
START_TEST(somebody_elses_file_is_left_alone)
{
    make_other(0666);
    if (chown(other, 65534, (gid_t)-1) != 0) {
        printf("skipped: this user can't give a file to another\n");
        return;
    }
    ck_assert_int_eq(own_file_open(other, O_RDWR), -1);
    ck_assert_int_eq(errno, EPERM);
    errno = 0;
    ck_assert(!own_file_close_to_others(other));
    ck_assert_int_eq(errno, EPERM);
    ck_assert_uint_eq(mode_of(other), 0666);
    ck_assert_int_eq(size_of(other), 4);
}
END_TEST

START_TEST(a_file_that_is_there_is_closed_to_others)
{
    make_other(0664);
    ck_assert(own_file_close_to_others(other));
    ck_assert_uint_eq(mode_of(other), 0600);
    ck_assert_int_eq(symlink(other, path), 0);
    chmod(other, 0644);
    ck_assert(!own_file_close_to_others(path));
    ck_assert_uint_eq(mode_of(other), 0644);
    unlink(path);
    ck_assert(!own_file_close_to_others(path));
    ck_assert_int_eq(errno, ENOENT);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("own file");
    TCase *tests = tcase_create("own file");
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, a_file_is_its_owners_whatever_the_umask);
    tcase_add_test(tests, what_is_no_plain_file_of_ones_own_is_refused);
    tcase_add_test(tests, somebody_elses_file_is_left_alone);
    tcase_add_test(tests, a_file_that_is_there_is_closed_to_others);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
