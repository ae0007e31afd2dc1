// Compare `waymark scale` with the library tonal over all its scale types and their
// aliases in seventeen keys, note by note; print TAP.  Differences must be those of
// docs/theory.md.
//
// usage: node tonal_scales.mjs WAYMARK TONAL   (TONAL: a folder node_modules)
import { spawnSync } from "node:child_process";
import { createRequire } from "node:module";
import { existsSync } from "node:fs";

const [waymark, modules] = process.argv.slice(2);
if (!modules || !existsSync(`${modules}/tonal`)) {
  console.log("1..0 # SKIP tonal is not here: set WAY_TONAL to a node_modules with it");
  process.exit(0);
}
const tonal = createRequire(`${modules}/`)("tonal");

// Spelled otherwise, with the same sound: seven notes take seven letters.
const decided = new Map(Object.entries({
  "altered": "C Db Eb Fb Gb Ab Bb",
  "augmented heptatonic": "C D# E F G Ab B",
  "leading whole tone": "C D E F# G# A# B",
  "flamenco": "C Db Eb Fb Gb Abb Bb",
  "enigmatic": "C Db E F# G# A# B",
}));

// Named after people and works there, and by what they are here.
const plain = new Map(Object.entries({
  "messiaen's mode #1": "limited transposition 1",
  "messiaen's mode #2": "limited transposition 2",
  "messiaen's mode #3": "limited transposition 3",
  "messiaen's mode #4": "limited transposition 4",
  "messiaen's mode #5": "limited transposition 5",
  "messiaen's mode #6": "limited transposition 6",
  "messiaen's mode #7": "limited transposition 7",
  "pomeroy": "altered",
  "scriabin": "flat two pentatonic",
}));

const roots = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B",
               "C#", "D#", "Gb", "G#", "A#"];
const cases = [];
for (const type of tonal.ScaleType.all())
  for (const name of [type.name, ...type.aliases])
    for (const root of roots) cases.push({ type, name, root });

const run = spawnSync(waymark, ["scale", "-"], {
  input: cases.map((c) => `${c.root} ${plain.get(c.name) ?? c.name}`).join("\n") + "\n",
  encoding: "utf8",
  maxBuffer: 1 << 26 });
const lines = run.stdout.trimEnd().split("\n");

const spelled = new Set();
const wrong = [];
cases.forEach((c, i) => {
  const fields = lines[i].split("\t");
  const theirs = c.type.intervals.map((x) => tonal.Note.transpose(c.root, x));
  const sound = theirs.map((n) => tonal.Note.chroma(n)).join(" ");
  if (fields[5] !== sound) wrong.push(`${c.root} ${c.name}: ${lines[i]}, not ${sound}`);
  else if (fields[3] !== theirs.join(" ")) {
    spelled.add(c.type.name);
    if (!decided.has(c.type.name) ||
        c.root === "C" && decided.get(c.type.name) !== fields[3])
      wrong.push(`${c.root} ${c.name}: ${fields[3]}, not ${theirs.join(" ")}`);
  }
});

let number = 0;
const check = (ok, what) => console.log(`${ok ? "ok" : "not ok"} ${++number} - ${what}`);
for (const line of wrong) console.log(`# ${line}`);
check(!wrong.length && lines.length === cases.length,
      `${cases.length} scales agree but for the spellings decided on`);
const settled = [...decided.keys()].filter((name) => !spelled.has(name));
for (const name of settled) console.log(`# ${name} agrees now`);
check(!settled.length, "every decision is still a difference");
const unknown = [...plain.keys()].filter((name) => !cases.some((c) => c.name === name));
for (const name of unknown) console.log(`# ${name} is no name of theirs`);
check(!unknown.length, "every name that is plain here is another there");
console.log(`1..${number}`);
