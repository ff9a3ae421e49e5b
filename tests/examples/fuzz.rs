//! Searches for documents and files that do harm, as long as it is let.
//!
//!     cargo run --profile fuzz -p bastwork-tests --example fuzz -- --seed 7 --minutes 10 --what all
//!
//! `--what` takes `check`, `plan`, `drawn`, `shelf`, `svg`, `dxf`, `stl`, `obj`, `ply`, `link`, `backup` or `all`, several with commas between
//! them. What does harm is written to `target/fuzz`, as small as it could be made; `--keep N` adds at most N inputs of each kind to
//! `tests/cases/corpus`, those that make the core say something new. `--replay FILE --what KIND` hands one file in again.
//! Links and backups are read by the page's own scripts: they need Node and the built page.

use bastwork_tests::fuzz::{Found, Hunt, Input, Kind, corpus_dir, replay};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

/// Past this an input is written down, and the search goes on [s].
const SLOW: u64 = 20;

struct Wish {
    seed: u64,
    minutes: f64,
    what: String,
    keep: usize,
    replay: Option<PathBuf>,
}

fn wish() -> Result<Wish, String> {
    let mut wish = Wish {
        seed: 1,
        minutes: 2.0,
        what: "all".into(),
        keep: 0,
        replay: None,
    };
    let mut words = std::env::args().skip(1);
    while let Some(name) = words.next() {
        let value = words
            .next()
            .ok_or_else(|| format!("{name} needs a value"))?;
        let number = || {
            value
                .parse::<f64>()
                .map_err(|_| format!("{name} needs a number, not {value}"))
        };
        match name.as_str() {
            "--seed" => wish.seed = number()? as u64,
            "--minutes" => wish.minutes = number()?,
            "--what" => wish.what = value,
            "--keep" => wish.keep = number()? as usize,
            "--replay" => wish.replay = Some(value.into()),
            _ => {
                return Err(format!(
                    "{name} is not known: --seed, --minutes, --what, --keep, --replay"
                ));
            }
        }
    }
    Ok(wish)
}

fn main() -> Result<(), String> {
    let wish = wish()?;
    if let Some(path) = &wish.replay {
        let kind = Kind::of(&wish.what).ok_or("say with --what which kind the file is")?;
        println!("{:?}", replay(kind, path));
        return Ok(());
    }
    let names: Vec<&str> = match wish.what.as_str() {
        "all" => Kind::ALL
            .iter()
            .map(|kind| kind.name())
            .chain(["link", "backup"])
            .collect(),
        some => some.split(',').collect(),
    };
    let minutes = wish.minutes / names.len() as f64;
    for name in names {
        match (Kind::of(name), name) {
            (Some(kind), _) => search(kind, &wish, minutes)?,
            (None, "link" | "backup") => by_the_page(name, wish.seed, minutes)?,
            _ => return Err(format!("{name} is not known")),
        }
    }
    Ok(())
}

/// Writes an input where it can be found again.
fn write(folder: &Path, kind: Kind, input: &Input) -> Result<PathBuf, String> {
    let bytes = input.bytes();
    let sum = bytes.iter().fold(5381_u64, |sum, byte| {
        sum.wrapping_mul(33) ^ u64::from(*byte)
    });
    let ending = if kind.is_document() {
        "json"
    } else {
        kind.name()
    };
    let path = folder.join(format!("{sum:016x}.{ending}"));
    std::fs::create_dir_all(folder)
        .and_then(|()| std::fs::write(&path, bytes))
        .map_err(|why| format!("{}: {why}", path.display()))?;
    Ok(path)
}

/// Writes down an input that takes long, once.
fn watch(kind: Kind, now: Arc<Mutex<Option<Arc<Input>>>>, folder: PathBuf) {
    std::thread::spawn(move || {
        let mut last: Option<(Arc<Input>, u64)> = None;
        loop {
            std::thread::sleep(Duration::from_secs(1));
            let Ok(held) = now.lock().map(|now| now.clone()) else {
                return;
            };
            last = match (held, last) {
                (Some(input), Some((before, seconds))) if Arc::ptr_eq(&input, &before) => {
                    if seconds == SLOW {
                        println!("{} slow: {:?}", kind.name(), write(&folder, kind, &input));
                    }
                    Some((input, seconds + 1))
                }
                (Some(input), _) => Some((input, 0)),
                (None, _) => None,
            };
        }
    });
}

fn search(kind: Kind, wish: &Wish, minutes: f64) -> Result<(), String> {
    let out = bastwork_tests::root().join("target/fuzz").join(kind.name());
    let mut hunt = Hunt::new(kind, wish.seed, 60);
    watch(kind, Arc::clone(&hunt.now), out.join("slow"));
    let from = Instant::now();
    let (busy, begun) = (worked(), hunt.tally().tried);
    let mut told = 0;
    while from.elapsed().as_secs_f64() < 60.0 * minutes {
        hunt.go(50);
        for Found { what, input, .. } in hunt.harms().skip(told) {
            let path = write(&out.join("raw"), kind, input)?;
            println!("{} found: {what}\n  {}", kind.name(), path.display());
        }
        told = hunt.harms().count();
    }
    let (tally, minutes) = (hunt.tally(), from.elapsed().as_secs_f64() / 60.0);
    // Of its own time on a processor, where the system tells it: others may be at work.
    let busy = worked()
        .zip(busy)
        .map_or(60.0 * minutes, |(now, then)| now - then);
    println!(
        "{}: {} tried in {minutes:.1} min, {:.0} a second of the processor, {} whole sheets, {} marks, {} inputs at hand, {told} kinds of harm",
        kind.name(),
        tally.tried,
        (tally.tried - begun) as f64 / busy,
        tally.sheets,
        tally.marks,
        tally.kept
    );
    for found in hunt.found() {
        let path = write(&out, kind, &found.input)?;
        println!("  {}\n    {}", found.what, path.display());
    }
    for input in hunt.worth_keeping(wish.keep, 4096) {
        write(&corpus_dir(kind), kind, &input)?;
    }
    Ok(())
}

/// How long this thread was on a processor [s].
fn worked() -> Option<f64> {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    Some(text.split_whitespace().next()?.parse::<f64>().ok()? * 1e-9)
}

/// Links and backups: the page's own scripts read them.
fn by_the_page(what: &str, seed: u64, minutes: f64) -> Result<(), String> {
    let site = bastwork_tests::root().join("site/dist");
    let mut node =
        bastwork_site::run::command(&bastwork_site::node::node().map_err(|why| why.to_string())?);
    node.arg(bastwork_tests::root().join("tests/browser/fuzz.mjs"));
    node.args([
        "--what",
        what,
        "--seed",
        &seed.to_string(),
        "--minutes",
        &minutes.to_string(),
    ]);
    let done = node
        .env("SITE_DIR", site)
        .status()
        .map_err(|why| why.to_string())?;
    if done.success() {
        Ok(())
    } else {
        Err(format!("{what}: {done}"))
    }
}
