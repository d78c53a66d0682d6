# displays PAGE DEVICE FOLDER: each literal display of a manual page as its reader sees it, blanks at
# the left included, in FOLDER/001, 002 ... DEVICE is ascii or utf8.
displays() {
    mkdir -p "$3"
    sed -e 's/^\.Bd -literal.*/.Pp\n@begin@\n&/' -e 's/^\.Ed/&\n.Pp\n@end@/' "$1" >"$3/marked"
    mandoc -T "$2" "$3/marked" | LC_ALL=C.UTF-8 sed "s/.$(printf '\b')//g" |
        awk -v folder="$3" '
            $1 == "@begin@" { file = sprintf("%s/%03d", folder, ++count); blank = ""; text = ""; next }
            $1 == "@end@" && !file { next } # of a display that is not literal
            $1 == "@end@" { printf "%s", text >file; close(file); file = ""; next }
            file && /^ *$/ { if (text) blank = blank "\n"; next }
            file { text = text blank $0 "\n"; blank = "" }'
    rm "$3/marked"
}

# dedent FILE: its text without the blanks that all its lines begin with.
dedent() {
    awk '{ line[NR] = $0; if (/[^ ]/) { match($0, /^ */); if (NR == 1 || RLENGTH < least) least = RLENGTH } }
         END { for (i = 1; i <= NR; i++) print substr(line[i], least + 1) }' "$1"
}
