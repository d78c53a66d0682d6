#!/bin/sh
# The forty rudiments by name, led by either hand, engraved to PDF and read back with poppler: the
# sticking rows hold the published hands (tests/outside/rudiments.tsv, which names its sources).
. tests/cli/lib.sh

tab=$(printf '\t')
while IFS=$tab read -r number rudiment right left source; do
    case $number in '#'* | number) continue ;; esac
    for lead in right left; do
        it "$rudiment, $lead lead"
        [ $lead = right ] && hands=$right || hands=$left
        cat >"$work/lesson.yaml" <<END
title: Rudiment
show: {counts: off, key: no, ladder: no}
exercises:
  - title: Rudiment
    subdivision: sixteenths
    sticking: $(echo "$rudiment" | tr -d '#')
    lead: $lead
    bars: resolve
END
        run engrave "$work/lesson.yaml" -o "$work/sheet.pdf"
        expect_status 0
        row=$(pdftotext -raw "$work/sheet.pdf" - | grep -E '^[RL]( [RL])*$' | tr -d ' \n')
        case $row in
        "$hands"*) ;;
        *) fail "'$row' does not begin with $hands ($source)" ;;
        esac
    done
done <tests/outside/rudiments.tsv

it 'lists all forty, led by either hand'
[ "$cases" -eq 80 ] || fail "$cases"

finish
