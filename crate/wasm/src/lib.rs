//! Fairpen boundary.
