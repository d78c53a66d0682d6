# Audio, told by readers that are not ours (tests/sound/sound.py): aubio finds the onsets, ffmpeg
# measures and decodes, mido says where onsets belong.
. tests/cli/lib.sh
python=$(for p in /usr/bin/python3 python3; do $p -c 'import mido' 2>/dev/null && echo $p && break; done)
check() { "$python" "$top/tests/sound/sound.py" "$@" >&2 || fail "$1"; }
cd "$work" || exit 1

# Long files come from the plain build: the sanitized one takes its time.
plain() { "$build/ratamark" "$@" >.out 2>.err || fail "$*: $(tail -n 3 .err)"; }

cat >pad.yaml <<'LESSON'
title: Even Water
author: Wharf Lane Drum School
copyright: for private study
tempo: 97
exercises:
  - {title: Quarters, subdivision: quarters, sticking: RLRL}
  - title: The hat closes
    tempo: 60
    time: 2/4
    bars: [{rhythm: 4 4, voices: open-hi-hat hi-hat}]
  - {title: Steps, tempo: 60-90, subdivision: quarters, sticking: RLRL}
  - title: Long tails
    tempo: 151
    time: 7/8
    bars: [{rhythm: 4 4 4 8, voices: snare ride snare crash}]
LESSON

it 'a click for ten minutes: each onset within 5 ms of its beat, and no drift'
plain sound pad.yaml --exercise 1 --times 243 --click-only -o ten.wav
plain sound pad.yaml --exercise 1 --times 243 --click-only -o ten.mid
check onsets ten.wav ten.mid 600
check frames ten.wav ten.mid

it 'drums for ten minutes'
plain sound pad.yaml --exercise 1 --times 243 --no-click -o drums.wav
plain sound pad.yaml --exercise 1 --times 243 --no-click -o drums.mid
check onsets drums.wav drums.mid 600

it 'a click that speeds up'
plain sound pad.yaml --exercise 3 --ladder --click-only -o climb.wav
plain sound pad.yaml --exercise 3 --ladder --click-only -o climb.mid
check onsets climb.wav climb.mid 20
check frames climb.wav climb.mid

it 'a loop is as long as its bars, to the sample, and has no seam'
run sound pad.yaml --exercise 1 --loop -o loop.wav
expect_status 0
check length loop.wav 97 4
run sound pad.yaml --exercise 4 --loop -o loop.wav
check length loop.wav 151 7
run sound pad.yaml --exercise 4 --loop --at 83 -o loop.wav
check length loop.wav 83 7
run sound pad.yaml --exercise 4 --loop --times 3 --at 90 -o three.wav
check length three.wav 90 21
check rounds three.wav 3

it 'another meter agrees on the loudness of every example'
for lesson in "$top"/examples/[0-9]*.yaml; do
    plain sound -q "$lesson" -o example.flac
    check loudness example.flac -23
done

it 'the loudness is the one asked for'
for lufs in -40 -30 -18; do
    run sound pad.yaml --loudness $lufs -o loud.wav
    expect_status 0
    check loudness loud.wav $lufs
done

it 'WAV, FLAC and Ogg, with tags; the same lesson gives the same bytes'
for kind in wav flac ogg; do
    run sound pad.yaml -o one.$kind
    expect_status 0
    run sound pad.yaml -o two.$kind
    expect_same one.$kind two.$kind
    check tag one.$kind title 'Even Water'
    check tag one.$kind artist 'Wharf Lane Drum School'
    check tag one.$kind comment 'Tempo: 60 to 97 quarter notes a minute'
done
check same one.wav one.flac
check loudness one.ogg -23
expect_begins one.wav RIFF
expect_begins one.flac fLaC
expect_begins one.ogg OggS

it 'count-in, drums and click can be had separately'
run sound pad.yaml --exercise 1 --at 60 --no-click -o none.wav
check sounds none.wav 0 0.05
check quiet none.wav 0.5 1
check sounds none.wav 4 4.1
run sound pad.yaml --exercise 1 --at 60 --count-in 0 --times 4 --click-only --quiet-after 1 -o gaps.wav
check sounds gaps.wav 3 3.05
check quiet gaps.wav 4 8
check sounds gaps.wav 8 8.05
check quiet gaps.wav 12 16

it 'the click is as loud as the loudest drum, or as asked'
for level in 0 -12 6; do
    run sound pad.yaml --exercise 1 --at 60 --no-click --click-level $level --loudness -30 -o balance.wav
    check louder balance.wav 0 4 $level
done

it 'an open hat rings until it is closed'
run sound pad.yaml --exercise 2 --no-click --count-in 0 -o hat.wav
check sounds hat.wav 0.05 0.1
check quiet hat.wav 1.3 1.9

it 'each step can have a file of its own'
run sound pad.yaml --exercise 3 --ladder --each-step --step 15 --loop -o step.wav
expect_status 0
for bpm in 60 75 90; do check length step-3-$bpm.wav $bpm 4; done

it 'a course makes the sounds its course file asks for, and remakes those that changed'
mkdir course
good_lesson course/one.yaml
good_lesson course/two.yaml
printf 'title: C\nproduce: [pdf, mid, ogg]\n' >course/course.yaml
run course course -o made
expect_status 0
expect_err_has '2 built'
run sound -q course/one.yaml -o one.mid
expect_same one.mid made/one.mid
run sound -q course/one.yaml -o one.ogg
expect_same one.ogg made/one.ogg
sed -i.old 's/RL$/RLR/' course/two.yaml
rm course/*.old
run course course -o made
expect_err_has '1 built, 1 up to date'
run sound -q course/two.yaml -o two.mid
expect_same two.mid made/two.mid

it 'a course reports what it cannot play as sound does, and goes on'
printf 'tempo: 1\nexercises: [{subdivision: eighths, sticking: RL, bars: 40}]\n' >course/long.yaml
run course course -o made
expect_status 1
expect_err_has "'course/long.yaml': cannot make 'made/long.ogg': it would last longer than two hours"
expect_err_has '0 built, 2 up to date, 1 failed'
expect_none made/long.pdf
rm course/long.yaml

it 'a key that the font lacks is replaced, with a note'
cat >clicks.yaml <<'LESSON'
title: T
kit: {voices: {deep: {like: floor-tom, midi: 87}}}
exercises:
  - {bars: [{rhythm: 4 4 4 4, voices: deep*4}]}
LESSON
run sound clicks.yaml --no-click --count-in 0 -o deep.wav
expect_status 0
check sounds deep.wav 0 0.2

it 'a missing sound font, or a file that is none, is reported'
for font in pad.yaml nowhere.sf2; do
    run sound pad.yaml --sound-font $font -o never.wav
    expect_status 3
    expect_err_has "'$font' is no sound font"
    expect_none never.wav
done

it 'audio of more than two hours is refused, and MIDI of more than 16,384 bars'
run sound pad.yaml --exercise 1 --times 3000 -o never.wav
expect_status 1
expect_err_has 'longer than two hours'
run sound pad.yaml --times 2000 --exercise 1,2,3,4 -o long.mid
expect_status 0
sed 's/^  - {title: Quarters/  - {repeat: 999, title: Quarters/' pad.yaml >longer.yaml
run sound longer.yaml --exercise 1 --times 99 -o never.mid
expect_status 1
expect_err_has 'longer than 16,384 bars'
expect_none never.mid

it 'a full disk leaves the older file'
if [ -c /dev/full ]; then
    run sound pad.yaml -o /dev/full
    expect_status 2 # no ending
    ln -s /dev/full full.wav
    run sound pad.yaml -o full.wav
    expect_status 3
else
    fail 'this system has no /dev/full to test with'
fi
expect_no_parts .

# The scratch file fails at each size but the last, mostly when the encoder writes its end.
it 'a file whose end cannot be written is not kept'
printf 'exercises:\n  - {subdivision: quarters, sticking: RLRL, repeat: 4}\n' >tail.yaml
for kind in ogg flac wav; do
    rm -f tail.$kind
    run sound tail.yaml -o tail.$kind
    mv tail.$kind whole.$kind
    blocks=$((($(wc -c <whole.$kind) + 511) / 512))
    for limit in 2 $((blocks / 2)) $((blocks - 9)) $((blocks - 2)) $((blocks - 1)); do
        (
            ulimit -f $limit
            exec "$build/ratamark" sound tail.yaml -o tail.$kind
        ) >.out 2>.err
        status=$?
        expect_status 3
        expect_none tail.$kind
    done
    (
        ulimit -f $((blocks + 9))
        exec "$build/ratamark" sound tail.yaml -o tail.$kind
    ) >.out 2>.err
    expect_same tail.$kind whole.$kind
done

it 'no other command loads the audio libraries'
ldd "$build/ratamark" >linked || fail 'ldd'
! grep -E 'fluidsynth|sndfile|ebur128' linked >&2 || fail 'linked'

it 'without the module MIDI is made, and audio says what is missing'
cp "$RATAMARK" alone
./alone sound pad.yaml -o alone.mid || fail 'MIDI'
expect_begins alone.mid MThd
./alone sound pad.yaml -o alone.wav 2>.err
status=$?
expect_status 3
expect_err_has 'audio needs FluidSynth, libsndfile and libebur128'
expect_err_has 'apt-get install libfluidsynth-dev libsndfile1-dev libebur128-dev timgm6mb-soundfont'
expect_none alone.wav

it 'without the module a course still makes everything but audio'
mkdir mixed mixed/heard
for part in a b heard/c heard/d; do good_lesson mixed/$part.yaml; done
printf 'produce: [pdf, mid]\n' >mixed/course.yaml
printf 'produce: [mid, pdf, ogg]\n' >mixed/heard/course.yaml
run course mixed -o mixed-out --only 'heard/d*'
expect_status 0
cp mixed-out/heard/d.ogg mixed-out/heard/d.pdf .
without_audio() { # ERROR PROGRAM...
    error=$1
    shift
    "$@" course mixed -o mixed-out --dry-run >.out 2>.err
    status=$?
    expect_status 3
    expect_out_has "would make 'a.yaml'"
    ! grep heard .out >&2 || fail 'it would make what it cannot'
    "$@" course mixed -o mixed-out >.out 2>.err
    status=$?
    expect_status 3
    [ "$(grep -c "error: audio needs $error" .err)" = 1 ] || fail "$(cat .err)"
    expect_err_has 'apt-get install'
    expect_err_has "MIDI files ('mid' in 'produce') work without any of this"
    expect_err_has '2 lessons ask for audio and cannot be made; their older files stay'
    expect_err_has '4 lessons: 2 built, 0 up to date, 2 failed'
    ! grep -e '--sound-font' .err >&2 || fail 'course has no such option'
    for file in a.pdf a.mid b.pdf b.mid; do expect_file mixed-out/$file; done
    for file in c.pdf c.mid c.ogg; do expect_none mixed-out/heard/$file; done
    expect_same d.ogg mixed-out/heard/d.ogg
    expect_same d.pdf mixed-out/heard/d.pdf
    "$@" course mixed -o mixed-out --only '[ab].yaml' 2>.err || fail "sheets alone: $(cat .err)"
    rm -r mixed-out/*.pdf mixed-out/*.mid
}
without_audio 'FluidSynth, libsndfile and libebur128: ' ./alone
if unshare -rm mount -t tmpfs none /usr/share/sounds 2>/dev/null &&
    [ ! -d /usr/share/soundfonts ] && [ ! -d /usr/local/share/sounds ]; then
    it 'nor where no sound font is installed'
    without_audio 'a General MIDI sound font, and none is installed$' unshare -rm sh -c \
        'mount -t tmpfs none /usr/share/sounds && exec "$@"' sh "$RATAMARK"
else
    leave_out 'a machine without a sound font' 'nothing can be mounted, or there are other places'
fi

it 'and audio as soon as it can'
run course mixed -o mixed-out
expect_status 0
expect_file mixed-out/heard/c.ogg

it 'make SOUND=0 builds no module'
env -u MAKEFLAGS -u MAKELEVEL -u MFLAGS make -C "$top" -n -B BUILD="$work/silent" SOUND=0 all >commands 2>/dev/null
grep -q 'ratamark' commands || fail 'nothing'
! grep -E 'ratamark-sound|audio/' commands >&2 || fail 'module'

finish
