-- A session for ardour.py, in Ardour without a screen.  All arguments are KEY=VALUE:
--   stage=make  dir=DIR tempos=SAMPLE:BPM,... beats=N lead=N
--       tracks melody and chords, with an empty region each to put notes into
--   stage=play  dir=DIR uri=URI preset=LABEL upto=SAMPLE [off=SAMPLE on=SAMPLE]
--       the plug-in on the melody track, the chord track in its side chain; records what
--       it sends, bypassed from one sample to the other; saves
--   stage=put dir=DIR uri=URI preset=LABEL
--       the plug-in on the melody track; saves, and prints PLUGIN TRACK-ID PLUGIN-ID
--   stage=again dir=DIR uri=URI upto=SAMPLE
--       the saved session, recorded once more
-- Prints lines of words between tabs: SOURCE TRACK PATH, PRESET LABEL, CONTROL N VALUE, and
-- CAPTURE N PATH POSITION LATENCY.
local args = {}
for _, word in ipairs(arg) do
  local key, value = word:match("^(%w+)=(.*)$")
  args[key] = value
end
local midi = ARDOUR.DataType("midi")
local from_here = ARDOUR.TransportRequestSource.TRS_UI

local function tell(...)
  print(table.concat({ ... }, "\t"))
end

local function wait(what, seconds, done)
  for _ = 1, seconds * 50 do
    if done() then return end
    sleep(0.02)
  end
  error("waited too long for " .. what)
end

-- Faster, at 20 times, Ardour on a busy machine now and then throws a take away.
local function start_engine()
  local backend = AudioEngine:set_backend("None (Dummy)", "ardour", "")
  backend:set_driver("5x Speed")
  backend:set_device_name("Silence")
end

local function one()
  return ARDOUR.ChanCount(midi, 1)
end

local function new_track(s, name)
  local made = s:new_midi_track(one(), one(), false, ARDOUR.PluginInfo(), nil, nil, 1, name,
    ARDOUR.PresentationInfo.max_order, ARDOUR.TrackMode.Normal, false, false)
  for track in made:iter() do return track end
end

local function arm(track, on)
  local control, value = track:rec_enable_control(), on and 1 or 0
  control:set_value(value, PBD.GroupControlDisposition.NoGroup)
  wait("a track to be armed or not", 30, function() return control:get_value() == value end)
end

local function source_path(region)
  return region:source(0):to_filesource():path()
end

-- A take in which nothing arrives is thrown away, so one note goes into it.
local function seed(track)
  local parser = ARDOUR.RawMidiParser()
  for _, byte in ipairs { 0x90, 60, 1, 0x80, 60, 0 } do
    if parser:process_byte(byte) then
      track:write_immediate_event(Evoral.EventType.LIVE_MIDI_EVENT, parser:buffer_size(),
        parser:midi_buffer())
      sleep(0.05)
    end
  end
end

-- Record up to a sample; `events` are {SAMPLE, FUNCTION}, in order.
local function record(s, upto, events)
  s:request_locate(0, false, ARDOUR.LocateTransportDisposition.MustStop, from_here)
  sleep(0.3)
  wait("the start", 30, function()
    return s:transport_stopped() and s:transport_sample() == 0
  end)
  s:maybe_enable_record(false)
  s:request_roll(from_here)
  wait("the transport to roll", 30, function() return s:transport_rolling() end)
  wait("recording to begin", 30, function()
    if s:actively_recording() then return true end
    s:maybe_enable_record(false) -- a stop that came late has taken it back
  end)
  for _, event in ipairs(events) do
    wait("a sample", 100, function() return s:transport_sample() >= event[1] end)
    event[2]()
  end
  wait("the end", 100, function() return s:transport_sample() >= upto end)
  s:request_stop(false, false, from_here)
  wait("the transport to stop", 30, function() return s:transport_stopped() end)
end

-- The region recorded on a track; recording goes on being written for a while.
local function recorded(track)
  local found
  wait("what was recorded", 40, function()
    for region in track:to_track():playlist():region_list():iter() do found = region end
    return found ~= nil
  end)
  return found
end

local function set_tempos(text)
  local map = Temporal.TempoMap.write_copy()
  for sample, bpm in text:gmatch("(%d+):([%d.]+)") do
    local tempo = tonumber(bpm)
    map:set_tempo(Temporal.Tempo(tempo, tempo, 4), Temporal.timepos_t(tonumber(sample)))
  end
  Temporal.TempoMap.update(map)
end

local function make()
  local s = assert(create_session(args.dir, "session", 48000))
  set_tempos(args.tempos)
  local tracks = { new_track(s, "melody"), new_track(s, "chords") }
  local from = new_track(s, "seed")
  for _, track in ipairs(tracks) do
    track:input():midi(0):connect(from:output():midi(0):name())
    arm(track, true)
  end
  record(s, 96000, { { 0, function() seed(from) end } })
  for _, track in ipairs(tracks) do
    local region = recorded(track)
    track:input():midi(0):disconnect_all()
    arm(track, false)
    region:set_length(Temporal.timecnt_t.from_ticks(args.beats * 1920,
      Temporal.timepos_t(0)))
    region:set_position(Temporal.timepos_t.from_ticks(args.lead * 1920))
    tell("SOURCE", track:name(), source_path(region))
  end
  s:save_state("")
  s:close()
end

-- Record both outputs of the melody track on new tracks.
local function capture(s, melody, events)
  local tracks = {}
  for i = 0, melody:output():n_ports():n_midi() - 1 do
    tracks[i + 1] = new_track(s, args.stage .. i)
    tracks[i + 1]:input():midi(0):connect(melody:output():midi(i):name())
    arm(tracks[i + 1], true)
  end
  record(s, tonumber(args.upto), events)
  local latency = s:worst_output_latency() -- takes are put where they would be heard
  for i, track in ipairs(tracks) do
    local region = recorded(track)
    arm(track, false)
    tell("CAPTURE", i, source_path(region), region:position():samples(), latency)
  end
  s:save_state("")
  s:close()
end

-- The session and its melody track, now with the plug-in.
local function with_plugin()
  local s = assert(load_session(args.dir, "session"))
  local melody = s:route_by_name("melody")
  local plugin = ARDOUR.LuaAPI.new_plugin(s, args.uri, ARDOUR.PluginType.LV2, args.preset)
  assert(not plugin:isnil(), "no such plug-in")
  assert(melody:add_processor_by_index(plugin, 0, nil, true) == 0)
  return s, melody, plugin
end

local function put()
  local s, melody, plugin = with_plugin()
  tell("PLUGIN", melody:to_stateful():id():to_s(), plugin:to_stateful():id():to_s())
  s:save_state("")
  s:close()
end

local function play()
  local s, melody, plugin = with_plugin()
  local insert = plugin:to_insert()
  for preset in insert:plugin(0):get_info():get_presets(false):iter() do
    tell("PRESET", preset.label)
  end
  assert(melody:add_sidechain(plugin))
  local side = insert:sidechain_input()
  assert(side:n_ports():n_midi() == 1, "the side chain has no MIDI port")
  side:midi(0):connect(s:route_by_name("chords"):output():midi(0):name())
  local events = {}
  if args.off then
    events = { { tonumber(args.off), function() insert:enable(false) end },
               { tonumber(args.on), function() insert:enable(true) end } }
  end
  capture(s, melody, events)
end

local function again()
  local s = assert(load_session(args.dir, "session"))
  local melody = s:route_by_name("melody")
  local plugin = melody:nth_plugin(0)
  assert(not plugin:isnil(), "the plug-in is gone")
  for i = 0, 13 do
    tell("CONTROL", i, (ARDOUR.LuaAPI.get_processor_param(plugin, i)))
  end
  capture(s, melody, {})
end

start_engine();
({ make = make, put = put, play = play, again = again })[args.stage]()
