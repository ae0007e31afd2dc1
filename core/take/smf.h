// Standard MIDI Files as tracks of events (MIDI 1.0, RP-001): making and asking.
// smf_read.h and smf_write.h turn bytes into them and back.
#ifndef WAY_TAKE_SMF_H
#define WAY_TAKE_SMF_H

#include "base/status.h"
#include "base/text.h"
#include "take/byte_store.h"
#include "time/beat.h"

/// Latest place in a file, in its ticks; later events are refused.  Small enough that
/// every place fits a #WayTick.
#define WAY_SMF_TICK_MAX ((uint64_t)1 << 48)
/// Longest delta time, and most bytes of an event: the largest variable-length
/// quantity.
#define WAY_SMF_QUANTITY_MAX 0x0FFFFFFFu

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
  WayByteStore store; ///< Where event bytes live
} WaySmf;

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
/// Make room for `room` events of a track in all.  @return #WAY_OK or
/// #WAY_ERR_NO_MEMORY.
WayStatus way_smf_reserve(WaySmfTrack* track, uint32_t room);
/// Append an event as it is, for who reads a file: well-formed, its bytes in the file's
/// store.  @return #WAY_OK or #WAY_ERR_NO_MEMORY.
WayStatus way_smf_push(WaySmfTrack* track, WaySmfEvent event);
/// Whether the events of a track are in rising order.
bool way_smf_is_sorted(const WaySmfTrack* track);
/// Its events in rising order, equal ticks as they are: a new array, to be freed with
/// free().  NULL if out of memory.
WaySmfEvent* way_smf_sorted(const WaySmfTrack* track);
/// Put every track's events in that order.
/// @return #WAY_OK or #WAY_ERR_NO_MEMORY.
WayStatus way_smf_sort(WaySmf* smf);
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

#endif
