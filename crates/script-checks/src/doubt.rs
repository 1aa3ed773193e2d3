//! Arithmetic of numbers in doubt: they mix with plain numbers, and carry their doubt along.

use quantity::{Estimate, real};
use rhai::plugin::*;
use rhai::{Array, Dynamic, Engine, FnPtr, FuncRegistration, NativeCallContext};

use crate::values::{Answered, Doubt, finite, noun, number, of_estimate, wrong};

pub(crate) fn register(engine: &mut Engine) {
    engine.register_type_with_name::<Doubt>("number in doubt");
    engine.register_global_module(exported_module!(numbers).into());
    type Operation = fn(Estimate, Estimate) -> Estimate;
    let operations: [(&str, Operation); 4] = [("+", |a, b| a + b), ("-", |a, b| a - b), ("*", |a, b| a * b), ("/", |a, b| a / b)];
    for (sign, operation) in operations {
        // Pairs of plain numbers and of texts the engine knows by itself; what is left comes here.
        FuncRegistration::new(sign).register_into_engine(engine, move |a: Dynamic, b: Dynamic| -> Answered<Dynamic> {
            let what = format!("`{sign}`");
            Ok(of_estimate(operation(finite(&a, &what)?, finite(&b, &what)?)))
        });
    }
    for sign in ["<", "<=", ">", ">="] {
        FuncRegistration::new(sign).register_into_engine(engine, move |a: Dynamic, b: Dynamic| undecided(sign, &a, &b));
    }
    FuncRegistration::new("==").register_into_engine(engine, |a: Doubt, b: Dynamic| same(&a, &b));
    FuncRegistration::new("!=").register_into_engine(engine, |a: Doubt, b: Dynamic| same(&a, &b).map(|same| !same));
    FuncRegistration::new("==").register_into_engine(engine, |a: Dynamic, b: Doubt| same(&b, &a));
    FuncRegistration::new("!=").register_into_engine(engine, |a: Dynamic, b: Doubt| same(&b, &a).map(|same| !same));
    FuncRegistration::new("-").register_into_engine(engine, |a: Doubt| of_estimate(a.0.scale(-1.0)));
}

/// Which of two numbers in doubt is larger nobody can say: that is what `compare` is for.
fn undecided(sign: &str, a: &Dynamic, b: &Dynamic) -> Answered<bool> {
    if number(a).is_some() && number(b).is_some() {
        return wrong(format!("`{sign}` cannot tell where a number is in doubt: answer with compare(..), or look at its .value"));
    }
    wrong(format!("`{sign}` cannot hold {} against {}", noun(a), noun(b)))
}

fn same(a: &Doubt, b: &Dynamic) -> Answered<bool> {
    if number(b).is_some() {
        return wrong("a number in doubt equals no other: look at its .value");
    }
    let _ = a;
    Ok(false)
}

fn through_one(value: &Dynamic, what: &str, f: impl Fn(f64) -> f64) -> Answered<Dynamic> {
    let estimate = finite(value, what)?;
    let checked = |x: &[f64]| {
        let y = f(x.first().copied().unwrap_or(f64::NAN));
        if y.is_finite() { Ok(y) } else { Err(()) }
    };
    match Estimate::propagate(&[&estimate], checked) {
        Ok(result) => Ok(of_estimate(result)),
        Err(()) => wrong(format!("{what} of {} is no number", estimate.value())),
    }
}

#[export_module]
#[allow(clippy::needless_pass_by_value, clippy::unwrap_used, missing_docs, unreachable_pub)]
mod numbers {
    use super::*;

    /// Middle of a number; of a plain number the number itself.
    #[rhai_fn(get = "value", return_raw, pure)]
    pub fn value(number: &mut Dynamic) -> Answered<f64> {
        Ok(finite(number, ".value")?.value())
    }

    /// Lower end of the range that holds 95 times in 100.
    #[rhai_fn(get = "low", return_raw, pure)]
    pub fn low(number: &mut Dynamic) -> Answered<f64> {
        Ok(finite(number, ".low")?.interval95().0)
    }

    /// Upper end of the range that holds 95 times in 100.
    #[rhai_fn(get = "high", return_raw, pure)]
    pub fn high(number: &mut Dynamic) -> Answered<f64> {
        Ok(finite(number, ".high")?.interval95().1)
    }

    /// Square root, with its doubt.
    #[rhai_fn(name = "sqrt", return_raw)]
    pub fn square_root(x: Dynamic) -> Answered<Dynamic> {
        through_one(&x, "sqrt", f64::sqrt)
    }

    /// Size without sign, with its doubt.
    #[rhai_fn(name = "abs", return_raw)]
    pub fn size(x: Dynamic) -> Answered<Dynamic> {
        through_one(&x, "abs", f64::abs)
    }

    /// Sine of an angle in rad, with its doubt.
    #[rhai_fn(name = "sin", return_raw)]
    pub fn sine(angle_rad: Dynamic) -> Answered<Dynamic> {
        through_one(&angle_rad, "sin", real::sin)
    }

    /// Cosine of an angle in rad, with its doubt.
    #[rhai_fn(name = "cos", return_raw)]
    pub fn cosine(angle_rad: Dynamic) -> Answered<Dynamic> {
        through_one(&angle_rad, "cos", real::cos)
    }

    /// Tangent of an angle in rad, with its doubt.
    #[rhai_fn(name = "tan", return_raw)]
    pub fn tangent(angle_rad: Dynamic) -> Answered<Dynamic> {
        through_one(&angle_rad, "tan", real::tan)
    }

    /// Angle in rad with this tangent, with its doubt.
    #[rhai_fn(name = "atan", return_raw)]
    pub fn arc_tangent(x: Dynamic) -> Answered<Dynamic> {
        through_one(&x, "atan", real::atan)
    }

    /// Angle in rad with this sine, with its doubt.
    #[rhai_fn(name = "asin", return_raw)]
    pub fn arc_sine(x: Dynamic) -> Answered<Dynamic> {
        through_one(&x, "asin", real::asin)
    }

    /// The larger by its middle, with its doubt.
    #[rhai_fn(name = "larger", return_raw)]
    pub fn larger(a: Dynamic, b: Dynamic) -> Answered<Dynamic> {
        Ok(if finite(&a, "larger")?.value() < finite(&b, "larger")?.value() { b } else { a })
    }

    /// The smaller by its middle, with its doubt.
    #[rhai_fn(name = "smaller", return_raw)]
    pub fn smaller(a: Dynamic, b: Dynamic) -> Answered<Dynamic> {
        Ok(if finite(&b, "smaller")?.value() < finite(&a, "smaller")?.value() { b } else { a })
    }

    /// A function of numbers in doubt that is no plain arithmetic: `through([a, b], |x| sqrt(x[0] * x[0] + x[1] * x[1]))`.
    /// The function gets a list of plain numbers and gives a plain number.
    #[rhai_fn(name = "through", return_raw)]
    pub fn through(context: NativeCallContext, numbers: Array, function: FnPtr) -> Answered<Dynamic> {
        let inputs = numbers.iter().map(|number| finite(number, "through")).collect::<Answered<Vec<Estimate>>>()?;
        let inputs: Vec<&Estimate> = inputs.iter().collect();
        let result = Estimate::propagate(&inputs, |at| {
            let list: Array = at.iter().map(|x| Dynamic::from_float(*x)).collect();
            let given = function.call_within_context::<Dynamic>(&context, (list,))?;
            Ok::<f64, Box<rhai::EvalAltResult>>(finite(&given, "the function of through")?.value())
        });
        result.map(of_estimate)
    }
}
