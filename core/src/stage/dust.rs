//! What the dust of this part is made of, and what it does: told where cloth is cut and where the edge is trimmed.

use crate::plan::Plan;
use crate::shelf::{Fabric, Family, Shelf};

/// Dust of the fibres and cores that are really in the stack.
pub(crate) struct Dust {
    /// Names, as in "Dust of flax, cork and resin".
    names: Vec<String>,
    /// The first of them that can explode in the air, such as "flax".
    burns: Option<String>,
    carbon: bool,
    aramid: bool,
}

impl Dust {
    /// That of a plan's cloths and cores.
    pub(crate) fn of(plan: &Plan, shelf: &Shelf) -> Self {
        let mut dust = Self {
            names: Vec::new(),
            burns: None,
            carbon: false,
            aramid: false,
        };
        for row in &plan.stack {
            let (name, burns) = match &row.fabric {
                Fabric::Cloth(cloth) => {
                    let Some(fibre) = shelf.fibre(&cloth.fibre) else {
                        continue;
                    };
                    dust.carbon |= fibre.family == Family::Carbon;
                    dust.aramid |= fibre.family == Family::Aramid;
                    let bast = fibre.family == Family::Bast;
                    (plain_name(&fibre.entry.name, fibre.family.word()), bast)
                }
                Fabric::Core(core) => {
                    let name = core.entry.name.to_ascii_lowercase();
                    let found = ["balsa", "cork", "wood", "foam"].into_iter();
                    let kind = found.into_iter().find(|kind| name.contains(kind));
                    let burns = kind.is_some_and(|kind| kind != "foam");
                    (kind.unwrap_or("the core").to_owned(), burns)
                }
            };
            if burns && dust.burns.is_none() {
                dust.burns = Some(name.clone());
            }
            if !dust.names.contains(&name) {
                dust.names.push(name);
            }
        }
        dust
    }

    /// The caution of the step in which the edge is trimmed.
    pub(crate) fn in_short(&self) -> &'static str {
        match (self.burns.is_some(), self.carbon) {
            (true, false) => {
                "Mask, goggles, ears and suction: the dust harms lungs and can explode."
            }
            (false, false) => "Mask, goggles, ears and suction: the dust harms lungs.",
            (true, true) => {
                "Mask, goggles, ears and suction: the dust harms lungs, can explode, and its carbon shorts tools."
            }
            (false, true) => {
                "Mask, goggles, ears and suction: the dust harms lungs, and its carbon shorts tools."
            }
        }
    }

    /// "Dust of flax and carbon", with more that belongs to it at the end.
    fn named(&self, more: &[&str]) -> String {
        let mut names: Vec<&str> = self.names.iter().map(String::as_str).collect();
        names.extend(more);
        let last = names.pop().unwrap_or("fibre");
        if names.is_empty() {
            format!("Dust of {last}")
        } else {
            format!("Dust of {} and {last}", names.join(", "))
        }
    }

    /// What belongs to one kind of fibre alone.
    fn beyond(&self) -> String {
        let mut said = String::new();
        if self.carbon {
            said += " Carbon dust conducts: keep it out of tools, chargers and switches, which it can short.";
        }
        if self.aramid {
            said += " Aramid frays into fibres finer than the rest: keep what you cut damp and the mask on while you sweep up.";
        }
        said
    }

    /// The caution where dry cloth is cut.
    pub(crate) fn at_cutting(&self) -> String {
        let explodes = self.burns.as_ref().map_or_else(String::new, |name| {
            format!(", because {name} dust in the air can explode")
        });
        format!(
            "{} harms lungs, and a fresh blade cuts more than cloth: wear a mask of class FFP3 or P3, cut away from your hand, extract at the knife, and wipe up damp{explodes}.{}",
            self.named(&[]),
            self.beyond(),
        )
    }

    /// The caution where the edge is trimmed.
    pub(crate) fn at_trimming(&self) -> String {
        let explodes = self.burns.as_ref().map_or_else(String::new, |name| {
            format!(", and never mix sparks with it, because {name} dust can explode")
        });
        format!(
            "{} harms lungs: extract at the tool, wear a P3 mask, goggles and ear defenders{explodes}.{}",
            self.named(&["resin"]),
            self.beyond(),
        )
    }
}

/// A fibre's own everyday name, such as "hemp" or "basalt"; the word of its family where the name says more.
fn plain_name(name: &str, family: &str) -> String {
    let name = name
        .split(',')
        .next()
        .unwrap_or(name)
        .trim()
        .to_ascii_lowercase();
    if name.contains(family) {
        family.to_owned()
    } else {
        name
    }
}
