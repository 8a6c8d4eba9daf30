//! Looks and views changed.
//!
//! Enters: a book and parts of a look, or a view. Leaves: the changed book and the command that takes it back.
//! Always true: everything is checked before anything changes; what is refused would not open again.
//! Never: asks whether a column is there: a look waits for columns that come back.

use super::edit::Command;
use super::look::{
    ColumnPlace, LONGEST_NAME, Look, LookChange, MOST_BYTES, MOST_COLUMNS, MOST_VIEWS, WIDEST_PX,
};
use super::schema::SheetKind;
use super::view::{ColumnFilter, SortKey};
use super::workbook::Workbook;
use crate::error::Error;

/// Changes parts of the present look.
pub(super) fn set_look(
    book: &mut Workbook,
    sheet: SheetKind,
    change: LookChange,
) -> Result<Command, Error> {
    check_look(&change)?;
    let before = book.looks.of_mut(sheet).present.take(change);
    Ok(Command::SetLook {
        sheet,
        change: Box::new(before),
        view: None,
    })
}

/// Saves a view, or takes it away.
pub(super) fn put_view(
    book: &mut Workbook,
    sheet: SheetKind,
    name: String,
    look: Option<Box<Look>>,
) -> Result<Command, Error> {
    let views = &book.looks.of(sheet).views;
    if let Some(look) = &look {
        check_name(&name)?;
        check_look(&LookChange::from(Look::clone(look)))?;
        if views.len() >= MOST_VIEWS && !views.contains_key(&name) {
            return Err(Error::new(
                "sheet.view.too_many",
                format!(
                    "{} has {MOST_VIEWS} saved views, which is the most.",
                    sheet.label()
                ),
                "Delete a view that you do not need.",
            ));
        }
    } else if !views.contains_key(&name) {
        return Err(unknown_view(sheet, &name));
    }
    let views = &mut book.looks.of_mut(sheet).views;
    let before = match look {
        Some(look) => views.insert(name.clone(), *look),
        None => views.remove(&name),
    };
    Ok(Command::PutView {
        sheet,
        name,
        look: before.map(Box::new),
    })
}

/// There is no such view.
pub(super) fn unknown_view(sheet: SheetKind, name: &str) -> Error {
    Error::new(
        "sheet.view.unknown",
        format!("{} has no saved view called {name}.", sheet.label()),
        "Choose one from the list of views.",
    )
}

/// A name that a view can have.
pub(super) fn check_name(name: &str) -> Result<(), Error> {
    let fits = !name.trim().is_empty()
        && name.trim() == name
        && name.chars().count() <= LONGEST_NAME
        && !name.chars().any(char::is_control);
    if fits {
        return Ok(());
    }
    Err(Error::new(
        "sheet.view.name",
        format!("A view needs a name of 1 to {LONGEST_NAME} characters on one line."),
        "Give it a short name, such as Weaning day.",
    ))
}

fn check_look(change: &LookChange) -> Result<(), Error> {
    let columns = change.columns.as_deref().unwrap_or_default();
    let widths = change.widths.iter().flatten();
    let sort = change.sort.as_deref().unwrap_or_default();
    let filters = change.filters.as_deref().unwrap_or_default();
    let n_columns = columns.len().max(widths.clone().count()).max(sort.len());
    let n_bytes: usize = columns
        .iter()
        .map(|ColumnPlace { column, .. }| written_bytes(column))
        .chain(widths.clone().map(|(column, _)| written_bytes(column)))
        .chain(
            sort.iter()
                .map(|SortKey { column, .. }| written_bytes(column)),
        )
        .chain(filters.iter().map(filter_bytes))
        .sum();
    if n_columns > MOST_COLUMNS || filters.len() > MOST_COLUMNS || n_bytes > MOST_BYTES {
        return Err(Error::new(
            "sheet.look.too_long",
            "This look names more columns or more values than can be kept.",
            "Choose fewer values in the filters: a filter by text needs none of them.",
        ));
    }
    let mut named: Vec<&str> = columns.iter().map(|place| place.column.as_str()).collect();
    fairpen_stats::in_order::order(&mut named);
    let twice = named.windows(2).any(|pair| pair[0] == pair[1]);
    if twice || widths.clone().any(|(_, &px)| px == 0 || px > WIDEST_PX) {
        return Err(Error::new(
            "sheet.look.sound",
            format!(
                "This look names a column twice, or a width that is not 1 to {WIDEST_PX} pixels."
            ),
            "This is a fault in the program: please report it.",
        ));
    }
    Ok(())
}

fn filter_bytes(filter: &ColumnFilter) -> usize {
    written_bytes(&filter.column)
        + written_bytes(&filter.contains)
        + filter
            .values
            .iter()
            .flatten()
            .map(|value| written_bytes(value))
            .sum::<usize>()
}

/// Bytes that a text takes in the saved book at most: JSON writes some signs with six.
fn written_bytes(text: &str) -> usize {
    const AROUND: usize = 8;
    let inside = text.chars().map(|sign| match sign {
        '"' | '\\' => 6,
        sign if sign.is_control() => 6,
        sign => sign.len_utf8(),
    });
    AROUND + inside.sum::<usize>()
}
