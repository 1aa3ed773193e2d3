//! Pure physics kernels: numbers in, numbers out. No files, no rig, no printing.
//!
//! A kernel takes one input struct, refuses what lies outside its range by name, and gives one output struct. Beside
//! it stand plain `f64` functions without that door; they are for callers that carry uncertainty and evaluate the
//! same formula many times. Fields carry their unit in their name; angles are degrees in fields and radians in plain
//! functions.
//!
//! Axes: x rearward from the front axle, y to the right, z up from the ground. A load "in kg" is a force divided by
//! standard gravity: what a scale shows.
//!
//! | module           | answers                                                                      |
//! |------------------|------------------------------------------------------------------------------|
//! | [`ledger`]       | centre of gravity; axle loads of two, equalised, or many sprung axles         |
//! | [`wheels`]       | left and right wheel of an axle                                               |
//! | [`lift`]         | height of the centre of gravity from one lifted axle, and how high to lift    |
//! | [`stability`]    | static stability, roll threshold, load transfer, speed in a bend              |
//! | [`tyre`]         | load index, load at a pressure, pressure for a load, speed symbol, date code  |
//! | [`grade`]        | axle loads on a slope and under brakes                                        |
//! | [`bridge`]       | bridge formula                                                                |
//! | [`free_surface`] | what part-filled tanks do to the height                                       |
//! | [`ground`]       | approach, departure and breakover angles                                      |
//! | [`scale`]        | how far a scale may be out                                                    |
//! | [`reconcile`]    | weighbridge readings folded into a list of masses, and who is suspect         |
//! | [`coupling`]     | what a trailer's nose does to the axles                                       |
//! | [`section`]      | area, second moments, moduli and torsion of a cross section                   |
//! | [`profile`]      | sections by their designation, with the values of their tables                |
//! | [`beam`]         | moment and deflection of brackets and cross members                           |
//! | [`thread`]       | bolts by what is written on them                                              |
//! | [`fastener`]     | what a bolt holds, where holes may be, how tight                              |
//! | [`bolt_group`]   | bolts that share a force                                                      |
//! | [`weld`]         | strength of a fillet, stress in a group of runs                               |
//! | [`support`]      | a rigid body on mounts: reactions, and how it can move                        |
//! | [`notch`]        | a rail with a notch or a hole                                                 |
//! | [`frame_twist`]  | twist of a ladder frame                                                       |
//! | [`guide`]        | play in a guide and what it costs                                             |
//! | [`level`]        | corner heights, twist, packers                                                |
//! | [`timber`]       | packers and screws in wood                                                    |
//! | [`lashing`]      | straps                                                                        |
//! | [`wind`]         | uplift of what sits on a roof                                                 |
//! | [`lifting`]      | lift trucks, slings, legs                                                     |
//! | [`sun`]          | where the sun is, at an instant and over a year                               |
//! | [`sky`]          | light above the air, of a clear sky, split into beam and diffuse              |
//! | [`plane`]        | light on a tilted plane, part by part                                         |
//! | [`incidence`]    | what glass lets through of slanting light                                     |
//! | [`cell`]         | how hot cells get, and the power they give                                    |
//! | [`shade`]        | what the horizon hides of the sun and leaves of the sky                       |
//! | [`roof_shadow`]  | the shadow of a roof unit, and the bypassed groups it touches                 |
//! | [`roof_pack`]    | how many panels fit on a roof                                                 |
//! | [`snow`]         | snow on a panel                                                               |
//! | [`diode`]        | a panel's curve, and that of bypassed groups in uneven light                  |
//! | [`strings`]      | panels in series and parallel: cold voltage, fuses                            |
//! | [`pv_year`]      | what panels give hour by hour                                                 |
//! | [`metals`]       | which of two metals is eaten                                                  |
//! | [`battery`]      | the battery: hour by hour, what it yields, sag, cold, what a voltage says     |
//! | [`hydrogen`]     | air for the gas of lead-acid batteries                                        |
//! | [`inverter`]     | what an inverter takes and where it ends                                      |
//! | [`converter`]    | what a DC-DC converter or charger takes                                       |
//! | [`charging`]     | shore, generator, alternator: what they give, how long it takes               |
//! | [`standing`]     | energy a day                                                                  |
//! | [`heat_balance`] | heat of a body, air conditioner                                               |
//! | [`fridge`]       | a refrigerator in warm air                                                    |
//! | [`locker`]       | warmth in a closed locker                                                     |
//! | [`linear`]       | small symmetric systems of equations                                          |
//! | [`chance`]       | how often chance alone gives a chi-square this large                          |
//! | [`range`]        | the ranges of inputs, written once for code, schema and manual                |
//! | [`facts`]        | values with a source that the weight kernels use                              |
//! | [`mount_facts`]  | the same of the mount kernels                                                 |
//! | [`sun_facts`]    | the same of sun, sky and panels                                               |
//! | [`store_facts`]  | the same of the battery, heat and charging kernels                            |
#![forbid(unsafe_code)]
#![deny(missing_docs)]

pub mod battery;
pub mod beam;
pub mod bolt_group;
pub mod bridge;
pub mod cell;
pub mod chance;
pub mod charging;
pub mod converter;
pub mod coupling;
pub mod diode;
mod error;
pub mod facts;
pub mod fastener;
pub mod frame_twist;
pub mod free_surface;
pub mod fridge;
pub mod grade;
pub mod ground;
pub mod guide;
pub mod heat_balance;
pub mod hydrogen;
pub mod incidence;
pub mod inverter;
pub mod lashing;
pub mod ledger;
pub mod level;
pub mod lift;
pub mod lifting;
pub mod linear;
pub mod locker;
pub mod metals;
pub mod mount_facts;
pub mod notch;
pub mod plane;
pub mod profile;
pub mod pv_year;
pub mod range;
pub mod reconcile;
pub mod roof_pack;
pub mod roof_shadow;
pub mod scale;
pub mod section;
pub mod shade;
pub mod sky;
pub mod snow;
pub mod stability;
pub mod standing;
pub mod store_facts;
pub mod strings;
pub mod sun;
pub mod sun_facts;
pub mod support;
pub mod thread;
pub mod timber;
pub mod tyre;
pub mod weld;
pub mod wheels;
pub mod wind;
mod written;

pub use error::KernelError;
