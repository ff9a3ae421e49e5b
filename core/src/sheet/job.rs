//! The job, once: its stages in shop order, what each asks, and which of its figures the hands need.

use super::note::StageName;
use super::stages::Head;
use serde::Serialize;

/// A stage of the job.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Stage {
    /// Its name in the sheet.
    pub stage: StageName,
    /// One word for the closed line and the strip.
    pub short: &'static str,
    /// The question it answers.
    pub question: &'static str,
    /// Names of the figures that the hands need; its others are the working.
    pub hands: &'static [&'static str],
}

/// The stages, in shop order.
pub const JOB: [Stage; 9] = [
    Stage {
        stage: StageName::Suit,
        short: "Suit",
        question: "Does bast fibre suit this part?",
        hands: &[],
    },
    Stage {
        stage: StageName::Stack,
        short: "Stack",
        question: "How thick, heavy, stiff and strong will it be?",
        hands: &["part_mass_g", "fibre_mass_g"],
    },
    Stage {
        stage: StageName::Bag,
        short: "Bag",
        question: "Is the bag tight?",
        hands: &[
            "leak_mbar_min",
            "leak_ml_each_min",
            "lowest_with_leak_mbar",
            "air_until_gel_ml",
            "vapour_rise_mbar",
            "regain_left_pct",
            "pump_down_min",
            "bag_pressure_mbar",
            "slowest_told_mbar_min",
        ],
    },
    Stage {
        stage: StageName::Dry,
        short: "Dry",
        question: "How wet is the cloth?",
        hands: &[
            "dew_point_c",
            "weigh_now_g",
            "weigh_target_g",
            "oven_min",
            "bag_h",
            "out_of_oven_min",
            "lowest_pressure_mbar",
            "after_vacuum_pct",
        ],
    },
    Stage {
        stage: StageName::Mix,
        short: "Mix",
        question: "How much resin to mix, in which pots?",
        hands: &[
            "resin_g",
            "hardener_g",
            "resin_to_mix_g",
            "use_within_min",
            "smallest_batch_g",
        ],
    },
    Stage {
        stage: StageName::Fill,
        short: "Fill",
        question: "Will resin reach the far edge before it gels?",
        hands: &[
            "time_min",
            "gel_min",
            "longest_without_mesh_mm",
            "longest_with_mesh_mm",
        ],
    },
    Stage {
        stage: StageName::Cure,
        short: "Off the mould",
        question: "When may it come off the mould?",
        hands: &["gel_h", "demould_h", "tg_c"],
    },
    Stage {
        stage: StageName::Trim,
        short: "Trim",
        question: "How to trim it without scorching?",
        hands: &[
            "max_rpm",
            "set_rpm",
            "feed_mm_s",
            "heat_ratio",
            "oversize_mm",
        ],
    },
    Stage {
        stage: StageName::Day,
        short: "Day",
        question: "When does what happen?",
        hands: &["hands_h", "in_all_h"],
    },
];

impl StageName {
    /// What the job says of it.
    pub fn card(self) -> &'static Stage {
        // They stand in the same order.
        &JOB[self as usize]
    }
}

impl Head {
    /// The head of a stage, with its answer and the name of the figure that matters most.
    pub(crate) fn new(stage: StageName, answer: String, main: &'static str) -> Self {
        let card = stage.card();
        Self {
            stage,
            short: card.short,
            question: card.question,
            answer,
            main,
            hands: card.hands,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_job_is_in_shop_order() {
        for (at, card) in JOB.iter().enumerate() {
            assert_eq!(card.stage as usize, at);
            assert_eq!(card.stage.card(), card);
            assert!(card.question.ends_with('?'));
        }
    }
}
