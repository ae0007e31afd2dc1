// JSON on standard output, written as it comes: a long answer takes no memory.
#ifndef WAY_CLI_JSON_H
#define WAY_CLI_JSON_H

#include "cli/cli.h"

#include <jansson.h>

/// One JSON document on its way out.  Starts as `{0}`.
typedef struct {
  bool more;   ///< A comma is due
  bool failed; ///< Memory ran out; nothing is written any more
} WayJson;

/// Begin an array (`[`) or object (`{`); `name` is NULL at the top and in arrays.
void way_json_open(WayJson* j, const char* name, char bracket);
/// Write a value and release it; NULL says that memory ran out.
void way_json_put(WayJson* j, const char* name, json_t* value);
/// End what was begun.
void way_json_close(WayJson* j, char bracket);
/// End the line and with it the document.
/// @return #WAY_EXIT_OK, or #WAY_EXIT_FAILED after a message that memory ran out.
WayExit way_json_end(const WayJson* j);
/// Write a document of one value and release it.  Returns as way_json_end().
WayExit way_json_print(json_t* value);

#endif
