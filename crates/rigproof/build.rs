//! Links the program at a fixed address where that is safe to ask for. Moved to an address of chance it has some 19 000
//! pointers to put right at every start: a third of a millisecond, of the few that an audit takes.

#![allow(clippy::print_stdout, reason = "how a build script speaks to cargo")]

use std::env;

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
    let target = |key: &str| env::var(format!("CARGO_CFG_TARGET_{key}")).unwrap_or_default();
    if target("OS") == "linux" && target("ENV") == "gnu" {
        println!("cargo::rustc-link-arg-bins=-no-pie");
    }
}
