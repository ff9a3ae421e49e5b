//! The choices a plan may make, as words in the document and as types in the code.

use crate::units::Units;
use serde::Serialize;

/// A choice of one word.
pub(crate) trait Words: Sized + Copy {
    /// The words in the document, in the order the page shows them.
    const ALL: &'static [&'static str];

    /// The choice that this word stands for.
    fn from_word(word: &str) -> Option<Self>;

    /// The word in the document.
    fn spelt(self) -> &'static str;

    /// The words on the page.
    fn label(self) -> &'static str;

    /// Every word with what the page calls it.
    fn labelled() -> Vec<(&'static str, &'static str)> {
        let label = |word| Self::from_word(word).map_or(word, Self::label);
        Self::ALL.iter().map(|&word| (word, label(word))).collect()
    }
}

/// Declares an enum whose variants are words in the document.
macro_rules! words {
    ($(#[$doc:meta])* $name:ident, $list:ident { $($(#[$vdoc:meta])* $variant:ident = $word:literal, $label:literal;)* }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
        pub enum $name {
            $($(#[$vdoc])* #[serde(rename = $word)] $variant,)*
        }

        /// The words of this choice, in the order the page shows them.
        pub const $list: &[&str] = &[$($word),*];

        impl Words for $name {
            const ALL: &'static [&'static str] = $list;

            fn from_word(word: &str) -> Option<Self> {
                match word {
                    $($word => Some(Self::$variant),)*
                    _ => None,
                }
            }

            fn spelt(self) -> &'static str {
                match self {
                    $(Self::$variant => $word,)*
                }
            }

            fn label(self) -> &'static str {
                match self {
                    $(Self::$variant => $label,)*
                }
            }
        }

        impl $name {
            /// The word in the document.
            pub fn word(self) -> &'static str {
                self.spelt()
            }
        }
    };
}

words! {
    /// How the part is moulded.
    Route, ROUTES {
        /// Dry stack, resin drawn in by vacuum.
        Infusion = "infusion", "vacuum-bag infusion";
        /// Wetted by hand, then bagged.
        BaggedWet = "bagged_wet", "wet layup in a bag";
        /// Wetted by hand, no bag.
        OpenWet = "open_wet", "wet layup, open";
        /// Cloth that comes with its resin.
        Prepreg = "prepreg", "prepreg in a bag";
    }
}

words! {
    /// Where resin enters the part.
    Feed, FEEDS {
        /// A line along one edge.
        Edge = "edge", "a line along one edge";
        /// A line along the middle.
        CentreLine = "centre_line", "a line along the middle";
        /// One point in the middle.
        Centre = "centre", "one point in the middle";
        /// A line all round, drawn to the middle.
        AllRound = "all_round", "a line all round";
    }
}

words! {
    /// What the gauge on the pump or bag shows.
    GaugeKind, GAUGE_KINDS {
        /// Millibar above a perfect vacuum.
        MbarAbsolute = "mbar_absolute", "mbar, absolute";
        /// Kilopascal above a perfect vacuum.
        KpaAbsolute = "kpa_absolute", "kPa, absolute";
        /// Millibar below the air outside.
        MbarBelow = "mbar_below", "mbar below the air";
        /// Kilopascal below the air outside.
        KpaBelow = "kpa_below", "kPa below the air";
        /// Inches of mercury below the air outside.
        InHgBelow = "inhg_below", "inHg below the air";
        /// Percent of the air outside.
        PercentOfLocal = "percent_of_local", "% vacuum, of the air here";
        /// Percent of a standard atmosphere.
        PercentOfStandard = "percent_of_standard", "% vacuum, of 1013 mbar";
    }
}

words! {
    /// How the plies lie in the oven.
    Faces, FACES {
        /// Hung or on a rack.
        Two = "two", "air on both sides";
        /// On a tray or the mould.
        One = "one", "on a tray, air on one side";
    }
}

words! {
    /// What the finished part must carry.
    LoadCase, LOAD_CASES {
        /// A panel held along its edges, pressed evenly.
        Pressure = "pressure", "a panel, pressed evenly";
        /// A panel held along its edges, pressed in the middle.
        Point = "point", "a panel, pressed in the middle";
        /// A strip on two supports, pressed in the middle.
        StripMiddle = "strip_middle", "a strip on two supports, pressed in the middle";
        /// A strip on two supports, pressed evenly.
        StripEven = "strip_even", "a strip on two supports, pressed evenly";
        /// A strip held at one end, pressed at the other.
        StripEnd = "strip_end", "a strip held at one end, pressed at the other";
        /// Pulled or pushed along the part.
        Edge = "edge", "a pull or push along the part";
    }
}

words! {
    /// How a panel is held along its edges.
    Held, HELD {
        /// Free to turn over its supports.
        Resting = "resting", "resting on its edges";
        /// Kept from turning at its edges.
        Clamped = "clamped", "held firmly along its edges";
    }
}

words! {
    /// How the long edges of a part are held that is pushed along.
    Sides, SIDES {
        /// Free to move out.
        Free = "free", "free: it is a strip";
        /// Kept from moving out, as the ends are.
        Held = "held", "kept from moving out, like its ends";
    }
}

words! {
    /// What the comparison with other materials holds equal.
    Equal, EQUALS {
        /// The same stiffness in bending along the part.
        Stiffness = "stiffness", "the same bending stiffness";
        /// The same bending moment at first damage.
        Strength = "strength", "the same strength in bending";
        /// The same deflection under the stated load.
        Deflection = "deflection", "the same give under your load";
    }
}

words! {
    /// What counts most for the part.
    Matters, MATTERS {
        /// Nothing stands out.
        Nothing = "nothing", "nothing stands out";
        /// Every gram.
        Weight = "weight", "low weight";
        /// Strength.
        Strength = "strength", "high strength";
        /// Footprint.
        Footprint = "footprint", "low footprint";
        /// Damping.
        Quiet = "quiet", "little vibration and noise";
        /// Looks.
        Looks = "looks", "the look of the fibre";
    }
}

words! {
    /// What a batch stands in.
    PotKind, POT_KINDS {
        /// A cup, about as deep as wide.
        Cup = "cup", "a cup, about as deep as wide";
        /// A bucket.
        Bucket = "bucket", "a bucket";
        /// A flat tray.
        Tray = "tray", "a flat tray";
        /// A cup or bucket in a stirred water bath.
        Bath = "bath", "a cup in a water bath";
    }
}

words! {
    /// What the mould is made of, as far as heat asks.
    MouldKind, MOULD_KINDS {
        /// Glass or flax laminate, a few millimetres.
        Laminate = "laminate", "a laminate of a few millimetres";
        /// Foam, wood, plaster: holds the heat in.
        Insulating = "insulating", "foam, wood or plaster";
        /// Metal or stone: draws the heat away.
        Metal = "metal", "metal";
        /// A sheet of glass on a bench.
        Glass = "glass", "a glass table";
    }
}

words! {
    /// How the clock on the wall is set when summer begins or ends.
    ClockGoes, CLOCK_GOES {
        /// An hour comes twice.
        Back = "back", "back an hour";
        /// An hour is left out.
        Forward = "forward", "forward an hour";
    }
}

words! {
    /// What colour the part is where the sun sees it.
    Colour, COLOURS {
        /// White paint or gelcoat.
        White = "white", "white";
        /// Light grey or a pale colour.
        LightGrey = "light_grey", "light grey, or a pale colour";
        /// Grey or a strong colour.
        Grey = "grey", "grey, or a strong colour";
        /// Black or a dark colour.
        Black = "black", "black, or a dark colour";
        /// Flax under a clear coat.
        ClearFlax = "clear_flax", "flax under a clear coat";
    }
}

words! {
    /// How the part lies to the sun.
    Facing, FACINGS {
        /// Level, like a roof or a deck.
        Level = "level", "level, like a roof";
        /// Upright, like a wall.
        Wall = "wall", "upright, like a wall";
    }
}

words! {
    /// What the air does around the part in service.
    Wind, WINDS {
        /// Still.
        Still = "still", "still air";
        /// About three metres a second.
        Breeze = "breeze", "a breeze of 3 m/s";
    }
}

words! {
    /// What lies behind the part in service.
    Back, BACKS {
        /// Foam, a closed space, another skin.
        Insulated = "insulated", "closed in or insulated";
        /// Air that moves freely.
        Open = "open", "open to the air";
    }
}

impl Words for Units {
    const ALL: &'static [&'static str] = &["metric", "us"];

    fn from_word(word: &str) -> Option<Self> {
        match word {
            "metric" => Some(Self::Metric),
            "us" => Some(Self::Us),
            _ => None,
        }
    }

    fn spelt(self) -> &'static str {
        match self {
            Self::Metric => "metric",
            Self::Us => "us",
        }
    }

    fn label(self) -> &'static str {
        match self {
            Self::Metric => "metric",
            Self::Us => "US customary",
        }
    }
}

/// The grit that a finish is asked in, by its marking.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FinishGrit(pub &'static str);

impl Words for FinishGrit {
    const ALL: &'static [&'static str] = FINISH_GRITS;

    fn from_word(word: &str) -> Option<Self> {
        let found = FINISH_GRITS.iter().find(|grit| **grit == word);
        found.map(|grit| Self(grit))
    }

    fn spelt(self) -> &'static str {
        self.0
    }

    fn label(self) -> &'static str {
        self.0
    }
}

/// Grits that a finish may be asked in.
pub const FINISH_GRITS: &[&str] = &[
    "P60", "P80", "P100", "P120", "P150", "P180", "P220", "P240", "P320", "P400", "P600", "P800",
];
