//! A model of every sentence, shown when one goes astray: the quickest way to learn how it is written.

/// Declares the models in one place.
macro_rules! models {
    ($($name:ident $sample:literal,)*) => {
        /// Which sentence, as a label of its rule.
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        #[allow(missing_docs, reason = "each is the sentence it names")]
        pub(super) enum Model { $($name,)* }

        impl Model {
            /// How the sentence is written that begins with this word.
            pub(super) fn sample(self, first: &str) -> &'static str {
                let drawn = DRAWN.iter().find(|(kind, _)| *kind == first);
                match (self, drawn) {
                    (Model::Draw, Some((_, sample))) => sample,
                    $((Model::$name, _) => $sample,)*
                }
            }
        }
    };
}

impl Model {
    /// Whether the sentence gives something its name.
    pub(super) fn gives_a_name(self) -> bool {
        !matches!(
            self,
            Model::Outline
                | Model::Cut
                | Model::Grain
                | Model::Allow
                | Model::Corner
                | Model::Finish
                | Model::Fold
                | Model::Interline
                | Model::Notch
                | Model::Mark
                | Model::Dart
                | Model::Ease
                | Model::Gather
                | Model::Stretch
                | Model::Meets
                | Model::Open
                | Model::SeamCorner
                | Model::Order
                | Model::TakePieces
                | Model::TakeSeams
        )
    }
}

/// A drawing sentence of each kind.
const DRAWN: &[(&str, &str)] = &[
    ("line", "line side = from underarm to hem_corner"),
    (
        "curve",
        "curve neck = from cb_neck to neck_point leaving right arriving up",
    ),
    ("length", "length quarter = bust_girth / 4"),
    ("angle", "angle slope = angle between shoulder and level"),
    ("area", "area cloth = area of centre, hem, side, neck"),
    ("number", "number spaces = round_up to_hem / 95mm to 1"),
    (
        "direction",
        "direction way = direction from cb_neck to cb_hem",
    ),
    ("text", "text side = \"right\""),
    ("list", "list edges = [side, hem]"),
    ("answer", "answer wide = hip_girth > bust_girth"),
    ("panel", "panel turned = mirror front over front.centre"),
];

models! {
    Edition "edition 1",
    Draft "draft \"Shirt back\"",
    Unit "unit cm",
    Import "import \"block.draft\" as block with bust_ease 10cm",
    Use "use shirt",
    Body "body bust_girth = 92cm between 74cm and 140cm \"how to take it\"",
    Choose "choose ease = 8cm between 4cm and 16cm \"what it does\"",
    Require "require \"the bust is not the smaller\" that bust_girth >= waist_girth",
    Check "check \"half neckline\" that length of neck = 20cm",
    Draw "point hem_point = cb_neck down 60cm",
    Guide "guide line bisector = from apex to end of mouth",
    Redraw "redraw neck = from cb_neck to neck_point",
    Panel "panel back traced from house.back { … }",
    ClothAt "cloth at blade_point",
    Cloth "cloth main \"poplin\" width 150cm",
    Step "step \"Frame\" { … }",
    Note "note \"Pivot about the blade.\"",
    Why "why \"A short back pulls up.\"",
    Caution "caution \"The hip has no ease.\"",
    Slip "slip hip_quarter is hip_girth / 4 \"You left out the ease.\"",
    Terms "terms back_width, scye_depth",
    Try "try lift between 0mm and 30mm { … } until length of a = length of b",
    Each "each n from 1 to 6 { … }",
    Carry "carry reached = reached + width",
    If "if length of a > 20cm { … } otherwise { … }",
    Operation "operation square_neck (curve neck) from (point a) with (length depth = 2cm) gives curve \"…\" { … }",
    Give "give cap, hem",
    Piece "piece back \"Back\" of back { … }",
    TakePieces "pieces of house without band",
    TakeSeams "seams of house",
    Seam "seam side joins front.side to back.side { allow 1cm }",
    Outline "outline centre, hem, side as side_seam",
    Cut "cut 2 alike on fold at centre from main",
    Grain "grain along centre",
    Allow "allow 15mm on hem, side",
    Corner "corner hem, side turned back",
    Finish "finish hem \"turned twice\"",
    Fold "fold fold_1 onto onto_1",
    Interline "interline 1 from fusible by 2mm",
    Notch "notch double at 85mm from back.underarm",
    Mark "mark button_1 \"button\" with diameter 12mm, thickness 3mm",
    Dart "dart mouth_in to mouth_out at apex pressed toward cb_waist drill 10mm",
    Ease "ease 4mm to 12mm on arm.cap",
    Gather "gather 1.5 on cap between back_notch and front_notch",
    Stretch "stretch 5mm on back.inseam between fork and back.knee",
    Meets "upper.tip meets under.tip",
    Open "open between zip_end and cb_waist \"zip\"",
    SeamCorner "corner at front.tip \"the point\"",
    Sewn "sewn felled 6mm, 16mm",
    Tolerance "tolerance 1mm",
    Order "order shoulder, side, hem_facing",
    Comparison "length of a is 4mm longer than length of b",
    Chain "a < b and b < c",
    List "[a, b]",
}
