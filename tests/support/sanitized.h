/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_SANITIZED_H
#define HOLDLINE_TESTS_SUPPORT_SANITIZED_H

/* SANITIZED: the test, and the program beside it, were built with the sanitizer of addresses or of
 * threads, which have their own memory and are many times slower. */
#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
#define SANITIZED 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer) || __has_feature(thread_sanitizer)
#define SANITIZED 1
#endif
#endif

/* SANITIZED_THREADS: the sanitizer of threads. It calls what a test replaces of the C library
 * before it can look up the library's own. */
#if defined(__SANITIZE_THREAD__)
#define SANITIZED_THREADS 1
#elif defined(__has_feature)
#if __has_feature(thread_sanitizer)
#define SANITIZED_THREADS 1
#endif
#endif

#endif
