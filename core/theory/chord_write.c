#include "theory/chord_write.h"

#include "theory/tone_words.h"

#include <string.h>

/// Chords written by a name of their own rather than by root, figure and changes.
static const struct {
  const char* text;
  WayTones tones;
} own_names[] = {
    {"7alt",
     NATURAL(1) | NATURAL(3) | FLAT(7) | FLAT(9) | SHARP(9) | SHARP(11) | FLAT(13)},
};

/// A symbol being written.
typedef struct {
  WayOut* out;
  WayTones want; ///< The chord
  WayTones have; ///< What the text so far means
  bool bare;     ///< Nothing follows the root yet
} Writer;

static void write_part(Writer* w, const char* text, WayTones clear, WayTones set) {
  way_out_str(w->out, text);
  w->have = (w->have & ~clear) | set;
  if (*text) w->bare = false;
}

/// The triad, and the seventh that figures over it mean.
static WayTones write_triad(Writer* w) {
  const WayTones want = w->want;
  WayTones seventh = want & FLAT(7) ? FLAT(7) : want & NATURAL(7);
  if ((want & FLAT(3)) && !(want & NATURAL(3))) {
    if ((want & FLAT(5)) && !(want & (NATURAL(5) | FLAT(7)))) {
      write_part(w, "dim", ANY(3) | ANY(5), FLAT(3) | FLAT(5));
      if (want & DOUBLE_FLAT(7)) seventh = DOUBLE_FLAT(7);
    } else {
      write_part(w, "m", ANY(3), FLAT(3));
    }
    if (seventh == NATURAL(7)) write_part(w, "Maj", 0, 0);
  } else if (seventh == NATURAL(7)) {
    write_part(w, "maj", 0, 0);
  } else if ((want & NATURAL(3)) && (want & SHARP(5)) &&
             !(want & (NATURAL(5) | ANY(6) | ANY(7)))) {
    write_part(w, "aug", ANY(5), SHARP(5));
  }
  return seventh;
}

/// The figure that says most of the tones above the fifth; 0 for none.
static int figure_for(const Writer* w, WayTones seventh) {
  const WayTones want = w->want;
  if (!seventh) {
    if (!(want & NATURAL(6))) return 0;
    return want & NATURAL(9) ? 69 : 6;
  }
  if (want & ANY(9)) {
    const bool stacks = way_tones_of_figure(13, w->have, seventh) & NATURAL(11);
    const bool eleventh = !stacks || (want & (ANY(11) | NATURAL(4)));
    if ((want & NATURAL(13)) && eleventh) return 13;
    if (want & NATURAL(11)) return 11;
  }
  return want & NATURAL(9) ? 9 : 7;
}

static void write_figure(Writer* w, int figure, WayTones seventh) {
  if (figure == 69) {
    write_part(w, "6/9", 0, NATURAL(6) | NATURAL(9));
  } else if (figure) {
    way_out_int(w->out, figure);
    write_part(w, "", 0, way_tones_of_figure(figure, w->have, seventh));
    w->bare = false;
  }
}

/// What stands in for a third that isn't there.
static void write_third(Writer* w) {
  static const struct {
    const char* text;
    WayTones tones;
  } in_place[] = {
      {"sus24", NATURAL(2) | NATURAL(4)},
      {"sus4", NATURAL(4)},
      {"sus2", NATURAL(2)},
      {"sus#4", SHARP(4)},
      {"susb2", FLAT(2)},
  };
  if (w->want & ANY(3)) return;
  for (size_t i = 0; i < WAY_COUNT(in_place); ++i)
    if ((w->want & in_place[i].tones) == in_place[i].tones) {
      write_part(w, in_place[i].text, ANY(3), in_place[i].tones);
      return;
    }
  if (w->bare && (w->want & NATURAL(5))) write_part(w, "5", ANY(3), 0);
}

/// Whether a tone can be written without `add`, and then displaces the natural one.
static bool is_alteration(const Writer* w, WayDegree d) {
  if (!d.alter) return false;
  switch (d.number) {
  case 5: return !(w->want & NATURAL(5));
  case 6: return !(w->want & (NATURAL(6) | NATURAL(13)));
  case 9:
  case 11:
  case 13: return (w->want & (ANY(6) | ANY(7))) && !(w->want & WAY_TONE(d.number, 0));
  default: return false;
  }
}

static void write_tone(Writer* w, WayDegree d) {
  const WayTones tone = WAY_TONE(d.number, d.alter);
  const bool alteration = is_alteration(w, d);
  const bool bare = alteration && w->bare; // the accidental would join the root
  if (bare) way_out_char(w->out, '(');
  if (d.number == 7 && !d.alter)
    way_out_str(w->out, "maj");
  else if (!alteration)
    way_out_str(w->out, "add");
  way_degree_write(d, w->out);
  if (bare) way_out_char(w->out, ')');
  write_part(w, "", alteration ? NATURAL(d.number) : 0, tone);
  w->bare = false;
}

/// Leave out what the text so far has too much; with `returning`, only numbers that
/// come back in another alteration.
static void write_omissions(Writer* w, bool returning) {
  for (int number = 1; number <= 13; ++number) {
    if (!way_tones_number_ok(number)) continue;
    const WayTones extra = w->have & ~w->want & ANY(number);
    const WayTones stays = w->want & ANY(number);
    const bool displaced = extra == NATURAL(number) &&
                           (is_alteration(w, (WayDegree){(int8_t)number, 1})) && stays;
    if (!extra || displaced || returning != (stays != 0)) continue;
    way_out_str(w->out, "no");
    way_out_int(w->out, number);
    write_part(w, "", ANY(number), 0);
    w->bare = false;
  }
}

static void write_quality(Writer* w) {
  for (size_t i = 0; i < WAY_COUNT(own_names); ++i)
    if (own_names[i].tones == w->want) {
      way_out_str(w->out, own_names[i].text);
      return;
    }
  const WayTones seventh = write_triad(w);
  write_figure(w, figure_for(w, seventh), seventh);
  write_third(w);
  w->have = way_tones_normal(w->have);
  if (w->have == w->want) return;
  write_omissions(w, true);
  const WayChord missing = way_tones_chord(w->want & ~w->have, (WaySpelling){0, 0});
  for (unsigned i = 0; i < missing.n_tones; ++i) write_tone(w, missing.tones[i]);
  write_omissions(w, false);
}

void way_chord_write(const WayChord* c, WayOut* out) {
  if (way_chord_is_none(c)) {
    way_out_str(out, "N.C.");
    return;
  }
  way_spelling_write(c->root, out);
  Writer w = {out, way_tones_of_chord(c), MAJOR, true};
  write_quality(&w);
  if (way_spelling_equal(c->root, c->bass)) return;
  way_out_char(out, '/');
  way_spelling_write(c->bass, out);
}
