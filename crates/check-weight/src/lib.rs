//! The weight trade: masses, axles, tyres, roll-over.
