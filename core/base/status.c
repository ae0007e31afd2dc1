#include "base/status.h"

const char* way_strerror(WayStatus status) {
  switch (status) { // no default: the compiler reports a missing case
  case WAY_OK: return "success";
  case WAY_ERR_RANGE: return "number out of range";
  case WAY_ERR_SYNTAX: return "text not understood";
  case WAY_ERR_FORMAT: return "file damaged or of another format";
  case WAY_ERR_UNSUPPORTED: return "not supported";
  case WAY_ERR_FULL: return "no room left";
  case WAY_ERR_NO_MEMORY: return "out of memory";
  case WAY_ERR_IO: return "cannot read or write";
  }
  return "unknown status";
}
