//! How the rig stands sideways, as lines of working: from the height down to the sideways acceleration that tips it.

use crate::sideways::{OnSprings, Stance};
use crate::working::figure;

impl Stance {
    /// Lines of working down to the threshold.
    #[must_use]
    pub fn working(&self) -> Vec<String> {
        let (solid, rise) = (figure(self.solid.value(), 5), figure(self.rise.value(), 5));
        let height = figure(solid.get() + rise.get(), 5);
        let (track, offset) = (figure(self.track.value(), 4), figure(self.offset.value().abs(), 5));
        let factor = figure((track.get() / 2.0 - offset.get()) / height.get(), 5);
        let mut lines = vec![
            format!("height = {solid} m + {rise} m from liquid that runs = {height} m"),
            format!("factor = ({track} m / 2 - {offset} m) / {height} m = {factor}"),
        ];
        if self.threshold().is_err() {
            return lines;
        }
        match &self.springs {
            OnSprings::Share(share) => {
                let share = figure(share.value(), 3);
                let threshold = figure(factor.get() * share.get(), 5);
                lines.push(format!("threshold = {factor} x {share} left on springs and tyres = {threshold} g"));
            }
            OnSprings::Told(stiffness, centre) => {
                let (mass, gravity) = (figure(self.mass.value(), 1), physics::facts::gravity());
                let (stiffness, centre) = (figure(stiffness.value(), 0), figure(centre.value(), 4));
                let overturning = figure(mass.get() * gravity * (height.get() - centre.get()), 0);
                let roll = figure(overturning.get() / (stiffness.get() - overturning.get()), 6);
                let threshold = figure(factor.get() / (1.0 + roll.get() * (1.0 - centre.get() / height.get())), 5);
                lines.extend([
                    format!("overturning = {mass} kg x {gravity} x ({height} - {centre}) m = {overturning} Nm/rad"),
                    format!("roll = {overturning} / ({stiffness} - {overturning}) = {roll} rad per g"),
                    format!("threshold = {factor} / (1 + {roll} x (1 - {centre} / {height})) = {threshold} g"),
                ]);
            }
        }
        lines
    }
}
