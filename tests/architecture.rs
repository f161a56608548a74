//! Keeps the layers apart: see "One direction" in DEVELOPERS.md.
//! Reads the source as text, so it needs no tool and names file and line.

use std::fs;
use std::path::{Path, PathBuf};

/// A layer (a file or folder under `src/`) and the words that must not stand in it.
const RULES: &[(&str, &[&str])] = &[
    ("money.rs", &["egui", "rusqlite", "std::fs", "crate::"]),
    ("money", &["egui", "rusqlite", "std::fs", "crate::"]),
    (
        "dates.rs",
        &[
            "egui",
            "rusqlite",
            "std::fs",
            "crate::",
            "Utc::now",
            "Local::now",
        ],
    ),
    ("word_list.rs", DOMAIN),
    ("bank", DOMAIN),
    ("ledger", DOMAIN),
    ("deciding", DOMAIN),
    ("desk", DOMAIN),
    ("depreciation", DOMAIN),
    ("happenings", DOMAIN),
    ("matters", DOMAIN),
    ("mileage", DOMAIN),
    ("workspace", DOMAIN),
    ("shared_bills.rs", DOMAIN),
    ("occasions", DOMAIN),
    ("statements", DOMAIN),
    ("set_aside", DOMAIN),
    ("keeping.rs", DOMAIN),
    ("kinds.rs", DOMAIN),
    ("recurring.rs", DOMAIN),
    ("form_lines", DOMAIN),
    ("free_to_spend", DOMAIN),
    ("needs", DOMAIN),
    ("spreading.rs", DOMAIN),
    ("stock", DOMAIN),
    ("plan", DOMAIN),
    ("ordering", DOMAIN),
    ("sorting", DOMAIN),
    ("catching_up", DOMAIN),
    ("closing_down", DOMAIN),
    ("reconciling.rs", DOMAIN),
    ("shops", DOMAIN),
    (
        "book",
        &[
            "egui",
            "crate::app",
            "crate::verbs",
            "crate::import",
            "crate::export",
        ],
    ),
    (
        "import",
        &["egui", "crate::app", "crate::verbs", "rusqlite"],
    ),
    (
        "export",
        &["egui", "crate::app", "crate::verbs", "rusqlite"],
    ),
    ("reports.rs", REPORTS),
    ("reports", REPORTS),
    ("verbs", &["egui", "rusqlite"]),
    ("app", &["rusqlite", "SELECT ", "INSERT INTO"]),
];

/// What the figures of a book do without.
const REPORTS: &[&str] = &[
    "egui",
    "rusqlite",
    "crate::app",
    "crate::verbs",
    "crate::export",
];

/// What the pure core does without.
const DOMAIN: &[&str] = &[
    "egui",
    "rusqlite",
    "std::fs",
    "std::env",
    "Utc::now",
    "Local::now",
    "crate::book",
    "crate::import",
    "crate::export",
    "crate::verbs",
    "crate::app",
];

#[test]
fn layers_only_look_down() {
    let mut faults = Vec::new();
    for (layer, forbidden) in RULES {
        let path = source().join(layer);
        for file in rust_files(&path) {
            let text = fs::read_to_string(&file).expect("source is readable");
            for (idx, line) in text.lines().enumerate() {
                let code = line.split("//").next().unwrap_or_default();
                for word in *forbidden {
                    if code.contains(word) {
                        faults.push(format!("{}:{} uses {word}", file.display(), idx + 1));
                    }
                }
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn every_layer_has_a_rule() {
    let ruled: Vec<&str> = RULES.iter().map(|(layer, _)| *layer).collect();
    let free = ["lib.rs", "main.rs"];
    for entry in fs::read_dir(source()).expect("src is readable") {
        let name = entry
            .expect("entry")
            .file_name()
            .to_string_lossy()
            .into_owned();
        assert!(
            ruled.contains(&name.as_str()) || free.contains(&name.as_str()),
            "src/{name} has no rule in tests/architecture.rs"
        );
    }
}

#[test]
fn every_module_says_what_lives_there() {
    for file in rust_files(&source()) {
        let text = fs::read_to_string(&file).expect("source is readable");
        assert!(
            text.starts_with("//!"),
            "{} has no module header",
            file.display()
        );
    }
}

fn source() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src")
}

fn rust_files(path: &Path) -> Vec<PathBuf> {
    if path.is_file() {
        return vec![path.to_owned()];
    }
    let mut files = Vec::new();
    let Ok(entries) = fs::read_dir(path) else {
        return files;
    };
    for entry in entries {
        let path = entry.expect("entry").path();
        if path.is_dir() {
            files.extend(rust_files(&path));
        } else if path.extension().is_some_and(|ext| ext == "rs") {
            files.push(path);
        }
    }
    files.sort();
    files
}
