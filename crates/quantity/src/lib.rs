//! Dimensioned values as people write them, and estimates that carry their uncertainty.
