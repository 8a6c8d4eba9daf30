//! Fairpen engine.
