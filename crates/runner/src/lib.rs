//! Runs checks in parallel, survives their faults, proves remedies, collects the audit.
