//! The acts of the library, each with a sentence and what its page says must come before it.

/// An act.
pub struct Act {
    pub head: &'static str,
    /// Its sentence behind `panel shirt = `, with other options than its own after a bar.
    pub said: &'static [&'static str],
    /// Acts that must be laid before it.
    pub needs: &'static [&'static str],
}

const fn act(
    head: &'static str,
    said: &'static [&'static str],
    needs: &'static [&'static str],
) -> Act {
    Act { head, said, needs }
}

/// Acts on a block, in an order that works.
pub const ON_BLOCK: &[Act] = &[
    act(
        "full_bust",
        &["full_bust on shirt by 1cm", "full_bust on shirt by (-8mm)"],
        &[],
    ),
    act(
        "square_shoulders",
        &[
            "square_shoulders on shirt",
            "square_shoulders on shirt by 5mm",
        ],
        &[],
    ),
    act("sloping_shoulders", &["sloping_shoulders on shirt"], &[]),
    act("forward_shoulders", &["forward_shoulders on shirt"], &[]),
    act(
        "round_back",
        &["round_back on shirt", "round_back on shirt by (-8mm)"],
        &[],
    ),
    act("sway_back", &["sway_back on shirt"], &[]),
    act(
        "alter_neck",
        &[
            "alter_neck on shirt by 1cm",
            "alter_neck on shirt by (-1cm)",
        ],
        &[],
    ),
    act(
        "dartless_block",
        &[
            "dartless_block on shirt",
            "dartless_block on shirt with hem_share 0.3",
        ],
        &[],
    ),
    act(
        "shirt_body",
        &[
            "shirt_body on shirt",
            "shirt_body on shirt with ease 14cm, front_neck_lower 2cm",
        ],
        &[],
    ),
    act(
        "fitted_body",
        &[
            "fitted_body on shirt",
            "fitted_body on shirt with back_length 66cm",
        ],
        &[],
    ),
];

/// Acts on a body, in an order that works.
pub const ON_BODY: &[Act] = &[
    act(
        "open_neck",
        &[
            "open_neck on shirt with wider 5mm, back_lower 3mm, front_lower 1cm",
            "open_neck on shirt with front_lower 12mm",
        ],
        &[],
    ),
    act(
        "neck_to_size",
        &[
            "neck_to_size on shirt for 42cm",
            "neck_to_size on shirt for 44cm",
        ],
        &[],
    ),
    act(
        "longer_shoulders",
        &[
            "longer_shoulders on shirt by 1cm",
            "longer_shoulders on shirt by (-5mm)",
        ],
        &[],
    ),
    act(
        "deeper_armholes",
        &[
            "deeper_armholes on shirt by 1cm",
            "deeper_armholes on shirt by 5mm with back_wider 2mm",
        ],
        &[],
    ),
    act(
        "side_seams",
        &[
            "side_seams on shirt",
            "side_seams on shirt with shape \"straight\", hip_ease 14cm",
        ],
        &[],
    ),
    act(
        "tail_hem",
        &[
            "tail_hem on shirt",
            "tail_hem on shirt with back_length 80cm, side_rise 5cm",
        ],
        &["side_seams"],
    ),
    act(
        "straight_hem",
        &[
            "straight_hem on shirt",
            "straight_hem on shirt with back_length 78cm",
        ],
        &["side_seams"],
    ),
    act(
        "lengthen",
        &["lengthen on shirt by 4cm", "lengthen on shirt by (-15mm)"],
        &["tail_hem"],
    ),
    act(
        "side_vents",
        &[
            "side_vents on shirt",
            "side_vents on shirt by 2cm with turned 15mm",
        ],
        &["tail_hem"],
    ),
    act("felled_sides", &["felled_sides on shirt"], &["tail_hem"]),
    act(
        "forward_yoke",
        &[
            "forward_yoke on shirt",
            "forward_yoke on shirt with forward 3cm, seam_lower 2cm",
        ],
        &["tail_hem"],
    ),
    act(
        "split_yoke",
        &[
            "split_yoke on shirt",
            "split_yoke on shirt with grain \"bias\"",
        ],
        &["forward_yoke"],
    ),
    act(
        "box_pleat",
        &[
            "box_pleat on shirt",
            "box_pleat on shirt with take 4cm, folds \"inverted\"",
        ],
        &["forward_yoke"],
    ),
    act(
        "box_pleat_to_nothing",
        &["box_pleat_to_nothing on shirt"],
        &["forward_yoke"],
    ),
    act(
        "knife_pleats",
        &[
            "knife_pleats on shirt",
            "knife_pleats on shirt with ends \"nothing\"",
        ],
        &["forward_yoke"],
    ),
    act(
        "gathered_back",
        &[
            "gathered_back on shirt",
            "gathered_back on shirt with extra 3cm",
        ],
        &["forward_yoke"],
    ),
    act("button_row", &["button_row on shirt"], &["tail_hem"]),
    act(
        "folded_stand",
        &[
            "folded_stand on shirt",
            "folded_stand on shirt with overlap 2cm, facing 25mm",
        ],
        &["tail_hem"],
    ),
    act(
        "single_stand",
        &[
            "single_stand on shirt",
            "single_stand on shirt with facing 6cm",
        ],
        &["tail_hem"],
    ),
    act(
        "concealed_stand",
        &["concealed_stand on shirt"],
        &["tail_hem"],
    ),
    act(
        "band_stand",
        &[
            "band_stand on shirt",
            "band_stand on shirt with overlap 2cm",
        ],
        &["tail_hem"],
    ),
    act(
        "patch_pocket",
        &[
            "patch_pocket on shirt",
            "patch_pocket on shirt with how_many 2, shape \"rounded\"",
        ],
        &["tail_hem"],
    ),
    act(
        "pocket_flap",
        &[
            "pocket_flap on shirt",
            "pocket_flap on shirt with shape \"rounded\"",
        ],
        &["patch_pocket"],
    ),
    act(
        "dart_to_side",
        &[
            "dart_to_side on shirt",
            "dart_to_side on shirt with lower 6cm",
        ],
        &["fitted_body"],
    ),
];

/// Acts on a sleeve and for one, in an order that works.
pub const ON_SLEEVE: &[Act] = &[
    act("short_sleeve", &["short_sleeve on sleeve"], &[]),
    act(
        "three_quarter_sleeve",
        &["three_quarter_sleeve on sleeve"],
        &[],
    ),
    act(
        "tower_placket",
        &[
            "tower_placket on sleeve",
            "tower_placket on sleeve with pleats 0, gathers 5cm",
        ],
        &[],
    ),
    act("bound_placket", &["bound_placket on sleeve"], &[]),
    act("slit_placket", &["slit_placket on sleeve"], &[]),
    act("sleeve_tab", &["sleeve_tab on sleeve"], &["tower_placket"]),
    act(
        "single_cuff",
        &["single_cuff for sleeve"],
        &["tower_placket"],
    ),
    act(
        "double_cuff",
        &["double_cuff for sleeve"],
        &["tower_placket"],
    ),
];
