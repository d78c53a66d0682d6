# `engrave --watch` and `course --watch`: what is made follows every save, however it is made. Nothing here is timed: each
# step waits for what must come, and gives up only after a minute.
. tests/cli/lib.sh

sheet=$work/drill.pdf
cd "$work" || exit 1

lesson() { # TITLE
    printf 'title: %s\nexercises:\n  - {subdivision: eighths, sticking: RL}\n' "$1"
}

# What a run without --watch makes of the lesson as it stands.
expected() {
    mkdir -p "$work/once"
    run engrave --quiet drill.yaml -o "$work/once/sheet.pdf"
    expect_status 0
}

wait_for() { # WHAT COMMAND...: the command comes true
    what=$1
    shift
    tries=0
    until "$@" 2>/dev/null; do
        tries=$((tries + 1))
        if [ $tries -gt 1200 ]; then
            fail "$what did not come: $(tail -n 5 "$work/watch.err")"
            return 1
        fi
        sleep 0.05
    done
}

sheet_follows() {
    expected
    wait_for 'the new sheet' cmp -s "$sheet" "$work/once/sheet.pdf"
}

# Lines "watching" in what was said: one a round.
rounds() { grep -c 'watching' "$work/watch.err"; }
more_rounds_than() { [ "$(rounds)" -gt "$1" ]; }
said() { grep -qF "$1" "$work/watch.err"; }

start() { # COMMAND ARGUMENT...
    rm -f "$work/watch.err" # what an earlier one said is no sign of this one
    "$RATAMARK" "$@" --watch >"$work/watch.out" 2>"$work/watch.err" &
    watcher=$!
    trap 'kill $watcher 2>/dev/null; cleanup' EXIT
}

stop() {
    kill "$watcher"
    wait "$watcher" 2>/dev/null
    status=$?
}

it 'engraves at once'
lesson 'First tide' >drill.yaml
start engrave drill.yaml
sheet_follows

it 'engraves again when the file is written where it stands'
lesson 'Second tide' >drill.yaml
sheet_follows

it 'engraves again when another file is renamed over it'
for title in 'Third tide' 'Fourth tide' 'Fifth tide'; do
    lesson "$title" >.drill.yaml.new
    mv .drill.yaml.new drill.yaml
    sheet_follows
done

it 'follows an editor that moves the file away first'
mv drill.yaml drill.yaml~
lesson 'Sixth tide' >drill.yaml
sheet_follows

it 'shows an error with its place, and leaves the sheet'
cp "$sheet" before.pdf
printf 'title: Torn\nexercises:\n  - {voices: snair}\n' >drill.yaml
wait_for 'the error' said 'drill.yaml:3:14: error: '
wait_for 'the end of the round' said 'the sheet is unchanged'
expect_same "$sheet" before.pdf

it 'goes on after an error'
lesson 'Mended' >drill.yaml
sheet_follows

it 'says that the lesson is gone, and engraves it when it comes back'
rm drill.yaml
wait_for 'the complaint' said 'drill.yaml: error: cannot be read'
expect_file "$sheet"
lesson 'Back again' >drill.yaml
sheet_follows

it 'sees a course file that comes, changes and goes'
echo 'author: Lamp Street School' >course.yaml
sheet_follows
echo 'author: Rope Street School' >course.yaml
sheet_follows
rm course.yaml
sheet_follows

it 'sees a folder that is taken away and put back'
stop
mkdir shelf
lesson 'On the shelf' >shelf/drill.yaml
start engrave shelf/drill.yaml -o drill.pdf
cp shelf/drill.yaml drill.yaml
sheet_follows
mv shelf elsewhere
wait_for 'the complaint' said 'shelf/drill.yaml: error: cannot be read'
mkdir shelf
lesson 'Another shelf' >shelf/drill.yaml
cp shelf/drill.yaml drill.yaml
sheet_follows

it 'follows a link to where the file is saved'
stop
mkdir -p real
lesson 'At its real place' >real/drill.yaml
rm drill.yaml
ln -s real/drill.yaml drill.yaml
start engrave drill.yaml
sheet_follows
lesson 'Saved at its real place' >real/drill.yaml
sheet_follows

it 'does not start again for its own files, nor for those of others'
before=$(rounds)
for title in 'Once more' 'And once more'; do
    touch notes.txt unrelated.yaml drill.yaml.txt
    expected
    round=$(rounds)
    lesson "$title" >real/drill.yaml
    wait_for 'the round' more_rounds_than "$round"
    sheet_follows
done
[ "$(rounds)" = $((before + 2)) ] || fail "$(($(rounds) - before)) rounds for two saves"

it 'ends at once on a signal, and leaves no half files'
stop
[ "$status" = 143 ] || fail "ended with $status"
expect_no_parts "$work"

it 'ends by Ctrl-C'
# The shell makes background processes ignore it.
rm -f "$work/watch.err"
python3 -c 'import os, signal, sys
signal.signal(signal.SIGINT, signal.SIG_DFL)
os.execv(sys.argv[1], sys.argv[1:])' "$RATAMARK" engrave --watch drill.yaml \
    >"$work/watch.out" 2>"$work/watch.err" &
watcher=$!
wait_for 'the first round' said 'watching'
kill -INT "$watcher"
wait "$watcher" 2>/dev/null
status=$?
[ "$status" = 130 ] || fail "ended with $status"
expect_no_parts "$work"

it 'clears a terminal before each round'
# A pseudo-terminal; the round is over when its last line is there.
TERM=xterm python3 -c 'import os, pty, signal, sys
seen = b""
def read(fd):
    global seen
    data = os.read(fd, 4096)
    seen += data
    if b"watching" in seen:
        os.kill(child, signal.SIGTERM)
    return data
child, fd = pty.fork()
if child == 0:
    os.execv(sys.argv[1], sys.argv[1:])
try:
    while True:
        if not read(fd):
            break
except OSError:
    pass
sys.stdout.buffer.write(seen)' "$RATAMARK" engrave --watch drill.yaml >"$work/.out"
expect_out_has "$(printf '\033[2J\033[H')"
expect_out_has "wrote 'drill.pdf'"

# ---- a whole course -----------------------------------------------------------------------------

# What a run without --watch makes of the course as it stands, and whether the other has made it.
course_follows() {
    rm -rf "$work/once"
    run course --quiet lessons -o "$work/once"
    expect_status 0
    wait_for 'the course' same_course
}
same_course() { diff -r -x .ratamark "$work/once" "$work/out"; }

it 'makes a course at once'
mkdir -p lessons/week-2
lesson 'One' >lessons/one.yaml
lesson 'Two' >lessons/week-2/two.yaml
printf 'title: Harbour\nproduce: [pdf, booklet, index]\n' >lessons/course.yaml
start course lessons -o out
course_follows

it 'follows a lesson that is saved, new, in a new folder'
lesson 'One more' >lessons/one.yaml
course_follows
lesson 'Three' >lessons/.new
mv lessons/.new lessons/three.yaml
course_follows
mkdir lessons/week-3
lesson 'Four' >lessons/week-3/four.yaml
course_follows

it 'follows the course file'
printf 'title: Harbour\nauthor: Wharf Lane\nproduce: [pdf, booklet, index]\n' >lessons/course.yaml
course_follows
echo 'copyright: Quay' >course.yaml # above it
course_follows
rm course.yaml
course_follows

it 'shows the errors of a course, and leaves what was made'
cp out/one.pdf before.pdf
printf 'title: Torn\nexercises:\n  - {voices: snair}\n' >lessons/one.yaml
wait_for 'the error' said 'lessons/one.yaml:3:14: error: '
wait_for 'the sum' said '1 failed'
expect_same out/one.pdf before.pdf
lesson 'One again' >lessons/one.yaml
course_follows

it 'makes a course into the folder of its lessons, without starting again for that'
stop
[ "$status" = 143 ] || fail "ended with $status"
expect_no_parts out
start course lessons
wait_for 'the first round' more_rounds_than 0
before=$(rounds)
for title in 'Once' 'Twice'; do
    round=$(rounds)
    lesson "$title" >lessons/week-2/two.yaml
    wait_for 'the round' more_rounds_than "$round"
    rm -rf once
    run course --quiet lessons -o once
    wait_for 'the sheet' cmp -s once/week-2/two.pdf lessons/week-2/two.pdf
done
[ "$(rounds)" = $((before + 2)) ] || fail "$(($(rounds) - before)) rounds for two saves"
stop

it 'makes: it goes with nothing that does not'
run course lessons --watch --dry-run
expect_status 2

it 'goes from files to files'
run engrave --watch - -o sheet.pdf
expect_status 2
expect_err_has "not '-'"
run engrave --watch drill.yaml -o - --as svg
expect_status 2
run engrave --watch drill.yaml --dump layout
expect_status 2
expect_err_has '--watch and --dump do not go together'

finish
