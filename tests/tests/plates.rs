//! The plate against finite elements made elsewhere.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on should stop loudly"
)]

use bastwork::law::plate::{Load, Plate, clamped, resting};
use bastwork_tests::vectors::table;

#[test]
fn plates_meet_finite_elements() {
    let mut shears = 0;
    for row in table("plate.csv") {
        let (length, width) = (row.x("a"), row.x("b"));
        let plate = Plate {
            length,
            width,
            d11: row.x("d11"),
            d12: row.x("d12"),
            d22: row.x("d22"),
            d66: row.x("d66"),
            shear_x: row.x("sx"),
            shear_y: row.x("sy"),
        };
        let (u, v) = (row.x("u"), row.x("v"));
        let load = if u == length && v == width {
            Load::Pressure(row.x("q"))
        } else {
            Load::Patch {
                force: row.x("q") * u * v,
                length: u,
                width: v,
            }
        };
        let bend = if row.x("clamped") > 0.5 {
            clamped
        } else {
            resting
        };
        let b = bend(&plate, &load).unwrap();
        let close = |got: f64, column: &str, allowed: f64| {
            let wanted = row.x(column);
            assert!(
                (got - wanted).abs() <= allowed,
                "{column}: got {got}, expected {wanted} in {row:?}"
            );
        };
        close(b.deflection, "deflection", 0.003 * row.x("deflection"));
        // Moments are measured by the largest one.
        let [middle, edge_x, edge_y, corner, quarter_x, quarter_y] = b.places;
        let moments = [
            (middle.x, "middle_x"),
            (middle.y, "middle_y"),
            (edge_x.x, "edge_x"),
            (edge_y.y, "edge_y"),
            (corner.xy, "corner_xy"),
            (quarter_x.x, "quarter_x_x"),
            (quarter_x.y, "quarter_x_y"),
            (quarter_y.x, "quarter_y_x"),
            (quarter_y.y, "quarter_y_y"),
        ];
        let largest = moments
            .iter()
            .fold(0.0_f64, |most, (_, name)| most.max(row.x(name).abs()));
        for (got, name) in moments {
            close(got, name, 0.005 * largest);
        }
        // The thin elements give no shear force.
        if row.x("sx").is_finite() {
            close(b.shear_x, "shear_x", 0.02 * row.x("shear_x"));
            close(b.shear_y, "shear_y", 0.02 * row.x("shear_y"));
            shears += 1;
        }
    }
    assert!(shears >= 10, "{shears}");
}
