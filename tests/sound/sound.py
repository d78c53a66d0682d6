"""sound.py CHECK ...: what readers that are not ours find in audio files.

    onsets WAV MID [LATEST]  each onset that aubio finds is one of the MIDI file (read by mido), and
                             each of those is found, within 5 ms
    frames WAV MID           each click begins at the very sample to which its time rounds
    length WAV BPM BEATS     the file is as long as so many beats, to the sample
    rounds WAV N             the file is N times the same: what sounds over the end of one round sounds
                             at the beginning of the next
    loudness FILE LUFS       ffmpeg's meter tells this loudness, within 0.5 LU, and no peak over 0 dB
    same A B                 two files decode to the same samples (ffmpeg)
    tag FILE NAME TEXT       ffprobe finds this tag
    quiet WAV FROM TO        nothing sounds there (seconds)
    sounds WAV FROM TO       something does
    louder WAV A B DB        the tenth of a second from A peaks so many dB higher than that from B
"""
import array
import json
import math
import re
import subprocess
import sys
import wave
from fractions import Fraction

WITHIN = 0.005


def samples(path):
    with wave.open(path) as file:
        assert (file.getframerate(), file.getnchannels(), file.getsampwidth()) == (48000, 2, 2)
        return array.array("h", file.readframes(file.getnframes()))


def midi_onsets(path):
    """Exact seconds: by the ticks of the file and its tempos, which are whole quarters a minute here,
    where the file itself can say only whole microseconds a quarter."""
    import mido

    midi = mido.MidiFile(path)
    now, quarter, found = Fraction(0), Fraction(1, 2), []
    for message in mido.merge_tracks(midi.tracks):
        now += message.time * quarter / midi.ticks_per_beat
        if message.type == "set_tempo":
            quarter = Fraction(60, round(60e6 / message.tempo))
        if message.type == "note_on" and (not found or now > found[-1]):
            found.append(now)
    return found


def onsets(path, midi, latest=None):
    """aubio's detector by high-frequency content, with a hop of 64 samples (1.3 ms)."""
    found = subprocess.run(["aubioonset", "-i", path, "-O", "hfc", "-B", "512", "-H", "64", "-t", "0.3"],
                           capture_output=True, text=True, check=True).stdout
    found = [float(line) for line in found.split()]
    wanted = midi_onsets(midi)
    assert len(wanted) > 3 and len(found) == len(wanted), f"{len(found)} onsets, not {len(wanted)}"
    apart = [there - float(here) for there, here in zip(found, wanted)]
    assert max(map(abs, apart)) <= WITHIN, f"{1000 * max(apart, key=abs):.2f} ms apart"
    assert latest is None or wanted[-1] >= float(latest), f"ends at {float(wanted[-1])} s"
    tenth = max(1, len(apart) // 10)
    drift = sum(apart[-tenth:]) / tenth - sum(apart[:tenth]) / tenth
    assert abs(drift) < 0.001, f"drift {1000 * drift:.2f} ms"
    print(f"{len(found)} onsets, at most {1000 * max(map(abs, apart)):.2f} ms apart, "
          f"drift {1000 * drift:+.3f} ms over {float(wanted[-1]):.0f} s")


def frames(path, midi):
    data = samples(path)
    late = set()
    for onset in midi_onsets(midi):
        frame = math.floor(onset * 48000 + Fraction(1, 2))
        first = next(i for i in range(frame - 40, frame + 400) if i >= 0 and data[2 * i])
        late.add(first - frame)
    assert late <= {0, 1, 2, 3}, f"clicks begin {sorted(late)} frames late"


def length(path, bpm, beats):
    wanted = Fraction(beats) * 60 * 48000 / Fraction(bpm)
    wanted = (2 * wanted + 1) // 2
    got = len(samples(path)) // 2
    assert got == wanted, f"{got} frames, not {wanted}"


def rounds(path, number):
    data = samples(path)
    size = len(data) // int(number)
    size -= size % 2
    first = data[:size]
    for start in range(size, len(data) - size + 1, size):
        worst = max(abs(a - b) for a, b in zip(first, data[start:start + size]))
        assert worst <= 2, f"rounds differ by {worst}"
    assert max(map(abs, first[:480])) > 0, "it begins in silence"


def ffmpeg(*words):
    return subprocess.run(["ffmpeg", "-hide_banner", "-nostats", *words], capture_output=True, check=True)


def loudness(path, lufs):
    told = ffmpeg("-i", path, "-af", "ebur128=peak=sample", "-f", "null", "-").stderr.decode()
    told = told[told.rindex("Summary:"):]
    measured = float(re.search(r"I:\s+(\S+) LUFS", told)[1])
    peak = float(re.search(r"Peak:\s+(\S+) dBFS", told)[1])
    assert abs(measured - float(lufs)) <= 0.5, f"{measured} LUFS"
    assert peak < 0, f"peak {peak} dB"


def same(a, b):
    decoded = [ffmpeg("-i", path, "-f", "s16le", "-").stdout for path in (a, b)]
    assert decoded[0] == decoded[1] and decoded[0], "other samples"


def tag(path, name, text):
    told = subprocess.run(["ffprobe", "-v", "error", "-show_format", "-show_streams", "-of", "json", path],
                          capture_output=True, check=True).stdout
    told = json.loads(told)
    tags = told["format"].get("tags", {}) | told["streams"][0].get("tags", {})
    found = {key.lower(): value for key, value in tags.items()}.get(name, "")
    assert text in found, f"{name} is '{found}'"


def loudest(path, begin, end):
    part = samples(path)[2 * int(float(begin) * 48000):2 * int(float(end) * 48000)]
    return max(map(abs, part))


def quiet(path, begin, end):
    assert loudest(path, begin, end) < 30, f"{loudest(path, begin, end)} of 32767"


def sounds(path, begin, end):
    assert loudest(path, begin, end) > 1000, f"{loudest(path, begin, end)} of 32767"


def louder(path, a, b, db):
    peaks = [loudest(path, at, float(at) + 0.1) for at in (a, b)]
    got = 20 * math.log10(peaks[0] / peaks[1])
    assert abs(got - float(db)) < 0.5, f"{got:.2f} dB"


try:
    globals()[sys.argv[1]](*sys.argv[2:])
except AssertionError as wrong:
    sys.exit(f"{' '.join(sys.argv[1:])}: {wrong}")
