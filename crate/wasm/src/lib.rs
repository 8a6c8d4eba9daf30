//! The boundary between Fairpen's engine and the page.

pub mod types;
