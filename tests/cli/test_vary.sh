# Variations are counted, written, playable, and the same for the same seed.
. tests/cli/lib.sh
cd "$work" || exit 1
tacking=$top/examples/36-tacking.yaml

it 'says how many variations each exercise has'
run vary "$tacking"
expect_status 0
expect_no_err
expect_out_has '16128 variations: 256 of the hands x 63 of the kick'
expect_out_has '576 variations: 96 of the hands x 6 of the hat-foot'
expect_out_has '140 of them can be played at 84'
expect_out_has '7 variations, rotations counted once'

it 'says it of one exercise'
run vary "$tacking" --exercise 2
[ "$(grep -c '^Exercise' .out)" = 1 ] || fail "$(cat .out)"

# The same seed draws the same lesson for ever: a change here needs a new DICE_VERSION.
it 'draws what it has always drawn'
run vary "$tacking" --exercise 1 --count 4 --seed 7 -o -
cp .out kept
expect_status 0
expect_begins kept '# 4 of the 16128 variations of exercise 1, drawn: seed 7, drawing 1'
[ -z "${REGEN:-}" ] || cp kept "$top/tests/golden/vary.yaml"
expect_same kept "$top/tests/golden/vary.yaml"

it 'draws others with another seed'
run vary "$tacking" --exercise 1 --count 4 --seed 8 -o -
! cmp -s .out kept || fail 'the same'

for order in drawn steps graded; do
    for exercise in 1 2 3 4; do
        it "writes a tidy lesson without a warning: $order, exercise $exercise"
        run vary "$tacking" --exercise $exercise --count 30 --order $order -o new.yaml
        expect_status 0
        cp "$top/examples/course.yaml" course.yaml
        run check --strict new.yaml
        expect_status 0
        run tidy --check new.yaml
        expect_status 0
        rm course.yaml
    done
done

it 'writes every variation of a small space, each once'
run vary "$tacking" --exercise 4 --count 100 -o all.yaml
expect_status 0
expect_err_has '7 variations: there are no more'
[ "$(sed -n '/^exercises/,$s/.*kick: \([^,}]*\).*/\1/p' all.yaml | sort -u | wc -l)" = 7 ] || fail 'not seven'

# Two variations side by side: strokes, kicks and accents that differ, counted in the files.
cat >apart.py <<'END'
import sys
import yaml

def places(exercise):
    sticking = exercise.get("sticking", "").replace(" ", "")
    play = exercise.get("play", {})
    def voices(hand):
        listed = play.get(hand, "")
        return [listed] * 8 if isinstance(listed, str) else listed * (8 // len(listed))
    return sticking, voices("R") + voices("L"), set(str(exercise.get("kick", "")).split()), \
        set(str(exercise.get("accents", "")).split()), set(str(exercise.get("ghosts", "")).split())

lessons = yaml.load(open(sys.argv[1]), yaml.BaseLoader)["exercises"]
assert len(lessons) == int(sys.argv[2]), len(lessons)
for one, other in zip(lessons, lessons[1:]):
    a, b = places(one), places(other)
    apart = [int(a[0] != b[0]), sum(x != y for x, y in zip(a[1], b[1]))]
    apart += [max(len(x - y), len(y - x)) for x, y in zip(a[2:], b[2:])]
    # A stroke may change its voice and its mark at once.
    assert sum(apart) == 1 or (sum(apart[2:3]) == 0 and apart[0] == 0 and sum(apart) == 2), (one, other)
END
for exercise in 1 3; do
    it "takes steps of one place: exercise $exercise"
    run vary "$tacking" --exercise $exercise --count 40 --order steps --seed 3 -o steps.yaml
    expect_status 0
    python3 apart.py steps.yaml 40 >&2 || fail 'steps'
done

it 'grades from easy to hard'
run vary "$tacking" --exercise 1 --count 30 --order graded -o graded.yaml
run check --table csv graded.yaml
python3 - .out >&2 <<'END' || fail 'not sorted'
import csv
import sys
rows = list(csv.DictReader(open(sys.argv[1])))
tempos = [float(row["intermediate"]) for row in rows]
assert len(tempos) == 30 and tempos == sorted(tempos, reverse=True) and tempos[0] > tempos[-1], tempos
END

# The strokes of one hand are all that limits the tempo, so that most of these grooves are equals.
cat >groove.yaml <<'END'
tempo: 80
exercises:
  - subdivision: eighths
    sticking: R
    play: {R: hi-hat}
    at: {2: snare, 2&: hi-hat, 3&: hi-hat, 4: snare, 4&: hi-hat}
    vary:
      R: [hi-hat, ride]
      keep: {1: bass-drum}
      accents: {from: 1 3, count: 0-1}
      kick: {from: 1 2& 3, count: 1-3}
END
it 'grades what can be played equally fast by how much there is to play, then by place'
run vary groove.yaml --count 100 --order graded -o graded.yaml
expect_status 0
run check --table csv graded.yaml
python3 - graded.yaml .out >&2 <<'END' || fail "$(cat graded.yaml)"
import csv
import sys
import yaml

tempos = [float(row["tempo"]) for row in csv.DictReader(open(sys.argv[2]))]
assert 1 < len(set(tempos)) < 5, tempos

def places(text):
    return tuple(text.split()) if text else ()

def voices(play):
    listed = play["R"] if isinstance(play["R"], list) else [play["R"]]
    return [voice == "ride" for voice in (listed * 8)[:8]]

def absent(counts, names):
    return [name not in counts for name in names]

found = []
for e in yaml.load(open(sys.argv[1]), yaml.BaseLoader)["exercises"]:
    found.append((voices(e["play"]), places(e.get("accents")), places(e.get("kick"))))
keys = [(-tempo, sum(rides) + len(accents) + len(kicks), rides, absent(accents, "1 3".split()),
         absent(kicks, "1 2& 3".split())) for tempo, (rides, accents, kicks) in zip(tempos, found)]
# The slots 1, 1& and 3 have a choice of two voices; three sets of accents; four of kicks with 1.
assert len(set(map(str, keys))) == len(keys) == 8 * 3 * 4, len(keys)
assert keys == sorted(keys), keys
END

it 'grades a whole space alike with every seed'
run vary groove.yaml --count 100 --order graded --seed 2 -o other.yaml
tail -n +2 graded.yaml >one
tail -n +2 other.yaml >two
expect_same one two

it 'counts and draws beyond 64 bits'
cat >large.yaml <<'END'
tempo: 40
exercises:
  - subdivision: eighths
    sticking: RL
    bars: 8
    vary:
      R: [snare, high-tom, mid-tom]
      L: [snare, high-tom, floor-tom]
      accents: {count: 20}
      kick: {count: 16-32}
END
run vary large.yaml
expect_status 0
# 3^64 x C(64, 20) x the sum of C(64, k) for k from 16 to 32
expect_out_has "$(python3 -c 'import math
print(3 ** 64 * math.comb(64, 20) * sum(math.comb(64, k) for k in range(16, 33)))')"
run vary large.yaml --count 10 -o some.yaml
expect_status 0
run check --strict some.yaml
expect_status 0

it 'leaves out what the lesson has for all its exercises, and each variation for itself'
cat >general.yaml <<'END'
tempo: 70
kick: 1
hat-foot: 2 4
exercises:
  - time: 6/8
    rhythm: 8 8 8 | 4 8
    sticking: RLR RL
    bars: 2
    vary: {L: [snare, high-tom], kick: {from: eighths, count: 0-1}}
END
run vary general.yaml --count 60 -o own.yaml
expect_status 0
run check --strict own.yaml
expect_status 0
[ "$(grep -c 'hat-foot: 2 4' own.yaml)" = 1 ] || fail 'hat-foot'
[ "$(grep -c 'kick: 1$' own.yaml)" = 0 ] || fail 'kick'

it 'keeps what its texts say to a player of the other hand'
cat >handed.yaml <<'END'
title: "The {right|left} hand moves"
handed: right
exercises:
  - title: 'Paradiddles, {right|left} hand on the "hat"'
    tempo: 70
    subdivision: eighths
    sticking: RLRR LRLL
    play: {R: hi-hat, L: snare}
    vary: {kick: {from: quarters, count: 1}}
END
for player in right left; do
    sed "s/^handed: .*/handed: $player/" handed.yaml >source.yaml
    run vary source.yaml --count 2 -o copies.yaml
    expect_status 0
    python3 - copies.yaml >&2 <<'END' || fail "$(cat copies.yaml)"
import sys
import yaml
lesson = yaml.safe_load(open(sys.argv[1]))
assert lesson["title"] == "The {right|left} hand moves", lesson
assert lesson["subtitle"] == 'Paradiddles, {right|left} hand on the "hat"', lesson
END
    run engrave copies.yaml --as text -o - --handed left
    expect_out_has 'Paradiddles, left hand on the'
done

it 'says which limits leave nothing'
run vary "$top/examples/wrong/no-variation.yaml"
expect_status 1
expect_err_has 'no variation has 3 kicks'

it 'says that nothing can be played'
cat >fast.yaml <<'END'
tempo: 300
exercises:
  - subdivision: sixteenths
    sticking: R
    vary: {R: [snare, ride]}
END
run vary fast.yaml --count 3 -o none.yaml
expect_status 1
expect_err_has 'variations can be played'
expect_none none.yaml

it 'is used with --count and -o together, for one exercise that can vary'
run vary "$tacking" --count 3
expect_status 2
expect_err_has '--count needs -o'
run vary "$tacking" -o x.yaml
expect_status 2
expect_err_has '-o needs --count'
run vary "$tacking" --count 3 -o x.yaml
expect_status 2
expect_err_has '4 exercises have a '
good_lesson good.yaml
run vary good.yaml
expect_status 2
expect_err_has 'no exercise has a '
expect_none x.yaml

it 'spares the lesson that it reads'
cp "$tacking" own.yaml
run vary own.yaml --exercise 1 --count 3 -o own.yaml
expect_status 2
expect_same own.yaml "$tacking"
finish
