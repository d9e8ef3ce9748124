#include "app/page.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

#define WIDTH_UNKNOWN 80
#define WIDTH_MOST 120

int page_width(void)
{
    struct winsize size;
    if (!isatty(STDOUT_FILENO) || ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) != 0 ||
        size.ws_col == 0) {
        return WIDTH_UNKNOWN;
    }
    return size.ws_col < WIDTH_MOST ? size.ws_col : WIDTH_MOST;
}

bool page_end(struct problem *problem)
{
    if (fflush(stdout) == 0 && !ferror(stdout)) {
        return true;
    }
    return errno == EPIPE || problem_set(problem, "standard output: %s", strerror(errno));
}
