//! Fairpen's engine: bytes and settings in, tables out.
//!
//! The pipeline, in the order in which a weaning weight travels it:
//!
//! 1. [`import`]: bytes of a file to a typed table and notes
//! 2. [`sheet`]: the book that holds the tables, and the commands that change it
//!    ([`formula`]: the language of calculated columns, on the same ground)
//!    ([`animals`]: which animal a name stands for; every look-up of a tag or an electronic ID)
//! 3. [`adjust`]: every weight on the same footing (age, dam age, sex), by [`trade`]'s published factors
//! 4. [`group`]: contemporary groups, ratios and ranks
//! 5. [`check`]: everything doubtful, named with its place and how to mend it
//! 6. [`compare`]: group against group, from raw to fair, with what cannot be separated
//!    ([`trial`]: next year's cows allotted to places at random, so that the next comparison is fair)
//! 7. [`share`]: tables, the results file and the working behind each number
//! 8. [`book`]: the saved form and the journal, versioned
//! 9. [`desk`]: the book in hand, with its results, history and views
//!
//! Always true: no clock, no randomness, no files, no network; the same book gives the same numbers.

pub mod adjust;
pub mod animals;
pub mod book;
pub mod check;
pub mod compare;
pub mod desk;
pub mod error;
pub mod formula;
pub mod group;
pub mod import;
pub mod note;
pub mod results;
pub mod share;
pub mod sheet;
pub mod trade;
pub mod trial;
