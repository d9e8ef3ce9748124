/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_STARVED_H
#define HOLDLINE_TESTS_SUPPORT_STARVED_H

#include <stdint.h>
#include <sys/types.h>

/* How long a process's threads have waited for a processor, all together, from the kernel's own
 * accounts (proc_pid_schedstat(5): run time, time on the queue, slices); 0 where there are none. */
int64_t starved_us(pid_t process);

#endif
