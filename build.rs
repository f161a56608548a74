//! Lists the sample book's sheets and receipts for the program to carry, so that an installed one can show them,
//! and the files of published rates and calendars. Nothing else is generated.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs, io};

fn main() -> io::Result<()> {
    println!("cargo::rerun-if-changed=sample-books/fernhollow");
    let root = PathBuf::from(env::var("CARGO_MANIFEST_DIR").map_err(io::Error::other)?);
    println!("cargo::rerun-if-changed=assets/rates");
    let out = PathBuf::from(env::var("OUT_DIR").map_err(io::Error::other)?);
    let sample = list(
        &root,
        "sample-books/fernhollow",
        "include_bytes",
        "[u8]",
        "",
    )?;
    fs::write(out.join("sample.rs"), sample)?;
    let rates = list(&root, "assets/rates", "include_str", "str", ".toml")?;
    fs::write(out.join("rates.rs"), rates)
}

/// Code that lists the files of a folder whose names end as given, each with its content.
fn list(root: &Path, folder: &str, include: &str, kind: &str, ending: &str) -> io::Result<String> {
    let within = root.join(folder);
    let mut files = Vec::new();
    collect(&within, &within, &mut files)?;
    files.retain(|name| name.ends_with(ending));
    files.sort();
    let mut code =
        format!("/// Name and content of each file.\npub static FILES: &[(&str, &{kind})] = &[\n");
    for name in files {
        // Found from where the package stands when it is compiled, so that a folder that was moved still builds.
        let path = format!("/{folder}/{name}");
        writeln!(
            code,
            "    ({name:?}, {include}!(concat!(env!(\"CARGO_MANIFEST_DIR\"), {path:?}))),"
        )
        .map_err(io::Error::other)?;
    }
    code.push_str("];\n");
    Ok(code)
}

/// File names below `folder`, from `root` on, with `/` between folders.
fn collect(root: &Path, folder: &Path, files: &mut Vec<String>) -> io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            collect(root, &path, files)?;
        } else if let Ok(name) = path.strip_prefix(root) {
            let parts: Vec<String> = name
                .iter()
                .map(|part| part.to_string_lossy().into_owned())
                .collect();
            files.push(parts.join("/"));
        }
    }
    Ok(())
}
