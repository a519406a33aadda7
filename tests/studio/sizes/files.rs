//! A nest as files for machines: read back by the `dxf` crate and held against the published schemas, block by block and
//! size by size against the drawings of each size alone.

use crate::sizes::{BOX, oaktag, set_of, text};
use dxf::entities::EntityType;
use kurbo::{Affine, Point};
use oaktag_studio::sizes::set::{dxf as nest_dxf, json, rules, table};
use serde_json::Value;

/// A block's cutting line as it lies in the file.
fn boundaries(file: &dxf::Drawing) -> Vec<(String, Vec<Point>)> {
    let inserts = file.entities().filter_map(|entity| match &entity.specific {
        EntityType::Insert(insert) => Some(insert),
        _ => None,
    });
    let of_insert = |insert: &dxf::entities::Insert| {
        let block = file
            .blocks()
            .find(|block| block.name == insert.name)
            .unwrap();
        let place = Affine::translate((insert.location.x, insert.location.y))
            * Affine::rotate(insert.rotation.to_radians());
        let line = block
            .entities
            .iter()
            .find_map(|entity| match &entity.specific {
                EntityType::Polyline(line) if entity.common.layer == "1" => Some(line),
                _ => None,
            });
        let vertices = line.unwrap().vertices();
        let points = vertices.map(|v| place * Point::new(v.location.x, v.location.y));
        (insert.name.clone(), points.collect())
    };
    inserts.map(of_insert).collect()
}

fn read(file: &str) -> dxf::Drawing {
    dxf::Drawing::load(&mut file.as_bytes()).unwrap()
}

const SIZES: &str = "name,chest,long\nS,84,40\nM,88,41\nL,96,43\n";

#[test]
fn a_dxf_has_a_block_for_each_piece_and_size_on_its_zero_point() {
    let set = set_of(BOX, SIZES, 1);
    let file = read(&nest_dxf::write(&set, &["back.low".parse().unwrap()], &[]));
    let found = boundaries(&file);
    let names: Vec<&str> = found.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(
        names,
        [
            "BACK-S", "BACK-M", "BACK-L", "FRONT-S", "FRONT-M", "FRONT-L"
        ]
    );
    // The box is a quarter of the chest wide and as long as it is, and a centimetre more on
    // every side but the fold; stacked on its lower end, its foot is where the others' is.
    let bounds = |points: &[Point]| {
        let first = kurbo::Rect::from_points(points[0], points[0]);
        points.iter().fold(first, |rect, p| rect.union_pt(*p))
    };
    let boxes: Vec<kurbo::Rect> = found.iter().map(|(_, points)| bounds(points)).collect();
    for (at, (chest, long)) in [(840.0, 400.0), (880.0, 410.0), (960.0, 430.0)]
        .into_iter()
        .enumerate()
    {
        let (one, base) = (boxes[at], boxes[1]);
        assert!((one.width() - chest / 4.0 - 10.0).abs() < 0.001, "{one:?}");
        assert!((one.height() - long - 20.0).abs() < 0.001, "{one:?}");
        assert!((one.x0 - base.x0).abs() < 0.001 && (one.y0 - base.y0).abs() < 0.001);
    }
    // Pieces do not lie on each other.
    let room = |boxes: &[kurbo::Rect]| boxes.iter().copied().reduce(|a, b| a.union(b)).unwrap();
    assert!(room(&boxes[..3]).intersect(room(&boxes[3..])).area() <= 0.0);
    let words: Vec<String> = file
        .blocks()
        .flat_map(|block| &block.entities)
        .filter_map(|entity| match &entity.specific {
            EntityType::Text(text) => Some(text.value.clone()),
            _ => None,
        })
        .collect();
    for size in ["Size: S", "Size: M", "Size: L"] {
        assert_eq!(
            words.iter().filter(|word| *word == size).count(),
            2,
            "{size}"
        );
    }
    let style = file.entities().filter_map(|entity| match &entity.specific {
        EntityType::Text(text) => Some(text.value.clone()),
        _ => None,
    });
    assert!(style.into_iter().any(|line| line == "Sample Size: M"));
    // One piece alone.
    let back = read(&nest_dxf::write(&set, &[], &["back".to_owned()]));
    assert_eq!(boundaries(&back).len(), 3);
}

/// Each corner of the box has a number on layer 2, the same in every size, where the cutting line turns: by hand, a centimetre
/// outside the box but at the fold.
#[test]
fn corners_are_numbered_alike_in_every_size() {
    let file = read(&nest_dxf::write(
        &set_of(BOX, SIZES, 1),
        &[],
        &["back".to_owned()],
    ));
    for (size, wide, long) in [
        ("S", 210.0, 400.0),
        ("M", 220.0, 410.0),
        ("L", 240.0, 430.0),
    ] {
        let name = format!("BACK-{size}");
        let block = file.blocks().find(|block| block.name == name).unwrap();
        let graded = block
            .entities
            .iter()
            .filter_map(|entity| match &entity.specific {
                EntityType::Text(text) if entity.common.layer == "2" => Some((
                    text.value.clone(),
                    Point::new(text.location.x, text.location.y),
                )),
                _ => None,
            });
        let graded: Vec<(String, Point)> = graded.collect();
        let low = -long - 10.0;
        for (number, at) in [
            ("# 1", (0.0, 10.0)),
            ("# 2", (0.0, low)),
            ("# 3", (wide + 10.0, low)),
            ("# 4", (wide + 10.0, 10.0)),
        ] {
            let found = graded
                .iter()
                .find(|(letters, _)| letters == number)
                .unwrap()
                .1;
            assert!(
                (found - Point::from(at)).hypot() < 0.001,
                "{name}, {number}: {found:?}"
            );
            let mut turns = block
                .entities
                .iter()
                .filter(|entity| entity.common.layer == "2");
            assert!(turns.any(|entity| matches!(&entity.specific,
                EntityType::ModelPoint(point) if (point.location.x - found.x).hypot(point.location.y - found.y) < 0.001)));
        }
        assert_eq!(graded.len(), 4);
    }
}

/// A side that leans otherwise in every size, stacked along it: it lies on itself in the file.
#[test]
fn sizes_stacked_along_a_line_are_turned() {
    let draft = BOX
        .replace(
            "line side = from end of hem toward up for long",
            "line side = from end of hem to (origin right chest / 5)",
        )
        .replace(
            "choose depth",
            "body other = 40cm between 20cm and 60cm\nchoose depth",
        );
    let set = set_of(
        &draft,
        "name,chest,long,other\nS,84,40,40\nM,88,41,40\nL,96,43,40\n",
        1,
    );
    let stacks = ["back.low,back.side".parse().unwrap()];
    let file = read(&nest_dxf::write(&set, &stacks, &["back".to_owned()]));
    let turned = file.entities().filter(|entity| {
        matches!(&entity.specific, EntityType::Insert(insert) if insert.rotation.abs() > 0.01)
    });
    assert_eq!(turned.count(), 2);
    // The longest chord of each cutting line but for the fold runs along the side, a centimetre outside it.
    let ways = boundaries(&file).into_iter().map(|(_, points)| {
        let next = points.iter().cycle().skip(1);
        let chords = points.iter().zip(next).map(|(a, b)| *b - *a);
        let leaning = chords.filter(|chord| chord.x.abs() > 1.0 && chord.y.abs() > 100.0);
        let way = leaning
            .max_by(|a, b| a.hypot().total_cmp(&b.hypot()))
            .unwrap();
        way.normalize()
    });
    let ways: Vec<kurbo::Vec2> = ways.collect();
    assert!(
        ways.windows(2)
            .all(|pair| pair[0].cross(pair[1]).abs() < 1e-6),
        "{ways:?}"
    );
    // And the JSON says the same of how they lie.
    let rows = table::rows(&set);
    let (rules, _) = rules::rules(&set, &stacks);
    let said: Value =
        serde_json::from_str(&json::write(&set, &stacks, &[], &rows, &rules).unwrap()).unwrap();
    let lies = said["nest"][0]["sizes"].as_array().unwrap();
    let turns: Vec<f64> = lies
        .iter()
        .map(|lie| lie["turned_deg"].as_f64().unwrap())
        .collect();
    assert!(turns[0] * turns[2] < 0.0 && turns[1] == 0.0, "{turns:?}");
}

#[test]
fn the_json_has_every_size_whole_and_holds_to_its_schema() {
    let folder = tempfile::tempdir().unwrap();
    let out = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let (nest, blocks) = (out("nest.json"), out("nest.dxf"));
    let with = [
        "sizes",
        "examples/womens-crew-shirt.draft",
        "--bodies",
        "examples/sizes.csv",
        "--base",
        "40",
        "--quiet",
    ];
    for out in [&nest, &blocks] {
        let told = oaktag(&[&with[..], &["-o", out]].concat());
        assert_eq!(told.status.code(), Some(0), "{}", text(&told.stderr));
    }
    let said: Value = serde_json::from_str(&std::fs::read_to_string(&nest).unwrap()).unwrap();
    let mut schemas = boon::Schemas::new();
    let mut compiler = boon::Compiler::new();
    let schema = |text: &str| serde_json::from_str::<Value>(text).unwrap();
    let pattern = schema(oaktag_output::json::SCHEMA);
    compiler
        .add_resource("urn:oaktag:pattern:1", pattern)
        .unwrap();
    compiler
        .add_resource("urn:oaktag:sizes:1", schema(json::SCHEMA))
        .unwrap();
    let index = compiler
        .compile("urn:oaktag:sizes:1", &mut schemas)
        .unwrap();
    if let Err(wrong) = schemas.validate(&said, index) {
        panic!("{wrong}");
    }
    let sizes = said["sizes"].as_array().unwrap();
    assert_eq!(sizes.len(), 7);
    // Each size is what `draw` writes of that body.
    let alone = out("alone.json");
    let body = ["--body", "examples/sizes.csv:44", "-o", &alone];
    let drawn = oaktag(&[&["draw", "examples/womens-crew-shirt.draft"][..], &body[..]].concat());
    assert_eq!(drawn.status.code(), Some(0));
    let alone: Value = serde_json::from_str(&std::fs::read_to_string(alone).unwrap()).unwrap();
    let nested = sizes.iter().find(|size| size["name"] == "44").unwrap();
    assert_eq!(nested["pattern"]["pieces"], alone["pieces"]);
    assert_eq!(nested["pattern"]["seams"], alone["seams"]);
    // Yield by size, as the ticket of one size has it.
    let rows = said["table"].as_array().unwrap();
    let row = rows
        .iter()
        .find(|row| row["group"] == "Yield, simple lay" && row["name"] == "main")
        .unwrap();
    let ticket = out("lay.csv");
    let lay = [
        "--body",
        "examples/sizes.csv:44",
        "--table",
        "lay",
        "-o",
        &ticket,
    ];
    assert_eq!(
        oaktag(&[&["draw", "examples/womens-crew-shirt.draft"][..], &lay[..]].concat())
            .status
            .code(),
        Some(0)
    );
    let mut reader = csv::Reader::from_path(ticket).unwrap();
    let bought = reader
        .records()
        .map(Result::unwrap)
        .filter(|row| &row[0] == "main")
        .map(|row| row[4].parse::<f64>().unwrap());
    let least = bought.fold(f64::INFINITY, f64::min);
    assert!((row["values"][4].as_f64().unwrap() - least).abs() < 0.001);
    // The DXF has each piece of each size, on the layers that a cutting room knows (ASTM D6673, from memory).
    let file = dxf::Drawing::load_file(&blocks).unwrap();
    let pieces = sizes[0]["pattern"]["pieces"].as_array().unwrap().len();
    // Its front has a block a side.
    assert_eq!(boundaries(&file).len(), 7 * (pieces + 1));
    let layers: std::collections::BTreeSet<&str> = file
        .blocks()
        .flat_map(|block| &block.entities)
        .map(|entity| entity.common.layer.as_str())
        .collect();
    for layer in ["1", "4", "7", "14"] {
        assert!(layers.contains(layer), "{layer}: {layers:?}");
    }
}

/// Every format is a file of its kind, and the same bytes by any number of threads.
#[test]
fn a_nest_is_written_in_every_format_whatever_the_threads() {
    let folder = tempfile::tempdir().unwrap();
    let out = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let (draft, table) = (out("box.draft"), out("sizes.csv"));
    std::fs::write(&draft, BOX).unwrap();
    std::fs::write(&table, SIZES).unwrap();
    let starts: [(&str, &[u8]); 5] = [
        ("svg", b"<"),
        ("pdf", b"%PDF-"),
        ("png", b"\x89PNG"),
        ("dxf", b"  0\nSECTION"),
        ("json", b"{"),
    ];
    for (ending, start) in starts {
        let made = ["1", "3"].map(|threads| {
            let file = out(&format!("nest-{threads}.{ending}"));
            let words = [
                "sizes",
                &draft,
                "--bodies",
                &table,
                "-o",
                &file,
                "--threads",
                threads,
            ];
            let told = oaktag(&words);
            assert_eq!(told.status.code(), Some(0), "{}", text(&told.stderr));
            let said = text(&told.stdout).replace(&file, "");
            (std::fs::read(&file).unwrap(), said)
        });
        assert!(made[0].0.starts_with(start), "{ending}");
        assert!(made[0] == made[1], "{ending} differs by threads");
    }
}

/// A size that cannot be drawn is told, and cut by nobody: it is in no file of the nest, and where it is the base there is none.
#[test]
fn a_size_that_cannot_be_drawn_is_left_out_of_the_file() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    std::fs::write(at("box.draft"), BOX).unwrap();
    std::fs::write(
        at("t.csv"),
        "name,chest,long\nS,84,40\nL,96,90\nM,88,41\nXL,104,43\n",
    )
    .unwrap();
    let run = |out: &str, base: &str| {
        let words = ["sizes", &at("box.draft"), "--bodies", &at("t.csv")];
        let said =
            oaktag::cli::run_within(words.into_iter().chain(["--base", base, "-o", &at(out)]));
        assert_eq!(said.status, 1, "{}", said.err);
        said.err
    };
    let said = run("nest.dxf", "M");
    assert!(
        said.contains("size L is not well, and is left out"),
        "{said}"
    );
    let file = read(&std::fs::read_to_string(at("nest.dxf")).unwrap());
    let names: Vec<String> = boundaries(&file)
        .into_iter()
        .map(|(name, _)| name)
        .collect();
    let wanted = [
        "BACK-S", "BACK-M", "BACK-XL", "FRONT-S", "FRONT-M", "FRONT-XL",
    ];
    assert_eq!(names, wanted);
    run("nest.json", "M");
    let whole: Value = serde_json::from_slice(&std::fs::read(at("nest.json")).unwrap()).unwrap();
    assert_eq!(whole["sizes"].as_array().unwrap().len(), 3);
    assert_eq!(whole["base"], "M");
    let said = run("other.svg", "L");
    assert!(said.contains("the others are held against S"), "{said}");
    assert!(std::path::Path::new(&at("other.svg")).exists());
}
