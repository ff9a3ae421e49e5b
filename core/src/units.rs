//! Units at the edge: what a figure is called, how it is shown, and how US customary units convert.
//!
//! Inside, every number is in the metric unit that its field name carries. Only this module converts.

use serde::Serialize;

/// Which units a person reads and types.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Units {
    /// Millimetres, grams, degrees Celsius, millibars.
    #[default]
    Metric,
    /// Inches, ounces, degrees Fahrenheit, inches of mercury.
    Us,
}

/// The unit of one figure. Temperature and temperature difference are different things.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Unit {
    /// A bare ratio.
    One,
    /// A count of things.
    Count,
    /// Percent.
    Percent,
    /// Millimetres.
    Millimetre,
    /// Micrometres; grit sizes stay metric everywhere.
    Micrometre,
    /// Metres.
    Metre,
    /// Square metres.
    SquareMetre,
    /// Grams.
    Gram,
    /// Grams per square metre.
    GramPerSquareMetre,
    /// Grams per millilitre; densities stay metric everywhere.
    GramPerMillilitre,
    /// Millilitres.
    Millilitre,
    /// A temperature in degrees Celsius.
    Celsius,
    /// A difference of temperature in kelvin.
    Kelvin,
    /// Millibars, absolute.
    Millibar,
    /// Minutes.
    Minute,
    /// Hours.
    Hour,
    /// Angle in degrees.
    Degree,
    /// Gigapascals.
    Gigapascal,
    /// Millipascal seconds.
    MillipascalSecond,
    /// Square metres of permeability.
    Permeability,
    /// Turns per minute.
    Rpm,
    /// Metres per second at the rim of a tool.
    MetrePerSecond,
    /// Millimetres per second of hand feed.
    MillimetrePerSecond,
    /// Cubic metres per hour of a pump.
    CubicMetrePerHour,
    /// Watts.
    Watt,
    /// Megapascals of strength.
    Megapascal,
    /// Kilopascals of load.
    Kilopascal,
    /// Newtons.
    Newton,
    /// Swings per second.
    Hertz,
    /// Newtons per millimetre of edge.
    NewtonPerMillimetre,
    /// Newton metres of bending stiffness, per width.
    NewtonMetre,
    /// Kilograms of carbon dioxide and what warms like it; metric everywhere.
    KilogramCo2,
    /// Litres.
    Litre,
    /// Litres a minute, at the pressure of the room; metric everywhere.
    LitrePerMinute,
    /// Millibars a minute, of a gauge that rises.
    MillibarPerMinute,
    /// Throughput of a leak; metric everywhere.
    MillibarLitrePerSecond,
    /// Degrees of temperature per hour.
    KelvinPerHour,
    /// Grams that hold one mole of groups.
    GramPerEquivalent,
    /// Hour of the day, 0 to 24.
    HourOfDay,
}

/// US customary = metric * factor + offset.
struct Us {
    symbol: &'static str,
    factor: f64,
    offset: f64,
}

const INCH_MM: f64 = 25.4;
const FOOT_M: f64 = 0.3048;
const OUNCE_G: f64 = 28.349_523_125;
const YARD_M: f64 = 0.9144;
const FLUID_OUNCE_ML: f64 = 29.573_529_562_5;
const INCH_OF_MERCURY_MBAR: f64 = 33.863_89;
const MSI_GPA: f64 = 6.894_757_293_168;
const KSI_MPA: f64 = 6.894_757_293_168;
const POUND_FORCE_N: f64 = 4.448_221_615_260_5;

impl Unit {
    /// The metric symbol.
    pub fn symbol(self) -> &'static str {
        match self {
            Self::One | Self::Count => "",
            Self::Percent => "%",
            Self::Millimetre => "mm",
            Self::Micrometre => "µm",
            Self::Metre => "m",
            Self::SquareMetre => "m²",
            Self::Gram => "g",
            Self::GramPerSquareMetre => "g/m²",
            Self::GramPerMillilitre => "g/ml",
            Self::Millilitre => "ml",
            Self::Celsius => "°C",
            Self::Kelvin => "K",
            Self::Millibar => "mbar",
            Self::Minute => "min",
            Self::Hour => "h",
            Self::Degree => "°",
            Self::Gigapascal => "GPa",
            Self::MillipascalSecond => "mPa·s",
            Self::Permeability => "m²",
            Self::Rpm => "rpm",
            Self::MetrePerSecond => "m/s",
            Self::MillimetrePerSecond => "mm/s",
            Self::CubicMetrePerHour => "m³/h",
            Self::Watt => "W",
            Self::Megapascal => "MPa",
            Self::Kilopascal => "kPa",
            Self::Newton => "N",
            Self::Hertz => "Hz",
            Self::NewtonPerMillimetre => "N/mm",
            Self::NewtonMetre => "N·m",
            Self::KilogramCo2 => "kg CO₂e",
            Self::Litre => "l",
            Self::LitrePerMinute => "l/min",
            Self::MillibarPerMinute => "mbar/min",
            Self::MillibarLitrePerSecond => "mbar·l/s",
            Self::KelvinPerHour => "K/h",
            Self::GramPerEquivalent => "g/eq",
            Self::HourOfDay => "o'clock",
        }
    }

    fn us(self) -> Option<Us> {
        let scaled = |symbol, factor| {
            Some(Us {
                symbol,
                factor,
                offset: 0.0,
            })
        };
        match self {
            Self::Millimetre => scaled("in", 1.0 / INCH_MM),
            Self::Metre => scaled("ft", 1.0 / FOOT_M),
            Self::SquareMetre => scaled("ft²", 1.0 / (FOOT_M * FOOT_M)),
            Self::Gram => scaled("oz", 1.0 / OUNCE_G),
            Self::GramPerSquareMetre => scaled("oz/yd²", YARD_M * YARD_M / OUNCE_G),
            Self::Millilitre => scaled("fl oz", 1.0 / FLUID_OUNCE_ML),
            Self::Celsius => Some(Us {
                symbol: "°F",
                factor: 1.8,
                offset: 32.0,
            }),
            Self::Kelvin => scaled("°F", 1.8),
            Self::KelvinPerHour => scaled("°F/h", 1.8),
            Self::Millibar => scaled("inHg", 1.0 / INCH_OF_MERCURY_MBAR),
            Self::MillibarPerMinute => scaled("inHg/min", 1.0 / INCH_OF_MERCURY_MBAR),
            Self::Litre => scaled("qt", 1000.0 / (32.0 * FLUID_OUNCE_ML)),
            Self::Gigapascal => scaled("Msi", 1.0 / MSI_GPA),
            Self::MetrePerSecond => scaled("ft/min", 60.0 / FOOT_M),
            Self::MillimetrePerSecond => scaled("in/s", 1.0 / INCH_MM),
            Self::Megapascal => scaled("ksi", 1.0 / KSI_MPA),
            Self::Kilopascal => scaled("psi", 1.0 / KSI_MPA),
            Self::Newton => scaled("lbf", 1.0 / POUND_FORCE_N),
            Self::NewtonPerMillimetre => scaled("lbf/in", INCH_MM / POUND_FORCE_N),
            Self::NewtonMetre => scaled("lbf·in", 1000.0 / (INCH_MM * POUND_FORCE_N)),
            Self::CubicMetrePerHour => scaled("cfm", 1.0 / (60.0 * FOOT_M * FOOT_M * FOOT_M)),
            _ => None,
        }
    }

    /// The symbol a person sees.
    pub fn symbol_in(self, units: Units) -> &'static str {
        match (units, self.us()) {
            (Units::Us, Some(us)) => us.symbol,
            _ => self.symbol(),
        }
    }

    /// A metric value as the person sees it.
    pub fn to_shown(self, metric: f64, units: Units) -> f64 {
        match (units, self.us()) {
            (Units::Us, Some(us)) => metric * us.factor + us.offset,
            _ => metric,
        }
    }

    /// What the person typed, as metric.
    pub fn from_shown(self, shown: f64, units: Units) -> f64 {
        match (units, self.us()) {
            (Units::Us, Some(us)) => (shown - us.offset) / us.factor,
            _ => shown,
        }
    }
}

/// A number as a person reads it: rounded to `decimals`, thousands set apart above 9999.
pub fn number(value: f64, decimals: usize) -> String {
    if value == 0.0 {
        return format!("{:.decimals$}", 0.0);
    }
    if value.abs() < 1e-4 {
        return format!("{value:.1e}");
    }
    let plain = format!("{value:.decimals$}");
    let (whole, rest) = plain.split_at(plain.find('.').unwrap_or(plain.len()));
    let (sign, digits) = whole.split_at(usize::from(whole.starts_with('-')));
    if digits.len() <= 4 {
        return plain;
    }
    let mut out = String::from(sign);
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            out.push('\u{202f}');
        }
        out.push(digit);
    }
    out + rest
}

/// Power of ten to round a value to that is known to about `half_width`: no digit that the range makes meaningless.
///
/// At least `figures` figures of the likely value stay, at most four.
pub fn place_for(likely: f64, half_width: f64, figures: i32) -> i32 {
    // Casts of small whole numbers; a float-to-integer cast saturates.
    let exponent = |x: f64| {
        if x > 0.0 {
            x.log10().floor().clamp(-30.0, 30.0) as i32
        } else {
            -30
        }
    };
    let size = if likely == 0.0 {
        0
    } else {
        exponent(likely.abs())
    };
    // A range that was typed as three of something is three of it, whatever the last digit says.
    exponent(half_width / 3.0 * (1.0 + 1e-7)).clamp(size - 3, size + 1 - figures)
}

/// A number rounded to a power of ten, as a person reads it.
pub fn rounded(value: f64, place: i32) -> String {
    let step = 10_f64.powi(place);
    // A tie goes up, whatever the last digit of a long sum says.
    let value = value * (1.0 + 1e-12);
    let decimals = usize::try_from(-place).unwrap_or(0);
    // Dividing by a power of ten keeps 2.9 at 2.9; multiplying by 0.1 would not.
    let value = if place > 0 {
        (value / step).round() * step
    } else {
        value
    };
    // Nothing to show at this place: plain zero, not a tiny number in powers of ten.
    let value = if value.abs() < 0.5 * step { 0.0 } else { value };
    number(value, decimals)
}

/// A number without a range: at most four figures, no trailing zeros.
pub fn plain(value: f64) -> String {
    trimmed(rounded(value, place_for(value, 0.0, 4)))
}

/// A number to so many figures, without zeros at its end.
pub(crate) fn to_figures(value: f64, figures: i32) -> String {
    // A cast of a small whole number.
    let first = value.abs().max(f64::MIN_POSITIVE).log10().floor() as i32;
    trimmed(rounded(value, first - figures + 1))
}

fn trimmed(text: String) -> String {
    if text.contains('.') && !text.contains('e') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// Joins a number and its unit: "2.9 mm", but "62%" and "45°".
pub(crate) fn join_unit(number: &str, unit: &str) -> String {
    match unit {
        "" => number.to_owned(),
        "%" | "°" => format!("{number}{unit}"),
        _ => format!("{number}\u{a0}{unit}"),
    }
}

/// A number for a field, without rounding noise: at most six figures, no trailing zeros.
pub fn entry(value: f64) -> String {
    if value == 0.0 {
        return "0".into();
    }
    let size = value.abs().log10().floor();
    if !(-5.0..9.0).contains(&size) {
        return format!("{value:.6e}");
    }
    let decimals = (5.0 - size).clamp(0.0, 10.0) as usize;
    let text = format!("{value:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').into()
    } else {
        text
    }
}

/// A number as people type it: decimal point or comma, spaces or apostrophes between thousands.
///
/// `None` when it is not a number. A single separator with exactly three digits behind it is read as a
/// decimal mark, as a scale or a gauge would mean it.
pub fn typed(text: &str) -> Option<f64> {
    let packed: String = text
        .trim()
        .chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '\'' | '\u{2019}' | '\u{a0}' | '\u{202f}'))
        .map(|c| if c == '\u{2212}' { '-' } else { c })
        .collect();
    let commas = packed.matches(',').count();
    let points = packed.matches('.').count();
    let plain = match (commas, points) {
        (0, _) => packed,
        (1, 0) => packed.replace(',', "."),
        // Both present: the last one is the decimal mark, the other groups thousands.
        _ if packed.rfind(',') > packed.rfind('.') && commas == 1 => {
            packed.replace('.', "").replace(',', ".")
        }
        _ => packed.replace(',', ""),
    };
    // The JSON reader's own numbers, so that the page carries one parser only; it wants a digit before
    // the point, and none of people's plus signs and trailing points.
    let unsigned = plain.trim_start_matches(['-', '+']);
    if plain.len() - unsigned.len() > 1 || unsigned.is_empty() {
        return None;
    }
    let sign = if plain.starts_with('-') { -1.0 } else { 1.0 };
    let whole = unsigned.split(['.', 'e', 'E']).next().unwrap_or_default();
    let trimmed = unsigned.trim_start_matches('0');
    let mut digits = String::new();
    if !trimmed.starts_with(|c: char| c.is_ascii_digit()) {
        // ".5", "0.5" and "000" all need one zero in front.
        if whole.is_empty() && !trimmed.starts_with(|c: char| c == '.' && trimmed.len() > 1) {
            return None;
        }
        digits.push('0');
    }
    digits.push_str(trimmed.strip_suffix('.').unwrap_or(trimmed));
    let number: serde_json::Value = serde_json::from_str(&digits.replace(".e", "e")).ok()?;
    number.as_f64().map(|x| sign * x).filter(|x| x.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_numbers_the_way_people_type_them() {
        for (text, value) in [
            ("2.9", 2.9),
            ("2,9", 2.9),
            (" 1 480 ", 1480.0),
            ("1'480,5", 1480.5),
            ("1.480,5", 1480.5),
            ("1,480.5", 1480.5),
            ("\u{2212}12", -12.0),
            ("3e-11", 3e-11),
            (".5", 0.5),
            ("5.", 5.0),
            ("007", 7.0),
            ("0", 0.0),
            ("-0,25", -0.25),
            ("+4", 4.0),
        ] {
            assert_eq!(typed(text), Some(value), "{text}");
        }
        for text in [
            "", "abc", "1.2.3", "inf", "NaN", "0x10", "12 g", "-", ".", "--2", "1e", "e5", "1e999",
        ] {
            assert_eq!(typed(text), None, "{text}");
        }
    }

    #[test]
    fn shows_no_digit_that_the_range_makes_meaningless() {
        let show = |likely: f64, half| rounded(likely, place_for(likely, half, 2));
        assert_eq!(show(2.914, 0.4), "2.9");
        assert_eq!(show(71.3, 20.0), "71");
        assert_eq!(show(132.4, 466.0), "130");
        assert_eq!(show(0.3012, 0.05), "0.30");
        assert_eq!(rounded(1554.2, place_for(1554.2, 362.0, 3)), "1550");
        assert_eq!(plain(420.0), "420");
        assert_eq!(plain(216.667), "216.7");
        assert_eq!(number(12_223.1, 0), "12\u{202f}223");
    }

    #[test]
    fn a_tie_goes_up_whatever_the_last_digit_says() {
        for near in [3.35 - 4e-16, 3.35, 3.35 + 4e-16] {
            assert_eq!(rounded(near, -1), "3.4");
            assert_eq!(rounded(-near, -1), "-3.4");
        }
        assert_eq!(rounded(3.349_999, -1), "3.3");
        assert_eq!(rounded(125.0 - 1e-14, 1), "130");
    }

    #[test]
    fn every_unit_goes_to_us_customary_and_back() {
        for unit in [
            Unit::Millimetre,
            Unit::Celsius,
            Unit::Kelvin,
            Unit::Gram,
            Unit::GramPerSquareMetre,
            Unit::Millibar,
            Unit::MetrePerSecond,
            Unit::Percent,
        ] {
            let there = unit.to_shown(37.5, Units::Us);
            assert!(
                (unit.from_shown(there, Units::Us) - 37.5).abs() < 1e-12,
                "{unit:?}"
            );
        }
        // ISO 80000-1 and NIST SP 811 (2008) appendix B factors.
        assert!((Unit::GramPerSquareMetre.to_shown(33.905_75, Units::Us) - 1.0).abs() < 1e-6);
        assert!((Unit::Celsius.to_shown(100.0, Units::Us) - 212.0).abs() < 1e-12);
        assert!((Unit::Millibar.to_shown(33.863_89, Units::Us) - 1.0).abs() < 1e-12);
    }
}
