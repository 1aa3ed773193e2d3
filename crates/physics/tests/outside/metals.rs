//! Metals in contact.

use physics::metals::couple;

/// Published potentials (a public page on corrosion of boats); differences computed elsewhere, V.
#[test]
fn couples_of_a_camper() {
    for (a, b, volt, eaten) in [
        ("stainless 304 passive", "aluminium 3003", 0.71, "aluminium 3003"),
        ("carbon steel", "aluminium 3003", 0.18, "aluminium 3003"),
        ("zinc", "carbon steel", 0.42, "zinc"),
        ("copper", "aluminium 3003", 0.43, "aluminium 3003"),
    ] {
        let found = couple(a, b).expect("listed");
        assert_close!(found.difference, volt, 1e-9, format!("{a} on {b}"));
        assert_eq!(found.eaten, Some(eaten));
    }
}
