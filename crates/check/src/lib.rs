//! The check trait, findings and verdicts, limits chosen, exhibits, the audit.
