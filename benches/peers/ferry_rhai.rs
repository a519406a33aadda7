//! `ferry.rhai` in its engine: read once, then run for one body at a time. What the engine does not need for this script is
//! left out of it when it is built, its counting of steps and its checks of numbers among them.

use super::ferry_kurbo::Figures;
use rhai::{AST, Dynamic, Engine, Scope};
use std::error::Error;

/// The script, read.
pub struct Script {
    engine: Engine,
    ast: AST,
}

/// Names of the points that the script gives, in its order; the drafts' own.
pub const NAMES: [&str; 46] = [
    "house.back.neck_point",
    "house.back.closed_shoulder_point",
    "house.back.neck_corner",
    "house.back.blade_point",
    "house.back.dart_in",
    "house.back.dart_out",
    "house.back.shoulder_point",
    "house.back.armhole_mid",
    "house.back.underarm",
    "house.back.hip_side",
    "house.front.neck_point",
    "house.front.closed_shoulder_point",
    "house.front.cf_neck",
    "house.front.neck_corner",
    "house.front.bust_point",
    "house.front.dart_out",
    "house.front.shoulder_point",
    "house.front.chest_point",
    "house.front.hip_side",
    "back.cb_neck",
    "back.neck_point",
    "back.shoulder_point",
    "back.underarm",
    "back.armhole_mid",
    "back.waist_side",
    "back.side_hem",
    "back.cb_hem",
    "back.yoke_end",
    "back.top_end",
    "back.pleat_top",
    "back.pleat_hem",
    "front.neck_point",
    "front.cf_neck",
    "front.shoulder_point",
    "front.turned_underarm",
    "front.underarm",
    "front.armhole_mid",
    "front.side_hem",
    "front.cf_hem",
    "front.seam_neck",
    "front.seam_armhole",
    "end of front.neck_fold",
    "end of front.hem_fold",
    "last of front.buttons",
    "end of yoke.strip_neck",
    "end of yoke.strip_armhole",
];

impl Script {
    /// Reads the script.
    pub fn new() -> Result<Self, Box<dyn Error>> {
        let engine = Engine::new();
        let mut scope = Scope::new();
        measures(&mut scope, &super::ferry_kurbo::DEFAULTS);
        let ast = engine
            .compile_with_scope(&scope, include_str!("ferry.rhai"))
            .map_err(|why| why.to_string())?;
        Ok(Self { engine, ast })
    }

    /// Runs it; the figures it gives, the first of which says whether every requirement and check held.
    pub fn run(&self, scope: &mut Scope<'_>, figures: &Figures) -> Result<Vec<Dynamic>, String> {
        scope.clear();
        measures(scope, figures);
        self.engine
            .eval_ast_with_scope::<rhai::Array>(scope, &self.ast)
            .map_err(|why| why.to_string())
    }
}

fn measures(scope: &mut Scope<'_>, f: &Figures) {
    let [bust, hip, neck] = f.house;
    let all = [
        ("bust_girth", f.bust_girth),
        ("upper_chest_girth", f.upper_chest_girth),
        ("hip_girth", f.hip_girth),
        ("neck_base_girth", f.neck_base_girth),
        ("shoulder_length", f.shoulder_length),
        ("shoulder_slope", f.shoulder_slope),
        ("back_width", f.back_width),
        ("front_width", f.front_width),
        ("back_waist_length", f.back_waist_length),
        ("scye_depth", f.scye_depth),
        ("front_waist_length", f.front_waist_length),
        ("neck_to_bust_point", f.neck_to_bust_point),
        ("bust_point_width", f.bust_point_width),
        ("waist_to_hip", f.waist_to_hip),
        ("house_bust_ease", bust),
        ("house_hip_ease", hip),
        ("house_neck_ease", neck),
        ("bust_ease", f.bust_ease),
        ("hip_ease", f.hip_ease),
        ("waist_in", f.waist_in),
        ("hem_share", f.hem_share),
        ("neck_wider", f.neck_wider),
        ("shoulder_longer", f.shoulder_longer),
        ("armhole_lower", f.armhole_lower),
        ("back_length", f.back_length),
        ("tail", f.tail),
        ("front_shorter", f.front_shorter),
        ("forward", f.forward),
        ("pleat", f.pleat),
        ("overlap", f.overlap),
        ("facing", f.facing),
    ];
    for (name, value) in all {
        scope.push(name, value);
    }
}
