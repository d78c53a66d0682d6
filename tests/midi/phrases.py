"""phrases.py TABLE KEYS TITLE FILE.mid GRID: does the phrase sound as TABLE says?

TABLE is tests/outside/phrases.txt, KEYS tests/reference/gm-percussion.tsv, FILE.mid what
`ratamark sound` wrote of the phrase without click and count-in, GRID what `ratamark grid` shows.
`phrases.py TABLE` alone lists the titles.
"""
import re
import sys
from fractions import Fraction as F

SYLLABLES = {"": F(0), "e": F(1, 4), "&": F(1, 2), "a": F(3, 4), "trip": F(1, 3), "let": F(2, 3)}
GRACES = {"flam": 1, "drag": 2, "ruff": 3}
GRACE_ROOM = F(1, 6)  # of a quarter: as far before its stroke as a grace stroke may begin
# Our voices, by their names in General MIDI.
GM_NAMES = {
    "hi-hat": "Closed Hi-Hat", "open-hi-hat": "Open Hi-Hat", "hi-hat-foot": "Pedal Hi-Hat",
    "ride": "Ride Cymbal 1", "ride-bell": "Ride Bell", "crash": "Crash Cymbal 1", "snare": "Acoustic Snare",
    "cross-stick": "Side Stick", "rim-shot": "Electric Snare", "cowbell": "Cowbell", "sticks": "Sticks",
    "high-tom": "High Tom", "mid-tom": "Low-Mid Tom", "floor-tom": "High Floor Tom",
    "bass-drum": "Bass Drum 1", "second-bass-drum": "Acoustic Bass Drum",
}


def plain(name):
    return re.sub("[^a-z0-9]", "", name.lower())


class Phrase:
    def __init__(self, title, header):
        beats = re.search(r"beats (\d+)", header)
        note = re.search(r"of 1/(\d+)", header)
        self.title = title
        self.beat = F(4, int(note[1]) if note else 4)  # in quarters
        self.bar = int(beats[1]) * self.beat if beats else F(4)
        self.pickup = "pickup" in header
        self.bars = 1
        self.letters = None
        self.flags = set()
        self.rows = {}  # (voice, "" or "loud" or "soft") -> text

    def length(self):
        return self.bars + self.pickup

    def counts(self, text):
        """[(quarters from the first bar line, how it is struck)]"""
        bars = text.split("|")
        if len(bars) == 1:
            bars *= self.length()
        assert len(bars) == self.length(), f"{self.title}: {len(bars)} bars in '{text}'"
        found = []
        for index, bar in enumerate(bars):
            start = (index - self.pickup) * self.bar
            for word in bar.split():
                word, _, kind = word.partition(":")
                run = re.fullmatch(r"(\d+)x(\d+)", word)
                if run:
                    offsets = [F(k, int(run[2])) for k in range(int(run[2]))]
                    number = int(run[1])
                else:
                    count = re.fullmatch(r"(\d+)(?:\+(\d+/\d+)|([e&a]|trip|let|))", word)
                    assert count, f"{self.title}: '{word}'"
                    offsets = [F(count[2]) if count[2] else SYLLABLES[count[3]]]
                    number = int(count[1])
                found += [(start + (number - 1 + offset) * self.beat, kind) for offset in offsets]
        return sorted(found)


def read_table(path):
    phrases = {}
    phrase = None
    for line in open(path, encoding="utf-8"):
        line = line.strip()
        header = re.fullmatch(r"\[(.*)\](.*)", line)
        if header:
            phrase = phrases[header[1]] = Phrase(header[1], header[2])
        elif not line or line.startswith("#"):
            continue
        elif ":" not in line:
            phrase.flags.add(line)
        else:
            key, _, text = line.partition(":")
            if key == "bars":
                phrase.bars = int(text)
            elif key == "letters":
                phrase.letters = text.strip()
            else:
                voice, _, kind = key.partition(" ")
                phrase.rows[voice, kind] = text
    return phrases


def keys_of(path):
    named = {}
    for line in open(path, encoding="utf-8"):
        cells = line.rstrip("\n").split("\t")
        if cells[0].isdigit():
            named[plain(cells[1])] = int(cells[0])
    return {named[plain(name)]: voice for voice, name in GM_NAMES.items()}


def heard(path, keys):
    """voice -> [(quarters from the first bar line, velocity)]"""
    import mido
    file = mido.MidiFile(path)
    first, strokes = None, []
    for track in file.tracks:
        now = 0
        for message in track:
            now += message.time
            if message.type == "marker" and message.text == "bar 1" and first is None:
                first = now
            if message.type == "note_on" and message.velocity > 0:
                strokes.append((now, message.note, message.velocity))
    voices = {}
    for tick, key, velocity in sorted(strokes):
        assert key in keys, f"key {key}, which no voice of the table has"
        voices.setdefault(keys[key], []).append((F(tick - first, file.ticks_per_beat), velocity))
    return voices


def compare(phrase, voices):
    """Checks every stroke; gives the loudness of those that the table leaves unmarked."""
    named = {voice for voice, kind in phrase.rows if not kind}
    assert named == set(voices), f"heard {sorted(voices)}, not {sorted(named)}"
    unmarked, loud, soft = [], [], []
    for voice in sorted(named):
        counts = phrase.counts(phrase.rows[voice, ""])
        marked = {kind: {at for at, _ in phrase.counts(phrase.rows.get((voice, kind), "|" * (phrase.length() - 1)))}
                  for kind in ("loud", "soft")}
        places = {at for at, _ in counts}
        assert marked["loud"] | marked["soft"] <= places, f"{voice}: a mark beside its counts"
        left = list(voices[voice])
        ends = [at for at, _ in counts[1:]] + [phrase.bars * phrase.bar]
        for (at, kind), end in zip(counts, ends):
            here = [stroke for stroke in left if stroke[0] == at]
            assert len(here) == 1, f"{voice}: {len(here)} strokes at quarter {at}"
            left.remove(here[0])
            velocity = here[0][1]
            softer = []
            if kind in GRACES:
                softer = [s for s in left if at - GRACE_ROOM < s[0] < at]
                assert len(softer) == GRACES[kind], f"{voice}: {len(softer)} grace strokes before {at}"
            elif kind == "buzz":
                softer = [s for s in left if at < s[0] < end and end - at > s[0] - at]
                assert len(softer) >= 5, f"{voice}: a buzz of {len(softer)} at {at}"
            for stroke in softer:
                assert stroke[1] < velocity, f"{voice}: no softer stroke at {stroke[0]}"
                left.remove(stroke)
            (loud if at in marked["loud"] else soft if at in marked["soft"] else unmarked).append((at, velocity))
        assert not left, f"{voice}: also at quarters {[str(at) for at, _ in left]}"
    return unmarked, loud, soft


def compare_loudness(phrase, unmarked, loud, soft):
    levels = [velocity for _, velocity in sorted(unmarked)]
    if "grows" in phrase.flags:
        assert levels == sorted(levels) and levels[0] < levels[-1], f"does not grow: {levels}"
        return
    assert len(set(levels)) <= 1, f"unmarked strokes of unequal loudness: {sorted(set(levels))}"
    for _, accent in loud:
        assert not levels or accent > levels[0], "an accent no louder than the others"
        assert not soft or accent > max(velocity for _, velocity in soft), "an accent no louder than a ghost"
    for _, ghost in soft:
        assert not levels or ghost < levels[0], "a ghost no softer than the others"


def compare_letters(phrase, path):
    shown = ""
    for line in open(path, encoding="utf-8"):
        if re.match(r"2  ", line):
            break
        if line.startswith("  sticking"):
            shown += line.partition(" │")[2]
    letters = re.sub("[^RLBKH]", "", shown)
    expected = phrase.letters.replace(".", "")
    assert letters[: len(expected)] == expected, f"hands {letters}, not {expected}"


def main():
    phrases = read_table(sys.argv[1])
    if len(sys.argv) == 2:
        print("\n".join(phrases))
        return
    _, _, keys, title, midi, grid = sys.argv
    phrase = phrases[title]
    voices = heard(midi, keys_of(keys))
    compare_loudness(phrase, *compare(phrase, voices))
    if phrase.letters:
        compare_letters(phrase, grid)
    if "alone" in phrase.flags:
        places = [at for strokes in voices.values() for at, _ in strokes]
        assert len(places) == len(set(places)), "two limbs at once"


try:
    main()
except AssertionError as wrong:
    sys.exit(str(wrong))
