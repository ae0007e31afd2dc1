#include "take/take.h"

#include "base/midi.h"
#include "chart/grow.h"
#include "live/bend.h"
#include "take/big.h"
#include "take/tempo_map.h"

#include <stdlib.h>
#include <string.h>

enum {
  BEND_RANGE = 2,         // in semitones, until a file sets its own (MIDI 1.0)
  BENDS_LOOKED_AT = 4096, // of one note: bounds the time a hostile file can take
};
#define NONE UINT32_MAX

// ---- Bends: when the nearest semitone of a channel's bend changes.

typedef struct {
  uint64_t tick;
  int semitones;
} Bend;

typedef struct {
  Bend* bends; // rising ticks, the first at tick 0
  uint32_t n, room;
} Channel;

static bool push_bend(Channel* c, uint64_t tick, int semitones) {
  if (c->n && c->bends[c->n - 1].semitones == semitones) return true;
  Bend* const bends = way_grow(c->bends, c->n, &c->room, sizeof(*bends));
  if (!bends) return false;
  c->bends = bends;
  bends[c->n++] = (Bend){tick, semitones};
  return true;
}

/// The semitones held longest from entry `first` and tick `start` to `end`.
static int bend_held(const Channel* c, uint32_t first, uint64_t start, uint64_t end) {
  int best = c->bends[first].semitones;
  uint64_t longest = 0;
  uint32_t last = c->n;
  if (last - first > BENDS_LOOKED_AT) last = first + BENDS_LOOKED_AT;
  for (uint32_t i = first; i < last; ++i) {
    const uint64_t from = c->bends[i].tick > start ? c->bends[i].tick : start;
    const uint64_t to = i + 1 < c->n ? c->bends[i + 1].tick : end;
    if (to <= from || to - from <= longest) continue;
    longest = to - from;
    best = c->bends[i].semitones;
  }
  return best;
}

// ---- Notes.

/// A note that still sounds.
typedef struct {
  uint64_t tick; // of its start, in the file
  uint32_t note; // which
  uint32_t bend; // in force as it began: an index into its channel's
  uint32_t next; // on the same key and channel, or free like this one; or NONE
} Sounding;

typedef struct {
  const WaySmf* smf;
  WayTake* take;
  uint32_t room;
  Sounding* sounding; // as many as ever sounded at once
  uint32_t n_sounding, room_sounding;
  uint32_t free; // the first that is free
  uint32_t first[WAY_MIDI_CHANNELS][WAY_MIDI_KEYS],
      last[WAY_MIDI_CHANNELS][WAY_MIDI_KEYS]; // queues of sounding notes
  WayBends bends;
  Channel channels[WAY_MIDI_CHANNELS];
  int channel;    // 1..16, or 0 for all
  uint32_t event; // the one in hand
} Collector;

/// A place among the sounding notes; NONE if out of memory.
static uint32_t take_sounding(Collector* c) {
  if (c->free != NONE) {
    const uint32_t s = c->free;
    c->free = c->sounding[s].next;
    return s;
  }
  Sounding* const sounding =
      way_grow(c->sounding, c->n_sounding, &c->room_sounding, sizeof(*sounding));
  if (!sounding) return NONE;
  c->sounding = sounding;
  return c->n_sounding++;
}

static bool begin(Collector* c, uint64_t tick, uint8_t channel, uint8_t key,
                  uint8_t velocity) {
  WayTake* const take = c->take;
  if (take->n == c->room) {
    if (c->room > NONE / 2) return false;
    // The first guess leaves a note-off for each; what is not needed costs nothing.
    const uint32_t room = c->room ? 2 * c->room : c->smf->tracks[take->track].n / 2 + 1;
    WayNote* const notes = way_big_resize(take->notes, room * sizeof(*notes));
    if (!notes) return false;
    take->notes = notes;
    c->room = room;
  }
  const uint32_t s = take_sounding(c);
  if (s == NONE) return false;
  take->notes[take->n] =
      (WayNote){0, 0, key, key, velocity, channel, c->event, WAY_NO_EVENT};
  c->sounding[s] = (Sounding){tick, take->n++, c->channels[channel].n - 1, NONE};
  if (c->first[channel][key] == NONE)
    c->first[channel][key] = s;
  else
    c->sounding[c->last[channel][key]].next = s;
  c->last[channel][key] = s;
  return true;
}

/// End the note of this key that began first; false if none sounds.
/// @param off Its note-off, or #WAY_NO_EVENT.
static bool end(Collector* c, uint64_t tick, uint8_t channel, uint8_t key,
                uint32_t off) {
  const uint32_t i = c->first[channel][key];
  if (i == NONE) return false;
  const Sounding s = c->sounding[i];
  WayNote* const note = &c->take->notes[s.note];
  c->first[channel][key] = s.next;
  c->sounding[i].next = c->free;
  c->free = i;
  note->off = off;
  note->start = way_smf_music_tick(c->smf, s.tick);
  note->length = way_smf_music_tick(c->smf, tick) - note->start;
  const int pitch = key + bend_held(&c->channels[channel], s.bend, s.tick, tick);
  note->pitch = way_midi_nearest(pitch);
  return true;
}

/// End all notes of a channel; returns how many there were.
static uint32_t end_channel(Collector* c, uint64_t tick, uint8_t channel) {
  uint32_t n = 0;
  for (uint8_t key = 0; key < WAY_MIDI_KEYS; ++key)
    while (end(c, tick, channel, key, WAY_NO_EVENT)) ++n;
  return n;
}

/// Hear a controller or a bend, of any channel: one may be the master of another.
static bool hear_bend(Collector* c, const WaySmfEvent* e) {
  const uint8_t bytes[3] = {e->bytes[0], e->bytes[1], e->size > 2 ? e->bytes[2] : 0};
  const uint16_t set = way_bends_hear(&c->bends, bytes);
  for (unsigned i = 0; set >> i; ++i)
    if (set >> i & 1 && !push_bend(&c->channels[i], e->tick, c->bends.steps[i]))
      return false;
  return true;
}

static bool collect_event(Collector* c, const WaySmfEvent* e) {
  const uint8_t kind = way_midi_kind(e->bytes), channel = way_midi_channel(e->bytes);
  if (kind == WAY_MIDI_SYSEX) return true;
  const uint8_t first = e->bytes[1], second = e->size > 2 ? e->bytes[2] : 0;
  if (kind == WAY_MIDI_NOTE_OFF || kind == WAY_MIDI_NOTE_ON) {
    if (c->channel && c->channel != channel + 1) return true;
    if (way_midi_is_note_on(e->bytes)) return begin(c, e->tick, channel, first, second);
    c->take->orphans += !end(c, e->tick, channel, first, c->event);
    return true;
  }
  if (way_midi_is_all_off(e->bytes, e->size)) end_channel(c, e->tick, channel);
  return hear_bend(c, e);
}

static bool collect_track(Collector* c, const WaySmfTrack* track) {
  memset(c->first, 0xFF, sizeof(c->first));
  way_bends_init(&c->bends, BEND_RANGE);
  for (unsigned i = 0; i < WAY_MIDI_CHANNELS; ++i)
    if (!push_bend(&c->channels[i], 0, 0)) return false;
  for (c->event = 0; c->event < track->n; ++c->event)
    if (!collect_event(c, &track->events[c->event])) return false;
  for (uint8_t i = 0; i < WAY_MIDI_CHANNELS; ++i)
    c->take->unended += end_channel(c, track->end, i);
  return true;
}

static int by_pitch(const void* a, const void* b) {
  const WayNote *x = a, *y = b;
  if (x->pitch != y->pitch) return x->pitch - y->pitch;
  if (x->channel != y->channel) return x->channel - y->channel;
  return x->length < y->length ? -1 : x->length > y->length;
}

/// Sort what begins together; starts rise already.
static void sort_chords(WayTake* take) {
  for (uint32_t from = 0, to; from < take->n; from = to) {
    to = from + 1;
    while (to < take->n && take->notes[to].start == take->notes[from].start) ++to;
    if (to - from > 1)
      qsort(take->notes + from, to - from, sizeof(*take->notes), by_pitch);
  }
}

/// The tempo from first to last onset.
static bool find_tempo(const WaySmf* smf, WayTake* take) {
  WayTempoMap* const map = way_tempo_map_new(smf);
  if (!map) return false;
  const WayTick from = take->notes[0].start, to = take->notes[take->n - 1].start;
  const double seconds = way_tempo_map_seconds(map, way_smf_file_tick(smf, to)) -
                         way_tempo_map_seconds(map, way_smf_file_tick(smf, from));
  const double quarters = (double)(to - from) / WAY_TICKS_PER_QUARTER;
  take->tempo = seconds > 0 ? 60 * quarters / seconds : 0;
  way_tempo_map_free(map);
  return true;
}

static WayStatus collect(const WaySmf* smf, uint32_t track, int channel,
                         WayTake* take) {
  Collector* const c = calloc(1, sizeof(*c));
  if (!c) return WAY_ERR_NO_MEMORY;
  c->smf = smf;
  c->take = take;
  c->channel = channel;
  c->free = NONE;
  take->track = track;
  const bool done = collect_track(c, &smf->tracks[track]);
  for (unsigned i = 0; i < WAY_MIDI_CHANNELS; ++i) free(c->channels[i].bends);
  free(c->sounding);
  free(c);
  if (!done) return WAY_ERR_NO_MEMORY;
  sort_chords(take);
  return find_tempo(smf, take) ? WAY_OK : WAY_ERR_NO_MEMORY;
}

// ---- Choice.

static bool holds(WayText text, const char* word) {
  const size_t n = strlen(word);
  for (size_t i = 0; i + n <= text.size; ++i)
    if (way_text_is_nocase((WayText){text.at + i, n}, word)) return true;
  return false;
}

bool way_take_named_like_chords(WayText name) {
  static const char* const words[] = {"chord", "harmon", "comping", "accomp",
                                      "backing"};
  for (size_t i = 0; i < WAY_COUNT(words); ++i)
    if (holds(name, words[i])) return true;
  return false;
}

/// Whether a track has notes for the choice; `drums` tells if those on channel 10
/// count.
static bool has_notes(const WaySmfTrack* track, int channel, bool drums) {
  for (uint32_t i = 0; i < track->n; ++i) {
    const uint8_t* const b = track->events[i].bytes;
    if (!way_midi_is_note_on(b)) continue;
    if (channel ? channel == way_midi_channel(b) + 1
                : drums || way_midi_channel(b) != WAY_MIDI_DRUMS)
      return true;
  }
  return false;
}

static uint32_t track_named(const WaySmf* smf, const char* name) {
  for (uint32_t t = 0; t < smf->n_tracks; ++t)
    if (way_text_is_nocase(way_text_trim(way_smf_track_name(&smf->tracks[t])), name))
      return t;
  return NONE;
}

/// The first melody; else the first chords; else the first drums.
static uint32_t track_found(const WaySmf* smf, int channel) {
  for (int pass = 0; pass < 3; ++pass)
    for (uint32_t t = 0; t < smf->n_tracks; ++t) {
      const WaySmfTrack* const track = &smf->tracks[t];
      const bool chords = way_take_named_like_chords(way_smf_track_name(track));
      if ((pass || !chords) && has_notes(track, channel, pass == 2)) return t;
    }
  return NONE;
}

/// Say why a choice means no track; `found` is what it came to.
static WayStatus no_track(const WaySmf* smf, const WayTakeChoice* choice,
                          uint32_t found, WayError* error) {
  char message[WAY_ERROR_MAX];
  WayOut out = way_out(message, sizeof(message));
  if (choice->track >= 0 && found >= smf->n_tracks) {
    way_out_str(&out, "no track ");
    way_out_int(&out, choice->track);
    way_out_str(&out, ": the file has ");
    way_out_int(&out, smf->n_tracks);
    way_out_str(&out, smf->n_tracks == 1 ? " track" : " tracks");
    if (smf->n_tracks) way_out_str(&out, smf->n_tracks == 1 ? ", 0" : ", 0 to ");
    if (smf->n_tracks > 1) way_out_int(&out, smf->n_tracks - 1);
  } else if (found == NONE && choice->name) {
    way_out_str(&out, "no track is named ");
    way_out_str(&out, choice->name);
  } else {
    way_out_str(&out, "no notes in the ");
    way_out_str(&out, found == NONE ? "file" : "track");
    way_out_str(&out, choice->channel ? " on that channel" : "");
  }
  return way_fail(WAY_ERR_RANGE, message, error);
}

WayStatus way_take_track(const WaySmf* smf, const WayTakeChoice* choice,
                         uint32_t* track, WayError* error) {
  const uint32_t found = choice->track >= 0 ? (uint32_t)choice->track
                         : choice->name     ? track_named(smf, choice->name)
                                            : track_found(smf, choice->channel);
  if (found < smf->n_tracks && has_notes(&smf->tracks[found], choice->channel, true)) {
    *track = found;
    return WAY_OK;
  }
  return no_track(smf, choice, found, error);
}

WayStatus way_take_new(const WaySmf* smf, const WayTakeChoice* choice, WayTake** out,
                       WayError* error) {
  uint32_t track = 0;
  if (way_take_track(smf, choice, &track, error)) return WAY_ERR_RANGE;
  WayTake* const take = calloc(1, sizeof(*take));
  const WayStatus st =
      take ? collect(smf, track, choice->channel, take) : WAY_ERR_NO_MEMORY;
  if (st) {
    way_take_free(take);
    return way_fail(st, way_strerror(st), error);
  }
  *out = take;
  return WAY_OK;
}

void way_take_free(WayTake* take) {
  if (!take) return;
  free(take->notes);
  free(take);
}
