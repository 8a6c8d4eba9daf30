//! Suite runner.
