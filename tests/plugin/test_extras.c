// What some hosts have beyond LV2: a picture in the mixer strip, names for notes.
#include "../../plugin/inline_display.h"
#include "../../plugin/note_names.h"
#include "check.h"
#include "host.h"
#include "page.h"

#include "live/mark.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static unsigned asked;

static void ask(void* handle) {
  (void)handle;
  ++asked;
}

static Host* host_with_extras(bool threaded) {
  static WayInlineHost display = {NULL, ask};
  static WayMidnamHost names = {NULL, ask};
  static const LV2_Feature features[] = {{WAY_INLINE_DISPLAY__queue_draw, &display},
                                         {WAY_MIDNAM__update, &names}};
  const HostOptions options = {.more = {&features[0], &features[1]},
                               .threaded = threaded};
  asked = 0;
  Host* const h = host_guide(&options);
  assert_non_null(h);
  return h;
}

static const WayInlineSurface* render(Host* h, uint32_t width, uint32_t height) {
  const WayInlineInterface* const i =
      lilv_instance_get_extension_data(h->instance, WAY_INLINE_DISPLAY__interface);
  assert_non_null(i);
  return i->render(lilv_instance_get_handle(h->instance), width, height);
}

/// How many pixels have a colour.
static unsigned count(const WayInlineSurface* s, uint32_t colour) {
  unsigned n = 0;
  for (int y = 0; y < s->height; ++y)
    for (int x = 0; x < s->width; ++x) {
      uint32_t pixel;
      memcpy(&pixel, s->data + y * s->stride + 4 * x, sizeof(pixel));
      n += pixel == colour;
    }
  return n;
}

/// Beats shown: squares of 4 by 4, as many as there are runs in their lowest row.
static unsigned squares(const WayInlineSurface* s) {
  unsigned n = 0;
  bool inside = false;
  for (int x = 0; x < s->width; ++x) {
    uint32_t pixel;
    memcpy(&pixel, s->data + (s->height - 4) * s->stride + 4 * x, sizeof(pixel));
    const bool lit = pixel == 0xFFF0F0F0;
    n += lit && !inside;
    inside = lit;
  }
  return n;
}

static void test_picture_follows_the_music(void** state) {
  (void)state;
  Host* const h = host_with_extras(false);
  const WayInlineSurface* s = render(h, 120, 40); // before anything has run
  assert_non_null(s);
  host_chart(h, "key: C major\n| C | F#m7b5 |");
  const HostPosition p = host_position_at(0, 120);
  host_position(h, h->now, &p);
  host_midi(h, "melody", h->now + 10, 0x90, 61, 90);
  host_run(h, 64);
  assert_true(asked > 0);
  s = render(h, 120, 40);
  assert_int_equal(s->width, 120);
  assert_int_equal(s->height, 36); // it asks for no more
  assert_int_equal(squares(s), 4);
  assert_true(count(s, 0xFFD55E00) > 20); // a C sharp over C is chromatic
  assert_int_equal(count(s, 0xFF009E73), 0);

  const unsigned before = asked;
  host_run_blocks(h, 12000, 64); // half a beat on: nothing new
  assert_int_equal(asked, before);
  host_run_blocks(h, 2 * 24000, 64); // in the third beat
  assert_true(asked > before && asked <= before + 4);
  s = render(h, 120, 40);
  assert_int_equal(squares(s), 2);
  host_midi(h, "melody", h->now + 10, 0x90, 64, 90);
  host_run(h, 64);
  s = render(h, 120, 40);
  assert_true(count(s, 0xFF009E73) > 20);
  host_free(h);
}

/// Three chords share a bar of four beats: beats to the change end between those of the
/// bar.
static void test_beats_are_counted_to_the_change(void** state) {
  (void)state;
  Host* const h = host_with_extras(false);
  host_chart(h, "key: C major\n| C F G |");
  const HostPosition p = host_position_at(0, 120);
  host_position(h, h->now, &p);
  static const unsigned counts[] = {2, 1, 1, 2, 1, 1, 1, 1}; // every half a beat
  for (size_t i = 0; i < WAY_COUNT(counts); ++i) {
    host_run_blocks(h, i ? 12000 : 64, 64);
    assert_int_equal(squares(render(h, 120, 40)), counts[i]);
  }
  host_free(h);
}

/// As narrow as a strip may be, long chords leave room for the next one.
static void test_the_next_chord_has_room(void** state) {
  (void)state;
  static const char* const charts[] = {"| C | F |", "| Bbmaj7 | Ebm7b5 |",
                                       "| Bbmaj7#11 | F#m7b5 |"};
  for (size_t i = 0; i < WAY_COUNT(charts); ++i) {
    Host* const h = host_with_extras(false);
    host_chart(h, charts[i]);
    const HostPosition p = host_position_at(0, 120);
    host_position(h, h->now, &p);
    host_run(h, 64);
    for (uint32_t width = 64; width <= 160; width += 8)
      if (count(render(h, width, 36), 0xFFA0A0A0) < 7)
        fail_msg("%s: no next chord at width %u", charts[i], width);
    host_free(h);
  }
}

static void test_any_size(void** state) {
  (void)state;
  Host* const h = host_with_extras(false);
  host_chart(h, "| Bbmaj7#11/Ab | Ebm7b5 |");
  assert_null(render(h, 0, 0));
  assert_null(render(h, 100, 3));
  for (uint32_t width = 1; width < 200; width += 7)
    for (uint32_t height = 1; height < 80; height += 5) {
      const WayInlineSurface* const s = render(h, width, height);
      if (s) assert_true((uint32_t)s->width <= width && (uint32_t)s->height <= height);
      assert_true(s || width < 24 || height < 9);
    }
  assert_non_null(render(h, 100000, 100000));
  host_free(h);
}

static void* look_again_and_again(void* arg) {
  for (int i = 0; i < 500; ++i) render((Host*)arg, 100, 40);
  return NULL;
}

static void test_render_beside_run(void** state) {
  (void)state;
  Host* const h = host_with_extras(true);
  host_chart(h, "| C | F | G | Am |");
  const HostPosition p = host_position_at(0, 300);
  host_position(h, h->now, &p);
  pthread_t thread;
  assert_int_equal(pthread_create(&thread, NULL, look_again_and_again, h), 0);
  for (int i = 0; i < 2000; ++i) {
    host_midi(h, "melody", h->now, i % 2 ? 0x80 : 0x90, (uint8_t)(40 + i / 2 % 40), 70);
    host_run(h, 512);
  }
  pthread_join(thread, NULL);
  host_free(h);
}

static char* names_of(Host* h) {
  const WayMidnamInterface* const i =
      lilv_instance_get_extension_data(h->instance, WAY_MIDNAM__interface);
  assert_non_null(i);
  return i->midnam(lilv_instance_get_handle(h->instance));
}

static void test_lanes_have_names(void** state) {
  (void)state;
  Host* const h = host_with_extras(false);
  char* text = names_of(h);
  for (unsigned i = 0; i < WAY_LANE_COUNT; ++i) {
    char note[64];
    snprintf(note, sizeof(note), "<Note Number=\"%d\" Name=\"%s\"/>", way_lanes[i].note,
             way_lanes[i].name);
    assert_non_null(strstr(text, note));
  }
  assert_non_null(strstr(text, "</MIDINameDocument>\n"));
  assert_non_null(
      strstr(text, "<ChannelNameSetAssign Channel=\"16\" NameSet=\"Lanes\""));
  free(text);

  *host_control(h, "mark_channel") = 3;
  const unsigned before = asked;
  host_run(h, 64);
  assert_true(asked > before); // told to read them anew
  text = names_of(h);
  assert_non_null(
      strstr(text, "<ChannelNameSetAssign Channel=\"3\" NameSet=\"Lanes\""));
  assert_non_null(
      strstr(text, "<ChannelNameSetAssign Channel=\"16\" NameSet=\"Notes\""));
  free(text);
  const WayMidnamInterface* const i =
      lilv_instance_get_extension_data(h->instance, WAY_MIDNAM__interface);
  char* const model = i->model(lilv_instance_get_handle(h->instance));
  assert_string_equal(model, "Waymark marks");
  i->free(model);
  host_free(h);
}

/// The list of names in a document.
static char* list_of(char* document) {
  char* const list = strstr(document, "    <NoteNameList Name=\"Lanes\">");
  assert_non_null(list);
  return list;
}

/// The document to be copied has the names that the plug-in tells, on every channel; as
/// a device of its own, for Ardour warns of two with one name.
static void test_document_has_the_same_names(void** state) {
  (void)state;
  static char kept[1u << 14];
  page_read(PRESETS_SOURCE "/waymark-lanes.midnam", kept, sizeof(kept));
  Host* const h = host_with_extras(false);
  char* const told = names_of(h);
  assert_string_equal(list_of(kept), list_of(told));
  assert_non_null(strstr(kept, "<Model>Waymark lanes</Model>"));
  for (int i = 1; i <= 16; ++i) {
    char assign[64];
    snprintf(assign, sizeof(assign),
             "<ChannelNameSetAssign Channel=\"%d\" NameSet=\"Lanes\"/>", i);
    assert_non_null(strstr(kept, assign));
  }
  free(told);
  host_free(h);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_picture_follows_the_music),
      cmocka_unit_test(test_beats_are_counted_to_the_change),
      cmocka_unit_test(test_the_next_chord_has_room),
      cmocka_unit_test(test_any_size),
      cmocka_unit_test(test_render_beside_run),
      cmocka_unit_test(test_lanes_have_names),
      cmocka_unit_test(test_document_has_the_same_names),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
