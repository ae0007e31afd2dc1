// Messages of the guide: those of the plug-in are understood, and nothing else is.
#include "../../plugin/ui/news.h"
#include "check.h"
#include "host.h"
#include "rng.h"

#include <lv2/patch/patch.h>

#include <stdlib.h>

#define SCREEN "urn:waymark:guide#screen"

/// An event of a port as a whole atom in memory of its own.
static LV2_Atom* atom_of(const HostEvent* e, uint32_t* size) {
  *size = (uint32_t)sizeof(LV2_Atom) + e->size;
  LV2_Atom* const atom = malloc(*size);
  assert_non_null(atom);
  *atom = (LV2_Atom){e->size, e->type};
  memcpy(atom + 1, e->body, e->size);
  return atom;
}

/// A guide that has told of a chart, of notes and of a chord heard.
static Host* talked(WayUrids* urids) {
  Host* const h = host_guide(NULL);
  assert_non_null(h);
  way_urids_init(urids, &h->map);
  host_chart(h, "| D | G>3 |");
  host_get(h, h->now, SCREEN);
  host_get(h, h->now, NULL);
  const HostPosition p = host_position_at(0, 120);
  host_position(h, h->now, &p);
  for (int i = 0; i < 40; ++i)
    host_midi(h, "melody", h->now + 100 + i * 700, i % 2 ? 0x80 : 0x91,
              (uint8_t)(60 + i / 2), 90);
  host_run_blocks(h, 40000, 256);
  for (int i = 0; i < 3; ++i)
    host_midi(h, "chords", h->now, 0x90, (uint8_t)(48 + 4 * i), 90);
  host_run_blocks(h, 20000, 256);
  *host_control(h, "tag_channel") = 1;
  *host_control(h, "strings") = 1; // each with bends of its own
  host_run_blocks(h, 5000, 256);
  return h;
}

static void test_what_the_guide_says_is_understood(void** state) {
  (void)state;
  WayUrids urids;
  Host* const h = talked(&urids);
  const HostEvents* const out = host_events(h, "out");
  unsigned kinds[8] = {0}, records[WAY_WIRE_COUNT] = {0}, heard = 0;
  bool refused = false;
  for (size_t i = 0; i < out->n; ++i) {
    uint32_t size;
    LV2_Atom* const atom = atom_of(&out->at[i], &size);
    WayNews news;
    const bool object = out->at[i].type == h->forge.Object;
    assert_int_equal(way_news_read(&urids, atom, size, &news), object);
    if (object) ++kinds[news.kind];
    for (unsigned k = 0; object && k < news.n; ++k) ++records[news.records[k].kind];
    if (object && news.from == WAY_CHORD_FROM_NOTES) ++heard;
    if (object && news.kind == WAY_NEWS_PLACE) {
      assert_true(news.tags_refused >= refused); // from where it is said on
      refused = news.tags_refused;
    }
    if (object && news.kind == WAY_NEWS_CHART_TEXT)
      assert_true(way_text_is(news.text, "| D | G>3 |"));
    free(atom);
  }
  for (unsigned i = 0; i < 4; ++i) assert_true(kinds[i] > 0);
  assert_int_equal(records[WAY_WIRE_ON], 20);
  assert_int_equal(records[WAY_WIRE_OFF], 20);
  assert_int_equal(records[WAY_WIRE_ROLE], 20);
  assert_true(heard > 0);
  assert_true(refused);
  host_free(h);
}

static void test_records_come_back_as_packed(void** state) {
  (void)state;
  uint32_t rng = 5;
  for (int i = 0; i < 20000; ++i) {
    const WayWireRecord r = {
        .ago = (int32_t)rng_next(&rng) / 2,
        .kind = (uint8_t)rng_below(&rng, WAY_WIRE_COUNT),
        .pitch = (uint8_t)rng_below(&rng, 128),
        .channel = (uint8_t)rng_below(&rng, 16),
        .on_target = rng_below(&rng, 2),
        .next = rng_below(&rng, 2),
        .role = {.role = (uint8_t)rng_below(&rng, WAY_ROLE_COUNT),
                 .interval = (uint8_t)rng_below(&rng, 12),
                 .extension = rng_below(&rng, 2),
                 .degree = {(int8_t)(1 + rng_below(&rng, 14)),
                            (int8_t)((int)rng_below(&rng, 7) - 3)}}};
    int32_t ints[WAY_WIRE_INTS];
    WayWireRecord again;
    way_wire_pack(&r, ints);
    assert_true(way_wire_unpack(ints, &again));
    assert_int_equal(again.ago, r.ago);
    assert_int_equal(again.kind, r.kind);
    assert_int_equal(again.pitch, r.pitch);
    assert_int_equal(again.channel, r.channel);
    assert_int_equal(again.on_target, r.on_target);
    assert_int_equal(again.next, r.next);
    assert_int_equal(again.role.role, r.role.role);
    assert_int_equal(again.role.interval, r.role.interval);
    assert_int_equal(again.role.extension, r.role.extension);
    assert_int_equal(again.role.degree.number, r.role.degree.number);
    assert_int_equal(again.role.degree.alter, r.role.degree.alter);
  }
}

/// Damaged messages are refused or read as something in range; a checker sees whether
/// anything behind them was read.
static void test_damage_does_no_harm(void** state) {
  (void)state;
  WayUrids urids;
  Host* const h = talked(&urids);
  const HostEvents* const out = host_events(h, "out");
  uint32_t rng = 11;
  unsigned refused = 0;
  for (int i = 0; i < 40000; ++i) {
    uint32_t size;
    LV2_Atom* const whole = atom_of(&out->at[rng_below(&rng, (uint32_t)out->n)], &size);
    const uint32_t cut = rng_below(&rng, 2) ? size : rng_below(&rng, size + 1);
    uint8_t* const bytes = malloc(cut ? cut : 1);
    assert_non_null(bytes);
    memcpy(bytes, whole, cut);
    for (uint32_t k = rng_below(&rng, 4); cut && k; --k)
      bytes[rng_below(&rng, cut)] = (uint8_t)rng_next(&rng);
    WayNews news;
    if (cut < sizeof(LV2_Atom) ||
        !way_news_read(&urids, (const LV2_Atom*)(void*)bytes, cut, &news)) {
      ++refused;
    } else {
      assert_true(news.n <= WAY_WIRE_RECORDS && news.speed >= 0);
      for (unsigned k = 0; k < news.n; ++k)
        assert_true(news.records[k].pitch < 128 && news.records[k].channel < 16);
    }
    free(bytes);
    free(whole);
  }
  assert_true(refused > 10000);
  host_free(h);
}

/// A message with `n` records, whatever is in them.
static bool read_with_records(Host* h, const WayUrids* urids, unsigned n) {
  static const int32_t ints[(WAY_WIRE_RECORDS + 1) * WAY_WIRE_INTS];
  uint8_t buffer[4096] __attribute__((aligned(8)));
  LV2_Atom_Forge_Frame frame;
  lv2_atom_forge_set_buffer(&h->forge, buffer, sizeof(buffer));
  lv2_atom_forge_object(&h->forge, &frame, 0, urids->Screen);
  lv2_atom_forge_key(&h->forge, urids->tick);
  lv2_atom_forge_long(&h->forge, 0);
  lv2_atom_forge_key(&h->forge, urids->notes);
  lv2_atom_forge_vector(&h->forge, sizeof(int32_t), urids->atom_Int, n * WAY_WIRE_INTS,
                        ints);
  lv2_atom_forge_pop(&h->forge, &frame);
  WayNews news;
  const LV2_Atom* const atom = (const LV2_Atom*)(const void*)buffer;
  return way_news_read(urids, atom, h->forge.offset, &news);
}

static void test_no_more_records_than_there_is_room(void** state) {
  (void)state;
  WayUrids urids;
  Host* const h = host_guide(NULL);
  way_urids_init(&urids, &h->map);
  assert_true(read_with_records(h, &urids, 0));
  assert_true(read_with_records(h, &urids, WAY_WIRE_RECORDS));
  assert_false(read_with_records(h, &urids, WAY_WIRE_RECORDS + 1));
  host_free(h);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_what_the_guide_says_is_understood),
      cmocka_unit_test(test_records_come_back_as_packed),
      cmocka_unit_test(test_damage_does_no_harm),
      cmocka_unit_test(test_no_more_records_than_there_is_room),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
