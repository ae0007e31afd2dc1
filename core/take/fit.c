#include "take/fit.h"

#include "base/midi.h"
#include "take/fit_line.h"
#include "take/review.h"

#include <stdlib.h>
#include <string.h>

const char* way_fit_why_name(WayFitWhy why) {
  static const char* const names[] = {
      "in the material",
      "kept",
      "not asked for",
      "outside the material",
      "planned target",
      "outside the range",
      "moves along",
      "left: no place within the limits",
      "left: sounds on under later notes",
      "left: the shape has no room",
  };
  return (unsigned)why < WAY_COUNT(names) ? names[why] : "";
}

WayFitChoice way_fit_choice_default(void) {
  return (WayFitChoice){.melody = {.track = -1},
                        .material = WAY_MATERIAL_CHORD_SCALE,
                        .max_distance = 12,
                        .high = WAY_MIDI_KEYS - 1};
}

// ---- Lines.

/// Where the line's notes end, by pitch.
typedef struct {
  WayTick ends[WAY_MIDI_KEYS];
  uint64_t sounding[2]; ///< Pitches that may not have ended yet
} Ends;

/// Whether a note begins under a line note that sounds on over more than half of it.
static bool is_below(Ends* e, const WayNote* note) {
  for (unsigned word = note->pitch >> 6; word < 2; ++word) {
    uint64_t above = e->sounding[word];
    if (word == note->pitch >> 6) above &= ~UINT64_C(1) << (note->pitch & 63);
    for (; above; above &= above - 1) {
      const WayTick end = e->ends[64 * word + (unsigned)__builtin_ctzll(above)];
      if (end <= note->start)
        e->sounding[word] &= ~(above & -above);
      else if (2 * (end - note->start) > note->length)
        return true;
    }
  }
  return false;
}

/// Gather the top line of a channel (-1: of all) into `notes`; returns how many.
static uint32_t gather(const WayTake* take, int channel, bool drums, uint32_t* notes) {
  Ends e = {{0}, {0}};
  WayTick before = 0; // what stood there for the last line note's pitch
  uint32_t n = 0;
  for (uint32_t i = 0; i < take->n; ++i) {
    const WayNote* const note = &take->notes[i];
    if (channel < 0 ? note->channel == WAY_MIDI_DRUMS && !drums
                    : note->channel != channel)
      continue;
    const WayNote* const last = n ? &take->notes[notes[n - 1]] : NULL;
    if (last && note->start - last->start <= WAY_REVIEW_AT_ONCE) {
      if (note->pitch <= last->pitch) continue;
      e.ends[last->pitch] = before; // it was no top note
      --n;
    } else if (is_below(&e, note)) {
      continue;
    }
    notes[n++] = i;
    before = e.ends[note->pitch];
    const WayTick end = note->start + note->length;
    if (end > before) e.ends[note->pitch] = end;
    e.sounding[note->pitch >> 6] |= UINT64_C(1) << (note->pitch & 63);
  }
  return n;
}

// ---- All lines, and the bytes of their notes.

static bool all_drums(const WayTake* take) {
  uint32_t i = 0;
  while (i < take->n && take->notes[i].channel == WAY_MIDI_DRUMS) ++i;
  return i == take->n;
}

static WayStatus fit_lines(WayFitter* f) {
  uint32_t* const notes = malloc((f->take->n + 1) * sizeof(*notes));
  if (!notes) return WAY_ERR_NO_MEMORY;
  const bool drums =
      f->choice->melody.channel == WAY_MIDI_DRUMS + 1 || all_drums(f->take);
  WayStatus st = WAY_OK;
  if (!f->choice->by_channel) {
    st = way_fit_line(f, notes, gather(f->take, -1, drums, notes));
  } else {
    for (int channel = 0; !st && channel < WAY_MIDI_CHANNELS; ++channel)
      if (channel != WAY_MIDI_DRUMS || drums)
        st = way_fit_line(f, notes, gather(f->take, channel, drums, notes));
  }
  free(notes);
  return st;
}

/// The note an event is about; WAY_NO_NOTE for others.  `sounding` follows the keys.
static uint32_t note_of(const WayFitter* f, uint32_t e,
                        uint32_t sounding[WAY_MIDI_CHANNELS][WAY_MIDI_KEYS]) {
  const uint8_t* const b = f->track->events[e].bytes;
  if (f->owner[e] != WAY_NO_NOTE) {
    uint32_t* const now = &sounding[way_midi_channel(b)][b[1]];
    const bool begins = f->take->notes[f->owner[e]].on == e;
    if (begins)
      *now = f->owner[e];
    else if (*now == f->owner[e])
      *now = WAY_NO_NOTE;
    return f->owner[e];
  }
  if (way_midi_kind(b) != WAY_MIDI_KEY_PRESSURE) return WAY_NO_NOTE;
  return sounding[way_midi_channel(b)][b[1]];
}

/// Find the note that each event is about if that moves, and how many bytes there are
/// of each and in all.
static WayStatus find_moved(WayFitter* f, uint32_t* about, uint32_t* n_bytes) {
  uint32_t(*const sounding)[WAY_MIDI_KEYS] =
      malloc(WAY_MIDI_CHANNELS * sizeof(*sounding));
  if (!sounding) return WAY_ERR_NO_MEMORY;
  memset(sounding, 0xFF, WAY_MIDI_CHANNELS * sizeof(*sounding));
  for (uint32_t e = 0; e < f->track->n; ++e) {
    const uint32_t i = note_of(f, e, sounding);
    const bool moves = i != WAY_NO_NOTE && f->notes[i].to != f->notes[i].from;
    about[e] = moves ? i : WAY_NO_NOTE;
    if (!moves) continue;
    ++f->notes[i].n_bytes;
    ++*n_bytes;
  }
  free(sounding);
  return WAY_OK;
}

/// List the places of the note numbers that change: behind the status of a message, if
/// it has one of its own.
static WayStatus list_bytes(WayFitter* f, const uint8_t* file, WayFit* fit) {
  uint32_t* const about = malloc((f->track->n + (size_t)1) * sizeof(*about));
  WayStatus st = about ? find_moved(f, about, &fit->n_bytes) : WAY_ERR_NO_MEMORY;
  if (!st) fit->bytes = malloc((fit->n_bytes + (size_t)1) * sizeof(*fit->bytes));
  if (!fit->bytes) {
    free(about);
    return WAY_ERR_NO_MEMORY;
  }
  uint32_t first = 0;
  for (uint32_t i = 0; i < f->take->n; ++i) {
    f->notes[i].first_byte = first;
    first += f->notes[i].n_bytes;
    f->notes[i].n_bytes = 0; // counted again as they are listed
  }
  for (uint32_t e = 0; e < f->track->n; ++e) {
    if (about[e] == WAY_NO_NOTE) continue;
    WayFitNote* const note = &f->notes[about[e]];
    const uint32_t at = f->track->events[e].offset;
    fit->bytes[note->first_byte + note->n_bytes++] = at + (file[at] >= 0x80);
  }
  free(about);
  return WAY_OK;
}

/// Keep the notes of lines alone.
static void gather_told(const WayFitter* f, WayFit* fit) {
  for (uint32_t i = 0; i < f->take->n; ++i) {
    if (f->notes[i].why == WAY_FIT_WHY_COUNT)
      ++fit->below;
    else
      f->notes[fit->n++] = f->notes[i];
  }
  fit->notes = f->notes;
}

static WayStatus fit_take(WayFitter* f, const uint8_t* file, WayFit* fit) {
  const uint32_t n = f->take->n;
  f->owner = malloc((f->track->n + (size_t)1) * sizeof(*f->owner));
  f->in_line = calloc(n + (size_t)1, 1);
  f->notes = calloc(n + (size_t)1, sizeof(*f->notes));
  WayStatus st = WAY_ERR_NO_MEMORY;
  if (f->owner && f->in_line && f->notes) {
    memset(f->owner, 0xFF, f->track->n * sizeof(*f->owner));
    for (uint32_t i = 0; i < n; ++i) {
      f->notes[i].why = WAY_FIT_WHY_COUNT;
      f->owner[f->take->notes[i].on] = i;
      if (f->take->notes[i].off != WAY_NO_EVENT) f->owner[f->take->notes[i].off] = i;
    }
    st = fit_lines(f);
  }
  if (!st) st = list_bytes(f, file, fit);
  if (!st)
    gather_told(f, fit);
  else
    free(f->notes);
  free(f->owner);
  free(f->in_line);
  return st;
}

WayStatus way_fit_new(const uint8_t* bytes, const WaySmf* smf,
                      const WayFitChoice* choice, WayFit** out, WayError* error) {
  WayTake* take = NULL;
  WayStatus st = way_take_new(smf, &choice->melody, &take, error);
  if (st) return st;
  WayFit* const fit = calloc(1, sizeof(*fit));
  WayFitter f = {.track = &smf->tracks[take->track], .choice = choice, .take = take};
  st = fit ? fit_take(&f, bytes, fit) : WAY_ERR_NO_MEMORY;
  if (!st) fit->track = take->track;
  way_take_free(take);
  if (st) {
    way_fit_free(fit);
    return way_fail(st,
                    st == WAY_ERR_UNSUPPORTED
                        ? "the take goes on for over a million changes of chord"
                        : way_strerror(st),
                    error);
  }
  *out = fit;
  return WAY_OK;
}

void way_fit_apply(const WayFit* fit, uint8_t* bytes) {
  for (uint32_t i = 0; i < fit->n; ++i)
    for (uint32_t b = 0; b < fit->notes[i].n_bytes; ++b)
      bytes[fit->bytes[fit->notes[i].first_byte + b]] = fit->notes[i].key;
}

void way_fit_free(WayFit* fit) {
  if (!fit) return;
  free(fit->notes);
  free(fit->bytes);
  free(fit);
}
