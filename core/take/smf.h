// Standard MIDI Files: bytes to events and back (MIDI 1.0, RP-001).
#ifndef WAY_TAKE_SMF_H
#define WAY_TAKE_SMF_H

#include "base/status.h"
#include "base/text.h"
#include "time/beat.h"

/// Latest place in a file, in its ticks; later events are refused.  Small enough that
/// every place fits a #WayTick.
#define WAY_SMF_TICK_MAX ((uint64_t)1 << 48)

/// One event of a track.
typedef struct {
  uint64_t tick;   ///< From the start of its track's time, in file ticks
  uint32_t size;   ///< Bytes at `bytes`
  uint32_t offset; ///< Where its status (or first data) byte stands in the file read; 0
                   ///< for events made here
  /// Status first (running status resolved).  Meta: FF, type, then the data without its
  /// length.  SysEx: F0 or F7, then the data as stored.
  const uint8_t* bytes;
} WaySmfEvent;

/// One track.
typedef struct {
  uint32_t n;
  uint32_t room;
  WaySmfEvent* events; ///< Rising ticks, unless way_smf_add() was given falling ones;
                       ///< the end-of-track meta event is not among them
  uint32_t n_metas;    ///< Of these, meta events
  uint64_t end;        ///< Tick of the end of the track
  uint32_t offset;     ///< Where its chunk stands in the file read; 0 if made here
} WaySmfTrack;

/// A file.  Owns its tracks and the bytes of its events.
typedef struct {
  uint16_t format;   ///< 0, 1 or 2
  uint16_t division; ///< Ticks per quarter note, 1..32767
  uint32_t n_tracks;
  WaySmfTrack* tracks;
  struct WaySmfStore* store; ///< Where event bytes live
} WaySmf;

/**
   Read a whole file from memory.

   Accepted although the standard asks for more: a track without its end-of-track
   event, running status that goes on past a meta event or SysEx, more tracks than the
   header counts, padding after the last track, and single system messages (F1..FE)
   outside a SysEx, which come out as the F7 form the standard asks for.  Anything else
   that breaks the format is refused.

   @param bytes Borrowed for this call only.
   @param out   Receives a new file, owned by the caller; left untouched on error.
   @param error Receives the byte where reading stopped, and why; may be NULL.
   @return #WAY_OK, #WAY_ERR_FORMAT, #WAY_ERR_UNSUPPORTED (SMPTE division, a format
   above 2, 4 GiB or more, places past #WAY_SMF_TICK_MAX) or #WAY_ERR_NO_MEMORY.
   Memory is linear in `size`.
*/
WayStatus way_smf_read(const uint8_t* bytes, size_t size, WaySmf** out,
                       WayError* error);
/// An empty file.  NULL if out of memory.
WaySmf* way_smf_new(uint16_t format, uint16_t division);
/// Free a file; NULL is fine.
void way_smf_free(WaySmf* smf);
/// Append an empty track; NULL if out of memory.  Borrowed until the next call.
WaySmfTrack* way_smf_add_track(WaySmf* smf);
/**
   Append an event.  Its place when the file is written is behind all events of the
   same or an earlier tick; way_smf_sort() puts it there at once.  A track ends no
   earlier than its last event; an end-of-track meta event only moves the end.

   @param bytes In the form of #WaySmfEvent; copied.
   @return #WAY_OK, #WAY_ERR_RANGE (no such track, no such event, too late) or
   #WAY_ERR_NO_MEMORY.  Takes constant time.
*/
WayStatus way_smf_add(WaySmf* smf, uint32_t track, uint64_t tick, const uint8_t* bytes,
                      uint32_t size);
/// The same for a text-like meta event (type 1..15).
WayStatus way_smf_add_text(WaySmf* smf, uint32_t track, uint64_t tick, uint8_t type,
                           const char* text);
/// The same for a tempo, in quarter notes a minute (4 or more).
WayStatus way_smf_add_tempo(WaySmf* smf, uint32_t track, uint64_t tick, double tempo);
/// The same for a time signature.
WayStatus way_smf_add_metre(WaySmf* smf, uint32_t track, uint64_t tick, WayMetre metre);
/// Put every track's events in rising order; equal ticks keep theirs.
/// @return #WAY_OK or #WAY_ERR_NO_MEMORY.
WayStatus way_smf_sort(WaySmf* smf);
/**
   Write a file to memory, with running status off and every track ended.

   A pause too long for one delta time (2^28 ticks) is bridged by empty text events.

   @param out  Receives bytes to be freed with free(); left untouched on error.
   @param size Receives their number.
   @return #WAY_OK, #WAY_ERR_RANGE (a track above 4 GiB or more than 65535 tracks) or
   #WAY_ERR_NO_MEMORY.
*/
WayStatus way_smf_write(const WaySmf* smf, uint8_t** out, size_t* size);

/// The meta type (FF xx) of an event; -1 if it is not a meta event.
int way_smf_meta(const WaySmfEvent* e);
/// The data of a meta event, without FF and type.  Borrowed from the file.
WayText way_smf_meta_data(const WaySmfEvent* e);
/// The name of a track: its first sequence/track name (FF 03); empty if it has none.
/// Borrowed from the file.
WayText way_smf_track_name(const WaySmfTrack* track);
/// File ticks to ticks of music, to the nearest.
WayTick way_smf_music_tick(const WaySmf* smf, uint64_t tick);
/// Where the last track ends, in ticks of music.
WayTick way_smf_music_end(const WaySmf* smf);
/// Ticks of music (0 or more) to file ticks, to the nearest.
uint64_t way_smf_file_tick(const WaySmf* smf, WayTick tick);

/**
   All meta events of one type, of all tracks (track 0 for format 2), in order.

   @return A new file of one track, owned by the caller; NULL if out of memory.
*/
WaySmf* way_smf_metas(const WaySmf* smf, uint8_t type);

/// A tempo map: file ticks to seconds.
typedef struct WayTempoMap WayTempoMap;
/// Made from every track's tempo metas (track 0's for format 2); a tempo of zero is
/// passed over.  NULL if out of memory.
WayTempoMap* way_tempo_map_new(const WaySmf* smf);
/// Free a map; NULL is fine.
void way_tempo_map_free(WayTempoMap* map);
/// Seconds from the start of the file.  O(log n).
double way_tempo_map_seconds(const WayTempoMap* map, uint64_t tick);
/// Microseconds a quarter note in force at `tick`.  O(log n).
uint32_t way_tempo_map_at(const WayTempoMap* map, uint64_t tick);

#endif
