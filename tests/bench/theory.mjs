// Chord symbols and names from notes, ours and those of the library tonal, in one run.
//
// usage: node theory.mjs BENCH_THEORY TONAL   (TONAL: a folder node_modules)
import { spawnSync } from "node:child_process";
import { createRequire } from "node:module";
import { existsSync } from "node:fs";

const [bench, modules] = process.argv.slice(2);
const ours = spawnSync(bench, { encoding: "utf8" }).stdout;
process.stdout.write(ours);
if (!modules || !existsSync(`${modules}/tonal`)) {
  console.log("tonal is not here: nothing to compare with");
  process.exit(0);
}
const tonal = createRequire(`${modules}/`)("tonal");

// Parsed text is remembered by tonal for notes only, not for chords.
const symbols = ["C", "F#m", "Bb7", "Ebmaj7", "Am7", "Dm7b5", "G7", "Abdim7", "C6/9",
  "D/F#", "E7b9", "A13", "Gsus4", "Bbmaj9#11", "F#7#9", "Cadd9", "Dm9", "G7b9b13",
  "C#m7", "Ab/C", "E+", "BmMaj7", "F11", "Eb7alt", "Gm6", "Dbmaj7", "A7sus4", "Em",
  "B7", "Fm7", "C5"];
const sets = symbols.map((s) => tonal.Chord.get(s).notes);

const best = (work, list) => {
  let least = Infinity;
  for (let round = 0; round < 200; ++round) {
    const from = process.hrtime.bigint();
    for (const item of list) work(item);
    least = Math.min(least, Number(process.hrtime.bigint() - from) / list.length);
  }
  return least;
};
const nanoseconds = (label) => Number(ours.match(`${label}: ([0-9.]+) ns`)[1]);
const compare = (what, label, theirs) =>
  console.log(`${what}: tonal ${theirs.toFixed(0)} ns, ` +
              `${(theirs / nanoseconds(label)).toFixed(0)} times ours`);
compare("chord symbol", "chord symbol read", best(tonal.Chord.get, symbols));
compare("name from notes", "name from notes", best(tonal.Chord.detect, sets));
