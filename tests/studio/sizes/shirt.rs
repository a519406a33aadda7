//! The library's shirt in the sizes 36 to 48 of `examples/sizes.csv` (this project's own steps on a base that agrees with
//! EN 13402-3, from memory), and in the women's steps of EN 13402-3 themselves (from memory).

use crate::sizes::{oaktag, set_of, text};
use oaktag_studio::sizes::set::rules::{Steadiness, rules};
use oaktag_studio::sizes::set::table::{Group, Growth, rows};
use oaktag_studio::sizes::set::{Set, constant, ladder};

fn example(name: &str) -> String {
    std::fs::read_to_string(format!("{}/examples/{name}", env!("CARGO_MANIFEST_DIR"))).unwrap()
}

fn shirt() -> Set {
    set_of(
        &example("womens-crew-shirt.draft"),
        &example("sizes.csv"),
        2,
    )
}

#[test]
fn every_seam_and_check_holds_in_every_size() {
    let set = shirt();
    assert_eq!(set.names(), ["36", "38", "40", "42", "44", "46", "48"]);
    for size in &set.sizes {
        assert!(size.is_well(), "{}: {:?}", size.name, size.told);
        assert!(
            size.pattern.holds() && size.pattern.unwalked.is_empty(),
            "{}",
            size.name
        );
    }
}

/// What must not grow (common practice): overlap, facing, take-up of pleats, widths of plackets, height of the stand and the
/// fall, allowances, the distance from underarm to its notches.
#[test]
fn what_must_not_grow_does_not() {
    let set = shirt();
    let rows = rows(&set);
    let names: Vec<String> = [
        "front.hem_on",
        "front.hem_fold",
        "back.pleat_base",
        "tower_overlap.seam_edge",
        "collar_stand.centre_back",
        "collar_fall.centre_back",
        "collar_fall.front_edge",
    ]
    .map(str::to_owned)
    .to_vec();
    assert_eq!(constant::named(&set, &rows, &names), Ok(Vec::new()));
    assert_eq!(constant::allowances(&set), Vec::new());
    let (ladders, faults) = ladder::ladders(&set);
    assert!(faults.is_empty(), "{faults:?}");
    let underarm = ladders
        .iter()
        .find(|l| l.seam == "armhole" && l.number == 1)
        .unwrap();
    assert!(
        underarm
            .distances
            .iter()
            .all(|mm| (mm - underarm.distances[0]).abs() < 0.01)
    );
    // What does grow is told.
    let grows = constant::named(&set, &rows, &["back.hem".to_owned()]).unwrap();
    assert_eq!(grows.len(), 1);
    assert!(grows[0].words.contains("36 26.6"), "{grows:?}");
}

/// The steps of the table come out as steps of the garment: 40 mm of bust is 40 mm of the finished bust, 10 of a quarter.
#[test]
fn the_garment_grows_by_the_steps_of_the_table() {
    let set = shirt();
    let rows = rows(&set);
    let growth = |group: Group, name: &str| {
        rows.iter()
            .find(|r| r.group == group && r.name == name)
            .unwrap()
            .growth()
    };
    for name in [
        "shirt.finished_bust",
        "shirt.finished_waist",
        "shirt.finished_hip",
    ] {
        let Growth::Even(step) = growth(Group::Finished, name) else {
            panic!("{name}: {:?}", growth(Group::Finished, name));
        };
        assert!((step - 40.0).abs() < 0.01, "{name}: {step}");
    }
    let (rules, missing) = rules(&set, &[]);
    assert!(missing.is_empty(), "{missing:?}");
    let side = rules
        .iter()
        .find(|r| r.piece == "back" && r.corner == "side hem")
        .unwrap();
    let Steadiness::Constant(step) = side.steadiness() else {
        panic!("{side:?}");
    };
    assert!((step.x - 10.0).abs() < 0.1, "{step:?}");
    assert!(
        rules
            .iter()
            .all(|rule| !matches!(rule.steadiness(), Steadiness::Jumps(_)))
    );
}

/// Women's bust, waist and hip in centimetres, from memory of EN 13402-3: the interval breaks from 4 to 6 at 104.
const STEPS: &[(u32, u32, u32)] = &[
    (76, 60, 84),
    (80, 64, 88),
    (84, 68, 92),
    (88, 72, 96),
    (92, 76, 100),
    (96, 80, 104),
    (100, 84, 108),
    (104, 88, 112),
    (110, 94, 117),
    (116, 100, 122),
    (122, 106, 127),
    (128, 112, 132),
];

#[test]
fn the_steps_of_the_standard_run_and_the_break_shows() {
    let mut table = String::from(
        "size,upper_chest_girth,bust_girth,waist_girth,hip_girth,stature,upper_arm_girth,wrist_girth\n",
    );
    for (bust, waist, hip) in STEPS {
        let upper = f64::from(*bust) / 1.0575;
        let arm = 0.3 * f64::from(*bust) + 0.9;
        let wrist = 16.0 + 0.1 * (f64::from(*bust) - 92.0);
        table.push_str(&format!(
            "{bust},{upper:.2},{bust},{waist},{hip},168,{arm:.2},{wrist:.2}\n"
        ));
    }
    let set = set_of(&example("womens-crew-shirt.draft"), &table, 4);
    assert_eq!(set.sizes.len(), 12);
    for size in &set.sizes {
        assert!(
            size.is_well() && size.pattern.holds(),
            "{}: {:?}",
            size.name,
            size.told
        );
    }
    let rows = rows(&set);
    let bust = rows
        .iter()
        .find(|row| row.name == "shirt.finished_bust")
        .unwrap();
    let Growth::Uneven(low, high) = bust.growth() else {
        panic!("{:?}", bust.growth());
    };
    assert!(
        (low - 40.0).abs() < 0.01 && (high - 60.0).abs() < 0.01,
        "{low} {high}"
    );
    let (_, faults) = ladder::ladders(&set);
    assert!(faults.iter().all(|fault| !fault.is_error()), "{faults:?}");
}

#[test]
fn the_command_tells_the_whole_set() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let (csv, svg, pdf) = (path("table.csv"), path("nest.svg"), path("nest.pdf"));
    let shirt = "examples/womens-crew-shirt.draft";
    let with = [
        "sizes",
        shirt,
        "--bodies",
        "examples/sizes.csv",
        "--base",
        "40",
    ];
    let told = oaktag(
        &[
            &with[..],
            &["--csv", &csv, "-o", &svg, "--constant", "front.hem_fold"],
        ]
        .concat(),
    );
    assert_eq!(told.status.code(), Some(0), "{}", text(&told.stderr));
    assert!(text(&told.stdout).contains("7 sizes, every seam and check holds"));
    let mut table = csv::Reader::from_path(&csv).unwrap();
    assert_eq!(
        table.headers().unwrap().iter().collect::<Vec<_>>()[..4],
        ["group", "name", "unit", "36"]
    );
    let side = table
        .records()
        .map(Result::unwrap)
        .find(|row| &row[1] == "collar_stand.centre_back")
        .unwrap();
    assert!(
        side.iter().skip(3).all(|figure| figure == "32.0000"),
        "{side:?}"
    );
    let tiles = oaktag(&[&with[..], &["-o", &pdf, "--sheet", "a4", "--quiet"]].concat());
    assert_eq!(tiles.status.code(), Some(0), "{}", text(&tiles.stderr));
    assert!(std::fs::metadata(&pdf).unwrap().len() > 10_000);
    let grows = oaktag(&[&with[..], &["--constant", "front.hem", "--quiet"]].concat());
    assert_eq!(grows.status.code(), Some(1));
    assert!(
        text(&grows.stdout).contains("Front hem must be constant"),
        "{}",
        text(&grows.stdout)
    );
    for wrong in [
        ["--base", "41"],
        ["--constant", "front.hemm"],
        ["--stack", "nowhere"],
        ["--piece", "bakc"],
        ["-o", "nest.txt"],
    ] {
        let refused = oaktag(
            &[
                &["sizes", shirt, "--bodies", "examples/sizes.csv", "--quiet"][..],
                &wrong[..],
            ]
            .concat(),
        );
        assert_eq!(
            refused.status.code(),
            Some(2),
            "{wrong:?}: {}",
            text(&refused.stderr)
        );
    }
}
