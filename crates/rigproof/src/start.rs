//! The starter file: a rig whose every number is still to be found, and where each stands.

/// Text of the starter file. It reads without an error, and nothing in it passes: every value is `"?"`.
pub const STARTER: &str = r#"# Put a number in place of each "?": "3900 kg weighed", "about 1500 kg", "4.2 m", "13 ft 9 in".
format = "rigproof-rig/1"
rig    = "my rig"
codes  = ["good-practice"]            # also eu, uk, us-federal
chassis = { gross_mass = "?" }        # plate in the door frame or on the cab's step: highest mass, laden
# front and floor: tape from the front hub back to the front wall's inner face; from the ground up to the floor
body = { front = "?", floor = "?", length = "?", width = "?", height = "?", mass = "?" }
# rated: plate on the axle beam; bare_load: weighbridge, bare chassis, this axle alone; x: tape from hub to hub
axle = [
  { name = "front", x = "0 m", rated = "?", bare_load = "?", track = "?" },
  { name = "rear",  x = "?",   rated = "?", bare_load = "?", track = "?" },
]
"#;

#[cfg(test)]
mod tests {
    use check::Verdict;

    use super::STARTER;
    use crate::{Options, audit};

    #[test]
    fn unedited_it_reads_and_passes_nothing() {
        let audit = audit(STARTER, &Options::default());
        assert_eq!(audit.errors, []);
        let passing: Vec<_> = audit.findings.iter().filter(|finding| finding.verdict == Verdict::Pass).collect();
        assert!(passing.is_empty(), "{passing:?}");
        assert!(audit.findings.iter().any(|finding| finding.verdict == Verdict::Missing));
    }

    #[test]
    fn it_fits_on_a_page() {
        assert!(STARTER.lines().count() <= 12);
        assert!(STARTER.lines().all(|line| line.len() <= 120));
    }
}
