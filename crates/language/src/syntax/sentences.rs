//! The sentences of a draft, of its pieces and of its seams, and what stands in their values beside phrases: a row for each
//! form, with its documentation and an example that the tests draw. `phrases`, its page and the guesses of messages read
//! these rows; the grammar of each is under `parser/`, and the whole in `grammar/oaktag.ebnf`.

use super::guess::Guess;

/// Where a sentence stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Of {
    /// At the head of a draft.
    Head,
    /// In a draft, a panel or a block.
    Sheet,
    /// Among the pieces and seams of a draft.
    Pattern,
    /// In a piece.
    Piece,
    /// In a seam.
    Seam,
    /// In a value.
    Value,
}

impl Of {
    /// Every place, in the order of the reference.
    pub const ALL: [Of; 6] = [
        Of::Head,
        Of::Sheet,
        Of::Pattern,
        Of::Piece,
        Of::Seam,
        Of::Value,
    ];

    /// As a heading.
    pub fn words(self) -> &'static str {
        match self {
            Of::Head => "Sentences at the head of a draft",
            Of::Sheet => "Sentences of a draft, a panel or a step",
            Of::Pattern => "Sentences that make pieces and seams",
            Of::Piece => "Sentences of a piece",
            Of::Seam => "Sentences of a seam",
            Of::Value => "What stands in a value beside phrases",
        }
    }
}

impl Of {
    /// Where that is, as a sentence.
    pub fn stands(self) -> &'static str {
        match self {
            Of::Head => "stands at the head of a draft",
            Of::Sheet => "stands in a draft, a panel or a step",
            Of::Pattern => "stands at the left margin of a draft",
            Of::Piece => "stands in a piece",
            Of::Seam => "stands in a seam",
            Of::Value => "stands in a value",
        }
    }
}

/// One form of a sentence.
#[derive(Debug)]
pub struct Row {
    /// Where it stands.
    pub of: Of,
    /// Words under which it is looked up, spaces between: the one it begins with first.
    pub words: &'static str,
    /// Its form, as signatures of phrases are written.
    pub form: &'static str,
    /// What it says, in the trade's words.
    pub doc: &'static str,
    /// A sentence or two on the draft of [`FRAME`].
    pub example: &'static str,
    /// Forms that people guess for it.
    pub guessed: &'static [Guess],
}

/// The draft that the examples stand in: each in place of the remark that names where it stands.
pub const FRAME: &str = include_str!("sentences.draft");

impl Row {
    /// Whether it is found under that word.
    pub fn is_called(&self, word: &str) -> bool {
        self.words.split(' ').any(|own| own == word)
    }
}

macro_rules! rows {
    ($($of:ident $words:literal $form:literal $doc:literal $example:literal $([$($said:literal),+ => $write:literal])*;)*) => {
        /// Every form, in the order of the reference.
        pub const ALL: &[Row] = &[$(Row {
            of: Of::$of,
            words: $words,
            form: $form,
            doc: $doc,
            example: $example,
            guessed: &[$(Guess { said: &[$($said),+], write: $write }),*],
        },)*];
    };
}

rows! {
    Head "edition" "edition NUMBER"
        "The edition of the language that the draft is written in, on its first line. Without it, the newest."
        "edition 1";
    Head "draft title" "draft \"TITLE\""
        "What the draft is called on paper and in lessons."
        "draft \"Shirt back\"";
    Head "unit" "unit mm | cm | in"
        "The unit of figures that people read. Every figure of the draft carries its own all the same."
        "unit cm";
    Head "import" "import \"FILE\" as NAME [with CHOICE …]"
        "Another draft, under a name: its panels, measures and choices are `NAME.back`, `NAME.ease`."
        "import \"block.draft\" as house with ease 8cm";
    Head "use library module" "use MODULE"
        "A module of the library, whose acts may then be called."
        "use dart";
    Head "body measure" "body NAME = VALUE [between LEAST and MOST] [\"HOW IT IS TAKEN\"]"
        "A measure of the body, with the default it has where none is given, or a formula over others."
        "body neck_girth = 38cm between 30cm and 50cm \"round the base of the neck\""
        ["measure NAME = LENGTH" => "body NAME = LENGTH"];
    Head "choose choice option" "choose NAME = VALUE [between LEAST and MOST] [\"WHAT IT DOES\"]"
        "What is chosen for a garment: an ease, a depth, a number, yes or no."
        "choose ease = 8cm between 4cm and 16cm \"all round\"";
    Head "choose choice" "choose NAME = \"TEXT\" of \"TEXT\", … [\"WHAT IT DOES\"]"
        "A choice among texts."
        "choose shape = \"pointed\" of \"pointed\", \"square\" \"the shape of its foot\"";
    Head "require" "require \"WORDS\" that CONDITION"
        "What must hold of measures and choices, or nothing is drawn."
        "require \"the hip is measured\" that hip_girth > 0cm";
    Head "operation act" "operation HEAD … gives KIND [\"WHAT IT IS\"] { … }"
        "An act of the draft's own, called by its head like any phrase."
        "operation midpoint from (point a) to (point b) gives point \"Half way.\" {\n  give 1/2 of the way from a to b\n}";

    Sheet "point line curve length angle area number direction text list answer draw" "KIND NAME = VALUE"
        "Draws or works out something under a name. The kinds are point, line, curve, length, angle, area, number, direction, text, list and answer."
        "point hem_point = top down 60cm\nline across = from waist toward left";
    Sheet "point line curve several" "KIND NAME, NAME, … = VALUE"
        "Several at once, from a phrase or a list that gives as many."
        "point upper, lower = [(1/4 of the way along side), (3/4 of the way along side)]";
    Sheet "guide aid" "guide KIND NAME = VALUE"
        "The same for an aid: seen in lessons and pictures, and needed nowhere else."
        "guide line bisector = from apex toward up";
    Sheet "redraw" "redraw NAME = VALUE"
        "Draws a line, point or curve of this panel anew, from here on. What was built on the old one stays as it is."
        "redraw fold_1 = from (low right 2cm) toward up";
    Sheet "panel" "panel NAME { … }"
        "A sheet of its own; what is drawn on it is `NAME.line` elsewhere."
        "panel strip {\n  line strip_line = from origin toward right for 12cm\n}";
    Sheet "panel trace traced" "panel NAME traced from PANEL { … }"
        "A fresh sheet laid over another: all its lines, to draw on and redraw."
        "panel short_front traced from front {\n  redraw hem = from (low up 5cm) to (corner_point up 5cm)\n}";
    Sheet "panel act" "panel NAME = VALUE"
        "The panel that a phrase or an act gives."
        "panel turned = mirror front over front.centre"
        ["panel NAME = mirror of OTHER over FOLD" => "panel NAME = mirror OTHER over FOLD"];
    Sheet "cloth inside outside" "cloth at POINT"
        "On which side of its edges the cloth of a panel lies, for `inside` and `outside`."
        "cloth at apex";
    Sheet "step" "step \"NAME\" { … }"
        "Sentences that belong together, with their heading in a lesson."
        "step \"Waist\" {\n  point waist_in = waist left 1cm\n}";
    Sheet "note" "note \"WORDS\""
        "What a lesson says in this place. `{NAME}` in it is a figure of the draft."
        "note \"The hem is {length of hem} long.\"";
    Sheet "why" "why \"WORDS\""
        "Why it is done so, in a lesson."
        "why \"A short back pulls up.\"";
    Sheet "caution" "caution \"WORDS\""
        "What to take care of: a warning whenever it is drawn."
        "if hip_girth > 130cm {\n  caution \"Make a toile first.\"\n}";
    Sheet "slip" "slip NAME is VALUE \"WORDS\""
        "A usual mistake: the figure that it gives in place of NAME, and what to say of it."
        "length hip_quarter = hip_girth / 4\nslip hip_quarter is hip_girth / 2 \"You halved the hip; the quarter is wanted.\"";
    Sheet "terms glossary" "terms NAME, …"
        "Words of the trade that a lesson explains."
        "terms grain, notch";
    Sheet "try find solve until" "try NAME between LEAST and MOST { … } until A = B"
        "Finds the figure in a range by which what is drawn comes out as wanted."
        "try drop between 0cm and 10cm {\n  line slant = from (top down drop) to tip\n} until length of slant = 25cm";
    Sheet "if otherwise else" "if CONDITION { … } otherwise { … }"
        "Sentences that are drawn only where something holds, and others where it does not."
        "if hip_girth > 100cm {\n  point hip_point = low right 25cm\n} otherwise {\n  point hip_point = low right 24cm\n}"
        ["length NAME = if CONDITION LENGTH else LENGTHB", "length NAME = if CONDITION then LENGTH else LENGTHB", "length NAME = LENGTH if CONDITION else LENGTHB"
            => "if CONDITION { length NAME = LENGTH } otherwise { length NAME = LENGTHB }"];
    Sheet "each every repeat" "each NAME from NUMBER to NUMBER { … }"
        "The same for each number: points, lines, panels and pieces, numbered as they are laid out."
        "each n from 1 to 3 {\n  point spot = top down n * 10cm\n}";
    Sheet "each list" "list NAME = each NAME from NUMBER to NUMBER { … give VALUE }"
        "A list with one thing for each number, or for each of another list (`each NAME in LIST`)."
        "list spots = each n from 1 to 3 { give top down n * 10cm }";
    Sheet "carry carrying" "carry NAME = VALUE"
        "In an `each … carrying NAME from VALUE { … }`: what NAME is the next time."
        "list places = each n from 1 to 3 carrying reached from 0cm {\n  carry reached = reached + n * 1cm\n  give reached\n}";

    Sheet "give" "give VALUE, …"
        "What an act hands to its caller, or an `each` puts into its list."
        "list halves = each n from 1 to 4 { give n * 1cm / 2 }";

    Pattern "piece" "piece NAME [\"LABEL\"] [of PANEL] { … }"
        "A piece of the pattern, made of lines of a panel: of the panel of its own name, where none is said."
        "piece strip \"Strip\" of front {\n  outline centre, hem, side, shoulder\n  cut 1\n  grain along centre\n  allow 1cm\n  finish centre, hem, side, shoulder \"bound\"\n}";
    Pattern "piece trace traced" "piece NAME [\"LABEL\"] traced from PIECE { … }"
        "A piece like another, with what is said otherwise of it."
        "piece facing \"Facing\" traced from front {\n  interline 1 from fusible by 2mm\n}";
    Pattern "pieces take" "pieces of PANEL [without PIECE, …]"
        "All pieces and seams that an act or an imported draft hands over, or all but these."
        "use shirt\nuse body\npanel shirt = womens_block\nseams of shirt";
    Pattern "seam join joins walk next each" "seam NAME joins EDGE, … to EDGE, … [from POINT, POINT] [toward POINT, POINT] [{ … }]"
        "Two sides that are sewn to each other, walked from the starts named. Of panels that an `each` lays out, `each gore.waist` is that edge of every one, and in the block `next gore.side` that of the one after."
        "seam shoulder joins back.shoulder to front.shoulder from back.tip, front.tip { allow 1cm }"
        ["seam NAME joins EDGE and OTHER" => "seam NAME joins EDGE to OTHER"];
    Pattern "order make" "order SEAM, …"
        "The order in which the seams are made up."
        "order side";
    Pattern "cloth" "cloth NAME [\"LABEL\"] [width LENGTH, …]"
        "A cloth that pieces are cut from. It may have width, thickness, stripe, plaid, warp and weft (shrinkage), nap and one_way."
        "cloth canvas_cloth \"canvas\" width 140cm, warp 2%";
    Pattern "check" "check \"WORDS\" that CONDITION"
        "What must hold of the finished drawing, told with its figures."
        "check \"the hem is level\" that (rise from back.low to back.corner_point) = 0cm";

    Piece "outline edge" "outline EDGE, EDGE as NAME, …"
        "The edges in order, round the piece; it must close. `as` gives an edge another name."
        "outline centre, hem as lower, side, shoulder";
    Piece "cut pair mirrored" "cut NUMBER [alike] [from CLOTH]"
        "How many: two are a mirrored pair, and `alike` lie the same way up."
        "cut 2 alike from main"
        ["cut 2 pairs from CLOTH", "cut two pairs from CLOTH" => "cut 4 from CLOTH"]
        ["cut 2 pairs", "cut two pairs" => "cut 4"]
        ["cut NUMBER of CLOTH", "cut NUMBER in CLOTH", "cut NUMBER CLOTH" => "cut NUMBER from CLOTH"]
        ["cut a pair from CLOTH", "cut pair from CLOTH", "cut a pair of CLOTH" => "cut 2 from CLOTH"]
        ["cut a pair", "cut pair", "cut one pair" => "cut 2"];
    Piece "cut fold" "cut NUMBER on fold at EDGE [from CLOTH]"
        "The half as drawn, with this edge on the fold of the cloth."
        "cut 1 on fold at centre from main\nfinish hem, shoulder \"bound\""
        ["cut NUMBER on fold along EDGE", "cut NUMBER on the fold at EDGE", "cut NUMBER on fold EDGE", "cut NUMBER at fold EDGE" => "cut NUMBER on fold at EDGE"];
    Piece "cut whole unfolded" "cut NUMBER whole at EDGE [from CLOTH]"
        "Drawn as a half, and cut whole: unfolded at this edge on paper and for cutting rooms."
        "cut 2 whole at centre from main\nfinish hem, shoulder \"bound\""
        ["cut NUMBER unfolded at EDGE", "cut NUMBER opened at EDGE", "cut NUMBER opened out at EDGE" => "cut NUMBER whole at EDGE"];
    Piece "grain" "grain along LINE"
        "Which way the threads run, and the grain arrow."
        "grain along centre"
        ["grain LINE", "grain on LINE", "grain parallel to LINE", "grain with LINE" => "grain along LINE"];
    Piece "grain across" "grain across LINE"
        "The threads run square to this line."
        "grain across hem"
        ["grain square to LINE", "grain perpendicular to LINE" => "grain across LINE"];
    Piece "allow allowance" "allow LENGTH [on EDGE, …]"
        "The seam allowance: of every edge, or of these."
        "allow 1cm\nallow 4cm on hem"
        ["allow LENGTH at EDGE", "allow LENGTH along EDGE", "allow LENGTH EDGE", "allowance LENGTH on EDGE", "allow EDGE LENGTH" => "allow LENGTH on EDGE"]
        ["seam allowance LENGTH", "seam allowance of LENGTH", "allowance LENGTH", "allow LENGTH all round", "allow LENGTH round", "allow LENGTH everywhere" => "allow LENGTH"];
    Piece "allow allowance nothing none" "allow nothing on EDGE, …"
        "No allowance: the edge is cut on its sewing line."
        "allow nothing on hem"
        ["allow none on EDGE", "no allowance on EDGE", "allow no on EDGE" => "allow nothing on EDGE"];
    Piece "allow allowance taper tapering" "allow LENGTH to LENGTH on EDGE, … from POINT"
        "An allowance that tapers: the first width at that end of the edge, and evenly to the second at the other. Of edges that follow each other it is one taper, over all of them."
        "allow 25mm to 1cm on shoulder from tip"
        ["allow LENGTH to LENGTHB on EDGE" => "allow LENGTH to LENGTHB on EDGE from start of EDGE | allow LENGTH to LENGTHB on EDGE from end of EDGE"]
        ["allow LENGTH at POINT to LENGTHB on EDGE" => "allow LENGTH to LENGTHB on EDGE from POINT"];
    Piece "corner" "corner EDGE, EDGE turned back | squared | stepped | mitred"
        "How the cutting line turns where two edges meet."
        "corner hem, side turned back"
        ["corner EDGE and OTHER turned back" => "corner EDGE, OTHER turned back"]
        ["corner EDGE and OTHER squared" => "corner EDGE, OTHER squared"]
        ["corner EDGE and OTHER mitred" => "corner EDGE, OTHER mitred"];
    Piece "finish" "finish EDGE, … [\"WORDS\"]"
        "How to finish edges that no seam joins."
        "finish centre \"overlocked\"";
    Piece "fold" "fold LINE, …"
        "Fold lines, notched where they meet the outline."
        "fold stripe"
        ["fold along LINE", "fold on LINE", "fold at LINE", "fold line LINE" => "fold LINE"];
    Piece "fold pleat onto" "fold LINE onto LINE"
        "A fold laid onto a line, with an arrow that says which way: a pleat, where both meet the outline."
        "fold fold_1 onto centre";
    Piece "notch" "notch [FORM] at POINT, …"
        "A mark at a point, with no partner: single, double, tee, vee or slit."
        "notch single at (20cm along shoulder from tip)";
    Piece "notch" "notch [FORM] at LENGTH from POINT"
        "The same so far from a corner of the piece, along the edge there that no seam takes."
        "notch double at 8cm from tip"
        ["notch FORM LENGTH from POINT" => "notch FORM at LENGTH from POINT"];
    Piece "dart" "dart POINT to POINT at POINT[, POINT] [along LINE, LINE] [pressed toward POINT] [drill LENGTH] [sewn LENGTH]"
        "A dart: the two corners of its mouth and its point. The outline goes from one corner to the other and lists no mouth."
        "dart (apex left 1cm) to (apex right 1cm) at (apex up 6cm), (apex down 6cm)";
    Piece "mark drill button buttonhole" "mark POINT, … [\"WORDS\"] [on left | on right] [with diameter LENGTH, thickness LENGTH]"
        "Points and lines to copy onto the cloth; words that begin with `drill` make a hole, a diameter and a thickness a button."
        "mark apex \"button\" with diameter 12mm, thickness 3mm"
        ["buttonhole POINT", "buttonhole at POINT" => "mark POINT \"buttonhole\""]
        ["button POINT", "button at POINT" => "mark POINT \"button\""]
        ["drill POINT", "drill at POINT" => "mark POINT \"drill\""];
    Piece "interline interlining" "interline NUMBER from CLOTH by LENGTH"
        "An interlining, so much smaller all round."
        "interline 1 from fusible by 2mm"
        ["interline from CLOTH by LENGTH", "interline CLOTH by LENGTH" => "interline 1 from CLOTH by LENGTH"];
    Piece "if otherwise else" "if CONDITION { … } otherwise { … }"
        "Around any of these."
        "if hip_girth > 100cm { allow 4cm on hem } otherwise { allow 3cm on hem }";

    Seam "ease" "ease LENGTH [to LENGTH] on EDGE, … [between POINT and POINT]"
        "That edge is longer by so much, and held in; a share of its partner, as in `3%`, may stand for the length."
        "ease 0mm to 4mm on back.side"
        ["ease EDGE by LENGTH", "ease EDGE LENGTH", "ease in LENGTH on EDGE" => "ease LENGTH on EDGE"];
    Seam "gather" "gather NUMBER [to NUMBER] on EDGE, … [between POINT and POINT]"
        "So many to one, or the length that is taken up."
        "gather 0mm to 4mm on back.side"
        ["gather EDGE by NUMBER", "gather EDGE NUMBER", "gather NUMBER EDGE", "gather EDGE to NUMBER" => "gather NUMBER on EDGE"];
    Seam "stretch" "stretch LENGTH on EDGE, … [between POINT and POINT]"
        "That edge is shorter by so much, and pulled."
        "stretch 0mm to 2mm on back.side"
        ["stretch EDGE by LENGTH", "stretch EDGE LENGTH" => "stretch LENGTH on EDGE"];
    Seam "notch" "notch [FORM] at LENGTH from POINT"
        "The same distance on both sides from an end of the seam."
        "notch double at 12cm from back.corner_point"
        ["notch FORM LENGTH from POINT" => "notch FORM at LENGTH from POINT"];
    Seam "notch" "notch [FORM] at POINT, POINT"
        "A point on each side; or one point, carried to the other side."
        "notch single at back.waist, front.waist";
    Seam "notch joints" "notch [FORM] at joints"
        "Where edges of one side meet, and the corners of a dart or pleat, carried to the other side."
        "notch single at joints";
    Seam "meets" "POINT meets POINT"
        "A point on each side that meet, without a snip."
        "back.waist meets front.waist";
    Seam "open vent zip" "open between POINT and POINT [\"WORDS\"]"
        "Walked and notched at both ends, not sewn."
        "open between back.corner_point and back.waist \"vent\"";
    Seam "corner" "corner at POINT [\"WHY\"]"
        "The line beside the seam may turn at that end."
        "corner at back.corner_point \"the point of the hem\"";
    Seam "allow allowance" "allow LENGTH [on EDGE, …]"
        "The allowance of both sides, or of one."
        "allow 15mm";
    Seam "sewn felled french bound faced plain" "sewn plain | felled LENGTH, LENGTH | french | bound LENGTH | faced"
        "How it is sewn, which gives both sides their allowance."
        "sewn felled 6mm, 16mm";
    Seam "tolerance" "tolerance LENGTH"
        "By how much the two sides may differ; 0.5 mm where nothing is said."
        "tolerance 1mm";

    Value "up down left right move" "POINT up | down | left | right LENGTH …"
        "A point moved level or upright on the sheet, by as many moves as need be."
        "point p = tip right 5cm down 2cm"
        ["raise POINT by LENGTH", "raise POINT LENGTH", "lift POINT by LENGTH", "POINT raised by LENGTH", "POINT up by LENGTH" => "POINT up LENGTH"]
        ["lower POINT by LENGTH", "lower POINT LENGTH", "drop POINT by LENGTH", "drop POINT LENGTH", "POINT lowered by LENGTH", "POINT down by LENGTH" => "POINT down LENGTH"]
        ["LENGTH DIRECTION from POINT", "LENGTH DIRECTION of POINT", "LENGTH to the DIRECTION of POINT", "LENGTH to DIRECTION of POINT", "POINT LENGTH DIRECTION",
            "POINT LENGTH to the DIRECTION", "DIRECTION LENGTH from POINT", "DIRECTION of POINT by LENGTH", "DIRECTION from POINT by LENGTH", "DIRECTION of POINT LENGTH",
            "from POINT DIRECTION LENGTH", "from POINT LENGTH DIRECTION", "move POINT DIRECTION LENGTH", "move POINT DIRECTION by LENGTH",
            "move POINT LENGTH DIRECTION", "move POINT by LENGTH DIRECTION", "move POINT by LENGTH toward DIRECTION", "shift POINT by LENGTH toward DIRECTION", "shift POINT DIRECTION LENGTH",
            "shift POINT DIRECTION by LENGTH", "POINT moved DIRECTION LENGTH", "POINT moved DIRECTION by LENGTH", "POINT moved LENGTH DIRECTION", "POINT DIRECTION by LENGTH",
            "POINT toward DIRECTION LENGTH", "POINT toward DIRECTION by LENGTH", "POINT by LENGTH DIRECTION" => "POINT DIRECTION LENGTH"]
        ["POINT out LENGTH", "POINT out by LENGTH", "POINT LENGTH out", "LENGTH out from POINT", "POINT outward LENGTH", "POINT outwards LENGTH", "move POINT out LENGTH", "move POINT out by LENGTH"
            => "POINT right LENGTH | POINT left LENGTH"]
        ["POINT in LENGTH", "POINT in by LENGTH", "POINT LENGTH in", "LENGTH in from POINT", "POINT inward LENGTH", "POINT inwards LENGTH", "move POINT in LENGTH", "move POINT in by LENGTH"
            => "POINT left LENGTH | POINT right LENGTH"];
    Value "until level" "POINT up | down | left | right until LINE"
        "A point moved until it lies on a line."
        "point p = tip down until hem"
        ["POINT DIRECTION to OTHER", "POINT DIRECTION onto OTHER", "DIRECTION from POINT to OTHER", "DIRECTION from POINT until OTHER", "move POINT DIRECTION to OTHER",
            "POINT DIRECTION until level OTHER", "POINT DIRECTION to meet OTHER", "POINT DIRECTION level with OTHER", "POINT DIRECTION to level OTHER"
            => "POINT DIRECTION until OTHER | POINT DIRECTION to level of OTHER"]
;
    Value "level" "POINT up | down | left | right to level of POINT"
        "A point moved until it is level with another, or upright above or below it."
        "point p = waist left to level of apex"
        ["POINT DIRECTION until OTHER" => "POINT DIRECTION to level of OTHER"]
        ["POINT level with OTHER" => "POINT down to level of OTHER"];
    Value "sum plus minus times divided" "A + B, A - B, A * B, A / B"
        "Sums of figures, each with its unit. A head with linking words stands in brackets in them."
        "length quarter = (hip_girth + 4cm) / 4"
        ["half LENGTH", "half of LENGTH", "half the LENGTH" => "LENGTH / 2"]
        ["quarter LENGTH", "quarter of LENGTH", "a quarter of LENGTH" => "LENGTH / 4"]
        ["third LENGTH", "third of LENGTH", "a third of LENGTH" => "LENGTH / 3"]
        ["double LENGTH", "twice LENGTH", "double of LENGTH" => "2 * LENGTH"]
        ["LENGTH plus LENGTHB" => "LENGTH + LENGTHB"]
        ["LENGTH minus LENGTHB" => "LENGTH - LENGTHB"]
        ["LENGTH times NUMBER" => "LENGTH * NUMBER"]
        ["LENGTH divided by NUMBER", "LENGTH over NUMBER" => "LENGTH / NUMBER"];
    Value "comparison condition longer shorter more less" "A < B, A <= B, A = B, A >= B, A > B, A is LENGTH longer than B"
        "What may hold or not: of figures, joined by `and`, `or` and `not`."
        "answer wide = hip_girth is 4cm longer than 90cm"
        ["is smaller than", "smaller than", "is lower than", "lower than", "is narrower than", "narrower than", "is fewer than", "fewer than" => "is shorter than | is less than"]
        ["is bigger than", "bigger than", "is larger than", "larger than", "is greater than", "greater than", "is wider than", "wider than", "is higher than", "higher than" => "is longer than | is more than"]
        ["is at least" => ">="]
        ["at least" => ">="]
        ["is at most" => "<="]
        ["at most" => "<="]
        ["equals" => "="]
        ["is equal to" => "="]
        ["POINT is on LINE", "POINT lies on LINE", "POINT on LINE" => "POINT is on LINE"]
        ["POINT meets OTHER", "POINT = OTHER", "POINT is OTHER", "POINT is at OTHER", "POINT touches OTHER" => "(distance from POINT to OTHER) <= 1mm"]
        ["POINT is above OTHER", "POINT above OTHER", "POINT is higher than OTHER" => "POINT is above OTHER"]
        ["POINT is below OTHER", "POINT below OTHER", "POINT is lower than OTHER" => "POINT is below OTHER"]
        ["POINT is left of OTHER", "POINT left of OTHER", "POINT is to the left of OTHER" => "POINT is left of OTHER"]
        ["POINT is right of OTHER", "POINT right of OTHER", "POINT is to the right of OTHER" => "POINT is right of OTHER"];
    Value "within" "A is within LENGTH of B"
        "The same, give or take so much."
        "answer level_enough = (rise from low to corner_point) is within 1mm of 0mm";
    Value "between range" "A is between LEAST and MOST"
        "In a range."
        "answer usual = hip_girth is between 80cm and 120cm";
    Value "on above below left right claim" "P is on LINE, P is above Q, P is below Q, P is left of Q, P is right of Q"
        "Where a point lies."
        "answer waist_on_side = waist is on side\nanswer hem_below = low is below top";
    Value "list" "[A, B, …]"
        "A list. A phrase in it stands in brackets of its own."
        "list points = [top, (1/2 of the way along side)]";
    Value "text hole" "\"WORDS {VALUE} WORDS\""
        "A text with a figure in it, in the unit that people read."
        "note \"The side is {length of side} long.\"";
    Value "each copy next" "NAME_1, NAME_2, …"
        "What an `each` lays out, by its number."
        "each n from 1 to 2 {\n  point pin = top down n * 5cm\n}\nline pins = from pin_1 to pin_2";
}
