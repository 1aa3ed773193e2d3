//! Renderers of an audit: terminal, JSON, drawings.
