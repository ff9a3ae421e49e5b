//! Where a number comes from, and how far it may be trusted.

use serde::Serialize;

/// How a value came to us.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Grade {
    /// Measured or typed by the maker.
    Own,
    /// Read in that very source, or a definition.
    Read,
    /// Read in a work that quotes the source named; the source itself was not seen.
    Quoted,
    /// Recalled from the source named, not checked again.
    Memory,
    /// Common practice of the trade, no source.
    Practice,
    /// Our own judgement, to be replaced by a measurement.
    Judgement,
}

/// A publication, a practice or a judgement that a number stands on.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Source {
    /// Short name, unique on the shelf.
    pub key: String,
    /// Author or issuing body.
    pub author: String,
    /// Year, where there is one.
    pub year: Option<u16>,
    /// Title, or journal with volume and page.
    pub title: String,
    /// Table, equation, page or section.
    pub place: String,
    /// How the value came to us.
    pub grade: Grade,
}

/// What a figure on the sheet rests on, as the line under it shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Basis {
    /// Firm physics, geometry, or the maker's own measurement.
    Firm,
    /// Published data.
    Published,
    /// A rule of thumb, a recalled value or a judgement.
    Rule,
}

impl From<Grade> for Basis {
    fn from(grade: Grade) -> Self {
        match grade {
            Grade::Own => Self::Firm,
            Grade::Read | Grade::Quoted => Self::Published,
            Grade::Memory | Grade::Practice | Grade::Judgement => Self::Rule,
        }
    }
}
