# `check` on what hands and feet can do: tempo, level, verdicts, JSON.
. tests/cli/lib.sh
cd "$work" || exit 1

# Case 1 of the reference: RRLL in sixteenth triplets; 105.82 and 166.67, and at 110 the left hand.
cat >doubles.yaml <<'END'
title: Doubles
level: intermediate
tempo: 60-100
exercises:
  - title: Six a beat
    subdivision: sixteenth triplets
    sticking: RRLL
    repeat: 20
END

it 'at the lesson'"'"'s own tempo there is no warning, and the verdict is shown'
run check doubles.yaml --verbose
expect_status 0
expect_err_has 'doubles.yaml:5:12: note: exercise 1 is playable up to 105.8 bpm (intermediate); the limit is the left hand'"'"'s rebound on the snare'
expect_err_has '0 errors, 0 warnings'

it 'at another tempo the strokes that are too fast are reported'
run check doubles.yaml --at 110
expect_status 0
expect_err_has 'doubles.yaml:7:18: warning: the left hand'"'"'s rebound on the snare (bar 1 at 1&): at 110 bpm there are 90.9 ms; this move needs 94.5 (intermediate) [too-fast]'
expect_err_has 'help: expected at most 105.8 bpm'
expect_err_has '0 errors, 1 warning'

it 'a lesson is judged for another level if asked'
run check doubles.yaml --at 110 --level advanced
expect_status 0
expect_out_has '166.6 bpm (advanced)'
expect_err_has '0 errors, 0 warnings'
run check doubles.yaml --level virtuoso
expect_status 2
expect_err_has "there is no level 'virtuoso'"

it 'the figures are the course'"'"'s where it has its own'
mkdir course
cp doubles.yaml course
printf 'levels:\n  recital: {like: advanced, bounce: 50}\n  intermediate: {bounce: 100, weak-hand: 100}\n' >course/course.yaml
run check course/doubles.yaml
expect_out_has '100 bpm (intermediate)'
run check course/doubles.yaml --level recital
expect_out_has '200 bpm (recital)'

it 'no course can make hands faster than any ever measured'
printf 'levels: {robot: {hand-burst: 60}}\n' >course/course.yaml
run check course/course.yaml
expect_status 1
expect_err_has '[bad-value]'

it 'JSON carries the verdicts'
run check doubles.yaml --format json
expect_status 0
python3 - "$work/.out" <<'END' || fail 'shape'
import json, sys
(verdict,) = json.load(open(sys.argv[1]))["exercises"]
assert verdict["max_tempo"] == 105.8 and verdict["verdict"] == "tempo", verdict
assert verdict["level"] == "intermediate" and verdict["hands"] == "written"
limit = verdict["limit"]
assert (limit["limb"], limit["kind"]) == ("left hand", "bounce"), limit
assert (limit["from"], limit["to"], limit["bar"], limit["count"]) == ("snare", "snare", 1, "1&"), limit
assert limit["takes_ms"] == 94.5 and abs(limit["beats"] - 1 / 6) < 1e-9 and limit["strokes"] == 2
assert set(limit) == {"limb", "kind", "from", "to", "bar", "count", "strokes", "beats", "takes_ms",
                      "file", "line", "column", "length"}
END

# Worked out by hand: doubles 166.66, 105.82, 60.60 by the left hand, then the right hand's 111.11. From
# the floor tom to the left crash it is 106.5 cm, the crash is 41 wide: 2.377 bits, 237.9 ms times .69 in
# half a quarter, 182.75. With the crash in the left hand, the right one has two quarters for 150 ms: 800.
it 'a table for a course: a line for each exercise, as text, CSV and JSON'
mkdir tables
cp doubles.yaml tables/a.yaml
cat >tables/b.yaml <<'END'
title: "Far, and \"near\""
level: intermediate
exercises:
  - {title: "To the crash, and back", rhythm: 16*4 16*4 4 4, sticking: "RRLL RRLL R R", voices: ride*10, at: {3: crash}}
  - {title: One, time: 6/8, rhythm: 2., sticking: R}
END
run check tables --table csv
expect_status 0
cp "$work/.out" table.csv
run check tables --table json
cp "$work/.out" table.json
run check tables --table text
expect_out_has 'Six a beat'
expect_out_has "the left hand's rebound on the snare (bar 1 at 1&): 105.8"
python3 - <<'END' || fail 'tables'
import csv, json
with open("table.csv", newline="") as file:
    assert b"\r\n" in open("table.csv", "rb").read()
    rows = list(csv.DictReader(file))
objects = json.load(open("table.json"))["exercises"]
assert len(rows) == len(objects) == 3, rows
for row, object in zip(rows, objects):
    assert list(row) == list(object)
    for key in row:
        assert row[key] == ("" if object[key] is None else str(object[key])), (key, row, object)
doubles = objects[0]
assert (doubles["beginner"], doubles["intermediate"], doubles["advanced"]) == (60.6, 105.8, 166.6)
assert doubles["tempo"] == doubles["limit_tempo"] == 105.8 and doubles["second_tempo"] == 111.1
assert doubles["limit"].startswith("the left hand's rebound") and doubles["easing"] is None
assert objects[1]["title"] == "To the crash, and back"
assert objects[2]["tempo"] == "any" and objects[2]["limit"] is None
END
cat >crash.yaml <<'END'
level: intermediate
exercises: [{rhythm: 8 8 _4 4 _4, sticking: R R R, voices: floor-tom crash snare}]
END
run check crash.yaml --table csv
expect_out_has 'the right hand from the floor tom to the crash (bar 1 at 1&),182.7,'
expect_out_has ',with the crash on the left hand,800.0'
cat >eased.yaml <<'END'
level: beginner
exercises:
  - {sticking: R R B R R R B R, subdivision: eighths, play: {R: hi-hat, L: snare}}
  - {subdivision: eighths, sticking: RL, voices: snare mid-tom floor-tom mid-tom snare floor-tom mid-tom snare}
  - {subdivision: eighth triplets, sticking: flam tap}
END
run check eased.yaml --table csv
expect_out_has ',with the hi-hat hand to hand,'
expect_out_has ",with the left hand's floor tom on the snare,"
! grep -q 'snare hand to hand' "$work/.out" || fail 'other hands for a rudiment'
run check doubles.yaml --table csv --format json
expect_status 2
run check doubles.yaml --table csv --plan
expect_status 2
run check doubles.yaml --table rows
expect_status 2

it 'a tempo that makes no sense is refused'
for tempo in 0 1000 fast 96.5; do
    run check doubles.yaml --at $tempo
    expect_status 2
done

# From six tenths of 105.8 to 105.8: 63 .. 105; at 158.7 quarters, in dotted quarters 105.8, too.
it 'a ladder up to the playable tempo is printed below each exercise, with what limits it'
cat >ladder.yaml <<'END'
title: Ladders
level: intermediate
show: {ladder: limit}
exercises:
  - {title: Doubles, subdivision: sixteenth triplets, sticking: RRLL, repeat: 4}
  - {title: Compound, time: 6/8, subdivision: sixteenths, sticking: RLRLRL, repeat: 4}
END
run engrave ladder.yaml --dump layout
expect_status 0
[ "$(grep -o 'ladder-step.*' "$work/.out" | grep -o '"[0-9]*"' | tr -d '"' | tr '\n' ' ')" = \
    '63 69 75 81 87 93 99 105 63 69 75 81 87 93 99 105 ' ] || fail "$(grep ladder-step "$work/.out")"
expect_out_has 'Playable up to 105.8 bpm (intermediate); the limit is the left'
expect_out_has 'Stop at pain'

it 'the kit is drawn as the lesson uses it, and mirrored'
cat >kit.yaml <<'END'
kit: {voices: {barrel: {like: floor-tom, at: [70, -20, 5], size: 20, label: oil drum}}}
exercises:
  - {subdivision: quarters, sticking: RL, voices: snare hi-hat cross-stick barrel, kick: 1}
END
run check kit.yaml --plan -q
expect_status 0
expect_out_has '  1      0     0     0 cm    14.0 in   28 cm   snare, cross-stick'
expect_out_has '  2    -35    20    20 cm    14.0 in   28 cm   hi-hat'
expect_out_has '  4     70   -20     5 cm    20.0 in   41 cm   oil drum'
expect_out_has '(pedal)'
sed -i 's/kit: {/kit: {handed: left, /' kit.yaml
run check kit.yaml --plan -q
expect_out_has '  2     35    20    20 cm    14.0 in   28 cm   hi-hat'
run check kit.yaml --plan --format json
expect_status 2

it 'tempos count the beats of the exercise'
printf 'tempo: 200\nlevel: beginner\nexercises: [{time: 6/8, subdivision: sixteenths, sticking: R}]\n' >compound.yaml
run check compound.yaml
expect_err_has 'at 200 bpm in dotted quarters there are 400.0 ms; they need 2000.0 (beginner)'

it 'hands that are not written are suggested'
printf 'exercises:\n  - rhythm: 16*16\n' >open.yaml
run check open.yaml --verbose
expect_err_has 'with the best hands'
expect_out_has '(the best)'

it 'a practice form without written hands has the same limit in all reports'
cat >fill.yaml <<'END'
exercises:
  - {id: q, rhythm: 8 16 16 8 8 8 8 4, voices: snare*4 floor-tom*4}
  - sequence: q*2
END
run check fill.yaml --format json
[ "$(grep -c '"hands": "proposed"' "$work/.out")" = 2 ] || fail "$(cat "$work/.out")"
limit=$(sed -n 's/.*"max_tempo": \([0-9.]*\),*/\1/p' "$work/.out" | uniq)
run check fill.yaml --table csv
[ "$(sed 1d "$work/.out" | cut -d, -f5 | uniq)" = "$limit" ] || fail "$limit: $(cat "$work/.out")"

it 'strict makes a warning fail and allow lets it pass, in options and in the course file'
run check doubles.yaml --at 110 --strict
expect_status 1
expect_err_has 'doubles.yaml:7:18: error: '
expect_err_has '[too-fast]'
expect_err_has '1 error, 0 warnings'
run check doubles.yaml --at 110 --strict --allow too-far,too-fast
expect_status 0
expect_err_lacks '[too-fast]'
run check doubles.yaml --at 110 --allow too-fast --verbose
expect_status 0
expect_err_has 'doubles.yaml:7:18: note: the left hand'
run check doubles.yaml --at 110 --allow too-far --strict
expect_status 1
run check doubles.yaml --strict
expect_status 0
printf 'strict: yes\n' >course/course.yaml
run check course/doubles.yaml --at 110
expect_status 1
run check course/doubles.yaml --at 110 --allow too-fast
expect_status 0
mkdir course/week
cp doubles.yaml course/week
printf 'allow: too-fast\n' >course/week/course.yaml
run check course/week/doubles.yaml --at 110
expect_status 0
printf 'strict: no\nallow: [too-far]\n' >course/week/course.yaml
run check course/week/doubles.yaml --at 110
expect_status 0
expect_err_has 'warning: the left hand'
run check course/week/doubles.yaml --at 110 --format sarif --strict
expect_status 1
grep -q '"level": "error"' "$work/.out" || fail 'SARIF'

it 'only warnings can be allowed'
run check doubles.yaml --allow bar-length
expect_status 2
expect_err_has '--allow takes codes of warnings, separated by commas: one-surface, chord-mark, grace-hand, no-effect, bar-list, lead-music, named-hand, sticking-open, too-fast, '
printf 'allow: [bar-length]\n' >course/week/course.yaml
run check course/week/course.yaml
expect_status 1
expect_err_has "course.yaml:1:9: error: 'allow' cannot be 'bar-length' [bad-value]"
finish
