//! Where a value comes from: bases, limits, limit sets, and their loader.
