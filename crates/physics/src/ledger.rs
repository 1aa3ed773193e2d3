//! Masses at places: where their centre of gravity is, and what each axle carries.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{check_list, finite, in_schema, ranged, usual};

/// Longest list a ledger kernel takes.
const MOST: usize = 100_000;

/// A mass at a place.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<MassAt>)]
pub struct MassAt {
    /// Mass.
    pub mass_kg: f64,
    /// Its place, rearward from the front axle's centre.
    pub x_m: f64,
    /// Its place to the right of the centreline; negative is left.
    pub y_m: f64,
    /// Its height over the ground.
    pub z_m: f64,
}

ranged!(MassAt {
    mass_kg ["kg"] usual::MASS,
    x_m ["m"] usual::PLACE,
    y_m ["m"] usual::PLACE,
    z_m ["m"] usual::PLACE,
});

/// Input of [`centre_of_gravity`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CentreOfGravityIn {
    /// The masses, each once.
    pub masses: Vec<MassAt>,
}

/// Output of [`centre_of_gravity`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CentreOfGravityOut {
    /// Mass of all.
    pub mass_kg: f64,
    /// Centre of gravity, rearward from the front axle's centre.
    pub x_m: f64,
    /// Centre of gravity, positive to the right.
    pub y_m: f64,
    /// Centre of gravity, height over the ground.
    pub z_m: f64,
}

/// Mass and centre of gravity of a list of masses.
///
/// A mass of 0 is allowed; a mass taken off is not written as a negative one, but left out.
///
/// | input     | unit | range       | note                                 |
/// |-----------|------|-------------|--------------------------------------|
/// | `mass_kg` | kg   | 0 to 1e9    | each mass; together more than 0      |
/// | `x_m`     | m    | -1e6 to 1e6 | rearward from the front axle         |
/// | `y_m`     | m    | -1e6 to 1e6 | to the right                         |
/// | `z_m`     | m    | -1e6 to 1e6 | over the ground                      |
///
/// Gives `mass_kg` (kg) and `x_m`, `y_m`, `z_m` (m) in the same axes.
///
/// # Errors
/// `OutOfRange` names the entry and its field; `Count` without an entry; `Unsolvable` when all masses are 0.
///
/// # Source
/// First moments (physics).
///
/// # Checked against
/// `tests/outside/ledger.rs`: a ship-stability textbook's loading problem, a vehicle-lift page, own ledger.
pub fn centre_of_gravity(input: &CentreOfGravityIn) -> Result<CentreOfGravityOut, KernelError> {
    check_list("masses", &input.masses, 1, MOST)?;
    let of = |f: fn(&MassAt) -> f64| input.masses.iter().map(f).sum::<f64>();
    let mass = of(|m| m.mass_kg);
    if mass <= 0.0 {
        return Err(KernelError::Unsolvable { field: "masses".into(), why: "all of them are 0 kg, so they have no centre" });
    }
    Ok(CentreOfGravityOut {
        mass_kg: mass,
        x_m: finite("x_m", of(|m| m.mass_kg * m.x_m) / mass)?,
        y_m: finite("y_m", of(|m| m.mass_kg * m.y_m) / mass)?,
        z_m: finite("z_m", of(|m| m.mass_kg * m.z_m) / mass)?,
    })
}

/// An axle: where it is, and how it shares.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<AxleAt>)]
pub struct AxleAt {
    /// Its place, rearward from the front axle's centre.
    pub x_m: f64,
    /// Axles of the same group are equalised (balance beam with equal arms, common air line): each carries the same.
    /// A word or a whole number.
    #[serde(default)]
    pub group: Option<Group>,
    /// Stiffness of both its springs together, at the ground. Needed of every free axle from three free groups on.
    #[serde(default)]
    pub stiffness_n_m: Option<f64>,
    /// An air-loaded axle that carries this much, whatever the rest does. It takes no part in the sharing.
    #[serde(default)]
    pub fixed_load_kg: Option<f64>,
}

ranged!(AxleAt {
    x_m ["m"] usual::PLACE,
    stiffness_n_m ["N/m"] usual::STIFFNESS,
    fixed_load_kg ["kg"] usual::MASS,
});

/// Name of a group of equalised axles: a word, or a whole number, which is kept as its digits.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(transparent)]
pub struct Group(pub String);

impl<'de> Deserialize<'de> for Group {
    fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        struct Words;
        impl serde::de::Visitor<'_> for Words {
            type Value = Group;
            fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str("a word or a whole number")
            }
            fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<Group, E> {
                Ok(Group(text.to_owned()))
            }
            fn visit_u64<E: serde::de::Error>(self, number: u64) -> Result<Group, E> {
                Ok(Group(number.to_string()))
            }
            fn visit_i64<E: serde::de::Error>(self, number: i64) -> Result<Group, E> {
                Ok(Group(number.to_string()))
            }
        }
        from.deserialize_any(Words)
    }
}

impl JsonSchema for Group {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Group".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        let mut schema = schemars::Schema::default();
        schema.insert("type".into(), vec!["string", "integer"].into());
        schema
    }
}

/// A mass along the rig.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<MassAlong>)]
pub struct MassAlong {
    /// Mass.
    pub mass_kg: f64,
    /// Its place, rearward from the front axle's centre.
    pub x_m: f64,
}

ranged!(MassAlong {
    mass_kg ["kg"] usual::MASS,
    x_m ["m"] usual::PLACE,
});

/// Input of [`axle_loads`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AxleLoadsIn {
    /// The axles, in any order.
    pub axles: Vec<AxleAt>,
    /// The masses they carry.
    pub masses: Vec<MassAlong>,
}

/// Output of [`axle_loads`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AxleLoadsOut {
    /// What a scale under both wheels of each axle shows, in the order of `axles`.
    pub loads_kg: Vec<f64>,
}

/// Loads of the axles of a rigid frame that stands level.
///
/// Two free groups follow from moments alone, and their springs do not matter; a negative load is an answer (that
/// end lifts). From three free groups on the frame is taken as rigid and the springs as straight lines: frame flex,
/// spring friction (5 to 10 % of an axle's load, common practice), bump stops and uneven ground are not in it.
/// An equalised group stands at the mean place of its axles. Unequal balance arms are not in it.
///
/// | input           | unit | range       | note                                            |
/// |-----------------|------|-------------|-------------------------------------------------|
/// | `x_m`           | m    | -1e6 to 1e6 | of axles and masses, rearward from the front axle |
/// | `mass_kg`       | kg   | 0 to 1e9    | each mass                                       |
/// | `stiffness_n_m` | N/m  | over 0 to 1e15 | both springs of an axle; from three free groups on |
/// | `fixed_load_kg` | kg   | 0 to 1e9    | air-loaded axle; not in a group                 |
///
/// Gives `loads_kg` (kg) in the order of `axles`; their sum is the sum of the masses.
///
/// # Errors
/// `OutOfRange` and `Count` for the lists; `Missing` for a stiffness that is needed; `Unsolvable` when fewer than two
/// free groups remain or all stand at one place; `AxleLifts` when a sprung axle would carry 0 or less.
///
/// # Source
/// Sum of forces and moments; for springs `k_i (d + s x_i)` with heave d and pitch s (physics).
///
/// # Checked against
/// `tests/outside/ledger.rs`: own examples computed with numpy, and a vehicle-lift page.
pub fn axle_loads(input: &AxleLoadsIn) -> Result<AxleLoadsOut, KernelError> {
    check_list("masses", &input.masses, 1, MOST)?;
    let shares = axle_shares(&input.axles)?;
    let mass = input.masses.iter().map(|m| m.mass_kg).sum::<f64>();
    let moment = input.masses.iter().map(|m| m.mass_kg * m.x_m).sum::<f64>();
    let loads = shares.loads(mass, moment);
    if shares.sprung {
        let lifted = loads.iter().zip(&input.axles).position(|(load, axle)| axle.fixed_load_kg.is_none() && *load <= 0.0);
        if let Some(axle) = lifted {
            return Err(KernelError::AxleLifts { axle, load_kg: loads.get(axle).copied().unwrap_or_default() });
        }
    }
    let loads_kg = loads.into_iter().map(|load| finite("loads_kg", load)).collect::<Result<_, _>>()?;
    Ok(AxleLoadsOut { loads_kg })
}

/// How one axle answers to the mass and the moment of what stands on the frame: a straight line in both.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AxleShare {
    /// Load that does not change, kg.
    pub fixed_kg: f64,
    /// Load for each kg of mass.
    pub per_kg: f64,
    /// Load for each kg m of moment (mass times x).
    pub per_kg_m: f64,
}

impl AxleShare {
    /// What this axle carries, kg, for that mass and that moment about the front axle, kg m.
    #[must_use]
    pub fn load(self, mass_kg: f64, moment_kg_m: f64) -> f64 {
        self.fixed_kg + self.per_kg * mass_kg + self.per_kg_m * moment_kg_m
    }

    /// Share of a single mass at `x_m` that this axle feels: its load changes by this times the mass.
    #[must_use]
    pub fn of_mass_at(self, x_m: f64) -> f64 {
        self.per_kg + self.per_kg_m * x_m
    }
}

/// The shares of all axles, in their order.
#[derive(Clone, Debug, PartialEq)]
pub struct AxleShares {
    /// One an axle.
    pub axles: Vec<AxleShare>,
    /// Whether spring stiffness decided (three or more free groups): then a load of 0 or less is outside the formula.
    pub sprung: bool,
}

impl AxleShares {
    /// Loads of all axles, kg.
    #[must_use]
    pub fn loads(&self, mass_kg: f64, moment_kg_m: f64) -> Vec<f64> {
        self.axles.iter().map(|share| share.load(mass_kg, moment_kg_m)).collect()
    }
}

/// Axles that move together.
struct FreeGroup {
    members: Vec<usize>,
    x: f64,
    stiffness: Option<f64>,
}

/// How a set of axles shares any load: the straight line behind [`axle_loads`], made once for many loads.
///
/// # Errors
/// As [`axle_loads`], but for `AxleLifts`, which depends on the load.
pub fn axle_shares(axles: &[AxleAt]) -> Result<AxleShares, KernelError> {
    check_list("axles", axles, 2, MOST)?;
    let groups = free_groups(axles)?;
    if groups.len() < 2 {
        return Err(KernelError::Unsolvable {
            field: "axles".into(),
            why: "fewer than two axles or groups are free to share; one alone holds no balance",
        });
    }
    let sprung = groups.len() > 2;
    let mut stiffness = Vec::with_capacity(groups.len());
    for group in &groups {
        match (sprung, group.stiffness) {
            (true, Some(k)) => stiffness.push(k),
            // With two groups every pair of springs gives the same answer.
            (false, _) => stiffness.push(1.0),
            (true, None) => {
                let axle = group.members.iter().find(|i| axles.get(**i).is_some_and(|a| a.stiffness_n_m.is_none()));
                return Err(KernelError::Missing {
                    field: format!("axles[{}].stiffness_n_m", axle.copied().unwrap_or_default()),
                    why: "with three or more free axles or groups the springs decide who carries what",
                });
            }
        }
    }
    let mut axles_out = vec![AxleShare { fixed_kg: 0.0, per_kg: 0.0, per_kg_m: 0.0 }; axles.len()];
    let (mut fixed, mut fixed_moment) = (0.0, 0.0);
    for (out, axle) in axles_out.iter_mut().zip(axles) {
        if let Some(load) = axle.fixed_load_kg {
            out.fixed_kg = load;
            fixed += load;
            fixed_moment += load * axle.x_m;
        }
    }
    let sum = stiffness.iter().sum::<f64>();
    let centre = groups.iter().zip(&stiffness).map(|(g, k)| k * g.x).sum::<f64>() / sum;
    let second = groups.iter().zip(&stiffness).map(|(g, k)| k * (g.x - centre) * (g.x - centre)).sum::<f64>();
    if second <= 0.0 {
        return Err(KernelError::Unsolvable { field: "axles".into(), why: "all free axles stand at the same place" });
    }
    for (group, k) in groups.iter().zip(&stiffness) {
        let each = 1.0 / group.members.len() as f64;
        let per_kg_m = each * k * (group.x - centre) / second;
        let per_kg = each * k / sum - per_kg_m * centre;
        for i in &group.members {
            if let Some(out) = axles_out.get_mut(*i) {
                *out = AxleShare { fixed_kg: -per_kg * fixed - per_kg_m * fixed_moment, per_kg, per_kg_m };
            }
        }
    }
    Ok(AxleShares { axles: axles_out, sprung })
}

fn free_groups(axles: &[AxleAt]) -> Result<Vec<FreeGroup>, KernelError> {
    let mut named: Vec<(Option<&Group>, Vec<usize>)> = Vec::new();
    for (i, axle) in axles.iter().enumerate() {
        if axle.fixed_load_kg.is_some() {
            if axle.group.is_some() {
                return Err(KernelError::Unsolvable {
                    field: format!("axles[{i}].fixed_load_kg"),
                    why: "an axle with a fixed load shares with nobody; leave out its `group`",
                });
            }
            continue;
        }
        let known = named.iter_mut().find(|(name, _)| name.is_some() && *name == axle.group.as_ref());
        match known {
            Some((_, members)) => members.push(i),
            None => named.push((axle.group.as_ref(), vec![i])),
        }
    }
    let at = |i: &usize| axles.get(*i);
    Ok(named
        .into_iter()
        .map(|(_, members)| FreeGroup {
            x: members.iter().filter_map(at).map(|a| a.x_m).sum::<f64>() / members.len() as f64,
            stiffness: members.iter().map(|i| at(i)?.stiffness_n_m).sum(),
            members,
        })
        .collect())
}

/// How far to move `moved_kg` so that an axle carries `change_kg` more, m rearward for the rear axle of two.
///
/// Exact for two axles: a mass moved by d changes the rear axle by `moved_kg d / wheelbase_m`. Not finite when
/// `moved_kg` is 0.
#[must_use]
pub fn move_for_axle_change(change_kg: f64, moved_kg: f64, wheelbase_m: f64) -> f64 {
    change_kg * wheelbase_m / moved_kg
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::range::Range;

    fn axle(x_m: f64) -> AxleAt {
        AxleAt { x_m, ..AxleAt::default() }
    }

    #[test]
    fn an_air_loaded_axle_keeps_its_load_and_the_others_share_the_rest() {
        let tag = AxleAt { x_m: 5.0, fixed_load_kg: Some(1000.0), ..AxleAt::default() };
        let shares = axle_shares(&[axle(0.0), axle(4.0), tag]).expect("two are free");
        let loads = shares.loads(9000.0, 9000.0 * 2.5);
        assert_eq!(loads.get(2), Some(&1000.0));
        // By hand: 22500 - 5000 = 17500 kg m over 4 m is 4375 kg; 8000 - 4375 = 3625 kg.
        assert!((loads[0] - 3625.0).abs() < 1e-9 && (loads[1] - 4375.0).abs() < 1e-9, "{loads:?}");
    }

    #[test]
    fn three_free_axles_without_springs_name_the_missing_one() {
        let k = |x_m, k| AxleAt { x_m, stiffness_n_m: k, ..AxleAt::default() };
        let why = axle_shares(&[k(0.0, Some(1e5)), k(3.6, None), k(5.0, Some(1e5))]).expect_err("one is missing");
        assert!(matches!(&why, KernelError::Missing { field, .. } if field == "axles[1].stiffness_n_m"), "{why}");
    }

    #[test]
    fn a_spring_that_would_pull_is_refused_and_two_axles_may_lift() {
        let sprung = |x_m| AxleAt { x_m, stiffness_n_m: Some(1e5), ..AxleAt::default() };
        let masses = vec![MassAlong { mass_kg: 1000.0, x_m: 6.0 }];
        let three = AxleLoadsIn { axles: vec![sprung(0.0), sprung(3.6), sprung(5.0)], masses: masses.clone() };
        let why = axle_loads(&three).expect_err("the front lifts");
        assert!(matches!(why, KernelError::AxleLifts { axle: 0, load_kg } if load_kg < 0.0), "{why}");
        let two = AxleLoadsIn { axles: vec![sprung(0.0), sprung(3.6)], masses };
        assert!(axle_loads(&two).is_ok_and(|out| out.loads_kg[0] < 0.0));
    }

    #[test]
    fn axles_at_one_place_hold_no_balance() {
        assert!(matches!(axle_shares(&[axle(1.0), axle(1.0)]), Err(KernelError::Unsolvable { .. })));
        let grouped = AxleAt { x_m: 2.0, group: Some(Group("rear".into())), ..AxleAt::default() };
        assert!(matches!(axle_shares(&[grouped.clone(), grouped]), Err(KernelError::Unsolvable { .. })));
    }

    #[test]
    fn moving_a_mass_is_exact() {
        let shares = axle_shares(&[axle(0.0), axle(4.2)]).expect("two axles");
        let d = move_for_axle_change(150.0, 1480.0, 4.2);
        let before = shares.axles[1].load(1480.0, 1480.0 * 2.9);
        let after = shares.axles[1].load(1480.0, 1480.0 * (2.9 + d));
        assert!((after - before - 150.0).abs() < 1e-9);
    }

    #[test]
    fn the_range_says_which_mass() {
        let masses =
            vec![MassAt { mass_kg: 1.0, x_m: 0.0, y_m: 0.0, z_m: 0.0 }, MassAt { mass_kg: -1.0, x_m: 0.0, y_m: 0.0, z_m: 0.0 }];
        let why = centre_of_gravity(&CentreOfGravityIn { masses }).expect_err("negative mass");
        assert_eq!(why.to_string(), "`masses[1].mass_kg` is -1 kg; wanted: 0 to 1e9 kg");
        assert!(!Range::of(0.0, 1.0).holds(f64::NAN));
    }
}
