//! Turns the shelf's data files, `data/*.toml`, into the JSON text that the library carries.
//!
//! Each file holds tables of one kind; a key may stand in one file only.

use serde_json::{Map, Value};
use std::{env, error::Error, fs, path::Path};

fn main() -> Result<(), Box<dyn Error>> {
    println!("cargo::rerun-if-changed=data");
    let out = env::var("OUT_DIR")?;
    fs::write(
        Path::new(&out).join("shelf.json"),
        gathered("data")?.to_string(),
    )?;
    Ok(())
}

/// All tables of the files in a folder.
fn gathered(folder: &str) -> Result<Value, Box<dyn Error>> {
    let mut shelf = Map::new();
    let mut files: Vec<_> = fs::read_dir(folder)?
        .map(|file| file.map(|f| f.path()))
        .collect::<Result<_, _>>()?;
    files.sort();
    for path in files {
        if path.extension().is_none_or(|kind| kind != "toml") {
            continue;
        }
        let document: Value = toml::from_str(&fs::read_to_string(&path)?)
            .map_err(|why| format!("{}: {why}", path.display()))?;
        merge(&mut shelf, document, &path)?;
    }
    Ok(Value::Object(shelf))
}

fn merge(shelf: &mut Map<String, Value>, document: Value, path: &Path) -> Result<(), String> {
    let Value::Object(tables) = document else {
        return Ok(());
    };
    for (table, entries) in tables {
        let here = shelf
            .entry(table.clone())
            .or_insert_with(|| Value::Object(Map::new()));
        let (Value::Object(here), Value::Object(entries)) = (here, entries) else {
            return Err(format!("{}: `{table}` is not a table", path.display()));
        };
        for (key, entry) in entries {
            if here.insert(key.clone(), entry).is_some() {
                return Err(format!("{}: `{table}.{key}` stands twice", path.display()));
            }
        }
    }
    Ok(())
}
