//! Checks a home-built rig: weights, axles, tyres and roll-over, from one file.
