//! Refusals as they cross.
//!
//! Enters: an engine's refusal, or a value that JavaScript sent in a wrong shape. Leaves: what is thrown.
//! Always true: it has `code`, `message` and `hint`.

use fairpen_engine::error::Error;
use tsify::{Ts, Tsify};
use wasm_bindgen::JsValue;

use crate::types::Refusal;

/// The value thrown, or what a method answers.
pub type Answer<T> = Result<T, JsValue>;

/// A refusal to throw.
pub fn refused(refusal: &Error) -> JsValue {
    let shape = Refusal {
        code: refusal.code().to_owned(),
        message: refusal.message().to_owned(),
        hint: refusal.hint().to_owned(),
    };
    shape
        .into_ts()
        .map_or_else(|_| JsValue::from_str(refusal.message()), JsValue::from)
}

/// A value to JavaScript.
pub fn give<T: Tsify + serde::Serialize>(value: T) -> Answer<Ts<T>> {
    value.into_ts().map_err(|cause| {
        refused(&Error::new(
            "boundary.shape",
            format!("An answer could not be handed over: {cause}."),
            "This is a fault in the program: please report it.",
        ))
    })
}

/// Values to JavaScript.
pub fn give_all<T: Tsify + serde::Serialize>(values: Vec<T>) -> Answer<Vec<Ts<T>>> {
    values.into_iter().map(give).collect()
}

/// A value from JavaScript.
pub fn take<T>(value: Ts<T>) -> Answer<T>
where
    T: Tsify + serde::de::DeserializeOwned,
    T::JsType: Clone,
{
    value.to_rust().map_err(|cause| {
        refused(&Error::new(
            "boundary.shape",
            format!("The page asked in a way that was not understood: {cause}."),
            "This is a fault in the program: please report it.",
        ))
    })
}

/// A sheet by its key.
pub fn sheet(key: &str) -> Answer<fairpen_engine::sheet::schema::SheetKind> {
    fairpen_engine::sheet::schema::SheetKind::from_key(key).ok_or_else(|| {
        refused(&Error::new(
            "boundary.sheet",
            format!("There is no sheet called {key}."),
            "Choose one of the sheets in the list.",
        ))
    })
}
