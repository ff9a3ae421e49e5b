//! Makes an input smaller as long as it does the same harm.

use super::kept::Input;
use super::slips::{at, places, take};
use serde_json::{Value, json};

/// The smallest input found that `harms` still says yes to, asked at most so many times.
pub(super) fn smallest(input: Input, most: usize, harms: impl Fn(&Input) -> bool) -> Input {
    let mut left = most;
    let mut ask = |input: &Input| {
        left = left.saturating_sub(1);
        left > 0 && harms(input)
    };
    match input {
        Input::Document(document) => Input::Document(document_of(document, &mut |one| {
            ask(&Input::Document(one.clone()))
        })),
        Input::File(bytes) => {
            Input::File(file_of(bytes, &mut |one| ask(&Input::File(one.to_vec()))))
        }
    }
}

fn document_of(mut document: Value, harms: &mut impl FnMut(&Value) -> bool) -> Value {
    loop {
        let before = document.to_string().len();
        // The largest parts come first: a place before what lies in it.
        let mut all = places(&document);
        all.sort_by_key(Vec::len);
        for way in all {
            let mut fewer = document.clone();
            if take(&mut fewer, &way).is_some() && harms(&fewer) {
                document = fewer;
            }
        }
        for way in places(&document) {
            for plainer in [json!(1), json!(0), json!(100), json!("a")] {
                let mut other = document.clone();
                let Some(here) = at(&mut other, &way) else {
                    break;
                };
                let same = (here.is_number() && plainer.is_number())
                    || (here.is_string() && plainer.is_string());
                if !same || here.to_string().len() <= plainer.to_string().len() {
                    continue;
                }
                *here = plainer;
                if harms(&other) {
                    document = other;
                    break;
                }
            }
        }
        if document.to_string().len() >= before {
            return document;
        }
    }
}

fn file_of(mut file: Vec<u8>, harms: &mut impl FnMut(&[u8]) -> bool) -> Vec<u8> {
    let mut piece = (file.len() / 2).max(1);
    loop {
        let mut at = 0;
        while at < file.len() {
            let to = (at + piece).min(file.len());
            let fewer: Vec<u8> = [&file[..at], &file[to..]].concat();
            if harms(&fewer) {
                file = fewer;
            } else {
                at = to;
            }
        }
        if piece == 1 {
            return file;
        }
        piece /= 2;
    }
}
