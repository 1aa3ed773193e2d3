use check::Exhibit;
use quantity::System;

use super::*;
use crate::sample;

/// Writes the samples for a person to look at: `RIGPROOF_DRAWINGS=folder cargo test -p report to_look_at`.
#[test]
fn pictures_of_power_to_look_at() {
    let Some(folder) = std::env::var_os("RIGPROOF_DRAWINGS") else { return };
    for exhibit in sample::pictures() {
        let Some(svg) = render(&exhibit, System::Metric) else { continue };
        std::fs::write(std::path::Path::new(&folder).join(format!("{}.svg", exhibit.id)), svg).unwrap();
    }
}
