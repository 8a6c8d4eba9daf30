//! Bytes of a file to a typed table and notes.
//!
//! Enters: bytes in chunks, and a plan. Leaves: a table, notes and questions.
//! Always true: no row is dropped silently; what could not be read stays in its cell as it was read.
//! Never: guesses where a file can be read two ways; it asks, and says which reading it shows meanwhile.

pub mod plan;
