//! Lists the sample book's sheets and receipts for the program to carry, so that an installed one can show them.
//! Nothing else is generated.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs, io};

fn main() -> io::Result<()> {
    println!("cargo::rerun-if-changed=sample-books/fernhollow");
    let root = PathBuf::from(env::var("CARGO_MANIFEST_DIR").map_err(io::Error::other)?);
    let sample = root.join("sample-books").join("fernhollow");
    let mut files = Vec::new();
    collect(&sample, &sample, &mut files)?;
    files.sort();
    let mut code = String::from(
        "/// Name and content of each file.\npub static FILES: &[(&str, &[u8])] = &[\n",
    );
    for name in files {
        // Found from where the package stands when it is compiled, so that a folder that was moved still builds.
        let path = format!("/sample-books/fernhollow/{name}");
        writeln!(
            code,
            "    ({name:?}, include_bytes!(concat!(env!(\"CARGO_MANIFEST_DIR\"), {path:?}))),"
        )
        .map_err(io::Error::other)?;
    }
    code.push_str("];\n");
    let out = PathBuf::from(env::var("OUT_DIR").map_err(io::Error::other)?);
    fs::write(out.join("sample.rs"), code)
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
