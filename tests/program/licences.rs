//! Every package that the program or its tests are built from may be used under a licence of the lists below: identifiers of
//! the SPDX License List, in the expressions of the SPDX Specification 2.3, annex D (from memory). What the program itself is
//! made of is permissive; the tests may use more, since they are not handed on.

use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::process::Command;

const IN_THE_PROGRAM: [&str; 7] = [
    "MIT",
    "Apache-2.0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "ISC",
    "Unicode-3.0",
    "Zlib",
];
const IN_THE_TESTS: [&str; 4] = ["CC0-1.0", "MIT-0", "MPL-2.0", "MPL-2.0+"];

/// Whether an expression can be met with these licences: any of a row of `OR`, all of a row of `AND`.
fn is_met(expression: &str, allowed: &[&str]) -> bool {
    let text = expression
        .replace('/', " OR ")
        .replace('(', " ( ")
        .replace(')', " ) ");
    let words: Vec<&str> = text.split_whitespace().collect();
    let mut at = 0;
    let met = any_of(&words, &mut at, allowed);
    met && at == words.len()
}

fn any_of(words: &[&str], at: &mut usize, allowed: &[&str]) -> bool {
    let mut met = all_of(words, at, allowed);
    while words.get(*at) == Some(&"OR") {
        *at += 1;
        met |= all_of(words, at, allowed);
    }
    met
}

fn all_of(words: &[&str], at: &mut usize, allowed: &[&str]) -> bool {
    let mut met = one_of(words, at, allowed);
    while words.get(*at) == Some(&"AND") {
        *at += 1;
        met &= one_of(words, at, allowed);
    }
    met
}

fn one_of(words: &[&str], at: &mut usize, allowed: &[&str]) -> bool {
    let word = words.get(*at).copied().unwrap_or("");
    *at += 1;
    if word == "(" {
        let met = any_of(words, at, allowed);
        *at += 1;
        return met;
    }
    let mut met = allowed.contains(&word);
    if words.get(*at) == Some(&"WITH") {
        // An exception only adds to what is allowed, yet each is looked at: none has been.
        met = false;
        *at += 2;
    }
    met
}

#[test]
fn expressions_are_read_as_spdx_means_them() {
    let some = ["MIT", "Zlib"];
    for (expression, met) in [
        ("MIT", true),
        ("GPL-3.0-only", false),
        ("GPL-3.0-only OR MIT", true),
        ("GPL-3.0-only AND MIT", false),
        ("GPL-3.0-only OR MIT AND Zlib", true),
        ("(GPL-3.0-only OR MIT) AND Zlib", true),
        ("(GPL-3.0-only OR MIT) AND BSL-1.0", false),
        ("Apache-2.0/MIT", true),
        ("MIT WITH some-exception", false),
        ("MIT WITH some-exception OR Zlib", true),
        ("MIT Zlib", false),
        ("", false),
    ] {
        assert_eq!(is_met(expression, &some), met, "{expression}");
    }
}

/// What cargo knows of the packages for this machine, without the network; none where it cannot say.
fn metadata() -> Option<Value> {
    let host = Command::new("rustc").arg("-vV").output().ok()?.stdout;
    let host = String::from_utf8(host).ok()?;
    let host = host.lines().find_map(|line| line.strip_prefix("host: "))?;
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let told = Command::new(cargo)
        .args([
            "metadata",
            "--locked",
            "--offline",
            "--format-version",
            "1",
            "--filter-platform",
            host,
        ])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .ok()?;
    told.status
        .success()
        .then(|| serde_json::from_slice(&told.stdout).ok())?
}

/// The packages that are built into the program: those reached without the tests' own.
fn in_the_program(metadata: &Value) -> BTreeSet<&str> {
    let resolve = &metadata["resolve"];
    let nodes: BTreeMap<&str, &Value> = resolve["nodes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|node| (node["id"].as_str().unwrap(), node))
        .collect();
    let mut reached = BTreeSet::new();
    let mut waiting = vec![resolve["root"].as_str().unwrap()];
    while let Some(id) = waiting.pop() {
        if !reached.insert(id) {
            continue;
        }
        for next in nodes[id]["deps"].as_array().unwrap() {
            let kinds = next["dep_kinds"].as_array().unwrap();
            if kinds.iter().any(|kind| kind["kind"] != "dev") {
                waiting.push(next["pkg"].as_str().unwrap());
            }
        }
    }
    reached
}

#[test]
fn every_package_has_a_licence_of_the_list() {
    let Some(metadata) = metadata() else {
        println!(
            "SKIPPED: `cargo metadata` cannot tell the packages of this machine without the network."
        );
        return;
    };
    let program = in_the_program(&metadata);
    let all: Vec<&str> = IN_THE_PROGRAM.into_iter().chain(IN_THE_TESTS).collect();
    let packages = metadata["packages"].as_array().unwrap();
    assert!(program.len() > 50 && packages.len() > program.len());
    let mut refused = Vec::new();
    for package in packages {
        let allowed = if program.contains(package["id"].as_str().unwrap()) {
            &IN_THE_PROGRAM[..]
        } else {
            &all
        };
        let licence = package["license"].as_str().unwrap_or("");
        if !is_met(licence, allowed) {
            refused.push(format!(
                "{} {}: {licence}",
                package["name"], package["version"]
            ));
        }
    }
    assert!(refused.is_empty(), "{refused:#?}");
}
