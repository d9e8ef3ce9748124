/* What a fast rig costs without a screen: 8 channels, 1000 samples a second through a
 * pseudo-terminal at their own pace, heard by 'holdline listen' and by a script that stores them.
 * Processor time of the program alone (the rig is another process), against the goal; fails when a
 * sample is lost. */
#include "base/clock.h"
#include "support/cable.h"

#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#define RATE_HZ 1000
#define MEASURED_S 10
#define GOAL_PERCENT 5.0
#define TEXT_MOST 65536

static size_t write_line(char *line, uint64_t number)
{
    size_t length = (size_t)sprintf(line, "$%llu,%llu", (unsigned long long)number,
                                    (unsigned long long)(number * 1000000 / RATE_HZ));
    for (unsigned c = 0; c < 8; c++) {
        length += (size_t)sprintf(line + length, ",%u.%u", 400 + c * 10 + (unsigned)(number % 7),
                                  (unsigned)(number * (c + 3) % 10));
    }
    unsigned sum = 0;
    for (size_t i = 1; i < length; i++) {
        sum ^= (unsigned char)line[i];
    }
    return length + (size_t)sprintf(line + length, "*%02X\n", sum);
}

/* The rig: until it is killed. */
static void play(const struct cable *cable)
{
    static const char heading[] =
        "# holdline-rig 1 id=fast rate=1000 unit=mm channels=a,b,c,d,e,f,g,h\n";
    char line[256];
    int64_t start_us = clock_monotonic_us();
    if (!cable_write(cable, heading, sizeof heading - 1)) {
        _exit(EXIT_FAILURE);
    }
    for (uint64_t number = 0;; number++) {
        int64_t due_us = start_us + (int64_t)(number * 1000000 / RATE_HZ);
        int64_t wait_us = due_us - clock_monotonic_us();
        if (wait_us > 0) {
            struct timespec wait = {0, wait_us * 1000};
            nanosleep(&wait, NULL);
        }
        size_t length = write_line(line, number);
        if (!cable_write(cable, line, length)) {
            _exit(EXIT_FAILURE);
        }
    }
}

struct cost {
    double processor_s, elapsed_s;
    int status;
};

/* Runs the program; what it prints goes to the file output. */
static struct cost run(const char *const *arguments, const char *output)
{
    struct cost cost = {0, 0, EXIT_FAILURE};
    struct rusage used;
    int status = 0;
    int64_t started_us = clock_monotonic_us();
    pid_t child = fork();
    if (child == 0) {
        int descriptor = open(output, O_WRONLY | O_CREAT | O_TRUNC, 0600);
        if (descriptor >= 0) {
            dup2(descriptor, STDOUT_FILENO);
            dup2(descriptor, STDERR_FILENO);
        }
        if (arguments[0] != NULL) {
            execv(arguments[0], (char *const *)arguments);
        }
        _exit(127);
    }
    if (child < 0 || wait4(child, &status, 0, &used) != child) {
        return cost;
    }
    cost.elapsed_s = (double)(clock_monotonic_us() - started_us) / 1e6;
    cost.processor_s = (double)(used.ru_utime.tv_sec + used.ru_stime.tv_sec) +
                       (double)(used.ru_utime.tv_usec + used.ru_stime.tv_usec) / 1e6;
    cost.status = WIFEXITED(status) ? WEXITSTATUS(status) : EXIT_FAILURE;
    return cost;
}

static const char *read_text(const char *path)
{
    static char text[TEXT_MOST];
    FILE *file = fopen(path, "rb");
    size_t length = file != NULL ? fread(text, 1, sizeof text - 1, file) : 0;
    text[length] = '\0';
    if (file != NULL) {
        fclose(file);
    }
    return text;
}

/* One program at one cable, with the rig on its other side. */
static bool measure(const char *what, const char *const *arguments, const struct cable *cable,
                    const char *output)
{
    pid_t rig = fork();
    if (rig == 0) {
        play(cable);
    }
    struct cost cost = run(arguments, output);
    kill(rig, SIGKILL);
    waitpid(rig, NULL, 0);
    double percent = 100 * cost.processor_s / cost.elapsed_s;
    printf("fast   %-22s %7.2f %% of one goal %5.1f   ratio %.2f\n", what, percent, GOAL_PERCENT,
           percent / GOAL_PERCENT);
    if (cost.status != EXIT_SUCCESS) {
        printf("fast   %s ended with %d:\n%s\n", what, cost.status, read_text(output));
    }
    return cost.status == EXIT_SUCCESS;
}

/* What follows a name in a text, as a number; -1 where it is not there. */
static long number_behind(const char *text, const char *name)
{
    const char *found = strstr(text, name);
    return found != NULL ? strtol(found + strlen(name), NULL, 10) : -1;
}

static bool listen_to(const char *program, const char *folder)
{
    struct cable cable;
    char rig[80], output[80], seconds[16];
    if (!cable_plug(&cable)) {
        return true;
    }
    snprintf(rig, sizeof rig, "tty:%s", cable.path);
    snprintf(output, sizeof output, "%s/listened", folder);
    snprintf(seconds, sizeof seconds, "%d", MEASURED_S);
    const char *const arguments[] = {program,  "listen",    rig,     "--health",
                                     "--json", "--seconds", seconds, NULL};
    bool fine = measure("listen, 8 x 1000/s", arguments, &cable, output);
    const char *text = read_text(output);
    long samples = number_behind(text, "\"samples\":");
    long lost = number_behind(text, "\"lost\":");
    printf("fast   %-22s %ld, %ld lost\n", "samples heard", samples, lost);
    cable_pull(&cable);
    return fine && lost == 0 && samples >= (MEASURED_S - 1) * RATE_HZ;
}

static bool store_all(const char *program, const char *folder)
{
    struct cable cable;
    char rig[80], output[80], script[80], store[80], exported[80];
    if (!cable_plug(&cable)) {
        return true;
    }
    snprintf(rig, sizeof rig, "tty:%s", cable.path);
    snprintf(output, sizeof output, "%s/ran", folder);
    snprintf(script, sizeof script, "%s/fast.session", folder);
    snprintf(store, sizeof store, "%s/store.db", folder);
    snprintf(exported, sizeof exported, "%s/fast.json", folder);
    FILE *file = fopen(script, "w");
    if (file == NULL) {
        return false;
    }
    fprintf(file,
            "session 2026-01-10T18:00:00Z seed=9\nrider R-09 \"winter group\"\n"
            "setup 1 \"as it came\"\nhold %ds free settle=0s\nexport %s\nend\n",
            MEASURED_S, exported);
    fclose(file);
    const char *const arguments[] = {program, "run", script, rig, "--store", store, NULL};
    bool fine = measure("run, all stored", arguments, &cable, output);
    const char *text = read_text(exported);
    long readings = number_behind(text, "\"readings\":");
    long lost = number_behind(text, "\"lost_samples\":");
    printf("fast   %-22s %ld, %ld lost\n", "samples of the hold", readings, lost);
    cable_pull(&cable);
    return fine && lost == 0 && readings >= MEASURED_S * RATE_HZ;
}

int main(void)
{
    const char *program = getenv("HOLDLINE") == NULL ? BUILD_DIR "/holdline" : getenv("HOLDLINE");
    char folder[] = "/tmp/holdline-bench-XXXXXX";
    if (mkdtemp(folder) == NULL) {
        perror("fast_rig");
        return EXIT_FAILURE;
    }
    bool fine = listen_to(program, folder);
    fine = store_all(program, folder) && fine;
    char remove_all[128];
    snprintf(remove_all, sizeof remove_all, "rm -rf %s", folder);
    return system(remove_all) == 0 && fine ? EXIT_SUCCESS : EXIT_FAILURE;
}
