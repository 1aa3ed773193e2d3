//! The engine: arithmetic, text, lists, tables and the functions of this crate. No files, no network, no clock, no `eval`,
//! no imports.

use std::sync::OnceLock;

use rhai::packages::{Package, StandardPackage};
use rhai::{Dynamic, Engine, EvalAltResult, FuncRegistration, OptimizationLevel, Position};

use crate::watch::Broken;
use crate::{bounds, doubt, physics_fns, watch, words};

/// The one engine of the process, made when the first script is met.
pub(crate) fn engine() -> &'static Engine {
    static ENGINE: OnceLock<Engine> = OnceLock::new();
    ENGINE.get_or_init(build)
}

/// What `on_progress` hands back when a bound is broken: it comes back in the error.
pub(crate) const TIME: &str = "time";
pub(crate) const MEMORY: &str = "memory";

fn build() -> Engine {
    let mut engine = Engine::new_raw();
    StandardPackage::new().register_into_engine(&mut engine);
    // The optimiser panics on an assignment to a property of a constant map (1.27): it stays off.
    engine.set_optimization_level(OptimizationLevel::None);
    engine.set_strict_variables(true);
    engine.set_fail_on_invalid_map_property(true);
    engine.set_allow_shadowing(true);
    engine.disable_symbol("eval");
    engine.set_max_operations(bounds::STEPS);
    engine.set_max_call_levels(bounds::CALL_LEVELS);
    let [outside, inside] = bounds::EXPRESSION_DEPTH;
    engine.set_max_expr_depths(outside, inside);
    engine.set_max_string_size(bounds::TEXT);
    engine.set_max_array_size(bounds::LIST);
    engine.set_max_map_size(bounds::TABLE);
    engine.set_max_functions(bounds::FUNCTIONS);
    engine.set_max_variables(bounds::VARIABLES);
    engine.on_print(|_| {});
    engine.on_debug(|_, _, _| {});
    engine.on_progress(|_| {
        watch::broken().map(|broken| {
            Dynamic::from(match broken {
                Broken::Time => TIME,
                Broken::Memory => MEMORY,
            })
        })
    });
    no_sleep(&mut engine);
    doubt::register(&mut engine);
    words::register(&mut engine);
    physics_fns::register(&mut engine);
    engine
}

/// Rhai can wait in a call even without its clock, past every deadline.
fn no_sleep(engine: &mut Engine) {
    fn refuse() -> Result<(), Box<EvalAltResult>> {
        Err(Box::new(EvalAltResult::ErrorRuntime("a check cannot wait".into(), Position::NONE)))
    }
    FuncRegistration::new("sleep").register_into_engine(engine, |_: i64| refuse());
    FuncRegistration::new("sleep").register_into_engine(engine, |_: f64| refuse());
}
