//! Fairpen numerics.
