//! The stable names of messages. A code is words, never a number, and never changes its meaning; `explain CODE` tells it.

/// Declares [`Code`] and its names in one place.
macro_rules! codes {
    ($($(#[$doc:meta])* $variant:ident = $name:literal,)*) => {
        /// The named kind of a message.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Code { $($(#[$doc])* $variant,)* }

        impl Code {
            /// Every code, in the order of its topic.
            pub const ALL: &'static [Code] = &[$(Code::$variant,)*];

            /// The name that is printed and that `explain` takes.
            pub fn name(self) -> &'static str {
                match self { $(Code::$variant => $name,)* }
            }

            /// The file that explains it; without one, nothing compiles.
            pub(super) fn explained(self) -> &'static str {
                match self {
                    $(Code::$variant => include_str!(concat!("explain/", $name, ".draft")),)*
                }
            }

            /// The code of that name.
            pub fn named(name: &str) -> Option<Code> {
                Self::ALL.iter().copied().find(|code| code.name() == name)
            }
        }
    };
}

codes! {
    // Letters and lines
    /// A letter that no sentence uses.
    StrayCharacter = "stray-character",
    /// A character pasted from a word processor that looks like another.
    LookAlikeCharacter = "look-alike-character",
    /// A text that does not end on its line.
    TextNotClosed = "text-not-closed",
    /// A unit that stands apart from its number.
    UnitApart = "unit-apart",
    /// A unit the language does not have.
    UnknownUnit = "unknown-unit",
    /// A figure written in a way that reads two ways: `1,5cm`, `5"`, `½`.
    FigureForm = "figure-form",
    /// Two versions of some lines that a version control did not merge.
    NotMerged = "not-merged",
    /// A bracket that is never closed, or closes nothing.
    BracketUnmatched = "bracket-unmatched",
    /// Brackets nested too deeply, a sentence too long, a file too large.
    TooLarge = "too-large",
    // Sentences
    /// A sentence that stops or goes astray.
    SentenceBroken = "sentence-broken",
    /// A reserved word where a name is wanted.
    NameIsReserved = "name-is-reserved",
    /// A phrase with linking words stands bare where it needs brackets.
    PhraseNeedsBrackets = "phrase-needs-brackets",
    /// A sentence in a place where it has no meaning.
    SentenceOutOfPlace = "sentence-out-of-place",
    /// A text whose `{…}` cannot be read.
    TextHoleBroken = "text-hole-broken",
    // Files
    /// A file that cannot be read.
    FileUnreadable = "file-unreadable",
    /// An import outside the main draft's folder.
    ImportOutsideFolder = "import-outside-folder",
    /// Files that import each other.
    ImportCircle = "import-circle",
    /// A library module that does not exist.
    UnknownModule = "unknown-module",
    /// An edition this program does not know.
    UnknownEdition = "unknown-edition",
    // Names
    /// A name that nothing draws.
    UnknownName = "unknown-name",
    /// A name that is drawn further down.
    NameDrawnLater = "name-drawn-later",
    /// A name drawn twice.
    NameDrawnTwice = "name-drawn-twice",
    /// A fresh name that a head word already has.
    NameBeginsAPhrase = "name-begins-a-phrase",
    /// A redrawn name that was never drawn.
    NothingToRedraw = "nothing-to-redraw",
    /// A name drawn on one branch only.
    DrawnOnOneBranch = "drawn-on-one-branch",
    /// Names that differ in capitals only.
    NamesAlike = "names-alike",
    /// A name nothing reads.
    NameUnused = "name-unused",
    /// What an `each` carries on without saying how, or what is carried on by none.
    NotCarried = "not-carried",
    /// An `each` that cannot be laid out, or a name that none lays out.
    NotLaidOut = "not-laid-out",
    /// A panel's member that the panel does not have.
    UnknownMember = "unknown-member",
    /// A count of names that differs from the count of values.
    NamesAndValues = "names-and-values",
    // Kinds
    /// A value of one kind where another is wanted.
    WrongKind = "wrong-kind",
    /// Panels of one list that do not hold the same.
    PanelsDiffer = "panels-differ",
    /// Arithmetic on kinds that do not go together.
    KindsDoNotMix = "kinds-do-not-mix",
    /// An expression that comes out as a kind without a name.
    KindWithoutName = "kind-without-name",
    /// A figure without a unit where a length or an angle is wanted.
    UnitMissing = "unit-missing",
    /// A turn without `clockwise` or `anticlockwise`.
    TurnWithoutSense = "turn-without-sense",
    /// A line without an end where a length or an end is wanted.
    LineIsEndless = "line-is-endless",
    // Phrases
    /// A head word that no phrase has.
    UnknownPhrase = "unknown-phrase",
    /// A head word with linking words that no form has.
    WordsDoNotFit = "words-do-not-fit",
    /// An option the phrase does not take.
    UnknownOption = "unknown-option",
    /// Two operations that would take the same words.
    FormsOverlap = "forms-overlap",
    /// An operation that calls itself or one below it.
    OperationNotAbove = "operation-not-above",
    /// `inside` or `outside` where the panel has not said where the cloth is.
    ClothSideUnknown = "cloth-side-unknown",
    // Measures and choices
    /// A value outside its declared range.
    OutOfRange = "out-of-range",
    /// A range or default that contradicts itself or another file.
    MeasureDisagrees = "measure-disagrees",
    /// A name set that no measure or choice has.
    NothingToSet = "nothing-to-set",
    /// A measure the given body lacks.
    MeasureMissing = "measure-missing",
    /// A table of bodies that cannot be read as it stands.
    BodyTable = "body-table",
    /// The drawings of the wearer's left and right cannot be put together.
    SidesApart = "sides-apart",
    /// A piece differs left from right, and the draft does not say which half it shows.
    SideNotTold = "side-not-told",
    /// A measure that nothing reads.
    MeasureUnused = "measure-unused",
    // Drawing
    /// Two paths that never meet.
    NeverMeet = "never-meet",
    /// A construction with several answers and none chosen.
    SeveralAnswers = "several-answers",
    /// A construction that no figure satisfies.
    CannotBeDrawn = "cannot-be-drawn",
    /// A curve with a loop in it, or a point from which it runs back.
    CurveTurnsBack = "curve-turns-back",
    /// A place past the end of a line.
    PastTheEnd = "past-the-end",
    /// Two points or lines that coincide where they must differ.
    NoLength = "no-length",
    /// A direction with two senses and nothing to choose by.
    WhichSense = "which-sense",
    /// A figure that is not finite, or larger than any cloth.
    FigureTooLarge = "figure-too-large",
    /// A division by zero, or a root of a negative figure.
    FigureUndefined = "figure-undefined",
    /// `try` finds no value.
    NothingSolves = "nothing-solves",
    /// `try` finds two values.
    TwoSolve = "two-solve",
    /// `try` finds a value, and part of its range cannot be looked through.
    MoreMaySolve = "more-may-solve",
    /// The author of the draft, or of an operation, warns: `caution`.
    Caution = "caution",
    /// A limit the body passes: `require`.
    Required = "required",
    /// More sentences drawn than the program allows.
    TooManySteps = "too-many-steps",
    // Pieces and seams
    /// An outline that does not close.
    OutlineOpen = "outline-open",
    /// An outline that crosses itself.
    OutlineCrosses = "outline-crosses",
    /// A piece of lines since redrawn.
    PieceFromAnOlderSheet = "piece-from-an-older-sheet",
    /// An edge, piece or seam that does not exist.
    UnknownEdge = "unknown-edge",
    /// An edge no seam, fold or finish accounts for.
    EdgeNotWalked = "edge-not-walked",
    /// A seam whose sides differ by more than its tolerance.
    SeamDiffers = "seam-differs",
    /// A seam of which nothing says which ends meet.
    SeamUnsure = "seam-unsure",
    /// A seam that is to start, or to stop, where neither side does.
    SeamBroken = "seam-broken",
    /// A name that edges of several pieces, or several edges of one, bear.
    EdgeShared = "edge-shared",
    /// A seam's side that leaves a gap.
    EdgesApart = "edges-apart",
    /// A corner of one side of a seam that has no partner on the other.
    CornerUnpaired = "corner-unpaired",
    /// A seam of two pieces that cannot both be sewn right side out.
    WrongSideUp = "wrong-side-up",
    /// A line that does not run on over a seam.
    LineBreaks = "line-breaks",
    /// A dart whose legs differ, or that has no mouth.
    DartDiffers = "dart-differs",
    /// Darts that lie over each other.
    DartsOverlap = "darts-overlap",
    /// A dart that runs off its piece.
    DartOffPiece = "dart-off-piece",
    /// A notch that falls outside its seam.
    NotchOffSeam = "notch-off-seam",
    /// A mark that lies off its piece.
    MarkOffPiece = "mark-off-piece",
    /// An edge without an allowance.
    NoAllowance = "no-allowance",
    /// An interlining of which nothing is left.
    NoInterlining = "no-interlining",
    /// A fold that the outline does not meet squarely.
    FoldNotSquare = "fold-not-square",
    /// A piece on the fold whose grain does not run along it.
    FoldAcrossGrain = "fold-across-grain",
    /// A check of the draft that fails.
    CheckFails = "check-fails",
    /// A seam whose sides do not have the allowance it needs.
    AllowancesDiffer = "allowances-differ",
    /// A seam whose edges are not cut as often as it needs them.
    CutCount = "cut-count",
    /// A piece wider than the cloth that it is cut from.
    WiderThanCloth = "wider-than-cloth",
    /// A seam offered by a file whose other side is not here.
    SeamNotTaken = "seam-not-taken",
}

impl Code {
    /// Whether what is told was drawn and judged: the pattern is whole, and says on its pieces what is wrong with them.
    /// Any other error means that something is missing from the drawing.
    pub fn is_judged(self) -> bool {
        matches!(
            self,
            Code::CheckFails
                | Code::SeamDiffers
                | Code::SeamUnsure
                | Code::SeamBroken
                | Code::CornerUnpaired
                | Code::DartDiffers
                | Code::DartsOverlap
                | Code::DartOffPiece
                | Code::AllowancesDiffer
                | Code::FoldNotSquare
                | Code::NotchOffSeam
                | Code::OutlineCrosses
        )
    }
}

impl std::fmt::Display for Code {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name())
    }
}
