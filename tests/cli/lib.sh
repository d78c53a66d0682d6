# Sourced by every test of the command line, which is run from the top of the tree:
#
#     . tests/cli/lib.sh
#     it 'refuses an unknown command'
#     run engarve
#     expect_status 2
#     expect_err_has "did you mean 'engrave'"
#     finish
#
# An `it` ends the one before; what cannot be tried here is skipped with `leave_out`. Results go to
# $TAP_FILE as TAP, reasons to standard error. $work is an empty folder of each test script, $build
# the folder of what was built.
set -u
top=$PWD
RATAMARK=${RATAMARK:-build/ratamark}
case $RATAMARK in /*) ;; *) RATAMARK=$top/$RATAMARK ;; esac
build=${BUILD:-build}
case $build in /*) ;; *) build=$top/$build ;; esac
tap=${TAP_FILE:-}
case $tap in '' | /*) ;; *) tap=$top/$tap ;; esac
work=$(mktemp -d) || exit 1
cleanup() {
    cd / && chmod -R u+rwx "$work" 2>/dev/null
    rm -rf "$work"
}
trap cleanup EXIT
trap 'exit 1' INT TERM HUP
unset NO_COLOR COLUMNS SOURCE_DATE_EPOCH
export LSAN_OPTIONS="${LSAN_OPTIONS:-suppressions=$top/tests/leaks:print_suppressions=0}"
cases=0 failures=0 left_out=0 case_name='' wrong=''

record() { # ok|not ok
    cases=$((cases + 1))
    [ -z "$tap" ] || echo "$1 $((cases + left_out)) - $case_name" >>"$tap"
    [ "$1" = ok ] || { failures=$((failures + 1)); echo "FAILED: $case_name" >&2; }
}

close_case() {
    [ -z "$case_name" ] || if [ -z "$wrong" ]; then record ok; else record 'not ok'; fi
    case_name='' wrong=''
}

it() { # NAME
    close_case
    case_name=$1
}

leave_out() { # NAME WHY: a case that cannot be tried here; it counts as neither passed nor failed
    close_case
    left_out=$((left_out + 1))
    [ -z "$tap" ] || echo "ok $((cases + left_out)) - $1 # SKIP $2" >>"$tap"
    [ -n "$tap" ] || echo "left out: $1 ($2)" >&2
}

fail() { # WHY
    wrong=1
    echo "$case_name: $1" >&2
}

# run ARGUMENT...: the program with its streams in $work/.out and $work/.err, and $status. A crash
# or a finding of a sanitizer fails the case whatever it expects.
run() {
    "$RATAMARK" "$@" >"$work/.out" 2>"$work/.err"
    status=$?
    no_crash
}

no_crash() {
    [ "$status" -lt 4 ] || fail "ended with $status: $(tail -n 20 "$work/.err")"
}

expect_status() { [ "$status" = "$1" ] || fail "status $status, not $1: $(head -n 5 "$work/.err")"; }
expect_no_out() { [ ! -s "$work/.out" ] || fail "standard output: $(head -n 5 "$work/.out")"; }
expect_no_err() { [ ! -s "$work/.err" ] || fail "standard error: $(head -n 5 "$work/.err")"; }
expect_out_has() { grep -qF -- "$1" "$work/.out" || fail "no '$1' in: $(head -n 20 "$work/.out")"; }
expect_err_has() { grep -qF -- "$1" "$work/.err" || fail "no '$1' in: $(head -n 20 "$work/.err")"; }
expect_err_lacks() { ! grep -qF -- "$1" "$work/.err" || fail "'$1' in: $(head -n 20 "$work/.err")"; }
expect_text() { [ "$(cat "$1")" = "$2" ] || fail "$1 holds: $(head -c 300 "$1")"; }
expect_file() { [ -s "$1" ] || fail "no file '$1'"; }
expect_none() { [ ! -e "$1" ] || fail "there is a '$1'"; }
expect_same() { cmp -s "$1" "$2" || fail "'$1' and '$2' differ"; }
expect_begins() { # FILE BYTES
    [ "$(head -c ${#2} "$1" | tr -d '\0')" = "$2" ] || fail "'$1' does not begin with $2"
}
expect_no_parts() { # FOLDER: no half-written file is left
    [ -z "$(find "$1" -name '.ratamark-*')" ] || fail "left behind: $(find "$1" -name '.ratamark-*')"
}

finish() {
    close_case
    [ "$cases" -gt 0 ] || { echo 'no case was run' >&2; exit 1; }
    [ -n "$tap" ] || echo "$(basename "$0"): $((cases - failures)) passed, $failures failed"
    [ "$failures" = 0 ]
    exit
}

# A lesson without a mistake, and one with an unknown voice at line 4, column 13.
good_lesson() { # FILE
    cat >"$1" <<'END'
title: Low Water
exercises:
  - title: Even strokes
    subdivision: eighths
    sticking: RL
END
}

wrong_lesson() { # FILE
    cat >"$1" <<'END'
title: Low Water
exercises:
  - title: Even strokes
    voices: snair
END
}

# A lesson of several pages.
long_lesson() { # FILE EXERCISES
    echo 'title: High Water' >"$1"
    echo 'exercises:' >>"$1"
    i=0
    while [ $i -lt "$2" ]; do
        i=$((i + 1))
        printf '  - {title: "Wave %d", subdivision: sixteenths, sticking: RLRR LRLL, bars: 8}\n' $i >>"$1"
    done
}
