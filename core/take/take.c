#include "take/take.h"

#include "base/midi.h"
#include "chart/grow.h"
#include "take/big.h"
#include "take/tempo_map.h"

#include <stdlib.h>
#include <string.h>

enum {
  BEND_CENTRE = 0x2000,
  BEND_CENTS = 200,       // range until a file sets its own (MIDI 1.0)
  MEMBER_CENTS = 4800,    // the same on the member channels of a zone (MPE 1.0)
  BENDS_LOOKED_AT = 4096, // of one note: bounds the time a hostile file can take
};
#define NONE UINT32_MAX

// ---- Bends: when the nearest semitone of a channel's bend changes.

typedef struct {
  uint64_t tick;
  int semitones;
} Bend;

typedef struct Channel {
  Bend* bends; // rising ticks, the first at tick 0
  uint32_t n, room;
  int value;            // 0..16383
  int range;            // cents
  uint8_t parameter[2]; // registered parameter selected: high, low; 127 for none
  const struct Channel* master; // whose bends add to this channel's; or NULL
} Channel;

static bool push_bend(Channel* c, uint64_t tick, int semitones) {
  if (c->n && c->bends[c->n - 1].semitones == semitones) return true;
  Bend* const bends = way_grow(c->bends, c->n, &c->room, sizeof(*bends));
  if (!bends) return false;
  c->bends = bends;
  bends[c->n++] = (Bend){tick, semitones};
  return true;
}

static int cents(const Channel* c) {
  return (c->value - BEND_CENTRE) * c->range / BEND_CENTRE;
}

/// Note the bend of a channel, and of the members if it is a master.
static bool bend(Channel* channels, Channel* c, uint64_t tick) {
  for (unsigned i = 0; i < WAY_MIDI_CHANNELS; ++i) {
    Channel* const ch = &channels[i];
    if (ch != c && ch->master != c) continue;
    const int sum = cents(ch) + (ch->master ? cents(ch->master) : 0);
    if (!push_bend(ch, tick, (sum + (sum < 0 ? -50 : 50)) / 100)) return false;
  }
  return true;
}

/// A zone of `n` member channels, in rising order from the lowest channel or falling
/// from the highest; 0 ends it.  Later zones take channels from earlier ones.
static bool zone(Channel* channels, Channel* master, uint64_t tick, uint8_t n) {
  const ptrdiff_t up = master == channels ? 1 : -1;
  for (unsigned i = 0; i < WAY_MIDI_CHANNELS; ++i) {
    if (channels[i].master != master) continue;
    channels[i].master = NULL;
    channels[i].range = BEND_CENTS;
  }
  master->master = NULL;
  master->range = BEND_CENTS;
  for (ptrdiff_t i = 1; i <= n && i < WAY_MIDI_CHANNELS; ++i) {
    master[up * i].master = master;
    master[up * i].range = MEMBER_CENTS;
  }
  for (unsigned i = 0; i < WAY_MIDI_CHANNELS; ++i)
    if (!bend(channels, &channels[i], tick)) return false;
  return true;
}

/// Set a channel's range of bends; a member's is that of all members of its zone.
static bool set_range(Channel* channels, Channel* c, uint64_t tick, int range) {
  for (unsigned i = 0; i < WAY_MIDI_CHANNELS; ++i) {
    Channel* const ch = &channels[i];
    if (ch != c && (!c->master || ch->master != c->master)) continue;
    ch->range = range;
    if (!bend(channels, ch, tick)) return false;
  }
  return true;
}

/// Data increment or decrement of the parameter chosen: of the range of bends they
/// count in cents (RP-018).
static bool step_data(Channel* channels, Channel* c, uint64_t tick, int step) {
  const bool is_range = !c->parameter[0] && !c->parameter[1];
  const int range = c->range + step;
  return !is_range || range < 0 || set_range(channels, c, tick, range);
}

/// Follow the controllers that select and set the range of bends, and zones.
static bool control(Channel* channels, Channel* c, uint64_t tick, uint8_t controller,
                    uint8_t value) {
  const uint8_t parameter = c->parameter[0] ? 127 : c->parameter[1];
  const bool ends = c == channels || c == channels + WAY_MIDI_CHANNELS - 1;
  switch (controller) {
  case WAY_CONTROLLER_REGISTERED: c->parameter[0] = value; return true;
  case WAY_CONTROLLER_REGISTERED_FINE: c->parameter[1] = value; return true;
  case WAY_CONTROLLER_OTHER_FINE:
  case WAY_CONTROLLER_OTHER: c->parameter[0] = c->parameter[1] = 127; return true;
  case WAY_CONTROLLER_DATA:
    if (parameter == 6 && ends) return zone(channels, c, tick, value);
    return parameter || set_range(channels, c, tick, 100 * value + c->range % 100);
  case WAY_CONTROLLER_DATA_FINE:
    return parameter || set_range(channels, c, tick,
                                  c->range / 100 * 100 + (value < 100 ? value : 99));
  case WAY_CONTROLLER_INCREMENT: return step_data(channels, c, tick, 1);
  case WAY_CONTROLLER_DECREMENT: return step_data(channels, c, tick, -1);
  case WAY_CONTROLLER_RESET: c->value = BEND_CENTRE; return bend(channels, c, tick);
  default: return true;
  }
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
  note->pitch = (uint8_t)(pitch < 0 ? 0 : pitch > 127 ? 127 : pitch);
  return true;
}

/// End all notes of a channel; returns how many there were.
static uint32_t end_channel(Collector* c, uint64_t tick, uint8_t channel) {
  uint32_t n = 0;
  for (uint8_t key = 0; key < WAY_MIDI_KEYS; ++key)
    while (end(c, tick, channel, key, WAY_NO_EVENT)) ++n;
  return n;
}

static bool collect_event(Collector* c, const WaySmfEvent* e) {
  const uint8_t kind = way_midi_kind(e->bytes), channel = way_midi_channel(e->bytes);
  if (kind == WAY_MIDI_SYSEX) return true;
  Channel* const ch = &c->channels[channel];
  const uint8_t first = e->bytes[1], second = e->size > 2 ? e->bytes[2] : 0;
  if (kind == WAY_MIDI_NOTE_OFF || kind == WAY_MIDI_NOTE_ON) {
    if (c->channel && c->channel != channel + 1) return true;
    if (way_midi_is_note_on(e->bytes)) return begin(c, e->tick, channel, first, second);
    c->take->orphans += !end(c, e->tick, channel, first, c->event);
    return true;
  }
  // All channels' controllers: one may be the master of another.
  if (kind == WAY_MIDI_CONTROLLER &&
      (first == WAY_CONTROLLER_ALL_SOUND_OFF || first >= WAY_CONTROLLER_ALL_NOTES_OFF))
    end_channel(c, e->tick, channel);
  if (kind == WAY_MIDI_CONTROLLER)
    return control(c->channels, ch, e->tick, first, second);
  if (kind != WAY_MIDI_BEND) return true;
  ch->value = second << 7 | first;
  return bend(c->channels, ch, e->tick);
}

static bool collect_track(Collector* c, const WaySmfTrack* track) {
  memset(c->first, 0xFF, sizeof(c->first));
  for (unsigned i = 0; i < WAY_MIDI_CHANNELS; ++i) {
    c->channels[i] =
        (Channel){.value = BEND_CENTRE, .range = BEND_CENTS, .parameter = {127, 127}};
    if (!push_bend(&c->channels[i], 0, 0)) return false;
  }
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
