#!/bin/sh
# Pages in other languages: GNU gettext's own programs read the catalogues, poppler the pages.
. tests/cli/lib.sh

it 'gettext accepts every catalogue'
count=0
for po in src/words/*.po; do
    count=$((count + 1))
    msgfmt --check-format --check-domain --statistics -o "$work/out.mo" "$po" 2>"$work/said" || fail "$po"
    grep -qE 'untranslated|fuzzy' "$work/said" && fail "$po: $(cat "$work/said")"
    msgcmp --use-untranslated "$po" src/words/de.po 2>"$work/said" || fail "$po: $(head -n 3 "$work/said")"
done
[ "$count" = 6 ] || fail "$count catalogues"

it 'each word of a catalogue is one that the program prints'
msgexec --input=src/words/de.po sh -c 'printf "%s\n" "$MSGEXEC_MSGID"' >"$work/words" 2>/dev/null
tr '\n' ' ' <src/practice/practice.c | sed 's/" *"//g' >"$work/practice" # texts of several lines as one
grep . "$work/words" | grep -v '^Start slow' | while read -r word; do
    grep -rqF "\"$word\"" src/layout src/course src/build src/practice src/model/voice.h \
        src/model/limits.[ch] || grep -qF "[[$word]]" "$work/practice" || echo "$word"
done >"$work/unused"
[ "$(grep -c . "$work/words")" -ge 50 ] || fail "$(grep -c . "$work/words") words"
[ ! -s "$work/unused" ] || fail "printed nowhere: $(cat "$work/unused")"

lesson() { # LANGUAGE
    cat <<END
title: T
language: $1
level: beginner
tempo: 60-80
show: [ladder, plan]
exercises:
  - title: E
    subdivision: eighths
    sticking: RL
    play: {R: hi-hat}
    repeat: 4
END
}

it 'the sheet prints its own words in the language'
while IFS='|' read -r language words; do
    lesson "$language" >"$work/lesson.yaml"
    run engrave "$work/lesson.yaml" -o "$work/sheet.pdf"
    expect_status 0
    pdftotext -layout "$work/sheet.pdf" "$work/text"
    echo "$words" | tr ';' '\n' | while read -r word; do
        grep -qF "$word" "$work/text" || echo "$word"
    done >"$work/lost"
    [ ! -s "$work/lost" ] || fail "$language: $(cat "$work/lost")"
done <<'END'
en|Key;play 4 times;Practice ladder;1 of 1;seen from above;beginner;Start slow
zh-Hant|Key;play 4 times;Practice ladder
de|Legende;4-mal spielen;Tempostufen;1 von 1;von oben gesehen;Anfänger;Snare;schütze dein Gehör
de-CH|Legende;4-mal spielen
fr|Légende;jouer 4 fois;1 sur 1;caisse claire;charleston;protégez vos oreilles
es|Leyenda;tocar 4 veces;1 de 1;caja;protege tus oídos
it|Legenda;suonare 4 volte;1 di 1;rullante;proteggi
nl|Legenda;4 keer spelen;1 van 1;hihat;houdt die aan
pt-BR|Legenda;tocar 4 vezes;caixa;chimbal;proteja os ouvidos
END

it 'the language of the environment changes nothing'
lesson de >"$work/lesson.yaml"
run engrave "$work/lesson.yaml" -o "$work/one.svg"
LANGUAGE=fr LC_ALL=C.UTF-8 run engrave "$work/lesson.yaml" -o "$work/two.svg"
expect_same "$work/one.svg" "$work/two.svg"

it 'a course gives words of its own, and the index and the booklet have its language'
mkdir "$work/course"
lesson de | grep -v '^language' >"$work/course/one.yaml"
printf 'title: Kurs\nlanguage: de\npage-words: {Key: Noten}\nproduce: [pdf, booklet, index]\n' >"$work/course/course.yaml"
run course "$work/course" -o "$work/out"
expect_status 0
pdftotext "$work/out/one.pdf" - | grep -q Noten || fail 'no own word'
pdftotext "$work/out/booklet.pdf" "$work/text"
for word in Inhalt Lektion Noten; do grep -q $word "$work/text" || fail "no $word in the booklet"; done
for word in 'lang="de"' '1 Lektion<' 'Alle Lektionen in einem Heft' 'Stufe' 'Anfänger'; do
    grep -qF "$word" "$work/out/index.html" || fail "no $word in the index"
done
finish
