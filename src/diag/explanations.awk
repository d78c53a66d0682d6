# Turns explanations.txt into C source, one initializer for each code: a slip in a code's word does
# not compile. Lines of a paragraph are joined; lessons stay as they are.
function quoted(text,    out, i, letter) {
    for (i = 1; i <= length(text); i++) {
        letter = substr(text, i, 1)
        out = out (letter == "\\" || letter == "\"" ? "\\" letter : letter)
    }
    return " \"" out "\""
}
function end_code() {
    if (code)
        print "    [DIAG_" code "] = {" part["text"] ", " part["wrong"] ", " part["right"] "},"
}
BEGIN {
    print "#include \"diag/diag.h\"\n"
    print "const struct diag_lesson diag_lessons[DIAG_CODE_COUNT] = {"
}
/^#/ && !code { next }
/^== / {
    end_code()
    code = toupper($2)
    gsub(/-/, "_", code)
    part["text"] = part["wrong"] = part["right"] = "NULL"
    now = "text"
    waiting = ""
    next
}
/^-- / { now = $2; waiting = ""; next }
/^$/ { waiting = "\n"; next }
{
    if (part[now] == "NULL")
        part[now] = ""
    else if (now == "text")
        part[now] = part[now] (waiting ? " \"\\n\\n\"" : " \" \"")
    part[now] = part[now] quoted($0) (now == "text" ? "" : " \"\\n\"")
    waiting = ""
}
END {
    end_code()
    print "};"
}
