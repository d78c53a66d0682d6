#!/bin/sh
# The bars of a practice page: its script marks what sounds by bar, as played, so each bar has a group
# of that number, be it notes or the sign that stands for it.
. tests/cli/lib.sh

cat >"$work/chart.yaml" <<'END'
title: Chart
tempo: 80
hi-hat: eighths
snare: 2 4
exercises:
  - bars: [{kick: 1}, {kick: 3}, {same: 2, times: 2}, {rest: 4}, {kick: 1 3}, {same: 1}]
END
# Bars of the groups, and those of the strokes that are played.
groups() { grep -o 'data-of=[0-9]*' "$work/chart.html" | cut -d= -f2 | sort -nu; }
played() {
    python3 - "$work/chart.html" <<'END'
import json, re, sys
text = open(sys.argv[1], encoding="utf-8").read()
data = re.search(r'id="timeline">(.*?)</script>', text, re.S).group(1)
for bar in sorted({stroke[7] for exercise in json.loads(data) for stroke in exercise["strokes"] if stroke[7] is not None}):
    print(bar)
END
}

it 'has a group for each bar that is played'
run engrave "$work/chart.yaml" -o "$work/chart.html"
expect_status 0
played >"$work/played"
[ "$(tr '\n' ' ' <"$work/played")" = '0 1 2 3 4 5 10 11 ' ] || fail "$(cat "$work/played")"
groups | grep -vx 6 | diff "$work/played" - >&2 || fail 'other bars than those played' # 6: the rest

it 'marks a sign as a whole'
grep -q 'data-of=11>' "$work/chart.html" || fail 'the sign for the last bar has no group of its own'

finish
