//! A million draws of the complete example's ledger against `Estimate`: total, axle loads, centre of gravity.
//!
//! The draws go through a ledger of their own in this file: products and ratios of the drawn values, nothing linear.
//! Only the spread of each stated value comes from the program (`rig_facts::Inputs`), since it is what both sides start
//! from. Tickets are left out: they are taken in by linear algebra, which `physics` tests on its own.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

use std::sync::Arc;

use quantity::{Estimate, Stated, dim};
use rand::SeedableRng;
use rand::rngs::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal, Uniform};
use rig_facts::{Facts, Inputs, Kind};
use rig_model::{Coord, Fill, Rig, Thing, Word};
use rigproof_tests::json_edit::rig_as_json;
use rigproof_tests::{FULL, example};

const STATE: &str = "travel-full";
const DRAWS: usize = 1_000_000;
/// Blocks with a stream each, so that the numbers do not depend on how many threads draw them.
const BLOCKS: u64 = 8;

/// A drawn number: nominal, and how far one standard deviation of which input moves it.
#[derive(Clone, Debug, Default)]
struct Knob {
    value: f64,
    moves: Vec<(usize, f64)>,
}

impl Knob {
    fn of(estimate: &Estimate) -> Self {
        Self { value: estimate.value(), moves: estimate.terms().iter().map(|(id, step)| (id.0 as usize, *step)).collect() }
    }

    fn exact(value: f64) -> Self {
        Self { value, moves: Vec::new() }
    }

    fn draw(&self, z: &[f64]) -> f64 {
        self.value + self.moves.iter().map(|(id, step)| step * z[*id]).sum::<f64>()
    }
}

/// A mass (a product of drawn numbers) at a place (sums of drawn numbers).
struct Piece {
    mass: Vec<Knob>,
    times: f64,
    at: [Vec<Knob>; 3],
}

struct Hand<'a> {
    rig: &'a Rig,
    inputs: Inputs,
    pieces: Vec<Piece>,
    bare: Vec<Knob>,
    wheelbase: Knob,
}

impl Hand<'_> {
    fn take<D: quantity::Dim>(&mut self, path: String, stated: &Stated<D>, kind: Kind) -> Knob {
        Knob::of(&self.inputs.take(|| path, Some(stated), kind).unwrap())
    }

    fn spread(&mut self, path: String, sd: f64) -> Knob {
        Knob::of(&self.inputs.add(path, 0.0, sd, quantity::How::Unsaid, quantity::Dimension::Length, false))
    }
}

/// One input at a path in the body frame, taken once.
struct Frame {
    front: Knob,
    floor: Knob,
    inside: [Knob; 3],
}

fn half(knob: &Knob, factor: f64) -> Knob {
    Knob { value: knob.value * factor, moves: knob.moves.iter().map(|(id, step)| (*id, step * factor)).collect() }
}

fn place(
    hand: &mut Hand<'_>,
    frame: &Frame,
    path: &str,
    at: &[Coord; 3],
    size: Option<[f64; 3]>,
    in_body: bool,
) -> [Vec<Knob>; 3] {
    std::array::from_fn(|direction| {
        let here = format!("{path}[{direction}]");
        let origin = match (in_body, direction) {
            (true, 0) => frame.front.clone(),
            (true, 2) => frame.floor.clone(),
            _ => Knob::exact(0.0),
        };
        let kind = if direction == 2 { Kind::Height } else { Kind::Place };
        match &at[direction] {
            Coord::Length(stated) => vec![origin, hand.take(here, stated, kind)],
            Coord::Word(word) => {
                let inside = &frame.inside[direction];
                // y counts from the centreline, the others from the wall or the floor.
                let zero = if direction == 1 { half(inside, -0.5) } else { Knob::exact(0.0) };
                let own = size.map_or(0.0, |size| size[direction]);
                let along = match word {
                    Word::Centre => half(inside, 0.5),
                    Word::Left | Word::FrontWall | Word::Floor => Knob::exact(own / 2.0),
                    Word::Right | Word::RearWall | Word::Roof => Knob { value: inside.value - own / 2.0, ..inside.clone() },
                };
                let doubt = hand.inputs_doubt(kind);
                let off = hand.spread(here, doubt);
                vec![origin, zero, along, off]
            }
        }
    })
}

impl Hand<'_> {
    /// Standard deviation of a centre of gravity inside its box: as an unsaid place.
    fn inputs_doubt(&self, kind: Kind) -> f64 {
        let mut scratch = Inputs::default();
        let unsaid = Stated::<dim::Length>::from_text("0 m").unwrap();
        scratch.take(String::new, Some(&unsaid), kind).unwrap().sd()
    }
}

fn ledger(rig: &Rig) -> Hand<'_> {
    let mut hand = Hand { rig, inputs: Inputs::default(), pieces: Vec::new(), bare: Vec::new(), wheelbase: Knob::default() };
    let state = rig.state.iter().find(|state| state.name == STATE).unwrap();
    let chassis = rig.chassis.as_ref().unwrap();
    let height = hand.take("h".into(), chassis.centre_height.as_ref().unwrap(), Kind::Height);
    for axle in &rig.axle {
        let x = hand.take(format!("{}.x", axle.name), axle.x.as_ref().unwrap(), Kind::Length);
        let load = hand.take(format!("{}.bare", axle.name), axle.bare_load.as_ref().unwrap(), Kind::AxleLoad);
        hand.wheelbase = x.clone();
        hand.bare.push(load.clone());
        hand.pieces.push(Piece { mass: vec![load], times: 1.0, at: [vec![x], vec![], vec![height.clone()]] });
    }
    let body = rig.body.as_ref().unwrap();
    let mut length = |stated: &Option<Stated<dim::Length>>, kind| hand.take("body".into(), stated.as_ref().unwrap(), kind);
    let frame = Frame {
        front: length(&body.front, Kind::Place),
        floor: length(&body.floor, Kind::Length),
        inside: [length(&body.length, Kind::Length), length(&body.width, Kind::Length), length(&body.height, Kind::Length)],
    };
    let mass = hand.take("body.mass".into(), body.mass.as_ref().unwrap(), Kind::Mass);
    let at = place(&mut hand, &frame, "body", body.centre.as_ref().unwrap(), None, true);
    hand.pieces.push(Piece { mass: vec![mass], times: 1.0, at });
    let size = |size: &Option<[Stated<dim::Length>; 3]>| size.as_ref().map(|s| std::array::from_fn(|i| s[i].value().unwrap()));
    for piece in rig.mass.iter().filter(|piece| !state.absent.contains(&piece.name)) {
        let mass = hand.take(piece.name.clone(), piece.mass.as_ref().unwrap(), Kind::Mass);
        let at = place(&mut hand, &frame, &piece.name, piece.at.as_ref().unwrap(), size(&piece.size), piece.in_.is_some());
        hand.pieces.push(Piece { mass: vec![mass], times: f64::from(piece.count.unwrap_or(1)), at });
    }
    // Things of the power tables that weigh; an entry of something that another table tells adds no mass.
    let power: [Box<dyn Iterator<Item = &dyn Thing> + '_>; 7] = [
        Box::new(rig.panel.iter().map(|one| one as &dyn Thing)),
        Box::new(rig.controller.iter().map(|one| one as &dyn Thing)),
        Box::new(rig.battery.iter().map(|one| one as &dyn Thing)),
        Box::new(rig.charger.iter().map(|one| one as &dyn Thing)),
        Box::new(rig.inverter.iter().map(|one| one as &dyn Thing)),
        Box::new(rig.converter.iter().map(|one| one as &dyn Thing)),
        Box::new(rig.load.iter().map(|one| one as &dyn Thing)),
    ];
    for piece in power.into_iter().flatten().filter(|piece| !state.absent.iter().any(|absent| absent == piece.name())) {
        let Some(mass) = piece.mass() else { continue };
        let mass = hand.take(piece.name().to_owned(), mass, Kind::Mass);
        let size = piece.size().map(|s| std::array::from_fn(|i| s[i].value().unwrap()));
        let at = place(&mut hand, &frame, piece.name(), piece.at().unwrap(), size, piece.in_body());
        hand.pieces.push(Piece { mass: vec![mass], times: f64::from(piece.count()), at });
    }
    for tank in &rig.tank {
        let fill = state.fill.get(&tank.name).or(tank.fill.as_ref()).unwrap();
        let Fill::Share(share) = fill else { panic!("{STATE} fills its tanks by share") };
        let share = share.value().unwrap();
        assert!(share == 0.0 || share == 1.0, "full or empty in {STATE}");
        let at = place(&mut hand, &frame, &tank.name, tank.at.as_ref().unwrap(), size(&tank.size), tank.in_.is_some());
        let shell = hand.take(tank.name.clone(), tank.mass.as_ref().unwrap(), Kind::Mass);
        hand.pieces.push(Piece { mass: vec![shell], times: 1.0, at: at.clone() });
        let volume = hand.take(tank.name.clone(), tank.volume.as_ref().unwrap(), Kind::Volume);
        // kg/m3 with its half width, as `facts/liquid-density` has them.
        let (density, tolerance) = match tank.holds.unwrap() {
            rig_model::Holds::Water => (998.0, 3.0),
            rig_model::Holds::Grey => (1000.0, 10.0),
            rig_model::Holds::Diesel => (840.0, 20.0),
            other => panic!("{other:?}"),
        };
        let off = hand.inputs.add(
            String::new(),
            density,
            tolerance / quantity::Z95,
            quantity::How::Unsaid,
            quantity::Dimension::Density,
            false,
        );
        hand.pieces.push(Piece { mass: vec![volume, Knob::of(&off)], times: share, at });
    }
    for seat in &rig.seat {
        let at = place(&mut hand, &frame, &seat.name, seat.at.as_ref().unwrap(), size(&seat.size), seat.in_.is_some());
        if let Some(mass) = &seat.mass {
            let mass = hand.take(seat.name.clone(), mass, Kind::Mass);
            hand.pieces.push(Piece { mass: vec![mass], times: 1.0, at: at.clone() });
        }
        for occupant in state.people.iter().filter(|occupant| occupant.seat == seat.name) {
            let who = occupant.person.as_ref().unwrap();
            let person = rig.person.iter().find(|person| person.name == *who).unwrap();
            let mass = hand.take(who.clone(), person.mass.as_ref().unwrap(), Kind::Mass);
            hand.pieces.push(Piece { mass: vec![mass], times: 1.0, at: at.clone() });
        }
    }
    assert_eq!(hand.rig.coupling, None, "nothing pulls on the rear");
    hand
}

const ASKED: [&str; 6] = ["total", "front axle", "rear axle", "x", "y", "z"];

/// One drawn ledger: total, front, rear, x, y, z.
fn one(hand: &Hand<'_>, z: &[f64]) -> [f64; 6] {
    let sum = |knobs: &[Knob]| knobs.iter().map(|knob| knob.draw(z)).sum::<f64>();
    let (mut m, mut moments, mut on_top) = (0.0, [0.0; 3], [0.0; 2]);
    for (index, piece) in hand.pieces.iter().enumerate() {
        let mass = piece.times * piece.mass.iter().map(|knob| knob.draw(z)).product::<f64>();
        m += mass;
        for (moment, at) in moments.iter_mut().zip(&piece.at) {
            *moment += mass * sum(at);
        }
        if index >= hand.bare.len() {
            on_top[0] += mass;
            on_top[1] += mass * sum(&piece.at[0]);
        }
    }
    // The bare chassis is known by its axle loads: only what stands on it is shared by statics.
    let rear_share = on_top[1] / hand.wheelbase.draw(z);
    let front = hand.bare[0].draw(z) + on_top[0] - rear_share;
    let rear = hand.bare[1].draw(z) + rear_share;
    [m, front, rear, moments[0] / m, moments[1] / m, moments[2] / m]
}

fn draw_block(hand: &Hand<'_>, block: u64) -> Vec<[f64; 6]> {
    let mut stream = ChaCha8Rng::seed_from_u64(20_261_125);
    stream.set_stream(block);
    // A range between hard bounds is even, and its standard deviation is one.
    let even = Uniform::new(-f64::sqrt(3.0), f64::sqrt(3.0)).unwrap();
    let is_even: Vec<bool> = hand.inputs.list().iter().map(|input| input.even).collect();
    let mut z = vec![0.0; is_even.len()];
    (0..DRAWS / BLOCKS as usize)
        .map(|_| {
            for (z, is_even) in z.iter_mut().zip(&is_even) {
                *z = if *is_even { even.sample(&mut stream) } else { StandardNormal.sample(&mut stream) };
            }
            one(hand, &z)
        })
        .collect()
}

#[test]
fn a_million_draws_agree_with_the_estimates() {
    let mut json = rig_as_json(&example(FULL));
    json.as_object_mut().unwrap().remove("weighing");
    let (_, rig) = rig_model::read_rig(&serde_json::to_string(&json).unwrap(), rig_model::Syntax::Json).unwrap();
    let rig = Arc::new(rig);
    let hand = ledger(&rig);
    let halves: Vec<Vec<[f64; 6]>> = std::thread::scope(|scope| {
        let hand = &hand;
        let threads: Vec<_> = (0..2)
            .map(|half| {
                scope.spawn(move || {
                    (half * BLOCKS / 2..(half + 1) * BLOCKS / 2).flat_map(|b| draw_block(hand, b)).collect::<Vec<_>>()
                })
            })
            .collect();
        threads.into_iter().map(|thread| thread.join().unwrap()).collect()
    });
    let facts = Facts::derive(Arc::clone(&rig));
    let loads = &facts.state(STATE).unwrap().prior;
    let axles = loads.axles.as_ref().unwrap();
    let sums = &loads.sums;
    let estimates =
        [sums.mass.clone().unwrap(), axles[0].clone(), axles[1].clone(), sums.x().unwrap(), sums.y().unwrap(), sums.z().unwrap()];
    // Quantile of the standard normal at 95 %, its density there, and at the middle.
    let (z95, density_95, density_50) = (1.644_853_626_951_472_2, 0.103_135_640_375_139_7, 0.398_942_280_401_432_7);
    for (index, (what, estimate)) in ASKED.iter().zip(&estimates).enumerate() {
        let mut drawn: Vec<f64> = halves.iter().flatten().map(|row| row[index]).collect();
        drawn.sort_by(f64::total_cmp);
        let (value, sd) = (estimate.value(), estimate.sd());
        for (p, quantile, density) in [(0.05, -z95, density_95), (0.5, 0.0, density_50), (0.95, z95, density_95)] {
            let got = drawn[(p * DRAWS as f64) as usize];
            let want = value + quantile * sd;
            // Four standard errors of a sample quantile, and what a first-order estimate may leave out: products of two
            // spreads of a few per cent bend a quantile by under 1 % of the standard deviation.
            let sampling = 4.0 * f64::sqrt(p * (1.0 - p) / DRAWS as f64) / density;
            let allowed = (sampling + 0.01) * sd;
            assert!((got - want).abs() <= allowed, "{what} at {p}: {got} drawn, {want} estimated, {allowed} allowed (sd {sd})");
        }
    }
}
