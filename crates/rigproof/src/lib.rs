//! Checks a home-built rig: the rig is described once, in one file; the answer says what holds, what fails, by how much,
//! how sure that is, and the smallest change that puts it right.
//!
//! ```
//! use rigproof::{Options, audit};
//!
//! let rig = r#"
//! format = "rigproof-rig/1"
//! rig = "invented example"
//! without = ["trailer"]
//!
//! [chassis]
//! gross_mass = "7500 kg"
//!
//! [[axle]]
//! name = "front"
//! x = "0 m"
//! rated = "3000 kg"
//! bare_load = "1900 kg weighed"
//!
//! [[axle]]
//! name = "rear"
//! x = "3.6 m"
//! rated = "5600 kg"
//! bare_load = "1500 kg weighed"
//!
//! [[mass]]
//! name = "ballast"
//! mass = "3000 kg weighed"
//! at = ["0.3 m", "0 m", "1.4 m"]
//! "#;
//! let options = Options { only: vec!["weight/axle-load".into()], ..Options::new("rig.toml") };
//! let audit = audit(rig, &options);
//! let front = audit.findings.iter().find(|f| f.about == "front axle").expect("it is asked of");
//! // 1900 + 3000 x (1 - 0.3 / 3.6) = 4650 kg on an axle for 3000 kg.
//! let load = front.demand.as_ref().expect("it is known").value.0;
//! assert!((load - 4650.0).abs() < 1e-6);
//! assert_eq!(front.verdict, check::Verdict::Fail);
//! ```
#![forbid(unsafe_code)]

pub mod add;
pub mod change;
pub mod door;
pub mod gather;
pub mod own;
pub mod start;
pub mod tell;

pub use check::Audit;
pub use door::{Options, audit, audit_bytes, registry};
pub use gather::{Gathered, ScriptText, gather};
