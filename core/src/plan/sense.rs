//! What must make sense together in a plan, where each value alone would do.

use super::{Numbers, fields, number_of};
use crate::read::{Field, Reader};

/// Every such problem is told at its field.
pub(super) fn check(reader: &Reader<'_>, numbers: &Numbers) {
    swatch_makes_sense(reader, numbers);
    strip_makes_sense(reader, numbers);
    syringe_makes_sense(reader, numbers);
    weighed_makes_sense(reader, numbers);
    hours_make_sense(reader, numbers);
    target_makes_sense(reader, numbers);
}

/// A swatch needs two weighings, the second one lighter.
fn swatch_makes_sense(reader: &Reader<'_>, numbers: &Numbers) {
    let kept = number_of(numbers, &fields::SWATCH_KEPT);
    let dried = number_of(numbers, &fields::SWATCH_DRIED);
    let sentence = match (kept, dried) {
        (Some(kept), Some(dried)) if kept.likely <= dried.likely => {
            "The dried swatch weighs as much as the kept one or more. Weigh both again: drying takes water away."
        }
        (Some(kept), Some(dried)) if kept.likely > 1.4 * dried.likely => {
            "The swatch lost more than 40 percent on drying, more than any cloth holds from air. Weigh both again."
        }
        (Some(_), None) | (None, Some(_)) => {
            "A swatch needs two weighings: as it was kept, and after drying to constant mass."
        }
        _ => return,
    };
    reader.missing(fields::SWATCH_DRIED.key, sentence);
}

/// A strip needs two readings.
fn strip_makes_sense(reader: &Reader<'_>, numbers: &Numbers) {
    let length = number_of(numbers, &fields::STRIP_LENGTH);
    let minutes = number_of(numbers, &fields::STRIP_MINUTES);
    if length.is_some() != minutes.is_some() {
        reader.missing(
            fields::STRIP_MINUTES.key,
            "A strip needs two readings: how far resin ran, and how long it took.",
        );
    }
}

/// A syringe needs two values.
fn syringe_makes_sense(reader: &Reader<'_>, numbers: &Numbers) {
    let let_in = number_of(numbers, &fields::SYRINGE);
    if let_in.is_some() != number_of(numbers, &fields::SYRINGE_RISE).is_some() {
        reader.missing(
            fields::SYRINGE_RISE.key,
            "The syringe needs two values: how much air it let in, and by how much the pressure rose.",
        );
    }
}

/// What was weighed in needs both pots of the pair.
fn weighed_makes_sense(reader: &Reader<'_>, numbers: &Numbers) {
    let resin = number_of(numbers, &fields::WEIGHED_RESIN);
    if resin.is_some() != number_of(numbers, &fields::WEIGHED_HARDENER).is_some() {
        reader.missing(
            fields::WEIGHED_HARDENER.key,
            "What you weighed in needs two values: the resin, and the hardener.",
        );
    }
}

/// Hours that end before they begin run past midnight; hours that last no time are none.
fn hours_make_sense(reader: &Reader<'_>, numbers: &Numbers) {
    let hour = |field: &Field, usual: f64| number_of(numbers, field).map_or(usual, |h| h.likely);
    let (from, to) = (hour(&fields::OPEN_FROM, 8.0), hour(&fields::OPEN_TO, 20.0));
    if (from - to).abs() < 0.01 {
        reader.missing(
            fields::OPEN_TO.key,
            "The workshop closes in the minute in which it opens. Change one of the two; type 0 and 24 for day and night.",
        );
    }
}

/// The thinnest that will do is no thicker than the thickest that fits.
fn target_makes_sense(reader: &Reader<'_>, numbers: &Numbers) {
    use fields::{TARGET_THICK, TARGET_THIN};
    if let (Some(thin), Some(thick)) = (
        number_of(numbers, &TARGET_THIN),
        number_of(numbers, &TARGET_THICK),
    ) && thin.likely > thick.likely
    {
        reader.missing(
            TARGET_THICK.key,
            "The thinnest that will do is thicker than the thickest that fits. Change one of the two.",
        );
    }
}
