/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/no_network.h"

#include <errno.h>
#include <linux/audit.h>
#include <linux/filter.h>
#include <linux/seccomp.h>
#include <stddef.h>
#include <sys/prctl.h>
#include <sys/socket.h>
#include <sys/syscall.h>

#if defined(__x86_64__) && !defined(__ILP32__)
#define MACHINE AUDIT_ARCH_X86_64
#elif defined(__aarch64__)
#define MACHINE AUDIT_ARCH_AARCH64
#elif defined(__riscv) && __riscv_xlen == 64
#define MACHINE AUDIT_ARCH_RISCV64
#endif

/* Machines on which sockets come by another call, too (socketcall), have no filter here. */
#if defined(MACHINE) && defined(__NR_socket) && !defined(__NR_socketcall)

#define X32_CALLS 0x40000000U /* of x86-64: the same calls by other numbers */

#define LOAD(member) BPF_STMT(BPF_LD | BPF_W | BPF_ABS, offsetof(struct seccomp_data, member))
#define IF_EQUAL(value, then, otherwise)                                                           \
    BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, (value), (then), (otherwise))
#define IF_LEAST(value, then, otherwise)                                                           \
    BPF_JUMP(BPF_JMP | BPF_JGE | BPF_K, (value), (then), (otherwise))
#define ANSWER(what) BPF_STMT(BPF_RET | BPF_K, (what))
#define FAIL_WITH(error) ANSWER(SECCOMP_RET_ERRNO | (error))

bool no_network(void)
{
    /* jumps count the statements that are passed over */
    struct sock_filter statements[] = {
        LOAD(arch),
        IF_EQUAL(MACHINE, 1, 0),
        FAIL_WITH(ENOSYS), /* a call of another machine's kind */
        LOAD(nr),
        IF_LEAST(X32_CALLS, 0, 1),
        FAIL_WITH(ENOSYS),
#ifdef __NR_io_uring_setup
        IF_EQUAL(__NR_io_uring_setup, 0, 1),
        FAIL_WITH(ENOSYS),
#endif
        IF_EQUAL(__NR_socket, 1, 0),
        ANSWER(SECCOMP_RET_ALLOW),
        LOAD(args[0]), /* its lower half: machines here have it first */
        IF_EQUAL(AF_UNIX, 0, 1),
        ANSWER(SECCOMP_RET_ALLOW),
        FAIL_WITH(EAFNOSUPPORT),
    };
    struct sock_fprog program = {.len = sizeof statements / sizeof statements[0],
                                 .filter = statements};
    return prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) == 0 &&
           prctl(PR_SET_SECCOMP, SECCOMP_MODE_FILTER, &program) == 0;
}

#else

bool no_network(void)
{
    return false;
}

#endif
