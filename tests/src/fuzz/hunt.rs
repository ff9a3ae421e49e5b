//! The search: an input that showed something new is changed further, one that does harm is made smaller and written down.

use super::dice::{Dice, mark_of};
use super::hold::Answer;
use super::kept::{Input, corpus};
use super::kind::Kind;
use super::smaller::smallest;
use std::cell::Cell;
use std::collections::{BTreeMap, HashSet};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Arc, Mutex, Once};

/// Most inputs that are kept at hand.
const MOST: usize = 6000;

/// An input that does harm.
#[derive(Debug, Clone)]
pub struct Found {
    /// Which door it came in by.
    pub kind: Kind,
    /// What is wrong.
    pub what: String,
    /// The input, as small as it could be made.
    pub input: Input,
}

/// How much was tried.
#[derive(Debug, Clone, Copy, Default)]
pub struct Tally {
    /// Inputs handed to the core.
    pub tried: u64,
    /// Whole sheets that came of them.
    pub sheets: u64,
    /// Different marks seen.
    pub marks: usize,
    /// Inputs at hand.
    pub kept: usize,
}

/// A search in one kind.
pub struct Hunt {
    kind: Kind,
    dice: Dice,
    pool: Vec<(Arc<Input>, usize)>,
    marks: HashSet<u64>,
    /// Every harm once, by what is wrong without its numbers.
    harms: BTreeMap<String, Found>,
    tried: u64,
    sheets: u64,
    /// What the core is asked at this moment, for somebody who looks from outside.
    pub now: Arc<Mutex<Option<Arc<Input>>>>,
}

/// The place in the code and the words of the last panic.
static PANIC: Mutex<String> = Mutex::new(String::new());

thread_local! {
    /// Whether this thread asks the core at this moment.
    static ASKS: Cell<bool> = const { Cell::new(false) };
}

/// Notes panics of what is asked instead of printing them; others are printed as ever.
pub(super) fn note_panics() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        let before = std::panic::take_hook();
        std::panic::set_hook(Box::new(move |info| {
            if !ASKS.get() {
                before(info);
            } else if let Ok(mut told) = PANIC.lock() {
                *told = info.to_string().replace('\n', " ");
            }
        }));
    });
}

/// What the core answers; a panic is what is wrong.
fn asked(kind: Kind, input: &Input) -> Result<Answer, String> {
    ASKS.set(true);
    let answer = catch_unwind(AssertUnwindSafe(|| kind.ask(input)));
    ASKS.set(false);
    match answer {
        Ok(answer) => answer,
        Err(_) => Err(PANIC
            .lock()
            .map_or_else(|_| "panicked".into(), |told| told.clone())),
    }
}

impl Hunt {
    /// A search that begins with what is kept and `drawn` draws.
    #[must_use]
    pub fn new(kind: Kind, seed: u64, drawn: usize) -> Self {
        let mut hunt = Self {
            kind,
            dice: Dice::new(seed ^ mark_of(kind.name().as_bytes())),
            pool: Vec::new(),
            marks: HashSet::new(),
            harms: BTreeMap::new(),
            tried: 0,
            sheets: 0,
            now: Arc::new(Mutex::new(None)),
        };
        note_panics();
        let kept = corpus(kind).into_iter().map(|(_, input)| input);
        for input in kept.chain(kind.seeds(drawn)) {
            hunt.ask(input, true);
        }
        hunt
    }

    /// Tries so many more.
    pub fn go(&mut self, count: usize) {
        for _ in 0..count {
            let input = self.next();
            self.ask(input, false);
        }
    }

    fn next(&mut self) -> Input {
        if self.dice.once_in(50)
            && let Some(input) = self.kind.fresh(&mut self.dice)
        {
            return input;
        }
        if self.pool.is_empty() {
            return Input::of(self.kind, Vec::new());
        }
        // What came late or showed much is looked at more often.
        let count = self.pool.len();
        let late = |dice: &mut Dice| match dice.below(3) {
            0 => count - 1 - dice.below(count.min(40)),
            _ => dice.below(count),
        };
        let (mut a, b) = (late(&mut self.dice), self.dice.below(count));
        let c = late(&mut self.dice);
        if self.pool[c].1 > self.pool[a].1 {
            a = c;
        }
        let (one, other) = (&self.pool[a].0, &self.pool[b].0);
        self.kind.slipped(&mut self.dice, one, other)
    }

    fn ask(&mut self, input: Input, given: bool) {
        self.tried += 1;
        let input = Arc::new(input);
        if let Ok(mut now) = self.now.lock() {
            *now = Some(Arc::clone(&input));
        }
        match asked(self.kind, &input) {
            Ok(answer) => {
                self.sheets += u64::from(answer.sheets);
                let before = self.marks.len();
                self.marks.extend(answer.marks);
                let new = self.marks.len() - before;
                if new > 0 || given {
                    if self.pool.len() >= MOST {
                        let old = self.dice.below(self.pool.len() / 2);
                        self.pool.remove(old);
                    }
                    self.pool.push((input, new));
                }
            }
            Err(what) => {
                let key: String = super::hold::bones(&what).chars().take(70).collect();
                if !self.harms.contains_key(&key) && self.harms.len() < 200 {
                    let found = Found {
                        kind: self.kind,
                        what,
                        input: Input::clone(&input),
                    };
                    self.harms.insert(key, found);
                }
            }
        }
        if let Ok(mut now) = self.now.lock() {
            *now = None;
        }
    }

    /// How much was tried so far.
    #[must_use]
    pub fn tally(&self) -> Tally {
        Tally {
            tried: self.tried,
            sheets: self.sheets,
            marks: self.marks.len(),
            kept: self.pool.len(),
        }
    }

    /// What did harm, each made as small as it could be.
    #[must_use]
    pub fn found(&self) -> Vec<Found> {
        self.harms
            .iter()
            .map(|(key, found)| {
                let same = |input: &Input| {
                    asked(found.kind, input)
                        .is_err_and(|what| super::hold::bones(&what).starts_with(key.as_str()))
                };
                Found {
                    input: smallest(found.input.clone(), self.kind.patience(), same),
                    ..found.clone()
                }
            })
            .collect()
    }

    /// Every harm so far, by what is wrong without its numbers, as it came.
    pub fn harms(&self) -> impl Iterator<Item = &Found> {
        self.harms.values()
    }

    /// A few small inputs at hand that together say every sentence heard, each made smaller.
    #[must_use]
    pub fn worth_keeping(&self, most: usize, bytes: usize) -> Vec<Input> {
        let mut by_size: Vec<(usize, &Input)> = self
            .pool
            .iter()
            .map(|(input, _)| (input.bytes().len(), &**input))
            .collect();
        by_size.sort_by_key(|(size, _)| *size);
        let mut said: HashSet<u64> = HashSet::new();
        for (_, input) in corpus(self.kind) {
            said.extend(
                asked(self.kind, &input)
                    .map(|answer| answer.said)
                    .unwrap_or_default(),
            );
        }
        let mut kept = Vec::new();
        for (_, input) in by_size {
            if kept.len() >= most {
                break;
            }
            let Ok(answer) = asked(self.kind, input) else {
                continue;
            };
            let new: HashSet<u64> = answer
                .said
                .into_iter()
                .filter(|mark| !said.contains(mark))
                .collect();
            if new.is_empty() {
                continue;
            }
            let same = |input: &Input| {
                asked(self.kind, input)
                    .is_ok_and(|answer| new.iter().all(|mark| answer.said.contains(mark)))
            };
            let small = smallest(input.clone(), self.kind.patience() / 4, same);
            said.extend(new);
            if small.bytes().len() <= bytes {
                kept.push(small);
            }
        }
        kept
    }
}
