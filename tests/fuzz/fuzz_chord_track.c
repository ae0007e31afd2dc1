// Any stream of notes on the chord track under a melody, with any settings: a chord is
// heard or not, no note is left hanging, and cutting the blocks otherwise changes
// nothing.
#include "bare_host.h"

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size);

/// Bytes that choose settings before the stream.
enum { CHOICES = 8, STEP = 480 };

static void choose(Bare* b, const uint8_t* c) {
  static const struct {
    WayPort port;
    unsigned n;
  } choices[CHOICES] = {{WAY_PORT_SOURCE, 5},       {WAY_PORT_HANDLING, 4},
                        {WAY_PORT_MATERIAL, 7},     {WAY_PORT_HELD, 3},
                        {WAY_PORT_SPLIT_KEY, 128},  {WAY_PORT_CHORD_CHANNEL, 17},
                        {WAY_PORT_TAG_CHANNEL, 15}, {WAY_PORT_SNAP, 3}};
  b->controls[WAY_PORT_SOFTEN_TO] = 40;
  b->controls[WAY_PORT_MAX_DISTANCE] = 11;
  b->controls[WAY_PORT_MARK_CHANNEL] = 16;
  b->controls[WAY_PORT_RANGE_HIGH] = 127;
  b->controls[WAY_PORT_START_BAR] = 1;
  for (int i = 0; i < CHOICES; ++i)
    b->controls[choices[i].port] = (float)(c[i] % choices[i].n);
}

/// A sum over everything that was sent up to a frame, with its frames.
static uint64_t add_up(Bare* b, uint64_t sum, int64_t now, int64_t last) {
  for (unsigned output = 0; output < 2; ++output) {
    const LV2_Atom_Sequence* const seq = bare_port(b, WAY_PORT_OUT + output);
    const uint8_t* at = (const uint8_t*)(seq + 1);
    const uint8_t* const end = (const uint8_t*)&seq->body + seq->atom.size;
    while (at < end) {
      const LV2_Atom_Event* const e = (const LV2_Atom_Event*)(const void*)at;
      uint64_t one = (uint64_t)(now + e->time.frames) * 2 + output;
      for (uint32_t i = 0; i < e->body.size; ++i)
        one = one * 31 + ((const uint8_t*)(e + 1))[i];
      if (now + e->time.frames > last) break; // blocks end elsewhere
      sum += one * 0x9E3779B97F4A7C15u;       // outputs may take turns in another order
      at += sizeof(*e) + ((e->body.size + 7u) & ~7u);
    }
  }
  return sum;
}

/// Play the stream: four bytes an event - port and time, then the message.
static uint64_t play(const uint8_t* data, size_t size, uint32_t block) {
  Bare* const b = bare_new();
  choose(b, data);
  bare_restore(b, bare_chart, b);
  uint64_t sum = 0;
  int64_t now = 0, frame = 0, end = 0;
  const LV2_URID midi = bare_map(b, LV2_MIDI__MidiEvent);
  for (size_t i = CHOICES; i + 4 <= size; i += 4)
    end += (int64_t)(data[i] & 63u) * STEP;
  for (size_t i = CHOICES; now <= end;) {
    for (; i + 4 <= size; i += 4) {
      const int64_t next = frame + (int64_t)(data[i] & 63u) * STEP;
      if (next >= now + block) break;
      frame = next;
      const uint8_t message[] = {(uint8_t)(0x80 | data[i + 1]), data[i + 2] & 127u,
                                 data[i + 3] & 127u};
      if ((message[0] & 0xF0) != 0xF0)
        bare_add(b, data[i] & 64u ? WAY_PORT_MELODY : WAY_PORT_CHORDS, frame - now,
                 midi, message, sizeof(message));
    }
    bare_run(b, block);
    sum = add_up(b, sum, now, end);
    now += block;
  }
  bare_free(b);
  return sum;
}

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size) {
  if (size < CHOICES) return 0;
  const size_t most = size < 400 ? size : 400;
  if (play(data, most, STEP) != play(data, most, STEP * 16)) abort();
  return 0;
}
