//! What stands at the top of the ticket: the part, its stack and resin, the shop, and what every bag is asked.

use super::row::{
    Group, Kind, OneOf, Other, Place, Shelved, Switch, from_shelf, number, one_of, other, switch,
};
use super::rows;
use crate::plan::words::{GaugeKind, Route};
use crate::read::{Field, ReadingError};
use crate::sheet::Grade::Judgement;
use crate::units::Unit::{Celsius, Count, Metre, Millibar, Millimetre, One, Percent, SquareMetre};
use crate::units::Units;

rows! {
    Place::at("name") => {
        NAME: Other = other("name", "Name of the part", "", Kind::Text);
    }
    Place::at("note") => {
        NOTE: Other = other("note", "Notes to this job", "", Kind::LongText);
    }
    Place::at("first") => {
        PART_AREA: Field = number("part.area_m2", "Area of the part", "0.62", SquareMetre, (0.001, 500.0), ReadingError::Share(0.01));
        STACK: Other = other("stack", "Cloth, from the mould up", "", Kind::Stack);
        RESIN: Shelved = from_shelf("resin", "Resin", "resins", "infusion_epoxy_slow");
    }
    Place::at("second") => {
        ROUTE: OneOf<Route> = one_of("route", "Way of moulding", Route::Infusion);
        FLOW_LENGTH: Field = number("part.flow_length_mm", "How far resin must run", "420", Millimetre, (5.0, 20000.0), ReadingError::None);
    }
    Place::at("shop") => {
        ROOM_TEMPERATURE: Field = number("room.temperature_c", "Temperature in the shop", "19", Celsius, (-5.0, 45.0), ReadingError::Plus(1.0)).guess(17.0, 20.0, 23.0);
        ROOM_HUMIDITY: Field = number("room.humidity_pct", "Humidity in the shop", "62", Percent, (0.0, 100.0), ReadingError::Plus(4.0)).guess(40.0, 55.0, 70.0);
        ALTITUDE: Field = number("room.altitude_m", "Height above the sea", "240", Metre, (-430.0, 5000.0), ReadingError::None).guess(0.0, 100.0, 400.0);
        ROOM_PRESSURE: Field = number("room.pressure_mbar", "Air pressure in the shop", "985", Millibar, (500.0, 1100.0), ReadingError::Plus(1.0));
        UNITS: OneOf<Units> = one_of("units", "Units", Units::Metric);
    }
    Place::at("above") => {
        BAG_PRESSURE: Field = number("bag.pressure_mbar_abs", "Pressure left in the bag", "15", Millibar, (0.1, 1100.0), ReadingError::Plus(3.0)).guess(10.0, 20.0, 50.0).read_off();
        GAUGE_READING: Field = number("bag.gauge_reading", "Reading of the gauge", "28", One, (0.0, 1100.0), ReadingError::None).read_off();
        GAUGE: OneOf<GaugeKind> = one_of("bag.gauge_kind", "What the gauge shows", GaugeKind::MbarAbsolute);
        FLOW_MESH: Switch = switch("bag.flow_mesh", "A flow mesh lies on the stack", false).hint("an open net that lets resin run ahead, and keeps some of it");
        PEEL_PLY: Switch = switch("bag.peel_ply", "A peel ply lies on the stack", true).hint("a thin cloth that you tear off after cure; it keeps some resin");
        FEED_TUBES: Field = number("bag.feed_tubes", "Feed tubes side by side, each from the pot", "1", Count, (1.0, 40.0), ReadingError::None).usual(1.0, 1.0, 1.0, Judgement, &["judgement_usual"]);
        BRANCHES: Field = number("bag.feed_branches", "Branches that each tube splits into, 1 for none", "2", Count, (1.0, 40.0), ReadingError::None).usual(1.0, 1.0, 1.0, Judgement, &["judgement_usual"]);
        BRANCH_LENGTH: Field = number("bag.feed_branch_m", "Length of a branch, of the same bore", "0.4", Metre, (0.0, 50.0), ReadingError::Share(0.1));
        POT_BELOW: Field = number("bag.pot_below_mm", "Resin in the pot stands below the feed by; minus for above", "300", Millimetre, (-5000.0, 5000.0), ReadingError::Plus(30.0)).guess(0.0, 300.0, 800.0);
    }
}
