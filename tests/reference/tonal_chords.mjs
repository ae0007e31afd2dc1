// Compare `waymark chord` with the library tonal over all its chord types and their
// aliases in twelve keys; print TAP.  Differences must be those of docs/theory.md.
//
// usage: node tonal_chords.mjs WAYMARK TONAL   (TONAL: a folder node_modules)
import { spawnSync } from "node:child_process";
import { createRequire } from "node:module";
import { existsSync } from "node:fs";

const [waymark, modules] = process.argv.slice(2);
if (!modules || !existsSync(`${modules}/tonal`)) {
  console.log("1..0 # SKIP tonal is not here: set WAY_TONAL to a node_modules with it");
  process.exit(0);
}
const tonal = createRequire(`${modules}/`)("tonal");

// The differences decided on, by the rules of docs/theory.md: alias, semitones (null:
// refused).
const decided = new Map(Object.entries({
  // A flat thirteenth or sixth leaves the fifth alone.
  "M7b6": "0 4 7 8 11", "^7b6": "0 4 7 8 11", "7b13": "0 4 7 8 10",
  "9b13": "0 2 4 7 8 10", "mb6M7": "0 3 7 8 11", "mb6b9": "0 1 3 7 8",
  // A flat fifth is a flat fifth, not a sharp eleventh over a fifth.
  "6b5": "0 4 6 9", "M6b5": "0 4 6 9", "7b5b13": "0 4 6 8 10", "7b5#9": "0 3 4 6 10",
  "7#9b5": "0 3 4 6 10", "9b5b13": "0 2 4 6 8 10", "7b5b9": "0 1 4 6 10",
  "7b9b5": "0 1 4 6 10", "7b5b9b13": "0 1 4 6 8 10",
  // An eleventh keeps the third; a thirteenth stacks the eleventh unless it is dominant.
  "11": "0 2 4 5 7 10", "11b9": "0 1 4 5 7 10", "maj13": "0 2 4 5 7 9 11",
  "Maj13": "0 2 4 5 7 9 11", "^13": "0 2 4 5 7 9 11", "m13": "0 2 3 5 7 9 10",
  "-13": "0 2 3 5 7 9 10",
  // `add` adds what it names and nothing else.
  "M7add13": "0 4 7 9 11",
  // A triangle is a major seventh chord; `maj` alone is a triad.
  "^": "0 4 7 11", "^#5": "0 4 8 11", "maj#4": "0 4 6 7",
  // The altered chord has all four altered tensions.
  "7alt": "0 1 3 4 6 8 10", "alt7": "0 1 3 4 6 8 10",
  // Refused: they can be read in several ways.
  "4": null, "quartal": null, "m11A": null,
}));

const roots = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"];
const cases = [];
for (const type of tonal.ChordType.all())
  for (const alias of type.aliases)
    // An accidental after the letter belongs to the root.
    if (!/^[b#]/.test(alias))
      for (const root of roots) cases.push({ type, alias, root, symbol: root + alias });

const run = spawnSync(waymark, ["chord", "-"], {
  input: cases.map((c) => c.symbol).join("\n") + "\n", encoding: "utf8",
  maxBuffer: 1 << 26 });
const lines = run.stdout.trimEnd().split("\n");

const sorted = (list) => [...new Set(list)].sort((a, b) => a - b).join(" ");
const differences = new Map();
cases.forEach((c, i) => {
  const fields = lines[i].split("\t");
  const base = tonal.Note.chroma(c.root);
  const ours = fields[1] === "error" ? null
    : sorted(fields[5].split(" ").map((pc) => (Number(pc) - base + 12) % 12));
  const theirs = sorted(c.type.intervals.map((x) => tonal.Interval.semitones(x) % 12));
  if (ours !== theirs) differences.set(c.alias, { ours, theirs, fields });
});

let number = 0;
const check = (ok, what) => console.log(`${ok ? "ok" : "not ok"} ${++number} - ${what}`);
const unexpected = [...differences].filter(([a, d]) =>
  !decided.has(a) || decided.get(a) !== d.ours);
for (const [alias, d] of unexpected)
  console.log(`# C${alias}: tonal ${d.theirs}, waymark ${d.ours ?? d.fields.slice(2)}`);
check(!unexpected.length, `${cases.length} symbols agree but for those decided on`);
const settled = [...decided.keys()].filter((a) => !differences.has(a));
for (const alias of settled) console.log(`# C${alias} agrees now`);
check(!settled.length, "every decision is still a difference");
console.log(`1..${number}`);
