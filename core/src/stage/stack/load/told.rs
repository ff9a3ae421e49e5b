//! Tells what a load does: figures, words and cautions.

use super::super::deepen::Tested;
use super::super::{STAGE, Stacked};
use super::Stated;
use crate::law::failure::Mode;
use crate::plan::LoadCase;
use crate::plan::fields::{LOAD_LIMIT, LOAD_RESERVE};
use crate::sheet::{Basis, Law, LoadSheet, Spread};
use crate::stage::bench::Bench;
use crate::units::Unit;

/// Names of the places, as the plate law orders them.
const PLACES: [&str; 6] = [
    "in the middle",
    "at the middle of the edge across the part",
    "at the middle of the edge along the part",
    "in the corners",
    "a quarter of the length in",
    "a quarter of the width in",
];

pub(super) struct Found {
    pub(super) deflection: Option<Spread>,
    pub(super) reserve: Spread,
    pub(super) strain: Spread,
    pub(super) core_reserve: Option<Spread>,
    pub(super) wrinkling: Option<Spread>,
    pub(super) weak: Option<(usize, usize, Mode)>,
}

pub(super) fn told(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    tested: &Tested,
    stated: &Stated,
    found: Found,
) -> LoadSheet {
    let wanted = bench.take(&LOAD_RESERVE).likely();
    let limit = bench.plan.given(&LOAD_LIMIT).map(|range| range.likely);
    let least = [
        Some(&found.reserve),
        found.core_reserve.as_ref(),
        found.wrinkling.as_ref(),
    ]
    .into_iter()
    .flatten()
    .fold(None::<Spread>, |least, next| {
        Some(match least {
            None => next.clone(),
            Some(least) => Spread::from([&least, next], |[a, b]| a.min(b)),
        })
    })
    .unwrap_or_else(|| found.reserve.clone());
    let desk = &bench.desk;
    let mut sentence = String::new();
    if let Some(deflection) = &found.deflection {
        let mm = deflection.times(1000.0);
        // Beyond half its thickness a panel also carries by stretching.
        let most = stated.is_panel() && deflection.likely() > 0.5 * stacked.thickness.likely();
        let at_most = if most { "at most " } else { "" };
        sentence = format!("It gives {at_most}{}", desk.say(Unit::Millimetre, &mm));
        if let Some(limit) = limit {
            let chance = mm.share(|w| w <= limit);
            sentence += &format!(
                ": {} the {} you allow",
                likelihood(
                    chance,
                    [
                        "within",
                        "probably within",
                        "perhaps beyond",
                        "probably beyond",
                        "beyond"
                    ]
                ),
                desk.say_plain(Unit::Millimetre, limit)
            );
        }
        sentence += ". ";
    }
    let chance = least.share(|r| r >= wanted);
    sentence += &format!(
        "First damage would come at {} times this load: {} the reserve of {} that you want.",
        desk.say(Unit::One, &least),
        likelihood(
            chance,
            [
                "it keeps",
                "it probably keeps",
                "it may not keep",
                "it probably does not keep",
                "it does not keep"
            ]
        ),
        crate::units::plain(wanted),
    );
    let weaker = |other: &Option<Spread>| {
        other
            .as_ref()
            .is_some_and(|other| other.likely() <= least.likely() * (1.0 + 1e-9))
    };
    let weakest = if weaker(&found.core_reserve) {
        "The core, in shear.".to_owned()
    } else if weaker(&found.wrinkling) {
        "A face, wrinkling into the core.".to_owned()
    } else {
        found.weak.map_or_else(String::new, |(place, row, mode)| {
            format!(
                "{}, {}, {}.",
                stacked
                    .rows
                    .get(row)
                    .map_or("the laminate", |row| &row.name),
                mode_in_words(mode, is_woven(stacked, row)),
                match stated.case {
                    LoadCase::Edge => "all along",
                    _ if stated.is_panel() => PLACES[place.min(5)],
                    _ => "where the moment is largest",
                }
            )
        })
    };
    if chance < 0.5 {
        bench.problem(
            STAGE,
            "The stack is too weak for the stated load and reserve. Add plies on the faces, lay a core, or shorten the span.",
        );
    }
    if let (Some(limit), Some(deflection)) = (limit, &found.deflection)
        && deflection.share(|w| w * 1000.0 <= limit) < 0.5
    {
        bench.problem(
            STAGE,
            "The part gives more than you allow. Thickness helps most: a third more of it makes a panel more than twice as stiff.",
        );
    }
    let large = stated.is_panel()
        && found
            .deflection
            .as_ref()
            .is_some_and(|give| give.likely() > 0.5 * stacked.thickness.likely());
    if large {
        bench.advice(
            STAGE,
            "The panel gives more than half its thickness: it then also carries by stretching, and really gives less than shown.",
        );
    }
    if let Some(deflection) = &found.deflection
        && !stated.is_panel()
        && deflection.likely() > 0.1 * stated.length
    {
        bench.advice(
            STAGE,
            "The strip gives more than a tenth of its length: the figures are too rough there. Shorten it, make it thicker, or try a sample.",
        );
    }
    if !large && found.strain.likely() > tested.least_knee && tested.least_knee > 0.0 {
        bench.advice(
            STAGE,
            "Under this load the flax works beyond its knee: it gives more than shown, and does not spring back all the way.",
        );
    }
    bench.caution(
        STAGE,
        "Load figures are for planning. Where a part carries people or could hurt somebody when it breaks, ask a qualified engineer and break a sample first.",
    );
    let desk = &mut bench.desk;
    LoadSheet {
        sentence,
        weakest,
        deflection_mm: found.deflection.as_ref().map(|w| {
            desk.estimate(
                "Gives under the load",
                Unit::Millimetre,
                &w.times(1000.0),
                law_of(stated),
            )
        }),
        reserve: desk.estimate("First damage over the load", Unit::One, &least, &DAMAGE),
        laminate_reserve: found.core_reserve.is_some().then(|| {
            desk.estimate(
                "Damage of a ply over the load",
                Unit::One,
                &found.reserve,
                &DAMAGE,
            )
        }),
        core_reserve: found.core_reserve.as_ref().map(|r| {
            desk.estimate(
                "Shear strength of the core over the shear in it",
                Unit::One,
                r,
                &CORE,
            )
        }),
        wrinkling_reserve: found.wrinkling.as_ref().map(|r| {
            desk.estimate(
                "Wrinkling of the face over the stress in it",
                Unit::One,
                r,
                &WRINKLING,
            )
        }),
        strain_pct: desk.estimate(
            "Largest strain along the part",
            Unit::Percent,
            &found.strain.times(100.0),
            &STRAIN,
        ),
        rests_on: format!(
            "Bonded flat plies, small give, {}; damage by the criterion of Azzi, Tsai and Hill in each ply, short time, dry, at room temperature. Holes, inserts, impact and years of use are not in it.",
            if stated.is_panel() {
                "coupling of bending with twist left out"
            } else {
                "a strip free to curl across"
            }
        ),
    }
}

fn law_of(stated: &Stated) -> &'static Law {
    if stated.is_panel() { &PANEL } else { &STRIP }
}

/// A chance in words, from nine in ten to one in ten.
fn likelihood(chance: f64, words: [&'static str; 5]) -> &'static str {
    let [sure, likely, open, unlikely, no] = words;
    match chance {
        c if c >= 0.9 => sure,
        c if c >= 0.7 => likely,
        c if c >= 0.3 => open,
        c if c > 0.1 => unlikely,
        _ => no,
    }
}

fn is_woven(stacked: &Stacked, row: usize) -> bool {
    let cloth = stacked.rows.get(row).and_then(|row| row.cloth.as_ref());
    cloth.is_some_and(|cloth| cloth.architecture.is_woven())
}

fn mode_in_words(mode: Mode, woven: bool) -> &'static str {
    match (mode, woven) {
        (Mode::AlongTension, false) => "pulled along its fibres",
        (Mode::AlongCompression, false) => "pushed along its fibres",
        (Mode::AcrossTension, false) => "pulled across its fibres",
        (Mode::AcrossCompression, false) => "pushed across its fibres",
        (Mode::AlongTension, true) => "pulled along its warp",
        (Mode::AlongCompression, true) => "pushed along its warp",
        (Mode::AcrossTension, true) => "pulled along its weft",
        (Mode::AcrossCompression, true) => "pushed along its weft",
        (Mode::Shear, _) => "in shear",
    }
}

static PANEL: Law = Law {
    says: "plate on four edges: double sine series in D11, D12, D22, D66, with shear of a core",
    basis: Basis::Firm,
    sources: &["timoshenko_plates", "law_laminate_theory"],
};

static STRIP: Law = Law {
    says: "beam: F L³ / (48 EI), 5 F L³ / (384 EI) or F L³ / (3 EI), and the shear of a core",
    basis: Basis::Firm,
    sources: &["law_beam", "law_laminate_theory"],
};

static DAMAGE: Law = Law {
    says: "(σ1/X)² - σ1 σ2/X² + (σ2/Y)² + (τ/S)² = 1 in the first ply, with the strengths of pull or push",
    basis: Basis::Published,
    sources: &["azzi_tsai_1965", "law_laminate_theory"],
};

static CORE: Law = Law {
    says: "τ = Q / d, shear force over the distance between the faces",
    basis: Basis::Firm,
    sources: &["law_sandwich"],
};

static WRINKLING: Law = Law {
    says: "σ = 0.5 (E_f E_c G_c)^(1/3) over M / (d t_f)",
    basis: Basis::Published,
    sources: &["law_sandwich"],
};

static STRAIN: Law = Law {
    says: "ε = ε0 + z κ at the faces, by classical laminate theory",
    basis: Basis::Firm,
    sources: &["law_laminate_theory"],
};
