/*
 * The practice page: plays an exercise's timeline and marks what sounds.
 *
 *     Course     when each stroke comes, at a tempo that may change at any moment; no audio in it
 *     Sound      drums and click, on the clock of an audio context
 *     Picture    the lines of music: marks strokes, brings the next line into view
 *     the stand  buttons, sliders and keys
 *
 * The timeline counts in whole notes, as fractions [numerator, denominator]. They become seconds at
 * the slowest written tempo once, in prepare(); `factor` says how much faster it is played.
 */
'use strict';

/* ---- the timeline --------------------------------------------------------------------------- */

const WRITTEN = 0, GRACE = 1;
const CLICK = 2; // the part of a stroke; hands are 0, feet 1

function secondsOf(exercise, [numerator, denominator]) {
  const at = numerator / denominator;
  let seconds = 0;
  exercise.tempos.forEach(([n, d, wholes, part], i) => {
    const from = n / d, after = exercise.tempos[i + 1];
    const to = after ? Math.min(at, after[0] / after[1]) : at;
    if (to > from || i === 0) seconds += (to - from) * 60 * part / wholes;
  });
  return seconds;
}

/* Grace strokes keep their distance in time at every tempo, but never take more than an even share
   of the time since the stroke before. */
function placeGraces(strokes) {
  const last = [], notes = new Map();
  for (const stroke of strokes.filter((s) => s.kind === WRITTEN && s.part !== CLICK)) {
    const name = `${stroke.row} ${stroke.seconds}`;
    if (!notes.has(name)) {
      const before = last[stroke.row];
      notes.set(name, {room: before === undefined ? Infinity : stroke.seconds - before, graces: []});
      last[stroke.row] = stroke.seconds;
    }
  }
  for (const stroke of strokes.filter((s) => s.kind === GRACE)) {
    const note = notes.get(`${stroke.row} ${stroke.seconds}`) || {room: Infinity, graces: []};
    stroke.note = note;
    note.graces.push(stroke);
  }
  for (const note of notes.values()) {
    note.graces.sort((a, b) => a.lead - b.lead).forEach((grace, i) => { grace.number = i + 1; });
  }
}

function leadOf(stroke, factor) {
  if (!stroke.note || !stroke.number) return stroke.lead;
  const share = stroke.note.room / factor / (stroke.note.graces.length + 1);
  return stroke.number * Math.min(stroke.lead / stroke.number, share);
}

function prepare(exercise) {
  const of = (fraction) => secondsOf(exercise, fraction);
  const strokes = exercise.strokes.map(([n, d, part, key, velocity, kind, home, bar, line, leaf, row, nn, nd]) => {
    const at = of([n, d]);
    const seconds = kind === GRACE ? of([nn, nd]) : at;
    return {seconds, lead: seconds - at, part, key, velocity, kind, home, row,
            place: part === CLICK ? '' : `${bar}.${line}.${leaf}`, bar: `${bar}`};
  });
  placeGraces(strokes);
  strokes.sort((a, b) => a.seconds - a.lead - (b.seconds - b.lead));
  const bars = exercise.bars.map(([n, d, home, index, number]) => ({seconds: of([n, d]), home, index, number}));
  const from = of(exercise.from), end = of(exercise.end);
  const high = Math.max(exercise.high, ...exercise.steps);
  return {...exercise, high, bars, strokes, from, end, body: strokes.filter((s) => s.seconds >= from)};
}

/* The bars [first, last] in the order played, as an exercise of their own after the same count-in. */
function cut(exercise, first, last) {
  const begin = exercise.bars[first].seconds, after = exercise.bars[last + 1];
  const end = after ? after.seconds : exercise.end, back = begin - exercise.from;
  const body = exercise.body.filter((s) => s.seconds >= begin && s.seconds < end)
    .map((s) => ({...s, seconds: s.seconds - back}));
  const bars = exercise.bars.slice(first, last + 1).map((b) => ({...b, seconds: b.seconds - back}));
  const strokes = exercise.strokes.filter((s) => s.seconds < exercise.from).concat(body)
    .sort((a, b) => a.seconds - a.lead - (b.seconds - b.lead));
  return {...exercise, bars, strokes, body, end: end - back};
}

/* How many full bars came before, over all times through. */
function barsBefore(exercise, at) {
  const pass = passOf(exercise, at), long = exercise.end - exercise.from;
  const full = exercise.bars.filter((bar) => bar.number > 0);
  const begun = full.filter((bar) => bar.seconds <= at - pass * long + 1e-9).length;
  return pass * full.length + Math.max(begun - 1, 0);
}

function passOf({from, end}, at) {
  return Math.max(0, Math.floor((at - from) / (end - from) + 1e-9));
}

/* ---- when each stroke comes ----------------------------------------------------------------- */

/* Give it the moment of its beginning and the factor; take() gives strokes until a moment, each
   with its time. After retempo() those that have not sounded are given again, at the new tempo. */
class Course {
  constructor(exercise, start, factor, times = 1, climb = null) {
    Object.assign(this, {exercise, times, climb, pass: 0, next: 0, given: [], again: []});
    this.bends = [{time: start, at: 0, factor}]; // moments at which the tempo changes
  }

  get factor() {
    return this.bends[this.bends.length - 1].factor;
  }

  bendAt(time) {
    return this.bends.filter((bend, i) => i === 0 || bend.time <= time).pop();
  }

  timeOf(seconds) {
    const bend = this.bends.filter((one, i) => i === 0 || one.at <= seconds).pop();
    return bend.time + (seconds - bend.at) / bend.factor;
  }

  get end() { // when all is over, if it is not played again
    const {from, end} = this.exercise;
    return this.timeOf(end + this.pass * (end - from));
  }

  get over() {
    return this.pass + 1 >= this.times && this.next >= this.row.length && !this.again.length;
  }

  get row() {
    return this.pass ? this.exercise.body : this.exercise.strokes;
  }

  turn() {
    if (this.next < this.row.length || this.pass + 1 >= this.times) return;
    if (!this.exercise.body.length) return;
    this.pass++;
    this.next = 0;
    const {from, end} = this.exercise, at = end + (this.pass - 1) * (end - from);
    const factor = this.climb ? this.climb(this.pass, this.factor) : this.factor;
    if (factor !== this.factor) this.bends.push({time: this.timeOf(at), at, factor});
  }

  peek() {
    if (this.again.length) return this.again[0];
    this.turn();
    const stroke = this.row[this.next];
    const shift = this.pass * (this.exercise.end - this.exercise.from);
    return stroke && {stroke, at: stroke.seconds + shift};
  }

  take(until) {
    const taken = [];
    for (let one = this.peek(); one; one = this.peek()) {
      const time = this.timeOf(one.at) - leadOf(one.stroke, this.factor);
      if (time > until) break;
      if (this.again.length) this.again.shift();
      else this.next++;
      taken.push({...one, time});
    }
    this.given = this.given.filter((one) => one.time > until - 5).concat(taken);
    return taken;
  }

  retempo(now, factor) {
    const bend = this.bendAt(now), at = bend.at + (now - bend.time) * bend.factor;
    this.bends = this.bends.filter((one) => one.time <= now).concat({time: now, at, factor}).slice(-9);
    this.again = this.given.filter((one) => one.time > now).concat(this.again);
    this.given = this.given.filter((one) => one.time <= now);
  }
}

/* ---- sound ---------------------------------------------------------------------------------- */

/* How each General MIDI key sounds: a tone that falls from one pitch to another, and noise through
   a filter; each dies away at its own rate. Times in seconds, pitches in hertz. */
const TONES = {
  drum: {from: 330, to: 180, tone: 0.07, noise: 0.11, share: 0.6, bright: 0.55, length: 0.3},
  stick: {from: 1800, to: 1500, tone: 0.02, noise: 0.015, share: 0.3, bright: 0.8, length: 0.1},
  bass: {from: 130, to: 48, tone: 0.14, noise: 0.01, share: 0.12, bright: 0.3, length: 0.45},
  closed: {from: 0, to: 0, tone: 1, noise: 0.03, share: 1, bright: 0.95, length: 0.15},
  open: {from: 0, to: 0, tone: 1, noise: 0.3, share: 1, bright: 0.95, length: 0.9},
  ride: {from: 2900, to: 2890, tone: 0.25, noise: 0.2, share: 0.5, bright: 0.97, length: 0.9},
  crash: {from: 0, to: 0, tone: 1, noise: 0.55, share: 1, bright: 0.85, length: 1.6},
  bell: {from: 820, to: 815, tone: 0.12, noise: 0.02, share: 0.15, bright: 0.7, length: 0.4},
  high: {from: 240, to: 165, tone: 0.16, noise: 0.03, share: 0.2, bright: 0.4, length: 0.5},
  middle: {from: 190, to: 125, tone: 0.19, noise: 0.03, share: 0.2, bright: 0.4, length: 0.55},
  floor: {from: 140, to: 85, tone: 0.24, noise: 0.03, share: 0.2, bright: 0.35, length: 0.7},
};
const KEYS = {
  31: 'stick', 35: 'bass', 36: 'bass', 37: 'stick', 38: 'drum', 40: 'drum', 41: 'floor', 42: 'closed',
  43: 'floor', 44: 'closed', 45: 'middle', 46: 'open', 47: 'middle', 48: 'high', 49: 'crash',
  50: 'high', 51: 'ride', 52: 'crash', 53: 'bell', 54: 'closed', 55: 'crash', 56: 'bell', 57: 'crash',
  59: 'ride', 76: 'stick', 77: 'stick',
};
const CLICK_FIRST = 76, OPEN_HAT = 46, SHUT_HATS = [42, 44];

/* The samples of one stroke. Noise comes from a fixed sequence, so a page always sounds alike. */
function samplesOf(key, rate) {
  const tone = TONES[KEYS[key] || 'high'];
  const higher = key === CLICK_FIRST ? 1.5 : 1;
  const samples = new Float32Array(Math.ceil(tone.length * rate));
  let phase = 0, low = 0, seed = key * 7919 + 1;
  for (let i = 0; i < samples.length; i++) {
    const t = i / rate;
    const pitch = higher * (tone.to + (tone.from - tone.to) * Math.exp(-t / 0.03));
    phase += 2 * Math.PI * pitch / rate;
    seed = (seed * 1103515245 + 12345) % 2147483648;
    const noise = seed / 1073741824 - 1;
    low += (noise - low) * (1 - tone.bright * 0.95);
    const hiss = (noise - low) * Math.exp(-t / tone.noise) * tone.share;
    const body = Math.sin(phase) * Math.exp(-t / tone.tone) * (1 - tone.share);
    samples[i] = (hiss + body) * Math.min(1, (samples.length - i) / (0.01 * rate));
  }
  return samples;
}

class Sound {
  constructor(context) {
    this.context = context;
    this.buffers = new Map();
    this.drums = this.fader(0.5);
    this.click = this.fader(0.4);
    this.pending = [];
    this.openHats = [];
  }

  fader(level) {
    const gain = this.context.createGain();
    gain.gain.value = level;
    gain.connect(this.context.destination);
    return gain;
  }

  buffer(key) {
    if (!this.buffers.has(key)) {
      const samples = samplesOf(key, this.context.sampleRate);
      const buffer = this.context.createBuffer(1, samples.length, this.context.sampleRate);
      buffer.copyToChannel(samples, 0);
      this.buffers.set(key, buffer);
    }
    return this.buffers.get(key);
  }

  strike({stroke, time}) {
    const source = this.context.createBufferSource(), gain = this.context.createGain();
    source.buffer = this.buffer(stroke.key);
    gain.gain.value = (stroke.velocity / 127) ** 2;
    source.connect(gain).connect(stroke.part === CLICK ? this.click : this.drums);
    source.start(time);
    if (SHUT_HATS.includes(stroke.key)) this.shutHats(time);
    if (stroke.key === OPEN_HAT) this.openHats.push({gain, time});
    this.pending.push({source, time});
  }

  shutHats(time) {
    this.openHats.filter((hat) => hat.time < time)
      .forEach((hat) => hat.gain.gain.setTargetAtTime(0, time, 0.008));
    this.openHats = this.openHats.filter((hat) => hat.time >= time);
  }

  /* Takes back what has not begun. */
  silence(now) {
    this.pending.filter((one) => one.time > now).forEach((one) => one.source.stop());
    this.forget(Infinity);
  }

  forget(before) {
    this.pending = this.pending.filter((one) => one.time >= before);
  }
}

/* ---- the picture ---------------------------------------------------------------------------- */

const SVG = 'http://www.w3.org/2000/svg';
const WIDE = matchMedia('(min-width: 60rem)'), MIDDLE = matchMedia('(min-width: 38rem)');

function shape(name, values, parent) {
  const element = document.createElementNS(SVG, name);
  Object.entries(values).forEach(([key, value]) => element.setAttribute(key, value));
  parent.append(element);
  return element;
}

/* Heads get a double ring, letters and syllables a bar below. */
function drawMark(use, parent) {
  const box = use.getBBox();
  if (use.getAttribute('href').startsWith('#s')) {
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    const radius = Math.max(box.width, box.height) / 2;
    shape('circle', {cx: x, cy: y, r: radius + 28}, parent);
    shape('circle', {cx: x, cy: y, r: radius + 55}, parent);
  } else {
    shape('rect', {x: box.x - 15, y: box.y + box.height + 16, width: box.width + 30, height: 26}, parent);
  }
}

class Picture {
  constructor() {
    this.groups = new Map();
    this.marks = [];
    this.line = null;
    this.shown = true;
  }

  lines(home) {
    const width = WIDE.matches ? 'wide' : MIDDLE.matches ? 'middle' : 'narrow';
    return document.querySelector(`#exercise-${home} .${width}`);
  }

  /* The groups of a stroke; where a sign stands for the whole bar, that sign. */
  find(stroke) {
    const lines = this.lines(stroke.home);
    if (!lines) return [];
    if (!this.groups.has(lines)) {
      const map = new Map();
      lines.querySelectorAll('[data-of]').forEach((group) => {
        map.set(group.dataset.of, (map.get(group.dataset.of) || []).concat(group));
      });
      this.groups.set(lines, map);
    }
    const map = this.groups.get(lines);
    return map.get(stroke.place) || map.get(stroke.bar) || [];
  }

  clear() {
    this.marks.forEach((mark) => mark.remove());
    document.querySelectorAll('.sounds').forEach((group) => group.classList.remove('sounds'));
    this.marks = [];
  }

  mark(strokes) {
    this.clear();
    for (const group of new Set(strokes.flatMap((stroke) => this.find(stroke)))) {
      this.follow(group.ownerSVGElement);
      if (!this.shown) continue;
      group.classList.add('sounds');
      const mark = shape('g', {class: 'now'}, group.ownerSVGElement);
      group.querySelectorAll('use').forEach((use) => drawMark(use, mark));
      this.marks.push(mark);
    }
  }

  /* On a new line, the line after it is brought into view as well. */
  follow(line) {
    if (line === this.line) return;
    this.line = line;
    const next = line.nextElementSibling || line;
    const room = stand.getBoundingClientRect().top;
    if (line.getBoundingClientRect().top >= 0 && next.getBoundingClientRect().bottom <= room) return;
    const still = matchMedia('(prefers-reduced-motion: reduce)').matches;
    line.scrollIntoView({block: 'start', behavior: still ? 'auto' : 'smooth'});
  }
}

/* ---- the stand ------------------------------------------------------------------------------ */

const AHEAD = 1.2; // seconds: as timers of a page in the background may be a second late
const SOON = 0.05; // from the press to the first sound

const byId = (id) => document.getElementById(id);
const stand = byId('stand');
const exercises = JSON.parse(byId('timeline').textContent).map(prepare);
const picture = new Picture();
let sound = null, course = null, chosen = 0, coming = [], timer = 0;

const isSet = (id) => byId(id).checked;
let beats = 60; // the tempo that was asked for; the slider shows the nearest whole number
const factorNow = () => beats / exercises[chosen].base;

const words = stand.dataset; // what the page says by itself, in its language

function say(text) {
  byId('state').textContent = text;
}

function nameOf(index) {
  return document.querySelector(`#exercise-${exercises[index].exercise} h2`).textContent.trim();
}

function showTempo(value) {
  const {low, high} = exercises[chosen];
  const top = isSet('climb') ? Math.max(high, Number(byId('climb-to').value)) : high;
  beats = Math.min(Math.max(value, low), top);
  byId('tempo').max = top;
  byId('tempo').value = beats;
  byId('beats').value = beats;
}

/* Bars are picked in the order played. */
function offerBars(exercise) {
  for (const id of ['first-bar', 'last-bar']) {
    byId(id).replaceChildren(...exercise.bars.map((bar, i) => {
      const time = exercise.bars.slice(0, i + 1).filter((b) => b.index === bar.index && b.home === bar.home).length;
      const name = (bar.number || words.pickup) + (time > 1 ? `, ${words.time.replace('{n}', time)}` : '');
      return new Option(exercise.bars.some((b) => b.home !== bar.home) ? `${bar.home}: ${name}` : name, i);
    }));
  }
  byId('last-bar').value = exercise.bars.length - 1;
}

function toPlay() {
  const first = Number(byId('first-bar').value), last = Number(byId('last-bar').value);
  const exercise = exercises[chosen];
  if (last < first || (first === 0 && last === exercise.bars.length - 1)) return exercise;
  return cut(exercise, first, last);
}

/* A first click on a bar picks it, a second one picks all bars up to there. */
function pickBar(home, index) {
  const bars = exercises[chosen].bars;
  const bar = bars.findIndex((one) => one.home === home && one.index === index);
  if (bar < 0) return;
  const first = Number(byId('first-bar').value), last = Number(byId('last-bar').value);
  if (first !== last || bar < first) byId('first-bar').value = bar;
  byId('last-bar').value = bar;
  sayBars();
}

/* Picked bars are played over and over. */
function sayBars() {
  byId('again').checked = true;
  const [first, last] = ['first-bar', 'last-bar'].map((id) => byId(id).selectedOptions[0].text);
  say(words.picked.replace('{n}', () => first).replace('{m}', () => last));
}

function choose(index) {
  chosen = index;
  const {low, high, base} = exercises[index];
  Object.assign(byId('tempo'), {min: low, max: high});
  Object.assign(byId('climb-to'), {min: low, value: high});
  byId('chosen').textContent = nameOf(index);
  offerBars(exercises[index]);
  showTempo(base);
}

function setTempo(value) {
  showTempo(Number(value));
  reschedule();
}

/* What has not sounded yet is scheduled again, as the stand is set now. */
function reschedule() {
  if (!course) return;
  const now = sound.context.currentTime + 0.01;
  sound.silence(now);
  coming = coming.filter((one) => one.time <= now);
  course.retempo(now, factorNow());
  schedule();
}

/* So many times through, then so many beats faster, up to a limit. */
function climbed(pass, factor) {
  const {base} = course.exercise, limit = Number(byId('climb-to').value) / base;
  if (!isSet('climb') || pass % Math.max(1, Number(byId('climb-after').value)) || factor >= limit) return factor;
  return Math.min(limit, factor + Number(byId('climb-by').value) / base);
}

/* The count-in is always heard. Click and silence take turns by bars, drums and silence by times. */
function isHeard({stroke, at}) {
  const {exercise} = course;
  if (at < exercise.from) return true;
  if (stroke.part === CLICK) {
    const quiet = Number(byId('quiet').value);
    return isSet('click') && !(quiet && Math.floor(barsBefore(exercise, at) / quiet) % 2);
  }
  const hear = byId('hear').value;
  return (hear === 'all' || Number(hear) === stroke.part) && !(isSet('turns') && passOf(exercise, at) % 2);
}

function timesNow() {
  if (isSet('again') || isSet('climb')) return Infinity;
  return isSet('turns') ? 2 : 1;
}

function schedule() {
  const until = sound.context.currentTime + AHEAD;
  course.times = Math.max(timesNow(), course.pass + 1);
  for (const one of course.take(until)) {
    if (isHeard(one)) sound.strike(one);
    if (one.stroke.part !== CLICK && one.stroke.kind === WRITTEN) coming.push(one);
  }
  sound.forget(sound.context.currentTime - 1);
  if (course.over && sound.context.currentTime >= course.end) finish();
}

function finish() {
  if (isSet('on') && chosen + 1 < exercises.length) {
    const start = course.end;
    choose(chosen + 1);
    course = new Course(toPlay(), Math.max(start, sound.context.currentTime + SOON), factorNow(), 1, climbed);
    say(`${words.playing}: ${nameOf(chosen)}`);
    return;
  }
  stop();
}

function showClimbed(value) {
  const whole = Math.round(value * 100) / 100;
  if (whole !== beats) showTempo(whole);
}

function frame() {
  if (!course) return;
  const now = sound.context.currentTime - (sound.context.outputLatency || 0);
  showClimbed(course.bendAt(now).factor * course.exercise.base);
  const due = coming.filter((one) => one.time <= now);
  if (due.length) {
    coming = coming.filter((one) => one.time > now);
    const latest = due[due.length - 1].at;
    picture.mark(due.filter((one) => one.at === latest).map((one) => one.stroke));
  }
  requestAnimationFrame(frame);
}

function showState() {
  byId('go').textContent = course ? words.stop : words.start;
  document.querySelectorAll('button.play').forEach((button) => {
    const own = Number(button.dataset.play) === chosen;
    button.textContent = course && own ? words.stop : words.play;
  });
}

/* Done before the first press, so that only the clock has to be started then. */
function tuneDrums() {
  if (!sound) sound = new Sound(new AudioContext({latencyHint: 'interactive'}));
  new Set(exercises.flatMap((exercise) => exercise.strokes.map((stroke) => stroke.key)))
    .forEach((key) => sound.buffer(key));
}

async function start() {
  if (!sound) tuneDrums();
  setLevels();
  if (sound.context.state !== 'running') await sound.context.resume();
  course = new Course(toPlay(), sound.context.currentTime + SOON, factorNow(), 1, climbed);
  coming = [];
  schedule();
  timer = setInterval(schedule, 50);
  requestAnimationFrame(frame);
  showState();
  say(`${words.playing}: ${nameOf(chosen)}`);
}

function stop() {
  clearInterval(timer);
  sound.silence(sound.context.currentTime);
  course = null;
  coming = [];
  picture.clear();
  picture.line = null;
  showState();
  say(words.stopped);
}

function play(index) {
  const again = course && index === chosen;
  if (course) stop();
  if (again) return;
  if (index !== chosen) choose(index);
  start();
}

/* ---- ladders -------------------------------------------------------------------------------- */

/* Ticks stay in the browser's own storage; without one they last as long as the page is open. */
const ticks = {
  name: (exercise, step) => `ticked: ${document.title}: ${exercise}: ${step}`,
  get(name) {
    try { return localStorage.getItem(name) !== null; } catch { return false; }
  },
  set(name, on) {
    try { if (on) localStorage.setItem(name, ''); else localStorage.removeItem(name); } catch { /* not kept */ }
  },
};

function element(name, values, ...children) {
  const made = Object.assign(document.createElement(name), values);
  made.append(...children);
  return made;
}

function addStep(exercise, index, step) {
  const name = ticks.name(exercise.exercise, step);
  const go = element('button', {type: 'button'}, `${step}`);
  go.setAttribute('aria-label', `${step} ${words.beats}`);
  const tick = element('input', {type: 'checkbox', checked: ticks.get(name)});
  tick.addEventListener('change', () => ticks.set(name, tick.checked));
  go.addEventListener('click', () => {
    if (index !== chosen) {
      if (course) stop();
      choose(index);
    }
    setTempo(step);
    say(`${nameOf(index)}: ${step} ${words.beats}`);
  });
  const label = element('label', {}, tick, ` ${words.played}`);
  tick.setAttribute('aria-label', `${step} ${words.beats}: ${words.played}`);
  return element('li', {}, go, label);
}

function addLadder(exercise, index) {
  if (!exercise.steps.length) return;
  const list = element('ul', {}, ...exercise.steps.map((step) => addStep(exercise, index, step)));
  const kept = element('p', {className: 'kept'}, words.kept);
  const box = element('details', {className: 'ladder', ...(stand.lang && {lang: stand.lang})},
    element('summary', {}, `${words.ladder}, ${words.beats}`), list, kept);
  document.querySelector(`#exercise-${exercise.exercise} .music`).after(box);
}

/* ---- printing ------------------------------------------------------------------------------- */

/* Printed, the page is the lesson's sheet, which comes packed. Where it cannot be unpacked, what is
   on the screen is printed. */
async function unpackSheet() {
  if (!window.DecompressionStream || !byId('packed-sheet')) return;
  const packed = Uint8Array.from(atob(byId('packed-sheet').textContent), (letter) => letter.charCodeAt(0));
  const unpacked = new Blob([packed]).stream().pipeThrough(new DecompressionStream('deflate'));
  const sheet = element('div', {className: 'sheet', innerHTML: await new Response(unpacked).text()});
  sheet.setAttribute('aria-hidden', 'true');
  const {width, height} = sheet.querySelector('svg:not(.shapes)').attributes;
  const paper = new CSSStyleSheet();
  paper.insertRule(`@page { size: ${width.value} ${height.value}; margin: 0 }`);
  document.adoptedStyleSheets.push(paper);
  document.body.append(sheet);
}

/* ---- levels --------------------------------------------------------------------------------- */

/* Levels rise as the square, so that a slider's middle is half as loud to the ear. */
function setLevels() {
  if (!sound) return;
  sound.drums.gain.value = (byId('drum-level').value / 100) ** 2;
  sound.click.gain.value = (byId('click-level').value / 100) ** 2;
}

function listen() {
  byId('go').addEventListener('click', () => play(chosen));
  document.querySelectorAll('button.play').forEach((button) =>
    button.addEventListener('click', () => play(Number(button.dataset.play))));
  byId('tempo').addEventListener('input', () => setTempo(byId('tempo').value));
  byId('slower').addEventListener('click', () => setTempo(beats - 1));
  byId('faster').addEventListener('click', () => setTempo(beats + 1));
  byId('drum-level').addEventListener('input', setLevels);
  byId('click-level').addEventListener('input', setLevels);
  document.querySelectorAll('.music').forEach((music) => music.addEventListener('click', (event) => {
    const group = event.target.closest('[data-of]');
    if (group) pickBar(Number(music.parentElement.id.split('-')[1]), Number(group.dataset.of.split('.')[0]));
  }));
  ['first-bar', 'last-bar'].forEach((id) => byId(id).addEventListener('change', sayBars));
  byId('whole').addEventListener('click', () => offerBars(exercises[chosen]));
  ['click', 'hear', 'again', 'turns', 'quiet', 'climb'].forEach((id) => byId(id).addEventListener('change', reschedule));
  byId('marking').addEventListener('change', () => {
    picture.shown = isSet('marking');
    picture.clear();
  });
  document.addEventListener('keydown', (event) => {
    if (event.key === 'Escape' && course) stop();
  });
}

if (exercises.length) {
  exercises.forEach(addLadder);
  choose(0);
  listen();
  setTimeout(tuneDrums, 100);
  setTimeout(unpackSheet, 200);
  stand.hidden = false;
  document.querySelectorAll('button.play').forEach((button) => { button.hidden = false; });
}
