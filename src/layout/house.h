#ifndef RATAMARK_LAYOUT_HOUSE_H
#define RATAMARK_LAYOUT_HOUSE_H
/*
 * The house style in numbers, each with its reason. Thicknesses come from the music face
 * (engraving_defaults); these are the lengths that no face has. They are in thousandths of a staff
 * space, or, if the name ends in _UM, in micrometres on paper: for what is not tied to the staff.
 */
enum house {
    /* ---- along the line ---- */
    HOUSE_QUARTER_SPACE = 4600, /* natural space after a quarter, that of other values by the square
                                   root: two bars of sixteenths fill a line of A4, and one of
                                   eighths, stretched as far as may be, half of it */
    HOUSE_EVEN_STRETCH = 1400,  /* per thousand: a row of equal values is stretched up to this to
                                   keep them equally far apart */
    HOUSE_EVEN_WHITE = 100,     /* wanted beyond the least white when lines are broken */
    HOUSE_LEAST_STRETCH = 500,  /* per thousand: no line is set tighter than half its natural
                                   space */
    HOUSE_CLOSING_GAP = 800,    /* per thousand of its natural space that a bar's last note keeps:
                                   the bar line and the lead after it give the rest */
    HOUSE_INK_GAP = 200,        /* white between heads, dots, graces */
    HOUSE_TEXT_GAP = 300,       /* white between syllables */
    HOUSE_BEAT_GAP = 500,       /* ... beside a beat's number: it is found at a glance */
    HOUSE_LETTER_GAP = 500,     /* ... between letters, each of which is a stroke */
    HOUSE_NUMBER_GAP = 900,     /* ... between numbers of rolls: 17 and 17 are not 1717 */
    HOUSE_COUNT_ROOM = 600,     /* ... between syllables that are not condensed */
    HOUSE_BAR_LEAD = 900,       /* bar line to the first ink */
    HOUSE_LEAD_SHARED = 3500, /* bars of one rhythm share a lead up to this: one for a flam, but not
                                 for a drag */
    HOUSE_BAR_TRAIL = 600,    /* last ink to the bar line */
    HOUSE_TIE_ENTERS = 800,   /* more room for a tie that comes from the line before */
    HOUSE_TIE_LEAST = 1200,   /* a tie shorter than a head looks like a smudge */
    HOUSE_CLEF_LEAD = 500,    /* staff's left end to the clef */
    HOUSE_BAR_NUMBER_GAP = 500, /* bar number to the clef and staff below it */
    HOUSE_METER_LEAD = 700,     /* clef or bar line to the meter */
    HOUSE_METER_SCALE = 950,    /* per thousand of a figure's height, which is two spaces (SMuFL) */
    HOUSE_METER_TRAIL = 400,    /* meter to where a bar's lead begins */

    /* ---- how wide lines are ---- */
    HOUSE_STRETCH_MOST = 1600, /* per thousand: no line is stretched farther; it stays ragged */
    HOUSE_HALF_LEAST = 750,    /* per thousand of its natural space: what it keeps at least in
                                  half the text, beside another exercise or alone */
    HOUSE_HALF_EVEN = 950,     /* ... and of the length at which its values are even */
    HOUSE_LIKE = 1250, /* per thousand: a last line that would need so much more stretch than
                          the line before it stays ragged */
    HOUSE_FULL = 600,  /* per thousand: a last line is a widow if it fills less */

    /* ---- heads and what hangs on them ---- */
    HOUSE_STEM_LENGTH = 3500, /* an octave (common practice) */
    HOUSE_TIP_HOLD = 30,      /* how far the tips of a crossed head reach into the stem */
    HOUSE_STEM_FREE = 2500,   /* least stem between head and nearest beam */
    HOUSE_STEM_MARKED = 3000, /* ... where slashes or a buzz sit on it */
    HOUSE_STEM_THIRD = 600,   /* more stem for a third slash */
    HOUSE_CROSSED = 200,      /* between hands, where the right one plays below the left */
    HOUSE_FLAG_CLEAR = 100,   /* flag to its own head */
    HOUSE_FLAG_STEP = 750,    /* each flag past the second lengthens the stem */
    HOUSE_GHOST_GAP = 60,     /* parenthesis to head */
    HOUSE_GHOST_CLEAR = 150,  /* ... and to the head of another voice beside it */
    HOUSE_DOT_GAP = 350,      /* head to first dot; dot to dot */
    HOUSE_STUB = 1100,        /* length of a stub of beam: a head's width */
    HOUSE_SLOPE_MOST = 500,   /* rise of a sloped beam over its group */
    HOUSE_SLOPE_STEP = 250,   /* ... in steps of this: both of its ends then suit the staff lines */
    HOUSE_WEDGE = 200,        /* white between a beam and a staff line beside it, at least */
    HOUSE_WEDGE_LEAST = 150,  /* ... where there is not room for so much */
    HOUSE_REST_GAP = 300,     /* rest to the beam above it */
    HOUSE_TIE_INSET = 300,    /* a tie's ends from the heads' middles, towards each other */
    HOUSE_TIE_RING = 1800,    /* length of a tie into nothing */
    HOUSE_TIE_DROP = 680,     /* ... and below (or above) them: clear of the heads */
    HOUSE_TIE_BESIDE = 80, /* ... or its ends from the heads' sides, where feet may stand below */
    HOUSE_TIE_DROP_BESIDE = 400,
    HOUSE_MARK_BY_WHOLE = 1600, /* a whole note's head to the middle of its slash or buzz */
    HOUSE_MARK_BY_FLAG = 1000,  /* head to slash on a stem with a flag */
    HOUSE_TIE_HEIGHT = 450,     /* how high a short tie arches */
    HOUSE_TIE_HEIGHT_LONG = 800,
    HOUSE_TIE_LONG = 8000,   /* from this length on a tie arches higher */
    HOUSE_LOWEST_PLACE = 24, /* no head is lower than this below the staff, in half spaces */
    HOUSE_TIE_TURN = 7,      /* ties of heads up to the snare turn up, away from the feet */
    HOUSE_LEGER_UP = 12,     /* staff place of the first leger line above the staff, and below */
    HOUSE_LEGER_DOWN = 0,
    HOUSE_REST_STEP = 1000,  /* rests keep to staff lines: they move by whole spaces */
    HOUSE_REST_APART = 250,  /* rest to the other line's heads in its column */
    HOUSE_REST_WHITE = 1000, /* a note's head to the rest after it: read as a rest, not a flag */
    HOUSE_REST_TWO_VOICES = 1000, /* hands' rests where feet play: on the fourth line */
    HOUSE_REST_FEET_BELOW = 2000, /* ... below a line that stands alone */
    HOUSE_REST_FEET = 4000,       /* feet's rests: on the bottom line */
    HOUSE_REST_BAR = 1000,        /* thickness of a rest of several bars (SMuFL hBarThickness) */
    HOUSE_REST_BAR_WHITE = 1500,  /* ... from bar line to its ends */
    HOUSE_REST_BAR_LEAST = 9000,  /* least room of its bar */
    HOUSE_ONE_LINE_BAR = 1000,    /* bar lines reach so far above and below a one-line staff */

    /* ---- graces ---- */
    HOUSE_GRACE_SCALE = 650,      /* per thousand of full size */
    HOUSE_GRACE_STEP = 1150,      /* grace to grace, middle to middle */
    HOUSE_GRACE_LEAD = 400,       /* last grace to its main head's ink */
    HOUSE_GRACE_STEM = 2650,      /* its flag ends higher than the main head */
    HOUSE_GRACE_UNDER_BEAM = 400, /* grace stem to the beam that passes over it */
    HOUSE_GRACE_SLASH = 500,      /* half the slash's width */
    HOUSE_GRACE_SLASH_DROP = 800, /* its middle below the stem's end */
    HOUSE_GRACE_SLUR_DROP = 500,  /* slur's first end below the grace's middle */
    HOUSE_GRACE_SLUR_FALL = 180,  /* its last end still lower, under the larger head */
    HOUSE_GRACE_SLUR_HEIGHT = 260,

    /* ---- above and below ---- */
    HOUSE_ABOVE_GAP = 350,  /* stem or beam to accent, accent to open sign */
    HOUSE_TUPLET_GAP = 400, /* ink to a tuplet's number or bracket */
    HOUSE_TUPLET_HOOK = 700,
    HOUSE_TUPLET_CLEAR = 350, /* number to the ends of its bracket, and to other ink */
    HOUSE_ONE_LINE_OF = 1000, /* heights that differ by less are drawn on one line */
    HOUSE_ENDING_HOOK = 1700,
    HOUSE_ENDING_GAP = 700,
    HOUSE_ENDING_TEXT = 400, /* bracket to its label, right and down */
    HOUSE_PLAYS_GAP = 650,
    HOUSE_PLAYS_CLEAR = 1500, /* its height clears what stands so near before it */
    HOUSE_FIGURE_SCALE = 650, /* per thousand: what the band plays, small above the staff */
    HOUSE_FIGURE_HALF = 500,  /* from its column to the side of a head, with white */
    HOUSE_FIGURE_STEM = 2300,
    HOUSE_FIGURE_GAP = 900,      /* ink below to its heads, with room for a tie */
    HOUSE_MARK_PAD = 450,        /* a rehearsal letter to its box */
    HOUSE_OVER_SIGN_SCALE = 750, /* segno and coda: as tall as a boxed letter */
    HOUSE_OVER_GAP = 700,        /* ink to the words and letters above it */
    HOUSE_OVER_BESIDE = 900,     /* a rehearsal letter to the words at its right; words to words */
    HOUSE_OVER_APART = 2000,     /* "To Coda" to the letter of the next bar */
    HOUSE_OVER_TAIL = 650,       /* "To Coda" to its sign */
    HOUSE_OVER_CLEAR = 1300,     /* letters and words clear what stands so near beside them */
    HOUSE_ROW_BESIDE = 350,      /* items of a row clear what hangs down so near beside them */
    HOUSE_ROW_FIRST = 800,       /* lowest ink above the first row to its top */
    HOUSE_ROW_STAFF = 1200,      /* staff to the top of the first row, at least */
    HOUSE_ROW_NEXT = 650,        /* a row's baseline to the next row's top */
    HOUSE_ROW_LEAST = 300,       /* any row to the ink above it, at least */
    HOUSE_DYNAMIC_GAP = 600,     /* to what stands above it, and to its neighbours */
    HOUSE_DYNAMICS_MOST = 128,   /* dynamics of one line that are printed */
    HOUSE_SWELL_BARS = 64,       /* a swell over more bars is a word */
    HOUSE_SWELL_BREAKS = 700,    /* per thousand: how far it has opened where its line ends, */
    HOUSE_SWELL_RESUMES = 300,   /* ... and where it goes on */
    HOUSE_HAIRPIN = 1200,        /* its open end, */
    HOUSE_HAIRPIN_LONG = 20000,  /* ... and of one that is longer than this: */
    HOUSE_HAIRPIN_GROWTH = 50,   /* ... a space more for so many spaces, */
    HOUSE_HAIRPIN_MOST = 1800,   /* ... up to this (Gould 2011, from memory: 1 to 2 spaces) */
    HOUSE_HAIRPIN_LIFT = 600,    /* its middle above the dynamics' baseline */
    HOUSE_HAIRPIN_LEAST = 2500,  /* a shorter one looks like an accent */

    /* ---- the page, on paper ---- */
    HOUSE_FOOT_HEIGHT_UM = 11000, /* kept free above the lower margin for the foot */
    HOUSE_FOOT_CLEAR = 3000,     /* ... and above its rule, in staff spaces: no row comes near it */
    HOUSE_SMALL_STAFF_UM = 3000, /* no staff is made smaller for a bar that is wider than a
                                    line; nor may a lesson ask for less */
    HOUSE_FOOT_RULE_UM = 180,
    HOUSE_FOOT_GAP_UM = 2200,    /* the foot's rule to its text */
    HOUSE_HEAD_HEIGHT_UM = 9000, /* kept free below the upper margin for a running head */
    HOUSE_HEAD_GAP_UM = 1400,    /* its text to its rule */
    HOUSE_RULE_UM = 250,
    HOUSE_TEXT_LINES = 12,     /* of a title, subtitle or heading; longer ones are cut */
    HOUSE_SCHOOL_SHARE = 600,  /* per thousand of a line: the most that the school's name takes */
    HOUSE_TITLE_GAP_UM = 1600, /* title to subtitle */
    HOUSE_RULE_GAP_UM = 2400,  /* last line of the title block to the rule */
    HOUSE_RULE_UNDER_TITLE_UM = 3600, /* ... where that is the title, which reaches lower */
    HOUSE_COLUMN_GAP_UM = 6000,       /* between left and right texts of one line */
    HOUSE_WORD_GAP_UM = 3000,         /* heading to tempo */
    HOUSE_INSTRUCTION_GAP_UM =
        -100, /* heading, with its ring, to the instruction beside the ring */
    HOUSE_INSTRUCTION_MUSIC_UM =
        1500,                        /* its lowest line, with the depth of its face, to the music */
    HOUSE_INSTRUCTION_NEXT_UM = 700, /* one paragraph of it to the next */
    HOUSE_RING_UM = 3200,            /* outer ring's radius: a drum seen from above */
    HOUSE_RING_INNER_UM = 2550,      /* its hoop */
    HOUSE_RING_LINE_UM = 380,
    HOUSE_RING_INNER_LINE_UM = 180,
    HOUSE_RING_CLEAR_UM = 250,   /* number to ring */
    HOUSE_RING_NUMBER = 800,     /* least size of a number in two rings, per thousand */
    HOUSE_RING_GAP_UM = 2600,    /* ring to heading */
    HOUSE_BLOCK_GAP_UM = 6000,   /* before an exercise */
    HOUSE_HEADING_GAP_UM = 2600, /* heading to what belongs to it */
    HOUSE_SYSTEM_GAP_UM = 5000,  /* line to line of an exercise */
    HOUSE_TEXT_LEAD = 1350,      /* per thousand of the em: baseline to baseline of paragraphs */
    HOUSE_TITLE_LEAD = 1150,     /* ... and of titles */
    HOUSE_PARAGRAPH_GAP_UM = 1600,
    HOUSE_KEY_GAP_UM = 3400,      /* rule to key */
    HOUSE_STAFF_UM = 7000,        /* the usual staff: signs in text are scaled from it */
    HOUSE_KEY_SCALE = 600,        /* the key's small staves, per thousand */
    HOUSE_KEY_STAFF_UM = 5000,    /* their width */
    HOUSE_KEY_SIGN_GAP_UM = 1300, /* small staff to its word */
    HOUSE_KEY_ITEM_GAP_UM = 4300,
    HOUSE_KEY_ROW_GAP_UM = 2600,
    HOUSE_KEY_ROW_STAFF = 5000,   /* height of a small staff with what stands above and below it */
    HOUSE_PLAN_GAP_UM = 3800,     /* key to the kit's plan */
    HOUSE_PLAN_HEIGHT_UM = 42000, /* of the plan, at most */
    HOUSE_PLAN_CM_UM = 300,       /* a centimetre of the kit, at most: a snare is 10.7 mm wide */
    HOUSE_PLAN_RIM_UM =
        340, /* line of a drum's rim; cymbals, hoops and pedals have a thinner one */
    HOUSE_PLAN_THIN_UM = 180,
    HOUSE_PLAN_HOOP_UM = 420,   /* a drum's rim to its hoop */
    HOUSE_PLAN_LEAST_UM = 700,  /* least radius of a ring in it */
    HOUSE_PLAN_CLEAR_UM = 250,  /* a name in its ring to the rim */
    HOUSE_PLAN_BESIDE_UM = 600, /* a name to other names, and beside its surface to rims */
    HOUSE_PLAN_NEAR_UM = 2500,  /* a name beside its surface is no farther away */
    HOUSE_PLAN_LEAD = 1000,     /* per thousand of the em: lines of a name */
    HOUSE_PLAN_LIST_UM = 45000, /* kept free at its right for names that do not fit in it */
    HOUSE_PLAN_SCALE_UM = 7000, /* least length of the bar that shows the scale */
    HOUSE_FORM_BARS = 8,        /* a longer practice form is written out only if the lesson asks */
    HOUSE_FORM_RING = 700,      /* rings of a practice form, per thousand of a heading's */
    HOUSE_LADDER_GAP_UM = 6500,
    HOUSE_LADDER_BOX_UM = 3400,
    HOUSE_LADDER_LINE_UM = 300,
    HOUSE_LADDER_STEP_GAP_UM = 1500, /* box to its number */
    HOUSE_LADDER_ITEM_GAP_UM = 7000,
    HOUSE_LADDER_ITEM_GAP_LEAST_UM = 3000,
    HOUSE_CAUTION_GAP_UM = 2400,
    HOUSE_TEMPO_GAP_UM = 1200,  /* note to "=" */
    HOUSE_SMALL_NOTE_GAP = 900, /* between two notes in a line of text */
    HOUSE_TEMPO_SCALE = 720,    /* the tempo's note beside its text, per thousand */

    /* ---- how much left-over height may add to a gap, and how much a full page may take ---- */
    HOUSE_BLOCK_GROWTH_UM = 9000,  /* before an exercise */
    HOUSE_LADDER_GROWTH_UM = 5000, /* before a ladder */
    HOUSE_SYSTEM_GROWTH_UM = 4000, /* between the lines of an exercise, which belong together */
    HOUSE_GROWTH_BARE = 500, /* per thousand of that growth, if a third of the page stays white
                                anyway: a few exercises are kept together */
    HOUSE_FOOT_LEVEL = 667,  /* per thousand: pages that reach so far end at one height */
    HOUSE_GAP_SHRINK = 550,  /* per thousand of any gap that may grow */

    /* ---- two exercises side by side ---- */
    HOUSE_BESIDE_GAP_UM = 8000,   /* between their columns */
    HOUSE_BESIDE_BARS = 8,        /* more bars never fit */
    HOUSE_BESIDE_TITLE_LINES = 2, /* a heading of more looks better over the whole width */

    HOUSE_PICTURE_MARGIN = 1000, /* around the first line of music as a picture */

    /* ---- the cover and the contents of a booklet ---- */
    HOUSE_COVER_TOP = 235, /* per thousand of the sheet's height: the title's baseline */
    HOUSE_COVER_LINES = 4, /* a title of more lines is set like a lesson's */
    HOUSE_COVER_LINES_MOST = 10,
    HOUSE_COVER_RULE_UM = 600,
    HOUSE_COVER_GAP_UM = 5500, /* title to subtitle, subtitle to rule, rule to author */
    HOUSE_COVER_DRUM = 670,    /* per thousand of the height: the drum's middle */
    HOUSE_DRUM_UM =
        34000, /* radius of the drum's outer ring; the rest in proportion to a heading's */
    HOUSE_DRUM_LUGS = 8,
    HOUSE_DRUM_LUG_UM = 4200, /* a lug's length, out from the ring, and its width */
    HOUSE_DRUM_LUG_WIDTH_UM = 3000,
    HOUSE_DRUM_WORD_UM = 9500,     /* baseline of the number to that of the word under it */
    HOUSE_CONTENTS_LINES_MOST = 4, /* of one title */
    HOUSE_CONTENTS_LEAD_UM = 6900, /* baseline to baseline */
    HOUSE_CONTENTS_PART_UM = 5000, /* more white before the heading of a course */
    HOUSE_CONTENTS_INDENT_UM = 6000,
    HOUSE_LEADER_STEP_UM = 2000, /* dot to dot, counted from the right margin, so that they align */
    HOUSE_LEADER_DOT_UM = 320,
    HOUSE_LEADER_GAP_UM = 2500, /* text to leader, leader to number, at least */

    /* ---- breaking: costs, without a unit ---- */
    HOUSE_COST_LINE = 30,          /* each line: if both are good, fewer lines win */
    HOUSE_COST_UNLIKE = 6000,      /* lines that follow each other: by the square of how much more
                                      the one is stretched than the other */
    HOUSE_COST_BAR_ALONE = 30000,  /* a bar alone between lines of more: only where nothing else */
    HOUSE_COST_LAST_ALONE = 5000,  /* ... in the last line after one of more */
    HOUSE_COST_UNEVEN = 15000,     /* ... is possible, not even as close as ink allows */
    HOUSE_COST_PARTED = 3000,      /* a line between two bars that one sign could repeat */
    HOUSE_COST_WIDOW = 3000,       /* a last line that is almost empty; less the fuller it is */
    HOUSE_COST_PAGE = 1000,        /* each page */
    HOUSE_COST_PAGE_FIT = 1000000, /* ... of a lesson that asks to fit one */
    HOUSE_COST_IN_EXERCISE = 300,  /* a page turned inside an exercise */
    HOUSE_COST_LONE_FIRST = 2500,  /* ... after its first line */
    HOUSE_COST_LONE_LAST =
        20000, /* ... before its last line: worse than any white or another page */
    HOUSE_COST_CLOSE_PAGE = 600,  /* a page whose gaps have shrunk all they can */
    HOUSE_RHYTHMS_SEEN = 64,      /* a bar is compared with this many rhythms before it */
    HOUSE_BARS_STORED = 256,      /* an exercise of up to this many bars keeps them from breaking to
                                     drawing its lines, in two megabytes; a longer one sets them twice */
    HOUSE_KEPT_MARKS = 1 << 19,   /* so many marks are kept from measuring to writing pages: 32 MiB,
                                     four hundred pages; the rest is drawn a second time */
    HOUSE_COST_GROWN_PAGE = 200,  /* a page whose gaps have grown all they can */
    HOUSE_COST_WHITE_PAGE = 8000, /* a page of nothing but white, after that */
    HOUSE_COST_WHITE_LAST = 6000, /* ... if it is the last */
    HOUSE_COST_BARE_PAGE = 250,   /* a page with more than a third white: not beside a full one */
    HOUSE_COST_TWINS = -1500,     /* two leads side by side: a reader compares them at a glance */
    HOUSE_COST_DUO = -450,        /* two exercises that leave half their lines empty */
    HOUSE_COST_DUO_LINE = 100,    /* ... for each line of text after the first of each */
    HOUSE_COST_SPANNING = 300 /* ... for each that would span the page: only if it helps breaking */
};

#endif
