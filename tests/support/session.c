#include "session.h"

#include "rng.h"

#include <lv2/midi/midi.h>

/// A player's hands, drawn from a seed: notes, chords, bends, pedals, long messages.
static void play(Host* h, uint32_t seed) {
  uint32_t rng = seed;
  const LV2_URID midi = host_urid(h, LV2_MIDI__MidiEvent);
  int64_t frame = 0;
  while (frame < SESSION_LENGTH) {
    const uint8_t key = (uint8_t)(40 + rng_below(&rng, 48));
    const uint8_t channel = (uint8_t)rng_below(&rng, 3);
    switch (rng_below(&rng, 8)) {
    case 0: host_midi(h, "chords", frame, 0x90, key, 70); break;
    case 1: host_midi(h, "chords", frame, 0x80, key, 0); break;
    case 2: host_midi(h, "melody", frame, 0xB0 | channel, 64, key); break;
    case 3: {
      const uint8_t dump[] = {0xF0, 0x7D, 1, 2, 3, 4, 5, 6, 7, 8, 9, key, 0xF7};
      host_insert(host_events(h, "melody"), frame, midi, dump, sizeof(dump));
      break;
    }
    case 4: host_midi(h, "melody", frame, 0x90 | channel, key, 0); break;
    default:
      host_midi(h, "melody", frame, 0x90 | channel, key, 90);
      host_midi(h, "melody", frame + 1 + rng_below(&rng, 30000), 0x80 | channel, key,
                0);
    }
    frame += 40 + rng_below(&rng, 2500);
  }
}

/// A transport that starts, loops, is located, stops and starts again.
static void roll(Host* h) {
  HostPosition p = host_position_at(0, 96);
  host_position(h, 4801, &p);
  p = host_position_at(4, 96);
  host_position(h, 200001, &p); // back to the second bar
  p = host_position_at(13.75, 131.3);
  host_position(h, 300007, &p);
  p.speed = 0;
  host_position(h, 400000, &p);
  p = host_position_at(-3, 96);
  host_position(h, 410003, &p);
}

static uint32_t cut_random(uint32_t* rng) {
  const uint32_t kind = rng_below(rng, 4);
  return kind == 0 ? 1 : 1 + rng_below(rng, kind == 1 ? 16 : 8192);
}

void session_prepare(Host* h, uint32_t seed) {
  host_chart(h, SESSION_CHART);
  for (uint32_t i = 0; i < h->n_ports; ++i) {
    host_clear(&h->events[i]);
    h->next[i] = 0;
  }
  h->now = 0;
  *host_control(h, "handling") = (float)(seed % 3);
  *host_control(h, "held") = (float)(seed / 3 % 3);
  *host_control(h, "material") = (float)(seed % 7);
  *host_control(h, "early") = (float)(seed % 2) * 0.5f;
  *host_control(h, "tag_channel") = (float)(seed % 4);
  *host_control(h, "marks_on_out") = (float)(seed / 2 % 2);
  *host_control(h, "marks_as_text") = (float)(seed / 4 % 2);
  play(h, seed);
  roll(h);
}

void session_run(Host* h, uint32_t seed, uint32_t block) {
  uint32_t rng = seed;
  while (h->now < SESSION_LENGTH) {
    const uint32_t n = block ? block : cut_random(&rng);
    const int64_t left = SESSION_LENGTH - h->now;
    host_run(h, left < n ? (uint32_t)left : n);
  }
}

int session_hanging(Host* h, const char* port) {
  const HostEvents* const list = host_events(h, port);
  const LV2_URID midi = host_urid(h, LV2_MIDI__MidiEvent);
  int on[16 * 128] = {0};
  for (size_t i = 0; i < list->n; ++i) {
    const HostEvent* const e = &list->at[i];
    if (e->type != midi || e->size != 3) continue;
    const uint8_t kind = e->body[0] & 0xF0u;
    int* const key = &on[(e->body[0] & 0x0Fu) * 128 + e->body[1]];
    if (kind == 0x90 && e->body[2])
      ++*key;
    else if ((kind == 0x80 || kind == 0x90) && *key)
      --*key;
  }
  for (int i = 0; i < 16 * 128; ++i)
    if (on[i]) return i;
  return -1;
}
