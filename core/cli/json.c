#include "cli/json.h"

#include <stdio.h>

/// Write what stands before a value: a comma and its name, as they are due.
static void begin(WayJson* j, const char* name) {
  if (j->more) putchar(',');
  j->more = true;
  if (name) printf("\"%s\":", name);
}

void way_json_open(WayJson* j, const char* name, char bracket) {
  if (j->failed) return;
  begin(j, name);
  putchar(bracket);
  j->more = false;
}

void way_json_put(WayJson* j, const char* name, json_t* value) {
  j->failed |= !value;
  if (!j->failed) {
    begin(j, name);
    // Twelve digits: finer than any file's ticks, and 0.1 stays 0.1.
    const size_t how = JSON_COMPACT | JSON_ENCODE_ANY | JSON_REAL_PRECISION(12);
    j->failed = json_dumpf(value, stdout, how) && !ferror(stdout);
  }
  json_decref(value);
}

void way_json_close(WayJson* j, char bracket) {
  if (j->failed) return;
  putchar(bracket);
  j->more = true;
}

WayExit way_json_end(const WayJson* j) {
  if (j->failed)
    return way_cli_failed("standard output", "%s", way_strerror(WAY_ERR_NO_MEMORY));
  putchar('\n');
  return WAY_EXIT_OK;
}

WayExit way_json_print(json_t* value) {
  WayJson j = {0};
  way_json_put(&j, NULL, value);
  return way_json_end(&j);
}
