/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/starved.h"

#include <dirent.h>
#include <stdio.h>

int64_t starved_us(pid_t process)
{
    char path[300];
    int64_t sum_us = 0;
    snprintf(path, sizeof path, "/proc/%d/task", (int)process);
    DIR *tasks = opendir(path);
    for (struct dirent *task = NULL; tasks != NULL && (task = readdir(tasks)) != NULL;) {
        long long ran_ns = 0, waited_ns = 0;
        snprintf(path, sizeof path, "/proc/%d/task/%.20s/schedstat", (int)process, task->d_name);
        FILE *accounts = task->d_name[0] == '.' ? NULL : fopen(path, "r");
        if (accounts != NULL && fscanf(accounts, "%lld %lld", &ran_ns, &waited_ns) == 2) {
            sum_us += waited_ns / 1000;
        }
        if (accounts != NULL) {
            fclose(accounts);
        }
    }
    if (tasks != NULL) {
        closedir(tasks);
    }
    return sum_us;
}
