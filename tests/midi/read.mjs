// read.mjs MODULES FOLDER COUNT: every note-on of FOLDER/0.mid ... as the npm package midi-file (a
// general-purpose reader) finds it. One line of JSON a file:
// [ticks a quarter, end, [[track name, tick, key, velocity], ...], note-offs that ended nothing].
import { createRequire } from "node:module";
import { readFileSync } from "node:fs";
const [modules, folder, count] = process.argv.slice(2);
const { parseMidi } = createRequire(modules + "/")("midi-file");
for (let number = 0; number < Number(count); number++) {
  const midi = parseMidi(readFileSync(`${folder}/${number}.mid`));
  const notes = [];
  let end = 0, astray = 0;
  for (const track of midi.tracks) {
    let now = 0, name = "";
    const sounding = new Map();
    for (const event of track) {
      now += event.deltaTime;
      const held = sounding.get(event.noteNumber) ?? 0;
      if (event.type === "trackName") name = event.text;
      else if (event.type === "noteOn" && event.channel === 9) {
        notes.push([name, now, event.noteNumber, event.velocity]);
        sounding.set(event.noteNumber, held + 1);
      } else if (event.type === "noteOff") {
        if (held === 0) astray++;
        sounding.set(event.noteNumber, held - 1);
      }
    }
    for (const held of sounding.values()) astray += Math.abs(held);
    end = Math.max(end, now);
  }
  console.log(JSON.stringify([midi.header.ticksPerBeat, end, notes, astray]));
}
