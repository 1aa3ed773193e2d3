//! What several trades need, derived once from a rig.
