// Sound from a MIDI file, made by the program fluidsynth where it is installed.
#ifndef WAY_CLI_RENDER_H
#define WAY_CLI_RENDER_H

#include "cli/cli.h"
#include "take/smf.h"

/**
   Render a MIDI file to a WAV file (44.1 kHz, 16 bits, stereo), all of it or nothing.

   @param soundfont A file, or NULL for fluidsynth's own choice.
   @param output    The WAV file.
   @return #WAY_EXIT_OK, or #WAY_EXIT_FAILED after a message: fluidsynth is not there,
   it does not succeed, or what it makes is silent for want of a soundfont.
*/
WayExit way_cli_render(const WaySmf* smf, const char* soundfont, const char* output);

#endif
