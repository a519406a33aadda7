//! Real people in one batch: the 254 of `tests/data/body_dimensions.csv` (public body measurements, half of a set of 507;
//! source in `tests/data/README.md`), women and men each by their crew shirt.

use crate::batch::{Folder, oaktag, text};

/// A table as a spreadsheet in a land of decimal commas saves it.
fn table(woman: bool, chest: &str) -> (String, usize) {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/data/body_dimensions.csv"
    );
    let mut people = csv::Reader::from_path(path).unwrap();
    let headers = people.headers().unwrap().clone();
    let column = |name: &str| headers.iter().position(|h| h == name).unwrap();
    let columns = ["hgt", "che_gi", "wai_gi", "hip_gi", "bic_gi", "wri_gi"].map(column);
    let mut table = format!(
        "\u{feff}Name;Stature [cm];{chest} [cm];Waist girth [cm];Hip girth [cm];Upper arm girth [cm];Wrist girth [cm]\r\n"
    );
    let mut count = 0;
    for person in people.records().map(Result::unwrap) {
        if (&person[column("sex")] == "0") != woman {
            continue;
        }
        count += 1;
        let figures: Vec<String> = columns
            .iter()
            .map(|at| person[*at].replace('.', ","))
            .collect();
        table.push_str(&format!(
            "person_{};{}\r\n",
            &person[column("id")],
            figures.join(";")
        ));
    }
    (table, count)
}

#[test]
fn two_hundred_and_fifty_four_real_bodies_are_answered_in_order() {
    let folder = Folder::new();
    let mut well = 0;
    let mut all = 0;
    for (woman, draft, chest) in [
        (
            true,
            "examples/womens-crew-shirt.draft",
            "Upper chest girth",
        ),
        (false, "examples/mens-crew-shirt.draft", "Chest girth"),
    ] {
        let (table, count) = table(woman, chest);
        let table = folder.file("people.csv", &table);
        let out = oaktag(&["check", draft, "--bodies", &table, "--format", "json"]);
        let said = text(&out.stdout);
        let answers: Vec<serde_json::Value> = said
            .lines()
            .map(|line| serde_json::from_str(line).unwrap())
            .collect();
        assert_eq!(answers.len(), count, "{}", text(&out.stderr));
        all += count;
        well += answers
            .iter()
            .filter(|answer| answer["verdict"] == "well")
            .count();
        // A body that is not well has its reason and where in the draft it stands.
        for answer in answers.iter().filter(|answer| answer["verdict"] != "well") {
            assert_ne!(answer["verdict"], "not-read", "{answer}");
            assert!(
                answer["reason"]["place"]
                    .as_str()
                    .unwrap()
                    .contains(" line "),
                "{answer}"
            );
            assert!(answer["said"].as_str().unwrap().len() > 20, "{answer}");
        }
    }
    assert_eq!(all, 254);
    assert!(100 * well >= 97 * all, "{well} of {all}");
}
