/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What reports cost: the real program from start to exit, a session of twelve holds of 60 s at 50
 * readings a second on three setups. The CSV of all readings goes beside the CSV of the `sqlite3`
 * command for the same rows and columns in the same run; heights are the program's own, the
 * query's are empty. */
#include "support/bench.h"
#include "support/program.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define RUNS 7
#define GOAL_MS 1000.0

/* A capture's build is its hold's or its target's, else the last one before it. */
static const char readings_sql[] =
    "WITH k AS (SELECT k.session_id, k.place, k.kind, k.first_sample, k.last_sample,"
    "  h.number AS hold, coalesce(h.build, t.build, (SELECT max(b.place) FROM build b"
    "   WHERE b.session_id = k.session_id AND b.first_sample <= k.first_sample)) AS build"
    "  FROM capture k"
    "  LEFT JOIN hold h ON h.session_id = k.session_id AND h.capture = k.place"
    "  LEFT JOIN target t ON t.session_id = k.session_id AND t.capture = k.place"
    "  WHERE k.session_id = 1)"
    " SELECT x.n - s.first_n + 1 AS sample, x.rig_us / 1e6 AS seconds, k.place AS capture, k.kind,"
    "  k.hold, u.number AS setup, b.ordinal AS build, c.name AS channel,"
    "  CASE c.channel WHEN 1 THEN x.v1 ELSE x.v2 END / 10.0 AS range_mm,"
    "  CASE (x.quality >> (3 * (c.channel - 1))) & 7 WHEN 0 THEN 'good' WHEN 1 THEN 'missing'"
    "   WHEN 2 THEN 'weak' WHEN 3 THEN 'saturated' ELSE 'out of range' END AS quality,"
    "  NULL AS height_mm"
    " FROM k CROSS JOIN session s ON s.id = k.session_id"
    " CROSS JOIN build b ON b.session_id = s.id AND b.place = k.build"
    " CROSS JOIN setup u ON u.session_id = s.id AND u.place = b.setup"
    " CROSS JOIN sample x ON x.n BETWEEN s.first_n - 1 + k.first_sample"
    "  AND s.first_n - 1 + k.last_sample"
    " CROSS JOIN channel c ON c.session_id = s.id AND c.placing = b.placing";

static long lines_of(const struct bench *bench, const char *name)
{
    char path[128];
    long lines = 0;
    snprintf(path, sizeof path, "%s/%s", bench->folder, name);
    FILE *file = fopen(path, "r");
    for (int letter; file != NULL && (letter = getc(file)) != EOF;) {
        lines += letter == '\n';
    }
    if (file != NULL) {
        fclose(file);
    }
    return lines;
}

static double export_ms(struct bench *bench, const char *file)
{
    const char *const argv[] = {program_path(), "export",  "last", file,
                                "--replace",    "--store", "s.db", NULL};
    return bench_least_ms(bench, argv, "said", RUNS);
}

static void measure_readings(struct bench *bench)
{
    static const char *const sqlite3[] = {"sqlite3", "-csv",       "-header", "-readonly",
                                          "s.db",    readings_sql, NULL};
    double ours_ms = export_ms(bench, "visit-readings.csv");
    if (system("command -v sqlite3 >/dev/null") != 0) {
        bench_skip(bench, "the CSV of all readings: there is no sqlite3 command here");
        return;
    }
    double theirs_ms = bench_least_ms(bench, sqlite3, "theirs.csv", RUNS);
    long ours = lines_of(bench, "visit-readings.csv"), theirs = lines_of(bench, "theirs.csv");
    if (isfinite(theirs_ms) && ours != theirs) {
        bench_fail(bench, "the CSV has %ld lines, that of sqlite3 %ld", ours, theirs);
        return;
    }
    bench_tell(bench, "visit-readings.csv", ours_ms, "ms");
    bench_tell(bench, "the same by sqlite3", theirs_ms, "ms");
    bench_at_least(bench, "visit-readings.csv", theirs_ms / ours_ms, "x sqlite3", 1.0);
}

int main(void)
{
    static const char *const files[] = {"visit.pdf", "visit.html", "visit.json"};
    struct bench bench;
    if (bench_begin(&bench, "report") && bench_store_visit(&bench, "s.db")) {
        for (size_t i = 0; i < sizeof files / sizeof files[0]; i++) {
            bench_at_most(&bench, files[i], export_ms(&bench, files[i]), "ms", GOAL_MS);
        }
        measure_readings(&bench);
    }
    return bench_end(&bench);
}
