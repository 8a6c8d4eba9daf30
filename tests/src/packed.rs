//! Packed files with some of their parts exchanged.
//!
//! Enters: a ZIP file, and bytes for some of its parts. Leaves: a sound ZIP file with those bytes in it.
//! Always true: the same parts give the same file.
//! Never: judges the bytes.

use std::io::{Cursor, Read, Write};

use zip::write::SimpleFileOptions;
use zip::{ZipArchive, ZipWriter};

/// The parts of a sound ZIP file, in order.
///
/// # Panics
/// When it is none: it is a file of the repository.
pub fn parts(bytes: &[u8]) -> Vec<(String, Vec<u8>)> {
    let mut archive = ZipArchive::new(Cursor::new(bytes)).expect("a ZIP file");
    (0..archive.len())
        .map(|at| {
            let mut part = archive.by_index(at).expect("a part");
            let mut bytes = Vec::new();
            part.read_to_end(&mut bytes).expect("a sound part");
            (part.name().to_owned(), bytes)
        })
        .collect()
}

/// A ZIP file of these parts.
///
/// # Panics
/// Never: it is written to memory.
pub fn pack(parts: &[(String, Vec<u8>)]) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    // Stored, so that a fuzzer sees its own bytes in the file.
    let options = SimpleFileOptions::default().compression_method(zip::CompressionMethod::Stored);
    for (name, bytes) in parts {
        // A name that stands there already is passed over.
        if zip.start_file(name.as_str(), options).is_ok() {
            zip.write_all(bytes).expect("written to memory");
        }
    }
    zip.finish().expect("written to memory").into_inner()
}

/// The bytes with some of them overwritten from a place on: the place is taken from the first two bytes of `with`.
pub fn overwritten(bytes: &[u8], with: &[u8]) -> Vec<u8> {
    let mut bytes = bytes.to_vec();
    if let Some(([high, low], with)) = with.split_first_chunk::<2>()
        && !bytes.is_empty()
    {
        let at = usize::from(u16::from_be_bytes([*high, *low])) % bytes.len();
        let n = with.len().min(bytes.len() - at);
        bytes[at..at + n].copy_from_slice(&with[..n]);
    }
    bytes
}
