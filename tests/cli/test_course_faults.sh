#!/bin/sh
# `course` when the machine, the files or the lessons cause trouble: nothing is lost, nothing is
# written outside, every problem is reported.
. tests/cli/lib.sh

lesson() { # FILE TITLE
    mkdir -p "$(dirname "$1")"
    printf 'title: %s\nexercises:\n  - {subdivision: eighths, sticking: RL}\n' "$2" >"$1"
}
course=$work/course out=$work/out
build() { run course "$course" -o "$out" "$@"; }

it 'skips what is no ordinary file, and links that lead nowhere'
lesson "$course/a.yaml" Anchor
lesson "$course/deep/b.yaml" Buoy
mkfifo "$course/pipe.yaml"
ln -s pipe.yaml "$course/to-pipe.yaml"
ln -s loop.yaml "$course/loop.yaml"
ln -s nowhere.yaml "$course/lost.yaml"
ln -s .. "$course/deep/round"
ln -s a.yaml "$course/linked.yaml"
mkdir "$course/folder.yaml"
timeout 60 "$RATAMARK" course "$course" -o "$out" >"$work/.out" 2>"$work/.err"
status=$?
expect_status 1
expect_err_has "$course/pipe.yaml: error: cannot be read: it is not a plain file [unreadable]"
expect_err_has "$course/to-pipe.yaml: error: cannot be read: it is not a plain file [unreadable]"
expect_err_has "$course/loop.yaml: error: cannot be read: Too many levels of symbolic links"
expect_err_has "$course/lost.yaml: error: cannot be read: No such file or directory"
expect_err_has "skipping '$course/deep/round': it is a link to a folder"
expect_err_has '7 lessons: 3 built, 0 up to date, 4 failed'
expect_file "$out/linked.pdf"

it 'check does not wait for a pipe in a folder, but says that it is no ordinary file'
timeout 60 "$RATAMARK" check "$course" >"$work/.out" 2>"$work/.err"
status=$?
expect_status 3
expect_err_has "$course/pipe.yaml: error: cannot be read: it is not a plain file [unreadable]"
expect_err_has "$course/to-pipe.yaml: error: cannot be read: it is not a plain file [unreadable]"

it 'a course file that is no ordinary file makes its lessons fail'
mkfifo "$course/deep/course.yaml"
timeout 60 "$RATAMARK" course "$course" -o "$out" >"$work/.out" 2>"$work/.err"
status=$?
expect_status 1
expect_err_has "$course/deep/course.yaml: error: cannot be read: it is not a plain file"
expect_err_has '5 failed'
rm -r "$course"

it 'a course file that is a broken link makes its lessons fail rather than go without it'
lesson "$course/a.yaml" Anchor
ln -s course.yaml "$course/course.yaml"
build
expect_status 1
expect_err_has "$course/course.yaml: error: cannot be read: Too many levels of symbolic links"
expect_err_has '1 failed'
run engrave "$course/a.yaml" -o "$work/looped.pdf"
expect_status 3
expect_none "$work/looped.pdf"
rm -r "$course" "$out"

it 'names can have spaces, quotes, line ends and letters of any script'
newline='two
lines'
for name in 'a b' "it's" 'double"quote' "$newline" '%41 percent' 'schlägel 太鼓' '-o' '*' '\back'; do
    lesson "$course/$name/$name.yaml" Name
    lesson "$course/$name.yaml" Name
done
printf 'title: raw\n' >"$course/$(printf 'raw\377byte').yaml"
build
expect_status 1
expect_err_has '18 built, 0 up to date, 1 failed'
for name in 'a b' "it's" 'double"quote' "$newline" '%41 percent' 'schlägel 太鼓' '-o' '*' '\back'; do
    expect_file "$out/$name.pdf"
    expect_file "$out/$name/$name.pdf"
done
[ "$(grep -c "$(printf '\377')" "$work/.err")" = 0 ] || fail 'a raw byte went to the terminal'
build
expect_err_has '0 built, 18 up to date, 1 failed'
rm "$course/$newline.yaml" "$course/$newline/$newline.yaml" "$course"/raw*
build --prune
expect_status 0
expect_none "$out/$newline.pdf"
expect_none "$out/$newline"
rm -r "$course" "$out"

it 'each listed name takes one line and cannot control the terminal'
lesson "$course/$(printf 'one\ntwo').yaml" Name
lesson "$course/$(printf 'clear\033[2J').yaml" Name
lesson "$course/$(printf 'back\342\200\256').yaml" Name
build --dry-run
[ "$(wc -l <"$work/.out")" = 3 ] || fail "$(cat "$work/.out")"
! grep -q "$(printf '\033\|\342\200\256')" "$work/.out" || fail "raw: $(cat -v "$work/.out")"
build
rm "$course"/one* "$course"/clear*
build --prune --dry-run
[ "$(grep -c 'would delete' "$work/.out")" = 2 ] || fail "$(cat "$work/.out")"
! grep -q "$(printf '\033\|\342\200\256')" "$work/.out" || fail "raw: $(cat -v "$work/.out")"
rm -r "$course" "$out"

it 'a warning names lessons whose names differ only in capitals'
lesson "$course/Deck/hook.yaml" Name
lesson "$course/deck/Hook.yaml" Name
lesson "$course/deck/hooks.yaml" Name
build
expect_status 0
expect_err_has "'Deck/hook.yaml' and 'deck/Hook.yaml' differ only in capitals"
[ "$(grep -c capitals "$work/.err")" = 1 ] || fail "$(cat "$work/.err")"
rm -r "$course" "$out"

it 'nothing is written through a link to a folder'
lesson "$course/inside.yaml" Inside
lesson "$course/week-2/fill.yaml" Fill
lesson "$course/week-3/sub/fill.yaml" Fill
mkdir -p "$work/elsewhere" "$out/week-3"
ln -s "$work/elsewhere" "$out/week-2"
ln -s "$work/elsewhere" "$out/week-3/sub"
build
expect_status 3
expect_err_has "cannot write '$out/week-2/fill.pdf': part of its path is a link or not a folder"
expect_err_has "cannot write '$out/week-3/sub/fill.pdf'"
expect_err_has '1 built, 0 up to date, 2 failed'
[ -z "$(ls -A "$work/elsewhere")" ] || fail "outside: $(ls "$work/elsewhere")"
expect_file "$out/inside.pdf"
rm "$out/week-2" "$out/week-3/sub"

it 'a link in place of an output is replaced, not written through'
echo mine >"$work/elsewhere/mine"
mkdir "$out/week-2"
ln -s "$work/elsewhere/mine" "$out/week-2/fill.pdf"
build
expect_status 0
expect_text "$work/elsewhere/mine" mine
[ -f "$out/week-2/fill.pdf" ] && [ ! -L "$out/week-2/fill.pdf" ] || fail 'still a link'

it 'nothing is removed through a link either'
mv "$out/week-2" "$work/moved"
ln -s "$work/moved" "$out/week-2"
rm "$course/week-2/fill.yaml"
build --prune
expect_file "$work/moved/fill.pdf"
rm -r "$out/week-2"

it 'nothing outside the folder is removed, whatever a record says'
lesson "$course/gone.yaml" Gone
build
mv "$out/gone.pdf" "$work/victim.pdf"
rm "$course/gone.yaml"
for way in ../victim.pdf "$work/victim.pdf" week-3/../../victim.pdf; do
    cp "$out/.ratamark/record" "$work/record"
    sed -i "s|gone\\.pdf\$|$way|" "$out/.ratamark/record"
    grep -qF "$way" "$out/.ratamark/record" || fail "the record has no $way"
    build --prune
    expect_status 0
    expect_file "$work/victim.pdf"
    cp "$work/record" "$out/.ratamark/record"
done
build --prune
expect_status 0

it 'nothing is written elsewhere through our own folder'
rm -r "$out/.ratamark"
ln -s "$work/elsewhere" "$out/.ratamark"
build
expect_status 3
[ "$(ls -A "$work/elsewhere")" = mine ] || fail "outside: $(ls "$work/elsewhere")"
rm "$out/.ratamark"

it 'a file in place of an output folder is reported'
for folder in in.txt in.txt/deep; do
    echo mine >"$work/in.txt"
    run course "$course" -o "$work/$folder"
    expect_status 3
    expect_err_has "cannot write to '$work/$folder': Not a directory"
done

it 'a folder in place of an output stays'
rm -r "$out"
mkdir -p "$out/inside.pdf"
build
expect_status 3
expect_err_has "cannot write '$out/inside.pdf': Is a directory"
expect_err_has '1 built, 0 up to date, 1 failed'
rm -r "$out"

# without_rights ARGUMENT...: the program as a user who may not pass over permissions.
cp "$RATAMARK" "$work/program"
cp "$top/tests/leaks" "$work/leaks"
chmod a+rx "$work"
without_rights() {
    if [ "$(id -u)" = 0 ]; then
        LSAN_OPTIONS=suppressions=$work/leaks:print_suppressions=0 setpriv --reuid=65534 --regid=65534 \
            --clear-groups "$work/program" "$@" >"$work/.out" 2>"$work/.err"
    else
        "$work/program" "$@" >"$work/.out" 2>"$work/.err"
    fi
    status=$?
    no_crash
}

it 'outputs and folders that are read-only stay as they are'
mkdir -m 777 "$out"
without_rights course "$course" -o "$out"
expect_status 0
lesson "$course/inside.yaml" 'Inside again'
cp "$out/inside.pdf" "$work/inside.pdf"
chmod a-w "$out/inside.pdf"
without_rights course "$course" -o "$out"
expect_status 3
expect_err_has "cannot write '$out/inside.pdf': Permission denied"
expect_same "$out/inside.pdf" "$work/inside.pdf"
chmod u+w "$out/inside.pdf"
lesson "$course/week-3/sub/fill.yaml" 'Fill again'
cp "$out/week-3/sub/fill.pdf" "$work/fill.pdf"
chmod a-w "$out/week-3/sub"
without_rights course "$course" -o "$out"
expect_status 3
expect_err_has '1 built, 0 up to date, 1 failed'
expect_same "$out/week-3/sub/fill.pdf" "$work/fill.pdf"
chmod u+w "$out/week-3/sub"
chmod -R a-w "$out"
without_rights course "$course" -o "$out"
expect_status 3
expect_err_has "cannot write to '$out'"
chmod -R u+w "$out"
chmod 000 "$course/inside.yaml"
without_rights course "$course" -o "$out"
expect_status 1
expect_err_has "$course/inside.yaml: error: cannot be read: Permission denied"
chmod 644 "$course/inside.yaml"
without_rights course "$course" -o "$out"
expect_status 0

it 'outputs of a folder that cannot be read now are not stale'
chmod 777 "$out"
without_rights course "$course" -o "$out" --booklet
expect_status 0
for rights in 000 444; do
    for folder in week-3 week-3/sub; do
        cp "$out/booklet.pdf" "$work/booklet.pdf"
        chmod $rights "$course/$folder"
        without_rights course "$course" -o "$out" --booklet --prune
        expect_status 3
        expect_err_has "cannot read the folder '$course/$folder': Permission denied"
        expect_err_has 'the booklet was not updated: a folder could not be read'
        expect_file "$out/week-3/sub/fill.pdf"
        expect_same "$out/booklet.pdf" "$work/booklet.pdf"
        chmod 755 "$course/$folder"
    done
done
without_rights course "$course" -o "$out" --booklet
expect_status 0
expect_err_has '0 built'
without_rights course "$course" -o "$out" --prune
expect_none "$out/booklet.pdf"

if [ "$(id -u)" = 0 ] && mkdir "$work/disk" && mount -t tmpfs -o size=256k none "$work/disk" 2>/dev/null; then
    it 'a full disk: what was there stays, and later it goes on'
    run course "$course" -o "$work/disk"
    expect_status 0
    cp "$work/disk/inside.pdf" "$work/inside.pdf"
    for i in 1 2 3 4 5 6 7 8; do lesson "$course/more-$i.yaml" "More $i"; done
    long_lesson "$course/inside.yaml" 60
    dd if=/dev/zero of="$work/disk/filler" bs=1k count=150 2>/dev/null
    run course "$course" -o "$work/disk"
    expect_status 3
    expect_err_has 'No space left on device'
    expect_same "$work/disk/inside.pdf" "$work/inside.pdf"
    for file in "$work"/disk/*.pdf "$work"/disk/*/*/*.pdf; do
        qpdf --check "$file" >"$work/qpdf" 2>&1 || fail "$file: $(cat "$work/qpdf")"
    done
    rm "$work/disk/filler" "$course/inside.yaml"
    run course "$course" -o "$work/disk"
    expect_status 0
    expect_err_has ' 0 failed'
    rm "$course"/more-*

    it 'a read-only disk is called that, not a folder that is missing'
    mkdir "$work/disk/old"
    mount -o remount,ro "$work/disk"
    for folder in new old/new old/new/deep old; do
        run course "$course" -o "$work/disk/$folder"
        expect_status 3
        expect_err_has "cannot write to '$work/disk/$folder': Read-only file system"
    done
    mkdir "$work/disk/old/on" 2>/dev/null && fail 'the disk is not read-only'
    mount -o remount,rw "$work/disk"
    mkdir "$work/disk/old/on"
    mount -t tmpfs none "$work/disk/old/on"
    mount -o remount,ro "$work/disk"
    run course "$course" -o "$work/disk/old/on/new/deep"
    expect_status 0
    umount "$work/disk/old/on" "$work/disk"
else
    leave_out 'a full disk' 'nothing can be mounted'
    leave_out 'a read-only disk' 'nothing can be mounted'
fi

it 'only the lesson that takes too long is given up'
lesson "$course/inside.yaml" Inside
build
long_lesson "$course/slow.yaml" 2000
build --time-limit 1 --force
expect_status 1
expect_err_has "gave up on '$course/slow.yaml': it took longer than 1 s (--time-limit)"
expect_err_has '2 built, 0 up to date, 1 failed'
expect_none "$out/slow.pdf"
cp "$course/slow.yaml" "$course/a-slow.yaml" # more of them than processes
timeout 120 "$RATAMARK" course "$course" -o "$out" --time-limit 1 --force --jobs 1 2>"$work/.err"
status=$?
expect_status 1
expect_err_has '2 built, 0 up to date, 2 failed'
rm "$course/a-slow.yaml"

it 'a killed process loses only its own lesson'
"$RATAMARK" course "$course" -o "$out" --jobs 1 --force --time-limit 1000 2>"$work/.err" &
first=$!
n=0
# the process that works on the long lesson: neither the first nor the one that waits for the disk
while [ $n -lt 500 ]; do
    worker=$(for p in $(cat /proc/$first/task/$first/children 2>/dev/null); do
        [ "$(awk '{ print $14 }' /proc/"$p"/stat 2>/dev/null || echo 0)" -gt 30 ] && echo "$p"; done | tail -n 1)
    [ -z "$worker" ] || break
    sleep 0.02
    n=$((n + 1))
done
kill -ABRT "$worker" || fail 'no process was found'
wait $first
status=$?
expect_status 1
expect_err_has "gave up on '$course/slow.yaml': its process was killed by signal 6"
expect_err_has '2 built, 0 up to date, 1 failed'
rm "$course/slow.yaml"

plain=$build/ratamark
if [ -x "$plain" ]; then # sanitizers take more address space than there is
    it 'a lesson that takes too much memory is given up alone'
    long_lesson "$course/large.yaml" 2000
    "$plain" course "$course" -o "$out" --force --memory-limit 8 >"$work/.out" 2>"$work/.err"
    status=$?
    expect_status 1
    expect_err_has "gave up on '$course/large.yaml': it needs more than 8 MiB of memory (--memory-limit)"
    expect_err_has '2 built, 0 up to date, 1 failed'
    rm "$course/large.yaml"

    it 'memory that a library does not get is no mistake of the author'
    printf 'produce: [pdf, png]\n' >"$course/course.yaml"
    for limit in 1 2 3 4 5 6 7 8 9 10; do
        "$plain" course "$course" -o "$work/small" --force --dpi 1200 --memory-limit $limit \
            >"$work/.out" 2>"$work/.err"
        status=$?
        expect_status 1
        grep -v 'gave up on\|^2 lessons: ' "$work/.err" >"$work/other" &&
            fail "$limit MiB: $(head -n 4 "$work/other")"
    done
    rm -r "$course/course.yaml" "$work/small"
else
    leave_out 'limits of memory' 'there is no plain build'
fi

for signal in TERM HUP; do
    it "interrupted by SIG$signal it leaves whole files, and goes on from there"
    rm -rf "$out"
    for part in $(seq 40); do long_lesson "$course/part-$part.yaml" 12; done
    # Made last, this one takes seconds: the run lasts until the signal comes.
    long_lesson "$course/zz.yaml" 2000
    "$RATAMARK" course "$course" -o "$out" --jobs 2 --time-limit 1000 2>"$work/.err" &
    program=$!
    while [ "$(find "$out" -name '*.pdf' 2>/dev/null | wc -l)" -lt 5 ] && kill -0 $program 2>/dev/null; do
        sleep 0.01
    done
    expect_none "$out/zz.pdf"
    kill -$signal $program
    wait $program
    status=$?
    [ $status -gt 128 ] || fail "ended with $status before the signal"
    expect_err_has 'run it again to continue'
    [ ! -e "$(echo "$out"/.ratamark/staging*)" ] || fail 'staged files are left'
    for file in $(find "$out" -name '*.pdf'); do
        qpdf --check "$file" >"$work/qpdf" 2>&1 || fail "$file: $(cat "$work/qpdf")"
    done
    had=$(find "$out" -name '*.pdf' | wc -l)
    [ "$had" -ge 5 ] || fail "only $had sheets were kept"
    rm "$course/zz.yaml"
    build
    expect_status 0
    expect_err_has " $((42 - had)) built, $had up to date, 0 failed"
done

if command -v script >/dev/null; then # of util-linux: a terminal to write to
    it 'on a terminal it says how far it has come, and wipes that away'
    rm -rf "$out"
    printf 'produce: png\n' >"$course/course.yaml"
    script -qefc "'$RATAMARK' course '$course' -o '$out' --jobs 1 --only 'part-1*'" "$work/typed" >/dev/null </dev/null
    grep -q '[0-9]* of 11  \[=* *\]  about [0-9]* \(s\|min\) left' "$work/typed" || fail "$(cat "$work/typed")"
    tail -n 3 "$work/typed" | tr '\r' '\n' | grep -q '11 lessons: 11 built' || fail 'the sum'
    rm "$course/course.yaml"
else
    leave_out 'progress on a terminal' 'script, of util-linux, is missing'
fi

it 'a course killed at random moments loses nothing'
mkdir "$work/killed"
tests/course/killed "$RATAMARK" "$work/killed" 8 >"$work/.out" 2>"$work/.err" || fail "$(cat "$work/.err")"
expect_out_has 'nothing lost'

finish
