//! The documented layouts are the ones that are read.

use deckle::import::layouts;

#[test]
fn every_column_is_documented() {
    let text = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/assets/layouts.md"))
        .expect("the layouts are documented");
    for layout in layouts::every() {
        let heading = format!("\n### {}", layout.kind);
        let start = text
            .find(&format!("{heading}\n"))
            .or_else(|| text.find(&format!("{heading} (")))
            .unwrap_or_else(|| panic!("{} has no section", layout.kind));
        let section = &text[start + 4..];
        let section = &section[..section.find("\n###").unwrap_or(section.len())];
        let words: Vec<&str> = section
            .split(|c: char| !(c.is_ascii_alphanumeric() || c == '_' || c == '*'))
            .collect();
        for column in layout.columns {
            let wanted = if column.is_needed {
                format!("{}*", column.name)
            } else {
                column.name.to_owned()
            };
            assert!(
                words.contains(&wanted.as_str()),
                "the section of {} does not name {wanted}",
                layout.kind
            );
        }
    }
}
