"""compare.py FOLDER TOLD READ: are the notes of FOLDER/0.mid ... those that the scores ask for?

TOLD holds a line of JSON a lesson, the score (tests/midi/tell.c). From it this file works out by
itself, in exact fractions (Python's), what is to be heard: the manual's rules written once more.
READ holds what the npm package midi-file found in the files; the Debian package python3-mido reads
them here. Both have to agree with it: each onset to the tick, each key, each velocity.
"""
import bisect
import json
import math
import multiprocessing
import sys
from fractions import Fraction as F

import mido

DYNAMICS = {"ppp": -280, "pp": -240, "p": -200, "mp": -160, "mf": -120, "f": -80, "ff": -40, "fff": 0}
SPACING = [0, 30, 35, 40, 40, 40, 40, 40]  # milliseconds between the grace strokes of a group
BOUNCE = 30
PARTS = ["Hands", "Feet", "Click"]
SLOTS = {"quarters": F(1, 4), "eighths": F(1, 8), "sixteenths": F(1, 16), "thirty-seconds": F(1, 32)}


def beats_of(bar):
    if "beats" not in bar:
        bar["beats"] = find_beats(bar)
    return bar["beats"]


def find_beats(bar):
    """ratamark-lesson(5), METERS: [(start, length)]."""
    unit, lengths = bar["unit"], []
    for group in bar["groups"]:
        if unit <= 4:
            lengths += [1] * group
        elif len(bar["groups"]) > 1 and group in (1, 2, 3, 4, 6, 12):
            lengths.append(group)
        elif group % 3 == 0:
            lengths += [3] * (group // 3)
        else:
            twos, rest = divmod(group, 2)
            lengths += [2] * twos if not rest else [2] * (twos - 1) + [3] if twos else [1]
    beats, now = [], 0
    for length in lengths:
        beats.append((F(now, unit), F(length, unit)))
        now += length
    return beats


def beat_counted(bar):
    lengths = {length for _, length in beats_of(bar)}
    return lengths.pop() if len(lengths) == 1 else F(1, bar["unit"])


def note_value(log2, dots, tuplet=0):
    return F(1, 2**log2) * (2 - F(1, 2**dots)) * (F(2, 3) if tuplet == 3 else 1)


def bar_before(bars, bar):
    index = next(i for i, other in enumerate(bars) if other is bar)
    if index == 0:
        return None
    if bar["passes"] and bars[index - 1]["passes"] != bar["passes"]:
        index = next(i for i, other in enumerate(bars) if other["passes"])
    return bars[index - 1]


def swung(bar, at):
    share = F(bar["swing"])
    if share == F(1, 2):
        return at
    beats = beats_of(bar)
    index = max(i for i, (start, _) in enumerate(beats) if i == 0 or start <= at)
    start, length = beats[index]
    pair = F(1, 4)
    names = bar["subdivisions"]
    slot = SLOTS.get(names[index % len(names)]) if names else None
    if slot and length % slot == 0:
        pair = min(pair, 2 * slot)
    if length % pair:
        return at
    pairs, within = divmod(at - start, pair)
    within /= pair
    within = within * 2 * share if within < F(1, 2) else share + (within - F(1, 2)) * 2 * (1 - share)
    return start + pair * (pairs + within)


def span(bar, leaf):
    """Where a leaf begins and ends; worked out once."""
    if "span" not in leaf:
        leaf["span"] = find_span(bar, leaf)
    return leaf["span"]


def find_span(bar, leaf):
    onset, length = F(leaf["onset"]), F(leaf["length"])
    if "tuplet" not in leaf:
        return swung(bar, onset), swung(bar, onset + length)
    start, whole = F(leaf["tuplet"]), F(leaf["tuplet_length"])
    first, last = swung(bar, start), swung(bar, start + whole)
    place = lambda at: first + (at - start) * (last - first) / whole
    return place(onset), place(onset + length)


def repeated(bars, whole):
    """Bars with their repeats, of each by itself or of all."""
    if whole:
        return bars * bars[-1]["plays"]
    return [bar for bar in bars for _ in range(bar["plays"] if bar["ends"] else 1)]


def unfolded(pickup, main, jump, whole):
    """D.C. to the beginning, D.S. to the segno; on to the fine, or at "to coda" over to the coda.
    After the jump there are no repeats."""
    place = lambda sign: next(i for i, bar in enumerate(main) if bar.get(sign))
    first = repeated(main[:main.index(jump) + 1], whole)
    back = main[place("segno"):] if "D.S." in jump["jump"] else pickup + main
    leave = "to" if "Coda" in jump["jump"] else "fine"
    again = back[:next(i for i, bar in enumerate(back) if bar.get(leave)) + 1]
    return first + again + (main[place("coda"):] if leave == "to" else [])


def bars_played(lesson, exercise, in_form=False):
    if exercise["sequence"]:
        for source, times in exercise["sequence"]:
            step = next(e for e in lesson["exercises"] if e["source"] == source)
            for _ in range(times):
                yield from bars_played(lesson, step, True)
        return
    bars = exercise["bars"]
    endings = [bar for bar in bars if bar["passes"]]
    main = [bar for bar in bars if not bar["passes"]]
    pickup = [bar for bar in main if bar["pickup"]]
    main = main[len(pickup):]
    yield from ((bar, exercise) for bar in pickup)
    if endings:
        for time in range(1, max(max(bar["passes"]) for bar in endings) + 1):
            yield from ((bar, exercise) for bar in main + [b for b in endings if time in b["passes"]])
        return
    if in_form and exercise["plays"] >= 2:  # how often is the form's to say
        yield from ((bar, exercise) for bar in main)
        return
    jump = next((bar for bar in main if bar.get("jump")), None)
    whole = main and main[0]["begins"] and main[-1]["ends"] and not main[0]["ends"]
    played = unfolded(pickup, main, jump, whole) if jump else repeated(main, whole)
    yield from ((bar, exercise) for bar in played)


def bpm_of(tempo):
    return [F(hundredths, 100) for hundredths in tempo["hundredths"]]


def rungs_of(tempo):
    if tempo["gradual"]:
        return bpm_of(tempo)[:1]
    if not tempo["range"]:
        return bpm_of(tempo)[:64]
    low, high = bpm_of(tempo)
    range_of = int(high - low)  # whole beats
    if range_of == 0:
        return [low, high]
    step = next((range_of // n for n in (6, 5, 7, 4, 8, 3) if range_of % n == 0), None)
    if step is None:
        round_ones = [1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 100, 200]
        step = next(s for s in round_ones if s * 6 >= range_of)
    rungs = []
    while low + len(rungs) * step < high and len(rungs) < 63:
        rungs.append(low + len(rungs) * step)
    if len(rungs) > 1 and high - rungs[-1] < F(step, 2):
        rungs.pop()
    return rungs + [high]


def positions(exercise):
    at, places = F(0), {}
    for bar in exercise["bars"]:
        places[id(bar)] = at
        at += F(bar["length"])
    return places, at


def slopes(exercise, rates):
    """Stretches [from, to) in which the speed changes evenly, by a factor of the bar's own."""
    if "slopes" in exercise:
        return exercise["slopes"]
    places, end = positions(exercise)
    tempo_of = lambda bar: bar["tempo"] or exercise["tempo"]
    bars, found, group = exercise["bars"], [], 0
    while group < len(bars):
        after = group + 1
        while after < len(bars) and tempo_of(bars[after]) == tempo_of(bars[group]):
            after += 1
        until = places[id(bars[after])] if after < len(bars) else end
        tempo = tempo_of(bars[group])
        if tempo and tempo["gradual"]:
            found.append([places[id(bars[group])], until, F(1), F(tempo["hundredths"][1], tempo["hundredths"][0])])
        words = [(places[id(bar)] + F(onset) - F(bar["start"]), word)
                 for bar in bars[group:after] for onset, word in bar["paces"]]
        factor, last = F(1), None
        for number, (at, word) in enumerate(words):
            if word == "a-tempo":
                factor = F(1)
                continue
            goal = factor * (F(5, 4) if word == "accel" else F(4, 5))
            close = words[number + 1][0] if number + 1 < len(words) else until
            if number + 1 == len(words) and after < len(bars):
                goal = rates(bars[after]) / rates(bars[after - 1])
            found.append([at, close, factor, goal])
            factor = goal
        group = after
    exercise["slopes"] = found
    return found


def changes_in(exercise, bar, expected):
    begins = positions(exercise)[0][id(bar)]
    ends = begins + F(bar["length"])
    return any(first < ends and last > begins
               for first, last, _, _ in slopes(exercise, lambda b: expected.rate(b, exercise)))


def gradually(exercise, bar, onset, expected):
    at = positions(exercise)[0][id(bar)] + onset - F(bar["start"])
    for first, last, factor, goal in slopes(exercise, lambda b: expected.rate(b, exercise)):
        if first <= at < last:
            return factor + (goal - factor) * (at - first) / (last - first)
    return F(1)


class Expected:
    def __init__(self, lesson):
        self.lesson, self.now, self.notes, self.tempos = lesson, F(0), [], []
        for exercise in lesson["exercises"]:
            tempo = exercise["tempo"]
            rungs = rungs_of(tempo) if lesson["ladder"] and tempo else [bpm_of(tempo)[0] if tempo else 60]
            for bpm in rungs:
                self.factor = F(bpm) / (bpm_of(tempo)[0] if tempo else 60)
                self.bars = 0
                for time in range(max(1, lesson["times"])):
                    self.through(exercise, time == 0)

    def add(self, part, at, key, level, offset=0, after=None):
        self.fresh.append([part, at, key, level, offset, after, self.wholes])

    def set_tempo(self, bar, exercise, onset=None):
        start, length = F(bar["start"]), F(bar["length"])
        self.pace = lambda at: self.rate(bar, exercise) * self.factor * gradually(exercise, bar, at, self)
        self.changes = changes_in(exercise, bar, self)
        self.wholes = self.pace(start)
        self.tempo_at(self.now, self.wholes)
        if onset is None and self.changes:  # sixteenth by sixteenth, each as fast as its middle
            for step in range(math.ceil(length * 16)):
                first, last = F(step, 16), min(F(step + 1, 16), length)
                self.tempo_at(self.now + first, self.pace(start + (first + last) / 2))

    def tempo_at(self, at, wholes):
        if self.tempos and self.tempos[-1][0] == at:
            self.tempos[-1] = (at, wholes)
        elif not self.tempos or self.tempos[-1][1] != wholes:
            self.tempos.append((at, wholes))

    def rate(self, bar, exercise):
        """Whole notes a minute, as written: the beat goes on through a change of meter, and a pulse
        says which note goes on as which."""
        if "rate" not in bar:
            tempo = bar["tempo"] or exercise["tempo"]
            beat = beat_counted(bar)
            if tempo and tempo["unit"] >= 0:
                beat = note_value(tempo["unit"], tempo["dots"])
            bar["beat"] = beat
            bar["rate"] = (bpm_of(tempo)[0] if tempo else 60) * beat
            before = bar_before(exercise["bars"], bar)
            if before and "pulse" in bar:
                old, new = (note_value(*note) for note in bar["pulse"])
                bar["rate"] = self.rate(before, exercise) * new / old
            elif before and (before["tempo"] or exercise["tempo"]) == tempo:
                bar["rate"] = self.rate(before, exercise) * beat / before["beat"]
        return bar["rate"]

    def click(self, bar, first, last):
        for index, (start, _) in enumerate(beats_of(bar)):
            if first <= start < last:
                self.add(2, self.now + start - first, 77 if index else 76, None, 0 if index else 40)

    def count_in(self, bar):
        bars, sounds = self.lesson["count_in"], self.lesson["count_in"] > 0
        graced = any(line and line[0].get("graces") and not line[0]["continued"] for line in bar["lines"])
        if not bars and self.now == 0 and graced:
            bars = 1
        if self.lesson["loop"] or not bars:
            return
        whole = F(sum(bar["groups"]), bar["unit"])
        missing = whole - F(bar["length"])
        lengths = [whole] * bars
        if bar["pickup"]:
            lengths = [whole] * (bars - (2 * F(bar["length"]) <= whole)) + [missing]
        for length in lengths:
            if sounds:
                self.click(bar, F(0), length)
            self.now += length

    def through(self, exercise, first):
        self.fresh, self.dynamics, self.last = [], [], getattr(self, "last", [None, None])
        for bar, own in bars_played(self.lesson, exercise):
            if self.lesson["loop"] and bar["pickup"]:
                continue
            if first:
                self.set_tempo(bar, own, "count-in")
                self.count_in(bar)
            self.set_tempo(bar, own)
            first = False
            self.bar(bar)
        self.settle()

    def bar(self, bar):
        start, quiet = F(bar["start"]), self.lesson["quiet_after"]
        if not quiet or self.bars // quiet % 2 == 0:
            self.click(bar, start, start + F(bar["length"]))
        for onset, text in bar["dynamics"]:
            at = next((span(bar, leaf)[0] for line in bar["lines"] for leaf in line
                       if F(leaf["onset"]) == F(onset)), None)
            at = swung(bar, F(onset)) if at is None else at
            self.dynamics.append((self.now + at - start, text))
        for number, line in enumerate(bar["lines"]):
            for place, leaf in enumerate(line):
                if not leaf["rest"]:
                    first, last = span(bar, leaf)
                    self.wholes = self.pace(first) if self.changes else self.wholes
                    if leaf.get("roll") and "RING" in leaf["marks"]:  # over its ties, to its last stroke
                        if leaf["continued"]:
                            continue
                        for after in line[place + 1:]:
                            if after["rest"] or not after["continued"]:
                                break
                            last = span(bar, after)[1]
                    self.leaf(leaf, number, self.now + first - start, last - first)
        self.now += F(bar["length"])
        self.bars += not bar["pickup"]

    def leaf(self, leaf, line, at, length):
        marks, fresh = set(leaf["marks"]), not leaf["continued"]
        own = [hit for hit in leaf["hits"] if line == 1 or hit[1] < 2 or hit[1] == 5]
        milliseconds = length * 60000 / self.wholes
        struck = []
        for hit in leaf["hits"]:
            voice, limb, ghost, unaccented = hit
            part = 1 if limb in (2, 3) else 0
            key = self.lesson["kit"][voice]
            key = 46 if key == 42 and marks & {"OPEN", "HALF_OPEN"} else key
            plain = -120 if ghost else 0
            accent = 90 if "STRONG_ACCENT" in marks else 60 if "ACCENT" in marks else 0
            level = plain if ghost or unaccented else plain + accent
            rolls = marks if hit in own else set()
            if fresh and own and hit == own[0]:
                self.graces(leaf["graces"], part, key, at, plain, line)
            if "BUZZ" in rolls:
                count = max(2, math.floor(milliseconds / BOUNCE + F(1, 2)))
                rings = "RING" in rolls or leaf["tied"]
                for i in range(count):
                    fade = 0 if rings else -60 * i // count if (60 * i) % count == 0 else -(60 * i // count)
                    soft = plain - 60 + fade
                    self.add(part, at, key, level if i == 0 and fresh else soft,
                             after=milliseconds * i / count if i else None)
            elif leaf.get("roll") and not fresh and hit in own:  # where a roll that is tied ends
                self.add(part, at, key, plain)
            elif rolls & {"SLASH_1", "SLASH_2", "SLASH_3"}:
                count = 8 if "SLASH_3" in rolls else 4 if "SLASH_2" in rolls else 2
                if leaf["roll"]:
                    count = leaf["roll"] - (leaf["tied"] or "RING" in rolls)
                for i in range(count):
                    self.add(part, at + length * i / count, key, plain if i or not fresh else level)
                    struck.append(at + length * i / count)
            elif fresh:
                self.add(part, at, key, level)
            if fresh or "BUZZ" in rolls or leaf.get("roll") and hit in own and not rolls & {"BUZZ", "SLASH_1", "SLASH_2", "SLASH_3"}:
                struck.append(at)
        if struck:  # grace strokes keep clear of the line's last stroke; bounces do not count
            self.last[line] = max(struck)

    def graces(self, count, part, key, at, plain, line):
        spacing = F(SPACING[count])
        if self.last[line] is not None and count:
            room = (at - self.last[line]) * 60000 / self.wholes / (count + 1)
            spacing = min(spacing, room)
        for i in range(count, 0, -1):
            self.add(part, at, key, plain - 90, after=-i * spacing)

    def settle(self):
        level_at = self.levels()
        for part, at, key, level, offset, after, wholes in self.fresh:
            if level is None:  # a click
                total = -80 + offset
            else:
                total = level_at(at, after is None) + level
            velocity = max(1, min(127, math.floor(127 * 10 ** (total / 400) + 0.5)))
            self.notes.append((part, at, key, velocity, after, wholes))

    def levels(self):
        stretches, stresses = [], {}
        for at, text in self.dynamics:
            if text == "sfz":
                stresses[at] = lambda level: level + 80
                continue
            if text == "fp":
                stresses[at] = lambda level: -80
            swell = {"cresc": 80, "dim": -80}.get(text)
            level = DYNAMICS.get(text, -200)
            if stretches:
                before = stretches[-1]
                if before[2] is not None and swell is None:
                    before[3] = level
                if swell is not None:
                    level = before[3]
            elif swell is not None:
                level = -120
            goal = level if swell is None else max(-280, min(0, level + swell))
            stretches.append([at, level, swell, goal])
        end = self.now

        def level_at(at, written):
            level = -120
            for index, (start, first, _, goal) in enumerate(stretches):
                if start <= at:
                    until = stretches[index + 1][0] if index + 1 < len(stretches) else end
                    share = float(at - start) / float(until - start) if until > start else 0
                    change = (goal - first) * share
                    level = first + int(math.copysign(math.floor(abs(change) + 0.5), change))
            return stresses[at](level) if written and at in stresses else level

        return level_at


GRIDS = [960, 480, 240, 120, 96, 48, 24, 12]


def agree(number, expected, division, exact, found, end):
    """Takes each expected note out of what was found; what is left over is wrong."""
    if end != expected.now * 4 * division and exact:
        return f"ends at tick {end}, not {expected.now * 4 * division}"
    grid = next((g for g in GRIDS if division % g == 0), division) if exact else 960
    left = {}
    for part, tick, key, velocity in found:
        left.setdefault((part, key, velocity), []).append(tick)
    ticks = lambda at: at * 4 * division
    loose = []
    for part, at, key, velocity, after, wholes in expected.notes:
        if after is not None:
            tick = ticks(at) + after * wholes * 4 * division / 60000
            loose.append((part, float(tick), key, velocity))
            continue
        tick = ticks(at)
        if exact and tick.denominator != 1:
            return f"{at} wholes is not on a tick of {division}"
        tick = math.floor(tick + F(1, 2))
        mine = left.get((PARTS[part], key, velocity), [])
        if tick not in mine:
            return f"no {PARTS[part]} {key} of {velocity} at {at} wholes, tick {tick}"
        mine.remove(tick)
    for part, tick, key, velocity in loose:
        if tick < 0 and expected.lesson["loop"]:
            tick += float(expected.now * 4 * division)
        mine = left.get((PARTS[part], key, velocity), [])
        place = bisect.bisect(mine, tick)
        near = min(range(max(0, place - 1), min(len(mine), place + 1)),
                   key=lambda i: abs(mine[i] - tick), default=None)
        if near is None or abs(mine[near] - tick) > 0.51 * division / grid:
            return f"no {PARTS[part]} {key} of {velocity} near tick {tick}"
        mine.pop(near)
    over = [(key, ticks) for key, ticks in left.items() if ticks]
    return f"not asked for: {over[:3]}" if over else None


def with_mido(path):
    midi = mido.MidiFile(path)
    notes, tempos, end = [], [], 0
    for track in midi.tracks:
        now = 0
        for message in track:
            now += message.time
            if message.type == "note_on" and message.channel == 9:
                notes.append([track.name, now, message.note, message.velocity])
            elif message.type == "set_tempo":
                tempos.append((now, message.tempo))
        end = max(end, now)
    return midi, notes, tempos, end


def seconds_apart(expected, midi, tempos, end):
    """The length by the tempos that mido reads, against ours: those of a file are whole microseconds
    a quarter, so that half of one may be lost with each."""
    exact = sum((until - at) * 60 / wholes for (at, wholes), (until, _) in
                zip(expected.tempos, expected.tempos[1:] + [(expected.now, None)]))
    read = sum(mido.tick2second(until - tick, midi.ticks_per_beat, tempo) for (tick, tempo), (until, _) in
               zip(tempos, tempos[1:] + [(end, None)]))
    return abs(float(exact) - read), 0.51e-6 * 4 * float(expected.now) + 1e-6


def compare(job):
    number, folder, line, other = job
    lesson = json.loads(line)
    division, end, found, astray = json.loads(other)
    expected = Expected(lesson)
    midi, by_mido, tempos, mido_end = with_mido(f"{folder}/{number}.mid")
    problem = agree(number, expected, division, lesson["exact"], found, end)
    apart, allowed = seconds_apart(expected, midi, tempos, mido_end)
    if division != lesson["division"] or midi.ticks_per_beat != division or midi.type != 1:
        problem = problem or "header"
    elif astray:
        problem = problem or f"{astray} note-offs astray"
    elif by_mido != found or mido_end != end:
        problem = problem or "mido reads other notes"
    elif apart > allowed:
        problem = problem or f"{apart} s apart"
    return number, problem, len(expected.notes), not lesson["exact"]


def main():
    folder, told, read = sys.argv[1:4]
    jobs = [(number, folder, line, other)
            for number, (line, other) in enumerate(zip(open(told), open(read), strict=True))]
    with multiprocessing.Pool() as pool:
        results = pool.map(compare, jobs, chunksize=16)
    for number, problem, _, _ in results:
        if problem:
            print(f"lesson {number}: {problem}")
    wrong = sum(problem is not None for _, problem, _, _ in results)
    notes = sum(count for _, _, count, _ in results)
    inexact = sum(flag for _, _, _, flag in results)
    print(f"{len(results)} lessons, {notes} notes, {inexact} without an exact division, {wrong} wrong")
    return wrong > 0 or notes == 0


if __name__ == "__main__":
    sys.exit(main())
