#include "draw/theme.h"

#include <math.h>

#define RGB(hex)                                                                       \
  { ((hex) >> 16 & 255) / 255.0, ((hex) >> 8 & 255) / 255.0, ((hex)&255) / 255.0 }

static const struct {
  const char* name;
  WayTheme theme;
} themes[WAY_THEME_COUNT] = {
    [WAY_THEME_LIGHT] = {"light",
                         {.ground = RGB(0xF7F6F2),
                          .band = RGB(0xE9E7DF),
                          .ink = RGB(0x1C2226),
                          .soft = RGB(0x575E63),
                          .hair = RGB(0xC3C4BF),
                          .target = RGB(0xF0E442),
                          .edge = RGB(0x5C5500),
                          .weight = 1}},
    [WAY_THEME_DARK] = {"dark",
                        {.ground = RGB(0x15191C),
                         .band = RGB(0x252B30),
                         .ink = RGB(0xF1F2EE),
                         .soft = RGB(0xA9B0B4),
                         .hair = RGB(0x4A5257),
                         .target = RGB(0xF0E442),
                         .edge = RGB(0x15191C),
                         .weight = 1}},
    [WAY_THEME_CONTRAST] = {"contrast",
                            {.ground = RGB(0x000000),
                             .band = RGB(0x262626),
                             .ink = RGB(0xFFFFFF),
                             .soft = RGB(0xDEDEDE),
                             .hair = RGB(0x909090),
                             .target = RGB(0xF0E442),
                             .edge = RGB(0x000000),
                             .weight = 1.6}},
    [WAY_THEME_PRINT] = {"print",
                         {.ground = RGB(0xFFFFFF),
                          .band = RGB(0xF0F0EE),
                          .ink = RGB(0x121517),
                          .soft = RGB(0x54595D),
                          .hair = RGB(0xBDC0C2),
                          .target = RGB(0xF0E442),
                          .edge = RGB(0x5C5500),
                          .weight = 1}},
};

const WayTheme* way_theme(WayThemeName name) { return &themes[name].theme; }

const char* way_theme_name(WayThemeName name) { return themes[name].name; }
