//! The figures of a load, each with its law.

use super::Stated;
use super::told::Found;
use crate::plan::Sides;
use crate::sheet::{Basis, Law, LoadSheet, Spread};
use crate::stage::bench::Bench;
use crate::units::Unit;

pub(super) fn figures(
    bench: &mut Bench<'_>,
    stated: &Stated,
    hangs: bool,
    least: &Spread,
    (sentence, weakest): (String, String),
    found: &Found,
) -> LoadSheet {
    let desk = &mut bench.desk;
    let others = found.core.is_some() || found.buckles.is_some() || found.crush.is_some();
    let mut one = |spread: &Option<Spread>, label: &'static str, law: &'static Law| {
        spread
            .as_ref()
            .map(|spread| desk.estimate(label, Unit::One, spread, law))
    };
    let laminate_reserve = others
        .then(|| {
            one(
                &Some(found.ply.clone()),
                "Damage of a ply over the load",
                &DAMAGE,
            )
        })
        .flatten();
    let core_reserve = one(
        &found.core,
        "Shear strength of the core over the shear in it",
        &CORE,
    );
    let wrinkling_reserve = one(
        &found.wrinkling,
        "Wrinkling of the face over the stress in it",
        &WRINKLING,
    );
    let crush_reserve = one(
        &found.crush,
        "Force that first crushes the core over the force",
        &CRUSH,
    );
    let reserve = found
        .buckles
        .as_ref()
        .map(|buckles| buckles.reserve.clone());
    let buckling_reserve = one(
        &reserve,
        "Buckling of a real part over the push",
        law_of_push(stated),
    );
    LoadSheet {
        sentence,
        weakest,
        deflection_mm: found.deflection.as_ref().filter(|_| !hangs).map(|w| {
            desk.estimate(
                "Gives under the load",
                Unit::Millimetre,
                &w.times(1000.0),
                law_of(stated),
            )
        }),
        reserve: desk.estimate("First damage over the load", Unit::One, least, &DAMAGE),
        laminate_reserve,
        core_reserve,
        wrinkling_reserve,
        crush_reserve,
        buckling_n_mm: found.buckles.as_ref().map(|buckles| {
            desk.estimate(
                "Push at which it buckles, were it flat and even",
                Unit::NewtonPerMillimetre,
                &buckles.load.times(1e-3),
                law_of_push(stated),
            )
        }),
        buckling_reserve,
        ring_hz: found.rings.as_ref().map(|rings| {
            desk.estimate(
                "Rings at this note when struck, held like this; a tenth lower means a fifth less stiff",
                Unit::Hertz,
                rings,
                &RING,
            )
        }),
        lasting: String::new(),
        damp_mm: None,
        soaked_mm: None,
        years_dry_mm: None,
        years_damp_mm: None,
        strain_pct: desk.estimate(
            "Largest strain along the part",
            Unit::Percent,
            &found.strain.times(100.0),
            &STRAIN,
        ),
        rests_on: format!(
            "Bonded flat plies, small give, {}; first damage by the criterion of Azzi, Tsai and Hill in the fibres of each direction, warp and weft apart, short time, dry, at room temperature. Holes, inserts, impact and loads that come and go are not in it.",
            if stated.is_panel() {
                "edges free to slide in"
            } else {
                "a strip free to curl across"
            }
        ),
    }
}

fn law_of_push(stated: &Stated) -> &'static Law {
    match stated.sides {
        Sides::Free => &PUSHED_STRIP,
        Sides::Held => &PUSHED_PANEL,
    }
}

fn law_of(stated: &Stated) -> &'static Law {
    if stated.is_panel() { &PANEL } else { &STRIP }
}

static PANEL: Law = Law {
    says: "plate on four edges: double sine series in D - B A⁻¹ B, with shear of a core, and what D16 and D26 add",
    basis: Basis::Firm,
    sources: &["timoshenko_plates", "law_laminate_theory"],
};

static STRIP: Law = Law {
    says: "beam: F L³ / (48 EI), 5 F L³ / (384 EI) or F L³ / (3 EI), and the shear of a core",
    basis: Basis::Firm,
    sources: &["law_beam", "law_laminate_theory"],
};

static DAMAGE: Law = Law {
    says: "(σ1/X)² - σ1 σ2/X² + (σ2/Y)² + (τ/S)² = 1 in the fibres of one direction, with the strengths of pull or push",
    basis: Basis::Published,
    sources: &["azzi_tsai_1965", "law_laminate_theory"],
};

static CORE: Law = Law {
    says: "τ = Q / d, shear force over the distance between the faces",
    basis: Basis::Firm,
    sources: &["law_sandwich"],
};

static WRINKLING: Law = Law {
    says: "σ = 0.5 (E_f E_c G_c)^(1/3) over the mean stress in the face",
    basis: Basis::Published,
    sources: &["law_sandwich"],
};

static CRUSH: Law = Law {
    says: "F = s π r² / (1 + x ker' x), x = r/l, l⁴ = D c / E_c: the face as a plate on springs, until the core crushes",
    basis: Basis::Published,
    sources: &["timoshenko_plates", "law_sandwich"],
};

static PUSHED_STRIP: Law = Law {
    says: "N = π² D / L², four times that with ends that cannot turn; with a core 1/N = 1/N_b + 1/S and the faces' own bending",
    basis: Basis::Published,
    sources: &["timoshenko_gere", "law_sandwich"],
};

static PUSHED_PANEL: Law = Law {
    says: "N = least over waves of (π²/b²)(D11 (mb/a)² + 2 (D12 + 2 D66) + D22 (a/mb)²), less for D16 and D26; with a core 1/N = 1/N_b + 1/S and the faces' own bending",
    basis: Basis::Published,
    sources: &["timoshenko_gere", "law_sandwich"],
};

static RING: Law = Law {
    says: "f = (K/m)^(1/2) / (2π), K of the lowest swing, m the mass per area; its square goes with E h², so a tap tells E, three times as far off as the thickness",
    basis: Basis::Published,
    sources: &["leissa_1969", "law_sandwich"],
};

static STRAIN: Law = Law {
    says: "ε = ε0 + z κ at the faces, by classical laminate theory",
    basis: Basis::Firm,
    sources: &["law_laminate_theory"],
};
