//! Held against what others worked out.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)] // the lint's leave for tests stops at #[test]

use quantity::{Condition, Dimension, Estimate, InputId, parse, real};

/// Source: the library `uom` 0.38. Tolerance 1e-6: several of its factors are rounded to seven figures.
#[test]
fn unit_factors_agree_with_another_library() {
    use uom::si::f64 as u;
    macro_rules! hold {
        ($($text:literal $dimension:ident: $Quantity:ident $($module:ident)::+;)*) => {$({
            let ours = parse(concat!("1 ", $text), Dimension::$dimension).unwrap();
            let theirs = u::$Quantity::new::<uom::si::$($module)::+>(1.0).value;
            assert!((ours / theirs - 1.0).abs() < 1e-6, "{}: {ours} against {theirs}", $text);
        })*};
    }
    hold! {
        "kg" Mass: Mass mass::kilogram;
        "g" Mass: Mass mass::gram;
        "t" Mass: Mass mass::ton;
        "lb" Mass: Mass mass::pound;
        "oz" Mass: Mass mass::ounce;
        "short ton" Mass: Mass mass::ton_short;
        "long ton" Mass: Mass mass::ton_long;
        "mm" Length: Length length::millimeter;
        "cm" Length: Length length::centimeter;
        "km" Length: Length length::kilometer;
        "in" Length: Length length::inch;
        "ft" Length: Length length::foot;
        "yd" Length: Length length::yard;
        "mi" Length: Length length::mile;
        "mm2" Area: Area area::square_millimeter;
        "cm2" Area: Area area::square_centimeter;
        "sq ft" Area: Area area::square_foot;
        "sq in" Area: Area area::square_inch;
        "L" Volume: Volume volume::liter;
        "ml" Volume: Volume volume::milliliter;
        "gal" Volume: Volume volume::gallon;
        "imp gal" Volume: Volume volume::gallon_imperial;
        "cu ft" Volume: Volume volume::cubic_foot;
        "kPa" Pressure: Pressure pressure::kilopascal;
        "MPa" Pressure: Pressure pressure::megapascal;
        "bar" Pressure: Pressure pressure::bar;
        "mbar" Pressure: Pressure pressure::millibar;
        "psi" Pressure: Pressure pressure::psi;
        "inH2O" Pressure: Pressure pressure::inch_of_water;
        "kN" Force: Force force::kilonewton;
        "daN" Force: Force force::decanewton;
        "lbf" Force: Force force::pound_force;
        "kNm" Torque: Torque torque::kilonewton_meter;
        "lbf ft" Torque: Torque torque::pound_force_foot;
        "lbf in" Torque: Torque torque::pound_force_inch;
        "mV" Voltage: ElectricPotential electric_potential::millivolt;
        "kV" Voltage: ElectricPotential electric_potential::kilovolt;
        "mA" Current: ElectricCurrent electric_current::milliampere;
        "mW" Power: Power power::milliwatt;
        "kW" Power: Power power::kilowatt;
        "kJ" Energy: Energy energy::kilojoule;
        "MJ" Energy: Energy energy::megajoule;
        "Wh" Energy: Energy energy::watt_hour;
        "kWh" Energy: Energy energy::kilowatt_hour;
        "Ah" Charge: ElectricCharge electric_charge::ampere_hour;
        "mAh" Charge: ElectricCharge electric_charge::milliampere_hour;
        "deg" Angle: Angle angle::degree;
        "deg" Slope: Angle angle::degree;
        "%" Ratio: Ratio ratio::percent;
        "K" Temperature: ThermodynamicTemperature thermodynamic_temperature::kelvin;
        "°C" Temperature: ThermodynamicTemperature thermodynamic_temperature::degree_celsius;
        "°F" Temperature: ThermodynamicTemperature thermodynamic_temperature::degree_fahrenheit;
        "km/h" Speed: Velocity velocity::kilometer_per_hour;
        "mph" Speed: Velocity velocity::mile_per_hour;
        "kg/L" Density: MassDensity mass_density::gram_per_cubic_centimeter;
        "lb/cu ft" Density: MassDensity mass_density::pound_per_cubic_foot;
        "lb/gal" Density: MassDensity mass_density::pound_per_gallon;
        "min" Duration: Time time::minute;
        "h" Duration: Time time::hour;
        "d" Duration: Time time::day;
        "g" Acceleration: Acceleration acceleration::standard_gravity;
        "W/m2K" HeatTransfer: HeatTransfer heat_transfer::watt_per_square_meter_kelvin;
        "BTU/h ft2 F" HeatTransfer: HeatTransfer heat_transfer::btu_it_per_hour_square_foot_degree_fahrenheit;
        "W/K" HeatLoss: ThermalConductance thermal_conductance::watt_per_kelvin;
        "ohm" Resistance: ElectricalResistance electrical_resistance::ohm;
        "mohm" Resistance: ElectricalResistance electrical_resistance::milliohm;
        "kohm" Resistance: ElectricalResistance electrical_resistance::kiloohm;
        "/K" TemperatureCoefficient: TemperatureCoefficient temperature_coefficient::per_kelvin;
    }
}

/// Source: the same library, by products of its units, since it has no word for these. Tolerance as above.
#[test]
fn compound_units_agree_with_products_of_another_library() {
    use uom::si::{angle, energy, f64 as u, force, length, time};
    let hold = |text: &str, d: Dimension, theirs: f64| {
        let ours = parse(text, d).unwrap();
        assert!((ours / theirs - 1.0).abs() < 1e-6, "{text}: {ours} against {theirs}");
    };
    let newton = u::Force::new::<force::newton>(1.0);
    let pound = u::Force::new::<force::pound_force>(1.0);
    let (mm, inch, foot) =
        (u::Length::new::<length::millimeter>(1.0), u::Length::new::<length::inch>(1.0), u::Length::new::<length::foot>(1.0));
    let degree = u::Angle::new::<angle::degree>(1.0).value;
    hold("1 N/mm", Dimension::SpringRate, (newton / mm).value);
    hold("1 kN/mm", Dimension::SpringRate, 1000.0 * (newton / mm).value);
    hold("1 ksi", Dimension::Pressure, 1000.0 * u::Pressure::new::<uom::si::pressure::psi>(1.0).value);
    hold("1 kN/m", Dimension::SpringRate, 1000.0);
    hold("1 lbf/in", Dimension::SpringRate, (pound / inch).value);
    hold("1 Nm/deg", Dimension::RollStiffness, 1.0 / degree);
    hold("1 kNm/deg", Dimension::RollStiffness, 1000.0 / degree);
    hold("1 lbf ft/deg", Dimension::RollStiffness, (pound * foot).value / degree);
    let heat = u::Energy::new::<energy::btu_it>(1.0) / u::Time::new::<time::hour>(1.0);
    hold("1 BTU/h", Dimension::Power, heat.value);
    let kelvin = u::TemperatureInterval::new::<uom::si::temperature_interval::kelvin>(1.0);
    let fahrenheit = u::TemperatureInterval::new::<uom::si::temperature_interval::degree_fahrenheit>(1.0);
    hold("1 BTU/h F", Dimension::HeatLoss, heat.value / fahrenheit.value);
    let percent = u::Ratio::new::<uom::si::ratio::percent>(1.0);
    hold("1 %/K", Dimension::TemperatureCoefficient, (percent / kelvin).value);
    let millivolt = u::ElectricPotential::new::<uom::si::electric_potential::millivolt>(1.0);
    hold("1 mV/K", Dimension::VoltageDrift, (millivolt / kelvin).value);
    hold("1 V/K", Dimension::VoltageDrift, 1000.0 * (millivolt / kelvin).value);
    let (volt, ampere) = (
        u::ElectricPotential::new::<uom::si::electric_potential::volt>(1.0),
        u::ElectricCurrent::new::<uom::si::electric_current::ampere>(1.0),
    );
    hold("1 VA", Dimension::Power, (volt * ampere).value);
    hold("1 kVA", Dimension::Power, 1000.0 * (volt * ampere).value);
}

/// Shown figures: agreement to half a unit of the last one.
fn printed(value: f64, figure: f64, decimals: i32) {
    let half = 0.5 * real::pow(10.0, f64::from(-decimals));
    assert!((value - figure).abs() <= half, "{value} is not {figure} to {decimals} decimals");
}

fn correlation(a: &Estimate, b: &Estimate) -> f64 {
    a.covariance(b) / (a.sd() * b.sd())
}

/// R = V cos(phi) / I, X = V sin(phi) / I, Z = V / I.
fn impedance(v: &Estimate, i: &Estimate, phi: &Estimate) -> [Estimate; 3] {
    let of = |f: fn(&[f64]) -> f64| Estimate::propagate(&[v, i, phi], |x| Ok::<f64, ()>(f(x))).unwrap();
    [of(|x| x[0] * real::cos(x[2]) / x[1]), of(|x| x[0] * real::sin(x[2]) / x[1]), of(|x| x[0] / x[1])]
}

/// Source: JCGM 100 (GUM), example H.2, simultaneous resistance and reactance; observations and printed results from
/// memory, recomputed with a matrix library (numpy). Tolerance: half a unit of the last printed figure, save for u(X):
/// 0.295 is printed (as remembered) where the observations give 0.29558, so that one is held to two decimals only.
#[test]
fn gum_h2_correlated_inputs() {
    // Five sets of observations: V [V], I [mA], phi [rad].
    let sets = [
        [5.007, 19.663, 1.0456],
        [4.994, 19.639, 1.0438],
        [5.005, 19.640, 1.0468],
        [4.990, 19.685, 1.0428],
        [4.999, 19.678, 1.0433],
    ];
    let n = 5.0;
    // Each set is one source of doubt that all three share: its deviation over sqrt(n (n - 1)) is its term in the mean.
    let mean = |k: usize| {
        let mean = sets.iter().map(|set| set[k]).sum::<f64>() / n;
        let terms =
            sets.iter().zip(0..).map(|(set, id)| Estimate::input(InputId(id), 0.0, (set[k] - mean) / f64::sqrt(n * (n - 1.0))));
        Estimate::sum(terms.collect::<Vec<_>>().iter()).offset(mean)
    };
    let (v, i, phi) = (mean(0), mean(1) / 1000.0, mean(2));
    let [r, x, z] = impedance(&v, &i, &phi);
    printed(r.value(), 127.732, 3);
    printed(x.value(), 219.847, 3);
    printed(z.value(), 254.260, 3);
    printed(r.sd(), 0.071, 3);
    printed(x.sd(), 0.295, 2); // not three: see above
    printed(z.sd(), 0.236, 3);
    printed(correlation(&r, &x), -0.588, 3);
    printed(correlation(&r, &z), -0.485, 3);
    printed(correlation(&x, &z), 0.993, 3);
    // Two ways: the same by the matrix library, all figures. 1e-6: central differences err by the square of the
    // relative doubt, (7e-4)^2.
    for (ours, theirs) in [(r.sd(), 0.07107140738), (x.sd(), 0.295581677349), (z.sd(), 0.23633613009)] {
        assert!((ours / theirs - 1.0).abs() < 1e-6, "{ours} is not {theirs}");
    }
    // First-order arithmetic without differences gives the ratio too.
    let ratio = &v / &i;
    assert!((ratio.sd() / z.sd() - 1.0).abs() < 1e-6);
    assert!((correlation(&ratio, &r) - correlation(&z, &r)).abs() < 1e-6);
}

/// Source: the same example by its printed means, standard deviations and correlations (read), as correlated inputs by
/// Cholesky's factor; answers computed with a matrix library (numpy). Without the correlation they would be
/// 0.194, 0.201, 0.204. Tolerance as above.
#[test]
fn gum_h2_from_its_printed_correlations() {
    let (rho_vi, rho_vp, rho_ip): (f64, f64, f64) = (-0.36, 0.86, -0.65);
    let z: Vec<Estimate> = (0..3).map(|id| Estimate::input(InputId(id), 0.0, 1.0)).collect();
    let l22 = (1.0 - rho_vi * rho_vi).sqrt();
    let l32 = (rho_ip - rho_vp * rho_vi) / l22;
    let l33 = (1.0 - rho_vp * rho_vp - l32 * l32).sqrt();
    let v = &z[0] * 3.2e-3 + 4.999;
    let i = (&z[0] * rho_vi + &z[1] * l22) * 9.5e-6 + 19.661e-3;
    let phi = Estimate::weighted_sum(&[(rho_vp, &z[0]), (l32, &z[1]), (l33, &z[2])]) * 7.5e-4 + 1.04446;
    for (ours, theirs) in impedance(&v, &i, &phi).iter().zip([0.069978728007, 0.295716826857, 0.236602971823]) {
        assert!((ours.sd() / theirs - 1.0).abs() < 1e-5, "{} is not {theirs}", ours.sd());
    }
}

/// Source: JCGM 100 (GUM), example H.1, end gauge calibration (from memory): components in nm, printed 9.7 and 32.
#[test]
fn gum_h1_end_gauge() {
    let parts = |sds: &[f64], from: u32| -> Estimate {
        let inputs: Vec<Estimate> = sds.iter().zip(from..).map(|(sd, id)| Estimate::input(InputId(id), 0.0, *sd)).collect();
        Estimate::sum(inputs.iter())
    };
    let difference = parts(&[5.8, 3.9, 6.7], 0);
    printed(difference.sd(), 9.7, 1);
    printed((parts(&[25.0, 9.7, 2.9, 16.6], 3)).sd(), 32.0, 0);
}

/// Two ways: what a condition does to a sum is what weighted least squares does, for one mass weighed twice.
#[test]
fn two_readings_of_one_mass_are_weighted_by_their_variance() {
    let mass = Estimate::input(InputId(0), 0.0, 1e4);
    let reading = |id, value: f64, sd| &mass - Estimate::input(InputId(id), value, sd);
    let condition = Condition::new(vec![reading(1, 410.0, 10.0), reading(2, 440.0, 20.0)]).unwrap();
    let updated = mass.given_zero(&condition);
    let precision = 1.0 / 100.0 + 1.0 / 400.0 + 1e-8;
    let mean = (410.0 / 100.0 + 440.0 / 400.0) / precision;
    assert!((updated.value() - mean).abs() < 1e-6 * mean);
    assert!((updated.variance() * precision - 1.0).abs() < 1e-6);
}
