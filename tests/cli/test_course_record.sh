#!/bin/sh
# `course` makes again what changed and nothing else, and knows which files are its own.
. tests/cli/lib.sh

lesson() { # FILE TITLE
    mkdir -p "$(dirname "$1")"
    printf 'title: %s\nexercises:\n  - {subdivision: eighths, sticking: RL}\n' "$2" >"$1"
}
course=$work/course out=$work/out
build() { run course "$course" -o "$out" "$@"; }
expect_counts() { # BUILT FRESH FAILED
    expect_err_has "$1 built, $2 up to date, $3 failed"
}
marks() { # what tells one writing of the outputs from another
    (cd "$out" && find . -type f ! -path './.ratamark/*' -exec stat -c '%n %i %y %s' {} + | sort)
}

for name in anchor buoy chain week-2/dock; do lesson "$course/$name.yaml" "$name"; done
echo 'author: Wharf Lane' >"$course/course.yaml"

it 'makes everything once, and then nothing'
build
expect_status 0
expect_counts 4 0 0
marks >"$work/before"
build
expect_status 0
expect_counts 0 4 0
marks | diff "$work/before" - >&2 || fail 'outputs were written again'

it 'a touched lesson is up to date; one whose bytes changed is not'
touch -d '2001-01-01' "$course/anchor.yaml"
cp "$course/buoy.yaml" "$course/.new" && mv "$course/.new" "$course/buoy.yaml"
build
expect_counts 0 4 0
lesson "$course/chain.yaml" 'Chain of eight'
build
expect_counts 1 3 0
pdfinfo "$out/chain.pdf" | grep -q 'Chain of eight' || fail 'the older sheet'

it 'a change that leaves size and time the same is noticed'
stamp=$(stat -c %y "$course/chain.yaml")
sed -i 's/of eight/of three/' "$course/chain.yaml"
touch -d "$stamp" "$course/chain.yaml"
build
expect_counts 1 3 0

it 'a change in a course file makes its own lessons again, and no others'
echo 'author: Quay' >"$course/course.yaml"
build
expect_counts 4 0 0
echo 'author: Dock' >"$course/week-2/course.yaml"
build
expect_counts 1 3 0
rm "$course/week-2/course.yaml"
build
expect_counts 1 3 0

it 'a change of an option that affects the page makes them again'
build --dpi 72
expect_counts 4 0 0
build
expect_counts 4 0 0
SOURCE_DATE_EPOCH=86400 "$RATAMARK" course "$course" -o "$out" 2>"$work/.err"
expect_counts 4 0 0
build
expect_counts 4 0 0

it 'a change of fonts makes them again'
mkdir -p "$work/fonts"
cat >"$work/fonts.conf" <<END
<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "fonts.dtd">
<fontconfig><include>/etc/fonts/fonts.conf</include><dir>$work/fonts</dir></fontconfig>
END
export FONTCONFIG_FILE="$work/fonts.conf"
build
build
expect_counts 0 4 0
cp fonts/Ratamark.otf "$work/fonts/"
build
expect_counts 4 0 0
build
expect_counts 0 4 0
rm "$work/fonts/Ratamark.otf"
build
expect_counts 4 0 0
unset FONTCONFIG_FILE
build
expect_counts 0 4 0

it 'an output that is missing or was changed is made again'
rm "$out/anchor.pdf"
echo more >>"$out/buoy.pdf"
build
expect_counts 2 2 0
touch "$out/anchor.pdf"
cp -p "$out/buoy.pdf" "$work/buoy.pdf" && cp "$work/buoy.pdf" "$out/buoy.pdf"
build
expect_counts 0 4 0

it 'a failing lesson keeps its older sheet, and is tried every time'
cp "$out/buoy.pdf" "$work/buoy.pdf"
cp "$course/buoy.yaml" "$work/buoy.yaml"
wrong_lesson "$course/buoy.yaml"
for i in 1 2; do
    build
    expect_status 1
    expect_counts 0 3 1
    expect_err_has 'unknown-voice'
    expect_same "$out/buoy.pdf" "$work/buoy.pdf"
done
cp "$work/buoy.yaml" "$course/buoy.yaml"
build
expect_status 0
expect_counts 0 4 0

it '--force makes all, --only makes some'
build --force
expect_counts 4 0 0
build --force --only 'a*'
expect_err_has '1 lesson: 1 built'
build --force --only 'week-2/*'
expect_err_has '1 lesson: 1 built'
build --only 'x*'
expect_status 0
expect_err_has '0 lessons'

it 'an output that comes out the same is left alone'
build --booklet --index
marks >"$work/before"
build --booklet --index --force
expect_counts 4 0 0
echo '# to be played at the quay' >>"$course/chain.yaml"
build --booklet --index
expect_counts 1 3 0
marks | diff "$work/before" - >&2 || fail 'outputs were written again'
echo more >>"$out/buoy.pdf"
rm "$out/anchor.pdf"
lesson "$course/chain.yaml" 'Chain of six'
build --booklet --index
expect_counts 3 1 0
marks | diff "$work/before" - | sed -n 's/^> \([^ ]*\) .*/\1/p' >"$work/new"
expect_text "$work/new" './anchor.pdf
./booklet.pdf
./buoy.pdf
./chain.line.svg
./chain.pdf
./index.html'
build --booklet --index
expect_counts 0 4 0
build --prune

it '--dry-run lists what would happen and writes nothing'
lesson "$course/chain.yaml" 'Chain of nine'
lesson "$course/ebb.yaml" Ebb
marks >"$work/before"
cp "$out/.ratamark/record" "$work/record"
build --dry-run
expect_status 0
expect_text "$work/.out" "would make 'chain.yaml'
would make 'ebb.yaml'"
expect_err_has '2 to be made, 3 up to date'
marks | diff "$work/before" - >&2 || fail 'something was written'
expect_same "$out/.ratamark/record" "$work/record"
run course "$course" -o "$work/none" --dry-run
expect_err_has '5 to be made'
expect_none "$work/none"
build

it 'stale outputs are listed, and deleted only with --prune'
rm "$course/ebb.yaml" "$course/week-2/dock.yaml"
build
expect_status 0
expect_err_has "'$out/ebb.pdf' is stale: its lesson is gone"
expect_err_has "'$out/week-2/dock.pdf' is stale"
expect_err_has '--prune deletes them'
expect_file "$out/ebb.pdf"
build --prune --dry-run
expect_out_has "would delete '$out/ebb.pdf'"
expect_file "$out/ebb.pdf"
build --prune
expect_status 0
expect_err_has "deleted '$out/ebb.pdf'"
expect_none "$out/ebb.pdf"
expect_none "$out/week-2"
expect_file "$out/anchor.pdf"
build --prune
expect_err_lacks removed
expect_counts 0 3 0

it '--prune never touches a file that is not ours'
lesson "$course/flood.yaml" Flood
mkdir -p "$out/week-3"
echo mine >"$out/notes.txt"
echo mine >"$out/week-3/flood.pdf"
build
rm "$course/flood.yaml"
echo more >>"$out/flood.pdf"
build --prune
expect_err_has "keeping '$out/flood.pdf': it was changed after it was made"
expect_file "$out/flood.pdf"
expect_text "$out/notes.txt" mine
expect_text "$out/week-3/flood.pdf" mine
build --prune
expect_err_lacks flood

it 'nor one that only looks like ours'
lesson "$course/flood.yaml" Flood
build
rm "$course/flood.yaml"
stamp=$(stat -c %y "$out/flood.pdf")
printf 'x' | dd of="$out/flood.pdf" bs=1 seek=9 conv=notrunc 2>/dev/null
touch -d "$stamp" "$out/flood.pdf"
build --prune
expect_err_has "keeping '$out/flood.pdf': it was changed after it was made"
expect_file "$out/flood.pdf"
rm "$out/flood.pdf"

it 'pages that a lesson no longer has are stale, too'
echo 'produce: svg' >"$course/course.yaml"
long_lesson "$course/long.yaml" 12
build --prune
expect_file "$out/long-2.svg"
expect_none "$out/anchor.pdf"
lesson "$course/long.yaml" Short
build
expect_file "$out/long.svg"
expect_err_has "'$out/long-2.svg' is stale: its lesson no longer has this page or format"
build --prune
expect_none "$out/long-2.svg"
expect_file "$out/long.svg"

it 'an output that another lesson owns now is not stale'
lesson "$course/long-1.yaml" One
build
rm "$course/long-1.yaml"
long_lesson "$course/long.yaml" 12
build --prune
build --prune
expect_status 0
expect_file "$out/long-1.svg"
expect_file "$out/long-2.svg"
expect_none "$out/long.svg"

it 'two lessons for one output file are reported'
lesson "$course/long-2.yaml" Two
build
expect_status 1
expect_err_has "'$course/long-2.yaml' and '$course/long.yaml' would both be 'long-2.svg'"
rm "$course/long-2.yaml"

it 'a damaged or missing record is written again'
build
printf 'rubbish' >"$out/.ratamark/record"
build
expect_status 0
expect_err_has 'ignoring the record'
expect_err_has ' 0 up to date'
rm -r "$out/.ratamark"
build
expect_status 0
build
expect_err_has '0 built'

it 'an output that is altered in place, with its time restored, is made again'
cp "$out/buoy.svg" "$work/buoy.svg"
stamp=$(stat -c %y "$out/buoy.svg")
printf X | dd of="$out/buoy.svg" bs=1 seek=200 conv=notrunc 2>/dev/null
touch -d "$stamp" "$out/buoy.svg"
build
expect_err_has '1 built'
expect_same "$out/buoy.svg" "$work/buoy.svg"

it 'another course, or a part of this one, is not written among its files'
lesson "$work/other/anchor.yaml" 'Another anchor'
lesson "$work/other/wave.yaml" Wave
lesson "$course/week-4/hook.yaml" Hook
build
marks >"$work/before"
cp "$out/.ratamark/record" "$work/record"
for folder in "$work/other" "$course/week-4"; do
    for how in --prune --dry-run --force '--shard=1/2' --merge; do
        run course "$folder" -o "$out" "$how"
        expect_status 2
        expect_err_has "'$out' holds another course, made from '../course'"
        expect_no_out
    done
done
marks | diff "$work/before" - >&2 || fail 'something was written'
expect_same "$out/.ratamark/record" "$work/record"
run course "$work/other" -o "$out" --replace --prune
expect_status 0
expect_err_has '2 built'
expect_err_has "deleted '$out/week-4/hook.svg'"
run course "$work/other" -o "$out"
expect_status 0
rm -r "$out"

it 'a course that was moved is still the same one, and so is one with many changes and its old title'
build
mv "$course" "$work/moved"
run course "$work/moved" -o "$out"
expect_status 0
expect_err_has '0 built'
printf 'title: Harbour\n' >>"$work/moved/course.yaml"
run course "$work/moved" -o "$out"
expect_status 0
mv "$work/moved" "$course"
sed -i 's/RL}/LR}/' "$course"/*.yaml "$course"/*/*.yaml
build
expect_status 0
sed -i 's/title: Harbour/title: Dock/; /^  - /s/LR}/RL}/' "$course"/*.yaml "$course"/*/*.yaml
mv "$course" "$work/moved"
run course "$work/moved" -o "$out"
expect_status 2
mv "$work/moved" "$course"
build
expect_status 0

it 'a record with a line lost or two swapped never gets a file removed'
cp "$out/.ratamark/record" "$work/record"
mv "$course/anchor.yaml" "$work/anchor.yaml"
for script in '/^lesson .*buoy/d' '/^output .*buoy/d' '/^key/d' '/^from/d' '/^end/d' '/^output .*buoy/{h;d};/^done/{G}' \
    's/anchor.svg$/buoy.svg/'; do
    sed "$script" "$work/record" >"$out/.ratamark/record"
    build --prune
    expect_status 0
    expect_err_has 'is damaged'
    expect_err_lacks "deleted '"
    for name in anchor buoy chain; do expect_file "$out/$name.svg"; done
    build
    expect_err_lacks 'is damaged'
    expect_err_has '0 built'
done
mv "$work/anchor.yaml" "$course/anchor.yaml"
build

it 'a journal that was cut short counts as far as it is whole'
rm -r "$out"
build
echo '# another text of the same lesson' >>"$course/anchor.yaml"
cp "$out/.ratamark/record" "$work/record"
build
lesson=$(grep -a '^key' "$out/.ratamark/record" | head -n 1 && grep -a -A1 'anchor.yaml$' "$out/.ratamark/record")
cp "$work/record" "$out/.ratamark/record"
printf '%s\ndone 0\n' "$lesson" >"$out/.ratamark/journal" # its sum is wrong
build
expect_err_has '1 built'
cp "$work/record" "$out/.ratamark/record"
printf '%s' "$lesson" | head -c 60 >"$out/.ratamark/journal"
build
expect_err_has '1 built'

it 'two runs on one folder: the second is refused'
long_lesson "$course/long.yaml" 400
"$RATAMARK" course "$course" -o "$out" --force 2>"$work/first" &
first=$!
n=0
while [ ! -d "$(echo "$out"/.ratamark/staging.*)" ] && [ $n -lt 200 ]; do sleep 0.02; n=$((n + 1)); done
build
if kill -0 $first 2>/dev/null; then
    expect_status 3
    expect_err_has "another run (process $first) is writing to '$out'"
else
    fail 'the first run was over too early'
fi
wait $first || fail "the first run: $(cat "$work/first")"

it 'options that contradict each other'
build --merge --force
expect_status 2
build --shard 1/2 --prune
expect_status 2
build --shard 3/2
expect_status 2
build --jobs 0
expect_status 2

finish
