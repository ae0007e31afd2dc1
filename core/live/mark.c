#include "live/mark.h"

#include "theory/chord_write.h"

static const char* const kinds[WAY_MARK_COUNT] = {"role", "landing",    "change",
                                                  "top",  "resolution", "learned"};
static const char* const landings[WAY_LANDING_COUNT] = {"target", "chord tone",
                                                        "other"};

// The white keys from middle C up, so that the lanes lie together in a piano roll.
const WayLane way_lanes[WAY_LANE_COUNT] = {
    {60, "Chord tone"},     {62, "Scale tone"},         {64, "Chromatic"},
    {65, "Landing target"}, {67, "Landing chord tone"}, {69, "Landing other"},
    {71, "Chord change"},   {72, "Top of the form"},    {74, "Resolution"},
    {76, "Form learned"},
};
const char* way_mark_name(WayMarkKind kind) {
  return kind < WAY_MARK_COUNT ? kinds[kind] : "";
}

const char* way_landing_name(WayLanding landing) {
  return landing < WAY_LANDING_COUNT ? landings[landing] : "";
}

static void write_note(const WayMark* m, WayOut* out) {
  way_out_str(out, m->held_over ? " held " : m->again ? " again " : " ");
  way_role_degree_write(m->role.degree, out);
  way_out_char(out, ' ');
  way_out_str(out, m->kind != WAY_MARK_LANDING
                       ? way_role_name((WayRole)m->role.role)
                       : way_landing_name((WayLanding)m->landing));
  way_out_str(out, " over ");
  way_chord_write(m->chord, out);
}

void way_mark_write(const WayMark* m, WayOut* out) {
  way_out_str(out, way_mark_name((WayMarkKind)m->kind));
  if (way_mark_of_note(m)) {
    write_note(m, out);
  } else if (m->kind == WAY_MARK_CHANGE) {
    way_out_char(out, ' ');
    way_chord_write(m->chord, out);
  } else if (m->kind == WAY_MARK_LEARNED) {
    way_out_char(out, ' ');
    way_out_int(out, m->bars);
    way_out_str(out, m->bars == 1 ? " bar" : " bars");
  } else {
    way_out_str(out, " chorus ");
    way_out_int(out, m->chorus + 1);
  }
}
