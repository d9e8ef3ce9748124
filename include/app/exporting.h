#ifndef HOLDLINE_APP_EXPORTING_H
#define HOLDLINE_APP_EXPORTING_H

#include "base/problem.h"
#include "report/report.h"

/* One session to one file; the kind follows the file's ending. The one place that knows which
 * ending is what: scripts, the live session, `replay` and `export` all come here. */
enum export_table { EXPORT_HOLDS, EXPORT_SETUPS, EXPORT_READINGS };

/* table matters for .csv only; a name that ends in -setups.csv or -readings.csv chooses it as well.
 * Of the pictures a name ending in -cloud.svg or -holds.svg gets that one, other .svg the heights.
 */
bool export_file(const struct report_input *input, sample_source *source, void *context,
                 enum export_table table, const char *path, bool replace, struct problem *problem);

/* The endings there are, for sentences and help: '.txt, .csv, .json, .html, .svg'. */
extern const char *const export_endings;

#endif
