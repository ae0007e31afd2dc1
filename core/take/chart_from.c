#include "take/chart_from.h"

#include "chart/chart_read.h"
#include "chart/chart_write.h"
#include "take/bars.h"
#include "take/tempo_map.h"
#include "theory/chord_read.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { META_TEXT = 0x01, META_MARKER = 0x06, META_KEY = 0x59 };
enum { DRUMS = 9, NOTE_ON = 0x90 };

/// What backings mark each time through the form with.
#define TOP "top chorus "
/// What they tell planned targets with.
#define TARGET "target:"
/// A target this close to a chord, in ticks, comes with it.
#define NEAR (WAY_TICKS_PER_QUARTER / 8)

/// A key and where it begins.
typedef struct {
  WayTick tick;
  WayKey key;
} KeyFrom;

/// A chord with its target, or a target alone while its chord goes on.
typedef struct {
  WayTick tick;
  const WayChord* chord;
  WayDegree target; ///< Number 0 if none
} Change;

/// A bar of the chart.
typedef struct {
  WayMetre metre;
  size_t text;               ///< Where its chords stand in the text of all bars
  const WaySmfEvent* marker; ///< Of the section that begins here, or NULL
  const KeyFrom* key;        ///< In force, or NULL
} Bar;

/// Bars in a row that make a section.
typedef struct {
  uint32_t first, n;
  uint32_t same; ///< Index of the first part that is played alike
  char name[WAY_NAME_MAX];
} Part;

/// Everything at hand while a chart is written down.
typedef struct {
  const WaySmf* smf;
  WayTick origin, end;
  WayMetres metres;
  WaySmf *markers, *texts, *signatures;
  KeyFrom* keys;
  uint32_t n_keys;
  Change* changes;
  uint32_t n_changes;
  uint32_t next_change, next_marker, next_key; ///< Not passed yet
  Bar* bars;
  uint32_t n_bars;
  char* text; ///< Chords of all bars
  size_t text_size;
  Part* parts;
  uint32_t n_parts;
  uint32_t us; ///< A quarter note, where the chart begins
} Writer;

static WayStatus refuse(WayError* error, WayStatus status, const char* message) {
  const WayCursor nowhere = {.text = {"", 0}};
  return way_cursor_fail(&nowhere, status, message, error);
}

// ---- What the file says.

static const WaySmfTrack* list(const WaySmf* metas) { return &metas->tracks[0]; }

static WayTick tick_of(const Writer* w, const WaySmfEvent* e) {
  return way_smf_music_tick(w->smf, e->tick);
}

static bool begins_with(WayText text, const char* word) {
  const size_t n = strlen(word);
  return text.size >= n && !memcmp(text.at, word, n);
}

/// Whether a marker names a section: it is neither a chord nor one of a backing's own.
static bool names_section(const WaySmfEvent* e) {
  const WayText text = way_text_trim(way_smf_meta_data(e));
  WayChord chord;
  return text.size && !begins_with(text, TOP) && !way_text_is(text, "count-in") &&
         way_chord_read(text, &chord, NULL);
}

/// Let the marks of a backing bound the chart.
static void find_bounds(Writer* w) {
  bool begun = false;
  for (uint32_t i = 0; i < list(w->markers)->n; ++i) {
    const WaySmfEvent* const e = &list(w->markers)->events[i];
    if (!begins_with(way_smf_meta_data(e), TOP)) continue;
    if (begun && tick_of(w, e) > w->origin) {
      w->end = tick_of(w, e);
      return;
    }
    if (!begun) w->origin = tick_of(w, e);
    begun = true;
  }
}

static bool read_key_text(const WaySmfEvent* e, WayKey* out) {
  const WayText text = way_text_trim(way_smf_meta_data(e));
  if (!begins_with(text, "key:")) return false;
  return !way_key_read(way_text_trim((WayText){text.at + 4, text.size - 4}), out, NULL);
}

static bool read_key_signature(const WaySmfEvent* e, WayKey* out) {
  const WayText data = way_smf_meta_data(e);
  if (data.size < 2) return false;
  const int sharps = (int8_t)data.at[0];
  if (sharps < -7 || sharps > 7 || (uint8_t)data.at[1] > 1) return false;
  *out = data.at[1] ? (WayKey){way_spelling_at_fifths(sharps + 3), WAY_MODE_MINOR}
                    : (WayKey){way_spelling_at_fifths(sharps), WAY_MODE_MAJOR};
  return true;
}

static void list_keys(Writer* w, const WaySmf* metas,
                      bool (*read)(const WaySmfEvent* e, WayKey* out)) {
  for (uint32_t i = 0; i < list(metas)->n; ++i) {
    const WaySmfEvent* const e = &list(metas)->events[i];
    if (read(e, &w->keys[w->n_keys].key)) w->keys[w->n_keys++].tick = tick_of(w, e);
  }
}

static WayStatus find_keys(Writer* w) {
  const size_t most = (size_t)list(w->texts)->n + list(w->signatures)->n;
  w->keys = malloc((most + 1) * sizeof(*w->keys));
  if (!w->keys) return WAY_ERR_NO_MEMORY;
  list_keys(w, w->texts, read_key_text);
  if (w->n_keys) return WAY_OK;
  list_keys(w, w->signatures, read_key_signature);
  const WayKey first = w->keys[0].key;
  if (w->n_keys == 1 && first.mode == WAY_MODE_MAJOR && !way_key_signature(first))
    w->n_keys = 0; // what many programs write unasked
  return WAY_OK;
}

static bool read_target(const WaySmfEvent* e, WayDegree* out) {
  WayCursor c = way_cursor(way_text_trim(way_smf_meta_data(e)));
  if (!way_cursor_skip(&c, TARGET)) return false;
  way_cursor_skip_blanks(&c);
  return !way_degree_read(&c, out, NULL) && c.byte == c.text.size;
}

/// List the targets told; returns how many.
static uint32_t list_targets(const Writer* w, Change* out) {
  uint32_t n = 0;
  for (uint32_t i = 0; i < list(w->texts)->n; ++i) {
    const WaySmfEvent* const e = &list(w->texts)->events[i];
    if (read_target(e, &out[n].target)) out[n++].tick = tick_of(w, e);
  }
  return n;
}

/// Add a chord and the targets that are told while it sounds.
static void add_changes(Writer* w, const WayTimedChord* c, const Change* targets,
                        uint32_t n) {
  Change* const first = &w->changes[w->n_changes++];
  *first = (Change){.tick = c->tick, .chord = &c->chord};
  if (way_chord_is_none(&c->chord)) return;
  for (uint32_t i = 0; i < n; ++i) {
    Change* const now =
        targets[i].tick <= c->tick + NEAR ? first : &w->changes[w->n_changes++];
    *now = (Change){now == first ? c->tick : targets[i].tick, &c->chord,
                    targets[i].target};
  }
}

/// Put together the chords and the targets planned for them.
static WayStatus find_changes(Writer* w, const WayHeard* heard) {
  const uint32_t most = list(w->texts)->n;
  Change* const targets = malloc((most + (size_t)1) * sizeof(*targets));
  w->changes = malloc((heard->n + (size_t)most) * sizeof(*w->changes));
  if (targets && w->changes) {
    const uint32_t n = list_targets(w, targets);
    uint32_t from = 0;
    while (from < n && targets[from].tick < heard->chords[0].tick - NEAR) ++from;
    for (uint32_t i = 0; i < heard->n; ++i) {
      uint32_t to = from;
      while (to < n &&
             (i + 1 == heard->n || targets[to].tick < heard->chords[i + 1].tick - NEAR))
        ++to;
      add_changes(w, &heard->chords[i], targets + from, to - from);
      from = to;
    }
  }
  free(targets);
  return targets && w->changes ? WAY_OK : WAY_ERR_NO_MEMORY;
}

// ---- Bars.

/// The last marker of a section that stands nearer to a bar than to the next one.
static const WaySmfEvent* follow_markers(Writer* w, WayTick start) {
  const WaySmfEvent* found = NULL;
  const WayTick half = way_metre_bar(w->metres.now) / 2;
  for (; w->next_marker < list(w->markers)->n; ++w->next_marker) {
    const WaySmfEvent* const e = &list(w->markers)->events[w->next_marker];
    if (tick_of(w, e) >= start + half) break;
    if (tick_of(w, e) >= w->origin - half && names_section(e)) found = e;
  }
  return found;
}

static const KeyFrom* follow_keys(Writer* w, WayTick start) {
  const WayTick half = way_metre_bar(w->metres.now) / 2;
  while (w->next_key < w->n_keys && w->keys[w->next_key].tick < start + half)
    ++w->next_key;
  return w->next_key ? &w->keys[w->next_key - 1] : NULL;
}

/// The chord in force before the next change; silence before the first.
static Change chord_now(const Writer* w) {
  static const WayChord silence = {0};
  return (Change){.chord =
                      w->next_change ? w->changes[w->next_change - 1].chord : &silence};
}

static void put_chord(const Change* change, FILE* to) {
  way_heard_put(change->chord, to);
  if (!change->target.number) return;
  char target[WAY_SPELLING_MAX];
  WayOut out = way_out(target, sizeof(target));
  way_degree_write(change->target, &out);
  fprintf(to, ">%s", target);
}

/// The chords of one bar on equal parts of it.
typedef struct {
  unsigned parts;
  unsigned n;
  Change chord[WAY_CHART_SHARES_MAX];
  unsigned at[WAY_CHART_SHARES_MAX]; ///< Rising, the first 0
} Grid;

static void put_grid(const Grid* g, FILE* to) {
  for (unsigned i = 0; i < g->n; ++i) {
    const unsigned end = i + 1 < g->n ? g->at[i + 1] : g->parts;
    if (i) putc(' ', to);
    put_chord(&g->chord[i], to);
    if (g->n == 1) break; // one chord fills the bar
    for (unsigned share = g->at[i] + 1; share < end; ++share) fputs(" /", to);
  }
}

/// Most parts of a beat that a change of chord may stand on.
#define FINEST 4

/// Lay the changes before `last` on a number of equal parts, if they stand there
/// within `near` ticks.
static bool lay_out(const Writer* w, WayTick start, uint32_t last, WayTick near,
                    Grid* g) {
  const WayTick bar = way_metre_bar(w->metres.now);
  g->n = 0;
  for (uint32_t c = w->next_change; c < last; ++c) {
    const WayTick at = w->changes[c].tick - start;
    const WayTick part = (at * g->parts + bar / 2) / bar;
    if (part < 0 || part >= g->parts || llabs(at - bar * part / g->parts) > near)
      return false;
    if (!g->n && part) {
      g->chord[0] = chord_now(w);
      g->at[g->n++] = 0;
    }
    if (g->n == g->parts || (g->n && g->at[g->n - 1] >= part)) return false;
    g->chord[g->n] = w->changes[c];
    g->at[g->n++] = (unsigned)part;
  }
  const unsigned beats = w->metres.now.beats;
  // Chords alone may divide a bar in any way; with a `/` the parts must go with beats,
  // and not so fine that any place would do.
  return g->n == g->parts || beats % g->parts == 0 ||
         (g->parts % beats == 0 && g->parts <= FINEST * beats);
}

/// Write the bar if its chords stand exactly on some even division of it.
static bool put_exact(Writer* w, WayTick start, FILE* to) {
  const WayTick near = WAY_TICKS_PER_QUARTER / w->smf->division + 2;
  const WayTick end = start + way_metre_bar(w->metres.now) - near;
  uint32_t last = w->next_change;
  while (last < w->n_changes && w->changes[last].tick < end) ++last;
  Grid g = {.parts = 1, .n = 1, .chord = {chord_now(w)}};
  bool fits = last == w->next_change;
  if (last - w->next_change > WAY_CHART_SHARES_MAX) return false;
  for (; !fits && g.parts <= WAY_CHART_SHARES_MAX; g.parts += !fits)
    fits = lay_out(w, start, last, near, &g);
  if (!fits) return false;
  put_grid(&g, to);
  w->next_change = last;
  return true;
}

/// Write the bar with each chord on its nearest beat.
static void put_by_beats(Writer* w, WayTick start, FILE* to) {
  const WayTick beat = way_metre_beat(w->metres.now);
  Grid g = {.parts = w->metres.now.beats};
  for (unsigned b = 0; b < g.parts; ++b) {
    const uint32_t before = w->next_change;
    while (w->next_change < w->n_changes &&
           w->changes[w->next_change].tick < start + b * beat + beat / 2)
      ++w->next_change;
    if (b && before == w->next_change) continue;
    g.chord[g.n] =
        before == w->next_change ? chord_now(w) : w->changes[w->next_change - 1];
    g.at[g.n++] = b;
  }
  put_grid(&g, to);
}

static WayStatus add_bar(Writer* w, Bar bar) {
  if (!(w->n_bars & (w->n_bars - 1))) { // room doubles at powers of two
    Bar* const more =
        realloc(w->bars, (w->n_bars ? 2 * (size_t)w->n_bars : 1) * sizeof(*more));
    if (!more) return WAY_ERR_NO_MEMORY;
    w->bars = more;
  }
  w->bars[w->n_bars++] = bar;
  return WAY_OK;
}

static WayStatus write_bars(Writer* w) {
  FILE* const to = open_memstream(&w->text, &w->text_size);
  if (!to) return WAY_ERR_NO_MEMORY;
  WayStatus st = WAY_OK;
  while (w->next_change < w->n_changes && w->changes[w->next_change].tick < w->origin)
    ++w->next_change;
  for (WayTick at = w->origin; !st && (!w->n_bars || at < w->end);
       at += way_metre_bar(w->metres.now)) {
    const WayMetre metre = way_metres_at(&w->metres, at);
    fflush(to);
    const Bar bar = {metre, w->text_size, follow_markers(w, at), follow_keys(w, at)};
    st = w->n_bars == WAY_CHART_FROM_BARS_MAX ? WAY_ERR_UNSUPPORTED : add_bar(w, bar);
    if (st) break;
    if (!put_exact(w, at, to)) put_by_beats(w, at, to);
    fputs(" | ", to);
  }
  const bool failed = ferror(to);
  return fclose(to) || failed ? WAY_ERR_NO_MEMORY : st;
}

// ---- Parts.

static bool key_equal(const KeyFrom* a, const KeyFrom* b) {
  if (!a || !b) return a == b;
  return way_key_equal(a->key, b->key);
}

/// The text of a part's bars.
static WayText part_text(const Writer* w, const Part* p) {
  const uint32_t end = p->first + p->n;
  const size_t from = w->bars[p->first].text;
  const size_t to = end < w->n_bars ? w->bars[end].text : w->text_size;
  return (WayText){w->text + from, to - from};
}

static bool alike(const Writer* w, const Part* a, const Part* b) {
  const WayText x = part_text(w, a), y = part_text(w, b);
  return x.size == y.size && !memcmp(x.at, y.at, x.size) &&
         way_metre_equal(w->bars[a->first].metre, w->bars[b->first].metre) &&
         key_equal(w->bars[a->first].key, w->bars[b->first].key);
}

/// Write a text as it may stand in a chart: printable, without what has a meaning.
static void put_plain(WayText text, WayOut* out) {
  WayCursor c = way_cursor(way_text_trim(text));
  while (c.byte < c.text.size && !out->cut) {
    const size_t from = c.byte;
    const uint32_t x = way_cursor_next(&c);
    if (x == '[' || x == ']' || x == ';') continue;
    if (x == WAY_TEXT_INVALID || x < ' ' || x == 0x7F)
      way_out_char(out, ' ');
    else
      way_out_text(out, (WayText){c.text.at + from, c.byte - from});
  }
}

/// Name a part by its marker, or by its bar.
static void name_part(const Writer* w, Part* p) {
  const WaySmfEvent* const marker = w->bars[p->first].marker;
  char plain[WAY_NAME_MAX];
  WayOut out = way_out(plain, sizeof(plain) - 8); // leaves room for a number
  if (marker) put_plain(way_smf_meta_data(marker), &out);
  const WayText name = way_text_trim((WayText){plain, out.size});
  WayOut to = way_out(p->name, sizeof(p->name));
  way_out_text(&to, name);
  if (name.size || !p->first) return;
  way_out_str(&to, "bar ");
  way_out_int(&to, p->first + 1);
}

/// Where the name of a part is used already: an equal part, or a reason to count up.
static void settle_part(Writer* w, uint32_t index) {
  Part* const p = &w->parts[index];
  char name[WAY_NAME_MAX];
  memcpy(name, p->name, sizeof(name));
  p->same = index;
  for (uint32_t i = 0, number = 1; i < index; ++i) {
    const Part* const before = &w->parts[i];
    if (before->same != i || strcmp(before->name, p->name)) continue;
    if (alike(w, before, p)) {
      p->same = i;
      return;
    }
    WayOut out = way_out(p->name, sizeof(p->name));
    way_out_str(&out, name);
    way_out_char(&out, ' ');
    way_out_int(&out, ++number);
    i = UINT32_MAX; // look again from the first
  }
}

/// Most sections that are told apart; a file with more is one long section.
#define PARTS_MAX 1000u

static bool begins_part(const Writer* w, uint32_t bar) {
  const Bar *b = &w->bars[bar], *before = b - 1;
  return !bar || b->marker || !way_metre_equal(b->metre, before->metre) ||
         !key_equal(b->key, before->key);
}

static WayStatus find_parts(Writer* w) {
  uint32_t n = 0;
  for (uint32_t b = 0; b < w->n_bars; ++b) n += begins_part(w, b);
  if (n > PARTS_MAX) return WAY_ERR_UNSUPPORTED;
  w->parts = calloc(n, sizeof(*w->parts));
  if (!w->parts) return WAY_ERR_NO_MEMORY;
  for (uint32_t b = 0; b < w->n_bars; ++b) {
    if (begins_part(w, b)) w->parts[w->n_parts++].first = b;
    ++w->parts[w->n_parts - 1].n;
  }
  for (uint32_t i = 0; i < w->n_parts; ++i) {
    name_part(w, &w->parts[i]);
    settle_part(w, i);
    if (w->parts[i].same != i && !w->parts[0].name[0]) // a form can only tell names
      memcpy(w->parts[0].name, "bar 1", sizeof("bar 1"));
  }
  return WAY_OK;
}

// ---- Text.

/// Write the tempo with the fewest decimals that a file keeps as this one.
static void put_tempo(uint32_t us, FILE* to) {
  int decimals = 0;
  double tempo = 60e6 / us;
  for (double one = 1; decimals < 3; ++decimals, one *= 10) {
    const double rounded = round(60e6 / us * one) / one;
    if (rounded <= 0 || llround(60e6 / rounded) != (long long)us) continue;
    tempo = rounded;
    break;
  }
  if (tempo >= 10 && tempo <= 1000) fprintf(to, "tempo: %.*f\n", decimals, tempo);
}

static void put_title(const Writer* w, FILE* to) {
  if (!w->smf->n_tracks) return;
  const WaySmfTrack* const t = &w->smf->tracks[0];
  for (uint32_t i = 0; i < t->n; ++i)
    if ((t->events[i].bytes[0] & 0xF0) == NOTE_ON) return;
  char title[WAY_NAME_MAX];
  WayOut out = way_out(title, sizeof(title));
  put_plain(way_smf_track_name(t), &out);
  const WayText trimmed = way_text_trim((WayText){title, out.size});
  if (trimmed.size) fprintf(to, "title: %.*s\n", (int)trimmed.size, trimmed.at);
}

static void put_key(const KeyFrom* key, FILE* to) {
  char text[WAY_NAME_MAX];
  WayOut out = way_out(text, sizeof(text));
  if (key) way_key_write(key->key, &out);
  if (key) fprintf(to, "key: %s\n", text);
}

static void put_metre(WayMetre metre, FILE* to) {
  fprintf(to, "time: %u/%u\n", metre.beats, metre.unit);
}

static void put_parts(const Writer* w, FILE* to) {
  bool again = false;
  for (uint32_t i = 0; i < w->n_parts; ++i) again |= w->parts[i].same != i;
  if (again) {
    fputs("form:", to);
    for (uint32_t i = 0; i < w->n_parts; ++i)
      fprintf(to, " [%s]", w->parts[w->parts[i].same].name);
    putc('\n', to);
  }
  const Bar* const top = &w->bars[0];
  for (uint32_t i = 0; i < w->n_parts; ++i) {
    const Part* const p = &w->parts[i];
    const Bar* const bar = &w->bars[p->first];
    if (p->same != i) continue;
    if (p->name[0]) fprintf(to, "[%s]\n", p->name);
    if (i && !key_equal(bar->key, top->key)) put_key(bar->key, to);
    if (i && !way_metre_equal(bar->metre, top->metre)) put_metre(bar->metre, to);
    const WayText text = part_text(w, p);
    fputs("| ", to);
    fwrite(text.at, 1, text.size, to);
    putc('\n', to);
  }
}

static WayStatus write_chart(const Writer* w, char** text, size_t* size) {
  FILE* const to = open_memstream(text, size);
  if (!to) return WAY_ERR_NO_MEMORY;
  put_title(w, to);
  put_key(w->bars[0].key, to);
  put_metre(w->bars[0].metre, to);
  put_tempo(w->us, to);
  put_parts(w, to);
  const bool failed = ferror(to);
  return fclose(to) || failed ? WAY_ERR_NO_MEMORY : WAY_OK;
}

static WayStatus write_down(Writer* w, const WayHeard* heard, char** text,
                            size_t* size) {
  w->markers = way_smf_metas(w->smf, META_MARKER);
  w->texts = way_smf_metas(w->smf, META_TEXT);
  w->signatures = way_smf_metas(w->smf, META_KEY);
  if (way_metres_init(&w->metres, w->smf, (WayMetre){4, 4}) || !w->markers ||
      !w->texts || !w->signatures)
    return WAY_ERR_NO_MEMORY;
  w->end = way_smf_music_end(w->smf);
  find_bounds(w);
  WayTempoMap* const tempo = way_tempo_map_new(w->smf);
  if (!tempo) return WAY_ERR_NO_MEMORY;
  w->us = way_tempo_map_at(tempo, way_smf_file_tick(w->smf, w->origin));
  way_tempo_map_free(tempo);
  WayStatus st = find_keys(w);
  if (!st) st = find_changes(w, heard);
  if (!st) st = write_bars(w);
  if (!st) st = find_parts(w);
  return st ? st : write_chart(w, text, size);
}

static WayStatus read_back(WayText text, WayChart** out, WayError* error) {
  const WayStatus st = way_chart_read(text, out, error);
  if (!st) way_chart_abbreviate(*out);
  return st;
}

WayStatus way_chart_from(const WaySmf* smf, const WayHeard* heard, WayTick origin,
                         WayChart** out, WayError* error) {
  char* text = NULL;
  size_t size = 0;
  Writer w = {.smf = smf, .origin = origin};
  WayStatus st = write_down(&w, heard, &text, &size);
  if (!st)
    st = read_back((WayText){text, size}, out, error);
  else
    refuse(error, st,
           st == WAY_ERR_UNSUPPORTED ? "more bars or sections than a chart can have"
                                     : way_strerror(st));
  way_metres_free(&w.metres);
  way_smf_free(w.markers);
  way_smf_free(w.texts);
  way_smf_free(w.signatures);
  free(w.keys);
  free(w.changes);
  free(w.bars);
  free(w.parts);
  free(w.text);
  free(text);
  return st;
}

// ---- Chords.

static bool has_melodic_notes(const WaySmfTrack* t) {
  for (uint32_t i = 0; i < t->n; ++i) {
    const uint8_t* const b = t->events[i].bytes;
    if ((b[0] & 0xF0) == NOTE_ON && b[2] && (b[0] & 0x0F) != DRUMS) return true;
  }
  return false;
}

WayStatus way_chart_from_heard(const WaySmf* smf, WayHeard* out, WayError* error) {
  WayStatus st = way_heard_names(smf, out, error);
  for (int any = 0; any < 2; ++any)
    for (uint32_t t = 0; st == WAY_ERR_RANGE && t < smf->n_tracks; ++t) {
      const WaySmfTrack* const track = &smf->tracks[t];
      const bool named = way_take_named_like_chords(way_smf_track_name(track));
      const WayTakeChoice choice = {(int)t, NULL, 0};
      if ((any || named) && has_melodic_notes(track))
        st = way_heard_track(smf, &choice, out, error);
    }
  return st != WAY_ERR_RANGE
             ? st
             : refuse(error, st, "no chord names, and no track with chords");
}
