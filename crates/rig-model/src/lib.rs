//! The rig file: its types, its reader, its schema.
