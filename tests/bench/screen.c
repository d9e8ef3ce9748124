#include "screen/screen.h"
#include "support/terminal.h"
#include "support/views.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <time.h>

/* What the screens cost: 30 drawings a second of a moving rider for ten seconds at three sizes.
 * Processor time of taking keys and drawing as a share of one core, and bytes a drawing. */

#define DRAWINGS 300

struct cost {
    double seconds; /* processor time of the drawings */
    bool rider;
};

static double processor_s(void)
{
    struct timespec time;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &time);
    return (double)time.tv_sec + (double)time.tv_nsec * 1e-9;
}

static int draw(void *context)
{
    static struct view view;
    struct cost *cost = context;
    struct problem problem = {.kind = PROBLEM_NONE};
    struct screen *screen = screen_open(&problem);
    if (screen == NULL) {
        printf("%s\n", problem.sentence);
        return 1;
    }
    made_view(&view, cost->rider ? MADE_HOLD_GUIDED : MADE_HOLD_FREE);
    char line[1024];
    screen_draw(screen, &view);
    if (cost->rider) { /* the test's key is read when it is there */
        struct timespec moment = {.tv_nsec = 200000000};
        nanosleep(&moment, NULL);
        screen_key(screen, &view, line, sizeof line);
        screen_draw(screen, &view);
    }
    double sum = 0.0;
    for (int i = 0; i < DRAWINGS; i++) {
        struct timespec moment = {.tv_nsec = 33333333};
        made_view_step(&view, 1.0 / 30.0);
        view.elapsed_s = 30.0; /* the hold does not end */
        double before = processor_s();
        screen_key(screen, &view, line, sizeof line);
        screen_draw(screen, &view);
        sum += processor_s() - before;
        nanosleep(&moment, NULL);
    }
    cost->seconds = sum;
    screen_close(screen);
    return 0;
}

int main(void)
{
    static const struct {
        int rows, columns;
    } sizes[] = {{24, 80}, {40, 120}, {60, 200}};
    struct cost *cost =
        mmap(NULL, sizeof *cost, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    if (cost == MAP_FAILED) {
        return EXIT_FAILURE;
    }
    for (size_t i = 0; i < 2 * sizeof sizes / sizeof sizes[0]; i++) {
        int rows = sizes[i / 2].rows, columns = sizes[i / 2].columns;
        struct terminal_settings settings = {.rows = rows, .columns = columns};
        cost->rider = i % 2 == 1;
        struct terminal *terminal = terminal_start_function(&settings, draw, cost);
        if (terminal == NULL) {
            printf("skipped: no pseudo-terminals here (/dev/pts)\n");
            return EXIT_SUCCESS;
        }
        if (cost->rider) {
            terminal_send(terminal, "v");
        }
        terminal_pump(terminal, 0.35);
        uint64_t before = terminal_bytes(terminal);
        if (!terminal_wait_end(terminal, NULL, 60.0)) {
            printf("did not end\n");
        }
        printf("screen %-6s %3dx%-2d  %4.2f %% of a core at 30 drawings/s, %.0f bytes a drawing\n",
               cost->rider ? "rider" : "fitter", columns, rows,
               100.0 * cost->seconds / (DRAWINGS / 30.0),
               (double)(terminal_bytes(terminal) - before) / DRAWINGS);
        terminal_end(terminal);
    }
    munmap(cost, sizeof *cost);
    return EXIT_SUCCESS;
}
