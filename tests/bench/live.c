/* What the live session costs: the real program in a pseudo-terminal of 80 by 24, 100 samples a
 * second from the virtual rig (whose own work is in the figures too). Against what was set as the
 * goal. */
#include "base/clock.h"
#include "support/terminal.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define MEASURED_S 20.0

/* Seconds of processor time the process has used. */
static double processor_s(int process)
{
    char path[64], line[1024] = "";
    snprintf(path, sizeof path, "/proc/%d/stat", process);
    FILE *stream = fopen(path, "r");
    if (stream == NULL || fgets(line, sizeof line, stream) == NULL) {
        line[0] = '\0';
    }
    if (stream != NULL) {
        fclose(stream);
    }
    /* user and system ticks are fields 14 and 15; the name before them may hold anything but a ')'
     */
    unsigned long user = 0, system = 0;
    const char *behind = strrchr(line, ')');
    if (behind == NULL || sscanf(behind, ") %*c %*d %*d %*d %*d %*d %*u %*u %*u %*u %*u %lu %lu",
                                 &user, &system) != 2) {
        return 0.0;
    }
    return (double)(user + system) / (double)sysconf(_SC_CLK_TCK);
}

static double most_resident_mib(int process)
{
    char path[64], line[256];
    snprintf(path, sizeof path, "/proc/%d/status", process);
    FILE *stream = fopen(path, "r");
    double kib = 0.0;
    while (stream != NULL && fgets(line, sizeof line, stream) != NULL) {
        if (strncmp(line, "VmHWM:", 6) == 0) {
            kib = strtod(line + 6, NULL);
        }
    }
    if (stream != NULL) {
        fclose(stream);
    }
    return kib / 1024.0;
}

static void print(const char *what, double value, const char *unit, double goal)
{
    printf("live   %-22s %7.2f %-8s goal %5.1f   ratio %.2f\n", what, value, unit, goal,
           value / goal);
}

int main(void)
{
    const char *program = getenv("HOLDLINE") == NULL ? BUILD_DIR "/holdline" : getenv("HOLDLINE");
    char folder[] = "/tmp/holdline-bench-XXXXXX";
    if (mkdtemp(folder) == NULL) {
        perror("live");
        return EXIT_FAILURE;
    }
    char store[64];
    snprintf(store, sizeof store, "%s/store.db", folder);
    const char *const arguments[] = {program,   "live", "virtual:steady?rate=100",
                                     "--store", store,  NULL};
    const struct terminal_settings settings = {.rows = 24, .columns = 80};
    int64_t started_us = clock_monotonic_us();
    struct terminal *terminal = terminal_start(&settings, arguments);
    if (terminal == NULL) {
        printf("skipped: no pseudo-terminal here\n");
        return EXIT_SUCCESS;
    }
    bool drawn = terminal_wait_text(terminal, "HOLDLINE", 5.0);
    double first_ms = (double)(clock_monotonic_us() - started_us) / 1000.0;
    int status = drawn ? EXIT_SUCCESS : EXIT_FAILURE;
    if (drawn) {
        terminal_pump(terminal, 3.0); /* the start is not what is measured */
        int process = terminal_process(terminal);
        double before_s = processor_s(process);
        uint64_t bytes = terminal_bytes(terminal);
        terminal_pump(terminal, MEASURED_S);
        print("first screen", first_ms, "ms", 25.0);
        print("processor", 100.0 * (processor_s(process) - before_s) / MEASURED_S, "% of one", 2.0);
        print("most resident", most_resident_mib(process), "MiB", 24.0);
        printf("live   %-22s %7.2f kB/s\n", "sent to the terminal",
               (double)(terminal_bytes(terminal) - bytes) / MEASURED_S / 1000.0);
    } else {
        printf("live   no screen within 5 s\n");
    }
    terminal_end(terminal);
    char remove_all[128];
    snprintf(remove_all, sizeof remove_all, "rm -rf %s", folder);
    return system(remove_all) == 0 ? status : EXIT_FAILURE;
}
