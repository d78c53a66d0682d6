# MIDI files, read back by two readers that are not ours: python3-mido of Debian and midi-file of
# npm. Every example and 1,000 lessons made by chance: each onset, key and velocity is the one that
# tests/midi/compare.py works out for itself.
. tests/cli/lib.sh
python=$(for p in /usr/bin/python3 python3; do $p -c 'import mido' 2>/dev/null && echo $p && break; done)

it 'two readers find what the scores of all examples and of 1,000 random lessons ask for'
mkdir "$work/midi"
lessons=$(find examples -maxdepth 1 -name '*.yaml' ! -name course.yaml | sort)
# shellcheck disable=SC2086 # one word a lesson
"$build/san/midi/tell" "$work/midi" 1000 examples/course.yaml $lessons >"$work/told" || fail 'tell'
count=$(wc -l <"$work/told")
[ "$count" -ge 1019 ] || fail "$count lessons"
node tests/midi/read.mjs "$build/npm" "$work/midi" "$count" >"$work/read" || fail 'midi-file cannot read'
$python tests/midi/compare.py "$work/midi" "$work/told" "$work/read" >"$work/compared" ||
    fail "$(tail -n 5 "$work/compared")"
cat "$work/compared"

it 'a line for each hand sounds where the fractions of the bar say'
cat >"$work/hands.yaml" <<'END'
tempo: 60
exercises:
  - title: Four against three, and a kick
    right: {rhythm: 4 4 4 4, play: ride}
    left: {rhythm: 3(2 2 2), sticking: L (L) L>, play: snare}
    kick: 1
END
for handed in right left; do
    run sound -q "$work/hands.yaml" --no-click --handed $handed -o "$work/hands.mid"
    expect_status 0
    $python - "$work/hands.mid" <<'END' || fail "$handed"
import sys
from fractions import Fraction
import mido
midi = mido.MidiFile(sys.argv[1])
bar = 4 * midi.ticks_per_beat
heard, loud = {}, {}
for track in midi.tracks:
    now = 0
    for message in track:
        now += message.time
        if message.type == "note_on" and message.velocity:
            heard.setdefault(message.note, []).append(Fraction(now, bar))
            loud.setdefault(message.note, []).append(message.velocity)
first = heard[36][0]
ride, snare = ([onset - first for onset in heard[key]] for key in (51, 38))
# General MIDI level 1: 51 ride cymbal 1, 38 acoustic snare, 36 bass drum 1
assert ride == [Fraction(i, 4) for i in range(4)], ride
assert snare == [Fraction(i, 3) for i in range(3)], snare
assert loud[38][1] < loud[38][0] < loud[38][2], loud
END
done

it 'the command writes the same files'
number=0
for lesson in $lessons; do
    run sound -q "$lesson" -o "$work/own.mid"
    expect_status 0
    expect_same "$work/own.mid" "$work/midi/$number.mid"
    number=$((number + 1))
done

it 'without -o the file goes beside the lesson; the same lesson gives the same bytes'
good_lesson "$work/good.yaml"
cd "$work" || exit 1
run sound good.yaml
expect_status 0
expect_text "$work/.err" "ratamark: wrote 'good.mid'"
expect_begins good.mid MThd
cp good.mid first.mid
run sound good.yaml
expect_same good.mid first.mid

it 'reads standard input and writes standard output'
run sound - <good.yaml
expect_status 0
expect_same .out first.mid
run sound good.yaml -o -
expect_same .out first.mid

it 'writes into a folder, and a file for each step'
mkdir out
run sound good.yaml -o out
expect_same out/good.mid first.mid
sed 's/^exercises/tempo: 60-80\nexercises/' good.yaml >ladder.yaml
run sound ladder.yaml --ladder --each-step --step 10 -o out/climb.mid
expect_status 0
for bpm in 60 70 80; do expect_begins "out/climb-1-$bpm.mid" MThd; done
run sound ladder.yaml --at 70 -o out/seventy.mid
expect_same out/seventy.mid out/climb-1-70.mid

it 'a lesson with errors leaves the older file'
wrong_lesson wrong.yaml
run sound wrong.yaml -o good.mid
expect_status 1
expect_err_has unknown-voice
expect_same good.mid first.mid
expect_no_parts .

it 'where no division is exact, a note says how far off onsets are'
cat >odd.yaml <<'LESSON'
title: T
exercises:
  - bars:
      - {rhythm: 11:8(32*11) 13:8(32*13) 7:4(16*7) 3(8 3(16*3) 8)}
      - {rhythm: 17:16(64*17) 32*8 4 4}
LESSON
run sound odd.yaml -o odd.mid
expect_status 0
expect_err_has 'note: MIDI time is too coarse for this rhythm: with 30240 ticks a quarter'
expect_err_has 'microseconds'
run sound -q odd.yaml -o odd.mid
expect_no_err

it 'options that exclude each other are refused'
for options in '--at 60 --ladder' '--loop --ladder' '--loop --count-in 1' '--step 5' '--each-step' \
    '--click-only --no-click' '-o x.mp9' '--ladder --each-step -o -' '--exercise 9'; do
    # shellcheck disable=SC2086 # options are words
    run sound good.yaml $options
    expect_status 2
    expect_no_out
done
run sound good.yaml -o good.yaml
expect_status 2

it 'the lesson itself is never overwritten'
ln good.yaml also.mid
run sound good.yaml -o also.mid
expect_status 2
expect_err_has 'the lesson itself'

finish
