//! The drawings in `cases/outlines`, each with what it holds.

use bastwork::shape::import::LengthUnit;
use bastwork_tests::cases_dir;
use serde::Deserialize;

/// A drawing.
pub(crate) struct Seed {
    pub(crate) name: String,
    pub(crate) bytes: Vec<u8>,
    /// What to say where the file does not.
    pub(crate) unit: Option<LengthUnit>,
    pub(crate) area_mm2: f64,
    pub(crate) holes: usize,
    pub(crate) sizes_mm: Option<[f64; 2]>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Entry {
    name: String,
    unit: String,
    area_mm2: f64,
    holes: usize,
    sizes_mm: Option<[f64; 2]>,
    source: String,
}

#[derive(Deserialize)]
struct Entries {
    file: Vec<Entry>,
}

/// All drawings; a file without an entry, or an entry without a file, stops the test.
pub(crate) fn seeds() -> Vec<Seed> {
    let folder = cases_dir().join("outlines");
    let text = std::fs::read_to_string(folder.join("areas.toml")).unwrap();
    let entries: Entries = toml::from_str(&text).unwrap();
    assert_eq!(
        entries.file.len() + 1,
        std::fs::read_dir(&folder).unwrap().count(),
        "an entry for each file"
    );
    entries
        .file
        .into_iter()
        .map(|entry| {
            assert!(!entry.source.is_empty());
            Seed {
                bytes: std::fs::read(folder.join(&entry.name)).unwrap(),
                unit: LengthUnit::of(&entry.unit),
                name: entry.name,
                area_mm2: entry.area_mm2,
                holes: entry.holes,
                sizes_mm: entry.sizes_mm,
            }
        })
        .collect()
}
