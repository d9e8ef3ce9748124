#ifndef HOLDLINE_TESTS_SUPPORT_STORE_NUMBER_H
#define HOLDLINE_TESTS_SUPPORT_STORE_NUMBER_H

#include <stdint.h>

/* The first number that a query of a store gives, read without the program. Fails the test where
 * there is none. */
int64_t store_number(const char *store, const char *sql);

#endif
